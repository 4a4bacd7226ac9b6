//! What a mesh measures, as text and as JSON.

use crate::amount::{
    Area, Estimate, Length, Volume, in_cubic_millimetres, in_millilitres, in_millimetres, in_square_millimetres,
};
use crate::part::Side;
use crate::part::mesh::{AirTrap, AirTraps, Cylinder, Measurement};
use crate::sheet::json::SCHEMA_VERSION;
use crate::sheet::words;
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// The result for scripts. What is not known is null; `not_measured` names what the streaming pass leaves out.
pub fn render_json(m: &Measurement) -> Value {
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| {
        out.insert(key.to_string(), value);
    };
    put("schema_version", json!(SCHEMA_VERSION));
    estimate(&mut put, "volume_mm3", m.volume, m.at_most);
    estimate(&mut put, "envelope_mm3", m.envelope, m.at_most);
    put("void_mm3", json!(m.voids.map(in_cubic_millimetres)));
    put("area_mm2", json!(in_square_millimetres(m.area)));
    put("envelope_area_mm2", json!(m.envelope_area.map(in_square_millimetres)));
    put("size_mm", lengths(&m.size));
    put("box_min_mm", lengths(&m.corners[0]));
    put("box_max_mm", lengths(&m.corners[1]));
    put("watertight", json!(m.watertight));
    put("bodies", json!(m.bodies));
    put("bodies_overlap", json!(m.overlapping));
    put("triangles", json!(m.triangles));
    put("centroid_mm", m.centroid.as_ref().map_or(Value::Null, lengths));
    put(
        "faults",
        m.faults.as_ref().map_or(Value::Null, |f| {
            json!({
                "open_edges": f.open_edges,
                "crowded_edges": f.crowded_edges,
                "flipped_edges": f.flipped_edges,
                "unmatched_edges": f.unmatched_edges,
                "repeated_faces": f.repeated_faces,
                "flat_faces": f.flat_faces,
                "holes": f.hole_count,
                "hole_places_mm": f.holes.as_ref().map(|h| h.iter().map(lengths).collect::<Vec<_>>()),
            })
        }),
    );
    put("up", json!(m.up.name()));
    let wetted = m.wetted.as_ref();
    put("height_mm", json!(wetted.map(|w| in_millimetres(w.height))));
    estimate(&mut put, "wetted_volume_mm3", wetted.and_then(|w| w.volume), None);
    put("wetted_area_mm2", json!(wetted.and_then(|w| w.area).map(in_square_millimetres)));
    let buoyancy = wetted.and_then(|w| w.centre_of_buoyancy.as_ref());
    put("centre_of_buoyancy_mm", buoyancy.map_or(Value::Null, lengths));
    put("waterplane_mm2", json!(wetted.and_then(|w| w.waterplane).map(in_square_millimetres)));
    put("enclosing_cylinder_mm", cylinder(&m.cylinder));
    put("smallest_cylinder_mm", cylinder(&m.smallest_cylinder));
    put(
        "smallest_box_mm",
        m.smallest_box.as_ref().map_or(
            Value::Null,
            |b| json!({ "up": b.up.name(), "size": lengths(&b.size), "turned_degrees": b.turned_degrees }),
        ),
    );
    put("air_traps", m.air.as_ref().map_or(Value::Null, |a| a.traps.iter().map(trap).collect()));
    put("air_total_mm3", json!(m.air.as_ref().map(|a| in_cubic_millimetres(a.total))));
    put("air_pitch_mm", json!(m.air.as_ref().map(|a| in_millimetres(a.pitch))));
    put("air_repeats", json!(m.air.as_ref().map(|a| a.repeats)));
    put("air_unresolved_mm3", json!(m.air.as_ref().map(|a| in_cubic_millimetres(a.unresolved))));
    put(
        "not_measured",
        if m.quick {
            json!(["envelope", "bodies", "centroid", "faults", "wetted_volume", "enclosing_cylinder", "air_traps"])
        } else {
            json!([])
        },
    );
    put("warnings", m.warnings.iter().map(sentence).collect());
    Value::Object(out)
}

/// A key with its two ends beside it when they differ or only the upper is known.
fn estimate(put: &mut impl FnMut(&str, Value), key: &str, known: Option<Estimate<Volume>>, at_most: Option<Volume>) {
    let known = known.map(|e| e.map(in_cubic_millimetres));
    put(key, json!(known.map(|e| e.best)));
    let ends = match (known, at_most) {
        (Some(e), _) if e.low != e.high => Some((e.low, e.high)),
        (None, Some(high)) => Some((0.0, in_cubic_millimetres(high))),
        _ => None,
    };
    if let Some((low, high)) = ends {
        put(&format!("{key}_low"), json!(low));
        put(&format!("{key}_high"), json!(high));
    }
}

fn lengths(p: &[Length; 3]) -> Value {
    json!(p.map(in_millimetres))
}

fn cylinder(c: &Option<Cylinder>) -> Value {
    c.as_ref().map_or(
        Value::Null,
        |c| json!({ "diameter": in_millimetres(c.diameter), "height": in_millimetres(c.height), "up": c.up.name() }),
    )
}

fn trap(t: &AirTrap) -> Value {
    json!({
        "volume_mm3": in_cubic_millimetres(t.volume),
        "place_mm": lengths(&t.place),
        "mouth_mm": in_millimetres(t.mouth),
        "top_mm": in_millimetres(t.top),
        "resolved": t.resolved,
        "tilt": t.tilt.map(|tilt| json!({ "angle_degrees": tilt.angle_degrees, "raised": tilt.raised })),
    })
}

/// A warning as one line, with what to do.
fn sentence(p: &crate::diag::Problem) -> String {
    std::iter::once(p.message.clone()).chain(p.hints.iter().cloned()).collect::<Vec<_>>().join("; ")
}

/// The name of a side as it is typed.
/// The result for people. Warnings come last, each on a line of its own.
pub fn render_text(m: &Measurement) -> String {
    let mut page = Page(String::new());
    let unknown = if m.quick { "not measured by the quick pass" } else { "not known: the surface is not closed" };
    page.line("size", &format!("{} mm (x, y, z)", triple(&m.size, " x ")));
    page.line("area", &area(m.area));
    // Where bodies overlap, the sum over them counts what they share more than once.
    let twice = match (m.volume, m.envelope) {
        (Some(v), Some(e)) if v.best > e.best * (1.0 + 1e-6) => " (bodies that overlap counted each)",
        _ => "",
    };
    let known = m.volume.map(|v| format!("{}{twice}", volume(v)));
    page.line("volume", &known.unwrap_or_else(|| "not known: the surface is not closed".into()));
    page.line("displaces", &m.envelope.map_or_else(|| unknown.to_string(), volume));
    if let Some(most) = m.at_most {
        page.line("at most", &volume(Estimate::exact(most)));
    }
    if let Some(voids) = m.voids.filter(|v| in_cubic_millimetres(*v) > 0.0) {
        page.line("sealed voids", &format!("{} (they stay dry)", volume(Estimate::exact(voids))));
    }
    page.line("watertight", if m.watertight { "yes" } else { "no" });
    let bodies = m.bodies.map_or(String::new(), |n| format!(" in {n} {}", if n == 1 { "body" } else { "bodies" }));
    let overlap = match (m.overlapping, m.bodies) {
        (Some(true), Some(1)) => ", which overlaps itself",
        (Some(true), _) => ", which overlap",
        _ => "",
    };
    page.line("triangles", &format!("{}{bodies}{overlap}", m.triangles));
    if let Some(c) = &m.centroid {
        page.line("centroid", &format!("{} mm", triple(c, ", ")));
    }
    if let Some(w) = &m.wetted {
        let level = format!("below {} mm", mm(in_millimetres(w.height)));
        let text = w.volume.map_or_else(|| unknown.to_string(), |v| format!("{} with {} up", volume(v), m.up.name()));
        page.line(&level, &text);
        if let Some(a) = w.area {
            page.line("wetted area", &area(a));
        }
        if let Some(c) = &w.centre_of_buoyancy {
            page.line("buoyancy at", &format!("{} mm", triple(c, ", ")));
        }
    }
    for (name, c) in [("stands in", &m.cylinder), ("smallest", &m.smallest_cylinder)] {
        if let Some(c) = c {
            let (d, h) = (mm(in_millimetres(c.diameter)), mm(in_millimetres(c.height)));
            page.line(name, &format!("a cylinder {d} mm across and {h} mm high, {} up", c.up.name()));
        }
    }
    if let Some(b) = &m.smallest_box {
        let turned = if b.turned_degrees > 0.0 {
            format!(", turned by {} degrees", mm(b.turned_degrees))
        } else {
            String::new()
        };
        page.line("", &format!("a box {} mm, {} up{turned}", triple(&b.size, " x "), b.up.name()));
    }
    if let Some(air) = &m.air {
        air_lines(&mut page, air, m.up);
    }
    for w in &m.warnings {
        let _ = write!(page.0, "\nwarning: {}\n", w.message);
        for hint in &w.hints {
            let _ = writeln!(page.0, "  {hint}");
        }
    }
    page.0
}

fn air_lines(page: &mut Page, air: &AirTraps, up: Side) {
    let grid = format!("grid {} mm", mm(in_millimetres(air.pitch)));
    if air.traps.is_empty() {
        page.line("trapped air", &format!("none found with {} up ({grid})", up.name()));
    }
    for t in &air.traps {
        let how = match (&t.tilt, t.resolved) {
            (_, false) => "unresolved: a bore or wall finer than the grid may vent it".to_string(),
            (Some(tilt), true) => format!(
                "comes out when tilted by {} degrees, raising the side towards {}",
                tilt.angle_degrees,
                tilt.raised.map(mm).join(", ")
            ),
            (None, true) => "no tilt that was tried lets it out".to_string(),
        };
        let place = format!("{} at {} mm, {how} ({grid})", volume(Estimate::exact(t.volume)), triple(&t.place, ", "));
        page.line("trapped air", &place);
    }
    if !air.repeats && in_cubic_millimetres(air.total) > 0.0 {
        page.line("", "the finest grid gave another amount than the one before: take it as a guide");
    }
    if in_cubic_millimetres(air.unresolved) > 0.0 {
        let v = volume(Estimate::exact(air.unresolved));
        page.line("unresolved", &format!("{v} is reached only through openings finer than the {grid}"));
    }
}

struct Page(String);

impl Page {
    fn line(&mut self, name: &str, text: &str) {
        let _ = writeln!(self.0, "{name:<14}{text}");
    }
}

fn triple(p: &[Length; 3], between: &str) -> String {
    p.map(|l| mm(in_millimetres(l))).join(between)
}

/// Millimetres or degrees to a tenth; smaller than one to three figures.
fn mm(x: f64) -> String {
    if x.abs() < 0.05 {
        return if x.abs() < 5e-7 { "0".into() } else { words::figures(x, 3, words::Round::Nearest) };
    }
    let text = words::fixed(x, if x.abs() < 1.0 { 2 } else { 1 }, words::Round::Nearest);
    text.strip_suffix(".0").map_or_else(|| text.trim_end_matches('0').trim_end_matches('.').to_string(), str::to_string)
}

/// Square centimetres, or square millimetres below one.
fn area(a: Area) -> String {
    let a = in_square_millimetres(a);
    if a < 100.0 { format!("{} mm²", four(a)) } else { format!("{} cm²", four(a / 100.0)) }
}

/// Litres, millilitres, or cubic millimetres below a hundredth of a millilitre.
fn volume(v: Estimate<Volume>) -> String {
    let one = |v: Volume| match in_millilitres(v) {
        ml if ml >= 1000.0 => format!("{} L", four(ml / 1000.0)),
        ml if ml < 0.01 => format!("{} mm³", four(ml * 1000.0)),
        ml => format!("{} mL", four(ml)),
    };
    if v.low == v.high { one(v.best) } else { format!("about {}, from {} to {}", one(v.best), one(v.low), one(v.high)) }
}

/// Four figures, and no more than hundredths: what a person can measure again. The JSON keeps all.
fn four(x: f64) -> String {
    if x.abs() >= 10.0 || x == 0.0 {
        let places = match x.abs() {
            a if a >= 1000.0 => 0,
            a if a >= 100.0 => 1,
            _ => 2,
        };
        let text = words::fixed(x, places, words::Round::Nearest);
        return if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text };
    }
    words::figures(x, 3, words::Round::Nearest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::part::mesh::{Options, measure};

    fn of(name: &str) -> Measurement {
        let path = format!("{}/tests/data/mesh/{name}", env!("CARGO_MANIFEST_DIR"));
        let options = Options { height: Some(crate::amount::millimetres(1.0)), ..Options::default() };
        measure(&std::fs::read(path).unwrap(), name, &options).unwrap()
    }

    #[test]
    fn people_read_what_they_can_measure_again() {
        assert_eq!(
            [mm(101.4351), mm(100.0), mm(17.2493), mm(2.08333), mm(0.333333), mm(0.0)],
            ["101.4", "100", "17.2", "2.1", "0.33", "0"]
        );
        assert_eq!(area(crate::amount::square_millimetres(8028.72)), "80.29 cm²");
        let ml = |x: f64| volume(Estimate::exact(crate::amount::millilitres(x)));
        assert_eq!([ml(32.4573), ml(1234.5), ml(0.024), ml(0.001)], ["32.46 mL", "1.23 L", "0.024 mL", "1 mm³"]);
    }

    #[test]
    fn a_closed_part_has_numbers_and_an_open_one_has_bounds() {
        let json = render_json(&of("node-stl/box_2x3x4.stl"));
        assert!((json["volume_mm3"].as_f64().unwrap() - 24.0).abs() < 1e-9);
        assert!((json["wetted_volume_mm3"].as_f64().unwrap() - 6.0).abs() < 1e-9);
        assert_eq!((json["watertight"].as_bool(), json["air_traps"].as_array().map(Vec::len)), (Some(true), Some(0)));
        assert!(json.get("volume_mm3_low").is_none());

        let json = render_json(&of("stl-models/broken_missingFace.ascii.stl"));
        assert!(json["volume_mm3"].is_null() && json["air_traps"].is_null());
        assert!((json["volume_mm3_high"].as_f64().unwrap() - 1.0 / 6.0).abs() < 1e-9);
        assert!(json["warnings"][0].as_str().unwrap().contains("not closed"));
        assert!(
            render_text(&of("stl-models/broken_missingFace.ascii.stl")).contains("warning: the surface is not closed")
        );
    }
}
