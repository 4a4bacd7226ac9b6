//! What is added to a bath that stands: the line that says it, and what it brings.

use super::neutralise::reagent;
use super::pour::{Poured, pour};
use super::species::Composition;
use crate::amount::{Amount, Exact, Mass, MassUnit, MeasureSystem, Unit, grams};
use crate::diag::Checked;
use crate::reference::{Ingredient, read_ingredient};

/// What goes in: the line, and what it brings.
pub(super) struct Addition {
    pub line: Ingredient,
    pub brings: Composition,
}

pub(super) fn scaled(ingredient: &Ingredient, factor: f64) -> Option<Ingredient> {
    let mut line = ingredient.clone();
    line.line.amount = Some(ingredient.line.amount.as_ref()?.scaled(Exact::from_f64(factor)?)?);
    Some(line)
}

/// So much more of an ingredient; nothing of what does not dissolve.
pub(super) fn addition(ingredient: &Ingredient, poured: &Poured, factor: f64) -> Option<Addition> {
    let line = scaled(ingredient, factor).filter(|_| poured.best.solids_g.is_empty())?;
    Some(Addition { line, brings: poured.best.times(factor) })
}

/// One line for what is added twice.
pub(super) fn join(add: &mut Vec<Addition>) {
    let mut joined: Vec<Addition> = Vec::new();
    for more in add.drain(..) {
        let like = |a: &&mut Addition| {
            a.line.line.name == more.line.line.name && a.line.line.strength == more.line.line.strength
        };
        match joined.iter_mut().find(like) {
            Some(one) => {
                one.brings.add_all(&more.brings);
                one.line.line.amount = gram_amount(one.brings.total_g());
            }
            None => joined.push(more),
        }
    }
    *add = joined;
}

pub(super) fn gram_amount(g: f64) -> Option<Amount> {
    Some(Amount::of(Exact::from_f64((g * 1000.0).round() / 1000.0)?, Unit::Mass(MassUnit::Gram)))
}

pub(super) fn of_grams(name: &str, g: f64) -> Checked<Addition> {
    let mut line = read_ingredient(&format!("1 g {name}"), MeasureSystem::Metric)?;
    line.line.amount = gram_amount(g);
    Ok(Addition { brings: reagent(&line, 20.0)?.best.times(g), line })
}

/// Mass of an addition, from its amount and what is known of it.
pub fn addition_mass(ingredient: &Ingredient) -> Option<Mass> {
    let poured = pour(ingredient, 20.0).ok()?;
    Some(grams(poured.best.total_g()))
}
