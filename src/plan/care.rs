//! The small baths of preparation and aftercare, with what the part carries over into them.

use crate::recipe::{CareStage, CareStep, Method, Recipe};
use crate::reference::{Cover, Ingredient};
use crate::safety::Conditions;

/// The small baths of preparation and aftercare, each with what part or vessel met before: what is used before the bath
/// follows what the person named, what comes after it follows the bath itself.
pub(super) fn care_baths(
    recipe: &Recipe,
    bath: &[Ingredient],
    around: &Conditions,
) -> Vec<(String, Vec<Ingredient>, Conditions)> {
    let steps = recipe.preparation.iter().map(|s| (s, false)).chain(recipe.aftercare.iter().map(|s| (s, true)));
    steps
        .filter(|(step, _)| !step.uses.is_empty())
        .map(|(step, afterwards)| {
            let what = match step.stage {
                CareStage::Prepare => "preparation",
                CareStage::Degrease => "degreasing bath",
                CareStage::Rinse => "rinse",
                CareStage::Neutralise => "neutralising bath",
                CareStage::Dry => "drying",
                CareStage::Seal => "sealing",
                CareStage::Dispose => "disposal",
            };
            let conditions = Conditions {
                temperature: None,
                cover: Some(Cover::Open),
                room: around.room,
                parts: around.parts.clone(),
                after: if afterwards { carried_over(recipe, step, bath) } else { around.after.clone() },
                method: Method::Immersion,
                ..Conditions::default()
            };
            (what.to_string(), step.uses.clone(), conditions)
        })
        .collect()
}

/// What the part still holds of the bath at a step of aftercare: rinsed as often as the recipe says before that step.
pub(super) fn carried_over(recipe: &Recipe, at: &CareStep, bath: &[Ingredient]) -> Vec<Ingredient> {
    let before = recipe.aftercare.iter().take_while(|s| !std::ptr::eq(*s, at));
    let rinses: Vec<&CareStep> = before.filter(|s| s.stage == CareStage::Rinse).collect();
    let twice = rinses.len() > 1 || rinses.iter().any(|s| s.what.contains("two changes") || s.what.contains("twice"));
    let how = match rinses.len() {
        0 => "",
        _ if twice => ", rinsed twice",
        _ => ", rinsed once",
    };
    bath.iter()
        .cloned()
        .map(|mut ingredient| {
            ingredient.line.text.push_str(how);
            ingredient
        })
        .collect()
}
