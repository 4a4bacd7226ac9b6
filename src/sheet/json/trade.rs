//! JSON of the finishing trade: tumbling, choosing, aftercare, disposal, whole jobs.

use super::{number, put, put_safety, put_span, start, texts, timetable};
use crate::amount::{in_millilitres, in_millimetres};
use crate::finishing::{Rolling, turns_a_minute};
use crate::plan::TumblePlan;
use crate::safety::Reviewed;
use serde_json::{Map, Value, json};

/// What `tumble` prints.
pub fn tumble(found: &Reviewed<TumblePlan>) -> Value {
    let mut map = start();
    map.append(&mut tumbling_json(found.value()));
    put_safety(&mut map, found.review());
    Value::Object(map)
}

/// What `tumble` prints when the load is refused.
pub fn tumble_refused(review: &crate::safety::Review) -> Value {
    let mut map = start();
    for key in ["tumbling", "stages", "timetable"] {
        map.insert(key.into(), Value::Null);
    }
    put_safety(&mut map, review);
    Value::Object(map)
}

pub(super) fn tumbling_json(plan: &TumblePlan) -> Map<String, Value> {
    let t = &plan.tumbling;
    let mut load = Map::new();
    put(&mut load, "barrel_volume_ml", in_millilitres(t.barrel_volume));
    put(&mut load, "parts_volume_ml", in_millilitres(t.parts_volume));
    put(&mut load, "charge_ml", in_millilitres(t.charge));
    put(&mut load, "media_ml", in_millilitres(t.media));
    put(&mut load, "media_to_parts", t.media_to_parts);
    put_span(&mut load, "water_ml", t.water, in_millilitres);
    put(&mut load, "soap_ml", in_millilitres(t.soap));
    put(&mut load, "slurry_a_stage_ml", plan.slurry_ml);
    put(&mut load, "critical_speed_rpm", turns_a_minute(t.critical_speed));
    put_span(&mut load, "working_speed_rpm", t.working_speed, turns_a_minute);
    load.insert("speed_percent_of_critical".into(), t.speed_share.map_or(Value::Null, |s| number(s * 100.0)));
    let size = t.media_size.map_or(Value::Null, |s| {
        json!({"passes_below_mm": number(in_millimetres(s.low)), "stays_out_above_mm": number(in_millimetres(s.high))})
    });
    load.insert("media_size".into(), size);
    load.insert("binder_below_c".into(), t.warmest_c.map_or(Value::Null, number));
    let rolling: Vec<Value> = t
        .rolling
        .iter()
        .map(|(name, how, longest)| {
            let how = match how {
                Rolling::Freely => "freely",
                Rolling::Cramped => "cramped",
                Rolling::Not => "not",
            };
            json!({"name": name, "rolls": how, "longest_mm": number(in_millimetres(*longest))})
        })
        .collect();
    load.insert("parts".into(), Value::Array(rolling));
    let stages: Vec<Value> = t
        .stages
        .iter()
        .map(|s| {
            let looks: Vec<Value> = s.looks.iter().map(|l| json!(l.to_string())).collect();
            json!({
                "name": s.name, "grit_level_tbsp": s.grit_tablespoons,
                "grit_ml": s.grit_tablespoons.map(|g| g * 15.0),
                "planned": s.planned.to_string(), "shortest": s.length.low.to_string(),
                "longest": s.length.high.to_string(), "looks": looks, "decide": s.decide, "clean": s.clean,
            })
        })
        .collect();
    let mut map = Map::new();
    map.insert("tumbling".into(), Value::Object(load));
    map.insert("stages".into(), Value::Array(stages));
    map.insert("timetable".into(), timetable::timetable_json(&plan.timetable));
    map.insert("cautions".into(), texts(&t.cautions));
    map.insert("losses".into(), texts(&t.losses));
    map.insert("notes".into(), texts(&t.notes));
    map.insert("by_hand".into(), texts(&t.by_hand));
    map.insert("not_known".into(), texts(&t.unknown));
    map
}
