//! JSON of the finishing trade: tumbling, choosing, aftercare, disposal, whole jobs.

use super::{bath, number, put, put_estimate, put_maybe, put_safety, put_span, review, start, texts, timetable};
use crate::amount::{in_millilitres, in_millimetres};
use crate::bath::Carbonate;
use crate::finishing::{Rolling, turns_a_minute};
use crate::plan::{Aftercare, Candidate, Choice, Disposal, MethodPlan, Plan, TumblePlan, Whole};
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
                "grit_ml": s.grit().map(in_millilitres),
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

/// What `choose` prints. Amounts in its shopping lists come from reviewed baths.
pub fn choose(choice: &Choice) -> Value {
    let mut map = start();
    map.insert("metal".into(), json!(choice.wish.metal.id));
    map.insert("binder".into(), json!(choice.wish.binder.map(|b| b.id.as_ref())));
    let mut shows = Map::new();
    put_maybe(&mut shows, "metal_area_percent", choice.showing.area_percent, |x| x);
    shows.insert("metal_mass_percent".into(), choice.showing.mass_percent.map_or(Value::Null, number));
    shows.insert("density_assumed".into(), json!(choice.showing.assumed));
    shows.insert("meaning".into(), texts(&choice.showing.meaning));
    map.insert("shows".into(), Value::Object(shows));
    let ranked: Vec<Value> = choice.ranked.iter().enumerate().map(|(i, c)| candidate(i + 1, c)).collect();
    map.insert("ranked".into(), Value::Array(ranked));
    let out = choice.excluded.iter().map(|e| {
        let why: Vec<&String> = e.why.iter().map(|(_, told)| told).collect();
        json!({"id": e.id, "title": e.title, "why": why})
    });
    map.insert("excluded".into(), Value::Array(out.collect()));
    map.insert("relax".into(), texts(&choice.relax));
    Value::Object(map)
}

fn candidate(place: usize, c: &Candidate) -> Value {
    let shopping: Vec<Value> = c
        .shopping()
        .iter()
        .map(|p| json!({"name": p.name, "strength": p.strength, "needed": p.needed, "packages": p.packages, "remark": p.remark}))
        .collect();
    let (r, times) = (c.recipe(), c.bath.value().times);
    let missing: Vec<&String> = c.missing.for_bath.iter().chain(&c.missing.for_steps).collect();
    json!({
        "place": place, "id": r.id, "title": r.title, "look": r.look,
        "finish": super::finish(r.finish), "method": super::method(r.method),
        "takes": times.plan.to_string(), "takes_soak": times.soak.to_string(), "takes_aftercare": times.after.to_string(),
        "takes_whole": times.whole.to_string(), "reasons": c.reasons, "missing": missing,
        "too_little": texts(&c.missing.too_little), "not_sold": texts(&c.missing.not_sold), "shopping": shopping,
        "safety": Value::Object(review::review_json(c.bath.review())),
    })
}

/// What a plan says beyond its bath, put into its map.
pub(super) fn beyond_the_bath(map: &mut Map<String, Value>, plan: &Plan) {
    map.insert("method".into(), method_json(&plan.method));
    map.insert("aftercare".into(), aftercare_json(&plan.aftercare));
    map.insert("disposal".into(), disposal_json(&plan.disposal));
    map.insert("whole".into(), plan.whole.as_ref().map_or(Value::Null, whole_json));
}

fn method_json(m: &MethodPlan) -> Value {
    if m.title.is_empty() {
        return Value::Null;
    }
    let mut map = Map::new();
    if let Some(ml) = m.coat_ml {
        put_span(&mut map, "coat_ml", ml, |x| x);
    }
    if let Some(coats) = m.coats {
        put_span(&mut map, "coats", coats, f64::from);
    }
    if let Some(litres) = m.space_l {
        put(&mut map, "space_ml", litres * 1000.0);
    }
    if let Some((name, ppm)) = &m.in_box_ppm {
        map.insert("vapour".into(), json!(name));
        put(&mut map, "in_box_ppm", *ppm);
        map.insert("on_opening_ppm".into(), m.on_opening_ppm.map_or(Value::Null, number));
    }
    map.insert("steps".into(), texts(&m.steps));
    Value::Object(map)
}

fn aftercare_json(care: &Aftercare) -> Value {
    let mut map = Map::new();
    match care.carried_ml {
        Some(ml) => put_span(&mut map, "carried_ml", ml, |x| x),
        None => drop(map.insert("carried_ml".into(), Value::Null)),
    }
    map.insert("inside_at_most_ml".into(), care.inside_ml.map_or(Value::Null, number));
    let rinsing = care.rinsing.as_ref().map_or(Value::Null, |r| {
        json!({"each_ml": number(r.each_ml), "times": r.times, "times_with_inside": r.times_with_inside,
               "left_percent": number(r.left * 100.0)})
    });
    map.insert("rinsing".into(), rinsing);
    let neutralising = care.neutralising.as_ref().map_or(Value::Null, |n| {
        let mut one = Map::new();
        put_estimate(&mut one, "needed_g", n.needed_g, |x| x);
        one.insert("carbonate".into(), json!(bath::state(Carbonate::Aired)));
        let own = |value: f64| if n.recipe_has_one { Value::Null } else { number(value) };
        one.insert("water_ml".into(), own(n.water_ml));
        one.insert("baking_soda_g".into(), own(n.soda_g));
        one.insert("recipe_has_one".into(), json!(n.recipe_has_one));
        Value::Object(one)
    });
    map.insert("neutralising".into(), neutralising);
    let strip =
        care.strip.as_ref().map_or(Value::Null, |s| Value::Array(s.bath.iter().map(|i| json!(i.line.text)).collect()));
    map.insert("strip".into(), strip);
    let notes: Vec<&String> = care.no_rinsing.iter().chain(&care.no_neutralising).collect();
    map.insert("notes".into(), texts(&notes));
    let advice: Vec<Value> = care.advice.iter().map(|(t, l)| json!({"about": t, "lines": texts(l)})).collect();
    map.insert("advice".into(), Value::Array(advice));
    Value::Object(map)
}

fn disposal_json(d: &Disposal) -> Value {
    let mut map = Map::new();
    let volumes: Vec<Value> =
        d.volumes.iter().map(|(name, ml)| json!({"name": name, "volume_ml": number(*ml)})).collect();
    map.insert("volumes".into(), Value::Array(volumes));
    put_maybe(&mut map, "ph", d.ph, |p| p.0);
    let metals: Vec<Value> = d
        .metals
        .iter()
        .map(|m| {
            json!({
                "metal": m.metal, "from_salts_g": m.from_salts_g.map_or(Value::Null, number),
                "from_parts_at_most_g": m.from_parts_g.map_or(Value::Null, number),
                "conc_at_most_g_per_l": m.g_per_l.map_or(Value::Null, number),
                "times_sewer_limit": m.times_sewer_limit.map_or(Value::Null, number),
            })
        })
        .collect();
    map.insert("metals".into(), Value::Array(metals));
    for (key, lines) in [
        ("never", &d.never),
        ("household", &d.household),
        ("business", &d.business),
        ("solids", &d.solids),
        ("not_known", &d.unknown),
    ] {
        map.insert(key.into(), texts(lines));
    }
    Value::Object(map)
}

fn whole_json(w: &Whole) -> Value {
    let mut map = Map::new();
    map.insert("length".into(), json!(w.length.to_string()));
    map.insert("before_the_bath".into(), json!(w.before_the_bath.to_string()));
    let tumbling = w.tumbling.as_ref().map_or(Value::Null, |t| {
        let mut one = tumbling_json(t);
        one.remove("timetable");
        Value::Object(one)
    });
    map.insert("tumbling".into(), tumbling);
    let coupon = w.coupon.as_ref().map_or(Value::Null, |c| {
        let doses: Vec<Value> =
            c.dosing.doses.iter().map(|d| json!({"ingredient": d.name, "metric": d.metric})).collect();
        json!({"volume_ml": number(in_millilitres(c.volume)), "doses": doses})
    });
    map.insert("coupon".into(), coupon);
    let degrease: Vec<&str> = w.degrease.iter().map(|p| p.ingredient.line.text.as_str()).collect();
    map.insert("degrease".into(), texts(&degrease));
    Value::Object(map)
}
