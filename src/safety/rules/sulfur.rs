//! Sulfide baths by themselves, and dithionite with too little water.

use super::Found;
use super::kit::{little_liquid, names};
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

const SULFIDE: Roles = Roles::of(&[H::Sulfide]);

/// A smell when cold, more when warm or shut in with it; a bicarbonate bath (about pH 8.3) holds most of it back.
pub fn sulfide_bath(facts: &Facts) -> Option<Found> {
    if !facts.any(SULFIDE) {
        return None;
    }
    let small = facts.room_m3.is_some_and(|v| v < 5.0);
    let held_back = facts.any(Roles::of(&[H::Carbonate, H::Alkali]));
    let gravity = match facts.temperature_c {
        c if c >= 85.0 || (c >= 60.0 && small) => Gravity::StrongCaution,
        c if c >= 60.0 || small || facts.sprayed() || facts.closed() => Gravity::Caution,
        _ if held_back => Gravity::Note,
        _ => Gravity::Caution,
    };
    Some(Found::of(gravity).who(names(facts, SULFIDE)))
}

/// A little water damps the powder and heats it, whichever was there first; powder into much water is ordinary use.
pub fn dithionite(facts: &Facts) -> Option<Found> {
    let powder: Vec<_> = facts.playing(Roles::of(&[H::Dithionite])).collect();
    let damp = !powder.is_empty() && little_liquid(facts, &powder).next().is_some();
    (!powder.is_empty()).then(|| Found::of(if damp { Gravity::Stop } else { Gravity::StrongCaution }))
}
