//! Recipes in a list, each reviewed at its own strength.

use super::{doses, middle, poured};
use crate::amount::millilitres;
use crate::bath::BathSize;
use crate::order::Bench;
use crate::recipe::{Method, Recipe};
use crate::reference::Room;
use crate::safety::{self, Conditions, PartFacts};

/// The size at which recipes are reviewed for the list.
pub(super) const LISTED_ML: f64 = 250.0;

/// A recipe in a list: its review at its own strength, and what the shelf lacks for it.
#[derive(Debug, Clone)]
pub struct ListedRecipe {
    /// The recipe.
    pub recipe: Recipe,
    /// Its review at its own strength, on the first metal it is for, without a vessel.
    pub review: safety::Review,
    /// Ingredients that the bench's shelf lacks; empty without a bench.
    pub missing: Vec<String>,
}

/// Reviews a recipe at its own strength, as for a quarter of a litre. What is sprayed, fumed or buried is reviewed as
/// done out of doors, which those methods ask for.
pub fn list_recipe(recipe: Recipe, bench: Option<&Bench>) -> ListedRecipe {
    let outdoors = matches!(recipe.method, Method::Spray | Method::Fume | Method::Burial);
    let conditions = Conditions {
        temperature: Some(middle(recipe.temperature)),
        room: Room { outdoors, ..Room::default() },
        cover: Some(recipe.cover),
        method: recipe.method,
        parts: recipe
            .metals
            .first()
            .map(|m| PartFacts { name: m.name.to_string(), metal: Some(*m), binder: None })
            .into_iter()
            .collect(),
        meant_for: recipe.metals.clone(),
        recipe_temperature: Some(recipe.temperature.high),
        ..Conditions::default()
    };
    let ingredients = match doses(&recipe, &Bench::default(), BathSize::Finished(millilitres(LISTED_ML))) {
        Ok(dosing) => poured(&dosing),
        Err(_) => recipe.ingredients.iter().map(|i| i.ingredient.clone()).collect(),
    };
    let review = safety::check(&ingredients, &conditions);
    let missing = bench.map(|b| missing(&recipe, b)).unwrap_or_default();
    ListedRecipe { recipe, review, missing }
}

/// Ingredients that the shelf lacks; water is always there.
pub(super) fn missing(recipe: &Recipe, bench: &Bench) -> Vec<String> {
    recipe
        .ingredients
        .iter()
        .filter_map(|i| {
            let id = i.ingredient.substance()?.id.as_ref();
            let there =
                id == "water" || bench.stocks.iter().any(|s| s.ingredient.substance().is_some_and(|x| x.id == id));
            (!there).then(|| i.ingredient.line.name.clone())
        })
        .collect()
}
