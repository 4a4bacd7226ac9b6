//! A review as JSON.

use super::{number, texts, verdict};
use crate::safety::{Exposure, Gravity, Hazard, Label, NO_FIGURE_SHOWN, NO_LIMIT_SHOWN, Review, Statement};
use serde_json::{Map, Value, json};

/// A review, with the keys of `check`. Amounts never stand in it.
pub fn review_json(review: &Review) -> Map<String, Value> {
    let mut map = Map::new();
    map.insert("verdict".into(), json!(verdict(review.verdict)));
    map.insert("hazards".into(), review.hazards.iter().map(hazard).collect());
    map.insert("label".into(), review.label.as_ref().map_or(Value::Null, label));
    map.insert("exposure".into(), review.exposure.iter().map(exposure).collect());
    map.insert("ppe".into(), texts(&review.ppe));
    map.insert("first_response".into(), texts(&review.first_response));
    map.insert("storage".into(), texts(&review.storage));
    map.insert("disposal".into(), texts(&review.disposal));
    map.insert("unrecognised".into(), texts(&review.unrecognised));
    map.insert("not_judged".into(), texts(&review.not_judged));
    let assumed: Map<String, Value> = review.assumed.iter().map(|(k, v)| (k.clone(), json!(v))).collect();
    map.insert("assumed".into(), Value::Object(assumed));
    map
}

/// What stands as `null` in the review, in words.
pub(super) fn not_modelled(review: &Review) -> Vec<String> {
    let mut lines = Vec::new();
    for e in &review.exposure {
        if e.worst_case_ppm.is_none() && e.limit != NO_FIGURE_SHOWN {
            lines.push(format!("what {} would reach in the air is not modelled here", e.gas));
        }
        if e.limit_ppm.is_none() && ![NO_LIMIT_SHOWN, NO_FIGURE_SHOWN].contains(&e.limit.as_str()) {
            lines.push(format!("no limit in ppm is known for {}", e.gas));
        }
    }
    lines
}

fn severity(gravity: Gravity) -> &'static str {
    match gravity {
        Gravity::Note => "note",
        Gravity::Caution => "caution",
        Gravity::StrongCaution => "strong-caution",
        Gravity::Stop => "stop",
    }
}

fn hazard(h: &Hazard) -> Value {
    let numbers: Map<String, Value> = h.numbers.iter().map(|(k, v)| (k.to_string(), number(*v))).collect();
    let sources: Vec<Value> = h.sources.iter().map(|s| json!({"doc": s.doc, "at": s.at, "status": s.status})).collect();
    json!({
        "id": h.id, "title": h.title, "severity": severity(h.gravity), "products": texts(&h.products), "why": h.why,
        "do": texts(&h.actions), "numbers": numbers, "sources": sources,
    })
}

fn label(label: &Label) -> Value {
    let statements =
        |all: &[Statement]| -> Vec<Value> { all.iter().map(|s| json!({"code": s.code, "text": s.text})).collect() };
    json!({
        "signal_word": label.signal_word, "pictograms": texts(&label.pictograms), "classes": texts(&label.classes),
        "h_statements": statements(&label.h), "p_statements": statements(&label.p),
        "not_classified": texts(&label.not_classified),
    })
}

fn exposure(e: &Exposure) -> Value {
    let maybe = |v: Option<f64>| v.map_or(Value::Null, number);
    json!({
        "gas": e.gas, "worst_case_ppm": maybe(e.worst_case_ppm), "limit_ppm": maybe(e.limit_ppm), "limit": e.limit,
        "airflow_m3_h": maybe(e.airflow_m3_h), "advice": e.advice,
    })
}
