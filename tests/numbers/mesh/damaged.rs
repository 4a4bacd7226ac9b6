//! Damaged and hostile files: a clear error or warning, bounded memory, no panic.

use super::build::*;
use bathwright::amount::*;
use bathwright::part::mesh::{LengthUnit, Options, QuickOptions, load, measure, quick, quick_at, read};
use std::io::Write;

fn cube() -> Triangles {
    cuboid([0.0; 3], [10.0; 3])
}

/// The messages of a file that must be refused.
#[track_caller]
fn refused(bytes: &[u8], name: &str) -> String {
    match load(bytes, name, None) {
        Ok(_) => panic!("{name} was read"),
        Err(problems) => {
            let text = problems.to_string();
            assert!(text.contains(name), "the file is named: {text}");
            assert!(text.len() < 8000, "{text}");
            text
        }
    }
}

/// The warnings and the number of triangles of a file that is read.
#[track_caller]
fn accepted(bytes: &[u8], name: &str) -> (usize, String) {
    let (mesh, warnings) = load(bytes, name, None).unwrap_or_else(|p| panic!("{p}"));
    (mesh.len(), warnings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}

fn with_count(mut bytes: Vec<u8>, count: u32) -> Vec<u8> {
    bytes[80..84].copy_from_slice(&count.to_le_bytes());
    bytes
}

#[test]
fn empty_and_short_files() {
    assert!(refused(b"", "a.stl").contains("the file is empty"));
    assert!(refused(b"", "a.3mf").contains("the file is empty"));
    assert!(refused(b"hello, I am a letter", "letter").contains("STL, 3MF, OBJ and PLY"));
    assert!(refused(&[7; 40], "a.stl").contains("too short"));
    assert!(refused(&[0; 84], "a.stl").contains("no triangles"));
    assert!(refused(b"solid nothing\nendsolid nothing\n", "a.stl").contains("no triangles"));
    assert!(refused(b"# only a comment\nv 0 0 0\n", "a.obj").contains("no faces"));
}

#[test]
fn binary_stl_with_a_wrong_count_or_length() {
    let good = binary_stl(&cube());
    assert_eq!(accepted(&good, "a.stl"), (12, String::new()));
    for cut in [1, 49, 50, 300, good.len() - 84] {
        let text = refused(&good[..good.len() - cut], "a.stl");
        assert!(text.contains("cut short") && text.contains("12 triangles"), "{text}");
    }
    assert!(refused(&with_count(good.clone(), u32::MAX), "a.stl").contains("cut short"));
    assert!(refused(&with_count(good.clone(), 0), "a.stl").contains("promises no triangles"));
    let (n, warning) = accepted(&with_count(good.clone(), 11), "a.stl");
    assert!(n == 11 && warning.contains("50 bytes follow") && warning.contains("room for 1 more"), "{warning}");
    let (n, warning) = accepted(&[good.as_slice(), b"and a trailer"].concat(), "a.stl");
    assert!(n == 12 && warning.contains("13 bytes follow"), "{warning}");
}

#[test]
fn binary_that_begins_like_text_and_text_that_begins_like_binary() {
    let mut bytes = binary_stl(&cube());
    bytes[..12].copy_from_slice(b"solid facet ");
    assert_eq!(accepted(&bytes, "a.stl").0, 12);
    // Cut short it is still known for binary by its control bytes, and not read as text.
    assert!(refused(&bytes[..bytes.len() - 1], "a.stl").contains("cut short"));
    // Text with a mark in front, capitals, spaces, and carriage returns; text of exactly a binary file's length for its
    // bytes 80 to 83 cannot be made: they would promise at least 0x09090909 triangles.
    let text = String::from_utf8(stl(&cube())).unwrap();
    let odd = format!("\u{feff} \r\n{}", text.to_uppercase().replace('\n', "\r\n"));
    assert_eq!(accepted(odd.as_bytes(), "a.stl"), (12, String::new()));
    // Without the first line.
    let headless: String = text.lines().skip(1).map(|l| format!("{l}\n")).collect();
    assert_eq!(accepted(headless.as_bytes(), "a.stl").0, 12);
    // A name with letters that are not UTF-8.
    let latin = [b"solid caf\xe9\n".as_slice(), &text.as_bytes()[11..]].concat();
    assert_eq!(accepted(&latin, "a.stl").0, 12);
}

#[test]
fn several_solids_in_one_file_are_all_read() {
    let two = [stl(&cube()), stl(&cuboid([20.0; 3], [22.0; 3]))].concat();
    let (solid, warnings) = read(&two, "a.stl", None).unwrap();
    assert_eq!(warnings, []);
    assert!((in_cubic_millimetres(solid.envelope) - 1008.0).abs() < 1e-6);
}

#[test]
fn every_fault_of_a_text_is_told_with_its_line() {
    let text = "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0\nvertex 0 1 0\nendloop\nendfacet\n\
                facet normal 0 0 1\nouter loop\nvertex 0 0 nan\nvertex 1e300 0 0\nvertex 1,5 0 0\nendloop\nendfacet\nbogus\n";
    let text = refused(text.as_bytes(), "a.stl");
    for part in [
        "line 6",
        "`vertex`",
        "line 11",
        "not a finite number",
        "line 12",
        "1e300",
        "line 13",
        "decimal comma",
        "line 16",
        "`bogus`",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let good = String::from_utf8(stl(&cube())).unwrap();
    let cut = refused(&good.as_bytes()[..good.len() / 2], "a.stl");
    assert!(cut.contains("ends inside a word"), "{cut}");
    // A million faults are told as a few.
    let many = format!("solid a\n{}", "vertex 1 1 1\n".repeat(1_000_000));
    assert!(refused(many.as_bytes(), "a.stl").lines().count() < 60);
}

#[test]
fn numbers_that_are_none() {
    for bad in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY, 3e38] {
        let mut bytes = binary_stl(&cube());
        bytes[84 + 5 * 50 + 12..84 + 5 * 50 + 16].copy_from_slice(&bad.to_le_bytes());
        let text = refused(&bytes, "a.stl");
        assert!(text.contains("triangle 6"), "{text}");
        let quick = quick(bytes.as_slice(), None, "a.stl", &QuickOptions::default()).unwrap_err().to_string();
        assert!(
            quick.contains("not a finite number") && quick.contains("triangle 6") || quick.contains("beyond"),
            "{quick}"
        );
        // In the stored normal or the attribute word it does not matter: they are not read.
        let mut bytes = binary_stl(&cube());
        bytes[84..96].copy_from_slice(&[bad.to_le_bytes(); 3].concat());
        bytes[84 + 48] = 255;
        assert_eq!(accepted(&bytes, "a.stl"), (12, String::new()));
    }
}

#[test]
fn the_streaming_pass_tells_what_it_cannot_read() {
    let good = binary_stl(&cube());
    let run = |bytes: &[u8], length| quick(bytes, length, "a.stl", &QuickOptions::default());
    let cut = &good[..good.len() - 60];
    for length in [None, Some(cut.len() as u64)] {
        assert!(run(cut, length).unwrap_err().to_string().contains("cut short"));
    }
    assert!(run(&stl(&cube()), None).unwrap_err().to_string().contains("binary STL only"));
    assert!(run(b"", None).is_err());
    let more = [good.as_slice(), &[1; 60]].concat();
    assert!(run(&more, None).unwrap().warnings[0].message.contains("not read"));
    // Open: no volume. Inside out: turned round and said.
    let mut open = cube();
    open.pop();
    let m = run(&binary_stl(&open), None).unwrap();
    assert!(m.volume.is_none() && !m.watertight && m.warnings[0].message.contains("not closed"));
    let m = run(&binary_stl(&inside_out(&cube())), None).unwrap();
    assert!(m.watertight && m.warnings[0].message.contains("inside out"));
    assert!((in_cubic_millimetres(m.volume.unwrap().best) - 1000.0).abs() < 1e-9);
    // Winding that disagrees is not closed, though every edge has two faces.
    let mut clash = cube();
    clash[3].swap(0, 1);
    assert!(!run(&binary_stl(&clash), None).unwrap().watertight);
    let inch = QuickOptions { unit: Some(LengthUnit::Inch), ..QuickOptions::default() };
    let m = quick(good.as_slice(), None, "a.stl", &inch).unwrap();
    assert!((in_millimetres(m.size[2]) - 254.0).abs() < 1e-9);
}

/// A file of many blocks, read by several threads at once: the same errors as in order, whichever thread meets them first.
#[test]
fn the_streaming_pass_tells_the_same_of_a_file_read_at_several_places() {
    let good = binary_stl(&cube().into_iter().cycle().take(12_000).collect::<Vec<_>>());
    let both = |bytes: &[u8]| {
        let told = |threads| {
            let options = QuickOptions { threads, ..QuickOptions::default() };
            let seen = |found: bathwright::diag::Checked<bathwright::part::mesh::Measurement>| match found {
                Ok(m) => m.warnings.iter().map(ToString::to_string).collect(),
                Err(problems) => problems.to_string(),
            };
            let placed: String = seen(quick_at(bytes, bytes.len() as u64, "a.stl", &options));
            (placed, seen(quick(bytes, Some(bytes.len() as u64), "a.stl", &options)))
        };
        let (one, many) = (told(1), told(4));
        assert_eq!(one.0, many.0);
        assert_eq!(one.1, many.1);
        assert_eq!(one.0, one.1);
        one.0
    };
    // Every edge a thousand times in both directions is closed.
    assert_eq!(both(&good), "");
    assert!(both(&good[..good.len() - 60]).contains("promises 12000 triangles, and it has 11998"));
    assert!(both(&good[..90]).contains("it has 0"));
    assert!(both(&[good.as_slice(), &[1; 60]].concat()).contains("more bytes follow"));
    assert!(both(b"").contains("binary STL only") && both(&stl(&cube())).contains("binary STL only"));
    let mut bad = good.clone();
    for triangle in [11_990, 7_000, 3_000] {
        bad[84 + triangle * 50 + 20..][..4].copy_from_slice(&f32::NAN.to_le_bytes());
        assert!(both(&bad).contains(&format!("triangle {}", triangle + 1)));
    }
}

fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, content) in parts {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(content).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const TETRAHEDRON: &str = "<mesh><vertices><vertex x=\"0\" y=\"0\" z=\"0\"/><vertex x=\"6\" y=\"0\" z=\"0\"/><vertex x=\"0\" y=\"6\" z=\"0\"/>\
     <vertex x=\"0\" y=\"0\" z=\"6\"/></vertices><triangles><triangle v1=\"0\" v2=\"2\" v3=\"1\"/><triangle v1=\"0\" v2=\"1\" v3=\"3\"/>\
     <triangle v1=\"0\" v2=\"3\" v3=\"2\"/><triangle v1=\"1\" v2=\"2\" v3=\"3\"/></triangles></mesh>";

/// A 3MF with these resources and build items.
fn model(attributes: &str, resources: &str, build: &str) -> Vec<u8> {
    let text = format!(
        "<?xml version=\"1.0\"?><model {attributes} xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\
         <resources>{resources}</resources><build>{build}</build></model>"
    );
    let relation = b"<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship \
        Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\" Target=\"/3D/3dmodel.model\" Id=\"r\"/></Relationships>";
    zipped(&[("_rels/.rels", relation), ("3D/3dmodel.model", text.as_bytes())])
}

#[test]
fn components_transforms_and_units_of_3mf() {
    let object = format!("<object id=\"1\">{TETRAHEDRON}</object>");
    let group = format!(
        "{object}<object id=\"2\"><components><component objectid=\"1\"/>\
         <component objectid=\"1\" transform=\"-1 0 0 0 1 0 0 0 1 -1 0 0\"/></components></object>"
    );
    // The pair, once as it is and once turned, doubled and shifted: 2 x 36 + 2 x 36 x 8.
    let build = "<item objectid=\"2\"/><item objectid=\"2\" transform=\"0 2 0 -2 0 0 0 0 2 100 0 0\"/>";
    let (solid, warnings) = read(&model("unit=\"millimeter\"", &group, build), "a.3mf", None).unwrap();
    assert_eq!(warnings, []);
    let volume = in_cubic_millimetres(solid.envelope);
    assert!((volume - 648.0).abs() < 1e-9 * 648.0, "mirrored parts face outwards too: {volume}");
    for (unit, mm) in [("micron", 0.001), ("centimeter", 10.0), ("inch", 25.4), ("foot", 304.8), ("meter", 1000.0)] {
        let (solid, _) =
            read(&model(&format!("unit=\"{unit}\""), &object, "<item objectid=\"1\"/>"), "a.3mf", None).unwrap();
        let size = in_millimetres(solid.size[0]);
        assert!((size - 6.0 * mm).abs() < 1e-9 * size, "{unit}: {size}");
    }
    let (_, warnings) =
        read(&model("unit=\"inch\"", &object, "<item objectid=\"1\"/>"), "a.3mf", Some(LengthUnit::Millimetre))
            .unwrap();
    assert!(warnings[0].message.contains("inch"));
    // Supports and what is not printed are left out and told.
    let mixed = format!("{object}<object id=\"3\" type=\"support\">{TETRAHEDRON}</object>");
    let bytes = model("", &mixed, "<item objectid=\"1\"/><item objectid=\"3\"/><item objectid=\"1\" printable=\"0\"/>");
    let (n, warning) = accepted(&bytes, "a.3mf");
    assert!(n == 4 && warning.contains("2 objects"), "{warning}");
}

#[test]
fn parts_of_other_files_in_the_package_are_found() {
    let root = "<model xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\" \
         xmlns:p=\"http://schemas.microsoft.com/3dmanufacturing/production/2015/06\" requiredextensions=\"p\"><resources>\
         <object id=\"8\"><components><component objectid=\"1\" p:path=\"/3D/Objects/one.model\"/></components></object>\
         </resources><build><item objectid=\"8\"/></build></model>";
    let one = format!(
        "<c:model xmlns:c=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><c:resources><c:object id=\"1\">{}\
         </c:object></c:resources></c:model>",
        TETRAHEDRON.replace("</", "</c:").replace('<', "<c:").replace("<c:/c:", "</c:")
    );
    let both = zipped(&[("3D/3dmodel.model", root.as_bytes()), ("3D/objects/ONE.model", one.as_bytes())]);
    let (n, warning) = accepted(&both, "a.3mf");
    assert!(n == 4 && warning.contains("usual place"), "{warning}");
    let alone = zipped(&[("3D/3dmodel.model", root.as_bytes())]);
    assert!(refused(&alone, "a.3mf").contains("no part `/3D/Objects/one.model`"));
}

#[test]
fn packages_that_lack_something_or_turn_in_circles() {
    let object = format!("<object id=\"1\">{TETRAHEDRON}</object>");
    let good = model("", &object, "<item objectid=\"1\"/>");
    for cut in [1, 30, good.len() / 2, good.len() - 10] {
        refused(&good[..good.len() - cut], "a.3mf");
    }
    assert!(refused(&zipped(&[("readme.txt", b"hello")]), "a.3mf").contains("no part `/3D/3dmodel.model`"));
    let check = |resources: &str, build: &str, part: &str| {
        let text = refused(&model("", resources, build), "a.3mf");
        assert!(text.contains(part), "{part} in {text}");
    };
    check(&object, "", "build list");
    check(&object, "<item objectid=\"7\"/>", "object 7");
    check(&object, "<item/>", "names no object");
    check(&object, "<item objectid=\"1\" transform=\"1 2 3\"/>", "twelve numbers");
    check(&object, "<item objectid=\"1\" transform=\"0 0 0 0 0 0 0 0 0 0 0 0\"/>", "flattens");
    check(&object, "<item objectid=\"1\" transform=\"1e8 0 0 0 1 0 0 0 1 0 0 0\"/>", "out of all bounds");
    check(&format!("{object}{object}"), "<item objectid=\"1\"/>", "comes twice");
    check(&object.replace("v1=\"1\"", "v1=\"9\""), "<item objectid=\"1\"/>", "vertex 9");
    check(&object.replace("x=\"6\"", "x=\"nan\""), "<item objectid=\"1\"/>", "not a finite number");
    check(&object.replace("x=\"6\" ", ""), "<item objectid=\"1\"/>", "`x` is missing");
    check("<object id=\"1\"/>", "<item objectid=\"1\"/>", "no triangles");
    let itself = "<object id=\"1\"><components><component objectid=\"1\"/></components></object>";
    check(itself, "<item objectid=\"1\"/>", "component of itself");
    let ring = "<object id=\"1\"><components><component objectid=\"2\"/></components></object>\
                <object id=\"2\"><components><component objectid=\"1\"/></components></object>";
    check(ring, "<item objectid=\"1\"/>", "component of itself");
    assert!(refused(&model("unit=\"cubit\"", &object, "<item objectid=\"1\"/>"), "a.3mf").contains("cubit"));
    assert!(refused(&zipped(&[("3D/3dmodel.model", b"<html></html>")]), "a.3mf").contains("`html`, not `model`"));
    assert!(
        refused(&zipped(&[("3D/3dmodel.model", b"<!DOCTYPE model [<!ENTITY a \"b\">]><model/>")]), "a.3mf")
            .contains("document type")
    );
    assert!(refused(&zipped(&[("3D/3dmodel.model", b"")]), "a.3mf").contains("no `model`"));
}

#[test]
fn bombs_are_stopped_early() {
    // Ten objects of ten components each, seven levels deep: ten million tetrahedra.
    let mut resources = format!("<object id=\"0\">{TETRAHEDRON}</object>");
    for level in 1..=7 {
        let inner = format!("<component objectid=\"{}\"/>", level - 1).repeat(10);
        resources.push_str(&format!("<object id=\"{level}\"><components>{inner}</components></object>"));
    }
    let text = refused(&model("", &resources, "<item objectid=\"7\"/>"), "a.3mf");
    assert!(text.contains("places more than"), "{text}");
    // One text of 20 megabytes of spaces, packed a thousand times smaller; and one tag of two megabytes.
    let spaces = vec![b' '; 20 << 20];
    let text = refused(&zipped(&[("3D/3dmodel.model", &spaces)]), "a.3mf");
    assert!(text.contains("more than a megabyte"), "{text}");
    let tag = [b"<model ".as_slice(), &vec![b'a'; 2 << 20], b"/>"].concat();
    assert!(refused(&zipped(&[("3D/3dmodel.model", &tag)]), "a.3mf").contains("more than a megabyte"));
    // Many small tags that say nothing.
    let junk = [b"<model>".as_slice(), &format!("<a{}/>", " ".repeat(60)).into_bytes().repeat(1 << 20)].concat();
    let text = refused(&zipped(&[("3D/3dmodel.model", &junk)]), "a.3mf");
    assert!(text.contains("far more than a model"), "{text}");
}

#[test]
fn ply_that_lies_about_itself() {
    let head = |vertices: u64, faces: u64, format: &str| {
        format!(
            "ply\nformat {format} 1.0\nelement vertex {vertices}\nproperty float x\nproperty float y\nproperty float z\n\
             element face {faces}\nproperty list uchar int vertex_indices\nend_header\n"
        )
    };
    let body = "0 0 0\n1 0 0\n0 1 0\n0 0 1\n3 0 2 1\n3 0 1 3\n3 0 3 2\n3 1 2 3\n";
    let good = format!("{}{body}", head(4, 4, "ascii"));
    assert_eq!(accepted(good.as_bytes(), "a.ply"), (4, String::new()));
    assert!(refused(format!("{}{body}", head(4_000_000_000, 4, "ascii")).as_bytes(), "a.ply").contains("only"));
    assert!(refused(format!("{}{body}", head(4, 5, "ascii")).as_bytes(), "a.ply").contains("cannot be read"));
    assert!(refused(&good.as_bytes()[..good.len() - 9], "a.ply").contains("cannot be read"));
    assert!(refused(good.replace("3 0 1 3", "3 0 1 9").as_bytes(), "a.ply").contains("face 1"));
    assert!(refused(good.replace("3 0 1 3", "3 0 1 -1").as_bytes(), "a.ply").contains("face 1"));
    assert!(refused(good.replace("3 0 1 3", "2 0 1").as_bytes(), "a.ply").contains("2 corners"));
    let nan = refused(good.replace("\n1 0 0\n", "\nnan 0 0\n").as_bytes(), "a.ply");
    assert!(nan.contains("line 11") && nan.contains("`nan 0 0`"), "{nan}");
    assert!(refused(good.replace("element face 4", "element vertex 4").as_bytes(), "a.ply").contains("comes twice"));
    assert!(refused(good.replace("property float z", "property float x").as_bytes(), "a.ply").contains("comes twice"));
    assert!(refused(good.replace("property float z\n", "").as_bytes(), "a.ply").contains("no property `z`"));
    assert!(refused(good.replace("end_header", "the_end").as_bytes(), "a.ply").contains("end_header"));
    assert!(refused(b"ply\n", "a.ply").contains("end_header"));
    let cloud = "ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n0 0 0\n";
    assert!(refused(cloud.as_bytes(), "a.ply").contains("point cloud"));
    // Binary, with a list that promises more than the file.
    let mut bytes = head(3, 1, "binary_big_endian").into_bytes();
    for c in [0.0_f32, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0] {
        bytes.extend(c.to_be_bytes());
    }
    let short = [bytes.as_slice(), &[200, 0, 0, 0, 0]].concat();
    assert!(refused(&short, "a.ply").contains("cannot be read"));
    let mut nan = bytes.clone();
    let second = nan.len() - 24;
    nan[second..second + 4].copy_from_slice(&f32::NAN.to_be_bytes());
    nan.extend([3, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 2]);
    let text = refused(&nan, "a.ply");
    assert!(text.contains("vertex 1") && text.contains("not a finite number"), "{text}");
    let right = [bytes.as_slice(), &[3, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 2]].concat();
    assert_eq!(accepted(&right, "a.ply").0, 1);
}

#[test]
fn points_that_no_triangle_uses_do_not_stretch_the_part() {
    let text = "v 0 0 0\nv 6 0 0\nv 0 6 0\nv 0 0 6\nv 900 900 900\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";
    let m = measure(text.as_bytes(), "a.obj", &Options { air: false, ..Options::default() }).unwrap();
    assert_eq!(m.size.map(|s| in_millimetres(s).round()), [6.0; 3]);
    assert!((in_cubic_millimetres(m.volume.unwrap().best) - 36.0).abs() < 1e-9);
}

#[test]
fn a_thicket_of_crossing_bodies_is_bounded_in_good_time() {
    // Three hundred needles through one plate and each other: thousands of cuts in a triangle.
    let mut all = cuboid([-50.0, -50.0, -0.5], [50.0, 50.0, 0.5]);
    for i in 0..300 {
        let a = f64::from(i) * 0.618;
        let r = rotation([a.cos(), a.sin(), 0.3], 0.2 + f64::from(i) * 0.01);
        all.extend(moved(&cuboid([-0.4, -0.4, -60.0], [0.4, 0.4, 60.0]), |p| apply(&r, p)));
    }
    let start = std::time::Instant::now();
    let (solid, warnings) = read(&stl(&all), "a.stl", None).unwrap();
    assert!(start.elapsed().as_secs() < 120, "{:?}", start.elapsed());
    let bounds = solid.envelope_bounds.map(in_cubic_millimetres);
    let sum = 10_000.0 + 300.0 * 0.64 * 120.0;
    assert!(bounds.low >= 10_000.0 && bounds.high <= sum * (1.0 + 1e-9), "{bounds:?}");
    assert!(bounds.low == bounds.high || warnings[0].message.contains("overlap"), "{warnings:?}");
}
