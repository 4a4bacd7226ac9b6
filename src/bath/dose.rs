//! Dosing: from a recipe and what is on the shelf to amounts.

use crate::amount::{Amount, Exact, MeasuredOut, Span, Volume};
use crate::diag::Checked;
use crate::order::Bench;
use crate::recipe::Recipe;
use crate::reference::Ingredient;

/// One thing to pour or weigh.
#[derive(Debug, Clone)]
pub struct Dose {
    /// What to take, at the strength of the bottle used; its line carries the exact amount.
    pub ingredient: Ingredient,
    /// What the sheet calls it.
    pub name: String,
    /// The exact amount, in the unit the recipe is written in.
    pub exact: Amount,
    /// The same as a plain metric amount ("473 mL", "52 g").
    pub metric: String,
    /// In measures the person owns; the two ends when the recipe gives a range.
    pub measured: Option<Span<MeasuredOut>>,
    /// Why it differs from the recipe ("your 6 % vinegar instead of 5 %: less of it, more water").
    pub why: Option<String>,
    /// A remark of the recipe.
    pub note: Option<String>,
}

/// What a bath is scaled to, and the doses for it.
#[derive(Debug, Clone)]
pub struct Dosing {
    /// Doses in the order of pouring.
    pub doses: Vec<Dose>,
    /// Sum of the liquids as poured.
    pub poured: Volume,
    /// Whether the target was a poured or a finished volume.
    pub by_poured_volume: bool,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// How much of a bath is wanted.
#[derive(Debug, Clone, Copy)]
pub enum BathSize {
    /// Sum of the liquids as poured, in millilitres.
    Poured(Exact),
    /// Finished volume, from mass and density.
    Finished(Volume),
}

/// Doses for a bath of this size.
///
/// # Errors
/// A bottle too weak to reach the target; a stock that is missing its strength.
pub fn dose(_recipe: &Recipe, _bench: &Bench, _size: BathSize) -> Checked<Dosing> {
    todo!()
}
