//! Vessel, ballast, holders and plastics that the bath attacks.

use super::Found;
use crate::reference::schema::{HazardRole, MaterialKind, MetalFamily};
use crate::safety::Gravity;
use crate::safety::attack::{Bath, stains};
use crate::safety::facts::Facts;

/// The vessel itself: it leaks. Aluminium and zinc are graver, by their own rules.
pub fn vessel(facts: &Facts) -> Option<Found> {
    let vessel = facts.conditions.vessel?;
    let why = Bath::of(facts).attacks(vessel).or_else(|| {
        let porous = vessel.porous && !facts.poured().all(|p| p.plays(HazardRole::Water));
        porous.then(|| format!("{}: soaks the bath up and leaks", vessel.name))
    })?;
    let gravity = if vessel.kind == MaterialKind::Polymer { Gravity::Caution } else { Gravity::StrongCaution };
    // Etched through without notice, and the liquid is deadly.
    let fluoride = matches!(vessel.kind, MaterialKind::Glass | MaterialKind::Ceramic);
    let found = Found::of(if fluoride { Gravity::Stop } else { gravity }).who(why);
    Some(at(facts, found).number("spills_ml", facts.poured_ml))
}

/// Parts whose binder the bath softens.
pub fn plastic(facts: &Facts) -> Option<Found> {
    let bath = Bath::of(facts);
    let binders = facts.conditions.parts.iter().filter_map(|p| p.binder);
    let attacked = binders.filter_map(|m| bath.attacks(m)).min();
    attacked.map(|who| at(facts, Found::of(Gravity::StrongCaution).who(who)))
}

/// At the temperature of the bath and its strongest stock: what an attack depends on.
fn at(facts: &Facts, found: Found) -> Found {
    let strongest = facts.poured().filter(|p| !p.plays(HazardRole::Water) && !p.stock.solid).map(|p| p.percent());
    found.number("temperature_c", Some(facts.temperature_c)).number("strongest_percent", strongest.reduce(f64::max))
}

/// Ballast and holders.
pub fn in_bath(facts: &Facts) -> Option<Found> {
    let bath = Bath::of(facts);
    let parts: Vec<MetalFamily> =
        facts.conditions.parts.iter().filter_map(|p| p.metal.and_then(|m| m.family)).collect();
    let things = facts.conditions.ballast.iter().chain(&facts.conditions.holders);
    let judged = things.filter_map(|m| match bath.attacks(m) {
        Some(why) => Some((Gravity::StrongCaution, why)),
        None => stains(m, &parts).map(|why| (Gravity::Caution, why)),
    });
    let (gravity, who) = judged.max_by(|(g, a), (h, b)| g.cmp(h).then_with(|| b.cmp(a)))?;
    Some(at(facts, Found::of(gravity).who(who)))
}
