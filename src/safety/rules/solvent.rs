//! Solvents and drying oils.

use super::Found;
use super::kit::names;
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

const SOLVENT: Roles = Roles::of(&[H::FlammableSolvent]);

/// As much as is on a rag, mL (judgement).
const WIPE_ML: f64 = 30.0;

/// A warm bath, a mist or much of it is worse; a wipe that has dried is gone.
pub fn flammable_vapour(facts: &Facts) -> Option<Found> {
    let solvents: Vec<_> = facts.playing(SOLVENT).filter(|p| p.percent() >= 10.0).collect();
    if solvents.is_empty() {
        let wet = |p: &&crate::safety::facts::Present| p.is(SOLVENT) && p.before.is_some_and(|b| !b.dried);
        return facts.present.iter().any(|p| wet(&p)).then(|| Found::of(Gravity::Note));
    }
    let wipe = solvents.iter().all(|p| p.stock.volume_ml.is_some_and(|ml| ml <= WIPE_ML));
    let gravity = match facts.temperature_c {
        c if c >= 60.0 => Gravity::Stop,
        c if c >= 35.0 => Gravity::StrongCaution,
        _ if facts.sprayed() => Gravity::StrongCaution,
        _ if wipe => Gravity::Note,
        _ => Gravity::Caution,
    };
    Some(Found::of(gravity).who(names(facts, SOLVENT)))
}

/// Heats itself hours later.
pub fn drying_oil(facts: &Facts) -> Option<Found> {
    let oil = Roles::of(&[H::DryingOil]);
    if !facts.any(oil) {
        return None;
    }
    let spread = facts.any(Roles::of(&[H::SoaksUpOil]));
    Some(Found::of(if spread { Gravity::Stop } else { Gravity::StrongCaution }).who(names(facts, oil)))
}
