//! Published values for `mesh`.
//!
//! `tests/data/mesh/meshes.yaml` holds, for meshes of other people's published packages, long-double sums over their
//! triangles, and what trimesh, manifold3d, PyMeshLab and VTK say of the same files.

mod build;
mod damaged;
mod solids;

use bathwright::amount::*;
use bathwright::part::Side;
use bathwright::part::mesh::{Measurement, Options, measure, read};
use serde_yaml::Value;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/mesh");

fn meshes() -> Vec<(String, Value, Vec<u8>)> {
    let table = std::fs::read_to_string(format!("{FOLDER}/meshes.yaml")).unwrap();
    let table: Value = serde_yaml::from_str(&table).unwrap();
    let meshes = table["meshes"].as_mapping().unwrap();
    meshes
        .iter()
        .map(|(name, entry)| {
            let name = name.as_str().unwrap().to_string();
            let bytes = std::fs::read(format!("{FOLDER}/{name}")).unwrap();
            assert_eq!(entry["bytes"].as_u64().unwrap(), bytes.len() as u64, "{name}");
            (name, entry.clone(), bytes)
        })
        .collect()
}

fn without_air() -> Options {
    Options { air: false, ..Options::default() }
}

#[track_caller]
fn near(got: f64, want: f64, scale: f64, what: &str) {
    assert!((got - want).abs() <= 1e-6 * scale, "{what}: {got} instead of {want}");
}

fn list(v: &Value) -> Vec<f64> {
    v.as_sequence().unwrap().iter().map(|n| n.as_f64().unwrap()).collect()
}

fn sides(axis: &str) -> [Side; 2] {
    match axis {
        "x" => [Side::PlusX, Side::MinusX],
        "y" => [Side::PlusY, Side::MinusY],
        _ => [Side::PlusZ, Side::MinusZ],
    }
}

#[test]
fn reference_meshes_measure_as_in_the_table() {
    for (name, entry, bytes) in meshes() {
        let m: Measurement = measure(&bytes, &name, &without_air()).unwrap_or_else(|p| panic!("{name}: {p}"));
        let expect = entry["expect"].as_str().unwrap();
        if expect == "ok" {
            assert_eq!(m.warnings, [], "{name}");
        }
        if let Some(volume) = entry["true_volume"].as_f64() {
            near(in_cubic_millimetres(m.volume.unwrap().best), volume, volume, &name);
            continue;
        }
        let area = entry["area"].as_f64().unwrap();
        near(in_square_millimetres(m.area), area, area, &name);
        assert_eq!(m.triangles, entry["triangles"].as_u64().unwrap(), "{name}");
        let (low, high) = (list(&entry["bbox_min"]), list(&entry["bbox_max"]));
        for i in 0..3 {
            let size = high[i] - low[i];
            near(in_millimetres(m.size[i]), size, size.max(1e-3), &name);
            near(in_millimetres(m.corners[0][i]), low[i], size.max(1e-3), &name);
        }
        assert_eq!(m.watertight, entry["closed_oriented"].as_bool().unwrap(), "{name}");
        let topology = &entry["topology"];
        let faults = m.faults.as_ref().unwrap();
        for (key, got) in [
            ("boundary_edges", faults.open_edges),
            ("nonmanifold_edges", faults.crowded_edges),
            ("inconsistent_edges", faults.flipped_edges),
            ("unbalanced_edges", faults.unmatched_edges),
            ("duplicate_faces", faults.repeated_faces),
            ("degenerate_area", faults.flat_faces),
        ] {
            assert_eq!(got as u64, topology[key].as_u64().unwrap(), "{name}: {key}");
        }
        assert_eq!(m.bodies.unwrap() as u64, entry["trimesh"]["bodies"].as_u64().unwrap(), "{name}");
        if expect == "ok" {
            let volume = entry["signed_volume"].as_f64().unwrap();
            near(in_cubic_millimetres(m.volume.unwrap().best), volume, volume, &name);
            let envelope = entry["envelope_volume"].as_f64().unwrap();
            near(in_cubic_millimetres(m.envelope.unwrap().best), envelope, envelope, &name);
            let centroid = m.centroid.unwrap();
            for (got, want) in centroid.iter().zip(list(&entry["centroid"])) {
                near(in_millimetres(*got), want, in_millimetres(m.size[0]).max(1.0), &name);
            }
        } else {
            // Open: no volume, a bound by the hull where there is one, and a warning that says so.
            assert_eq!((m.volume, m.envelope), (None, None), "{name}");
            assert!(m.warnings.iter().any(|w| w.message.contains("not closed") && !w.hints.is_empty()), "{name}");
            if let Some(hull) = entry["hull_volume"].as_f64() {
                near(in_cubic_millimetres(m.at_most.unwrap()), hull, hull, &name);
            }
            if let Some(raw) = entry["raw_signed_volume"].as_f64().filter(|r| *r != 0.0) {
                assert!(m.at_most.is_none_or(|v| (in_cubic_millimetres(v) - raw).abs() > 1e-3), "{name}");
            }
        }
        for (axis, upright) in entry["upright_along"].as_mapping().into_iter().flatten() {
            for up in sides(axis.as_str().unwrap()) {
                let m = measure(&bytes, &name, &Options { up, ..without_air() }).unwrap();
                let cylinder = m.cylinder.unwrap();
                let radius = upright["enclosing_circle_radius"].as_f64().unwrap();
                near(in_millimetres(cylinder.diameter), 2.0 * radius, radius, &name);
                let height = upright["height"].as_f64().unwrap();
                near(in_millimetres(cylinder.height), height, height, &name);
            }
        }
    }
}

#[test]
fn reference_meshes_displace_below_a_level_as_in_the_table() {
    for (name, entry, bytes) in meshes() {
        let Some(rows) = entry["waterline"].as_sequence() else { continue };
        let (solid, _) = read(&bytes, &name, None).unwrap();
        let low = list(&entry["bbox_min"]);
        let whole = in_cubic_millimetres(solid.envelope);
        for row in rows {
            let axis = row["up"].as_str().unwrap();
            let index = ["x", "y", "z"].iter().position(|a| *a == axis).unwrap();
            let level = millimetres(row["h"].as_f64().unwrap() - low[index]);
            let [up, down] = sides(axis);
            let want = row["volume_below"].as_f64().unwrap();
            let got = in_cubic_millimetres(solid.envelope_below(level, up));
            if solid.overlapping {
                // The table counts overlaps twice, below any level at most as often as in the whole.
                let twice = entry["signed_volume"].as_f64().unwrap() - entry["envelope_volume"].as_f64().unwrap();
                assert!(got <= want * (1.0 + 1e-9) && got >= want - twice - 1e-9 * want, "{name} {axis}: {got} {want}");
            } else {
                near(got, want, want, &format!("{name} {axis}"));
                near(got, row["manifold3d"].as_f64().unwrap(), want, &format!("{name} {axis}"));
            }
            let rest = in_cubic_millimetres(solid.envelope_below(solid.height(up) - level, down));
            near(got + rest, whole, whole, &name);
        }
    }
}

#[test]
fn the_streaming_pass_agrees_with_the_whole_one_on_any_number_of_threads() {
    use bathwright::part::mesh::{QuickOptions, quick, quick_at};
    let mut seen = 0;
    for (name, _, bytes) in meshes() {
        let options = |threads| QuickOptions { threads, ..QuickOptions::default() };
        let Ok(one) = quick(bytes.as_slice(), Some(bytes.len() as u64), &name, &options(1)) else { continue };
        seen += 1;
        let two = quick(bytes.as_slice(), None, &name, &options(3)).unwrap();
        assert_eq!(one.volume, two.volume);
        assert_eq!(one.area, two.area);
        // From a file, whose blocks several threads read at once, the same to the last bit; and wherever its handle stands.
        let mut file = tempfile::tempfile().unwrap();
        std::io::Write::write_all(&mut file, &bytes).unwrap();
        let (file, length) = (bathwright::command::MeshFile(file), bytes.len() as u64);
        for threads in [0, 1, 2, 5] {
            let found = quick_at(&file, length, &name, &options(threads)).unwrap();
            assert_eq!((found.volume, found.area, found.size), (one.volume, one.area, one.size));
            assert_eq!((found.watertight, found.triangles), (one.watertight, one.triangles));
        }
        let whole = measure(&bytes, &name, &without_air()).unwrap();
        let (a, b) = (one.volume.unwrap().best, whole.volume.unwrap().best);
        near(in_cubic_millimetres(a), in_cubic_millimetres(b), 1e-6 * in_cubic_millimetres(b), &name);
        assert_eq!((one.size, one.watertight, one.triangles), (whole.size, whole.watertight, whole.triangles));
        near(in_square_millimetres(one.area), in_square_millimetres(whole.area), 1e-3, &name);
    }
    assert_eq!(seen, 2, "binary STL files in the table");
}
