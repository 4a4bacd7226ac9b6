//! One review of everything that will be in the vessel.

use super::advice;
use super::classify::classify;
use super::facts::{Facts, facts};
use super::label::label;
use super::protection::{disposal, equipment, first_response, storage};
use super::rules::{Found, Rule, all};
use super::{Conditions, Gravity, Hazard, Review, Verdict};
use crate::amount::{in_celsius, in_cubic_metres};
use crate::reference::{Cover, Ingredient, Source, incompatible};
use std::collections::BTreeMap;

/// Checks a mixture under these conditions.
pub fn check(ingredients: &[Ingredient], conditions: &Conditions) -> Review {
    check_with(&all(), ingredients, conditions)
}

/// Checks with these rules; their order means nothing (a test shuffles them).
pub fn check_with(rules: &[Rule], ingredients: &[Ingredient], conditions: &Conditions) -> Review {
    let facts = facts(ingredients, conditions);
    let (mut hazards, gases) = find(rules, &facts);
    let ph = advice::extreme_ph(&facts);
    let classes = classify(&facts.components, &facts.unlisted, ph);
    let unrecognised = unrecognised(ingredients, conditions);
    let not_judged = not_judged(&facts, ingredients);
    let open = !unrecognised.is_empty() || !not_judged.is_empty();
    let verdict = verdict(&hazards, open);
    let refused = verdict == Verdict::Refuse;
    if refused {
        hazards.iter_mut().for_each(hide_amounts);
    }
    Review {
        verdict,
        hazards,
        label: if refused { None } else { label(&classes) },
        exposure: advice::exposures(&facts, &gases),
        ppe: equipment(&classes, &facts.components, advice::flies(&facts)),
        first_response: first_response(&classes, &facts.components),
        storage: if refused { Vec::new() } else { storage(&classes, &facts.components) },
        disposal: disposal(&classes, &facts.components, &advice::dissolved(&facts), ph),
        unrecognised,
        not_judged,
        assumed: assumed(conditions, &facts),
    }
}

/// The findings alone, gravest first: what the verdict rests on, without label, figures of exposure and advice.
pub fn findings(rules: &[Rule], ingredients: &[Ingredient], conditions: &Conditions) -> Vec<Hazard> {
    find(rules, &facts(ingredients, conditions)).0
}

fn find(rules: &[Rule], facts: &Facts) -> (Vec<Hazard>, BTreeMap<String, f64>) {
    let mut gases: BTreeMap<String, f64> = BTreeMap::new();
    let mut hazards: Vec<Hazard> = Vec::new();
    for rule in rules {
        if let Some(found) = rule.check(facts) {
            for (gas, moles) in &found.gases {
                let most = gases.entry(gas.clone()).or_default();
                *most = most.max(*moles);
            }
            hazards.push(hazard(rule, found));
        }
    }
    hazards.sort_by(|a, b| b.gravity.cmp(&a.gravity).then_with(|| a.id.cmp(&b.id)));
    (hazards, gases)
}

fn verdict(hazards: &[Hazard], open: bool) -> Verdict {
    match hazards.first().map(|h| h.gravity) {
        Some(Gravity::Stop) => Verdict::Refuse,
        Some(Gravity::StrongCaution | Gravity::Caution) => Verdict::Warn,
        _ if open => Verdict::Unknown,
        _ => Verdict::Fine,
    }
}

fn hazard(rule: &Rule, found: Found) -> Hazard {
    let card = rule.card;
    let table = incompatible();
    let why = match &found.who {
        Some(who) => format!("{} ({who})", card.why.trim()),
        None => card.why.trim().to_string(),
    };
    let products = found.products.unwrap_or_else(|| card.products.iter().map(|p| p.to_string()).collect());
    let sources: Vec<Source> = card.sources.iter().filter_map(|key| table.sources.get(key).cloned()).collect();
    Hazard {
        id: card.id.to_string(),
        title: card.title.to_string(),
        gravity: found.gravity,
        products,
        why,
        actions: found.first.into_iter().chain(card.actions.iter().map(|a| a.to_string())).collect(),
        numbers: found.numbers,
        sources,
    }
}

/// A refusal keeps gas and temperature figures, and drops what tells a threshold or a ratio.
fn hide_amounts(hazard: &mut Hazard) {
    let shown = ["gas_ml", "worst_case_ppm", "closed_pressure_kpa", "heat_rise_c", "temperature_c"];
    let explosive = hazard.products.iter().any(|p| p.contains("primary explosive"));
    hazard.numbers.retain(|(key, _)| !explosive && shown.contains(&key.as_str()));
}

fn unrecognised(ingredients: &[Ingredient], conditions: &Conditions) -> Vec<String> {
    let before = conditions.after.iter().map(|i| super::before::read(i).0);
    let mut asked: Vec<String> = ingredients
        .iter()
        .cloned()
        .chain(before)
        .filter(|i| i.meanings.is_empty())
        .map(|i| i.question.unwrap_or_else(|| format!("\"{}\" is not known: what does its label list?", i.line.name)))
        .collect();
    asked.dedup();
    asked
}

/// Open questions, and amounts that a figure would have needed.
fn not_judged(facts: &Facts, ingredients: &[Ingredient]) -> Vec<String> {
    let recognised = ingredients.iter().filter(|i| !i.meanings.is_empty());
    let mut open: Vec<String> = recognised.clone().filter_map(|i| i.question.clone()).collect();
    for i in recognised.filter(|i| i.strength_missing && i.question.is_none()) {
        open.push(format!("how strong is \"{}\"? Write the per cent on its label", i.line.name));
    }
    if facts.poured_ml.is_none() && super::rules::amounts_matter(facts) {
        open.push("amounts are not all known, so gas, heat and what they reach in the room are not judged".to_string());
    }
    if ingredients.is_empty() {
        open.push("nothing was named".to_string());
    }
    open.dedup();
    open
}

/// What was assumed. Naming a condition equal to the assumed one changes nothing here.
fn assumed(conditions: &Conditions, facts: &Facts) -> Vec<(String, String)> {
    let mut assumed = Vec::new();
    let temperature = conditions.temperature.or(conditions.recipe_temperature).map(in_celsius);
    if temperature.is_none_or(|c| (c - super::facts::ASSUMED_C).abs() < 0.01) {
        assumed.push(("temperature".to_string(), "20 °C".to_string()));
    }
    if conditions.cover.is_none_or(|c| c == Cover::Open) {
        assumed.push(("cover".to_string(), "open".to_string()));
    }
    let room = &conditions.room;
    let usual = !room.outdoors
        && (in_cubic_metres(room.volume) - 20.0).abs() < 1e-9
        && (room.air_changes_per_h - 0.5).abs() < 1e-9;
    if room.assumed || usual {
        assumed.push(("room".to_string(), "indoors, 20 m³, 0.5 air changes an hour".to_string()));
    }
    if conditions.surface_diameter.is_none_or(advice::is_assumed_surface) && advice::gives_vapour(facts) {
        assumed.push(("surface".to_string(), "100 mm across".to_string()));
    }
    if conditions.after.is_empty() {
        assumed.push(("vessel".to_string(), "clean".to_string()));
    }
    assumed
}
