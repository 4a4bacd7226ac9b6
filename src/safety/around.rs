//! Materials around the bath as the rules for substances see them: stone as the carbonate that it holds, wood and cotton
//! as fuel (`acts_as` in the materials table).
//!
//! Beside them stands what a liquid leaves on a metal: nitric acid on silver is silver nitrate for whatever comes next.
//!
//! They are not poured, so they have no mass and bound nothing: what they give is bounded by the liquid.

use super::facts::{Metal, Place, Present};
use super::parts_played::{Roles, played};
use super::stock::Stock;
use super::{Conditions, Gravity};
use crate::reference::schema::{HazardRole as H, MaterialKind, Tier};
use crate::reference::{Material, incompatible, substance};

/// Where in the order of pouring materials stand: behind all that could ever be poured.
const BEHIND: usize = usize::MAX / 2;
const FUEL: Roles = Roles::of(&[H::CombustibleSolid]);
const NEVER_MILD: Roles = Roles::of(&[H::Chlorate]);

/// So little of a salt in all, g, that what dries into ballast or a stirrer is not the mixture of the table (our judgement).
const LITTLE_SALT_G: f64 = 20.0;
/// Liquid stocks below this, per cent, stain ballast and stirrers and do not set them alight (our judgement; 68 % nitric
/// acid on cotton and 35 % peroxide on wood are the published cases).
const WEAK_LIQUID: f64 = 10.0;

/// A material that is around the bath.
#[derive(Debug, Clone, Copy)]
pub struct Around {
    /// Where.
    pub place: Place,
    /// What it is.
    pub material: &'static Material,
}

/// What vessel, parts, ballast and holders are for the rules that know substances.
pub fn around(conditions: &Conditions, present: &[Present], metals: &[Metal]) -> Vec<Present> {
    let vessel = conditions.vessel.map(|m| (m, Place::Vessel));
    let parts = conditions.parts.iter().filter_map(|p| p.metal).map(|m| (m, Place::Part));
    let ballast = conditions.ballast.iter().map(|m| (*m, Place::Ballast));
    let holders = conditions.holders.iter().map(|m| (*m, Place::Holder));
    let all = vessel.into_iter().chain(parts).chain(ballast).chain(holders);
    let pieces = all.enumerate().filter_map(|(i, (material, place))| {
        let substance = substance(material.acts_as.as_ref()?)?;
        let mut played = played(substance);
        // A board takes oil up as a finish; only fibres spread it through so much air that it heats itself.
        if material.kind == MaterialKind::Wood || place == Place::Holder {
            played.roles = played.roles.without(Roles::of(&[H::SoaksUpOil]));
        }
        let around = Some(Around { place, material });
        Some(Present { ingredient: BEHIND + i, substance, played, stock: Stock::piece(), before: None, around })
    });
    pieces.chain(left_on_metals(present, metals)).collect()
}

/// The salts that what is poured, or was there before, makes of the metals: as far gone as what made them.
fn left_on_metals(present: &[Present], metals: &[Metal]) -> Vec<Present> {
    let table = incompatible().leaves.iter().filter(|made| metals.iter().any(|m| m.family == made.on));
    let each = table.flat_map(|made| {
        let by = present.iter().filter(|p| made.of.contains(&p.substance.id));
        by.filter_map(|p| Some((p.before, substance(&made.gives)?)))
    });
    each.enumerate()
        .map(|(i, (before, substance))| {
            // As an oxidiser it was judged with what made it.
            let mut played = played(substance);
            played.roles = played.roles.without(Roles::of(&[H::Nitrate, H::Oxidiser]));
            let stock = Stock { solid: false, wet: true, ..Stock::piece() };
            Present { ingredient: BEHIND + BEHIND / 2 + i, substance, played, stock, before, around: None }
        })
        .collect()
}

/// How grave this rung of a ladder is when `p` meets `q` and one of them is a piece of fuel around the bath: `None` where it
/// is no matter. A rung that is only a caution is for crumbs and liquids that mix; what dissolves weakly meets the piece
/// dissolved; and ballast and stirrers of fuel take up little from a weak bath.
pub fn rung(
    tier: &Tier,
    reached: Gravity,
    p: &Present,
    q: &Present,
    little: impl Fn(&Present) -> bool,
) -> Option<Gravity> {
    let (piece, bath) = match (p.around, q.around) {
        (Some(piece), _) if p.is(FUEL) => (piece, q),
        (_, Some(piece)) if q.is(FUEL) => (piece, p),
        _ => return Some(reached),
    };
    if bath.is(NEVER_MILD) {
        return Some(reached);
    }
    let weakly = incompatible().saturated_percent.contains_key(bath.substance.id.as_ref());
    if reached <= Gravity::Caution || (tier.a_solid && weakly) {
        return None;
    }
    let aside = match piece.place {
        Place::Holder => true,
        Place::Ballast => !bath.stock.solid || little(bath),
        Place::Vessel | Place::Part | Place::Ingredient => false,
    };
    let mild = if bath.stock.solid { aside } else { aside && bath.percent() < WEAK_LIQUID };
    Some(if mild { reached.min(Gravity::StrongCaution) } else { reached })
}

/// Whether so much of a salt is little.
pub fn is_little(grams: Option<f64>) -> bool {
    grams.is_some_and(|g| g <= LITTLE_SALT_G)
}

#[cfg(test)]
mod tests {
    use crate::reference::{incompatible, materials, substance};

    #[test]
    fn what_a_material_acts_as_is_a_known_substance() {
        for m in materials() {
            let Some(id) = m.acts_as.as_deref() else { continue };
            assert!(substance(id).is_some_and(|s| s.id == id), "{}: {id}", m.id);
        }
        for made in &incompatible().leaves {
            assert!(made.of.iter().chain([&made.gives]).all(|id| substance(id).is_some()), "{made:?}");
            assert!(incompatible().sources.contains_key(&made.source), "{made:?}");
        }
    }
}
