//! What measuring out leaves: the mixture that spoons and scales really make.

use crate::amount::Span;
use crate::bath::{Dosing, MixConditions, Mixture, mix_physics};

/// The mixture that the measured amounts make; `None` when something cannot be measured with the tools at hand.
pub(super) fn measured_mixture(dosing: &Dosing, mixing: &MixConditions) -> Option<Mixture> {
    let mut ingredients = Vec::new();
    for d in &dosing.doses {
        let mut i = d.ingredient.clone();
        if let Some(m) = &d.measured {
            i.line.amount = Some(join(&m.low.comes_to, &m.high.comes_to)?);
        }
        ingredients.push(i);
    }
    mix_physics(&ingredients, mixing).ok()
}

pub(super) fn join(low: &crate::amount::Amount, high: &crate::amount::Amount) -> Option<crate::amount::Amount> {
    (low.unit == high.unit)
        .then_some(crate::amount::Amount { value: Span { low: low.value.low, high: high.value.high }, unit: low.unit })
}

/// The largest change of a concentration from the exact mixture to that measured out: (solute, per cent).
pub(super) fn measuring_error(measured: Option<&Mixture>, exact: &Mixture) -> Option<(String, f64)> {
    let measured = measured?;
    let mut worst: Option<(String, f64)> = None;
    for solute in &exact.solutes {
        let Some(other) = measured.solutes.iter().find(|s| s.substance == solute.substance) else { continue };
        let want = crate::amount::in_g_per_l(solute.concentration.best);
        let got = crate::amount::in_g_per_l(other.concentration.best);
        if want <= 0.0 {
            continue;
        }
        let error = (got - want) / want * 100.0;
        if worst.as_ref().is_none_or(|(_, w)| error.abs() > w.abs()) {
            worst = Some((solute.name.clone(), error));
        }
    }
    worst
}
