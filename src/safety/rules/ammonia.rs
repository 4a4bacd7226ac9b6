//! Ammonia: its vapour, its carbonate, and what it does with copper.

use super::Found;
use super::kit::{ACIDIC, names};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::amount::{in_moles, moles};
use crate::safety::exposure::{far_above, gravity_of};
use crate::safety::facts::{Facts, Present};
use crate::safety::parts_played::Roles;
use crate::safety::{Gravity, vapours};

const AMMONIA: Roles = Roles::of(&[H::Ammonia]);
const COPPER: Roles = Roles::of(&[H::CopperSalt]);
const AMMONIUM: Roles = Roles::of(&[H::Ammonium]);
const CARBONATE: Roles = Roles::of(&[H::Carbonate]);
const NITRATE: Roles = Roles::of(&[H::Nitrate]);

/// The strongest that is household ammonia, per cent, with the tolerance of a label.
const HOUSEHOLD: f64 = 10.5;

/// By the steps of every vapour; from a strong bottle, or in a closet or tent with somebody in it, what is dangerous to
/// life is a stop at once (rule g14 of the reference data; SAFETY.md). Where acid binds it, a note: household strengths.
pub fn vapour(facts: &Facts) -> Option<Found> {
    if !facts.any(AMMONIA) {
        return None;
    }
    let bath = vapours::ammonia(facts)?;
    let limit = bath.gas.strictest().map(|l| l.ppm);
    let (ppm, bottles) = (bath.surface_ppm(facts), vapours::bottles_ppm(facts, bath.gas));
    let far = far_above(None, &facts.conditions.room);
    let judged = |ppm: Option<f64>| ppm.and_then(|ppm| gravity_of(ppm, limit, bath.gas, far));
    let strong = facts.playing(AMMONIA).any(|p| !p.stock.solid && p.percent() > HOUSEHOLD);
    let tiny_room = facts.room_m3.is_some_and(|v| v < 5.0);
    let stop = match judged(bottles) {
        Some(Gravity::Stop) => true,
        Some(Gravity::StrongCaution) => strong || tiny_room,
        _ => false,
    };
    let bound = facts.any(ACIDIC) && !strong && facts.temperature_c < 40.0 && bath.held.is_some() && judged(ppm).is_none();
    let gravity = if stop {
        Gravity::Stop
    } else if facts.temperature_c >= 50.0 || (facts.sprayed() && facts.room_m3.is_some()) {
        Gravity::StrongCaution
    } else if bound {
        Gravity::Note
    } else {
        judged(ppm).unwrap_or(Gravity::Caution).clamp(Gravity::Caution, Gravity::StrongCaution)
    };
    let found = Found::of(gravity).who(names(facts, AMMONIA));
    let found = bath.figures(facts, found, if stop { bottles } else { ppm });
    Some(match bath.held {
        Some(held) if held > moles(0.0) => found.volume(facts, in_moles(held)),
        _ => found,
    })
}

/// Gives off its gases by itself.
pub fn ammonium_carbonate(facts: &Facts) -> Option<Found> {
    let carbonates = ["ammonium_carbonate", "ammonium_bicarbonate"];
    let here = || facts.poured().filter(|p| carbonates.contains(&p.substance.id.as_ref()));
    here().next()?;
    let gravity = match (facts.closed(), facts.temperature_c >= 40.0) {
        (true, true) => Gravity::Stop,
        (true, false) | (false, true) => Gravity::StrongCaution,
        (false, false) => Gravity::Caution,
    };
    // Everything but its water turns into gas: the ammonia and the carbon dioxide of each.
    let of = |p: &Present| Some(p.equivalents(AMMONIUM)? + p.equivalents(CARBONATE)?);
    let found = Found::of(gravity);
    Some(match here().map(of).sum::<Option<f64>>().filter(|mol| *mol > 0.0) {
        Some(mol) => found.volume(facts, mol),
        None => found,
    })
}

/// Ordinary verdigris chemistry; dried out with a nitrate it can explode.
pub fn with_copper(facts: &Facts) -> Option<Found> {
    let percent = facts.strongest(AMMONIA)?;
    let salts = facts.any(COPPER);
    if !salts && facts.metal(&[MetalFamily::CopperAlloy]).next().is_none() {
        return None;
    }
    let nitrate = facts.any(NITRATE);
    let peroxide = facts.strongest(Roles::of(&[H::Peroxide])).is_some_and(|p| p >= 6.0);
    let gravity = match () {
        () if nitrate && facts.temperature_c >= 60.0 => Gravity::Stop,
        () if peroxide => Gravity::Stop,
        () if nitrate || (facts.closed() && facts.temperature_c >= 30.0) => Gravity::StrongCaution,
        () if percent <= 10.5 && facts.any(ACIDIC) && !salts => Gravity::Note,
        () => Gravity::Caution,
    };
    Some(Found::of(gravity))
}
