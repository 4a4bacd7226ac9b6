//! Metal under water in a vessel that is closed and turns: a tumbling barrel.

use super::Found;
use super::kit::{ACIDIC, ALKALI, PEROXIDE, each_gram, on};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Place, still_counts};
use crate::safety::parts_played::Roles;

const CHLORIDE: Roles = Roles::of(&[H::Chloride]);
const CARBONATE: Roles = Roles::of(&[H::Carbonate]);

/// Hydrogen from water on bared metal. How much comes is not known, so there is no figure; the steps are our judgement.
pub fn wet_metal(facts: &Facts) -> Option<Found> {
    if !facts.closed() || facts.poured().next().is_none() {
        return None;
    }
    let reactive: &[MetalFamily] =
        &[MetalFamily::Magnesium, MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Ferrous];
    facts
        .metal(reactive)
        .filter(|m| matches!(m.place, Place::Part | Place::Ballast))
        .map(|m| {
            let gravity = match m.family {
                // Brine eats magnesium fast (general chemistry, recalled).
                MetalFamily::Magnesium if facts.any(CHLORIDE) || facts.kept => Gravity::Stop,
                MetalFamily::Magnesium => Gravity::StrongCaution,
                MetalFamily::Ferrous => Gravity::Note,
                _ => Gravity::Caution,
            };
            (gravity, on("water", m), m.family)
        })
        .max_by(|(g, a, _), (h, b, _)| g.cmp(h).then_with(|| b.cmp(a)))
        .map(|(gravity, who, family)| each_gram(facts, family, Found::of(gravity).who(who)))
}

/// What clings from before and makes gas on metal, weaker for every rinse.
pub fn residue(facts: &Facts) -> Option<Found> {
    if !facts.closed() {
        return None;
    }
    let metal = facts.metals.iter().find(|m| matches!(m.place, Place::Part | Place::Ballast))?;
    facts
        .present
        .iter()
        .filter(|p| p.before.is_some())
        .filter(|p| [ACIDIC, ALKALI, PEROXIDE, CARBONATE].iter().any(|roles| p.is(*roles)))
        .map(|p| (still_counts(p, false, false), on(p.name(), metal)))
        .max_by(|(g, a), (h, b)| g.cmp(h).then_with(|| b.cmp(a)))
        .map(|(gravity, who)| each_gram(facts, metal.family, Found::of(gravity).who(who)))
}
