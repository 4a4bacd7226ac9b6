//! From ingredients to the finished mixture.

use super::{MixConditions, Mixture, Neutralised};
use crate::amount::Ph;
use crate::diag::Checked;
use crate::reference::Ingredient;

/// Computes the mixture of these ingredients, poured in this order.
///
/// # Errors
/// An ingredient without amount, unrecognised or with a missing or impossible strength; more than one meaning.
pub fn mix(_ingredients: &[Ingredient], _conditions: &MixConditions) -> Checked<Mixture> {
    todo!()
}

/// How much of `with` brings the mixture to `to`.
///
/// # Errors
/// As [`mix`]; a reagent that cannot reach that pH.
pub fn neutralise(
    _ingredients: &[Ingredient],
    _with: &Ingredient,
    _to: Ph,
    _conditions: &MixConditions,
) -> Checked<Neutralised> {
    todo!()
}
