//! The stages in order: the program on one page.

mod advice;
mod aftercare;
mod care;
mod choose;
mod disposal;
mod fingerprint;
mod job;
mod listed;
mod measured;
mod methods;
mod notes;
mod prepared;
mod purchase;
mod results;
mod seat;
mod shopping;
mod size;
mod trial;
mod tumble;

pub use aftercare::{Aftercare, Neutralising, Rinsing, StripBath, left_after, rinses_needed};
pub use choose::{Candidate, Choice, Excluded, Hindrance, Showing, Wish, choose, metal_by_volume};
pub use disposal::{Disposal, DissolvedMetal};
pub use fingerprint::Fingerprint;
pub(crate) use fingerprint::fingerprint;
pub use job::{Coupon, Whole, WholeOrder, plan_whole};
pub use listed::{ListedRecipe, Listing, Sieve, list, list_recipe};
pub use methods::MethodPlan;
pub(crate) use notes::{days, volume_words};
pub use results::{Corrected, Mixed, Neutralisation, Plan, Scaled};
pub use shopping::Purchase;
pub use trial::{Lacking, Times, Trial};
pub use tumble::{TumbleOrder, TumblePlan, tumble};

use crate::amount::{
    Area, Exact, Span, ThermodynamicTemperature, celsius, in_celsius, in_grams, in_millilitres, millilitres,
};
use crate::bath::{
    BathSize, Dosing, Measured, MixConditions, Mixture, dose, dose_exactly, mix, mix_physics, pouring_steps,
};
use crate::diag::{Checked, Problem, Problems};
use crate::order::{Bench, Order, Target};
use crate::part::Part;
use crate::recipe::{Method, Recipe, Suitability};
use crate::reference::{Cover, Ingredient};
use crate::safety::{self, Conditions, Outcome, PartFacts};
use crate::timetable;
use crate::vessel::Vessel;
use aftercare::Soda;
use measured::{measured_mixture, measuring_error};
use notes::{age_notes, loading_note, pace_notes, recipe_notes, sentences};
use seat::{Seat, density_or_bounds};
use size::{size_of, size_without_vessel};
use std::sync::Arc;

fn poured(dosing: &Dosing) -> Vec<Ingredient> {
    dosing.doses.iter().map(|d| d.ingredient.clone()).collect()
}

/// Doses, with advice on a bottle too weak that has itself been reviewed.
fn doses(order: &Order, size: BathSize) -> Checked<Dosing> {
    dose(&order.recipe, &order.bench, size, &|at| purchase::advice(order, at, size))
}

/// The same, not measured out.
fn exact_doses(order: &Order, size: BathSize) -> Checked<Dosing> {
    dose_exactly(&order.recipe, &order.bench, size, &|at| purchase::advice(order, at, size))
}

/// The hundredth part of a litre, at which a mixture is refused before anything else is worked out.
fn thimble(one_litre: &Dosing) -> Vec<Ingredient> {
    let hundredth = Exact::ratio(1, 100);
    let mut all = poured(one_litre);
    for ingredient in &mut all {
        let less = hundredth.and_then(|part| ingredient.line.amount.as_ref()?.scaled(part));
        ingredient.line.amount = less.or(ingredient.line.amount.take());
    }
    all
}

/// Plans one job.
///
/// # Errors
/// Everything that keeps the plan from being made: a bottle too weak, a part that does not fit, a vessel that would
/// overflow, ballast that cannot hold. A refusal is not an error: it is an [`Outcome`].
pub fn plan(order: &Order) -> Checked<Outcome<Plan>> {
    Ok(match make(order)? {
        Err(refusal) => Outcome::Refused(*refusal),
        Ok(plan) => safety::review(plan),
    })
}

/// The plan before its review, or the refusal that made working it out pointless.
fn make(order: &Order) -> Checked<Result<Plan, Box<safety::Review>>> {
    let order = Arc::new(prepared::order(order));
    let mut notes = Vec::new();

    // Density and prohibitions do not depend on the size, so they come first. Hazards only grow with it: what is
    // refused by the thimble is refused at any size, and the whole is reviewed again at its own size at the end.
    let one_litre = exact_doses(&order, BathSize::Finished(millilitres(1000.0)))?;
    if let Some(refusal) = safety::refusal(&thimble(&one_litre), &conditions(&order, order.vessel.as_ref())) {
        return Ok(Err(Box::new(refusal)));
    }
    let temperature = bath_temperature(&order);
    let mixing = modelled(temperature, &mut notes);
    let bath = poured(&one_litre);
    let one = mix_physics(&bath, &mixing)?;

    let soda = || Soda::for_bath(&bath, in_millilitres(one.volume.best), &mixing);
    let start = Start { one_litre: &one_litre, one: &one, mixing: &mixing };
    sized(&order, start, &mut notes, soda).map(Ok)
}

/// What does not depend on the size of the bath.
struct Start<'a> {
    one_litre: &'a Dosing,
    one: &'a Mixture,
    mixing: &'a MixConditions,
}

/// The plan at its own size.
fn sized(order: &Arc<Order>, start: Start<'_>, notes: &mut Vec<String>, soda: impl FnOnce() -> Soda) -> Checked<Plan> {
    let Start { one_litre, one, mixing } = start;
    let recipe = &order.recipe;
    let mut vessel = order.vessel.clone();
    let (immersion, dosing, measured) = match recipe.method {
        Method::Immersion => {
            let density = density_or_bounds(one, notes);
            let seat = Seat { order, mixing, one_litre, density };
            let mut chosen = seat.vessel(notes)?;
            chosen.cover = Some(covered(recipe, &chosen));
            let (found, dosing, measured) = seat.immersed(&chosen)?;
            vessel = Some(chosen);
            (Some(found), dosing, measured)
        }
        _ => {
            let dosing = doses(order, size_without_vessel(order, notes)?)?;
            let measured = measured_mixture(&dosing, mixing);
            (None, dosing, measured)
        }
    };
    notes.extend(order.parts.iter().flat_map(|p| p.notes.iter().cloned()));

    let bath = poured(&dosing);
    let mixture = mix(&bath, mixing)?;
    let making_up = pouring_steps(&bath, mixing)?;
    let measuring_error = measuring_error(measured.as_ref(), &mixture);
    notes.extend(recipe_notes(recipe, &mixture, &dosing));
    notes.extend(loading_note(order, immersion.as_ref(), &mixture));
    notes.extend(pace_notes(order, &mixture, measuring_error.as_ref()));
    notes.extend(age_notes(order));

    let cover = vessel.as_ref().map_or(recipe.cover, |v| covered(recipe, v));
    let recipe = Recipe { cover, ..care::sized(recipe, order, &mixture) };
    let mut reviewed_as = conditions(order, vessel.as_ref());
    if let Some(found) = &immersion {
        reviewed_as.ballast = found.ballast.iter().map(|b| b.material).collect();
    }
    let aftercare = aftercare::aftercare(&recipe, &order.parts, &bath, &mixture, &reviewed_as, soda);
    let disposal = disposal::disposal(&recipe, &order.parts, &mixture, &aftercare);
    let mut cared_for = aftercare::with_seep_rinses(&recipe, &aftercare);
    disposal::of_these_parts(&mut cared_for, &order.parts, &disposal);
    cared_for.temperature = asked_temperature(order);
    let steps = timetable::build(&cared_for, &dosing, immersion.as_ref(), &order.parts);
    let timetable = timetable::with_clock(steps, order.start.as_ref(), order.quiet);
    let method = methods::method(order, cover, &mixture);
    Ok(Plan {
        recipe,
        dosing,
        mixture,
        making_up,
        measuring_error,
        immersion,
        vessel,
        timetable,
        notes: sentences(std::mem::take(notes)),
        fingerprint: Fingerprint::of(Arc::<Order>::clone(order)),
        reviewed_as,
        method,
        aftercare,
        disposal,
        whole: None,
    })
}

/// Scales a recipe to a volume or to a vessel filled to leave a tenth of its height free.
///
/// # Errors
/// As [`plan`], without parts.
pub fn scale(
    recipe: &Recipe,
    bench: &Bench,
    target: Option<&Target>,
    vessel: Option<&Vessel>,
) -> Checked<Outcome<Scaled>> {
    let size = match (target, vessel) {
        (Some(target), _) => size_of(target)?,
        (None, Some(vessel)) => BathSize::Finished(vessel.shape.volume_below(vessel.shape.height() * 0.9)),
        (None, None) => {
            return Err(Problem::error("nothing to scale to")
                .hint("say `--to \"1 L\"` or `--vessel \"jar 80x120 mm, glass\"`")
                .into());
        }
    };
    let order = Order { vessel: vessel.cloned(), ..Order::new(recipe.clone(), bench.clone()) };
    let mut notes = Vec::new();
    let mixing = modelled(middle(recipe.temperature), &mut notes);
    let dosing = doses(&order, size)?;
    let bath = poured(&dosing);
    let mixture = mix(&bath, &mixing)?;
    let fill_line = match vessel {
        None => None,
        Some(vessel) => {
            let level = vessel.shape.level_of(mixture.volume.high).ok_or_else(|| {
                Problem::error(format!(
                    "{} of bath do not fit into {}, which holds {} to the rim",
                    volume_words(mixture.volume.high),
                    vessel.name,
                    volume_words(vessel.shape.capacity())
                ))
            })?;
            if vessel.shape.is_estimate() {
                notes.push("Only the capacity of the vessel is known: the fill line is an estimate".into());
            }
            if target.is_none() {
                notes.push("Filled to leave a tenth of the vessel's height free, without parts in it".into());
            }
            Some(level)
        }
    };
    let making_up = pouring_steps(&bath, &mixing)?;
    let measuring_error = measuring_error(measured_mixture(&dosing, &mixing).as_ref(), &mixture);
    notes.extend(recipe_notes(recipe, &mixture, &dosing));
    Ok(safety::review(Scaled {
        recipe: Recipe { cover: vessel.map_or(recipe.cover, |v| covered(recipe, v)), ..recipe.clone() },
        dosing,
        mixture,
        making_up,
        measuring_error,
        fill_line,
        notes: sentences(notes),
        reviewed_as: conditions(&order, vessel),
    }))
}

/// Mixes ingredients as named.
///
/// # Errors
/// An ingredient that is not recognised, or lacks an amount or a strength.
pub fn mixed(ingredients: Vec<Ingredient>, mixing: &MixConditions, reviewed_as: Conditions) -> Checked<Outcome<Mixed>> {
    let mixture = mix(&ingredients, mixing)?;
    Ok(safety::review(Mixed { ingredients, mixture, reviewed_as }))
}

/// Mixing at this temperature, or at the nearest one that the solution models reach, with a note that says so.
fn modelled(temperature: ThermodynamicTemperature, notes: &mut Vec<String>) -> MixConditions {
    let asked = in_celsius(temperature);
    let used = asked.clamp(0.0, 60.0);
    if used != asked {
        notes.push(format!(
            "Density, pH and concentrations are for {used:.0} °C; at {asked:.0} °C they are not modelled and not known"
        ));
    }
    MixConditions { temperature: celsius(used), carbonate: None }
}

/// What the review looks at for this order; the ballast is added when it is known.
fn conditions(order: &Order, vessel: Option<&Vessel>) -> Conditions {
    let recipe = &order.recipe;
    let filled = order.parts.iter().any(|p| p.binder.is_some());
    let unsuited = |grade: Suitability| {
        recipe.filled_plastic.as_ref().filter(|f| filled && f.suitability == grade).map(|f| f.why.clone())
    };
    Conditions {
        temperature: Some(bath_temperature(order)),
        cover: Some(vessel.map_or(recipe.cover, |v| covered(recipe, v))),
        room: order.bench.room,
        vessel: vessel.and_then(|v| v.material),
        vessel_named: vessel.is_some(),
        capacity: vessel.map(|v| v.shape.capacity()).or_else(|| methods::capacity(order)),
        surface: vessel.filter(|_| recipe.method == Method::Immersion).map(rim),
        parts: parts_facts(&order.parts),
        ballast: Vec::new(),
        holders: order.bench.holders.clone(),
        after: order.after.iter().cloned().chain(prepared::left_by_preparation(recipe)).collect(),
        method: recipe.method,
        kept: None,
        meant_for: recipe.metals.clone(),
        recipe_temperature: Some(recipe.temperature.high),
        no_filled_plastic: unsuited(Suitability::No),
        poor_filled_plastic: unsuited(Suitability::Poor),
    }
}

/// How the bath is covered in this vessel: the closer of what recipe and vessel say, since a lid keeps gas in whoever
/// asked for it.
fn covered(recipe: &Recipe, vessel: &Vessel) -> Cover {
    vessel.cover.map_or(recipe.cover, |c| c.max(recipe.cover))
}

/// Open surface at the rim, where a vessel is widest as a rule.
fn rim(vessel: &Vessel) -> Area {
    vessel.shape.surface_at(vessel.shape.height())
}

fn parts_facts(parts: &[Part]) -> Vec<PartFacts> {
    parts.iter().map(|p| PartFacts { name: p.name.clone(), metal: p.metal, binder: p.binder }).collect()
}

fn middle(t: Span<ThermodynamicTemperature>) -> ThermodynamicTemperature {
    celsius((in_celsius(t.low) + in_celsius(t.high)) / 2.0)
}

/// The temperature asked for, or the recipe's range.
fn asked_temperature(order: &Order) -> Span<ThermodynamicTemperature> {
    order.temperature.map_or(order.recipe.temperature, Span::one)
}

fn bath_temperature(order: &Order) -> ThermodynamicTemperature {
    order.temperature.unwrap_or_else(|| middle(order.recipe.temperature))
}

/// What brings these ingredients to a pH, reviewed together with the reagent.
///
/// # Errors
/// As [`mixed`]; a reagent that cannot reach that pH.
pub fn neutralise(
    mut ingredients: Vec<Ingredient>,
    with: Ingredient,
    to: crate::amount::Ph,
    mixing: &MixConditions,
    reviewed_as: Conditions,
) -> Checked<Outcome<Neutralisation>> {
    // A mixture that is refused is refused, whether or not its pH could be worked out; its faults are told with the rest.
    if let Ok(Outcome::Refused(review)) = mixed(ingredients.clone(), mixing, reviewed_as.clone()) {
        return Ok(Outcome::Refused(review));
    }
    let neutralised = crate::bath::neutralise(&ingredients, &with, to, mixing)?;
    let grams = Exact::from_f64(in_grams(neutralised.mass.high))
        .ok_or_else(|| Problems::from(Problem::error("the amount of reagent is too large to be written down")))?;
    let mut reagent = with;
    reagent.line.amount = Some(crate::amount::Amount {
        value: Span::one(grams),
        unit: crate::amount::Unit::Mass(crate::amount::MassUnit::Gram),
    });
    ingredients.push(reagent);
    Ok(safety::review(Neutralisation { ingredients, neutralised, reviewed_as }))
}

/// What brings a bath that was made from these ingredients, and now measures so, back on target.
///
/// # Errors
/// As [`mixed`]; nothing measured; a pH that nothing in the bath can mend.
pub fn correct(
    ingredients: &[Ingredient],
    measured: &Measured,
    mixing: &MixConditions,
    reviewed_as: Conditions,
) -> Checked<Outcome<Corrected>> {
    // What may not be made is refused before anything is asked of the readings; its faults are told with theirs.
    if let Ok(Outcome::Refused(review)) = mixed(ingredients.to_vec(), mixing, reviewed_as.clone()) {
        return Ok(Outcome::Refused(review));
    }
    let correction = crate::bath::correct(ingredients, measured, mixing)?;
    let ingredients = correction.holds.iter().chain(&correction.add).cloned().collect();
    Ok(safety::review(Corrected { ingredients, correction, reviewed_as }))
}
