//! The order of pouring: water first, solids into it, acid to water, peroxide last.

use super::MixConditions;
use super::dose::is_liquid;
use super::mixture::volumes_along;
use super::pour::{known, name_of};
use super::species::{acid_protons, base_equivalents, of, solute, stock};
use crate::amount::Volume;
use crate::diag::Checked;
use crate::reference::Ingredient;
use crate::reference::schema::{Component, Form, SoluteData, Stock};

/// When an ingredient goes in; lower is earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Turn {
    Water,
    Salt,
    OtherLiquid,
    WeakAcid,
    StrongAcid,
    Base,
    Peroxide,
}

fn turn(ingredient: &Ingredient) -> Turn {
    let Some(substance) = ingredient.substance() else { return Turn::OtherLiquid };
    if substance.id == "water" {
        return Turn::Water;
    }
    let Some(stock) = stock(&substance.id) else { return Turn::Salt };
    let (mut peroxide, mut base, mut acid) = (false, false, false);
    for s in given(stock) {
        peroxide |= of(s, Component::Ho2) > 0.0;
        base |= base_equivalents(s) > 0.0;
        acid |= acid_protons(s) > 0.0;
    }
    if peroxide {
        return Turn::Peroxide;
    }
    let strong = ["hydrochloric_acid", "sulfuric_acid", "nitric_acid_le70", "nitric_acid_gt70", "hydrofluoric_acid"];
    if strong.contains(&substance.id.as_ref()) {
        return Turn::StrongAcid;
    }
    let solid = matches!(substance.form, Form::Solid) && ingredient.line.strength.is_none();
    if base {
        return Turn::Base;
    }
    if solid {
        return Turn::Salt;
    }
    if acid { Turn::WeakAcid } else { Turn::OtherLiquid }
}

/// The solutes that a stock brings.
fn given(stock: &Stock) -> impl Iterator<Item = &'static SoluteData> {
    stock.gives.keys().filter_map(|id| solute(id))
}

/// The solutes that it brings.
fn gives(ingredient: &Ingredient) -> impl Iterator<Item = &'static SoluteData> {
    ingredient.substance().and_then(|s| stock(&s.id)).into_iter().flat_map(given)
}

/// The order in which to pour, as indices into the list. Ingredients of one kind keep their order. Without water the
/// mildest liquid comes first, for the solids to dissolve in.
pub fn pouring_order(ingredients: &[Ingredient]) -> Vec<usize> {
    let turns: Vec<Turn> = ingredients.iter().map(turn).collect();
    let mut order: Vec<usize> = (0..ingredients.len()).collect();
    let liquids = || order.iter().copied().filter(|i| ingredients.get(*i).is_some_and(is_liquid));
    let first = if turns.contains(&Turn::Water) { None } else { liquids().min_by_key(|i| turns.get(*i)) };
    order.sort_by_key(|i| (Some(*i) != first, turns.get(*i)));
    order
}

/// Why they are poured in that order, as far as it concerns these.
pub(super) fn why_this_order(ingredients: &[Ingredient]) -> Vec<&'static str> {
    let turns: Vec<Turn> = ingredients.iter().map(turn).collect();
    let any = |of: &[Turn]| turns.iter().any(|t| of.contains(t));
    let reasons = [
        (any(&[Turn::Salt]), "solids dissolve before other liquids go in"),
        (any(&[Turn::WeakAcid, Turn::StrongAcid]), "acid goes into water"),
        (any(&[Turn::Base]), "alkali goes in late"),
        (any(&[Turn::Peroxide]), "peroxide goes in last"),
    ];
    reasons.into_iter().filter(|(holds, _)| *holds).map(|(_, why)| why).collect()
}

/// One step of making a bath up.
#[derive(Debug, Clone)]
pub struct PouringStep {
    /// Which ingredient of the list.
    pub ingredient: usize,
    /// What to do, one sentence.
    pub text: String,
    /// Volume of the bath after it; `None` as long as there is no liquid.
    pub volume: Option<Volume>,
}

/// The steps of making a bath up, in a safe order, with the volume that each should come to.
///
/// # Errors
/// As [`super::mix`].
pub fn pouring_steps(ingredients: &[Ingredient], conditions: &MixConditions) -> Checked<Vec<PouringStep>> {
    let order = pouring_order(ingredients);
    // All faults at once, before any step is shown.
    let volumes = volumes_along(ingredients, &order, conditions.temperature)?;
    let acid = ingredients.iter().any(|i| gives(i).any(|s| acid_protons(s) > 0.0));
    let mut so_far: Vec<&Ingredient> = Vec::new();
    let mut steps = Vec::new();
    for (i, volume) in order.into_iter().zip(volumes) {
        let Some(ingredient) = ingredients.get(i) else { continue };
        let name = known(ingredient).map(|s| name_of(ingredient, s))?;
        let (first, liquid) = (so_far.is_empty(), so_far.iter().any(|i| is_liquid(i)));
        let fizzes = acid && gives(ingredient).any(|s| of(s, Component::Co3) > 0.0);
        so_far.push(ingredient);
        let how = match turn(ingredient) {
            Turn::Water => "Pour in",
            _ if first && is_liquid(ingredient) => "Pour in",
            // Nothing to dissolve in.
            _ if !liquid && !is_liquid(ingredient) => "Put in",
            Turn::Salt => "Stir in until it has dissolved:",
            Turn::OtherLiquid | Turn::WeakAcid => "Add",
            Turn::StrongAcid => "Pour slowly into the water, stirring, and let it cool:",
            Turn::Base if is_caustic(ingredient) => "Put in by small portions, stirring, and let it cool:",
            Turn::Base if fizzes => "Add by small portions; wait until it has stopped fizzing:",
            Turn::Base if is_liquid(ingredient) => "Add slowly, stirring:",
            Turn::Base => "Stir in until it has dissolved:",
            Turn::Peroxide => "Add last, when everything else has dissolved and is cool:",
        };
        steps.push(PouringStep { ingredient: i, text: format!("{how} {name}."), volume });
    }
    Ok(steps)
}

/// What to say about the order in the list: acid goes into water, peroxide goes in last, lye goes into water.
pub(super) fn notes(ingredients: &[Ingredient]) -> Vec<String> {
    let turns: Vec<Turn> = ingredients.iter().map(turn).collect();
    let name = |i: usize| {
        ingredients.get(i).and_then(|x| Some(name_of(x, known(x).ok()?))).unwrap_or_else(|| "it".to_string())
    };
    let only_liquid = |i: usize| ingredients.iter().enumerate().all(|(k, x)| k == i || !is_liquid(x));
    let mut found = Vec::new();
    let last_water = turns.iter().rposition(|t| *t == Turn::Water);
    for (i, t) in turns.iter().enumerate() {
        let before_water = last_water.is_some_and(|w| i < w);
        match t {
            Turn::StrongAcid if before_water => {
                found.push(format!("Pour {} into the water, slowly, never water into it.", name(i)));
            }
            Turn::Base if before_water && ingredients.get(i).is_some_and(is_caustic) => {
                found.push(format!("Put {} into the water in small portions, never water onto it.", name(i)));
            }
            // As the only liquid it comes first: there is nothing else to dissolve in.
            Turn::Peroxide if i + 1 < turns.len() && !only_liquid(i) => {
                found.push(format!("Add {} last, when everything else is dissolved.", name(i)));
            }
            _ => {}
        }
    }
    found
}

fn is_caustic(ingredient: &Ingredient) -> bool {
    ingredient.substance().is_some_and(|s| {
        matches!(s.id.as_ref(), "sodium_hydroxide" | "potassium_hydroxide" | "calcium_oxide" | "calcium_hydroxide")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, celsius, in_millilitres};
    use crate::bath::mix;
    use crate::reference::read_ingredient;

    fn read(lines: &[&str]) -> Vec<Ingredient> {
        lines.iter().map(|l| read_ingredient(l, MeasureSystem::Us).unwrap()).collect()
    }

    #[test]
    fn acid_goes_to_water_and_peroxide_goes_last() {
        let list =
            read(&["50 mL hydrogen peroxide 3 %", "20 mL hydrochloric acid 32 %", "10 g table salt", "500 mL water"]);
        assert_eq!(pouring_order(&list), [3, 2, 1, 0]);
        assert_eq!(notes(&list).len(), 2);
        let right: Vec<_> = pouring_order(&list).into_iter().map(|i| list[i].clone()).collect();
        assert!(notes(&right).is_empty());
    }

    #[test]
    fn steps_come_to_the_volume_of_the_whole() {
        let list = read(&["100 mL hydrogen peroxide 3 %", "50 g table salt", "900 mL water"]);
        let conditions = MixConditions { temperature: celsius(20.0), carbonate: None };
        let steps = pouring_steps(&list, &conditions).unwrap();
        let volumes: Vec<f64> = steps.iter().filter_map(|s| s.volume.map(in_millilitres)).collect();
        assert_eq!(steps.iter().map(|s| s.ingredient).collect::<Vec<_>>(), [2, 1, 0]);
        assert!((volumes[0] - 900.0).abs() < 0.1 && volumes[1] > 910.0 && volumes[2] > 1010.0, "{volumes:?}");
        let whole = mix(&list, &conditions).unwrap();
        assert!((volumes[2] - in_millilitres(whole.volume.best)).abs() < 1e-6);
        assert!(steps[2].text.starts_with("Add last"));
    }

    #[test]
    fn nothing_is_stirred_into_nothing_and_only_what_fizzes_is_said_to() {
        let conditions = MixConditions { temperature: celsius(20.0), carbonate: None };
        let said = |lines: &[&str]| -> Vec<String> {
            pouring_steps(&read(lines), &conditions).unwrap().into_iter().map(|s| s.text).collect()
        };
        // No water: the mildest liquid first, then the salt into it.
        let steps = said(&["50 g table salt", "200 mL hydrogen peroxide 3 %", "500 mL vinegar 5 %"]);
        assert!(steps[0].starts_with("Pour in vinegar") && steps[1].starts_with("Stir in"), "{steps:?}");
        assert!(steps[2].starts_with("Add last"));
        let dry = said(&["50 g table salt", "20 g baking soda"]);
        assert!(dry.iter().all(|s| s.starts_with("Put in")), "{dry:?}");
        let ammonia = said(&["1 L water", "50 g ammonium chloride", "100 mL ammonia 10 %"]);
        assert!(ammonia[2].starts_with("Add slowly") && !ammonia.concat().contains("fizz"), "{ammonia:?}");
        assert!(!said(&["1 L water", "20 g baking soda"]).concat().contains("fizz"));
        assert!(said(&["1 L water", "100 mL vinegar 5 %", "20 g baking soda"])[2].contains("fizz"));
    }
}
