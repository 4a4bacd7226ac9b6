//! Carrying uncertainty through: each cause is tried at both ends, errors add in quadrature, written ranges in full.

use crate::amount::Estimate;

/// What one cause does to a value: the value with the cause at its low and at its high end.
pub(super) struct Effect<'a> {
    pub label: &'a str,
    pub low: f64,
    pub high: f64,
    /// A range that the person wrote.
    pub range: bool,
}

/// The value with its two ends, and the cause that moves it most.
pub(super) fn combine<'a>(
    best: f64,
    effects: impl IntoIterator<Item = Effect<'a>>,
) -> (Estimate<f64>, Option<&'a str>) {
    let (mut down, mut up, mut range_down, mut range_up) = (0.0, 0.0, 0.0, 0.0);
    let mut largest: Option<(f64, &str)> = None;
    for effect in effects {
        let below = (best - effect.low.min(effect.high)).max(0.0);
        let above = (effect.low.max(effect.high) - best).max(0.0);
        if !(below.is_finite() && above.is_finite()) {
            continue;
        }
        if effect.range {
            range_down += below;
            range_up += above;
        } else {
            down += below * below;
            up += above * above;
        }
        let size = below.max(above);
        if size > 1e-9 * best.abs().max(1e-12) && largest.is_none_or(|(most, _)| size > most * (1.0 + 1e-9)) {
            largest = Some((size, effect.label));
        }
    }
    let low = best - range_down - f64::sqrt(down);
    let high = best + range_up + f64::sqrt(up);
    (Estimate { best, low, high }, largest.map(|(_, label)| label))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn errors_add_in_quadrature_and_ranges_in_full() {
        let effect = |label, by: f64, range| Effect { label, low: 10.0 - by, high: 10.0 + by, range };
        let (found, cause) =
            combine(10.0, [effect("spoon", 3.0, false), effect("label", 4.0, false), effect("range", 2.0, true)]);
        assert!((found.low - 3.0).abs() < 1e-9 && (found.high - 17.0).abs() < 1e-9);
        assert_eq!(cause, Some("label"));
    }
}
