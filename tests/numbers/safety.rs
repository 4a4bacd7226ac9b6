//! The safety room against published hazard pairs, against mixtures that must not be refused, and rule by rule.

use super::super::support::{Case, at_least, grade, load};
use bathwright::safety::{Gravity, Verdict, rules};
use serde::Deserialize;

#[derive(Deserialize)]
struct Pair {
    id: String,
    rule: String,
    source: String,
    #[serde(flatten)]
    case: Case,
}

/// Each pair names its source in `tests/data/safety/pairs.yaml`.
#[test]
fn published_hazard_pairs_are_found() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    assert!(pairs.len() >= 80, "{}", pairs.len());
    let mut faults = Vec::new();
    for pair in &pairs {
        assert!(!pair.source.is_empty(), "{}", pair.id);
        let review = pair.case.review();
        let found = review.hazards.iter().find(|h| h.id == pair.rule).map(|h| h.gravity);
        if found < pair.case.at_least.as_deref().map(grade) {
            faults.push(format!("{}: {found:?} {:?}", pair.id, ids(&review)));
        }
        let wants_refusal = pair.case.at_least.as_deref() == Some("stop");
        if wants_refusal != (review.verdict == Verdict::Refuse) && wants_refusal {
            faults.push(format!("{}: {:?}", pair.id, review.verdict));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[derive(Deserialize)]
struct Harmless {
    id: String,
    source: String,
    /// `read`, `recalled` or `no source`.
    status: String,
    #[serde(flatten)]
    case: Case,
}

/// Each mixture names its source in `tests/data/safety/not_to_refuse.yaml`.
#[test]
fn ordinary_mixtures_are_not_drowned_in_alarms() {
    let all: Vec<Harmless> = load("safety/not_to_refuse.yaml");
    let published = all.iter().filter(|one| one.status != "no source").count();
    assert!(published >= 30, "{published}");
    let mut faults = Vec::new();
    for one in &all {
        assert!(!one.source.is_empty(), "{}", one.id);
        assert!(["read", "recalled", "no source"].contains(&one.status.as_str()), "{}", one.id);
        let review = one.case.review();
        let worst = review.hazards.first().map(|h| h.gravity);
        if worst > one.case.at_most.as_deref().map(grade) || worst < one.case.at_least.as_deref().map(grade) {
            faults.push(format!("{}: {worst:?} {:?}", one.id, ids(&review)));
        }
        let fine = matches!(review.verdict, Verdict::Fine | Verdict::Warn);
        if !fine {
            faults.push(format!("{}: {:?} {:?} {:?}", one.id, review.verdict, review.not_judged, review.unrecognised));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[derive(Deserialize)]
struct OfRule {
    rule: String,
    source: String,
    fires: Case,
    spares: Case,
}

#[test]
fn every_rule_has_a_case_that_fires_it_and_a_near_miss() {
    let cases: Vec<OfRule> = load("safety/rules.yaml");
    let mut faults = Vec::new();
    for rule in rules::all() {
        let id = rule.card.id.as_ref();
        if !cases.iter().any(|c| c.rule == id) {
            faults.push(format!("{id}: no case"));
        }
    }
    for case in &cases {
        assert!(!case.source.is_empty(), "{}", case.rule);
        let gravity = |c: &Case| c.review().hazards.iter().find(|h| h.id == case.rule).map(|h| h.gravity);
        let fired = gravity(&case.fires);
        if fired < case.fires.at_least.as_deref().map(grade) || fired.is_none() {
            faults.push(format!("{} does not fire: {fired:?}", case.rule));
        }
        let spared = gravity(&case.spares);
        if spared > case.spares.at_most.as_deref().map(grade) {
            faults.push(format!("{} not spared: {spared:?}", case.rule));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn ids(review: &bathwright::safety::Review) -> Vec<(String, Gravity)> {
    review.hazards.iter().map(|h| (h.id.clone(), h.gravity)).collect()
}

/// What no finding may lack, whatever the mixture: a source, something to do; and gravity within the range documented,
/// which what is only left of something before may stay below.
#[test]
fn every_finding_carries_source_and_action() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    let harmless: Vec<Harmless> = load("safety/not_to_refuse.yaml");
    let rules: Vec<OfRule> = load("safety/rules.yaml");
    let of_rules = rules.iter().flat_map(|r| [&r.fires, &r.spares]);
    let mut faults = Vec::new();
    for case in pairs.iter().map(|p| &p.case).chain(harmless.iter().map(|h| &h.case)).chain(of_rules) {
        for hazard in case.review().hazards {
            assert!(
                !hazard.sources.is_empty() && !hazard.actions.is_empty() && !hazard.why.is_empty(),
                "{}",
                hazard.id
            );
            let card = rules::find(&hazard.id).expect("a finding is of a rule").card;
            let [low, high] = card.range.map(rules::gravity);
            let low = if case.after.is_empty() { low } else { Gravity::Note };
            if !(low..=high).contains(&hazard.gravity) {
                faults.push(format!("{}: {:?} in {:?}", hazard.id, hazard.gravity, case.mix));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// A refusal names products and reasons, and no amount, strength or ratio of what was poured.
#[test]
fn a_refusal_shows_no_amounts() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    for pair in &pairs {
        let review = pair.case.review();
        if review.verdict != Verdict::Refuse {
            continue;
        }
        assert!(review.label.is_none(), "{}", pair.id);
        for hazard in &review.hazards {
            let text =
                [hazard.title.as_str(), &hazard.why].into_iter().chain(hazard.actions.iter().map(|a| a.as_str()));
            for text in text {
                // Names may hold numbers (1,1,1-trichloroethane); amounts and strengths come with a unit.
                for unit in ["%", " ml", " mL", " g ", " cup", " tbsp"] {
                    assert!(!text.contains(unit), "{}: {text}", pair.id);
                }
            }
        }
    }
}

/// Peracetic acid, oxygen pressure and hydrogen are named for the kitchen rust bath (common practice, no source).
#[test]
fn the_kitchen_rust_bath_warns_and_names_its_gases() {
    let all: Vec<Harmless> = load("safety/not_to_refuse.yaml");
    let bath = all.iter().find(|h| h.id == "vinegar-peroxide-salt-iron").expect("in the file");
    let review = bath.case.review();
    assert_eq!(review.verdict, Verdict::Warn);
    let products: Vec<&str> = review.hazards.iter().flat_map(|h| h.products.iter().map(|p| p.as_str())).collect();
    for product in ["peracetic acid", "oxygen", "hydrogen"] {
        assert!(products.contains(&product), "{product}: {products:?}");
    }
    assert!(review.hazards.iter().any(|h| h.actions.iter().any(|a| a.contains("Do not close"))));
    assert_eq!(at_least(&review), Gravity::Caution);
}

/// Stoichiometry worked by hand for a closed room of 30 m³, where a mole of gas is 802 ppm (24.06 L/mol at 20 °C): 10 g of
/// liver of sulphur as K2S3 (174.4 g/mol), 46 ppm of hydrogen sulfide; 10 g of metabisulfite (190.1 g/mol, two each), 84 ppm
/// of sulfur dioxide. 100 mL of bleach with 5 g of active chlorine in 100 g (70.9 g/mol) at 1.04 kg/L, as it is sold, 59 ppm
/// of chlorine; it would be 54 if the label meant sodium hypochlorite by mass and the bottle weighed 100 g.
#[test]
fn room_figures_follow_stoichiometry() {
    for (mix, rule, ppm) in [
        (["100 ml bleach 5 %", "1 L hydrochloric acid 10 %"], "hypochlorite-with-acid", 59.0),
        (["10 g liver of sulphur", "1 L white vinegar 5 %"], "sulfide-with-acid", 46.0),
        (["10 g sodium metabisulfite", "1 L hydrochloric acid 10 %"], "sulfite-with-acid", 84.0),
    ] {
        let case = Case { mix: mix.map(String::from).to_vec(), room_m3: Some(30.0), ..Case::default() };
        let review = case.review();
        let hazard = review.hazards.iter().find(|h| h.id == rule).expect("fires");
        let figure = hazard.numbers.iter().find(|(k, _)| k == "worst_case_ppm").expect("a room figure").1;
        assert!((figure - ppm).abs() / ppm < 0.01, "{rule}: {figure}");
    }
}
