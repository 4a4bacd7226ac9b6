//! Ammonia: its vapour, its carbonate, and what it does with copper.

use super::Found;
use super::kit::{ACIDIC, names};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

const AMMONIA: Roles = Roles::of(&[H::Ammonia]);
const COPPER: Roles = Roles::of(&[H::CopperSalt]);
const NITRATE: Roles = Roles::of(&[H::Nitrate]);

/// IDLH of ammonia, ppm (NIOSH).
const IDLH_PPM: f64 = 300.0;

/// Slow release: one step lower than if it came at once, until the bound passes ten times the IDLH or somebody is in a
/// closet or tent with it (reference rule g14). Where an acid binds much of it, a note: household strengths only.
pub fn vapour(facts: &Facts) -> Option<Found> {
    let percent = facts.strongest(AMMONIA)?;
    let moles = facts.equivalents(AMMONIA);
    let ppm = moles.and_then(|n| facts.room_ppm(n));
    let tiny_room = facts.room_m3.is_some_and(|v| v < 5.0);
    let above = |limit: f64| ppm.is_some_and(|p| p >= limit);
    // What is only perhaps an acid binds nothing.
    let doubtful = facts.playing(ACIDIC).any(|p| facts.is_unknown(p.ingredient));
    let acid = facts.equivalents(ACIDIC).filter(|_| !doubtful);
    let bound = facts.any(ACIDIC)
        && percent <= 10.5
        && moles.zip(acid).is_some_and(|(ammonia, acid)| acid >= 0.2 * ammonia)
        && facts.temperature_c < 40.0;
    let gravity = if above(10.0 * IDLH_PPM) || (tiny_room && above(IDLH_PPM)) {
        Gravity::Stop
    } else if above(5.0 * IDLH_PPM) || facts.temperature_c >= 50.0 || (facts.sprayed() && facts.room_m3.is_some()) {
        Gravity::StrongCaution
    } else if bound {
        Gravity::Note
    } else {
        Gravity::Caution
    };
    Some(Found::of(gravity).who(names(facts, AMMONIA)).gas(facts, "ammonia", moles))
}

/// Gives off its gases by itself.
pub fn ammonium_carbonate(facts: &Facts) -> Option<Found> {
    let carbonates = ["ammonium_carbonate", "ammonium_bicarbonate"];
    facts.poured().find(|p| carbonates.contains(&p.substance.id.as_ref()))?;
    let gravity = match (facts.closed(), facts.temperature_c >= 40.0) {
        (true, true) => Gravity::Stop,
        (true, false) | (false, true) => Gravity::StrongCaution,
        (false, false) => Gravity::Caution,
    };
    Some(Found::of(gravity))
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
