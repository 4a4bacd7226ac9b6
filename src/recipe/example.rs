//! The worked example that a recipe carries; the tests run it.

use super::raw::RawExample;
use super::read::one_volume;
use super::{Quantity, RecipeIngredient};
use crate::amount::{Amount, Exact, MeasureSystem, read_amount};
use crate::diag::Problem;
use crate::reference::yaml::{Faults, clip};

/// A worked example: the recipe scaled to a volume, and what its ingredients come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Example {
    /// Poured volume for amounts as written, finished volume for concentrations.
    pub to: Amount,
    /// Index into [`super::Recipe::ingredients`], and the amount to the last place written.
    pub expect: Vec<(usize, Amount)>,
}

impl Example {
    /// Half a unit in the last decimal place of a printed value: how far the true one may lie from it.
    pub fn half_last_place(value: Exact) -> Option<Exact> {
        let mut unit = Exact::ONE;
        for _ in 0..12 {
            // The value is a whole number of `unit`s when the quotient has no denominator.
            let (_, denominator) = value.checked_div(unit)?.parts();
            if denominator == rust_decimal::Decimal::ONE {
                return unit.checked_div(Exact::whole(2));
            }
            unit = unit.checked_div(Exact::whole(10))?;
        }
        None
    }
}

/// Checks the worked example of a recipe file.
pub(super) fn check(
    raw: &RawExample,
    ingredients: &[RecipeIngredient],
    system: MeasureSystem,
    faults: &mut Faults<'_>,
) -> Option<Example> {
    let to = raw.to.as_deref().and_then(|t| faults.take("example.to", one_volume(t, system)));
    let mut expect = Vec::new();
    for (i, item) in raw.expect.iter().enumerate() {
        let Some(item) = item else { continue };
        let (Some(name), Some(amount)) = (&item.ingredient, &item.amount) else { continue };
        let amount = faults.take(format_args!("example.expect[{i}].amount"), read_amount(amount, system));
        let at = ingredients.iter().position(|k| k.ingredient.line.name.eq_ignore_ascii_case(name.trim()));
        match at {
            Some(at) if matches!(ingredients[at].quantity, Quantity::Rest | Quantity::MassPercent(_)) => {
                let message = "the rest and shares by mass depend on density; an example gives the other ingredients";
                faults.add(format_args!("example.expect[{i}].ingredient"), Problem::error(message));
            }
            Some(at) => expect.extend(amount.map(|a| (at, a))),
            None => {
                let names: Vec<&str> = ingredients.iter().map(|k| k.ingredient.line.name.as_str()).collect();
                let message = format!("no ingredient `{}`; the recipe has {}", clip(name), crate::diag::one_of(&names));
                faults.add(format_args!("example.expect[{i}].ingredient"), Problem::error(message));
            }
        }
    }
    Some(Example { to: to?, expect })
}
