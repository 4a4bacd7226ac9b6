//! Immersion as JSON.

use super::{number, put, put_estimate, put_span, texts};
use crate::amount::{Span, Volume, in_grams, in_millilitres, in_millimetres, in_newtons, in_square_millimetres};
use crate::immersion::{AfterLift, Ballast, Immersion, Sitting};
use serde_json::{Map, Value, json};

/// Where the parts sit.
pub(super) fn immersion_json(found: &Immersion) -> Value {
    // Absent means that none is needed, which is known: 0, not null.
    let if_needed = |v: Option<Volume>| number(v.map_or(0.0, in_millilitres));
    let mut map = Map::new();
    put(&mut map, "fill_line_mm", in_millimetres(found.fill_line));
    map.insert("fill_line_is_estimate".into(), json!(found.fill_line_is_estimate));
    put(&mut map, "liquid_ml", in_millilitres(found.liquid));
    put(&mut map, "level_before_mm", in_millimetres(found.level_before));
    put(&mut map, "displaced_ml", in_millilitres(found.displaced));
    put(&mut map, "freeboard_mm", in_millimetres(found.freeboard));
    put(&mut map, "cover_mm", in_millimetres(found.cover));
    map.insert("parts".into(), found.parts.iter().map(sitting).collect());
    map.insert("ballast".into(), found.ballast.iter().map(ballast).collect());
    let refused = found.refused_ballast.iter().map(|(thing, why)| json!({"thing": thing, "why": why}));
    map.insert("refused_ballast".into(), refused.collect());
    match found.evaporation {
        Some((low, high)) => {
            put_span(&mut map, "evaporation_mm", Span { low, high }, in_millimetres);
            map.insert("daily_top_up_ml".into(), if_needed(found.daily_top_up));
        }
        None => {
            map.insert("evaporation_mm".into(), Value::Null);
            map.insert("daily_top_up_ml".into(), Value::Null);
        }
    }
    map.insert("lifts".into(), found.lifts.iter().map(after_lift).collect());
    map.insert("reserve_ml".into(), if_needed(found.reserve));
    map.insert("area_mm2".into(), found.area.map_or(Value::Null, |a| number(in_square_millimetres(a))));
    let loading = found.loading_mm2_per_l.map_or(Value::Null, number);
    map.insert("loading_mm2_per_l".into(), loading);
    map.insert("margin_percent".into(), found.margin_percent.map_or(Value::Null, number));
    map.insert("warnings".into(), texts(&warnings(found)));
    Value::Object(map)
}

fn warnings(found: &Immersion) -> Vec<String> {
    let mut lines = found.warnings.clone();
    if found.area.is_none() {
        lines.push("the area of the parts is not known: loading was not compared".into());
    }
    for p in found.parts.iter().filter(|p| p.net_buoyancy_flooded.is_none()) {
        lines.push(format!("what {} weighs when flooded is not known", p.name));
    }
    lines
}

fn sitting(p: &Sitting) -> Value {
    let mut map = Map::new();
    map.insert("name".into(), json!(p.name));
    map.insert("count".into(), json!(p.count));
    put_estimate(&mut map, "displaced_ml", p.displaced, in_millilitres);
    put_estimate(&mut map, "mass_g", p.mass, in_grams);
    map.insert("caught_air_ml".into(), p.caught_air.map_or(Value::Null, |v| number(in_millilitres(v))));
    put_estimate(&mut map, "net_buoyancy_n", p.net_buoyancy, in_newtons);
    let flooded = p.net_buoyancy_flooded.map_or(Value::Null, |f| number(in_newtons(f)));
    map.insert("net_buoyancy_flooded_n".into(), flooded);
    map.insert("floats".into(), json!(p.floats));
    put(&mut map, "height_mm", in_millimetres(p.height));
    map.insert("draft_mm".into(), p.draft.map_or(Value::Null, |d| number(in_millimetres(d))));
    Value::Object(map)
}

fn ballast(b: &Ballast) -> Value {
    json!({
        "thing": b.thing, "material": b.material.id, "count": b.count, "mass_g": number(in_grams(b.mass)),
        "displaced_ml": number(in_millilitres(b.displaced)), "margin_percent": number(b.margin_percent),
        "holds": b.holds, "each": b.each,
    })
}

fn after_lift(l: &AfterLift) -> Value {
    json!({
        "after": l.after.to_string(), "out": l.out, "level_mm": number(in_millimetres(l.level)), "covered": l.covered,
        "reserve_ml": number(in_millilitres(l.reserve)),
    })
}
