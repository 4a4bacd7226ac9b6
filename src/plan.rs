//! The stages in order: the program on one page.

mod advice;
mod aftercare;
mod choose;
mod disposal;
mod job;
mod methods;
mod prepared;
mod purchase;
mod shopping;
mod tumble;

pub use aftercare::{Aftercare, Neutralising, Rinsing, StripBath, left_after, rinses_needed};
pub use choose::{Candidate, Choice, Excluded, Showing, Wish, choose, metal_by_volume, takes};
pub use disposal::{Disposal, DissolvedMetal};
pub use job::{Coupon, Whole, WholeOrder, plan_whole};
pub use methods::MethodPlan;
pub use shopping::Purchase;
pub use tumble::{TumbleOrder, TumblePlan, tumble};

use crate::amount::{
    Estimate, Exact, Length, MassDensity, Span, ThermodynamicTemperature, Volume, celsius, in_celsius, in_grams,
    in_millilitres, in_square_millimetres, kg_per_m3, millilitres,
};
use crate::bath::{BathSize, Dosing, MixConditions, Mixture, Neutralised, dose, dose_exactly, mix, mix_physics};
use crate::diag::{Checked, Problem, Problems};
use crate::immersion::{Immersion, Question, immerse, immerse_in, least_bath};
use crate::order::{Bench, Order, Target};
use crate::part::Part;
use crate::recipe::{CareStage, CareStep, Finish, Method, Recipe, Suitability};
use crate::reference::{Cover, Ingredient, Material, Room};
use crate::safety::{self, Conditions, Outcome, PartFacts, Reviewable, Verdict};
use crate::timetable::{self, Step};
use crate::vessel::Vessel;
use jiff::SignedDuration;

/// Everything a person needs for one job. Immutable; shown only as `Reviewed<Plan>`.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The recipe.
    pub recipe: Recipe,
    /// Doses.
    pub dosing: Dosing,
    /// The mixture they make.
    pub mixture: Mixture,
    /// The largest error that measuring leaves in the bath: (what, per cent).
    pub measuring_error: Option<(String, f64)>,
    /// Immersion, for that method.
    pub immersion: Option<Immersion>,
    /// The vessel as the sheet names it.
    pub vessel: Option<Vessel>,
    /// Steps in order of time.
    pub timetable: Vec<Step>,
    /// What the person should know, each a sentence.
    pub notes: Vec<String>,
    /// A short fingerprint of everything that went in, for calendar ids and the record.
    pub fingerprint: String,
    /// What the review looks at.
    pub reviewed_as: Conditions,
    /// Quantities and steps of a method other than immersion.
    pub method: MethodPlan,
    /// Aftercare in figures.
    pub aftercare: Aftercare,
    /// What is left at the end of the batch.
    pub disposal: Disposal,
    /// The job around the bath, when all of it was asked for.
    pub whole: Option<Whole>,
}

impl Reviewable for Plan {
    fn ingredients(&self) -> Vec<Ingredient> {
        poured(&self.dosing)
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }

    fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
        let mut all = care_baths(&self.recipe, &self.ingredients(), &self.reviewed_as);
        all.extend(aftercare::baths(&self.aftercare, &self.ingredients(), &self.reviewed_as));
        all.extend(job::beside(self));
        all
    }
}

/// The small baths of preparation and aftercare, each with what part or vessel met before: what is used before the bath
/// follows what the person named, what comes after it follows the bath itself.
fn care_baths(recipe: &Recipe, bath: &[Ingredient], around: &Conditions) -> Vec<(String, Vec<Ingredient>, Conditions)> {
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

/// A recipe scaled to a volume or a vessel, without parts.
#[derive(Debug, Clone)]
pub struct Scaled {
    /// The recipe.
    pub recipe: Recipe,
    /// Doses.
    pub dosing: Dosing,
    /// The mixture they make.
    pub mixture: Mixture,
    /// The largest error that measuring leaves in the bath: (what, per cent).
    pub measuring_error: Option<(String, f64)>,
    /// Level in the vessel, when scaled to one.
    pub fill_line: Option<Length>,
    /// What the person should know.
    pub notes: Vec<String>,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Scaled {
    fn ingredients(&self) -> Vec<Ingredient> {
        poured(&self.dosing)
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

impl AsRef<Recipe> for Scaled {
    fn as_ref(&self) -> &Recipe {
        &self.recipe
    }
}

impl AsRef<Dosing> for Scaled {
    fn as_ref(&self) -> &Dosing {
        &self.dosing
    }
}

impl AsRef<Mixture> for Scaled {
    fn as_ref(&self) -> &Mixture {
        &self.mixture
    }
}

impl AsRef<Mixture> for Mixed {
    fn as_ref(&self) -> &Mixture {
        &self.mixture
    }
}

impl AsRef<Neutralised> for Neutralisation {
    fn as_ref(&self) -> &Neutralised {
        &self.neutralised
    }
}

/// A mixture of ingredients as named, without a recipe.
#[derive(Debug, Clone)]
pub struct Mixed {
    /// The ingredients, in the order of pouring.
    pub ingredients: Vec<Ingredient>,
    /// The mixture they make.
    pub mixture: Mixture,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Mixed {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.ingredients.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

/// A mixture and what brings it to a pH.
#[derive(Debug, Clone)]
pub struct Neutralisation {
    /// The mixture and the reagent with its amount, in the order of pouring.
    pub ingredients: Vec<Ingredient>,
    /// How much, and what comes of it.
    pub neutralised: Neutralised,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Neutralisation {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.ingredients.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

fn poured(dosing: &Dosing) -> Vec<Ingredient> {
    dosing.doses.iter().map(|d| d.ingredient.clone()).collect()
}

/// Doses, with advice on a bottle too weak that has itself been reviewed.
fn doses(recipe: &Recipe, bench: &Bench, size: BathSize) -> Checked<Dosing> {
    dose(recipe, bench, size, &|at| purchase::advice(recipe, at))
}

/// The same, not measured out.
fn exact_doses(recipe: &Recipe, bench: &Bench, size: BathSize) -> Checked<Dosing> {
    dose_exactly(recipe, bench, size, &|at| purchase::advice(recipe, at))
}

/// The size at which a mixture is refused before anything else is worked out.
const THIMBLE_ML: f64 = 10.0;
/// Rounds after which a density that still moves is given up; it settles in two.
const MOST_ROUNDS: usize = 8;
/// The size at which recipes are reviewed for the list.
const LISTED_ML: f64 = 250.0;

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
    let order = &Order { recipe: prepared::prepared(order), ..order.clone() };
    let recipe = &order.recipe;
    let mut notes = Vec::new();

    // Density and prohibitions do not depend on the size, so they come first. Hazards only grow with it: what is
    // refused by the thimble is refused at any size, and the whole is reviewed again at its own size at the end.
    let one_litre = exact_doses(recipe, &order.bench, BathSize::Finished(millilitres(1000.0)))?;
    let early_conditions = conditions(order, order.vessel.as_ref());
    let thimble = exact_doses(recipe, &order.bench, BathSize::Finished(millilitres(THIMBLE_ML)))?;
    let early = safety::check(&poured(&thimble), &early_conditions);
    if early.verdict == Verdict::Refuse {
        return Ok(Err(Box::new(early)));
    }
    let temperature = bath_temperature(order);
    let mixing = modelled(temperature, &mut notes);
    let one = mix_physics(&poured(&one_litre), &mixing)?;

    let mut vessel = order.vessel.clone();
    let (immersion, dosing) = match recipe.method {
        Method::Immersion => {
            let density = density_or_bounds(&one, &mut notes);
            let seat = Seat { order, mixing: &mixing, one_litre: &one_litre, density };
            let chosen = seat.vessel(&mut notes)?;
            let (found, dosing) = seat.immersed(&chosen)?;
            vessel = Some(chosen);
            (Some(found), dosing)
        }
        _ => (None, doses(recipe, &order.bench, size_without_vessel(order, &mut notes)?)?),
    };
    notes.extend(order.parts.iter().flat_map(|p| p.notes.iter().cloned()));

    let mixture = mix(&poured(&dosing), &mixing)?;
    let measuring_error = measuring_error(&dosing, &mixture, &mixing);
    notes.extend(recipe_notes(recipe, &mixture, &dosing));
    notes.extend(loading_note(order, immersion.as_ref(), &mixture));
    notes.extend(age_notes(order));

    let steps = timetable::build(recipe, &dosing, immersion.as_ref(), &order.parts);
    let timetable = timetable::with_clock(steps, order.start.as_ref(), order.quiet);
    let mut reviewed_as = conditions(order, vessel.as_ref());
    if let Some(found) = &immersion {
        reviewed_as.ballast = found.ballast.iter().map(|b| b.material).collect();
    }
    let fingerprint = fingerprint(order, &dosing);
    let bath = poured(&dosing);
    let aftercare = aftercare::aftercare(recipe, &order.parts, &bath, &mixture, &mixing, &reviewed_as);
    let disposal = disposal::disposal(recipe, &order.parts, &mixture, &aftercare);
    let method = methods::method(order, &mixture);
    Ok(Ok(Plan {
        recipe: recipe.clone(),
        dosing,
        mixture,
        measuring_error,
        immersion,
        vessel,
        timetable,
        notes: sentences(notes),
        fingerprint,
        reviewed_as,
        method,
        aftercare,
        disposal,
        whole: None,
    }))
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
    let mut notes = Vec::new();
    let mixing = modelled(middle(recipe.temperature), &mut notes);
    let dosing = doses(recipe, bench, size)?;
    let mixture = mix(&poured(&dosing), &mixing)?;
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
    let measuring_error = measuring_error(&dosing, &mixture, &mixing);
    notes.extend(recipe_notes(recipe, &mixture, &dosing));
    let reviewed_as = Conditions {
        cover: vessel.and_then(|v| v.cover).or(Some(recipe.cover)),
        room: bench.room,
        vessel: vessel.and_then(|v| v.material),
        capacity: vessel.map(|v| v.shape.capacity()),
        method: recipe.method,
        holders: bench.holders.clone(),
        recipe_temperature: Some(recipe.temperature.high),
        ..Conditions::default()
    };
    Ok(safety::review(Scaled {
        recipe: recipe.clone(),
        dosing,
        mixture,
        measuring_error,
        fill_line,
        notes: sentences(notes),
        reviewed_as,
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
        cover: vessel.and_then(|v| v.cover).or(Some(recipe.cover)),
        room: order.bench.room,
        vessel: vessel.and_then(|v| v.material),
        capacity: vessel.map(|v| v.shape.capacity()).or_else(|| methods::capacity(order)),
        surface_diameter: None,
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

/// What the part still holds of the bath at a step of aftercare: rinsed as often as the recipe says before that step.
fn carried_over(recipe: &Recipe, at: &CareStep, bath: &[Ingredient]) -> Vec<Ingredient> {
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

fn parts_facts(parts: &[Part]) -> Vec<PartFacts> {
    parts.iter().map(|p| PartFacts { name: p.name.clone(), metal: p.metal, binder: p.binder }).collect()
}

/// What immersion is worked out from.
struct Seat<'a> {
    order: &'a Order,
    mixing: &'a MixConditions,
    one_litre: &'a Dosing,
    density: Estimate<MassDensity>,
}

impl Seat<'_> {
    /// The vessel asked for, or the one on the bench that needs the least bath.
    fn vessel(&self, notes: &mut Vec<String>) -> Checked<Vessel> {
        if self.order.parts.is_empty() {
            return Err(Problem::error("an immersion recipe needs a part")
                .hint(
                    "name one, such as `--part \"box 40x40x80 mm, 85 g, iron, PLA\"`; use `scale` for a bath without parts",
                )
                .into());
        }
        if let Some(vessel) = &self.order.vessel {
            return Ok(vessel.clone());
        }
        let bench = &self.order.bench.vessels;
        let Some(first) = bench.first() else {
            return Err(Problem::error("an immersion recipe needs a vessel")
                .hint("name one, such as `--vessel \"jar 80x120 mm, glass\"`; `bathwright help writing` shows all ways")
                .into());
        };
        match self.ask(first, self.density, |question| least_bath(question, bench)) {
            Some((at, _)) => {
                let vessel = bench[at].clone();
                notes.push(format!(
                    "No vessel was named: {} is the one on the bench that needs the least bath",
                    vessel.name
                ));
                Ok(vessel)
            }
            // None takes the parts: the first says by how much.
            None => Ok(first.clone()),
        }
    }

    /// Where everything sits, and the doses for it.
    ///
    /// Rounding to spoons moves the density: parts are held under in the densest bath that rounding and labels allow, so
    /// the answer stands only when the doses as measured out stay within the density it was worked out for.
    fn immersed(&self, vessel: &Vessel) -> Checked<(Immersion, Dosing)> {
        let (recipe, bench) = (&self.order.recipe, &self.order.bench);
        let stated = match &self.order.target {
            None | Some(Target::CoverParts) => None,
            Some(target) => {
                let size = size_of(target)?;
                let exact = exact_doses(recipe, bench, size)?;
                Some((size, mix_physics(&poured(&exact), self.mixing)?.volume.best))
            }
        };
        let mut density = self.density;
        for _ in 0..MOST_ROUNDS {
            let (found, size) = match stated {
                Some((size, finished)) => (self.ask(vessel, density, |question| immerse_in(question, finished))?, size),
                None => {
                    let found = self.ask(vessel, density, immerse)?;
                    let size = BathSize::Finished(found.liquid);
                    (found, size)
                }
            };
            let dosing = doses(recipe, bench, size)?;
            let measured = measured_mixture(&dosing, self.mixing).and_then(|m| m.density);
            let wider = measured.map_or(density, |d| widen(density, d));
            if wider == density {
                return Ok((found, dosing));
            }
            density = wider;
        }
        Err(Problem::error("ballast, fill line and the density of the bath as measured out do not settle")
            .hint("name finer spoons or scales on the bench, or state the volume to make")
            .into())
    }

    /// Puts a question about a vessel.
    fn ask<T>(&self, vessel: &Vessel, density: Estimate<MassDensity>, answer: impl FnOnce(&Question<'_>) -> T) -> T {
        let ingredients = poured(self.one_litre);
        let facts = parts_facts(&self.order.parts);
        let forbids = |material: &Material| safety::forbids(&ingredients, &facts, material);
        answer(&Question {
            vessel,
            parts: &self.order.parts,
            ballast: &self.order.bench.ballast,
            forbids: &forbids,
            cover: self.order.cover_depth,
            margin_percent: self.order.ballast_margin_percent,
            density,
            longest_soak: longest_soak(self.order),
        })
    }
}

fn longest_soak(order: &Order) -> SignedDuration {
    let recipe = order.recipe.soak.iter().map(|s| s.after).max().unwrap_or(SignedDuration::ZERO);
    let parts = order.parts.iter().filter_map(|p| p.lift.map(|l| l.high)).max();
    match parts {
        // Every part has a lift of its own: the soak ends with the last of them.
        Some(last) if order.parts.iter().all(|p| p.lift.is_some()) => last,
        Some(last) => recipe.max(last),
        None => recipe,
    }
}

fn density_or_bounds(one: &Mixture, notes: &mut Vec<String>) -> Estimate<MassDensity> {
    one.density.unwrap_or_else(|| {
        notes.push("The density of this bath is not modelled: ballast and fill line are for 1000 to 1300 kg/m³".into());
        Estimate { best: kg_per_m3(1100.0), low: kg_per_m3(990.0), high: kg_per_m3(1300.0) }
    })
}

fn widen(a: Estimate<MassDensity>, b: Estimate<MassDensity>) -> Estimate<MassDensity> {
    Estimate {
        best: a.best,
        low: if b.low < a.low { b.low } else { a.low },
        high: if b.high > a.high { b.high } else { a.high },
    }
}

/// The mixture that the measured amounts make; `None` when something cannot be measured with the tools at hand.
fn measured_mixture(dosing: &Dosing, mixing: &MixConditions) -> Option<Mixture> {
    let mut ingredients = Vec::new();
    for d in &dosing.doses {
        let mut i = d.ingredient.clone();
        if let Some(m) = &d.measured {
            i.line.amount = Some(join(&m.low.comes_to, &m.high.comes_to)?);
        }
        ingredients.push(i);
    }
    mix_physics(&ingredients, mixing).ok()
}

fn join(low: &crate::amount::Amount, high: &crate::amount::Amount) -> Option<crate::amount::Amount> {
    (low.unit == high.unit)
        .then_some(crate::amount::Amount { value: Span { low: low.value.low, high: high.value.high }, unit: low.unit })
}

/// The largest change of a concentration that measuring out leaves: (solute, per cent).
fn measuring_error(dosing: &Dosing, exact: &Mixture, mixing: &MixConditions) -> Option<(String, f64)> {
    let measured = measured_mixture(dosing, mixing)?;
    let mut worst: Option<(String, f64)> = None;
    for solute in &exact.solutes {
        let Some(other) = measured.solutes.iter().find(|s| s.substance == solute.substance) else { continue };
        let want = crate::amount::in_g_per_l(solute.concentration.best);
        let got = crate::amount::in_g_per_l(other.concentration.best);
        if want <= 0.0 {
            continue;
        }
        let error = (got - want) / want * 100.0;
        if worst.as_ref().is_none_or(|(_, w)| error.abs() > w.abs()) {
            worst = Some((solute.name.clone(), error));
        }
    }
    worst
}

fn size_of(target: &Target) -> Checked<BathSize> {
    match target {
        Target::Poured(amount) => match amount.millilitres_exact() {
            Some(v) if v.is_one() && v.low > Exact::ZERO => Ok(BathSize::Poured(v.low)),
            Some(v) if v.low > Exact::ZERO => {
                Err(Problem::error(format!("`{amount}` is a range; one volume is needed")).into())
            }
            _ => Err(Problem::error(format!("`{amount}` is not a volume above zero"))
                .hint("write `1 L`, `600 mL` or `2 cups`")
                .into()),
        },
        Target::Finished(volume) if in_millilitres(*volume) > 0.0 => Ok(BathSize::Finished(*volume)),
        Target::Finished(_) => Err(Problem::error("the finished volume must be above zero").into()),
        Target::CoverParts => Err(Problem::error("only an immersion bath can be scaled to cover parts")
            .hint("say how much is wanted, such as `--to \"250 mL\"`")
            .into()),
    }
}

fn size_without_vessel(order: &Order, notes: &mut Vec<String>) -> Checked<BathSize> {
    match &order.target {
        Some(target) => size_of(target),
        None => methods::size(order, notes),
    }
}

fn middle(t: Span<ThermodynamicTemperature>) -> ThermodynamicTemperature {
    celsius((in_celsius(t.low) + in_celsius(t.high)) / 2.0)
}

fn bath_temperature(order: &Order) -> ThermodynamicTemperature {
    order.temperature.unwrap_or_else(|| middle(order.recipe.temperature))
}

/// Notes that follow from the recipe and its mixture.
fn recipe_notes(recipe: &Recipe, mixture: &Mixture, dosing: &Dosing) -> Vec<String> {
    let mut notes = Vec::new();
    if recipe.finish == Finish::Rust {
        // Chloride helps rusting most at 2 to 5 %: two published series, one with its maximum at 3 % NaCl, the other
        // flat to 5 % (paper abstracts read); more gives crystals, not rust.
        let salt = mixture.solutes.iter().find(|s| s.substance == "sodium_chloride");
        if let Some(salt) = salt {
            let percent = salt.fraction.best.in_percent();
            if percent > 5.0 {
                let lesser = in_grams(salt.mass.best) * 3.0 / percent;
                notes.push(format!(
                    "The salt makes {percent:.0} % of the bath; rusting gains little beyond 2 to 5 %, more leaves crystals: \
                     {lesser:.0} g of salt in all (about 3 %) is the lesser amount to try on a coupon"
                ));
            }
        }
    }
    if recipe.needs_air {
        notes.push(
            "This colour comes in air as the wet part dries, not under liquid: take it out between wettings".into(),
        );
    }
    if dosing.by_poured_volume {
        notes.push(format!(
            "Amounts are for {} of liquids as poured; the finished bath measures {}",
            volume_words(dosing.poured),
            volume_words(mixture.volume.best)
        ));
    } else {
        notes.push(format!(
            "Amounts are for {} of finished bath, from mass and density; the liquids as poured add up to {}",
            volume_words(mixture.volume.best),
            volume_words(dosing.poured)
        ));
    }
    notes
}

fn loading_note(order: &Order, immersion: Option<&Immersion>, mixture: &Mixture) -> Option<String> {
    let area = in_square_millimetres(immersion?.area?);
    let litres = in_millilitres(mixture.volume.best) / 1000.0;
    let loading = area / litres;
    let cm2 = loading / 100.0;
    match order.recipe.loading_mm2_per_l {
        Some(tried) if loading > tried => Some(format!(
            "Loading is {cm2:.0} cm² of part per litre, above the {:.0} the recipe was tried at: the bath tires sooner, look at it \
             every 12 hours and make it fresh when nothing moves",
            tried / 100.0
        )),
        Some(tried) => {
            Some(format!("Loading is {cm2:.0} cm² of part per litre; the recipe was tried up to {:.0}", tried / 100.0))
        }
        None => Some(format!(
            "Loading is {cm2:.0} cm² of part per litre; no figure is known for this recipe, compare with your coupon"
        )),
    }
}

fn age_notes(order: &Order) -> Vec<String> {
    let Some(start) = &order.start else { return Vec::new() };
    let used: Vec<&str> =
        order.recipe.ingredients.iter().filter_map(|i| i.ingredient.substance()).map(|s| s.id.as_ref()).collect();
    order
        .bench
        .stocks
        .iter()
        .filter_map(|stock| {
            let substance = stock.ingredient.substance()?;
            let opened = stock.opened?;
            let days = opened.until(start.date()).ok()?.get_days();
            // Peroxide and ammonia weaken once opened; how fast depends on the bottle, so the age is told and the
            // strength is not guessed: dosing and review both keep the label's figure.
            (days > 30 && used.contains(&substance.id.as_ref()) && matches!(substance.id.as_ref(), "hydrogen_peroxide" | "ammonia_aq"))
                .then(|| {
                    format!(
                        "The {} was opened {days} days before the start: it may have weakened, try a coupon first or open a fresh bottle",
                        stock.ingredient.line.name
                    )
                })
        })
        .collect()
}

/// Each note a sentence: a capital in front, a full stop behind.
fn sentences(notes: Vec<String>) -> Vec<String> {
    notes.iter().map(|note| sentence(note)).collect()
}

fn sentence(note: &str) -> String {
    let mut letters = note.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// "473 mL" or "1.89 L".
pub(crate) fn volume_words(v: Volume) -> String {
    let ml = in_millilitres(v);
    if ml >= 1000.0 { format!("{:.2} L", ml / 1000.0) } else { format!("{ml:.0} mL") }
}

/// FNV-1a over what went in: a name for this very plan, not a secret.
fn fingerprint(order: &Order, dosing: &Dosing) -> String {
    let mut text = format!("{}|{:?}|{:?}", order.recipe.id, order.start.as_ref().map(|s| s.to_string()), order.vessel);
    for d in &dosing.doses {
        text.push_str(&format!("|{}={}", d.name, d.exact));
    }
    for p in &order.parts {
        text.push_str(&format!("|{}x{}:{}", p.name, p.count, in_grams(p.mass.best)));
    }
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in text.bytes() {
        hash ^= u64::from(byte);
        hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
    }
    format!("{hash:016x}")
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

/// A recipe in a list: its review at its own strength, and what the shelf lacks for it.
#[derive(Debug, Clone)]
pub struct ListedRecipe {
    /// The recipe.
    pub recipe: Recipe,
    /// Its review at its own strength, on the first metal it is for, without a vessel.
    pub review: safety::Review,
    /// Ingredients that the bench's shelf lacks; empty without a bench.
    pub missing: Vec<String>,
}

/// Reviews a recipe at its own strength, as for a quarter of a litre. What is sprayed, fumed or buried is reviewed as
/// done out of doors, which those methods ask for.
pub fn list_recipe(recipe: Recipe, bench: Option<&Bench>) -> ListedRecipe {
    let outdoors = matches!(recipe.method, Method::Spray | Method::Fume | Method::Burial);
    let conditions = Conditions {
        temperature: Some(middle(recipe.temperature)),
        room: Room { outdoors, ..Room::default() },
        cover: Some(recipe.cover),
        method: recipe.method,
        parts: recipe
            .metals
            .first()
            .map(|m| PartFacts { name: m.name.to_string(), metal: Some(*m), binder: None })
            .into_iter()
            .collect(),
        meant_for: recipe.metals.clone(),
        recipe_temperature: Some(recipe.temperature.high),
        ..Conditions::default()
    };
    let ingredients = match doses(&recipe, &Bench::default(), BathSize::Finished(millilitres(LISTED_ML))) {
        Ok(dosing) => poured(&dosing),
        Err(_) => recipe.ingredients.iter().map(|i| i.ingredient.clone()).collect(),
    };
    let review = safety::check(&ingredients, &conditions);
    let missing = bench.map(|b| missing(&recipe, b)).unwrap_or_default();
    ListedRecipe { recipe, review, missing }
}

/// "5 h", "about 4 days": a long time to the nearest day, halves up.
pub(crate) fn days(length: SignedDuration) -> String {
    let hours = length.as_hours();
    if hours < 48 { timetable::in_words(length) } else { format!("about {} days", (hours + 12) / 24) }
}

/// Ingredients that the shelf lacks; water is always there.
fn missing(recipe: &Recipe, bench: &Bench) -> Vec<String> {
    recipe
        .ingredients
        .iter()
        .filter_map(|i| {
            let id = i.ingredient.substance()?.id.as_ref();
            let there =
                id == "water" || bench.stocks.iter().any(|s| s.ingredient.substance().is_some_and(|x| x.id == id));
            (!there).then(|| i.ingredient.line.name.clone())
        })
        .collect()
}
