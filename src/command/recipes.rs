//! `recipes`: the list, filtered, each with the verdict at its own strength.

use super::args::{PlainFormat, RecipesArgs};
use super::common::{finish, json, known_material, width};
use super::inputs::{bench, library};
use super::{Failure, Shown};
use crate::amount::read_temperature;
use crate::plan::{ListedRecipe, list_recipe};
use crate::sheet::{self, RecipeEntry};

pub fn run(a: &RecipesArgs) -> Result<Shown, Failure> {
    let metal = a.metal.as_deref().map(|m| known_material(m, "--metal")).transpose()?;
    let finish = a.finish.as_deref().map(|f| finish(f, "--finish")).transpose()?;
    let bench = a.bench.as_deref().map(|b| bench(Some(b))).transpose()?;
    let temperature = a.temperature.as_deref().map(|t| read_temperature(t).map_err(|p| p.in_field("--temperature")));
    let temperature = temperature.transpose()?;
    let library = library(a.recipes.as_deref())?;
    let ids: Vec<String> = match &a.id {
        Some(id) => vec![id.clone()],
        None => library.entries().iter().map(|e| e.id.clone()).collect(),
    };
    let mut listed: Vec<ListedRecipe> = Vec::new();
    for id in ids {
        let recipe = library.recipe(&id)?;
        if metal.is_some_and(|m| !recipe.metals.iter().any(|r| r.id == m.id)) {
            continue;
        }
        if finish.is_some_and(|f| recipe.finish != f) {
            continue;
        }
        if temperature.is_some_and(|t| t < recipe.temperature.low || t > recipe.temperature.high) {
            continue;
        }
        let entry = list_recipe(recipe, bench.as_ref());
        if a.hazard.as_deref().is_some_and(|h| !entry.review.hazards.iter().any(|x| x.id == h)) {
            continue;
        }
        if bench.is_some() && !entry.missing.is_empty() {
            continue;
        }
        listed.push(entry);
    }
    let entries: Vec<RecipeEntry<'_>> =
        listed.iter().map(|l| RecipeEntry { recipe: &l.recipe, verdict: l.review.verdict }).collect();
    Ok(Shown::text(match a.format {
        PlainFormat::Json => json(&sheet::json::recipes(&entries)),
        PlainFormat::Text => sheet::terminal::recipes(&entries, width(a.width)),
    }))
}
