//! Dosing: from a recipe and what is on the shelf to amounts.

use crate::amount::{Amount, MeasuredOut, Volume};
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
    /// In measures the person owns.
    pub measured: Option<MeasuredOut>,
    /// Why it differs from the recipe ("your 6 % vinegar instead of 5 %: less of it, more water").
    pub why: Option<String>,
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

/// Doses for a volume. `finished`: the volume is what mass and density give, not the sum of the liquids.
///
/// # Errors
/// A bottle too weak to reach the target; a stock that is missing its strength.
pub fn dose(_recipe: &Recipe, _bench: &Bench, _volume: Volume, _finished: bool) -> Checked<Dosing> {
    todo!()
}
