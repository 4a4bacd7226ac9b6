//! An ingredient line as a person writes it: amount, strength and name in any order.

use super::{Amount, MeasureSystem, Strength};
use crate::diag::Checked;

/// `"1/3 cup white vinegar 5%"` taken apart; the name is not yet looked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IngredientLine {
    /// The line as written.
    pub text: String,
    /// How much, if said.
    pub amount: Option<Amount>,
    /// The strength, if said. Its basis may still be the unspecific per cent: see [`Strength::basis_assumed`].
    pub strength: Option<Strength>,
    /// What is left: the name, spaces folded.
    pub name: String,
    /// Kitchen words that qualify the amount ("level", "heaped", "about"), kept for the sheet.
    pub manner: Vec<String>,
}

/// Takes an ingredient line apart.
///
/// # Errors
/// A decimal comma, an ounce that could be weight or volume, an impossible strength (130 %), a negative or empty
/// amount, two amounts: each named with what is allowed.
pub fn read_ingredient_line(_text: &str, _system: MeasureSystem) -> Checked<IngredientLine> {
    todo!()
}
