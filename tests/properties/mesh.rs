//! Properties of `mesh` that hold for every input.

#[path = "../numbers/mesh/build.rs"]
#[allow(dead_code, clippy::duplicate_mod)]
mod build;

use bathwright::amount::*;
use bathwright::part::Side;
use bathwright::part::mesh::{Options, QuickOptions, load, measure, quick, read};
use build::*;
use proptest::prelude::*;
use std::io::Write;

const SIDES: [Side; 6] = [Side::PlusX, Side::MinusX, Side::PlusY, Side::MinusY, Side::PlusZ, Side::MinusZ];

fn rotations() -> impl Strategy<Value = [P; 3]> {
    (prop::array::uniform3(-1.0..1.0f64), 0.0..6.3f64)
        .prop_filter("an axis", |(a, _)| a.iter().map(|x| x * x).sum::<f64>() > 0.01)
        .prop_map(|(axis, angle)| rotation(axis, angle))
}

fn boxes() -> impl Strategy<Value = (P, P)> {
    (prop::array::uniform3(-10.0..10.0f64), prop::array::uniform3(0.5..12.0f64))
        .prop_map(|(low, size)| (low, std::array::from_fn(|i| low[i] + size[i])))
}

/// Bodies of revolution with random bumps.
fn bodies() -> impl Strategy<Value = Triangles> {
    (prop::collection::vec(0.5..6.0f64, 2..6), 3..24_usize).prop_map(|(radii, n)| {
        let mut profile = vec![(0.0, 0.0)];
        profile.extend(radii.iter().enumerate().map(|(i, r)| (*r, i as f64 + 0.5)));
        profile.push((0.0, radii.len() as f64));
        turned(&profile, n)
    })
}

fn volume_of(a: &(P, P)) -> f64 {
    (0..3).map(|i| (a.1[i] - a.0[i]).max(0.0)).product()
}

fn common(a: &(P, P), b: &(P, P)) -> (P, P) {
    (std::array::from_fn(|i| a.0[i].max(b.0[i])), std::array::from_fn(|i| a.1[i].min(b.1[i])))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn turning_and_shifting_change_nothing(body in bodies(), r in rotations(), shift in prop::array::uniform3(-1e4..1e4f64)) {
        let still = solid(&body);
        let moved = solid(&moved(&body, |p| { let q = apply(&r, p); std::array::from_fn(|i| q[i] + shift[i]) }));
        let (a, b) = (in_cubic_millimetres(still.envelope), in_cubic_millimetres(moved.envelope));
        prop_assert!((a - b).abs() <= 1e-9 * a, "{a} {b}");
        let (a, b) = (in_square_millimetres(still.area), in_square_millimetres(moved.area));
        prop_assert!((a - b).abs() <= 1e-9 * a);
        prop_assert!(moved.watertight);
        let c = moved.centroid.unwrap().map(in_millimetres);
        let want = apply(&r, still.centroid.unwrap().map(in_millimetres));
        for i in 0..3 {
            prop_assert!((c[i] - want[i] - shift[i]).abs() < 1e-6);
        }
    }

    #[test]
    fn what_is_below_grows_with_the_level_and_sums_with_what_is_above(body in bodies(), r in rotations(), levels in prop::collection::vec(-0.1..1.1f64, 8)) {
        let part = solid(&body).turned(r).unwrap();
        let whole = in_cubic_millimetres(part.envelope);
        for [up, down] in [[0, 1], [2, 3], [4, 5]].map(|p| p.map(|i: usize| SIDES[i])) {
            let height = part.height(up);
            let mut levels = levels.clone();
            levels.sort_by(f64::total_cmp);
            let mut before = (0.0, 0.0);
            for t in levels {
                let below = in_cubic_millimetres(part.envelope_below(height * t, up));
                let wet = in_square_millimetres(part.wetted_area_below(height * t, up));
                let above = in_cubic_millimetres(part.envelope_below(height * (1.0 - t), down));
                prop_assert!((below + above - whole).abs() <= 1e-9 * whole, "{below} {above} {whole}");
                prop_assert!(below >= before.0 - 1e-12 * whole && wet >= before.1 - 1e-9);
                before = (below, wet);
            }
            // The circle holds the box's sides and is held by its diagonal.
            let [x, y, _] = part.size_with(up).map(in_millimetres);
            let d = in_millimetres(part.enclosing_diameter(up));
            prop_assert!(d >= x.max(y) - 1e-9 && d <= x.hypot(y) + 1e-9);
        }
    }

    #[test]
    fn the_waterplane_is_the_slope_of_the_volume(body in bodies(), r in rotations(), t in 0.05..0.95f64) {
        let part = solid(&body).turned(r).unwrap();
        let h = in_millimetres(part.height(Side::PlusZ));
        let step = 1e-5 * h;
        let at = |z: f64| in_cubic_millimetres(part.envelope_below(millimetres(z), Side::PlusZ));
        let slope = (at(h * t + step) - at(h * t - step)) / (2.0 * step);
        let plane = in_square_millimetres(part.waterline(millimetres(h * t), Side::PlusZ).waterplane_area);
        // A level that meets a corner or edge has a kink there; the slope is then off by what the step covers.
        prop_assert!((slope - plane).abs() <= 2e-3 * (plane + 1.0), "{slope} {plane}");
    }

    #[test]
    fn three_boxes_displace_their_union(a in boxes(), b in boxes(), c in boxes(), r in rotations(), turn in any::<bool>()) {
        let all = [cuboid(a.0, a.1), cuboid(b.0, b.1), cuboid(c.0, c.1)].concat();
        let part = solid(&moved(&all, |p| if turn { apply(&r, p) } else { p }));
        let (ab, bc, ca) = (common(&a, &b), common(&b, &c), common(&c, &a));
        let v = volume_of;
        let want = v(&a) + v(&b) + v(&c) - v(&ab) - v(&bc) - v(&ca) + v(&common(&ab, &c));
        let got = in_cubic_millimetres(part.envelope);
        prop_assert!((got - want).abs() <= 1e-6 * want, "{got} instead of {want}");
    }

    /// Boxes on a grid share corners, edges, faces and parts of faces in every way.
    #[test]
    fn boxes_on_a_grid_displace_the_cells_they_fill(
        boxes in prop::collection::vec((prop::array::uniform3(0..4_i32), prop::array::uniform3(1..4_i32)), 2..5),
        r in rotations(),
        turn in any::<bool>(),
    ) {
        let all: Triangles = boxes
            .iter()
            .flat_map(|(low, size)| cuboid(low.map(f64::from), std::array::from_fn(|i| f64::from(low[i] + size[i]))))
            .collect();
        let filled = |p: [i32; 3]| boxes.iter().any(|(l, s)| (0..3).all(|i| l[i] <= p[i] && p[i] < l[i] + s[i]));
        let want = (0..343).filter(|c| filled([c % 7, c / 7 % 7, c / 49])).count() as f64;
        let (part, warnings) =
            read(&stl(&moved(&all, |p| if turn { apply(&r, p) } else { p })), "grid.stl", None).unwrap();
        let v = part.envelope_bounds.map(in_cubic_millimetres);
        prop_assert!(v.low <= want * (1.0 + 1e-6) && want <= v.high * (1.0 + 1e-6), "{v:?} for {want}");
        if warnings.is_empty() {
            prop_assert!((v.best - want).abs() <= 1e-6 * want, "{v:?} instead of {want}");
        }
        prop_assert!(turn || warnings.is_empty(), "{warnings:?} {want}");
    }

    #[test]
    fn the_formats_say_the_same(points in prop::collection::vec(prop::array::uniform3(-99.0..99.0f32), 4..20), faces in prop::collection::vec(prop::array::uniform3(0..20_usize), 1..40)) {
        let triangles: Triangles = faces.iter().map(|f| f.map(|i| points[i % points.len()].map(f64::from))).collect();
        let want = load(&stl(&triangles), "a.stl", None).unwrap().0;
        for (bytes, name) in [(binary_stl(&triangles), "a.stl"), (obj(&triangles), "a.obj"), (ply(&triangles), "a.ply"), (threemf(&triangles), "a.3mf")] {
            let (got, _) = load(&bytes, name, None).unwrap();
            prop_assert_eq!(&got, &want, "{}", name);
        }
    }

    #[test]
    fn damaged_files_never_panic(which in 0..5_usize, damage in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4_u8), 1..12), cut in prop::option::of(any::<prop::sample::Index>())) {
        let cube = cuboid([0.0; 3], [10.0; 3]);
        let (mut bytes, name) = match which {
            0 => (binary_stl(&cube), "a.stl"),
            1 => (stl(&cube), "a.stl"),
            2 => (obj(&cube), "a.obj"),
            3 => (ply(&cube), "a.ply"),
            _ => (threemf(&cube), "a.3mf"),
        };
        for (at, byte, kind) in damage {
            let i = at.index(bytes.len());
            match kind {
                0 => bytes[i] = byte,
                1 => bytes[i] ^= 1 << (byte % 8),
                2 => bytes.insert(i, byte),
                _ => {
                    bytes.remove(i);
                }
            }
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        let options = Options { air: false, ..Options::default() };
        if let Ok(m) = measure(&bytes, name, &options) {
            prop_assert!(in_square_millimetres(m.area).is_finite());
            // Never a volume without a warning when the surface is not closed.
            prop_assert!(m.watertight || m.volume.is_none() || !m.warnings.is_empty());
            if let Some(v) = m.volume {
                prop_assert!(v.best.is_finite() && in_cubic_millimetres(v.low) <= in_cubic_millimetres(v.high));
            }
        }
        let _ = quick(bytes.as_slice(), None, name, &QuickOptions { threads: 1, ..QuickOptions::default() });
    }

    #[test]
    fn any_bytes_are_met_without_panic(bytes in prop::collection::vec(any::<u8>(), 0..400), name in "[a-z]{0,3}\\.(stl|obj|ply|3mf|x)") {
        let _ = read(&bytes, &name, None);
        let _ = quick(bytes.as_slice(), Some(bytes.len() as u64), &name, &QuickOptions::default());
    }
}

fn obj(triangles: &[[P; 3]]) -> Vec<u8> {
    let mut text = String::new();
    for t in triangles {
        for p in t {
            text.push_str(&format!("v {:?} {:?} {:?}\n", p[0], p[1], p[2]));
        }
        text.push_str("f -3 -2 -1\n");
    }
    text.into_bytes()
}

fn ply(triangles: &[[P; 3]]) -> Vec<u8> {
    let n = triangles.len();
    let mut text = format!(
        "ply\nformat ascii 1.0\ncomment made\nelement vertex {}\nproperty double x\nproperty double y\nproperty double z\n\
         element face {n}\nproperty list uchar int vertex_indices\nend_header\n",
        3 * n
    );
    for p in triangles.iter().flatten() {
        text.push_str(&format!("{:?} {:?} {:?}\n", p[0], p[1], p[2]));
    }
    for i in 0..n {
        text.push_str(&format!("3 {} {} {}\n", 3 * i, 3 * i + 1, 3 * i + 2));
    }
    text.into_bytes()
}

fn threemf(triangles: &[[P; 3]]) -> Vec<u8> {
    let mut text = String::from(
        "<model xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><resources><object id=\"1\"><mesh><vertices>",
    );
    for p in triangles.iter().flatten() {
        text.push_str(&format!("<vertex x=\"{:?}\" y=\"{:?}\" z=\"{:?}\"/>", p[0], p[1], p[2]));
    }
    text.push_str("</vertices><triangles>");
    for i in 0..triangles.len() {
        text.push_str(&format!("<triangle v1=\"{}\" v2=\"{}\" v3=\"{}\"/>", 3 * i, 3 * i + 1, 3 * i + 2));
    }
    text.push_str("</triangles></mesh></object></resources><build><item objectid=\"1\"/></build></model>");
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    zip.start_file("3D/3dmodel.model", zip::write::SimpleFileOptions::default()).unwrap();
    zip.write_all(text.as_bytes()).unwrap();
    zip.finish().unwrap().into_inner()
}
