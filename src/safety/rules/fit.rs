//! Whether recipe, part and temperature fit each other.

use super::Found;
use super::kit::{mixing_rise_k, peroxide_rise_k};
use crate::reference::{Material, Method};
use crate::safety::Gravity;
use crate::safety::facts::Facts;

/// How far above the warmest bath that is advised a vessel is sure to sag and spill, kelvins (our choice).
const SAGS_K: f64 = 20.0;

/// Above the binder's limit the part warps. A bath that only its own heat could bring there is a caution: peroxide that
/// falls apart round the part, or a bath that was just made up.
pub fn hotter_than_binder(facts: &Facts) -> Option<Found> {
    let soft = |reaches: f64| {
        let parts = facts.conditions.parts.iter().filter_map(move |p| {
            let binder = p.binder?;
            (reaches > binder.bath_below_c?).then(|| format!("{} ({})", p.name, binder.name))
        });
        parts.min()
    };
    let found = |gravity, who: String| Found::of(gravity).who(who).number("temperature_c", Some(facts.temperature_c));
    if let Some(who) = soft(facts.temperature_c) {
        return Some(found(Gravity::Stop, who));
    }
    let peroxide = peroxide_rise_k(facts).filter(|_| facts.conditions.method == Method::Immersion);
    let rise = [mixing_rise_k(facts), peroxide].into_iter().flatten().reduce(f64::max)?;
    let who = soft(facts.temperature_c + rise)?;
    let mut found = found(Gravity::Caution, who).number("heat_rise_c", Some(rise));
    found.first.push("Let a bath that was just made up cool before the part goes in, and keep it cool.".to_string());
    Some(found)
}

/// Vessel, ballast and what hangs in the bath soften: a vessel that gives way spills it.
pub fn hotter_than_vessel(facts: &Facts) -> Option<Found> {
    let c = facts.conditions;
    let things = || c.vessel.into_iter().chain(c.ballast.iter().copied()).chain(c.holders.iter().copied());
    let soft = |reaches: f64| {
        let over = things().filter_map(move |m| Some((reaches - m.bath_below_c?, m.name.as_ref())));
        over.filter(|(over, _)| *over > 0.0).max_by(|(a, m), (b, n)| a.total_cmp(b).then_with(|| n.cmp(m)))
    };
    let here = facts.temperature_c;
    let rise = mixing_rise_k(facts).unwrap_or(0.0);
    let (gravity, who) = match (soft(here), soft(here + rise)) {
        (Some((over, who)), _) if over > SAGS_K => (Gravity::Stop, who),
        (Some((_, who)), _) => (Gravity::StrongCaution, who),
        (None, Some((_, who))) => (Gravity::Caution, who),
        (None, None) => return None,
    };
    let found = Found::of(gravity).who(who.to_string()).number("temperature_c", Some(here));
    Some(if gravity == Gravity::Caution { found.number("heat_rise_c", Some(rise)) } else { found })
}

fn alike(a: &Material, b: &Material) -> bool {
    a.id == b.id || (a.family.is_some() && a.family == b.family)
}

/// A part of a metal family that the recipe does not name.
pub fn metal_not_meant(facts: &Facts) -> Option<Found> {
    let meant = &facts.conditions.meant_for;
    if meant.is_empty() {
        return None;
    }
    let strange = facts.conditions.parts.iter().filter_map(|p| {
        let metal = p.metal?;
        (!meant.iter().any(|m| alike(m, metal))).then(|| format!("{} ({})", p.name, metal.name))
    });
    let who = strange.min()?;
    Some(Found::of(Gravity::StrongCaution).who(who).number("temperature_c", Some(facts.temperature_c)))
}

/// The recipe says that filled plastics do not take it.
pub fn filled_plastic(facts: &Facts) -> Option<Found> {
    let c = facts.conditions;
    let (gravity, why) = match (&c.no_filled_plastic, &c.poor_filled_plastic) {
        (Some(why), _) => (Gravity::Stop, why),
        (None, Some(why)) => (Gravity::StrongCaution, why),
        (None, None) => return None,
    };
    let part = facts.conditions.parts.iter().filter(|p| p.binder.is_some()).map(|p| &p.name).min()?;
    // The recipe's reason is text of the recipe: figures in it (a temperature) are no input amounts.
    let found = Found::of(gravity).who(format!("{part}: {why}"));
    Some(found.number("temperature_c", Some(facts.temperature_c)))
}

/// Scalds from about 50 °C.
pub fn hot_bath(facts: &Facts) -> Option<Found> {
    let gravity = match facts.temperature_c {
        t if t >= 60.0 => Gravity::Caution,
        t if t >= 50.0 => Gravity::Note,
        _ => return None,
    };
    Some(Found::of(gravity).number("temperature_c", Some(facts.temperature_c)))
}
