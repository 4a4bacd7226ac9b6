//! Recipes in a list, each reviewed at its own strength.

use super::{doses, middle, poured};
use crate::amount::{ThermodynamicTemperature, millilitres};
use crate::bath::BathSize;
use crate::order::Bench;
use crate::recipe::{Finish, Method, Recipe};
use crate::reference::{Material, Room};
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
}

/// Lists what the sieve lets through.
pub fn list(recipes: Vec<Recipe>, sieve: &Sieve) -> Listing {
    let mut found = Vec::new();
    let mut relax: Vec<(&'static str, usize)> = Vec::new();
    for recipe in recipes {
        let listed = list_recipe(recipe, sieve.bench.as_ref());
        let recipe = &listed.recipe;
        let checks = [
            ("the metal", sieve.metal.map(|m| recipe.metals.iter().any(|r| r.id == m.id))),
            ("the finish", sieve.finish.map(|f| recipe.finish == f)),
            ("the temperature", sieve.temperature.map(|t| recipe.temperature.low <= t && t <= recipe.temperature.high)),
            ("the hazard", sieve.hazard.as_ref().map(|h| listed.review.hazards.iter().any(|x| x.id == *h))),
            ("the bench", sieve.bench.as_ref().map(|_| listed.missing.is_empty())),
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
    Listing { recipes: found, relax }
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
