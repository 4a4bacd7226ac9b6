//! What the review says beside the findings: exposure figures, the pH, metals that go into solution.

use super::Exposure;
use super::attack::Bath;
use super::exposure::{gas_exposure, is_volatile, vapour_exposure, vapour_over};
use super::facts::Facts;
use crate::amount::{Area, Length, Ph, celsius, hours, in_millimetres, moles, square_millimetres};
use crate::bath::{MixConditions, mix};
use crate::reference::Ingredient;
use std::collections::BTreeMap;

/// Surface taken when no vessel is named: a jar 100 mm across (our choice, printed as an assumption).
const ASSUMED_MM: f64 = 100.0;
/// How fast a reaction is taken to give its gas off, for the airflow: within an hour (our choice).
const OVER_H: f64 = 1.0;

/// Whether this is the surface that is assumed anyway.
pub fn is_assumed_surface(diameter: Length) -> bool {
    (in_millimetres(diameter) - ASSUMED_MM).abs() < 0.01
}

/// Whether anything in it gives off a vapour that is asked about.
pub fn gives_vapour(facts: &Facts) -> bool {
    facts.components.iter().any(|c| c.percent.high > 0.0 && is_volatile(c.substance))
}

/// The gases that the rules found, then the vapours of what is in the bath; sorted by name, each once.
pub fn exposures(facts: &Facts, gases: &BTreeMap<String, f64>) -> Vec<Exposure> {
    let room = &facts.conditions.room;
    let temperature = celsius(facts.temperature_c);
    let harmless = ["oxygen", "hydrogen", "nitrogen"];
    let mut all: Vec<Exposure> = gases
        .iter()
        .filter(|(gas, _)| !harmless.contains(&gas.as_str()) && *gas != "ammonia")
        .map(|(gas, n)| gas_exposure(gas, moles(*n), hours(OVER_H), room, temperature))
        .collect();
    for (c, p) in facts.components.iter().zip(facts.poured()) {
        let Some(vapour) =
            vapour_over(c.substance, c.percent.high, 1.0, temperature).filter(|_| is_volatile(c.substance))
        else {
            continue;
        };
        let Some(held) = p.stock.moles else { continue };
        all.push(vapour_exposure(&vapour, moles(held), surface(facts), room, temperature));
    }
    all.sort_by(|a, b| {
        a.gas.cmp(&b.gas).then(b.worst_case_ppm.partial_cmp(&a.worst_case_ppm).unwrap_or(std::cmp::Ordering::Equal))
    });
    all.dedup_by(|a, b| a.gas == b.gas);
    all
}

fn surface(facts: &Facts) -> Area {
    let across = facts.conditions.surface_diameter.map_or(ASSUMED_MM, in_millimetres);
    square_millimetres(across * across * std::f64::consts::FRAC_PI_4)
}

/// The end of the computed pH nearer to 0 or 14, where the bath can be computed at all. Nothing rests on it but the flag
/// for extreme pH and advice on disposal.
pub fn extreme_ph(ingredients: &[Ingredient], facts: &Facts) -> Option<Ph> {
    let clear = !ingredients.is_empty()
        && ingredients.iter().all(|i| i.meanings.len() == 1 && !i.strength_missing && i.line.amount.is_some());
    if !clear {
        return None;
    }
    let mixture =
        mix(ingredients, &MixConditions { temperature: celsius(facts.temperature_c), carbonate: None }).ok()?;
    let ph = mixture.ph?;
    Some(if ph.best.0 < 7.0 { ph.low } else { ph.high })
}

/// Metals of parts, ballast and holders that the bath attacks.
pub fn dissolved(facts: &Facts<'_>) -> Vec<&'static str> {
    let bath = Bath::of(facts);
    let conditions = facts.conditions;
    let parts = conditions.parts.iter().filter_map(|p| p.metal);
    let things = conditions.ballast.iter().chain(&conditions.holders).copied();
    let mut names: Vec<&str> = parts
        .chain(things)
        .filter(|m| m.family.is_some() && bath.attacks(m).is_some())
        .map(|m| m.name.as_ref())
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}
