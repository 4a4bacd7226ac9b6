//! The whole list of steps, in order of time after immersion.

use super::care::{after_the_bath, before_the_bath};
use super::soak::{Leaving, leaving, soak_steps};
use super::{Stage, Step, in_words};
use crate::amount::in_celsius;
use crate::bath::Dosing;
use crate::immersion::Immersion;
use crate::part::{Part, Side};
use crate::recipe::{Method, Recipe};
use crate::reference::Cover;
use jiff::SignedDuration;

/// Time set aside for weighing, pouring and stirring one ingredient. Our choice, generous for one person.
pub(super) const ONE_POUR: SignedDuration = SignedDuration::from_mins(3);

/// Every step of the job, in order of time; times count from immersion. Amounts are named, never stated: they stand
/// in the doses.
pub fn build(recipe: &Recipe, dosing: &Dosing, immersion: Option<&Immersion>, parts: &[Part]) -> Vec<Step> {
    let groups = leaving(recipe, parts);
    let made_up = make_up(recipe, dosing, immersion);
    let first_pour = made_up.first().map_or(SignedDuration::ZERO, |s| s.after);
    let mut steps = before_the_bath(recipe, first_pour);
    steps.extend(made_up);
    steps.push(into_the_bath(recipe, immersion, parts));
    steps.extend(soak_steps(recipe, immersion, &groups));
    steps.extend(after_the_bath(recipe, &groups, parts));
    // Stable: steps of one time keep the order in which they were put in (lift, top up, then care).
    steps.sort_by_key(|s| s.after);
    steps
}

/// Making up: one step an ingredient, in the order of pouring, ending at immersion.
fn make_up(recipe: &Recipe, dosing: &Dosing, immersion: Option<&Immersion>) -> Vec<Step> {
    let count = dosing.doses.len();
    let before = |pours_left: usize| {
        ONE_POUR
            .checked_mul(i32::try_from(pours_left).unwrap_or(i32::MAX))
            .and_then(|d| SignedDuration::ZERO.checked_sub(d))
            .unwrap_or(SignedDuration::ZERO)
    };
    let mut label =
        String::from("Put on what the protection list asks for. Write the label and stick it on before filling.");
    if immersion.is_some() {
        label.push_str(" Mark the fill line on the vessel.");
    }
    // Water is warmed before anything goes into it; a bath that begins with something else is warmed when it is made up.
    let water_first = dosing.doses.first().is_some_and(|d| d.ingredient.substance().is_some_and(|s| s.id == "water"));
    let warming = warming(recipe, water_first);
    let warm_behind = if water_first { 1 } else { count };
    let warmed = warming.as_ref().and_then(|s| s.takes).unwrap_or(SignedDuration::ZERO);
    let earlier = |at: SignedDuration| at.checked_sub(warmed).unwrap_or(at);
    let mut steps = vec![Step::new(earlier(before(count + 1)), Stage::MakeUp, label).taking(Some(ONE_POUR))];
    for (i, dose) in dosing.doses.iter().enumerate() {
        let verb = if i == 0 { "Pour in" } else { "Add, stirring:" };
        let mut what = format!("{verb} {} (line {} of the amounts).", dose.name, i + 1);
        if i + 1 == count {
            match recipe.use_within {
                Some(limit) if recipe.outlasts_its_limit() => {
                    what.push_str(&format!(" The part goes in within {} of this.", in_words(limit)));
                }
                Some(limit) => what.push_str(&format!(" Use the bath within {} of this.", in_words(limit))),
                None => what.push_str(" Stir until even."),
            }
        }
        if i + 1 == count && warming.is_some() && water_first {
            what.push_str(&format!(" The part goes in when the thermometer reads {} again.", degrees(recipe)));
        }
        let at = before(count - i);
        let at = if i < warm_behind { earlier(at) } else { at };
        steps.push(Step::new(at, Stage::MakeUp, what).taking(Some(ONE_POUR)));
    }
    if let Some(step) = warming {
        let at = warm_behind.min(steps.len() - 1) + 1;
        steps.insert(at, Step { after: earlier(before(count - warm_behind.min(count))), ..step });
    }
    steps
}

/// How a bath is warmed, and how never.
pub(crate) const WARMING: &str = "Only by standing the vessel in warm water with a thermometer in the bath; never a microwave, \
     a flame, or a hotplate under plastic or under peroxide.";

/// A room is no warmer than this, °C: from here up a bath is warmed (our choice).
const ROOM_UP_TO_C: f64 = 30.0;
/// Warm water from the tap reaches this, °C; above it a pan on the stove is needed (our choice).
const TAP_UP_TO_C: f64 = 50.0;
/// A bath that stands in boiling water hardly gets warmer than this, °C (working knowledge, no source).
const JACKET_UP_TO_C: f64 = 85.0;

/// Warming the bath to the temperature of its recipe; `None` when a room will do. Its time is set aside, our choice: how
/// long it takes depends on how much there is.
fn warming(recipe: &Recipe, water_first: bool) -> Option<Step> {
    let low = in_celsius(recipe.temperature.low);
    if !is_warmed(recipe) {
        return None;
    }
    let what = if water_first { "this water" } else { "the bath" };
    let mut text = format!("Warm {what} to {}. {WARMING}", degrees(recipe));
    if low > TAP_UP_TO_C {
        text.push_str(
            " This hot, it needs a vessel sold for heating (borosilicate glass or sound enamel; no jar, no plastic), on a \
             trivet in a larger pan of water: begin with both cold, lid loose, on a steady electric plate, good air, never \
             left alone. It scalds: face shield, long sleeves, heat-proof gloves, tongs; nobody carries it hot.",
        );
    }
    if in_celsius(recipe.temperature.high) > JACKET_UP_TO_C {
        text.push_str(
            " A pan of boiling water brings it to about 90 °C and hardly beyond, less in the mountains. Where it does not \
             get there, leave this recipe: what it does cooler is not known.",
        );
    }
    let takes = if low > TAP_UP_TO_C { SignedDuration::from_hours(1) } else { SignedDuration::from_mins(30) };
    Some(Step::new(SignedDuration::ZERO, Stage::Warm, text).taking(Some(takes)))
}

/// Whether the bath is warmer than a room.
pub(super) fn is_warmed(recipe: &Recipe) -> bool {
    in_celsius(recipe.temperature.low) > ROOM_UP_TO_C
}

/// The recipe's temperature in words.
fn degrees(recipe: &Recipe) -> String {
    let (low, high) = (in_celsius(recipe.temperature.low), in_celsius(recipe.temperature.high));
    if high - low < 0.5 { format!("{low:.0} °C") } else { format!("{low:.0} to {high:.0} °C") }
}

fn into_the_bath(recipe: &Recipe, immersion: Option<&Immersion>, parts: &[Part]) -> Step {
    let what = names(parts);
    let mut text = match recipe.method {
        Method::Immersion => match immersion {
            Some(found) => immersed(found),
            None => format!("Lower {what} into the bath and turn out the air bubbles."),
        },
        Method::Spray => format!("Spray the first thin coat on {what}.{}", coats(recipe)),
        Method::Brush => format!("Brush the first thin coat on {what}.{}", coats(recipe)),
        Method::Fume => format!("Set {what} into the box above the liquid, touching neither liquid nor each other."),
        Method::Burial => format!("Bury {what} in the dampened packing, covered on all sides."),
    };
    if matches!(recipe.method, Method::Immersion | Method::Fume | Method::Burial) {
        text.push_str(match recipe.cover {
            Cover::Open => " Leave the vessel open.",
            Cover::Loose => " Cover loosely, so that gas gets out and nothing falls in.",
            Cover::Sealed => " Close the lid.",
        });
    }
    if recipe.soak.is_empty() && parts.iter().all(|p| p.lift.is_none()) {
        text.push_str(" The recipe names no times: look often and go by the coupon.");
    }
    Step::new(SignedDuration::ZERO, Stage::Immerse, text)
}

fn immersed(found: &Immersion) -> String {
    let mut sides: Vec<String> = Vec::new();
    for p in &found.parts {
        let up = match p.up {
            Side::PlusZ => "as it stands".to_string(),
            other => format!("{} up", side(other)),
        };
        sides.push(format!("{} ({up})", counted(&p.name, p.count)));
    }
    let mut text = format!("Lower in {} slowly and turn out the air bubbles.", list(&sides));
    let ballast: Vec<String> = found
        .ballast
        .iter()
        .map(|b| match (b.count, b.each) {
            (Some(n), Some(each)) if each < n => format!("{} on {} ({each} each)", counted(&b.thing, n), b.holds),
            (Some(n), _) => format!("{} on {}", counted(&b.thing, n), b.holds),
            (None, _) => format!("{} as weighed out on {}", b.thing, b.holds),
        })
        .collect();
    if !ballast.is_empty() {
        text.push_str(&format!(" Put on the ballast: {}.", list(&ballast)));
    }
    text.push_str(" Check that everything stays under and that the level stands at the fill line.");
    text
}

fn coats(recipe: &Recipe) -> String {
    match recipe.coats {
        Some((count, _)) => {
            let number = if count.low == count.high {
                count.low.to_string()
            } else {
                format!("{} to {}", count.low, count.high)
            };
            let before = if recipe.needs_air { "dry" } else { "looked at and rinsed" };
            format!(" {number} coats in all, each {before} before the next.")
        }
        None => String::new(),
    }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::PlusX => "side +x",
        Side::MinusX => "side -x",
        Side::PlusY => "side +y",
        Side::MinusY => "side -y",
        Side::PlusZ => "side +z",
        Side::MinusZ => "side -z",
    }
}

/// "2 × drawer pull", "plaque".
pub(super) fn counted(name: &str, count: u32) -> String {
    if count == 1 { name.to_string() } else { format!("{count} \u{d7} {name}") }
}

/// All parts by name.
pub(super) fn names(parts: &[Part]) -> String {
    if parts.is_empty() {
        return "the parts".into();
    }
    list(&parts.iter().map(|p| counted(&p.name, p.count)).collect::<Vec<_>>())
}

/// "a", "a and b", "a, b and c".
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// The last moment at which something is still in the bath; `None` when nobody knows.
pub(super) fn end_of_soak(groups: &[Leaving<'_>]) -> Option<SignedDuration> {
    groups.iter().filter_map(|g| g.at).max()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, Span, celsius, millilitres};
    use crate::reference::read_ingredient;
    use crate::timetable::fixture;

    fn told(steps: &[Step], stage: Stage) -> Vec<(i64, &str, Option<&str>)> {
        let of_stage = steps.iter().filter(|s| s.stage == stage);
        of_stage.map(|s| (s.after.as_mins(), s.what.as_str(), s.part.as_deref())).collect()
    }

    #[test]
    fn the_whole_job_is_listed_in_order_of_time() {
        let recipe = fixture::recipe();
        let found = fixture::immersion();
        let steps = build(&recipe, &fixture::dosing(), Some(&found), &fixture::parts());
        assert!(steps.windows(2).all(|w| w[0].after <= w[1].after));
        // Four pours and the label, three minutes each, end at immersion; preparation ends at the first of them.
        assert_eq!(told(&steps, Stage::MakeUp).iter().map(|s| s.0).collect::<Vec<_>>(), [-15, -12, -9, -6, -3]);
        assert_eq!(told(&steps, Stage::Prepare).iter().map(|s| s.0).collect::<Vec<_>>(), [-65, -35]);
        assert!(told(&steps, Stage::MakeUp)[3].1.contains("hydrogen peroxide 3 % (line 3 of the amounts)"));
        let into = told(&steps, Stage::Immerse);
        assert!(into[0].1.contains("10 \u{d7} glass marble") && into[0].1.contains("Cover loosely"), "{into:?}");
        let looks = told(&steps, Stage::Look);
        assert_eq!(looks.iter().map(|s| s.0).collect::<Vec<_>>(), [12 * 60, 96 * 60 + 10]);
        assert!(looks[1].1.starts_with("Watch it for two days"), "{looks:?}");
        let lifts = told(&steps, Stage::Lift);
        assert_eq!(lifts.iter().map(|s| s.0).collect::<Vec<_>>(), [24 * 60, 48 * 60]);
        assert!(lifts[1].1.contains("for good") && lifts[1].1.contains("end of the soak"));
        assert_eq!(told(&steps, Stage::Neutralise)[0].0, 48 * 60 + 5);
        assert!(told(&steps, Stage::Neutralise)[0].1.contains("Uses: 1 tbsp baking soda, 1 L water."));
        assert_eq!(told(&steps, Stage::Seal)[0].0, 144 * 60 + 10);
        assert_eq!(told(&steps, Stage::Dispose).len(), 1);
    }

    #[test]
    fn a_part_with_its_own_lift_leaves_then_and_is_looked_after_then() {
        let mut parts = fixture::parts();
        parts.push(Part { name: "plaque".into(), count: 1, ..parts[0].clone() });
        parts[1].lift = Some(Span { low: SignedDuration::from_hours(6), high: SignedDuration::from_hours(24) });
        let mut found = fixture::immersion();
        found.lifts[0].out = vec!["plaque".into()];
        found.lifts[0].covered = false;
        found.lifts[0].reserve = millilitres(60.0);
        let steps = build(&fixture::recipe(), &fixture::dosing(), Some(&found), &parts);
        let of_plaque: Vec<_> = steps
            .iter()
            .filter(|s| s.part.as_deref() == Some("plaque"))
            .map(|s| (s.after.as_hours(), s.stage))
            .collect();
        assert_eq!(
            of_plaque,
            [
                (6, Stage::Look),
                (24, Stage::Lift),
                (24, Stage::Rinse),
                (24, Stage::Neutralise),
                (24, Stage::Dry),
                (72, Stage::Look),
                (120, Stage::Seal)
            ]
        );
        // The recipe's lift at 24 h is then only about the pull, and the bath is dealt with once, at the very end.
        assert!(steps.iter().any(|s| s.after.as_hours() == 24
            && s.stage == Stage::Lift
            && s.part.as_deref() == Some("drawer pull")
            && s.what.contains("put back")));
        assert!(told(&steps, Stage::TopUp)[0].1.contains("With plaque out"));
        assert_eq!(told(&steps, Stage::Dispose).len(), 1);
        let dispose = steps.iter().find(|s| s.stage == Stage::Dispose).map(|s| s.after.as_mins());
        assert_eq!(dispose, Some(48 * 60 + 10), "when the last part is rinsed and neutralised, not when it is sealed");
    }

    #[test]
    fn nothing_is_looked_at_after_the_last_part_left() {
        let mut parts = fixture::parts();
        parts[0].lift = Some(Span::one(SignedDuration::from_hours(20)));
        let steps = build(&fixture::recipe(), &fixture::dosing(), Some(&fixture::immersion()), &parts);
        assert_eq!(told(&steps, Stage::Lift).iter().map(|s| s.0).collect::<Vec<_>>(), [20 * 60]);
        let soaking = told(&steps, Stage::Look).into_iter().filter(|s| !s.1.starts_with("Watch")).count();
        assert_eq!(soaking, 1);
    }

    #[test]
    fn evaporation_is_topped_up_with_water_every_day_before_the_end() {
        let mut found = fixture::immersion();
        found.daily_top_up = Some(millilitres(9.0));
        let steps = build(&fixture::recipe(), &fixture::dosing(), Some(&found), &fixture::parts());
        let ups = told(&steps, Stage::TopUp);
        assert_eq!(ups.iter().map(|s| s.0).collect::<Vec<_>>(), [24 * 60]);
        assert!(ups[0].1.contains("water alone"));
    }

    #[test]
    fn a_formula_without_times_says_so_and_still_ends_with_rinse_and_disposal() {
        let mut recipe = fixture::recipe();
        recipe.soak.clear();
        recipe.aftercare.clear();
        recipe.preparation.clear();
        let steps = build(&recipe, &fixture::dosing(), None, &fixture::parts());
        assert!(told(&steps, Stage::Immerse)[0].1.contains("names no times"));
        assert!(told(&steps, Stage::Rinse)[0].1.starts_with("When it is out: "));
        assert_eq!(told(&steps, Stage::Dispose).len(), 1);
    }

    #[test]
    fn a_bath_warmer_than_a_room_is_warmed_and_read_before_the_part_goes_in() {
        let mut recipe = fixture::recipe();
        let mut dosing = fixture::dosing();
        dosing.doses[0].ingredient = read_ingredient("1 cup water", MeasureSystem::Us).unwrap();
        let steps = |recipe: &Recipe, dosing: &Dosing| {
            let steps = build(recipe, dosing, Some(&fixture::immersion()), &fixture::parts());
            let makes = steps.iter().filter(|s| matches!(s.stage, Stage::MakeUp | Stage::Warm));
            let made = makes.map(|s| (s.after.as_mins(), s.what.clone())).collect::<Vec<_>>();
            (made, told(&steps, Stage::Dispose)[0].1.to_string())
        };
        let (made, end) = steps(&recipe, &dosing);
        assert!(!made.iter().any(|s| s.1.contains("thermometer")) && !end.contains("cool"));
        recipe.temperature = Span { low: celsius(90.0), high: celsius(98.0) };
        let (hot, end) = steps(&recipe, &dosing);
        assert!(end.starts_with("Let the bath cool where it stands, uncovered, first."), "{end}");
        // Label, the water, an hour to warm it, then the other three.
        assert_eq!(hot.iter().map(|s| s.0).collect::<Vec<_>>(), [-75, -72, -69, -9, -6, -3]);
        assert!(hot[2].1.contains("this water to 90 to 98 °C") && hot[2].1.contains("never a microwave"), "{hot:?}");
        assert!(hot[2].1.contains("scalds") && hot[5].1.contains("reads 90 to 98 °C again"), "{hot:?}");
        recipe.temperature = Span::one(celsius(38.0));
        let (warm, _) = steps(&recipe, &dosing);
        assert!(warm[2].1.contains("38 °C") && !warm[2].1.contains("scalds"));
        // A bath that does not begin with water is warmed when it is made up.
        dosing.doses.remove(0);
        let (late, _) = steps(&recipe, &dosing);
        assert_eq!(late.iter().map(|s| s.0).collect::<Vec<_>>(), [-42, -39, -36, -33, -30]);
        assert!(late[4].1.contains("the bath to 38 °C"));
    }

    #[test]
    fn coats_are_counted_for_spray_and_brush() {
        let mut recipe = fixture::recipe();
        recipe.method = Method::Spray;
        recipe.coats = Some((Span { low: 3, high: 6 }, Span { low: 50.0, high: 100.0 }));
        let steps = build(&recipe, &fixture::dosing(), None, &fixture::parts());
        assert!(told(&steps, Stage::Immerse)[0].1.contains("3 to 6 coats"));
    }
}
