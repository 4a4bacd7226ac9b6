//! The ingredients of a recipe: the lines looked up, and how much each wants.

use super::raw::RawIngredient;
use super::{Quantity, RecipeIngredient};
use crate::amount::{
    Amount, MassFraction, MeasureSystem, Unit, g_per_l, in_grams, in_millilitres, read_amount, read_percent,
};
use crate::diag::{Checked, Problem, nearest};
use crate::reference::yaml::{Faults, clip, flag};
use crate::reference::{Ingredient, read_ingredient, substances};
use core::fmt::Arguments;

/// Checks the ingredients of a recipe file; every fault is noted.
pub(super) fn check(
    raw: &[Option<RawIngredient>],
    system: MeasureSystem,
    faults: &mut Faults<'_>,
) -> Vec<RecipeIngredient> {
    let mut checked = Vec::new();
    for (i, item) in raw.iter().enumerate() {
        let Some(RawIngredient { line: Some(line), per_litre, in_bath, rest, note }) = item else { continue };
        let ingredient = faults.take(format_args!("ingredients[{i}].line"), known_ingredient(line, system));
        let rest = rest.as_deref().and_then(flag).unwrap_or(false);
        let target =
            target(per_litre.as_deref(), in_bath.as_deref(), rest, system, format_args!("ingredients[{i}]"), faults);
        let Some(ingredient) = ingredient else { continue };
        let quantity = match (target, ingredient.line.amount.clone()) {
            (Target::Faulty, _) => None,
            (Target::Said(quantity), None) => Some(quantity),
            (Target::Said(_), Some(_)) => {
                let message =
                    "the line has an amount, and a concentration or `rest` is given beside it; say one of them";
                faults.add(format_args!("ingredients[{i}]"), Problem::error(message));
                None
            }
            (Target::Silent, Some(amount)) => Some(from_amount(amount)),
            (Target::Silent, None) => {
                let message = format!(
                    "no amount in `{}`; expected one in the line, or `per_litre`, `in_bath` or `rest`",
                    clip(line)
                );
                faults.add(format_args!("ingredients[{i}]"), Problem::error(message));
                None
            }
        };
        if let Some(quantity) = quantity {
            checked.push(RecipeIngredient { ingredient, quantity, note: note.clone() });
        }
    }
    for (i, problem) in unlike(&checked) {
        faults.add(format_args!("ingredients[{i}]"), problem);
    }
    checked
}

enum Target {
    Silent,
    Said(Quantity),
    Faulty,
}

fn target(
    per_litre: Option<&str>,
    in_bath: Option<&str>,
    rest: bool,
    system: MeasureSystem,
    path: Arguments<'_>,
    faults: &mut Faults<'_>,
) -> Target {
    let said = usize::from(per_litre.is_some()) + usize::from(in_bath.is_some()) + usize::from(rest);
    if said > 1 {
        faults.add(path, Problem::error("more than one of `per_litre`, `in_bath` and `rest`; say one of them"));
    }
    let per_litre = per_litre.map(|t| faults.take(format_args!("{path}.per_litre"), concentration(t, system)));
    let in_bath = in_bath.map(|t| faults.take(format_args!("{path}.in_bath"), mass_percent(t)));
    match (said, per_litre, in_bath) {
        (0, ..) => Target::Silent,
        (1, Some(Some(q)), _) | (1, _, Some(Some(q))) => Target::Said(q),
        (1, None, None) => Target::Said(Quantity::Rest),
        _ => Target::Faulty,
    }
}

fn concentration(text: &str, system: MeasureSystem) -> Checked<Quantity> {
    let amount = read_amount(text, system)?;
    let low = amount.value.low;
    if low.is_negative() || low.is_zero() {
        return Err(Problem::error(format!("found `{}`; expected an amount above zero", clip(text))).into());
    }
    let wrong =
        || Problem::error(format!("`{}` is no mass and no volume; expected one such as `80 g` or `20 mL`", clip(text)));
    match amount.unit {
        Unit::GramsPerLitre | Unit::MillilitresPerLitre => Ok(from_amount(amount)),
        Unit::Mass(_) => {
            let mass = amount.mass().ok_or_else(wrong)?;
            Ok(Quantity::GramsPerLitre(mass.map(|m| g_per_l(in_grams(m)))))
        }
        Unit::Volume(..) => {
            let volume = amount.volume().ok_or_else(wrong)?;
            Ok(Quantity::MillilitresPerLitre(volume.map(in_millilitres)))
        }
        Unit::Parts => Err(wrong().into()),
    }
}

fn mass_percent(text: &str) -> Checked<Quantity> {
    let span = read_percent(text)?;
    span.try_map(|e| MassFraction::percent(e.to_f64()).filter(|f| f.ratio() > 0.0).ok_or(()))
        .map(Quantity::MassPercent)
        .map_err(|()| Problem::error(format!("found `{}`; expected above 0 % and at most 100 %", clip(text))).into())
}

/// An amount in the line itself: as written, or a concentration when it says "per litre".
pub(super) fn from_amount(amount: Amount) -> Quantity {
    match amount.unit {
        Unit::GramsPerLitre => Quantity::GramsPerLitre(amount.value.map(|e| g_per_l(e.to_f64()))),
        Unit::MillilitresPerLitre => Quantity::MillilitresPerLitre(amount.value.map(|e| e.to_f64())),
        _ => Quantity::Kitchen(amount),
    }
}

/// Ingredients whose amounts are not of the same kind as the first one's: as written, or per litre of finished bath.
pub(super) fn unlike(ingredients: &[RecipeIngredient]) -> Vec<(usize, Problem)> {
    let kitchen = |q: &Quantity| matches!(q, Quantity::Kitchen(_));
    let Some(first) = ingredients.first() else { return Vec::new() };
    let parts = |q: &Quantity| matches!(q, Quantity::Kitchen(Amount { unit: Unit::Parts, .. }));
    let mut found = Vec::new();
    let mut rests = 0;
    for (i, item) in ingredients.iter().enumerate() {
        rests += usize::from(item.quantity == Quantity::Rest);
        if kitchen(&item.quantity) != kitchen(&first.quantity) {
            let p = Problem::error("amounts as written and concentrations are mixed; say all of them the same way")
                .hint("either amounts (35 g salt, 1 L water), or concentrations with water as the rest");
            found.push((i, p));
        } else if parts(&item.quantity) != parts(&first.quantity) {
            found.push((i, Problem::error("parts and other units are mixed; say all of them the same way")));
        } else if rests > 1 {
            found.push((i, Problem::error("a second ingredient is the rest; only one can fill up the bath")));
        }
    }
    found
}

/// An ingredient line whose name is known without doubt and whose strength is said where it matters.
///
/// # Errors
/// What the line reader finds, an unknown or ambiguous name, a missing strength.
pub(crate) fn known_ingredient(line: &str, system: MeasureSystem) -> Checked<Ingredient> {
    let ingredient = read_ingredient(line, system)?;
    let name = clip(&ingredient.line.name);
    if ingredient.meanings.is_empty() {
        let known = substances()
            .iter()
            .flat_map(|s| std::iter::once(s.name.as_ref()).chain(s.aliases.iter().map(|a| a.as_ref())));
        let p = Problem::error(format!("the ingredient `{name}` is not recognised"));
        let p = match nearest(&ingredient.line.name, known) {
            Some(near) => p.hint(format!("did you mean `{near}`?")),
            None => p.hint("use the generic or trade name; for a product, write what its label lists"),
        };
        return Err(p.into());
    }
    let question = ingredient.question.clone();
    if ingredient.strength_missing {
        let p = Problem::error(format!("`{name}` needs its strength, such as `5 %`"));
        return Err(p.hint(question.unwrap_or_else(|| "it stands on the label of the bottle".into())).into());
    }
    if ingredient.meanings.len() > 1 {
        let names: Vec<&str> = ingredient.meanings.iter().map(|m| m.substance.name.as_ref()).collect();
        let p = Problem::error(format!("`{name}` can mean {}", crate::diag::one_of(&names)));
        return Err(p.hint(question.unwrap_or_else(|| "write the one that is meant".into())).into());
    }
    Ok(ingredient)
}
