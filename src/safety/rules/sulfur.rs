//! Sulfide baths by themselves, and dithionite with too little water.

use super::Found;
use super::kit::{little_liquid, names};
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::exposure::{at_once_ppm, far_above, gravity_of, is_closet};
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;
use crate::safety::vapours::hydrogen_sulfide;

const SULFIDE: Roles = Roles::of(&[H::Sulfide]);

/// A smell when cold, more when warm or shut in with it; a bicarbonate bath (about pH 8.3) holds most of it back.
///
/// The estimate over the bath counts by the ladder of every vapour, and what is sprayed as if all of its sulfide became gas,
/// each up to a strong caution: more water thins them. In a closet a warm or sprayed bath is a stop when all of its sulfide
/// would pass ten times the IDLH, which nothing poured to it lowers.
pub fn sulfide_bath(facts: &Facts) -> Option<Found> {
    if !facts.any(SULFIDE) {
        return None;
    }
    let small = facts.room_m3.is_some_and(|v| v < 5.0);
    let held_back = facts.any(Roles::of(&[H::Carbonate, H::Alkali]));
    let by_hand = match facts.temperature_c {
        c if c >= 85.0 || (c >= 60.0 && small) => Gravity::StrongCaution,
        c if c >= 60.0 || small || facts.sprayed() || facts.closed() => Gravity::Caution,
        _ if held_back => Gravity::Note,
        _ => Gravity::Caution,
    };
    let found = Found::of(by_hand).who(names(facts, SULFIDE));
    let Some(bath) = hydrogen_sulfide(facts) else { return Some(found) };
    let room = &facts.conditions.room;
    let limit = bath.gas.strictest().map(|l| l.ppm);
    let judged = |ppm: Option<f64>| ppm.and_then(|ppm| gravity_of(ppm, limit, bath.gas, far_above(None, room)));
    let surface = bath.surface_ppm(facts);
    let all = bath.held.and_then(|held| at_once_ppm(held, room, facts.temperature()));
    let closet = is_closet(room) && (facts.sprayed() || facts.temperature_c >= 60.0);
    let far = bath.gas.idlh_ppm.map(|idlh| 10.0 * idlh);
    let stop = closet && all.zip(far).is_some_and(|(all, far)| all > far);
    let told = if stop || facts.sprayed() { all.or(surface) } else { surface };
    let by_air = judged(told).map(|g| g.min(Gravity::StrongCaution));
    let gravity = if stop { Gravity::Stop } else { by_hand.max(by_air.unwrap_or(Gravity::Note)) };
    let mut found = bath.figures(facts, found, told);
    found.gravity = gravity;
    Some(found)
}

/// A little water damps the powder and heats it, whichever was there first; powder into much water is ordinary use.
pub fn dithionite(facts: &Facts) -> Option<Found> {
    let powder: Vec<_> = facts.playing(Roles::of(&[H::Dithionite])).collect();
    let damp = !powder.is_empty() && little_liquid(facts, &powder).next().is_some();
    (!powder.is_empty()).then(|| Found::of(if damp { Gravity::Stop } else { Gravity::StrongCaution }))
}
