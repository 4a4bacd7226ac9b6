//! Mesh files as a person meets them: `measure` from a file and from standard input, and parts of a `plan`.

#[path = "../numbers/mesh/build.rs"]
#[allow(dead_code, clippy::duplicate_mod)]
mod build;

use super::{Ran, bathwright_in};
use bathwright::part::mesh;
use build::*;
use serde_json::Value;
use std::fs::File;
use std::path::Path;
use std::process::Command;

/// A folder with these files.
fn folder(files: &[(&str, Vec<u8>)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, bytes) in files {
        std::fs::write(folder.path().join(name), bytes).expect("a file");
    }
    folder
}

/// `measure - OPTIONS < FILE`.
fn from_input(file: &Path, options: &[&str]) -> Ran {
    let out = Command::new(env!("CARGO_BIN_EXE_bathwright"))
        .args(["measure", "-"])
        .args(options)
        .stdin(File::open(file).expect("the file opens"))
        .output()
        .expect("the program starts");
    Ran {
        code: out.status.code().unwrap_or(-1),
        out: String::from_utf8(out.stdout).expect("UTF-8"),
        err: String::from_utf8(out.stderr).expect("UTF-8"),
    }
}

/// A cube of 40 mm with a sealed cubic void of 20 mm in its middle.
fn hollow() -> Triangles {
    [cuboid([0.0; 3], [40.0; 3]), inside_out(&cuboid([10.0; 3], [30.0; 3]))].concat()
}

#[test]
fn every_format_measures_alike_from_a_file_and_from_standard_input() {
    let data = super::data().join("mesh");
    for (file, quick) in [
        ("numpy-stl/binary_Star.stl", true),
        ("stl-models/objects_gearwheel.ascii.stl", false),
        ("assimp-testmodels/box.3mf", false),
        ("assimp-testmodels/box.obj", false),
        ("ply-rs-bw/tetrahedron_little_endian.ply", false),
        ("pyvista/sphere.ply", false),
    ] {
        let path = data.join(file);
        for options in [&["--format", "json"][..], &["--format", "json", "--quick"], &["--up", "-x"]] {
            let arguments = [&["measure", file][..], options].concat();
            let (one, two) = (bathwright_in(&data, &arguments), from_input(&path, options));
            assert_eq!((one.code, two.code), (0, 0), "{file}: {}{}", one.err, two.err);
            assert_eq!(one.out.replace(file, "-"), two.out.replace("standard input", "-"), "{file} {options:?}");
            assert!(one.err.is_empty(), "{}", one.err);
            if options.contains(&"--quick") {
                // Only a binary STL is measured in one pass, and what is not says so.
                assert_eq!(one.out.contains("held in memory"), !quick, "{file}");
            }
        }
    }
}

/// Its convex hull went on for ever, with more memory for each round: thin facets between points far apart seemed to lie
/// below their own corners.
#[test]
fn points_that_lie_too_badly_for_a_hull_are_bound_by_their_box() {
    let found = bathwright_in(&super::data().join("mesh/fuzz"), &["measure", "far-apart.stl"]);
    assert_eq!(found.code, 0, "{}", found.err);
    assert!(
        found.out.contains("its volume is not known; it is at most 154717409039969024999424 mm³, the box round it"),
        "{}",
        found.out
    );
}

#[test]
fn a_damaged_mesh_is_an_error_that_names_the_file_and_says_what_to_do() {
    let good = binary_stl(&hollow());
    let files: [(&str, Vec<u8>, &str); 5] = [
        ("cut.stl", good[..good.len() - 10].to_vec(), "cut short"),
        ("empty.stl", Vec::new(), "the file is empty"),
        (
            "text.stl",
            b"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0\n".to_vec(),
            "the file ends inside a corner",
        ),
        ("letter.stl", b"Dear workshop, the pulls look fine.".to_vec(), "too short"),
        ("pack.3mf", b"PK\x03\x04 and nothing behind it".to_vec(), "cannot be opened"),
    ];
    let at = folder(&files.clone().map(|(name, bytes, _)| (name, bytes)));
    for (name, _, why) in &files {
        for more in [&[][..], &["--quick"]] {
            let ran = bathwright_in(at.path(), &[&["measure", name][..], more].concat());
            assert_eq!(ran.code, 2, "{name}: {}", ran.out);
            assert!(ran.err.contains(name) && ran.err.contains(why) || more == ["--quick"], "{name}: {}", ran.err);
            assert!(ran.out.is_empty());
        }
        let ran = bathwright_in(at.path(), &["plan", "kitchen-rust", "--part", &format!("{name}, 30 g, iron, PLA")]);
        assert!(ran.code == 2 && ran.err.contains(why), "{name}: {}", ran.err);
    }
}

/// Seven million triangles that take no room on the disk: refused by the header alone, from a file and in a plan; the
/// figures are those of `--help`.
#[test]
fn a_mesh_too_large_to_hold_is_refused_before_it_is_read() {
    let at = folder(&[("scan.stl", Vec::new())]);
    let path = at.path().join("scan.stl");
    let file = std::fs::OpenOptions::new().write(true).open(&path).expect("the file opens");
    let count = 7_000_000_u32;
    file.set_len(84 + 50 * u64::from(count)).expect("a sparse file");
    std::io::Write::write_all(&mut &file, &[&[b' '; 80][..], &count.to_le_bytes()].concat()).expect("a header");
    let help = bathwright_in(at.path(), &["measure", "--help"]).out;
    for arguments in [&["measure", "scan.stl"][..], &["plan", "kitchen-rust", "--part", "scan.stl, 1 kg, iron, PLA"]] {
        let ran = bathwright_in(at.path(), arguments);
        assert!(ran.code == 2 && ran.err.contains("7000000 triangles are more than the 6000000"), "{}", ran.err);
        assert!(ran.err.contains("about 400 bytes each") && ran.err.contains("--quick"), "{}", ran.err);
    }
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        help.contains("about 400 bytes for each triangle") && help.contains("more than 6000000 triangles"),
        "{help}"
    );
    assert_eq!((mesh::BYTES_PER_TRIANGLE, mesh::MOST_TRIANGLES), (400, 6_000_000));
}

#[test]
fn a_size_that_no_part_has_is_doubted_and_the_unit_can_be_said() {
    let small = cuboid([0.0; 3], [0.04, 0.03, 0.05]);
    let at = folder(&[("metres.stl", binary_stl(&small))]);
    for quick in [&[][..], &["--quick"]] {
        let ran = bathwright_in(at.path(), &[&["measure", "metres.stl"][..], quick].concat());
        assert!(ran.out.contains("probably the file is in metres or inches"), "{}", ran.out);
        let ran = bathwright_in(at.path(), &[&["measure", "metres.stl", "--unit", "m"][..], quick].concat());
        assert!(ran.out.contains("40 x 30 x 50 mm") && !ran.out.contains("probably"), "{}", ran.out);
    }
    let part = |text: &str| {
        bathwright_in(
            at.path(),
            &["plan", "kitchen-rust", "--part", text, "--vessel", "jar 90x120 mm, glass", "--format", "json"],
        )
    };
    // Sixty grams are too many for a mote: that the unit may be another is said with the words that name it.
    let ran = part("metres.stl, 60 g, iron, PLA");
    assert!(ran.code == 2 && ran.err.contains("`unit m`"), "{}", ran.err);
    let ran = part("metres.stl, unit m, 60 g, iron, PLA");
    let displaced = ran.json()["immersion"]["parts"][0]["displaced_ml"].as_f64().unwrap();
    assert!((displaced - 60.0).abs() < 1e-5, "{displaced}");
}

#[test]
fn bodies_that_overlap_displace_their_union_and_what_is_counted_twice_is_said() {
    let bars = [cuboid([0.0; 3], [60.0, 20.0, 20.0]), cuboid([0.0; 3], [20.0, 20.0, 70.0])].concat();
    let at = folder(&[("angle.stl", binary_stl(&bars))]);
    let ran = bathwright_in(at.path(), &["measure", "angle.stl"]);
    // 60 x 20 x 20 and 20 x 20 x 50 above it; 8 mL are in both bars.
    assert!(ran.out.contains("displaces     44 mL\n"), "{}", ran.out);
    assert!(ran.out.contains("volume        52 mL (bodies that overlap counted each)"), "{}", ran.out);
    assert!(!ran.out.contains("warning"), "{}", ran.out);
}

#[test]
fn a_mesh_that_is_not_closed_displaces_between_two_ends() {
    let mut open = cuboid([0.0; 3], [40.0, 40.0, 80.0]);
    open.pop();
    let at = folder(&[("open.stl", binary_stl(&open))]);
    let ran = bathwright_in(at.path(), &["measure", "open.stl"]);
    assert!(ran.out.contains("volume        not known") && ran.out.contains("at most       128 mL"), "{}", ran.out);
    let plan = |format: &str| {
        bathwright_in(
            at.path(),
            &["plan", "kitchen-rust", "--part", "open.stl, 70 g, iron, PLA", "--vessel", "jar 100x160 mm, glass"]
                .into_iter()
                .chain(["--format", format])
                .collect::<Vec<_>>(),
        )
    };
    let found = plan("json").json();
    let part = &found["immersion"]["parts"][0];
    assert_eq!((&part["displaced_ml_low"], &part["displaced_ml_high"]), (&Value::from(0.0), &Value::from(128.0)));
    assert!(part["caught_air_ml"].is_null(), "{part}");
    let text = plan("text").out;
    assert!(text.contains("`open.stl`: the surface is not closed"), "{text}");
}

#[test]
fn a_hollow_print_weighs_its_walls_and_the_weighed_mass_wins() {
    let at = folder(&[("hollow.stl", binary_stl(&hollow()))]);
    let plan = |part: &str| {
        let ran = bathwright_in(
            at.path(),
            &["plan", "kitchen-rust", "--part", part, "--vessel", "jar 100x160 mm, glass", "--format", "json"],
        );
        assert!(ran.code == 0, "{}", ran.err);
        ran.json()
    };
    // All material: 40³ less 20³ mm³ at 2 g/cm³, though it displaces 40³.
    let solid = plan("hollow.stl, 100 % infill, 1.2 mm walls, filament 2 g/cm3, iron, PLA");
    let part = &solid["immersion"]["parts"][0];
    assert!((part["mass_g"].as_f64().unwrap() - 112.0).abs() < 1e-6, "{part}");
    assert_eq!(part["displaced_ml"], 64.0);
    // Empty between walls of 1 mm: 40³ less 38³, and what lies within 1 mm of the void (Steiner 1840), to 1 %.
    let pi = std::f64::consts::PI;
    let want = 2e-3 * (64_000.0 - 54_872.0 + 6.0 * 400.0 + 3.0 * 20.0 * pi + 4.0 / 3.0 * pi);
    let walls = "0 % infill, 1 mm walls, filament 2 g/cm3, iron, PLA";
    let shell = plan(&format!("hollow.stl, {walls}"));
    let mass = shell["immersion"]["parts"][0]["mass_g"].as_f64().unwrap();
    assert!((mass - want).abs() < 0.01 * want, "{mass} for {want}");
    let weighed = plan(&format!("hollow.stl, 25 g, {walls}"));
    assert_eq!(weighed["immersion"]["parts"][0]["mass_g"], 25.0);
    let notes = weighed["notes"].to_string();
    assert!(
        notes.contains("Weighed 25 g; the print make-up says 23.") && notes.contains("weighed mass is used"),
        "{notes}"
    );
}

/// Parts that come out one after the other, in a vessel known by what was poured into it: 100 cm² all the way up.
#[test]
fn the_level_after_each_lift_is_that_of_what_stays() {
    let at = folder(&[
        ("tall.stl", binary_stl(&cuboid([0.0; 3], [40.0, 40.0, 60.0]))),
        ("low.stl", binary_stl(&cuboid([0.0; 3], [40.0, 40.0, 20.0]))),
        (
            "bench.yaml",
            b"vessels:\n- {name: odd pot, levels: [[50 mm, 500 mL], [150 mm, 1500 mL]], material: glass, cover: loose}\n".to_vec(),
        ),
    ]);
    let ran = bathwright_in(
        at.path(),
        &[
            "plan",
            "kitchen-rust",
            "--bench",
            "bench.yaml",
            "--vessel",
            "odd pot",
            "--format",
            "json",
            "--part",
            "tall.stl, standing, 300 g, iron, PLA, lift 12 h",
            "--part",
            "low.stl, standing, 100 g, iron, PLA, lift 24 h",
        ],
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    let plan = ran.json();
    let found = &plan["immersion"];
    let near =
        |v: &Value, want: f64| assert!((v.as_f64().unwrap_or(f64::NAN) - want).abs() < 1e-6, "{v} for {want}: {found}");
    // 60 mm and 15 mm of cover; both displace 96 + 32 mL; heavier than any bath, they need no ballast.
    near(&found["fill_line_mm"], 75.0);
    near(&found["liquid_ml"], 750.0 - 128.0);
    assert_eq!(found["ballast"].as_array().map(Vec::len), Some(0));
    let lifts = found["lifts"].as_array().expect("lifts");
    // What stays is 20 mm high and has more than its cover left: nothing to top up.
    near(&lifts[0]["level_mm"], 75.0 - 9.6);
    near(&lifts[0]["reserve_ml"], 0.0);
    assert_eq!(lifts[0]["covered"], true);
    near(&lifts[1]["level_mm"], 75.0 - 12.8);
}
