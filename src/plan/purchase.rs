//! What may be suggested to buy: only strengths sold to the public, and only after the same review as any bath.
//!
//! Regulation (EU) 2019/1148, Annex I, closes sale to the public above 12 % w/w hydrogen peroxide, 3 % nitric acid and
//! 15 % sulfuric acid (limits read in an account of the regulation). Usual retail strengths: common practice, no source.

use crate::recipe::{Quantity, Recipe};
use crate::safety::{Conditions, Verdict, check};

/// Strongest stock of a substance that may be named as a purchase, per cent by mass.
///
/// `None`: no purchase is ever suggested.
fn most_percent(substance: &str) -> Option<f64> {
    match substance {
        // Pharmacy and salon strengths; the Annex I limit is 12 %.
        "hydrogen_peroxide" => Some(12.0),
        // Table and cleaning vinegar. Stronger essence is sold, but not suggested.
        "acetic_acid" => Some(10.0),
        // Household ammonia.
        "ammonia_aq" => Some(10.0),
        "isopropanol" | "ethanol" => Some(100.0),
        _ => None,
    }
}

/// Advice when the bottle at hand is too weak for ingredient `at` of the recipe.
///
/// Names the recipe's own strength when that is sold to the public and the recipe at that strength is not refused;
/// otherwise names no strength at all.
pub(super) fn advice(recipe: &Recipe, at: usize) -> String {
    let plain = "get a fresh bottle of the recipe's strength from a shop that gives you its data sheet, or choose another recipe";
    let Some(item) = recipe.ingredients.get(at) else { return plain.to_string() };
    let (Some(substance), Some(strength)) = (item.ingredient.substance(), &item.ingredient.line.strength) else {
        return plain.to_string();
    };
    let Some(most) = most_percent(&substance.id) else { return plain.to_string() };
    let Ok(fraction) = crate::bath::mass_fraction(substance, strength) else { return plain.to_string() };
    if fraction.high.in_percent() > most {
        return plain.to_string();
    }
    let ingredients: Vec<_> = recipe
        .ingredients
        .iter()
        .map(|i| {
            let mut ingredient = i.ingredient.clone();
            if let Quantity::Kitchen(a) = &i.quantity {
                ingredient.line.amount = Some(a.clone());
            }
            ingredient
        })
        .collect();
    let conditions = Conditions { cover: Some(recipe.cover), method: recipe.method, ..Conditions::default() };
    match check(&ingredients, &conditions).verdict {
        Verdict::Fine | Verdict::Warn => {
            format!("a fresh bottle of {} {} will do", item.ingredient.line.name, strength)
        }
        Verdict::Unknown | Verdict::Refuse => plain.to_string(),
    }
}
