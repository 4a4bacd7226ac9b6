//! Safety: facts in, findings out. Only this room makes a [`Reviewed`] value, and amounts are shown from nothing else.

mod advice;
mod around;
mod attack;
pub mod classify;
mod explain;
pub mod exposure;
pub mod facts;
pub mod label;
pub mod parts_played;
mod peracetic;
pub mod protection;
mod review;
pub mod rules;
mod shares;
pub mod stock;
mod unsaid;
mod vapour_pressure;
mod vapours;

pub use explain::{Explanation, explain, gravity_word, rule_ids, rule_table_markdown};
#[cfg(test)]
pub(crate) use review::withheld;
pub(crate) use review::{NO_FIGURE_SHOWN, NO_LIMIT_SHOWN};
pub use review::{check, check_with, findings, refusal, refuses};

use crate::amount::{Area, ThermodynamicTemperature, Volume};
use crate::reference::{Cover, Ingredient, Material, Method, Past, Room, Source};
use jiff::SignedDuration;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gravity {
    /// Everyday handling.
    Note,
    /// A named hazard and the condition that would make it worse.
    Caution,
    /// A prominent hazard with limits and the better alternative.
    StrongCaution,
    /// Not to be prepared.
    Stop,
}

/// The verdict on a mixture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Nothing above a note was found. Never called safe.
    Fine,
    /// Something could not be judged, and nothing worse was found.
    Unknown,
    /// At least one caution.
    Warn,
    /// At least one stop.
    Refuse,
}

/// A figure that goes with a finding: key with its unit suffix (`worst_case_ppm`), and value.
pub type Figure = (&'static str, f64);

/// One hazard found.
#[derive(Debug, Clone)]
pub struct Hazard {
    /// Rule name: states the hazard, never the advice.
    pub id: String,
    /// One line for the sheet.
    pub title: String,
    /// How grave.
    pub gravity: Gravity,
    /// What is made or set free.
    pub products: Vec<String>,
    /// Why it is dangerous, with the condition.
    pub why: String,
    /// What to do, gravest first.
    pub actions: Vec<String>,
    /// Figures.
    pub numbers: Vec<Figure>,
    /// Sources.
    pub sources: Vec<Source>,
}

/// A statement of the label, with its code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// `H319`, `P305+P351+P338`, `EUH031`.
    pub code: String,
    /// Its text.
    pub text: String,
}

/// The label of the bath as mixed.
#[derive(Debug, Clone)]
pub struct Label {
    /// `Danger`, `Warning`, or nothing.
    pub signal_word: Option<String>,
    /// `GHS05` ...
    pub pictograms: Vec<String>,
    /// Hazard classes and categories.
    pub classes: Vec<String>,
    /// Hazard statements.
    pub h: Vec<Statement>,
    /// Precautionary statements, selected.
    pub p: Vec<Statement>,
    /// What could not be classified.
    pub not_classified: Vec<String>,
}

/// What a gas or vapour would reach in the room.
#[derive(Debug, Clone)]
pub struct Exposure {
    /// The gas.
    pub gas: String,
    /// At once, by stoichiometry or saturated vapour, in the room named; `None` outdoors or not modelled.
    pub worst_case_ppm: Option<f64>,
    /// The limit compared with.
    pub limit_ppm: Option<f64>,
    /// Its name ("NIOSH REL ceiling").
    pub limit: String,
    /// Airflow that would hold it at the limit, m³/h.
    pub airflow_m3_h: Option<f64>,
    /// What to do when no room airflow will.
    pub advice: String,
}

/// A part as safety sees it.
#[derive(Debug, Clone)]
pub struct PartFacts {
    /// Its name.
    pub name: String,
    /// Metal or filler.
    pub metal: Option<&'static Material>,
    /// Binder.
    pub binder: Option<&'static Material>,
}

/// Everything around the mixture that matters for its review.
#[derive(Debug, Clone)]
pub struct Conditions {
    /// Temperature; `None` is assumed to be 20 °C and printed so.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Cover; `None` is assumed open and printed so.
    pub cover: Option<Cover>,
    /// Room.
    pub room: Room,
    /// Material of the vessel, when said.
    pub vessel: Option<&'static Material>,
    /// Whether there is a certain vessel, so that what it is made of matters even when that is not said.
    pub vessel_named: bool,
    /// What the vessel holds to the rim, for the headspace.
    pub capacity: Option<Volume>,
    /// Open surface of the liquid; `None` is assumed a jar 100 mm across and printed so.
    pub surface: Option<Area>,
    /// Parts.
    pub parts: Vec<PartFacts>,
    /// Ballast.
    pub ballast: Vec<&'static Material>,
    /// What hangs, holds or stirs.
    pub holders: Vec<&'static Material>,
    /// What part or vessel was in contact with before.
    pub after: Vec<Past>,
    /// How the liquid meets the part.
    pub method: Method,
    /// How long it is kept after use, if longer than the job; not the soak.
    pub kept: Option<SignedDuration>,
    /// Metals the recipe is for, with the recipe's title; empty when there is no recipe.
    pub meant_for: Vec<&'static Material>,
    /// The recipe's hottest temperature, and whether filled plastics take it and why not.
    pub recipe_temperature: Option<ThermodynamicTemperature>,
    /// Why filled plastics do not take the recipe, if they do not.
    pub no_filled_plastic: Option<String>,
    /// Why filled plastics take it only poorly, if so.
    pub poor_filled_plastic: Option<String>,
}

impl Default for Conditions {
    fn default() -> Self {
        Conditions {
            temperature: None,
            cover: None,
            room: Room::default(),
            vessel: None,
            vessel_named: false,
            capacity: None,
            surface: None,
            parts: Vec::new(),
            ballast: Vec::new(),
            holders: Vec::new(),
            after: Vec::new(),
            method: Method::Immersion,
            kept: None,
            meant_for: Vec::new(),
            recipe_temperature: None,
            no_filled_plastic: None,
            poor_filled_plastic: None,
        }
    }
}

/// What the review found.
#[derive(Debug, Clone)]
pub struct Review {
    /// The verdict.
    pub verdict: Verdict,
    /// Findings, gravest first, then by id.
    pub hazards: Vec<Hazard>,
    /// The label; `None` when refused or when nothing could be classified.
    pub label: Option<Label>,
    /// Exposure figures.
    pub exposure: Vec<Exposure>,
    /// Protective equipment, each with what it is for.
    pub ppe: Vec<String>,
    /// First response by route, each with "call your poison centre or emergency number".
    pub first_response: Vec<String>,
    /// Storage.
    pub storage: Vec<String>,
    /// Disposal.
    pub disposal: Vec<String>,
    /// Lines that were not recognised, with the question what the label lists.
    pub unrecognised: Vec<String>,
    /// What could not be judged.
    pub not_judged: Vec<String>,
    /// What was assumed: (what, value).
    pub assumed: Vec<(String, String)>,
}

/// A value that can be reviewed: it names everything that will be in the vessel.
pub trait Reviewable {
    /// Every ingredient with its amount, in the order of pouring.
    fn ingredients(&self) -> Vec<Ingredient>;
    /// Everything around it.
    fn conditions(&self) -> Conditions;
    /// Other mixtures the same job makes, such as a neutralising bath: what each is called, what is in it, what is around
    /// it. A stop in one of them refuses the whole.
    fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
        Vec::new()
    }
}

/// A value that the safety review has passed. Only [`review`] makes one.
#[derive(Debug, Clone)]
pub struct Reviewed<T> {
    value: T,
    review: Review,
}

impl<T> Reviewed<T> {
    /// The value.
    pub fn value(&self) -> &T {
        &self.value
    }

    /// What the review found.
    pub fn review(&self) -> &Review {
        &self.review
    }

    /// For tests of the renderers: a value with a review written by hand.
    #[cfg(test)]
    pub(crate) fn for_tests(value: T, review: Review) -> Self {
        Reviewed { value, review }
    }
}

/// Passed with its findings, or refused: then the value is gone, and with it every amount.
#[derive(Debug, Clone)]
pub enum Outcome<T> {
    /// May be shown, with its review.
    Passed(Reviewed<T>),
    /// Refused: reasons, no amounts.
    Refused(Review),
}

/// Reviews a value. This is the only way to a [`Reviewed`] value.
pub fn review<T: Reviewable>(value: T) -> Outcome<T> {
    let rules = rules::all();
    let mut review = review::judge(rules, &value.ingredients(), &value.conditions());
    for (what, ingredients, conditions) in value.beside() {
        let closed = conditions.cover == Some(Cover::Sealed);
        add(&mut review, &what, closed, review::judge(rules, &ingredients, &conditions));
    }
    let review = review::withheld(review);
    if review.verdict == Verdict::Refuse {
        Outcome::Refused(review)
    } else {
        Outcome::Passed(Reviewed { value, review })
    }
}

/// Adds what was found in a mixture beside the bath. The label stays the bath's, and a note is not said twice: what an
/// open bath beside it gets as a note is everyday handling, what a closed vessel gets (a barrel that can make gas) is not.
/// Where it is the mixture beside that is refused, its protection and first response count.
fn add(review: &mut Review, what: &str, closed: bool, other: Review) {
    if other.verdict == Verdict::Refuse && review.verdict != Verdict::Refuse {
        (review.ppe, review.first_response) = (other.ppe, other.first_response);
    }
    review.verdict = review.verdict.max(other.verdict);
    for mut hazard in other.hazards.into_iter().filter(|h| closed || h.gravity > Gravity::Note) {
        if !review.hazards.iter().any(|h| h.id == hazard.id && h.gravity >= hazard.gravity) {
            hazard.why = format!("In the {what}: {}", hazard.why);
            review.hazards.push(hazard);
        }
    }
    review.hazards.sort_by(|a, b| b.gravity.cmp(&a.gravity).then_with(|| a.id.cmp(&b.id)));
    let merge = |into: &mut Vec<String>, from: Vec<String>| {
        for line in from {
            if !into.contains(&line) {
                into.push(line);
            }
        }
    };
    merge(&mut review.unrecognised, other.unrecognised);
    let new = other.not_judged.into_iter().filter(|n| !review.not_judged.contains(n));
    let new: Vec<String> = new.map(|n| format!("in the {what}: {n}")).collect();
    merge(&mut review.not_judged, new);
}

/// Why this material may not lie, hang or stir in this bath, if it may not: attacked by it, or staining the part's metal.
pub fn forbids(ingredients: &[Ingredient], parts: &[PartFacts], material: &Material) -> Option<String> {
    let conditions = Conditions::default();
    let facts = facts::facts(ingredients, &conditions);
    let metals: Vec<_> = parts.iter().filter_map(|p| p.metal.and_then(|m| m.family)).collect();
    attack::Bath::of(&facts).attacks(material).or_else(|| attack::stains(material, &metals))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::MeasureSystem;
    use crate::reference::read_ingredient;

    fn mix(lines: &[&str]) -> Vec<Ingredient> {
        lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).expect("a plain line")).collect()
    }

    /// A bath and what the same job makes beside it.
    struct Job([&'static [&'static str]; 2]);

    impl Reviewable for Job {
        fn ingredients(&self) -> Vec<Ingredient> {
            mix(self.0[0])
        }

        fn conditions(&self) -> Conditions {
            Conditions::default()
        }

        fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
            vec![("rinse".to_string(), mix(self.0[1]), Conditions::default())]
        }
    }

    fn refused(job: Job) -> Review {
        match review(job) {
            Outcome::Refused(review) => review,
            Outcome::Passed(_) => panic!("passed"),
        }
    }

    const KITCHEN: &[&str] = &["60 ml vinegar 5 %", "60 ml hydrogen peroxide 3 %", "10 ml ammonia 20 %"];
    const CHLORINE: &[&str] = &["100 ml bleach 5 %", "50 ml vinegar 5 %"];

    #[test]
    fn a_refusal_beside_the_job_keeps_the_findings_of_both_and_says_where() {
        let review = refused(Job([KITCHEN, CHLORINE]));
        let of = |id: &str| review.hazards.iter().find(|h| h.id == id).unwrap_or_else(|| panic!("no {id}"));
        assert!(of("hypochlorite-with-acid").why.starts_with("In the rinse: "));
        assert!(!of("peracetic-acid").why.starts_with("In the "));
        assert_eq!(review.hazards[0].gravity, Gravity::Stop);
    }

    #[test]
    fn no_threshold_and_no_amount_stands_in_a_refusal_wherever_it_was_found() {
        for job in [Job([KITCHEN, CHLORINE]), Job([CHLORINE, KITCHEN])] {
            let review = refused(job);
            let keys = review.hazards.iter().flat_map(|h| &h.numbers).map(|(key, _)| *key);
            let keys: Vec<&str> = keys.collect();
            assert!(keys.contains(&"gas_ml"), "{keys:?}");
            for key in keys {
                assert!(review::SHOWN.contains(&key) || key == review::JUDGED_AT, "{key}");
                for hidden in ["percent", "limit", "idlh", "kpa", "from", "spills", "_g"] {
                    assert!(!key.contains(hidden), "{key}");
                }
            }
            assert!(!review.exposure.is_empty());
            for row in &review.exposure {
                assert!(row.limit_ppm.is_none() && row.airflow_m3_h.is_none(), "{row:?}");
                assert!(!row.limit.chars().chain(row.advice.chars()).any(|c| c.is_ascii_digit()), "{row:?}");
            }
            assert!(review.label.is_none() && review.storage.is_empty());
        }
    }
}
