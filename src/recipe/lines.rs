//! A formula that is only a list of lines works everywhere a recipe does.

use super::ingredients::{from_amount, known_ingredient, unlike};
use super::{Confidence, Finish, Method, Quantity, Recipe, RecipeIngredient, RecipeSource, Rinse, SoakEvent};
use crate::amount::{MeasureSystem, Span, Unit, VolumeUnit, celsius};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::Cover;
use jiff::SignedDuration;

/// A formula that is only a list of lines.
///
/// What the lines cannot say is filled in cautiously and said in the notes: immersion, 15 to 25 °C, loosely covered,
/// fresh for one session, a first look after an hour (our choices). The metals stay empty, which means unknown.
/// Where the other lines are concentrations (`80 g/L ...`), a line that is only `water` is the rest.
///
/// # Errors
/// Everything that is wrong with the lines; the field of each problem is the line's number from 0, such as `[2]`.
pub fn from_lines(lines: &[String], measures: MeasureSystem) -> Checked<Recipe> {
    let mut problems = Vec::new();
    let mut read = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        match known_ingredient(line, measures) {
            Ok(ingredient) => read.push((i, ingredient)),
            Err(found) => problems.extend(found.in_field(&format!("[{i}]")).0),
        }
    }
    if lines.is_empty() {
        problems.push(Problem::error("the formula has no line; expected lines such as `3/4 cup water`"));
    }
    let per_litre = |unit: Unit| matches!(unit, Unit::GramsPerLitre | Unit::MillilitresPerLitre);
    let concentrations = read.iter().any(|(_, k)| k.line.amount.as_ref().is_some_and(|a| per_litre(a.unit)));
    let mut ingredients = Vec::new();
    let mut kitchen_units = false;
    for (i, ingredient) in read {
        let is_water = ingredient.substance().is_some_and(|s| s.id == "water");
        let quantity = match ingredient.line.amount.clone() {
            Some(amount) => {
                kitchen_units |= is_kitchen(amount.unit);
                from_amount(amount)
            }
            None if concentrations && is_water => Quantity::Rest,
            None => {
                let message =
                    format!("no amount in `{}`; expected one such as `1/4 cup` or `35 g`", ingredient.line.text);
                problems.push(Problem::error(message).in_field(format!("[{i}]")));
                continue;
            }
        };
        ingredients.push(RecipeIngredient { ingredient, quantity, note: None });
    }
    if problems.is_empty() {
        problems.extend(unlike(&ingredients).into_iter().map(|(i, p)| p.in_field(format!("[{i}]"))));
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    Ok(formula(ingredients, measures, kitchen_units))
}

fn is_kitchen(unit: Unit) -> bool {
    matches!(unit, Unit::Volume(u, _) if !matches!(u, VolumeUnit::Millilitre | VolumeUnit::Litre))
}

fn formula(ingredients: Vec<RecipeIngredient>, measures: MeasureSystem, kitchen_units: bool) -> Recipe {
    let mut notes = vec![
        "This formula was given as lines only. Which metals it suits, what colour it gives and how long it takes are \
         unknown here: try it on a coupon of the same metal first."
            .to_string(),
        "Temperature, loose cover, use within one session and the first look after an hour are cautious defaults, not \
         part of the formula."
            .to_string(),
        "Whether metal-filled plastics take it is unknown.".to_string(),
    ];
    if kitchen_units {
        let whose = match measures {
            MeasureSystem::Us => "US customary",
            MeasureSystem::Metric => "metric (cup 250 mL, tablespoon 15 mL)",
            MeasureSystem::Australian => "Australian (cup 250 mL, tablespoon 20 mL)",
            MeasureSystem::Imperial => "imperial",
        };
        notes.push(format!("Cups and spoons are read as {whose} measures."));
    }
    Recipe {
        id: "formula".into(),
        title: "Formula as given".into(),
        look: "what it looks like is not known".into(),
        metals: Vec::new(),
        finish: Finish::Other,
        method: Method::Immersion,
        measures,
        written_for: None,
        ingredients,
        temperature: Span { low: celsius(15.0), high: celsius(25.0) },
        cover: Cover::Loose,
        use_within: Some(SignedDuration::from_hours(4)),
        soak: vec![SoakEvent {
            after: SignedDuration::from_hours(1),
            what: "Lift, rinse and look. How long this formula takes is unknown: decide from the coupon.".into(),
            lift: true,
        }],
        preparation: Vec::new(),
        aftercare: Vec::new(),
        rinse: Rinse::Full,
        loading_mm2_per_l: None,
        needs_air: false,
        filled_plastic: None,
        sources: vec![RecipeSource {
            doc: "as given by you".into(),
            at: String::new(),
            status: "common practice, no source".into(),
        }],
        confidence: Confidence::Low,
        notes,
        coats: None,
        per_volume: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(lines: &[&str]) -> Checked<Recipe> {
        from_lines(&lines.iter().map(|l| l.to_string()).collect::<Vec<_>>(), MeasureSystem::Us)
    }

    #[test]
    fn a_formula_works_without_a_file_and_says_what_is_unknown() {
        let recipe = lines(&["2/3 cup water", "1/4 cup vinegar 5%", "1 tsp salt"]).unwrap();
        assert_eq!((recipe.id.as_str(), recipe.ingredients.len(), recipe.metals.len()), ("formula", 3, 0));
        assert_eq!(recipe.confidence, Confidence::Low);
        assert!(recipe.filled_plastic.is_none());
        assert!(recipe.notes.iter().any(|n| n.contains("US customary")));
        let metric = lines(&["200 mL water", "5 g salt"]).unwrap();
        assert!(!metric.notes.iter().any(|n| n.contains("measures")), "no cup, no note about cups");
    }

    #[test]
    fn water_alone_is_the_rest_of_concentrations_only() {
        let recipe = lines(&["80 g/L copper sulfate", "20 g/L sal ammoniac", "water"]).unwrap();
        assert_eq!(recipe.ingredients[2].quantity, Quantity::Rest);
        assert!(lines(&["80 g copper sulfate", "water"]).unwrap_err().to_string().contains("no amount"));
        assert!(lines(&["80 g/L copper sulfate", "1 L water"]).unwrap_err().to_string().contains("mixed"));
        assert!(lines(&[]).is_err());
    }

    #[test]
    fn every_bad_line_is_named_by_its_number() {
        let found = lines(&["1 cup water", "1 cup wattle", "vinegar 130 %"]).unwrap_err();
        let fields: Vec<_> = found.0.iter().filter_map(|p| p.place.field.as_deref()).collect();
        assert_eq!(fields, ["[1]", "[2]"]);
    }
}
