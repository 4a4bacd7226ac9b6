//! Recipes in a list, each reviewed at its own strength.

use super::conditions;
use super::trial::{self, Lacking, trial};
use crate::amount::{ThermodynamicTemperature, millilitres};
use crate::bath::BathSize;
use crate::order::Bench;
use crate::recipe::{Finish, Method, Recipe};
use crate::reference::Material;
use crate::safety::{self, Outcome};

/// The size at which recipes are reviewed for the list.
pub(super) const LISTED_ML: f64 = 250.0;

/// A recipe in a list: its review, and what the shelf lacks for it.
#[derive(Debug, Clone)]
pub struct ListedRecipe {
    /// The recipe.
    pub recipe: Recipe,
    /// Its review, on the metal asked for or else the first it is for, without a vessel.
    pub review: safety::Review,
    /// What the bench's shelf lacks; nothing without a bench.
    pub missing: Lacking,
    /// Why it cannot be made from the bottles there, if it cannot.
    pub cannot: Option<String>,
}

/// Which recipes are wanted. What is `None` lets all through.
#[derive(Debug, Clone, Default)]
pub struct Sieve {
    /// For this metal.
    pub metal: Option<&'static Material>,
    /// With this finish.
    pub finish: Option<Finish>,
    /// Whose review names this rule.
    pub hazard: Option<String>,
    /// That this bench can make.
    pub bench: Option<Bench>,
    /// That work at this temperature.
    pub temperature: Option<ThermodynamicTemperature>,
}

/// What the sieve let through.
#[derive(Debug, Clone)]
pub struct Listing {
    /// By id.
    pub recipes: Vec<ListedRecipe>,
    /// When none is left: what to leave out, and how many recipes that alone would let in.
    pub relax: Vec<(&'static str, usize)>,
    /// Whether the review is of a bench's own bottles, in its room.
    pub from_bench: bool,
}

/// Lists what the sieve lets through.
pub fn list(recipes: Vec<Recipe>, sieve: &Sieve) -> Listing {
    let mut found = Vec::new();
    let mut relax: Vec<(&'static str, usize)> = Vec::new();
    for recipe in recipes {
        let listed = list_recipe(recipe, sieve.bench.as_ref(), sieve.metal);
        let recipe = &listed.recipe;
        let checks = [
            ("the metal", sieve.metal.map(|m| recipe.metals.iter().any(|r| r.id == m.id))),
            ("the finish", sieve.finish.map(|f| recipe.finish == f)),
            ("the temperature", sieve.temperature.map(|t| recipe.temperature.low <= t && t <= recipe.temperature.high)),
            ("the hazard", sieve.hazard.as_ref().map(|h| listed.review.hazards.iter().any(|x| x.id == *h))),
            ("the bench", sieve.bench.as_ref().map(|_| listed.missing.is_empty() && listed.cannot.is_none())),
        ];
        let mut fails = checks.iter().filter(|(_, passes)| *passes == Some(false)).map(|(what, _)| *what);
        match (fails.next(), fails.next()) {
            (None, _) => found.push(listed),
            (Some(what), None) => match relax.iter_mut().find(|(w, _)| *w == what) {
                Some((_, count)) => *count += 1,
                None => relax.push((what, 1)),
            },
            _ => {}
        }
    }
    if !found.is_empty() {
        relax.clear();
    }
    Listing { recipes: found, relax, from_bench: sieve.bench.is_some() }
}

/// Reviews a recipe for a list, as for a quarter of a litre: with a bench, from its bottles and in its room, as `plan`
/// would; without one at the recipe's own strength, and out of doors where it is sprayed, fumed or buried, which those
/// methods ask for.
pub fn list_recipe(recipe: Recipe, bench: Option<&Bench>, metal: Option<&'static Material>) -> ListedRecipe {
    let metal = metal.filter(|m| recipe.metals.iter().any(|r| r.id == m.id)).or(recipe.metals.first().copied());
    let mut own = bench.cloned().unwrap_or_default();
    if bench.is_none() {
        own.room.outdoors = matches!(recipe.method, Method::Spray | Method::Fume | Method::Burial);
    }
    let order = trial::order(recipe, own, metal, None);
    let (review, missing, cannot) = match trial(&order, BathSize::Finished(millilitres(LISTED_ML)), false) {
        Ok((trial, missing)) => match safety::review(trial) {
            Outcome::Passed(passed) => (passed.review().clone(), missing, None),
            Outcome::Refused(review) => (review, missing, None),
        },
        Err(problems) => {
            let as_written: Vec<_> = order.recipe.ingredients.iter().map(|i| i.ingredient.clone()).collect();
            let why = problems.0.first().map(|p| p.message.clone());
            (safety::check(&as_written, &conditions(&order, None)), trial::lacking(&order), why)
        }
    };
    let missing = if bench.is_some() { missing } else { Lacking::default() };
    ListedRecipe { recipe: order.recipe, review, missing, cannot }
}
