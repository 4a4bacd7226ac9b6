//! What the carbon dioxide of a bath is in balance with.

use super::Carbonate;
use super::equilibrium::Over;
use super::species::{Composition, acid_protons, base_equivalents, of};
use crate::reference::schema::{Component, SoluteData};

/// Share of carbon dioxide in open air, as a pressure in atm: 10^−3.37, 426 ppm.
pub(super) const AIR_ATM: f64 = 4.266e-4;

/// What carbon dioxide does, from what was asked and what is in the bath.
pub(super) struct Air {
    /// What the best value is computed with.
    pub over: Over,
    /// The other state that the bath may be in: just mixed, or long in the air.
    pub other: Option<Over>,
}

/// Chosen or default exchange of carbon dioxide.
///
/// By default an acid with a carbonate fizzes, and everything else stands in the open air. Two things are then told
/// apart: a bath with carbonates drifts within hours to days, so the range reaches back to the fresh value; one that
/// takes up much carbon dioxide (caustic, ammonia) does so over days, so the fresh value is given and the range reaches
/// to the aired one.
pub(super) fn air(bath: &Composition, chosen: Option<Carbonate>) -> Air {
    let has = |each: fn(&SoluteData) -> bool| bath.entries().any(|(s, g)| g > 0.0 && each(s));
    let carbonate = has(|s| of(s, Component::Co3) > 0.0);
    let acid = has(|s| acid_protons(s) > 0.0);
    match chosen {
        Some(Carbonate::Closed) => Air { over: Over::Nothing, other: None },
        Some(Carbonate::Aired) => Air { over: Over::Held(AIR_ATM), other: None },
        Some(Carbonate::Fizzing) if carbonate => Air { over: Over::Held(1.0), other: None },
        Some(Carbonate::Fizzing) => Air { over: Over::Nothing, other: None },
        None if carbonate && acid => Air { over: Over::AtMost(1.0), other: None },
        None if carbonate => Air { over: Over::Held(AIR_ATM), other: Some(Over::Nothing) },
        None if has(|s| base_equivalents(s) > 0.0) => Air { over: Over::Nothing, other: Some(Over::Held(AIR_ATM)) },
        None => Air { over: Over::Held(AIR_ATM), other: Some(Over::Nothing) },
    }
}
