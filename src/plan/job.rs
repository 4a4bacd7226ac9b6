//! The whole job in one timetable: rough print to sealed part.

use super::tumble::{TumbleOrder, TumblePlan, tumble_unreviewed};
use super::{Fingerprint, Plan, make};
use crate::amount::{MeasureSystem, Volume, in_millilitres, millilitres};
use crate::bath::{BathSize, Dosing};
use crate::diag::Checked;
use crate::finishing::Barrel;
use crate::order::{Order, Target};
use crate::part::Part;
use crate::recipe::{CareStage, Method, Recipe};
use crate::reference::{Ingredient, Past, read_past};
use crate::safety::{self, Outcome};
use crate::timetable::{self, Stage, Step};
use jiff::SignedDuration;
use std::sync::Arc;

/// What a whole job needs beyond the order of its bath.
#[derive(Debug, Clone, Default)]
pub struct WholeOrder {
    /// The barrel; without one the part is worked by hand.
    pub barrel: Option<Barrel>,
    /// Grits, 2 to 6; 4 when not said.
    pub grits: Option<u32>,
    /// Whether marks still show after the first grit.
    pub marks_show: bool,
    /// Planned length of a grit stage.
    pub stage: Option<SignedDuration>,
    /// Finest detail.
    pub detail: Option<crate::amount::Length>,
    /// Media size.
    pub media: Option<crate::amount::Length>,
    /// What the part is degreased with beyond soap and water.
    pub degrease: Vec<Past>,
}

/// The parts of a whole job around its bath.
#[derive(Debug, Clone)]
pub struct Whole {
    /// The load of the barrel, if there is one.
    pub tumbling: Option<TumblePlan>,
    /// The bath for the coupon.
    pub coupon: Option<Coupon>,
    /// What the part is degreased with beyond soap and water.
    pub degrease: Vec<Past>,
    /// What the part was washed with before that.
    pub washed: Vec<Past>,
    /// From the first step to the last.
    pub length: SignedDuration,
    /// From the first step to the part going in.
    pub before_the_bath: SignedDuration,
}

/// A small bath for a trial piece.
#[derive(Debug, Clone)]
pub struct Coupon {
    /// How much.
    pub volume: Volume,
    /// Doses.
    pub dosing: Dosing,
}

const HOUR: SignedDuration = SignedDuration::from_hours(1);
/// A print dries this long before it meets a bath (days are usual; our choice); metal an hour.
const DRY_PRINT: SignedDuration = SignedDuration::from_hours(48);
/// A coupon is judged dry, which takes it a day at most (our choice).
const JUDGE: SignedDuration = SignedDuration::from_hours(24);
/// A seal hardens before the part is handled (our choice; the sealer's label comes first).
const HARDEN: SignedDuration = SignedDuration::from_hours(72);
/// Bath of a coupon, mL: a small cup, or what brush and bottle need.
const COUPON_IMMERSION_ML: f64 = 100.0;
const COUPON_COAT_ML: f64 = 20.0;

fn plus(a: SignedDuration, b: SignedDuration) -> SignedDuration {
    a.checked_add(b).unwrap_or(a)
}

fn minus(a: SignedDuration, b: SignedDuration) -> SignedDuration {
    a.checked_sub(b).unwrap_or(a)
}

/// Up to whole days, so that work falls at the hour of the day the job began.
fn whole_days(length: SignedDuration) -> SignedDuration {
    let days = (length.as_secs() + 86_399) / 86_400;
    SignedDuration::from_hours(24).checked_mul(i32::try_from(days).unwrap_or(i32::MAX)).unwrap_or(length)
}

/// Plans a whole job. The order's start is when the job begins, not when the part goes in.
///
/// # Errors
/// As [`super::plan`] and [`super::tumble`].
pub fn plan_whole(order: &Order, whole: &WholeOrder) -> Checked<Outcome<Plan>> {
    let mut order = order.clone();
    // What degreases is still in the seams when the bath comes, unless it was washed out and dried.
    order.after.extend(whole.degrease.iter().cloned());
    bared_already(&mut order, whole);
    let mut plan = match make(&order)? {
        Err(review) => return Ok(Outcome::Refused(*review)),
        Ok(plan) => plan,
    };
    let tumbling =
        whole.barrel.as_ref().map(|barrel| tumble_unreviewed(&tumble_order(&order, whole, barrel))).transpose()?;
    let coupon = coupon(&order)?;
    let unsized_recipe = &super::prepared::prepared(&order);
    let bath = Bath { recipe: &plan.recipe, unsized_recipe, dosing: &plan.dosing, steps: &plan.timetable };
    let (timetable, before) = timetable(&bath, &order, whole, tumbling.as_ref(), coupon.as_ref());
    let last = end(&timetable);
    // The clock counts from the beginning of the job, the steps from the moment the part goes in.
    let from_start = timetable.into_iter().map(|s| Step { after: plus(s.after, before), ..s }).collect();
    let timed = timetable::with_clock(from_start, order.start.as_ref(), order.quiet);
    plan.timetable = timed.into_iter().map(|s| Step { after: minus(s.after, before), ..s }).collect();
    plan.fingerprint = Fingerprint::of(Arc::new((order.clone(), whole.clone())));
    if let Some(coupon) = &coupon {
        plan.disposal.volumes.push(("Coupon's bath".into(), in_millilitres(coupon.volume)));
    }
    if let Some(load) = &tumbling {
        let stages = load.tumbling.stages.iter().filter(|s| s.grit_tablespoons.is_some()).count() as f64;
        plan.disposal.volumes.push(("Slurry of the barrel, all grit stages".into(), load.slurry_ml * stages));
    }
    plan.whole = Some(Whole {
        tumbling,
        coupon,
        degrease: whole.degrease.clone(),
        // The barrel's soap, rinsed off.
        washed: read_past("dish soap, rinsed twice", MeasureSystem::Metric)?,
        length: plus(before, last),
        before_the_bath: before,
    });
    Ok(safety::review(plan))
}

/// The bath of a job, dosed and timed.
struct Bath<'a> {
    recipe: &'a Recipe,
    /// The recipe before its small baths were made large enough for the parts.
    unsized_recipe: &'a Recipe,
    dosing: &'a Dosing,
    steps: &'a [Step],
}

/// When the last step of a list is done.
fn end(steps: &[Step]) -> SignedDuration {
    steps.last().map_or(SignedDuration::ZERO, |s| plus(s.after, s.takes.unwrap_or(SignedDuration::ZERO)))
}

/// How long a whole job takes that is worked by hand, around the steps of its bath.
pub(super) fn by_hand(order: &Order, dosing: &Dosing, steps: &[Step]) -> SignedDuration {
    let bath = Bath { recipe: &order.recipe, unsized_recipe: &order.recipe, dosing, steps };
    let (steps, before) = timetable(&bath, order, &WholeOrder::default(), None, None);
    plus(before, end(&steps))
}

/// The surface was bared weeks before the bath: what the recipe says about sanding becomes a look.
fn bared_already(order: &mut Order, whole: &WholeOrder) {
    for step in &mut order.recipe.preparation {
        let text = step.what.to_lowercase();
        if step.stage == CareStage::Prepare && ["sand", "blast", "scour", "deburr"].iter().any(|w| text.contains(w)) {
            let how = if whole.barrel.is_some() { "The barrel has bared it" } else { "It was bared by hand" };
            step.what = format!(
                "{how}: hold it to the light and sand wet only where skin or rust shows; then no bare fingers."
            );
            step.on_prints = None;
            step.takes = Some(SignedDuration::from_mins(10));
        }
    }
}

fn tumble_order(order: &Order, whole: &WholeOrder, barrel: &Barrel) -> TumbleOrder {
    TumbleOrder {
        barrel: barrel.clone(),
        parts: order.parts.clone(),
        detail: whole.detail,
        media: whole.media,
        grits: whole.grits.unwrap_or(4),
        marks_show: whole.marks_show,
        stage: whole.stage,
        after: Vec::new(),
        room: order.bench.room,
        start: None,
        quiet: None,
    }
}

fn coupon(order: &Order) -> Checked<Option<Coupon>> {
    let ml = match order.recipe.method {
        Method::Immersion => COUPON_IMMERSION_ML,
        Method::Spray | Method::Brush => COUPON_COAT_ML,
        // Fuming and burial scale with their box: the coupon goes in first, alone.
        Method::Fume | Method::Burial => return Ok(None),
    };
    let mut small = order.clone();
    small.target = Some(Target::Finished(millilitres(ml)));
    let dosing = super::doses(&small, BathSize::Finished(millilitres(ml)))?;
    Ok(Some(Coupon { volume: millilitres(ml), dosing }))
}

/// Every step, with times from the moment the parts go in; and how long before that the job begins.
fn timetable(
    bath: &Bath<'_>,
    order: &Order,
    whole: &WholeOrder,
    tumbling: Option<&TumblePlan>,
    coupon: Option<&Coupon>,
) -> (Vec<Step>, SignedDuration) {
    let filled = order.parts.iter().any(|p| p.binder.is_some());
    // Counted from the beginning of the job first.
    let mut early = vec![
        Step::new(SignedDuration::ZERO, Stage::Prepare, if filled {
            "Print or cut a coupon of the same material, layer height and wall; everything that is done to the part is done to it first. Plug drain holes, weigh part and coupon, write the record."
        } else {
            "Cut a coupon of the same metal; everything that is done to the part is done to it first. Weigh part and coupon, write the record."
        })
        .taking(Some(HOUR)),
    ];
    let mut at = HOUR;
    match tumbling {
        Some(load) => {
            let begins = order.start.as_ref().and_then(|start| start.checked_add(at).ok());
            let hours = begins.as_ref().zip(order.quiet).map(|(begins, quiet)| timetable::Hours { begins, quiet });
            let (steps, length) = timetable::barrel(&load.tumbling, &load.parts, hours.as_ref());
            early.extend(steps.into_iter().map(|s| Step { after: plus(s.after, at), ..s }));
            at = plus(at, length);
        }
        None => {
            for line in crate::finishing::expose_metal(filled, false).iter().take(1) {
                early.push(
                    Step::new(at, Stage::Prepare, format!("{} {}", line.what, line.why)).taking(Some(line.takes)),
                );
                at = plus(at, line.takes);
            }
        }
    }
    let dry = if filled { DRY_PRINT } else { HOUR };
    early.push(
        Step::new(
            at,
            Stage::Dry,
            if filled { "Dry it until its mass has stayed the same for 24 hours." } else { "Dry it." },
        )
        .taking(Some(dry)),
    );
    at = whole_days(plus(at, dry));
    if !whole.degrease.is_empty() {
        let names: Vec<&str> = whole.degrease.iter().map(|p| p.ingredient.line.text.as_str()).collect();
        early.push(
            Step::new(
                at,
                Stage::Prepare,
                format!(
                    "Degrease part and coupon with {}, wiped off and dried before anything else.",
                    names.join(", ")
                ),
            )
            .taking(Some(SignedDuration::from_mins(20))),
        );
        at = plus(at, SignedDuration::from_mins(20));
    }
    at = trial(bath, order, coupon, &mut early, at);
    // The bath's own list begins before immersion; it has to fit behind the coupon.
    let lead = bath.steps.iter().map(|s| s.after).min().unwrap_or(SignedDuration::ZERO);
    let before = whole_days(plus(at, minus(SignedDuration::ZERO, lead)));
    let mut all: Vec<Step> = early.into_iter().map(|s| Step { after: minus(s.after, before), ..s }).collect();
    all.extend(after_the_coupon(bath));
    all.sort_by_key(|s| s.after);
    (all, before)
}

/// The coupon goes the whole way of the part before it: the recipe's own preparation, bath, looks, rinse and drying.
fn trial(
    bath: &Bath<'_>,
    order: &Order,
    coupon: Option<&Coupon>,
    early: &mut Vec<Step>,
    at: SignedDuration,
) -> SignedDuration {
    let piece: Vec<Part> =
        order.parts.iter().take(1).map(|p| Part { name: "coupon".into(), count: 1, lift: None, ..p.clone() }).collect();
    let dosing = coupon.map_or(bath.dosing, |c| &c.dosing);
    // It is dipped into baths of its own size, not of the parts'.
    let recipe = match coupon {
        Some(c) => super::care::enough_for(bath.unsized_recipe, in_millilitres(c.volume), None),
        None => bath.recipe.clone(),
    };
    let recipe = Recipe { temperature: super::asked_temperature(order), cover: bath.recipe.cover, ..recipe };
    let steps = timetable::build(&recipe, dosing, None, &piece);
    let lead = steps.iter().map(|s| s.after).min().unwrap_or(SignedDuration::ZERO);
    let begins = minus(at, lead);
    let mut judged = begins;
    let (mut made_up, mut dried) = (false, false);
    for step in steps {
        let takes = match step.stage {
            Stage::Seal | Stage::Dispose => continue,
            // Judged when it is dry, not watched for days.
            Stage::Look if dried => continue,
            // One line for its bath: the amounts stand in their own list.
            Stage::MakeUp if made_up => continue,
            // A coupon is small: it is dry in a day.
            Stage::Dry => step.takes.map(|t| t.min(JUDGE)),
            _ => step.takes,
        };
        dried |= step.stage == Stage::Dry;
        let what = match (step.stage, coupon) {
            (Stage::MakeUp, Some(c)) => {
                made_up = true;
                format!(
                    "Label, then make up the {:.0} mL listed for the coupon, in the order of the list.",
                    in_millilitres(c.volume)
                )
            }
            (Stage::MakeUp, None) => {
                made_up = true;
                "Label, then make up the bath; the coupon goes through box or packing alone, before the part."
                    .to_string()
            }
            (Stage::Look | Stage::Lift, _) => format!("{} Photograph it.", judged_by_itself(&step.what)),
            _ => step.what.clone(),
        };
        let after = plus(begins, step.after);
        judged = judged.max(plus(after, takes.unwrap_or(SignedDuration::ZERO)));
        early.push(Step { after, what, takes, part: Some("coupon".into()), ..step });
    }
    early.push(
        Step::new(
            judged,
            Stage::Look,
            "Judge the dry coupon, half of it waxed. Go on only if it is what you want; otherwise change one thing and make another.",
        )
        .about(Some("coupon".into())),
    );
    judged
}

/// A coupon is not compared with itself.
fn judged_by_itself(what: &str) -> String {
    what.replace("compare with the coupon", "write down the colour")
}

/// The bath's own steps, and the hardening of each part's seal.
fn after_the_coupon(bath: &Bath<'_>) -> Vec<Step> {
    let mut steps = bath.steps.to_vec();
    // Parts that come out at different times are sealed at different times.
    let mut sealed: Vec<(Option<String>, SignedDuration)> = Vec::new();
    for step in bath.steps.iter().filter(|s| s.stage == Stage::Seal) {
        let done = plus(step.after, step.takes.unwrap_or(HOUR));
        match sealed.iter_mut().find(|(part, _)| *part == step.part) {
            Some((_, last)) => *last = (*last).max(done),
            None => sealed.push((step.part.clone(), done)),
        }
    }
    for (part, done) in sealed {
        let what = "Let the seal harden as its label says; then fit the part, weigh it, photograph it beside the coupon and finish the record.";
        steps.push(Step::new(done, Stage::Dry, what).about(part).taking(Some(HARDEN)));
    }
    steps
}

/// What else a whole job makes, for its review: the barrel's runs, the coupon's bath, the degreasing.
pub(super) fn beside(plan: &Plan) -> Vec<(String, Vec<Ingredient>, safety::Conditions)> {
    let Some(whole) = &plan.whole else { return Vec::new() };
    let mut all = Vec::new();
    if let Some(load) = &whole.tumbling {
        all.push(("barrel".to_string(), load.grit_run.clone(), load.reviewed_as.clone()));
        all.push(("barrel's soap run".to_string(), load.soap_run.clone(), load.reviewed_as.clone()));
    }
    if let Some(c) = &whole.coupon {
        all.push(("coupon's bath".to_string(), super::poured(&c.dosing), plan.reviewed_as.clone()));
    }
    if !whole.degrease.is_empty() {
        let around = safety::Conditions {
            room: plan.reviewed_as.room,
            parts: plan.reviewed_as.parts.clone(),
            after: whole.washed.clone(),
            ..safety::Conditions::default()
        };
        let poured = whole.degrease.iter().map(|past| past.ingredient.clone());
        all.push(("degreasing".to_string(), poured.collect(), around));
    }
    all
}
