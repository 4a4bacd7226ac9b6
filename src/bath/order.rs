//! The order of pouring: water first, solids into it, acid to water, peroxide last.

use super::pour::{known, name_of};
use super::species::{acid_protons, base_equivalents, of, solute, stock};
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
    use crate::amount::MeasureSystem;
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
}
