//! Dosing: from a recipe and what is on the shelf to amounts.
//!
//! Amounts follow the active ingredient: a bottle stronger than the recipe's gives less of it and more water, a weaker
//! one the reverse, until there is no water left to give. Everything is exact until it is measured out; only the
//! water that makes up a *finished* volume comes from mass and density.

use super::order::why_this_order;
use super::stock::{mass_fraction, stock_density};
use super::told::{measure_both, metric_text, too_little};
use super::{finished_volume, pouring_order};
use crate::amount::{
    Amount, Exact, MassUnit, MeasureSystem, MeasuredOut, Span, Strength, Tool, Unit, Volume, VolumeUnit, celsius,
    in_grams, in_kg_per_m3, in_millilitres, millilitres, times_as_much,
};
use crate::diag::{Checked, Problem, Problems};
use crate::order::{Bench, ShelfStock};
use crate::recipe::{Quantity, Recipe};
use crate::reference::schema::Form;
use crate::reference::{Ingredient, bulk_density, read_ingredient};
use std::borrow::Cow;

/// One thing to pour or weigh.
#[derive(Debug, Clone)]
pub struct Dose {
    /// What to take, at the strength of the bottle used; its line carries the exact amount.
    pub ingredient: Ingredient,
    /// What the sheet calls it.
    pub name: String,
    /// The exact amount, in the unit the recipe is written in.
    pub exact: Amount,
    /// The same as a plain metric amount ("473 mL", "52 g").
    pub metric: String,
    /// In measures the person owns; the two ends when the recipe gives a range.
    pub measured: Option<Span<MeasuredOut>>,
    /// Why it is not measured out, though a tool for it is there: too little, and from which batch on it could be.
    pub too_little: Option<String>,
    /// Why it differs from the recipe ("your 6 % vinegar instead of 5 %: less of it, more water").
    pub why: Option<String>,
    /// A remark of the recipe.
    pub note: Option<String>,
}

/// What a bath is scaled to, and the doses for it.
#[derive(Debug, Clone)]
pub struct Dosing {
    /// Doses in the order of pouring.
    pub doses: Vec<Dose>,
    /// Sum of the liquids as poured.
    pub poured: Volume,
    /// Whether the target was a poured or a finished volume.
    pub by_poured_volume: bool,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// How much of a bath is wanted.
#[derive(Debug, Clone, Copy)]
pub enum BathSize {
    /// Sum of the liquids as poured, in millilitres.
    Poured(Exact),
    /// Finished volume, from mass and density.
    Finished(Volume),
}

/// One ingredient with the bottle it is taken from.
struct Choice<'a> {
    ingredient: Cow<'a, Ingredient>,
    /// Volume (or mass) of this bottle that holds the active substance of one volume (or mass) of the recipe's.
    factor: Exact,
    why: Option<String>,
}

/// An ingredient of a batch before it is measured: amount exact.
struct Share {
    choice: usize,
    amount: Amount,
}

/// Says what may be bought when the bottle for ingredient `n` of the recipe is too weak. It has to be reviewed first,
/// which is not this room's to do.
pub type Advice<'a> = dyn Fn(usize) -> String + 'a;

/// Doses for a bath of this size.
///
/// # Errors
/// A bottle too weak to reach the target; a stock without a strength it needs; amounts beyond what can be computed.
pub fn dose(recipe: &Recipe, bench: &Bench, size: BathSize, advice: &Advice<'_>) -> Checked<Dosing> {
    dosing(recipe, bench, size, advice, true)
}

/// As [`dose`], without looking for the best way to measure out (`measured` is `None`): for everything that only needs to
/// know what the bath is.
///
/// # Errors
/// As [`dose`].
pub fn dose_exactly(recipe: &Recipe, bench: &Bench, size: BathSize, advice: &Advice<'_>) -> Checked<Dosing> {
    dosing(recipe, bench, size, advice, false)
}

fn dosing(recipe: &Recipe, bench: &Bench, size: BathSize, advice: &Advice<'_>, measure: bool) -> Checked<Dosing> {
    let mut notes = Vec::new();
    let choices = choose_stocks(recipe, bench, &mut notes)?;
    // People measure at room temperature, whatever the bath is warmed to afterwards.
    let temperature = celsius(20.0);
    let unit = unit_batch(recipe, &choices, temperature, advice)?;
    let poured_ml = poured_exact(&unit, &choices)?;
    let with_amounts = with_amounts(&unit, &choices);
    let factor = match size {
        BathSize::Poured(ml) => ml
            .checked_div(poured_ml)
            .ok_or_else(|| Problem::error("this formula pours no liquid, so it cannot be scaled to a volume"))?,
        BathSize::Finished(volume) => {
            let (one, _) = finished_volume(&with_amounts, temperature)?;
            Exact::from_f64(in_millilitres(volume) / in_millilitres(one)).ok_or_else(too_large)?
        }
    };
    let system = bench.measures.unwrap_or(recipe.measures);
    let tools = if bench.tools.is_empty() { Tool::kitchen_set(system) } else { bench.tools.clone() };
    let batch_ml = match size {
        BathSize::Poured(ml) => ml.to_f64(),
        BathSize::Finished(volume) => in_millilitres(volume),
    };
    let kitchen = recipe.ingredients.iter().any(|i| matches!(i.quantity, Quantity::Kitchen(_)));
    let mut doses = Vec::new();
    let order = pouring_order(&with_amounts);
    // Water that makes up the rest stands last in a recipe and first in any jug: nobody has to be told.
    let told = |i: &&usize| with_amounts.get(**i).and_then(Ingredient::substance).is_none_or(|s| s.id != "water");
    let in_order: Vec<usize> = order.iter().filter(told).copied().collect();
    if in_order.windows(2).any(|w| w[0] > w[1]) {
        notes.push(format!("The order of pouring is not the recipe's: {}.", why_this_order(&with_amounts).join(", ")));
    }
    let mut left: Vec<Option<Ingredient>> = with_amounts.into_iter().map(Some).collect();
    for i in order {
        let (share, Some(mut ingredient)) = (&unit[i], left[i].take()) else { continue };
        let choice = &choices[share.choice];
        let exact = share.amount.scaled(factor).ok_or_else(too_large)?;
        ingredient.line.amount = Some(exact.clone());
        let substance_id = ingredient.substance().map_or("", |s| s.id.as_ref());
        let bulk = bulk_density(&ingredient.line.name, substance_id);
        let bulk = bulk.filter(|_| !is_liquid(&ingredient));
        let measured = if measure { measure_both(&exact, &tools, bulk) } else { None };
        let too_little = match measured {
            None if measure => times_as_much(&exact, &tools, bulk)
                .map(|times| too_little(times * batch_ml, is_liquid(&ingredient), kitchen.then_some(system))),
            _ => None,
        };
        let metric = metric_text(&exact, bulk);
        let name = display_name(&ingredient);
        // The recipe's own words carry the amount for its own size; here only name and strength are left.
        ingredient.line.text.clone_from(&name);
        doses.push(Dose {
            name,
            ingredient,
            metric,
            measured,
            too_little,
            why: choice.why.clone(),
            note: recipe.ingredients.get(share.choice).and_then(|i| i.note.clone()),
            exact,
        });
    }
    let poured = poured_ml.checked_mul(factor).ok_or_else(too_large)?;
    Ok(Dosing {
        doses,
        poured: millilitres(poured.to_f64()),
        by_poured_volume: matches!(size, BathSize::Poured(_)),
        notes,
    })
}

fn too_large() -> Problems {
    Problem::error("the amounts are too large or too finely divided to be computed exactly")
        .hint("ask for a volume between 1 mL and 10000 L")
        .into()
}

/// The name with its strength as the label gives it.
pub(crate) fn display_name(ingredient: &Ingredient) -> String {
    match &ingredient.line.strength {
        Some(s) => format!("{} {}", ingredient.line.name, s),
        None => ingredient.line.name.clone(),
    }
}

/// Whether this is poured as a liquid, by its form in the table or because it carries a strength.
pub(crate) fn is_liquid(ingredient: &Ingredient) -> bool {
    if ingredient.line.strength.is_some() {
        return true;
    }
    ingredient.meanings.first().is_some_and(|m| matches!(m.substance.form, Form::Liquid | Form::Solution))
}

fn choose_stocks<'a>(recipe: &'a Recipe, bench: &'a Bench, notes: &mut Vec<String>) -> Checked<Vec<Choice<'a>>> {
    let mut choices = Vec::new();
    let mut problems = Vec::new();
    for wanted in &recipe.ingredients {
        let ingredient = &wanted.ingredient;
        let Some(substance) = ingredient.substance() else {
            problems.push(Problem::error(format!("`{}` does not name one known substance", ingredient.line.name)));
            continue;
        };
        if substance.id == "water" {
            choices.push(Choice { ingredient: Cow::Borrowed(ingredient), factor: Exact::ONE, why: None });
            continue;
        }
        let on_shelf: Vec<&ShelfStock> =
            bench.stocks.iter().filter(|s| s.ingredient.substance().is_some_and(|x| x.id == substance.id)).collect();
        if on_shelf.is_empty() {
            if !bench.stocks.is_empty() {
                notes.push(format!(
                    "{} is not on the shelf list: the amounts are for the strength named here.",
                    display_name(ingredient)
                ));
            }
            choices.push(Choice { ingredient: Cow::Borrowed(ingredient), factor: Exact::ONE, why: None });
            continue;
        }
        let Some(strength) = &ingredient.line.strength else {
            // A solid: the shelf has it, nothing to convert.
            choices.push(Choice { ingredient: Cow::Borrowed(ingredient), factor: Exact::ONE, why: None });
            continue;
        };
        let mut best: Option<(f64, Exact, &ShelfStock)> = None;
        for stock in on_shelf {
            let Some(have) = &stock.ingredient.line.strength else {
                problems.push(
                    Problem::error(format!("the shelf stock `{}` has no strength", stock.ingredient.line.name))
                        .hint("write the figure from its label, such as `white vinegar 5 %`"),
                );
                continue;
            };
            let by_mass = matches!(&wanted.quantity, Quantity::Kitchen(Amount { unit: Unit::Mass(_), .. }));
            let factor = strength_factor(ingredient, strength, have, by_mass)?;
            let distance = libm::log(factor.to_f64()).abs();
            if best.as_ref().is_none_or(|(d, _, _)| distance < *d) {
                best = Some((distance, factor, stock));
            }
        }
        if let Some((_, factor, stock)) = best {
            let why = (factor != Exact::ONE).then(|| {
                let less = factor < Exact::ONE;
                format!(
                    "your bottle is {}, the recipe's {}: {} of it, {} water",
                    stock.ingredient.line.strength.as_ref().map(|s| s.to_string()).unwrap_or_default(),
                    strength,
                    if less { "less" } else { "more" },
                    if less { "more" } else { "less" },
                )
            });
            choices.push(Choice { ingredient: Cow::Borrowed(&stock.ingredient), factor, why });
        }
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let kitchen = recipe.ingredients.iter().all(|i| matches!(i.quantity, Quantity::Kitchen(_)));
    if kitchen && choices.iter().all(|c| c.ingredient.substance().is_none_or(|s| s.id != "water")) {
        // Last, and only poured where a stronger bottle leaves room for it.
        let water = Cow::Owned(read_ingredient("water", recipe.measures)?);
        choices.push(Choice { ingredient: water, factor: Exact::ONE, why: None });
    }
    Ok(choices)
}

/// Volume (or mass) of the bottle at hand that holds the active substance of one volume (or mass) of the recipe's.
///
/// The same basis and figure is exactly one. Otherwise the ratio of mass fractions, for volumes that of grams per litre.
fn strength_factor(ingredient: &Ingredient, wanted: &Strength, have: &Strength, by_mass: bool) -> Checked<Exact> {
    if wanted.basis == have.basis && wanted.value == have.value {
        return Ok(Exact::ONE);
    }
    let substance = ingredient.meanings[0].substance;
    let holds = |s: &Strength| -> Checked<f64> {
        let w = mass_fraction(substance, s)?;
        let mid = crate::amount::MassFraction::new((w.low.ratio() + w.high.ratio()) / 2.0).unwrap_or(w.low);
        if by_mass {
            return Ok(mid.ratio());
        }
        let density = stock_density(substance, mid, celsius(20.0)).map_or(1000.0, |d| in_kg_per_m3(d.best));
        Ok(mid.ratio() * density)
    };
    let (want, got) = (holds(wanted)?, holds(have)?);
    if got <= 0.0 {
        return Err(Problem::error(format!("a strength of {have} holds nothing of {}", ingredient.line.name)).into());
    }
    Exact::from_f64(want / got).ok_or_else(too_large)
}

fn ml(value: Exact) -> Amount {
    Amount { value: Span::one(value), unit: Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric) }
}

fn g(value: Span<Exact>) -> Amount {
    Amount { value, unit: Unit::Mass(MassUnit::Gram) }
}

/// The recipe at its own size: as written for kitchen recipes, one litre of finished bath for concentrations.
fn unit_batch(
    recipe: &Recipe,
    choices: &[Choice<'_>],
    temperature: crate::amount::ThermodynamicTemperature,
    advice: &Advice<'_>,
) -> Checked<Vec<Share>> {
    let kitchen = recipe.ingredients.iter().all(|i| matches!(i.quantity, Quantity::Kitchen(_)));
    if kitchen { kitchen_batch(recipe, choices, advice) } else { litre_batch(recipe, choices, temperature, advice) }
}

/// Water at 20 °C, g/mL: turns water that makes up a mass into a volume and back.
const WATER_G_ML: f64 = 0.9982;

fn kitchen_batch(recipe: &Recipe, choices: &[Choice<'_>], advice: &Advice<'_>) -> Checked<Vec<Share>> {
    let mut shares = Vec::new();
    // What the bottles at hand take up beyond the recipe's: volumes and masses apart.
    let (mut displaced_ml, mut displaced_g) = (Exact::ZERO, Exact::ZERO);
    let mut weak: Option<usize> = None;
    let mut unit = Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric);
    for (i, wanted) in recipe.ingredients.iter().enumerate() {
        let Quantity::Kitchen(amount) = &wanted.quantity else { continue };
        let new = amount.scaled(choices[i].factor).ok_or_else(too_large)?;
        if choices[i].factor != Exact::ONE {
            let volumes = (ml_of(amount), ml_of(&new));
            let masses = (grams_of(amount), grams_of(&new));
            let (displaced, before, after) = match (volumes, masses) {
                ((Some(before), Some(after)), _) => (&mut displaced_ml, before, after),
                (_, (Some(before), Some(after))) => (&mut displaced_g, before, after),
                _ => return Err(Problem::error("a stock of a kitchen recipe needs a volume or a mass").into()),
            };
            let more = after.checked_sub(before).ok_or_else(too_large)?;
            if !more.is_negative() && !more.is_zero() {
                weak = Some(i);
            }
            *displaced = displaced.checked_add(more).ok_or_else(too_large)?;
            unit = amount.unit;
        }
        shares.push(Share { choice: i, amount: new });
    }
    if displaced_ml.is_zero() && displaced_g.is_zero() {
        return Ok(shares);
    }
    let is_water = |s: &Share| choices[s.choice].ingredient.substance().is_some_and(|x| x.id == "water");
    let at = shares.iter().position(is_water);
    if let Some(at) = at {
        unit = shares[at].amount.unit;
    }
    // Exact as long as all of it is by volume or all by mass; the density of water is good to four figures only.
    let as_ml = |g: Exact| if g.is_zero() { Some(g) } else { Exact::from_f64(g.to_f64() / WATER_G_ML) };
    let as_g = |ml: Exact| if ml.is_zero() { Some(ml) } else { Exact::from_f64(ml.to_f64() * WATER_G_ML) };
    let change = match unit {
        Unit::Volume(unit, system) => {
            as_ml(displaced_g).and_then(|ml| ml.checked_add(displaced_ml)?.checked_div(unit.exact_ml(system)?))
        }
        Unit::Mass(unit) => as_g(displaced_ml).and_then(|g| g.checked_add(displaced_g)?.checked_div(unit.exact_g()?)),
        _ => None,
    };
    let change = change.ok_or_else(too_large)?;
    let water = at.map_or(Span::one(Exact::ZERO), |at| shares[at].amount.value);
    let value = water.try_map(|v| v.checked_sub(change).ok_or_else(too_large))?;
    if value.low.is_negative() {
        return Err(too_weak(recipe, choices, weak, advice));
    }
    match at {
        // No water left at all is fine; a line of nothing is not shown.
        Some(at) if value.high.is_zero() => drop(shares.remove(at)),
        Some(at) => shares[at].amount = Amount { value, unit },
        // A recipe without water of its own: what the stronger bottle leaves free.
        None => shares.push(Share { choice: recipe.ingredients.len(), amount: Amount { value, unit } }),
    }
    Ok(shares)
}

/// Middle of a range in millilitres; rounded to twelve figures where the exact fraction has grown too long to add.
fn ml_of(amount: &Amount) -> Option<Exact> {
    middle(amount.millilitres_exact()).or_else(|| rounded(amount.volume()?.map(in_millilitres)))
}

/// The same in grams.
fn grams_of(amount: &Amount) -> Option<Exact> {
    middle(amount.grams_exact()).or_else(|| rounded(amount.mass()?.map(in_grams)))
}

fn middle(span: Option<Span<Exact>>) -> Option<Exact> {
    let s = span?;
    s.low.checked_add(s.high)?.checked_div(Exact::whole(2))
}

fn rounded(span: Span<f64>) -> Option<Exact> {
    Exact::from_f64(0.5 * (span.low + span.high))
}

fn too_weak(recipe: &Recipe, choices: &[Choice<'_>], which: Option<usize>, advice: &Advice<'_>) -> Problems {
    let at = which.unwrap_or(0);
    let wanted = &recipe.ingredients[at].ingredient;
    let have = &choices[at].ingredient;
    Problem::error(format!(
        "{} is too weak for this recipe: it wants {} and has no more water to give up",
        display_name(have),
        display_name(wanted),
    ))
    .hint(advice(at))
    .in_field(format!("ingredients[{at}]"))
    .into()
}

/// One litre of finished bath: solids by mass, stocks by volume, water to the mark by mass and density.
fn litre_batch(
    recipe: &Recipe,
    choices: &[Choice<'_>],
    temperature: crate::amount::ThermodynamicTemperature,
    advice: &Advice<'_>,
) -> Checked<Vec<Share>> {
    let exact = |x: f64| Exact::from_f64(x).ok_or_else(too_large);
    let mut water_ml = 900.0_f64;
    let mut mass_g = 1000.0_f64;
    let has_rest = recipe.ingredients.iter().any(|i| matches!(i.quantity, Quantity::Rest));
    // Volume rises one for one with the water, nearly: the correction converges in a few rounds.
    for round in 0..30 {
        let mut shares = Vec::new();
        for (i, wanted) in recipe.ingredients.iter().enumerate() {
            let amount = match &wanted.quantity {
                Quantity::Kitchen(a) => a.scaled(choices[i].factor).ok_or_else(too_large)?,
                Quantity::GramsPerLitre(c) => g(c.try_map(|c| exact(crate::amount::in_g_per_l(c)))?),
                Quantity::MillilitresPerLitre(v) => {
                    let value = v.try_map(|v| exact(v)?.checked_mul(choices[i].factor).ok_or_else(too_large))?;
                    Amount { value, unit: Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric) }
                }
                Quantity::MassPercent(w) => {
                    let stock = &choices[i].ingredient;
                    let share = match &stock.line.strength {
                        Some(s) => {
                            let f = mass_fraction(stock.meanings[0].substance, s)?;
                            (f.low.ratio() + f.high.ratio()) / 2.0
                        }
                        None => 1.0,
                    };
                    if (w.low.ratio() + w.high.ratio()) / 2.0 > share {
                        return Err(too_weak(recipe, choices, Some(i), advice));
                    }
                    g(w.try_map(|w| exact(w.ratio() * mass_g / share))?)
                }
                Quantity::Rest => ml(exact(water_ml)?),
            };
            shares.push(Share { choice: i, amount });
        }
        if !has_rest {
            return Ok(shares);
        }
        let (volume, mass) = finished_volume(&with_amounts(&shares, choices), temperature)?;
        let off = 1000.0 - in_millilitres(volume);
        let mass_before = mass_g;
        mass_g = in_grams(mass);
        if round > 0 && off.abs() < 1e-5 && (mass_g - mass_before).abs() < 1e-5 {
            return Ok(shares);
        }
        water_ml += off;
        if water_ml < 0.0 {
            let weakest = choices.iter().enumerate().max_by(|a, b| a.1.factor.cmp(&b.1.factor)).map(|(i, _)| i);
            return Err(too_weak(recipe, choices, weakest, advice));
        }
    }
    Err(Problem::error("the recipe's concentrations do not settle to one litre of bath").into())
}

fn with_amounts(shares: &[Share], choices: &[Choice<'_>]) -> Vec<Ingredient> {
    shares
        .iter()
        .map(|s| {
            let mut i = choices[s.choice].ingredient.as_ref().clone();
            i.line.amount = Some(s.amount.clone());
            i
        })
        .collect()
}

/// Sum of the liquids as poured, in millilitres. A range counts with its middle; a liquid given by mass with its density.
fn poured_exact(shares: &[Share], choices: &[Choice<'_>]) -> Checked<Exact> {
    let mut sum = Exact::ZERO;
    for share in shares {
        let ingredient = &choices[share.choice].ingredient;
        if !is_liquid(ingredient) {
            continue;
        }
        let volume = match ml_of(&share.amount) {
            Some(v) => v,
            None => {
                let grams = grams_of(&share.amount).ok_or_else(too_large)?;
                let w = match &ingredient.line.strength {
                    Some(s) => Some(mass_fraction(ingredient.meanings[0].substance, s)?.high),
                    None => None,
                };
                let density = w
                    .and_then(|w| stock_density(ingredient.meanings[0].substance, w, celsius(20.0)))
                    .map_or(1.0, |d| in_kg_per_m3(d.best) / 1000.0);
                Exact::from_f64(grams.to_f64() / density).ok_or_else(too_large)?
            }
        };
        sum = sum.checked_add(volume).ok_or_else(too_large)?;
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{in_g_per_l, in_grams};
    use crate::bath::{MixConditions, Mixture, mix};
    use crate::recipe::from_lines;

    fn shelf(lines: &[&str]) -> Bench {
        let stock = |l: &&str| format!("- {{is: {l}}}\n");
        let text = format!("measures: metric\nstocks:\n{}", lines.iter().map(stock).collect::<String>());
        crate::order::read_bench(&text, "bench.yaml").unwrap()
    }

    fn dosed(lines: &[&str], on_shelf: &[&str]) -> (Dosing, Mixture) {
        let lines: Vec<String> = lines.iter().map(ToString::to_string).collect();
        let recipe = from_lines(&lines, MeasureSystem::Metric).unwrap();
        let bench = if on_shelf.is_empty() { Bench::default() } else { shelf(on_shelf) };
        let size = BathSize::Poured(Exact::whole(1000));
        let found =
            dose_exactly(&recipe, &bench, size, &|_| String::new()).unwrap_or_else(|e| panic!("{lines:?}: {e}"));
        let list: Vec<_> = found.doses.iter().map(|d| d.ingredient.clone()).collect();
        let made = mix(&list, &MixConditions { temperature: celsius(20.0), carbonate: None }).unwrap();
        (found, made)
    }

    /// Whatever the bottle, the bath holds what the recipe says: by volume, by mass, and without water of its own.
    #[test]
    fn another_bottle_changes_nothing_in_the_bath() {
        for lines in [
            ["700 mL water", "200 mL vinegar 5 %", "100 mL hydrogen peroxide 3 %", "50 g table salt"],
            ["700 g water", "200 g vinegar 5 %", "100 g hydrogen peroxide 3 %", "50 g table salt"],
            ["700 mL water", "200 g vinegar 5 %", "100 mL hydrogen peroxide 3 %", "50 g table salt"],
            ["700 g water", "200 mL vinegar 5 %", "100 g hydrogen peroxide 3 %", "50 g table salt"],
            ["10 g citric acid", "900 mL vinegar 5 %", "100 mL hydrogen peroxide 3 %", "50 g table salt"],
        ] {
            let (plain, own) = dosed(&lines, &[]);
            for bottles in [["vinegar 8 %", "hydrogen peroxide 6 %"], ["vinegar 25 %", "hydrogen peroxide 12 %"]] {
                let (other, made) = dosed(&lines, &bottles);
                assert_eq!(own.solutes.len(), made.solutes.len());
                for (a, b) in own.solutes.iter().zip(&made.solutes) {
                    let (a_g, b_g) = (in_g_per_l(a.concentration.best), in_g_per_l(b.concentration.best));
                    assert!((a_g / b_g - 1.0).abs() < 5e-3, "{lines:?} {bottles:?} {}: {a_g} {b_g}", a.name);
                }
                let (a, b) = (in_millilitres(plain.poured), in_millilitres(other.poured));
                assert!((a - 1000.0).abs() < 1e-6 && (b - 1000.0).abs() < 1e-6, "{a} {b}");
                let (a, b) = (in_grams(own.mass.best), in_grams(made.mass.best));
                assert!((a / b - 1.0).abs() < 5e-3, "{lines:?} {bottles:?} {a} {b}");
            }
        }
    }

    /// 900 mL of 5 % vinegar from an 8 % bottle take five eighths of it and a little over three eighths of water.
    #[test]
    fn a_recipe_without_water_gets_water_beside_a_stronger_bottle() {
        let (found, _) = dosed(&["900 g vinegar 5 %", "100 g vinegar 5 %"], &["vinegar 8 %"]);
        let water = found.doses.iter().find(|d| d.ingredient.substance().is_some_and(|s| s.id == "water")).unwrap();
        let share = water.exact.grams_exact().unwrap().low.to_f64();
        assert!((share - 375.0).abs() < 4.0, "{share}");
    }
}
