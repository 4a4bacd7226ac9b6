//! Whether recipe, part and temperature fit each other.

use super::Found;
use crate::reference::Material;
use crate::safety::Gravity;
use crate::safety::facts::Facts;

/// Above the binder's limit the part warps.
pub fn hotter_than_binder(facts: &Facts) -> Option<Found> {
    let soft = facts.conditions.parts.iter().filter_map(|p| {
        let binder = p.binder?;
        (facts.temperature_c > binder.bath_below_c?).then(|| format!("{} ({})", p.name, binder.name))
    });
    soft.min().map(|who| Found::of(Gravity::Stop).who(who).number("temperature_c", Some(facts.temperature_c)))
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
    strange.min().map(|who| Found::of(Gravity::StrongCaution).who(who))
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
    Some(Found::of(gravity).who(format!("{part}: {why}")))
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
