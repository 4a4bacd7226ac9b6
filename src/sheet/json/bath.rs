//! Mixture, doses and neutralisation as JSON.

use super::{number, put, put_estimate, put_maybe, put_span, texts};
use crate::amount::{
    Estimate, MassFraction, Ph, Volume, in_celsius, in_g_per_l, in_grams, in_kelvins, in_kg_per_m3, in_millilitres,
    in_mol_per_l, in_moles,
};
use crate::bath::{Beside, Carbonate, Dose, Dosing, Gas, Mixture, Neutralised, Reached, Solute};
use crate::sheet::words;
use serde_json::{Map, Value, json};

/// A mixture, with the keys of `mix` but for `safety`.
pub(super) fn mixture_json(m: &Mixture) -> Map<String, Value> {
    let mut map = Map::new();
    put_estimate(&mut map, "volume_ml", m.volume, in_millilitres);
    put_estimate(&mut map, "mass_g", m.mass, in_grams);
    put_maybe(&mut map, "density_kg_m3", m.density, in_kg_per_m3);
    put_maybe(&mut map, "ph", m.ph, |Ph(x)| x);
    put(&mut map, "temperature_c", in_celsius(m.temperature));
    map.insert("solutes".into(), m.solutes.iter().map(solute).collect());
    let undissolved = m.undissolved.iter().map(|(s, mass)| json!({"substance": s, "mass_g": number(in_grams(*mass))}));
    map.insert("undissolved".into(), undissolved.collect());
    map.insert("heat_rise_c".into(), m.heat_rise.map_or(Value::Null, |h| number(in_kelvins(h))));
    map.insert("gas".into(), m.gas.iter().map(gas).collect());
    let mut warnings = m.warnings.clone();
    warnings.extend(not_modelled(m));
    map.insert("warnings".into(), texts(&warnings));
    map
}

/// What stands as `null` in a mixture, in words.
fn not_modelled(m: &Mixture) -> Vec<String> {
    let mut lines = Vec::new();
    for (missing, what) in
        [(m.density.is_none(), "density"), (m.ph.is_none(), "pH"), (m.heat_rise.is_none(), "heat of mixing")]
    {
        if missing {
            lines.push(format!("{what} is not modelled for this mixture"));
        }
    }
    for s in m.solutes.iter().filter(|s| s.molar.is_none()) {
        lines.push(format!("{} has no one molar mass: no mol/L", s.name));
    }
    lines
}

/// What brings a bath to a pH, with the keys of `neutralise` but for `safety`.
pub(super) fn neutralised_json(n: &Neutralised) -> Map<String, Value> {
    let mut map = Map::new();
    map.insert("reagent".into(), json!(n.reagent));
    put_estimate(&mut map, "mass_g", n.mass, in_grams);
    put_estimate(&mut map, "ph", n.ph, |Ph(x)| x);
    map.insert("carbonate".into(), json!(n.carbonate.map(state)));
    put_maybe(&mut map, "mass_stood_g", n.stood, in_grams);
    map.insert("gas".into(), n.gas.iter().map(gas).collect());
    map.insert("warnings".into(), texts(&n.warnings));
    map
}

/// The word for what dissolved carbon dioxide is in balance with, as `--carbonate` has it.
pub(super) fn state(carbonate: Carbonate) -> &'static str {
    match carbonate {
        Carbonate::Closed => "closed",
        Carbonate::Aired => "aired",
        Carbonate::Fizzing => "fizzing",
    }
}

/// What a corrected bath comes to; each figure with that of the fresh bath under `KEY_fresh`.
pub(super) fn reached_json(r: &Reached) -> Value {
    fn beside<T: Copy>(map: &mut Map<String, Value>, key: &str, b: Option<Beside<T>>, plain: impl Fn(T) -> f64) {
        put_maybe(map, key, b.map(|b| b.is), &plain);
        map.insert(format!("{key}_fresh"), b.map_or(Value::Null, |b| number(plain(b.target))));
    }
    let mut map = Map::new();
    put_estimate(&mut map, "volume_ml", r.volume, in_millilitres);
    beside(&mut map, "ph", r.ph, |Ph(x)| x);
    beside(&mut map, "density_kg_m3", r.density, in_kg_per_m3);
    let solutes = r.solutes.iter().map(|(name, b)| {
        let mut one = Map::new();
        one.insert("name".into(), json!(name));
        beside(&mut one, "conc_g_per_l", Some(*b), in_g_per_l);
        Value::Object(one)
    });
    map.insert("solutes".into(), solutes.collect());
    map.insert("on_target".into(), json!(r.off.is_empty()));
    map.insert("off_target".into(), texts(&r.off));
    Value::Object(map)
}

/// The bath of `scale` and `plan`: the mixture with what to measure out.
pub(super) fn bath_json(dosing: &Dosing, mixture: &Mixture, error: Option<&(String, f64)>) -> Map<String, Value> {
    let mut map = mixture_json(mixture);
    map.insert("measures".into(), dosing.doses.iter().map(dose).collect());
    let error = error.map(|(what, percent)| json!({"ingredient": what, "percent": number(*percent)}));
    map.insert("measuring_error".into(), error.unwrap_or(Value::Null));
    put_volume(&mut map, "poured_ml", dosing.poured);
    let target = if dosing.by_poured_volume { "poured" } else { "finished" };
    map.insert("scaled_by".into(), json!(target));
    map.insert("notes".into(), texts(&dosing.notes));
    map
}

fn put_volume(map: &mut Map<String, Value>, key: &str, volume: Volume) {
    put(map, key, in_millilitres(volume));
}

fn dose(dose: &Dose) -> Value {
    let mut map = Map::new();
    map.insert("ingredient".into(), json!(dose.name));
    map.insert("exact".into(), json!(dose.exact.to_string()));
    map.insert("measured".into(), json!(dose.measured.as_ref().map(words::measured)));
    map.insert("too_little".into(), json!(dose.too_little));
    match &dose.measured {
        Some(m) => {
            let (low, high) = (m.low.error_percent, m.high.error_percent);
            let (low, high) = (low.min(high), low.max(high));
            let worst = if low.abs() > high.abs() { low } else { high };
            put_estimate(&mut map, "error_percent", Estimate { best: worst, low, high }, |x| x);
        }
        None => {
            map.insert("error_percent".into(), Value::Null);
        }
    }
    if let Some(bulk) = dose.measured.as_ref().and_then(|m| m.low.bulk_error_percent) {
        put(&mut map, "bulk_error_percent_low", bulk.low);
        put(&mut map, "bulk_error_percent_high", bulk.high);
    }
    if let Some(volume) = dose.exact.volume() {
        put_span(&mut map, "exact_ml", volume, in_millilitres);
    }
    if let Some(mass) = dose.exact.mass() {
        put_span(&mut map, "exact_g", mass, in_grams);
    }
    map.insert("metric".into(), json!(dose.metric));
    map.insert("why".into(), json!(dose.why));
    map.insert("note".into(), json!(dose.note));
    Value::Object(map)
}

fn solute(s: &Solute) -> Value {
    let mut map = Map::new();
    map.insert("substance".into(), json!(s.substance));
    map.insert("name".into(), json!(s.name));
    put_estimate(&mut map, "mass_g", s.mass, in_grams);
    put_estimate(&mut map, "conc_g_per_l", s.concentration, in_g_per_l);
    put_estimate(&mut map, "mass_percent", s.fraction, MassFraction::in_percent);
    put_maybe(&mut map, "conc_mol_per_l", s.molar, in_mol_per_l);
    map.insert("largest_error".into(), json!(s.largest_error));
    Value::Object(map)
}

fn gas(g: &Gas) -> Value {
    json!({
        "gas": g.gas, "mol": number(in_moles(g.amount)), "volume_ml": number(in_millilitres(g.volume)), "why": g.why,
    })
}
