//! What temperature, strength and loading do to soak time: bands with their basis, never a promise.

use crate::amount::{
    Area, MassFraction, Span, ThermodynamicTemperature, Volume, in_millilitres, in_square_millimetres,
};
use uom::si::thermodynamic_temperature::kelvin;

/// Molar gas constant, J/(mol K) (SI 2019).
const GAS_J_MOL_K: f64 = 8.314462618;
/// Activation energies that bracket the baths: oxygen diffusing to the metal, and a reaction at its surface (usual
/// values, from memory; the factors per 10 K that follow are 1.3 and 2).
const DIFFUSION_J_MOL: f64 = 18_000.0;
const REACTION_J_MOL: f64 = 50_000.0;
/// How many times as long a soak takes, as a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Pace {
    /// Times as long: below one is faster.
    pub factor: Span<f64>,
    /// What the band rests on.
    pub basis: String,
}

/// What a change of temperature does to soak time.
pub fn temperature_pace(from: ThermodynamicTemperature, to: ThermodynamicTemperature) -> Pace {
    let (a, b) = (from.get::<kelvin>(), to.get::<kelvin>());
    let factor = |e: f64| libm::exp(e / GAS_J_MOL_K * (1.0 / b - 1.0 / a));
    let (slow, fast) = (factor(DIFFUSION_J_MOL), factor(REACTION_J_MOL));
    Pace {
        factor: Span { low: slow.min(fast), high: slow.max(fast) },
        basis: "between oxygen reaching the metal (1.3 times faster in 10 K) and a reaction at its surface (twice)"
            .into(),
    }
}

/// What a change of strength does to soak time: from nothing, where air sets the pace, to in proportion.
/// `None` unless both strengths are above zero.
pub fn strength_pace(from: MassFraction, to: MassFraction) -> Option<Pace> {
    let (from, to) = (from.ratio(), to.ratio());
    if !(from > 0.0 && to > 0.0) {
        return None;
    }
    let ratio = from / to;
    Some(Pace {
        factor: Span { low: ratio.min(1.0), high: ratio.max(1.0) },
        basis: "between no effect (air sets the pace) and in proportion (the chemical does)".into(),
    })
}

/// A warning when more part area hangs in a litre than the recipe was tried with, and how many times the bath is to be
/// made fresh within the time that one bath lasted.
pub fn loading_warning(area: Area, volume: Volume, tried_per_litre: Area) -> Option<(String, u32)> {
    let per_litre = in_square_millimetres(area) / in_millilitres(volume) * 1000.0;
    let tried = in_square_millimetres(tried_per_litre);
    if !(per_litre.is_finite() && tried > 0.0) || per_litre <= tried * 1.005 {
        return None;
    }
    let times = (per_litre / tried).ceil().min(1000.0);
    let text = format!(
        "There are {:.0} cm² of part for each litre; the recipe was tried with up to {:.0}. Use {:.1} times as much \
         bath, fewer parts at once, or a fresh bath {times:.0} times within the time given for one.",
        per_litre / 100.0,
        tried / 100.0,
        per_litre / tried
    );
    // A whole number between 1 and 1000.
    Some((text, times as u32))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, millilitres, square_millimetres};

    #[test]
    fn ten_kelvins_are_between_a_third_and_twice_faster() {
        let pace = temperature_pace(celsius(20.0), celsius(30.0));
        assert!((1.0 / pace.factor.low - 1.97).abs() < 0.05, "{:?}", pace.factor);
        assert!((1.0 / pace.factor.high - 1.28).abs() < 0.03, "{:?}", pace.factor);
        let back = temperature_pace(celsius(30.0), celsius(20.0));
        assert!((back.factor.high * pace.factor.low - 1.0).abs() < 1e-9);
    }

    #[test]
    fn loading_within_what_was_tried_says_nothing() {
        let tried = square_millimetres(20_000.0);
        assert!(loading_warning(square_millimetres(10_000.0), millilitres(1000.0), tried).is_none());
        let (text, times) = loading_warning(square_millimetres(50_000.0), millilitres(1000.0), tried).unwrap();
        assert_eq!(times, 3);
        assert!(text.contains("500 cm²") && text.contains("2.5 times"), "{text}");
    }

    #[test]
    fn half_the_strength_takes_up_to_twice_as_long() {
        let w = |percent| MassFraction::percent(percent).unwrap();
        assert_eq!(strength_pace(w(6.0), w(3.0)).unwrap().factor, Span { low: 1.0, high: 2.0 });
        assert!(strength_pace(w(0.0), w(1.0)).is_none());
    }
}
