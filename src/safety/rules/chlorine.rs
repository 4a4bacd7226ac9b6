//! Bleach on metals, and the three that give chlorine together.

use super::Found;
use super::kit::{HYPOCHLORITE, little_liquid, names};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Place, Present};
use crate::safety::parts_played::Roles;

const LIGHT: &[MetalFamily] = &[MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Magnesium];
const HEAVY: &[MetalFamily] = &[
    MetalFamily::Ferrous,
    MetalFamily::CopperAlloy,
    MetalFamily::Nickel,
    MetalFamily::Silver,
    MetalFamily::Lead,
    MetalFamily::Tin,
    MetalFamily::Stainless,
];

/// Oxygen everywhere, hydrogen on light metals.
pub fn on_metal(facts: &Facts) -> Option<Found> {
    if !facts.any(HYPOCHLORITE) {
        return None;
    }
    let light = facts.metal(LIGHT).map(|m| match m.place {
        Place::Vessel => Gravity::Stop,
        _ if m.fine || facts.closed() => Gravity::Stop,
        _ => Gravity::StrongCaution,
    });
    let heavy = facts.metal(HEAVY).map(|_| if facts.closed() { Gravity::Stop } else { Gravity::Caution });
    let gravity = light.chain(heavy).max()?;
    Some(Found::of(gravity).gas(facts, "oxygen", facts.equivalents(HYPOCHLORITE).map(|n| n / 2.0)))
}

/// Trichlor and dichlor: a little water, or any shut in with them, frees gas.
pub fn damp_powder(facts: &Facts) -> Option<Found> {
    let isocyanurate = Roles::of(&[H::Isocyanurate]);
    if !facts.any(isocyanurate) {
        return None;
    }
    let powder: Vec<&Present> = facts.playing(isocyanurate).filter(|p| p.stock.solid).collect();
    let wet = facts.poured().any(|p| p.stock.wet);
    let damp = !powder.is_empty() && little_liquid(facts, &powder).next().is_some();
    let gravity = if damp || (wet && facts.closed()) { Gravity::Stop } else { Gravity::Caution };
    Some(Found::of(gravity).who(names(facts, isocyanurate)))
}

/// Strong acids that take part; vinegar does not.
const ACID: Roles = Roles::of(&[H::StrongAcid]);
const CHLORIDE: Roles = Roles::of(&[H::Chloride]);
const OXIDISER: Roles = Roles::of(&[H::Oxidiser]);

/// Chloride, strong acid and oxidiser, in two or three bottles. One bottle may play two of them (hydrochloric acid,
/// nitric acid, monopersulfate powder).
///
/// Household peroxide with hydrochloric acid pickles and gives little chlorine: a strong caution until one of the two is
/// strong. All other oxidisers are stops.
pub fn three_together(facts: &Facts) -> Option<Found> {
    let poured: Vec<&Present> = facts.poured().collect();
    let mut worst: Option<(Gravity, String)> = None;
    for acid in poured.iter().filter(|p| p.is(ACID)) {
        for chloride in poured.iter().filter(|p| p.is(CHLORIDE) && compatible(p, acid)) {
            for oxidiser in poured.iter().filter(|p| p.is(OXIDISER) && compatible(p, acid) && compatible(p, chloride)) {
                if acid.ingredient == chloride.ingredient && acid.ingredient == oxidiser.ingredient {
                    continue;
                }
                let mild = (oxidiser.plays(H::Peroxide) && oxidiser.percent() < 6.2 && acid.percent() < 10.0)
                    || (oxidiser.plays(H::Nitrate) && acid.percent() < 10.0);
                let gravity = if mild && !facts.closed() { Gravity::StrongCaution } else { Gravity::Stop };
                let mut who = vec![chloride.name(), acid.name(), oxidiser.name()];
                who.sort_unstable();
                who.dedup();
                let who = who.join(", ");
                if worst.as_ref().is_none_or(|(g, w)| gravity > *g || (gravity == *g && who < *w)) {
                    worst = Some((gravity, who));
                }
            }
        }
    }
    let (gravity, who) = worst?;
    Some(Found::of(gravity).who(who).gas(facts, "chlorine", chlorine(facts)))
}

/// Moles of chlorine at most: two chlorides, two hydrogen ions and one oxygen atom of the oxidiser each (the half reactions
/// of peroxide; permanganate and chlorate need more acid). Chlorate and hypochlorite bring chlorine of their own.
fn chlorine(facts: &Facts) -> Option<f64> {
    let own = facts.equivalents(Roles::of(&[H::Chlorate, H::Hypochlorite])).unwrap_or(0.0);
    let chloride = facts.equivalents(CHLORIDE).map(|n| (n + own) / 2.0);
    let acid = facts.equivalents(ACID).map(|n| n / 2.0);
    let oxidiser = facts.equivalents(Roles::of(&[H::ActiveOxygen]));
    [chloride, acid, oxidiser].into_iter().flatten().reduce(f64::min)
}

/// One ingredient is one thing at a time: two roles from one bottle must be of the same meaning.
fn compatible(p: &Present, q: &Present) -> bool {
    p.ingredient != q.ingredient || p.substance.id == q.substance.id
}
