//! JSON: the machine-readable face. Keys carry their unit; what is not modelled is `null` with a warning.
//!
//! A value with an uncertainty has siblings `KEY_low` and `KEY_high`. Keys come in one fixed order. Numbers are given
//! to nine significant figures, which keeps everything that was computed and drops the noise of binary fractions.

mod bath;
mod immersion;
mod review;
mod timetable;
mod trade;

use bath::{mixture_json, neutralised_json};
pub use review::review_json;
pub use trade::{choose, tumble, tumble_refused};

use super::words;
use crate::amount::{Estimate, Span, in_millimetres};
use crate::plan::{Corrected, ListedRecipe, Listing, Mixed, Neutralisation, Plan, Scaled};
use crate::recipe::{Confidence, Finish, Method};
use crate::safety::{Review, Reviewed, Verdict};
use serde_json::{Map, Value, json};

/// Raised when a key changes its meaning or goes away; new keys do not raise it.
pub const SCHEMA_VERSION: u64 = 1;

/// What `check` prints.
pub fn check(review: &Review) -> Value {
    let mut map = start();
    map.append(&mut review_json(review));
    map.insert("warnings".into(), texts(&review::not_modelled(review)));
    Value::Object(map)
}

/// What `mix` prints.
pub fn mix(mixed: &Reviewed<Mixed>) -> Value {
    let mut map = start();
    map.append(&mut mixture_json(&mixed.value().mixture));
    put_safety(&mut map, mixed.review());
    Value::Object(map)
}

/// What `neutralise` prints.
pub fn neutralise(found: &Reviewed<Neutralisation>) -> Value {
    let mut map = start();
    map.append(&mut neutralised_json(&found.value().neutralised));
    put_safety(&mut map, found.review());
    Value::Object(map)
}

/// What `correct` prints.
pub fn correct(found: &Reviewed<Corrected>) -> Value {
    let c = &found.value().correction;
    let mut map = start();
    let add: Vec<Value> = c
        .add
        .iter()
        .map(|i| {
            let mut one = Map::new();
            one.insert("ingredient".into(), json!(i.line.name));
            one.insert("exact".into(), json!(i.line.amount.as_ref().map(ToString::to_string)));
            let mass = crate::bath::addition_mass(i).map_or(Value::Null, |m| number(crate::amount::in_grams(m)));
            one.insert("mass_g".into(), mass);
            Value::Object(one)
        })
        .collect();
    map.insert("add".into(), Value::Array(add));
    map.insert("reached".into(), bath::reached_json(&c.reached));
    map.insert("warnings".into(), texts(&c.notes));
    put_safety(&mut map, found.review());
    Value::Object(map)
}

/// What `scale` prints.
pub fn scale(scaled: &Reviewed<Scaled>) -> Value {
    let s = scaled.value();
    let mut map = start();
    map.insert("recipe".into(), json!(s.recipe.id));
    map.insert("title".into(), json!(s.recipe.title));
    let bath = bath::bath_json(&s.dosing, &s.mixture, s.measuring_error.as_ref());
    map.insert("bath".into(), Value::Object(bath));
    map.insert("fill_line_mm".into(), s.fill_line.map_or(Value::Null, |l| number(in_millimetres(l))));
    map.insert("notes".into(), texts(&s.notes));
    put_safety(&mut map, scaled.review());
    Value::Object(map)
}

/// What `plan` prints.
pub fn plan(plan: &Reviewed<Plan>) -> Value {
    let p = plan.value();
    let mut map = start();
    map.insert("recipe".into(), json!(p.recipe.id));
    map.insert("title".into(), json!(p.recipe.title));
    let bath = bath::bath_json(&p.dosing, &p.mixture, p.measuring_error.as_ref());
    map.insert("bath".into(), Value::Object(bath));
    map.insert("vessel".into(), json!(p.vessel.as_ref().map(|v| v.name.as_str())));
    map.insert("immersion".into(), p.immersion.as_ref().map_or(Value::Null, immersion::immersion_json));
    map.insert("safety".into(), Value::Null);
    map.insert("timetable".into(), timetable::timetable_json(&p.timetable));
    let notes: Vec<&String> = p.notes.iter().chain(&p.recipe.notes).collect();
    map.insert("notes".into(), texts(&notes));
    trade::beyond_the_bath(&mut map, p);
    map.insert("fingerprint".into(), json!(p.fingerprint.to_string()));
    put_safety(&mut map, plan.review());
    Value::Object(map)
}

/// What every command that prints amounts prints instead when the mixture is refused: reasons, no amounts.
///
/// With a recipe (`scale`, `plan`) the places of the amounts are there and `null`; without (`mix`, `neutralise`) they
/// are left out, so that nothing can be read as one.
pub fn refused(recipe: Option<&str>, review: &Review) -> Value {
    let mut map = start();
    if let Some(id) = recipe {
        map.insert("recipe".into(), json!(id));
        for key in ["bath", "immersion", "timetable"] {
            map.insert(key.into(), Value::Null);
        }
    }
    put_safety(&mut map, review);
    Value::Object(map)
}

/// What `recipes` prints.
pub fn recipes(listing: &Listing) -> Value {
    Value::Array(listing.recipes.iter().map(recipe_json).collect())
}

fn recipe_json(listed: &ListedRecipe) -> Value {
    let r = &listed.recipe;
    let metals: Vec<&str> = r.metals.iter().map(|m| m.id.as_ref()).collect();
    let sources: Vec<Value> = r.sources.iter().map(|s| json!({"doc": s.doc, "at": s.at, "status": s.status})).collect();
    json!({
        "id": r.id, "title": r.title, "metals": metals, "finish": finish(r.finish), "method": method(r.method),
        "verdict": verdict(listed.review.verdict), "sources": sources, "confidence": confidence(r.confidence),
        "look": r.look, "schema_version": SCHEMA_VERSION,
    })
}

fn start() -> Map<String, Value> {
    let mut map = Map::new();
    map.insert("schema_version".into(), json!(SCHEMA_VERSION));
    map
}

/// The review, and what the whole result warns about: first what could not be judged, then what is not modelled.
fn put_safety(map: &mut Map<String, Value>, review: &Review) {
    map.insert("safety".into(), Value::Object(review_json(review)));
    let mut warnings: Vec<Value> = super::not_judged_line(review).into_iter().map(Value::from).collect();
    if let Some(Value::Array(own)) = map.remove("warnings") {
        warnings.extend(own);
    }
    warnings.extend(review::not_modelled(review).into_iter().map(Value::from));
    map.insert("warnings".into(), Value::Array(warnings));
}

/// `fine`, `unknown`, `warn` or `refuse`.
pub(super) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fine => "fine",
        Verdict::Unknown => "unknown",
        Verdict::Warn => "warn",
        Verdict::Refuse => "refuse",
    }
}

pub(super) fn finish(finish: Finish) -> &'static str {
    match finish {
        Finish::Rust => "rust",
        Finish::Green => "green",
        Finish::Blue => "blue",
        Finish::Brown => "brown",
        Finish::Black => "black",
        Finish::Other => "other",
    }
}

pub(super) fn method(method: Method) -> &'static str {
    match method {
        Method::Immersion => "immersion",
        Method::Spray => "spray",
        Method::Brush => "brush",
        Method::Fume => "fume",
        Method::Burial => "burial",
    }
}

pub(super) fn confidence(confidence: Confidence) -> &'static str {
    match confidence {
        Confidence::Low => "low",
        Confidence::Medium => "medium",
        Confidence::High => "high",
    }
}

/// A number to nine significant figures; `null` when it is not finite.
fn number(value: f64) -> Value {
    let rounded: f64 = format!("{value:.8e}").parse().unwrap_or(value);
    if rounded == 0.0 {
        return json!(0.0);
    }
    serde_json::Number::from_f64(rounded).map_or(Value::Null, Value::Number)
}

fn put(map: &mut Map<String, Value>, key: &str, value: f64) {
    map.insert(key.into(), number(value));
}

/// The best value under `key`, and both ends beside it when they differ.
fn put_estimate<Q: Copy>(map: &mut Map<String, Value>, key: &str, value: Estimate<Q>, read: impl Fn(Q) -> f64) {
    let (best, low, high) = (read(value.best), read(value.low), read(value.high));
    put(map, key, best);
    if low != high {
        put(map, &format!("{key}_low"), low);
        put(map, &format!("{key}_high"), high);
    }
}

/// A range: its middle under `key`, and both ends beside it when they differ.
fn put_span<Q>(map: &mut Map<String, Value>, key: &str, span: Span<Q>, read: impl Fn(Q) -> f64) {
    let (low, high) = (read(span.low), read(span.high));
    put_estimate(map, key, Estimate { best: f64::midpoint(low, high), low, high }, |x| x);
}

/// As [`put_estimate`], with `null` for what is not modelled.
fn put_maybe<Q: Copy>(map: &mut Map<String, Value>, key: &str, value: Option<Estimate<Q>>, read: impl Fn(Q) -> f64) {
    match value {
        Some(value) => put_estimate(map, key, value, read),
        None => {
            map.insert(key.into(), Value::Null);
        }
    }
}

fn texts<S: AsRef<str>>(lines: &[S]) -> Value {
    Value::Array(lines.iter().map(|l| json!(words::clean(l.as_ref()))).collect())
}
