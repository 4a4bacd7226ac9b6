//! The small baths of preparation and aftercare, with what the part carries over into them.

use super::Aftercare;
use crate::amount::{Exact, MeasureSystem, Unit, VolumeUnit, in_millilitres};
use crate::bath::{BathSize, Dose, Mixture, dose_exactly, is_liquid};
use crate::order::{Bench, Order};
use crate::recipe::{CareStage, CareStep, Holds, Method, Quantity, Recipe, RecipeIngredient, Rinse};
use crate::reference::{Before, Cover, Ingredient, Past, Rinsed, Role, read_ingredient};
use crate::safety::Conditions;

/// The small baths of preparation and aftercare, each with what part or vessel met before: what is used before the bath
/// follows what the person named, what comes after it follows the bath itself.
fn care_baths(recipe: &Recipe, bath: &[Ingredient], around: &Conditions) -> Vec<(String, Vec<Ingredient>, Conditions)> {
    let steps = recipe.preparation.iter().map(|s| (s, false)).chain(recipe.aftercare.iter().map(|s| (s, true)));
    steps
        .filter(|(step, _)| !step.uses.is_empty())
        .map(|(step, afterwards)| {
            let what = name(step.stage);
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

/// Everything poured around the bath: the small baths of the recipe and those of aftercare.
pub(super) fn around_the_bath(
    recipe: &Recipe,
    aftercare: &Aftercare,
    bath: &[Ingredient],
    around: &Conditions,
) -> Vec<(String, Vec<Ingredient>, Conditions)> {
    let mut all = care_baths(recipe, bath, around);
    all.extend(super::aftercare::baths(aftercare, bath, around));
    all
}

/// A bath that a part is dipped into holds this many times what the parts displace (our choice).
const ROOM_FOR_THE_PARTS: f64 = 2.0;

/// The recipe with its small baths large enough for this job: written for a part in a litre of water, they grow in whole
/// multiples until they cover what the bath covers, and packing until it surrounds the parts. They never shrink, unless
/// the step says that it holds what the bath holds.
pub(super) fn sized(recipe: &Recipe, order: &Order, mixture: &Mixture) -> Recipe {
    let displaced: f64 = order.parts.iter().map(|p| in_millilitres(p.shape.envelope()) * f64::from(p.count)).sum();
    let bath = if recipe.method == Method::Immersion { in_millilitres(mixture.volume.best) } else { 0.0 };
    let covers = bath.max(displaced * ROOM_FOR_THE_PARTS);
    enough_for(recipe, covers, super::methods::packing(order).map(|litres| litres * 1000.0))
}

/// The recipe with its small baths large enough to cover as much as this many millilitres of bath, and with this packing.
pub(super) fn enough_for(recipe: &Recipe, covers_ml: f64, packing_ml: Option<f64>) -> Recipe {
    let mut recipe = recipe.clone();
    let system = recipe.measures;
    for step in recipe.preparation.iter_mut().chain(&mut recipe.aftercare) {
        // Washing is done under a brush, whatever the size.
        if step.stage == CareStage::Degrease || step.holds == Holds::Film {
            continue;
        }
        let buries = step.uses.iter().any(|i| i.substance().is_some_and(|s| s.is(Role::DryFuel)));
        let wanted = if buries { packing_ml.unwrap_or(0.0) } else { covers_ml };
        let ml = |i: &Ingredient| Some(in_millilitres(i.line.amount.as_ref()?.volume()?.low));
        let liquids: f64 = step.uses.iter().filter(|i| is_liquid(i)).filter_map(ml).sum();
        // Sawdust by the litre.
        let held = if liquids > 0.0 { liquids } else { step.uses.iter().filter_map(ml).fold(0.0, f64::max) };
        // Written to a thousandth, so that rounding asks for no second portion.
        let whole = |of: f64| (wanted / of - 1e-3).ceil();
        let times = match step.holds {
            _ if held <= 0.0 => 1.0,
            Holds::Bath if wanted > 0.0 => {
                let by = if wanted < 1000.0 { 50.0 } else { 500.0 };
                whole(by) * by / held
            }
            _ => whole(held).max(1.0),
        };
        if times != 1.0 && times.is_finite() {
            step.uses = step.uses.iter().map(|i| multiple(i, times, system).unwrap_or_else(|| i.clone())).collect();
        }
    }
    recipe
}

const MILLILITRE: Unit = Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric);

/// The same ingredient, so many times as much.
fn multiple(ingredient: &Ingredient, times: f64, system: MeasureSystem) -> Option<Ingredient> {
    let line = &ingredient.line;
    let mut amount = line.amount.as_ref()?.scaled(Exact::from_f64(times)?)?;
    // Less than as written: nobody measures a twentieth of a litre.
    if times < 1.0
        && let Some(ml) = amount.in_unit(MILLILITRE)
    {
        amount = ml;
    }
    let name = line.text.get(line.text.find(&line.name)?..)?;
    read_ingredient(&format!("{amount} {name}"), system).ok()
}

/// The recipe with its small baths as they are made from the bottles on the shelf: where a bottle is stronger than the
/// step's words, less of it and more water, by the same arithmetic as the bath. What has no strength, what the shelf
/// lacks and what a bottle is too weak for stay as written.
pub(super) fn from_the_shelf(mut recipe: Recipe, bench: &Bench) -> Recipe {
    let of_another_strength = |i: &Ingredient| {
        let own = i.line.strength.as_ref();
        let stocks =
            bench.stocks.iter().filter(|s| s.ingredient.substance().map(|x| &x.id) == i.substance().map(|x| &x.id));
        let strengths: Vec<_> = stocks.filter_map(|s| s.ingredient.line.strength.as_ref()).collect();
        own.is_some() && !strengths.is_empty() && !strengths.contains(&own.unwrap_or(strengths[0]))
    };
    if !recipe.preparation.iter().chain(&recipe.aftercare).flat_map(|s| &s.uses).any(of_another_strength) {
        return recipe;
    }
    let bare = Recipe { ingredients: Vec::new(), ..recipe.clone() };
    for step in recipe.preparation.iter_mut().chain(&mut recipe.aftercare) {
        if step.uses.iter().any(of_another_strength)
            && let Some(uses) = poured_from(&bare, &step.uses, bench)
        {
            step.uses = uses;
        }
    }
    recipe
}

/// These lines, dosed from the bottles there; `None` when that cannot be.
fn poured_from(bare: &Recipe, uses: &[Ingredient], bench: &Bench) -> Option<Vec<Ingredient>> {
    let mut poured = Exact::ZERO;
    let mut ingredients = Vec::new();
    for i in uses {
        let amount = i.line.amount.clone()?;
        if is_liquid(i) {
            poured = poured.checked_add(amount.in_unit(MILLILITRE)?.value.high)?;
        }
        ingredients.push(RecipeIngredient { ingredient: i.clone(), quantity: Quantity::Kitchen(amount), note: None });
    }
    let lines = Recipe { ingredients, written_for: None, ..bare.clone() };
    let dosing = dose_exactly(&lines, bench, BathSize::Poured(poured), &|_| String::new()).ok()?;
    let text = |dose: Dose| {
        let mut ingredient = dose.ingredient;
        ingredient.line.text = format!("{} {}", dose.metric, dose.name);
        ingredient
    };
    Some(dosing.doses.into_iter().map(text).collect())
}

/// What the bath of a stage is called.
pub(super) fn name(stage: CareStage) -> &'static str {
    match stage {
        CareStage::Prepare => "preparation",
        CareStage::Degrease => "degreasing bath",
        CareStage::Rinse => "rinse",
        CareStage::Neutralise => "neutralising bath",
        CareStage::Dry => "drying",
        CareStage::Seal => "sealing",
        CareStage::Dispose => "disposal",
    }
}

/// What the part still holds of the bath at a step of aftercare: rinsed as often as the recipe says before that step.
pub(super) fn carried_over(recipe: &Recipe, at: &CareStep, bath: &[Ingredient]) -> Vec<Past> {
    let before = recipe.aftercare.iter().take_while(|s| !std::ptr::eq(*s, at));
    // A mist or a brief dip takes next to nothing away.
    let rinses = if recipe.rinse == Rinse::Full { rinses(before) } else { 0 };
    let rinse = Rinsed::times(rinses);
    bath.iter().map(|ingredient| Past::new(ingredient.clone(), Before { rinse, dried: false })).collect()
}

/// How many baths of water these steps rinse in.
pub(super) fn rinses<'a>(steps: impl Iterator<Item = &'a CareStep>) -> usize {
    steps.filter(|s| s.stage == CareStage::Rinse).map(|s| s.changes as usize).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::{find_embedded, read_recipe};

    #[test]
    fn rinses_are_counted_from_the_changes_a_recipe_states_and_a_mist_is_none() {
        let mut recipe = read_recipe(find_embedded("kitchen-rust").unwrap(), "kitchen-rust").unwrap();
        let at = recipe.aftercare.iter().position(|s| s.stage == CareStage::Neutralise).unwrap();
        let bath = [read_ingredient("1 cup white vinegar 5 %", MeasureSystem::Us).unwrap()];
        let left = |r: &Recipe| carried_over(r, &r.aftercare[at], &bath)[0].left.rinse;
        assert_eq!(left(&recipe), Rinsed::Twice);
        for step in &mut recipe.aftercare {
            step.changes = 1;
            step.what.push_str(" Not two changes, not twice.");
        }
        assert_eq!(left(&recipe), Rinsed::Once);
        recipe.rinse = Rinse::Light;
        assert_eq!(left(&recipe), Rinsed::None);
    }

    #[test]
    fn a_multiple_keeps_name_strength_and_unit() {
        let text = |line: &str, times| {
            let one = read_ingredient(line, MeasureSystem::Us).unwrap();
            multiple(&one, times, MeasureSystem::Us).unwrap().line.text
        };
        assert_eq!(text("1 L white vinegar 5 %", 3.0), "3 L white vinegar 5 %");
        assert_eq!(text("1 tbsp baking soda", 9.0), "9 tbsp baking soda");
        assert_eq!(text("36 g table salt", 2.0), "72 g table salt");
    }
}
