//! Solvents and drying oils.

use super::Found;
use super::kit::{names, rise_k};
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::exposure::gives_off;
use crate::safety::facts::{Facts, Present};
use crate::safety::parts_played::Roles;

const SOLVENT: Roles = Roles::of(&[H::FlammableSolvent]);

/// As much as is on a rag, mL (judgement).
const WIPE_ML: f64 = 30.0;

/// A warm bath, a mist or much of it is worse; a wipe that has dried is gone.
pub fn flammable_vapour(facts: &Facts) -> Option<Found> {
    let solvents: Vec<_> = facts.playing(SOLVENT).filter(|p| p.percent() >= 10.0).collect();
    if solvents.is_empty() {
        let wet = |p: &&crate::safety::facts::Present| p.is(SOLVENT) && p.before.is_some_and(|b| !b.dried);
        let left: Vec<_> = facts.present.iter().filter(wet).collect();
        return (!left.is_empty()).then(|| burns_from(&left, Found::of(Gravity::Note)));
    }
    let wipe = solvents.iter().all(|p| p.stock.volume_ml.is_some_and(|ml| ml <= WIPE_ML));
    let gravity = match facts.temperature_c {
        c if c >= 60.0 => Gravity::Stop,
        c if c >= 35.0 => Gravity::StrongCaution,
        _ if facts.sprayed() => Gravity::StrongCaution,
        _ if wipe => Gravity::Note,
        _ => Gravity::Caution,
    };
    // All of it as vapour.
    let vapour = solvents.iter().map(|p| p.stock.moles).sum::<Option<f64>>().filter(|mol| *mol > 0.0);
    let found = burns_from(&solvents, Found::of(gravity).who(names(facts, SOLVENT)));
    Some(match vapour {
        Some(mol) => found.volume(facts, mol),
        None => found,
    })
}

/// With the share of the air from which the vapour burns, the lowest of them.
fn burns_from(solvents: &[&Present], found: Found) -> Found {
    let lel = solvents.iter().filter_map(|p| gives_off(p.substance)?.lel_percent).reduce(f64::min);
    found.number("burns_in_air_from_percent", lel)
}

/// Heats itself hours later.
pub fn drying_oil(facts: &Facts) -> Option<Found> {
    let oil = Roles::of(&[H::DryingOil]);
    if !facts.any(oil) {
        return None;
    }
    let soaks = Roles::of(&[H::SoaksUpOil]);
    let spread = facts.any(soaks) || facts.around.iter().any(|p| p.is(soaks));
    // Burnt whole: 39 kJ a gram of oil (heats of combustion of vegetable oils, CRC Handbook, recalled).
    let oils = facts.playing(oil).map(|p| p.stock.mass_g).sum::<Option<f64>>();
    let rise = oils.zip(facts.least_g).map(|(grams, all)| rise_k(grams * 39.0, all)).filter(|rise| *rise > 0.0);
    let found = Found::of(if spread { Gravity::Stop } else { Gravity::StrongCaution }).who(names(facts, oil));
    Some(found.number("heat_rise_c", rise))
}
