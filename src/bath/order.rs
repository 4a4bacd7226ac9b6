//! The order of pouring: water first, solids into it, acid to water, peroxide last.

use super::MixConditions;
use super::mixture::finished_volume;
use super::pour::{known, name_of};
use super::species::{acid_protons, base_equivalents, of, solute, stock};
use crate::amount::Volume;
use crate::diag::Checked;
use crate::reference::Ingredient;
use crate::reference::schema::Form;

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
    let gives: Vec<_> = stock.gives.keys().filter_map(|id| solute(id)).collect();
    if gives.iter().any(|s| of(s, "ho2") > 0.0) {
        return Turn::Peroxide;
    }
    let strong = ["hydrochloric_acid", "sulfuric_acid", "nitric_acid_le70", "nitric_acid_gt70", "hydrofluoric_acid"];
    if strong.contains(&substance.id.as_ref()) {
        return Turn::StrongAcid;
    }
    let solid = matches!(substance.form, Form::Solid) && ingredient.line.strength.is_none();
    if gives.iter().any(|s| base_equivalents(s) > 0.0) {
        return Turn::Base;
    }
    if solid {
        return Turn::Salt;
    }
    if gives.iter().any(|s| acid_protons(s) > 0.0) { Turn::WeakAcid } else { Turn::OtherLiquid }
}

/// The order in which to pour, as indices into the list. Ingredients of one kind keep their order.
pub fn pouring_order(ingredients: &[Ingredient]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..ingredients.len()).collect();
    order.sort_by_key(|i| ingredients.get(*i).map(turn));
    order
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
    // All faults at once, before any step is shown.
    finished_volume(ingredients, conditions.temperature)?;
    let mut so_far: Vec<Ingredient> = Vec::new();
    let mut steps = Vec::new();
    for i in pouring_order(ingredients) {
        let Some(ingredient) = ingredients.get(i) else { continue };
        let name = known(ingredient).map(|s| name_of(ingredient, s))?;
        so_far.push(ingredient.clone());
        // Crystals alone make no bath yet.
        let volume = finished_volume(&so_far, conditions.temperature).ok().map(|(volume, _)| volume);
        let how = match turn(ingredient) {
            Turn::Water => "Pour in",
            Turn::Salt => "Stir in until it has dissolved:",
            Turn::OtherLiquid | Turn::WeakAcid => "Add",
            Turn::StrongAcid => "Pour slowly into the water, stirring, and let it cool:",
            Turn::Base if is_caustic(ingredient) => "Put in by small portions, stirring, and let it cool:",
            Turn::Base => "Add by small portions; wait until it has stopped fizzing:",
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
            Turn::Peroxide if i + 1 < turns.len() => {
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
}
