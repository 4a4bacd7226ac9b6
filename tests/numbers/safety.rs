//! The safety room against published hazard pairs, against mixtures that must not be refused, and rule by rule.

use super::super::support::{Case, at_least, grade, ingredient, load};
use bathwright::amount::celsius;
use bathwright::bath::MixConditions;
use bathwright::safety::{Conditions, Gravity, Verdict, check, rules};
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

/// What no finding may lack, whatever the mixture: a source, something to do, figures (but for primary explosives, of which
/// a finding names the members and stops there); and gravity within the range documented, which what is only left of
/// something before may stay below.
#[test]
fn every_finding_carries_source_action_and_figures() {
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
            if hazard.numbers.is_empty() != rules::explosive(card) {
                faults.push(format!("{}: {:?} in {:?}", hazard.id, hazard.numbers, case.mix));
            }
            for (key, value) in &hazard.numbers {
                let unit =
                    ["_ml", "_ppm", "_c", "_kpa", "_percent", "_g", "_mg_m3", "_min"].iter().any(|u| key.ends_with(u));
                let count = [
                    "ph",
                    "rinses",
                    "hazard_classes",
                    "names_not_known",
                    "strengths_not_known",
                    "epa_group",
                    "with_epa_group",
                ];
                assert!((unit || count.contains(key)) && value.is_finite(), "{}: {key} {value}", hazard.id);
            }
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
/// What a property test found: strength added to a stock must not hide the water in it or the heat it brings, and a
/// strength that is not said counts as any. Each mix is at least as grave as the one before it.
#[test]
fn neither_a_higher_nor_a_missing_strength_hides_water_or_heat() {
    let gravity = |mix: &[&str]| {
        let mix: Vec<_> = mix.iter().map(|line| ingredient(line)).collect();
        at_least(&check(&mix, &Conditions::default()))
    };
    for (first, strengths) in [
        ("546 ml sulfuric acid 60 %", ["813 ml formic acid 5 %", "813 ml formic acid 95 %", "813 ml formic acid"]),
        (
            "596 ml sulfuric acid 60 %",
            ["596 ml sulfuric acid 10 %", "596 ml sulfuric acid 95 %", "596 ml sulfuric acid"],
        ),
        (
            "500 ml sulfuric acid 96 %",
            ["1 L citric acid solution 20 %", "1 L citric acid solution 60 %", "1 L citric acid solution"],
        ),
        (
            "56 g sodium dithionite",
            ["215 ml sodium silicate 1 %", "215 ml sodium silicate 40 %", "215 ml sodium silicate"],
        ),
        ("449 g ferric chloride", ["1664 ml lactic acid 10 %", "1664 ml lactic acid 80 %", "1664 ml lactic acid"]),
        (
            "178 ml sodium silicate 12 %",
            ["1433 ml thioglycolic acid 5 %", "1433 ml thioglycolic acid 80 %", "1433 ml thioglycolic acid"],
        ),
    ] {
        let graver: Vec<Gravity> = strengths.iter().map(|second| gravity(&[first, second])).collect();
        assert!(graver.is_sorted() && graver[0] > Gravity::Note, "{first} with {strengths:?}: {graver:?}");
    }
}

#[test]
fn room_figures_follow_stoichiometry() {
    // An upper bound takes the label half a unit higher (5.5 for 5 %) and the error of a measuring jug or a scale, 1 %
    // (common practice, no source).
    for (mix, rule, ppm, over) in [
        (["100 ml bleach 5 %", "1 L hydrochloric acid 10 %"], "hypochlorite-with-acid", 59.0, 1.1 * 1.01),
        (["10 g liver of sulphur", "1 L white vinegar 5 %"], "sulfide-with-acid", 46.0, 1.01),
        (["10 g sodium metabisulfite", "1 L hydrochloric acid 10 %"], "sulfite-with-acid", 84.0, 1.01),
    ] {
        let ppm: f64 = ppm * over;
        let case = Case { mix: mix.map(String::from).to_vec(), room_m3: Some(30.0), ..Case::default() };
        let review = case.review();
        let hazard = review.hazards.iter().find(|h| h.id == rule).expect("fires");
        let figure = hazard.numbers.iter().find(|(k, _)| *k == "worst_case_ppm").expect("a room figure").1;
        assert!((figure - ppm).abs() / ppm < 0.01, "{rule}: {figure}");
    }
}

/// What a room cannot hold is never fine: limits of OSHA and NIOSH, IDLH of NIOSH, as `shared/exposure.yaml` has them;
/// the bar of ten times the IDLH is our own (SAFETY.md).
#[test]
fn what_the_air_of_a_room_cannot_hold_reaches_the_verdict() {
    let air = |mix: &[&str], outdoors: bool| {
        let mix = mix.iter().map(|l| l.to_string()).collect();
        let review = Case { mix, outdoors: Some(outdoors), ..Case::default() }.review();
        let air = ["air-over-limit", "ammonia-vapour"];
        review.hazards.iter().filter(|h| air.contains(&h.id.as_str())).map(|h| h.gravity).max()
    };
    for (mix, gravity) in [
        (&["1 cup white vinegar 5 %"][..], None),
        (&["1 cup hydrogen peroxide 3 %"], None),
        (&["2 L acetic acid 25 %"], Some(Gravity::Caution)),
        (&["1 L acetic acid 90 %"], Some(Gravity::StrongCaution)),
        (&["500 ml acetone"], Some(Gravity::StrongCaution)),
        (&["100 ml hydrochloric acid 37 %"], Some(Gravity::Stop)),
        (&["100 ml hydrochloric acid 37 %", "10 L water"], Some(Gravity::Stop)),
        (&["100 ml household ammonia 5 %"], Some(Gravity::Caution)),
        // Cuprammonia black, a small lot: SAFETY.md refuses it in a room.
        (&["90 ml water", "100 ml ammonia 25 %", "40 g copper carbonate"], Some(Gravity::Stop)),
    ] {
        assert_eq!(air(mix, false), gravity, "{mix:?}");
        assert!(air(mix, true).is_none_or(|g| g <= Gravity::Caution), "{mix:?} out of doors");
    }
}

/// Hydrogen by stoichiometry against a tenth of its explosive limit of 4 % (gas safety handbooks).
#[test]
fn hydrogen_in_the_room_is_judged_and_has_a_row() {
    let on_iron =
        |mix: &str| Case { mix: vec![mix.to_string()], part: Some("iron".into()), ..Case::default() }.review();
    let row = |mix: &str| on_iron(mix).exposure.iter().find(|e| e.gas == "hydrogen").and_then(|e| e.worst_case_ppm);
    let gravity = |mix: &str| on_iron(mix).hazards.iter().find(|h| h.id == "acid-on-iron").map(|h| h.gravity);
    assert!(row("1 cup white vinegar 5 %").is_some_and(|ppm| ppm < 200.0));
    assert_eq!(gravity("1 cup white vinegar 5 %"), Some(Gravity::Note));
    assert!(row("40 L white vinegar 5 %").is_some_and(|ppm| ppm > 4000.0));
    assert_eq!(gravity("40 L white vinegar 5 %"), Some(Gravity::StrongCaution));
}

/// Something volatile that cannot be worked out has a row without a figure and is said not to be judged; a hot bath and
/// ammonia that a base sets free have figures.
#[test]
fn no_vapour_vanishes() {
    let of = |mix: &[&str], temperature: Option<f64>| {
        Case { mix: mix.iter().map(|l| l.to_string()).collect(), temperature, ..Case::default() }.review()
    };
    let not_known: [(&[&str], &str); 5] = [
        (&["50 ml nitric acid 10 %", "1 L water"], "nitric acid"),
        (&["50 ml formic acid 10 %"], "formic acid"),
        (&["20 ml formaldehyde 37 %", "1 L water"], "formaldehyde"),
        (&["5 g iodine", "1 L water"], "iodine"),
        (&["ammonia 5 %"], "ammonia"),
    ];
    for (mix, gas) in not_known {
        let review = of(mix, None);
        let row = review.exposure.iter().find(|e| e.gas == gas).unwrap_or_else(|| panic!("no row of {gas}"));
        assert_eq!(row.worst_case_ppm, None, "{gas}");
        assert!(review.not_judged.iter().any(|n| n.contains(gas)), "{gas}: {:?}", review.not_judged);
        assert!(review.verdict >= Verdict::Unknown, "{gas}");
    }
    let known: [(&[&str], f64, &str); 3] = [
        (&["1 L white vinegar 5 %"], 85.0, "acetic acid"),
        (&["1 L hydrochloric acid 20 %"], 70.0, "hydrogen chloride"),
        (&["20 g ammonium chloride", "20 g washing soda", "1 L water"], 20.0, "ammonia"),
    ];
    for (mix, t, gas) in known {
        let row =
            of(mix, Some(t)).exposure.into_iter().find(|e| e.gas == gas).unwrap_or_else(|| panic!("no row of {gas}"));
        assert!(row.worst_case_ppm.is_some_and(|ppm| ppm > 0.0), "{gas}");
    }
}

/// A refusal neither says that the air is enough nor how the mixture is made up.
#[test]
fn a_refusal_offers_no_way_round() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    let refused: Vec<_> = pairs.iter().map(|p| p.case.review()).filter(|r| r.verdict == Verdict::Refuse).collect();
    assert!(refused.iter().any(|r| !r.exposure.is_empty()));
    for review in refused {
        for row in &review.exposure {
            assert!(!row.advice.contains("enough") && row.airflow_m3_h.is_none(), "{}: {}", row.gas, row.advice);
        }
        for hazard in &review.hazards {
            let card = rules::find(&hazard.id).expect("a finding is of a rule").card;
            assert!(!hazard.actions.is_empty(), "{}", hazard.id);
            assert!(!hazard.actions.iter().any(|a| card.ways.iter().any(|way| way == a)), "{}", hazard.id);
        }
    }
}

/// Heat by the NBS enthalpies of formation: 100 g of anhydrous calcium chloride is 0.9 mol of 81.3 kJ, 91 K in 200 g of bath.
#[test]
fn heat_of_mixing_is_found_and_never_thinned_away() {
    let found = |mix: &[&str], rule: &str| {
        let review = Case { mix: mix.iter().map(|l| l.to_string()).collect(), ..Case::default() }.review();
        let hazard = review.hazards.into_iter().find(|h| h.id == rule)?;
        let rise = hazard.numbers.iter().find(|(k, _)| *k == "heat_rise_c").map(|(_, v)| *v);
        Some((hazard.gravity, rise))
    };
    let (gravity, rise) = found(&["100 g calcium chloride", "100 ml water"], "heat-of-mixing").expect("found");
    assert_eq!(gravity, Gravity::Stop);
    assert!(rise.is_some_and(|r| (r - 91.5).abs() < 2.0), "{rise:?}");
    let thinned = found(&["100 g calcium chloride", "100 ml water", "10 L water"], "heat-of-mixing");
    assert_eq!(thinned.map(|(g, _)| g), Some(Gravity::Stop));
    let some = found(&["100 g calcium chloride", "300 ml water"], "heat-of-mixing").map(|(g, _)| g);
    assert_eq!(some, Some(Gravity::StrongCaution));
    // The dihydrate gives 45.9 kJ of it; bluestone cools.
    let dihydrate = found(&["100 g calcium chloride dihydrate", "100 ml water"], "heat-of-mixing").map(|(g, _)| g);
    assert_eq!(dihydrate, Some(Gravity::StrongCaution));
    assert_eq!(found(&["100 g copper sulfate pentahydrate", "100 ml water"], "heat-of-mixing"), None);
    assert_eq!(found(&["20 g calcium chloride", "1 L water"], "heat-of-mixing"), None);
    let acid = found(&["100 ml water", "100 ml sulfuric acid 96 %"], "heat-of-mixing").map(|(g, _)| g);
    assert_eq!(acid, Some(Gravity::Stop));
    // A salt alone has nothing to dissolve in, and the stop does not go again with more of anything.
    assert_eq!(found(&["1 g zinc sulfate"], "heat-of-mixing"), None);
    assert_eq!(found(&["50 g sodium acetate", "5 g table salt"], "heat-of-mixing"), None);
    let grades: Vec<_> = [10, 30, 60, 80, 95, 98]
        .map(|percent| {
            let acid = format!("100 ml sulfuric acid {percent} %");
            found(&["100 ml sodium hydroxide 10 %", &acid], "heat-of-mixing").map(|(g, _)| g)
        })
        .to_vec();
    assert!(grades.is_sorted() && grades.last() == Some(&Some(Gravity::Stop)), "{grades:?}");
    let more = found(&["100 ml vinegar 5 %", "100 ml sulfuric acid 95 %", "10 L vinegar 5 %"], "heat-of-mixing");
    assert_eq!(more.map(|(g, _)| g), Some(Gravity::Stop));
    // Two lots that only together are enough water.
    let split = found(&["30 ml vinegar 5 %", "30 ml tea", "100 ml sulfuric acid 95 %"], "heat-of-mixing");
    assert_eq!(split.map(|(g, _)| g), Some(Gravity::Stop));
    // 40 CFR 264 Appendix V group 1: strong acid with strong lye.
    let both =
        found(&["100 ml hydrochloric acid 30 %", "100 ml sodium hydroxide 30 %"], "acid-with-base").map(|(g, _)| g);
    assert_eq!(both, Some(Gravity::Stop));
}

/// `bath_below_c` of the materials table for vessel, ballast and binder, with the heat that the bath makes itself.
#[test]
fn what_softens_is_held_against_the_bath_and_its_own_heat() {
    let gravity = |rule: &str, case: Case| case.review().hazards.into_iter().find(|h| h.id == rule).map(|h| h.gravity);
    let case = |mix: &[&str], t: f64| Case {
        mix: mix.iter().map(|l| l.to_string()).collect(),
        temperature: Some(t),
        ..Case::default()
    };
    let vessel =
        |mix: &[&str], t: f64| gravity("hotter-than-vessel", Case { vessel: Some("hdpe".into()), ..case(mix, t) });
    assert_eq!(vessel(&["1 L water"], 94.0), Some(Gravity::Stop));
    assert_eq!(vessel(&["1 L water"], 65.0), Some(Gravity::StrongCaution));
    assert_eq!(vessel(&["1 L water"], 55.0), None);
    assert_eq!(vessel(&["300 ml water", "100 g calcium chloride"], 20.0), Some(Gravity::Caution));
    let ballast = Case { ballast: Some("paraffin_wax".into()), ..case(&["1 L water"], 40.0) };
    assert_eq!(gravity("hotter-than-vessel", ballast), Some(Gravity::StrongCaution));
    let part =
        |mix: &[&str], t: f64| gravity("hotter-than-binder", Case { binder: Some("pla".into()), ..case(mix, t) });
    assert_eq!(part(&["1 L water"], 60.0), Some(Gravity::Stop));
    assert_eq!(part(&["1 L hydrogen peroxide 3 %"], 30.0), Some(Gravity::Caution));
    assert_eq!(part(&["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %"], 20.0), None);
}

/// A gas has one figure, whichever rule tells of it, by the scarcest of all that take part (worked by hand, 24.06 L/mol at
/// 20 °C; weighed and measured with an error of 1 %, labels half a unit up).
#[test]
fn the_scarcest_side_limits_a_gas() {
    for (mix, rules, litres) in [
        // 10 g of zinc, 65.38 g/mol: 3.68 L, while the acid could make 7.
        (&["10 g zinc powder", "350 ml hydrochloric acid 6 %"][..], &["acid-on-zinc", "metal-powder"][..], 3.68 * 1.01),
        // 2.4 g of peroxide in 80 g, 34.01 g/mol, one chlorine each: 1.70 L, and 1.0255 kg/L as the densest; 3.5 for 3 %.
        (
            &["80 ml hydrogen peroxide 3 %", "50 ml hydrochloric acid 20 %"],
            &["chloride-acid-oxidiser"],
            1.70 * 1.0255 * 1.01 * 3.5 / 3.0,
        ),
        // 2 g of permanganate, 158.03 g/mol, two and a half chlorine each: 0.761 L.
        (
            &["20 g table salt", "50 ml sulfuric acid 20 %", "2 g potassium permanganate"],
            &["chloride-acid-oxidiser", "permanganate-with-strong-acid"],
            0.761 * 1.01,
        ),
    ] {
        let review = Case { mix: mix.iter().map(|l| l.to_string()).collect(), ..Case::default() }.review();
        for rule in rules {
            let hazard = review.hazards.iter().find(|h| h.id == *rule).unwrap_or_else(|| panic!("no {rule}"));
            let ml = hazard.numbers.iter().find(|(key, _)| *key == "gas_ml").expect("a volume").1;
            assert!((ml / 1000.0 / litres - 1.0).abs() < 0.01, "{rule}: {ml} for {litres} L");
        }
    }
}

/// An upper bound is never below what the bath itself reckons at its upper end.
#[test]
fn no_upper_bound_lies_below_the_bath() {
    for lines in [
        ["295 ml water", "49.2 ml white vinegar 5 %", "49.2 ml hydrogen peroxide 3 %", "2 tbsp table salt"],
        ["1 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %", "1 tsp table salt"],
        ["1 cup water", "1 tbsp white vinegar 5 %", "2 tbsp hydrogen peroxide 6 %", "1 pinch table salt"],
    ] {
        let mix = lines.map(ingredient).to_vec();
        let bath = bathwright::bath::mix(&mix, &MixConditions { temperature: celsius(20.0), carbonate: None })
            .expect("a bath");
        let grams = bath.solutes.iter().find(|s| s.substance == "hydrogen_peroxide").expect("peroxide").mass.high;
        let ml = bathwright::amount::in_grams(grams) / 34.0147 / 2.0 * 24_055.0;
        let case = Case { mix: lines.map(String::from).to_vec(), part: Some("iron".into()), ..Case::default() };
        let review = case.review();
        let hazard = review.hazards.iter().find(|h| h.id == "peroxide-on-metal").expect("fires");
        let told = hazard.numbers.iter().find(|(key, _)| *key == "gas_ml").expect("a volume").1;
        assert!(told >= ml && told < 1.3 * ml, "{lines:?}: {told} for {ml}");
    }
}

/// Citric acid, 50 g/L: pH 1.8 by its first constant (pKa 3.13, CRC Handbook), as pure solutions of 5 % are listed; a flag and
/// no class, as `ghs.yaml` has it. Household vinegar is at 2.4.
#[test]
fn an_extreme_ph_of_weak_acids_is_a_flag() {
    let flag = |mix: &[&str]| {
        let review = Case { mix: mix.iter().map(|l| l.to_string()).collect(), ..Case::default() }.review();
        let found = review.hazards.iter().find(|h| h.id == "extreme-ph").map(|h| (h.gravity, h.numbers.clone()));
        found.map(|(gravity, numbers)| (gravity, numbers.iter().find(|(key, _)| *key == "ph").expect("a pH").1))
    };
    let (gravity, ph) = flag(&["1 L water", "50 g citric acid"]).expect("flagged");
    assert!(gravity == Gravity::Note && (1.7..1.95).contains(&ph), "{ph}");
    assert!(flag(&["1 L water", "40 g citric acid"]).is_some());
    assert!(flag(&["1 L white vinegar 5 %"]).is_none());
    assert!(flag(&["1 L water", "10 g sodium hydroxide"]).is_some_and(|(g, ph)| g == Gravity::Caution && ph > 13.0));
}

/// A spray counts as all of it in the air at once: 100 mL of 3 % peroxide with 3.5 g in it is 2.5 L, 125 ppm in 20 m³.
#[test]
fn a_spray_has_a_row_of_all_of_it_in_the_air() {
    let row = |method: &str| {
        let mix = vec!["100 ml hydrogen peroxide 3 %".to_string()];
        let review = Case { mix, method: Some(method.into()), ..Case::default() }.review();
        let row = review.exposure.iter().find(|e| e.gas == "hydrogen peroxide").and_then(|e| e.worst_case_ppm);
        (row.expect("a row"), review.verdict)
    };
    let ((mist, verdict), (surface, _)) = (row("spray"), row("immersion"));
    assert!((mist / (0.035 * 1025.5 * 0.1 * 1.01 / 34.015 * 24.055 / 20.0 * 1000.0) - 1.0).abs() < 0.01, "{mist}");
    assert!(mist > 100.0 * surface && verdict == Verdict::Warn);
}

/// The volume that a finding names is where it turns: a little less is milder, a little more is not (hydrogen against a tenth of
/// its explosive limit of 4 %; 9 % peroxide by the heat that a large bath keeps; the steps are ours, SAFETY.md).
#[test]
fn a_finding_says_at_which_volume_it_turns() {
    let turns = |rule: &str, mix: &dyn Fn(f64) -> Vec<String>, below: Gravity, above: Gravity| {
        let review = |times: f64| Case { mix: mix(times), part: Some("iron".into()), ..Case::default() }.review();
        let found = |times: f64| review(times).hazards.into_iter().find(|h| h.id == rule).expect("fires");
        let one = found(1.0);
        let ml = one.numbers.iter().find(|(key, _)| *key == "dangerous_from_ml").expect("a volume").1;
        let poured: f64 =
            mix(1.0).iter().map(|line| line.split(' ').next().and_then(|n| n.parse::<f64>().ok()).expect("mL")).sum();
        let times = ml / poured;
        assert_eq!(found(times * 0.98).gravity, below, "{rule} below {ml}");
        assert_eq!(found(times * 1.02).gravity, above, "{rule} above {ml}");
    };
    let rust = |t: f64| {
        vec![
            format!("{:.3} ml water", 180.0 * t),
            format!("{:.3} ml white vinegar 5 %", 30.0 * t),
            format!("{:.3} ml hydrogen peroxide 3 %", 30.0 * t),
        ]
    };
    turns("acid-on-iron", &rust, Gravity::Note, Gravity::StrongCaution);
    let strong =
        |t: f64| vec![format!("{:.3} ml water", 500.0 * t), format!("{:.3} ml hydrogen peroxide 9 %", 500.0 * t)];
    turns("peroxide-on-metal", &strong, Gravity::StrongCaution, Gravity::Stop);
}

/// Peracetic acid over the kitchen rust bath, by Henry's law (670 mol/(kg atm) at 25 °C): far below the ACGIH short-term limit of
/// 0.4 ppm (professional body's news item of 22 March 2017, read); strong stocks are refused and pass it.
#[test]
fn peracetic_acid_has_a_row() {
    let row = |mix: &[&str]| {
        let review = Case { mix: mix.iter().map(|l| l.to_string()).collect(), ..Case::default() }.review();
        let row = review.exposure.into_iter().find(|e| e.gas == "peracetic acid").expect("a row");
        (row.worst_case_ppm.expect("a figure"), row.limit_ppm)
    };
    let (kitchen, limit) = row(&["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %"]);
    assert_eq!(limit, Some(0.4));
    assert!((0.005..0.2).contains(&kitchen), "{kitchen}");
    let (strong, hidden) = row(&["500 ml acetic acid 80 %", "500 ml hydrogen peroxide 30 %"]);
    assert!(strong > 0.4 && hidden.is_none(), "{strong}");
}

/// Where the amounts are not known a refusal tells what is published of the gas: chlorine, IDLH 10 ppm (NIOSH).
#[test]
fn a_refusal_without_amounts_tells_what_is_deadly() {
    let review = Case { mix: vec!["bleach 5 %".into(), "vinegar 5 %".into()], ..Case::default() }.review();
    let hazard = review.hazards.iter().find(|h| h.id == "hypochlorite-with-acid").expect("fires");
    assert_eq!(hazard.numbers, vec![("idlh_ppm", 10.0)]);
    let known = Case { mix: vec!["50 ml bleach 5 %".into(), "50 ml vinegar 5 %".into()], ..Case::default() }.review();
    for (key, _) in known.hazards.iter().flat_map(|h| &h.numbers) {
        assert!(!["idlh_ppm", "limit_ppm", "strongest_percent", "in_bath_percent"].contains(key), "{key}");
    }
}

/// Neither equations nor proportions of primary explosives: no figure of the whole refusal follows from an amount.
#[test]
fn a_refused_explosive_tells_no_proportion() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    let explosive = |pair: &&Pair| rules::find(&pair.rule).is_some_and(|rule| rules::explosive(rule.card));
    let refused: Vec<_> =
        pairs.iter().filter(explosive).map(|p| p.case.review()).filter(|r| r.verdict == Verdict::Refuse).collect();
    assert!(refused.len() >= 10, "{}", refused.len());
    for review in refused {
        for (key, value) in review.hazards.iter().flat_map(|h| &h.numbers) {
            let told = [
                "rinse_at_least_min",
                "rinses",
                "hazard_classes",
                "names_not_known",
                "strengths_not_known",
                "judged_at_c",
            ];
            let told = told.contains(key) || key.ends_with("epa_group") || key.ends_with("temperature_c");
            assert!(told, "{key} {value}");
        }
        assert!(review.exposure.iter().all(|e| e.worst_case_ppm.is_none() && e.limit_ppm.is_none()));
    }
}

/// What does not dissolve thins nothing: beside it no finding is milder and no class of the label is gone (CLP Annex I
/// classifies the mixture that acts, here the liquid).
#[test]
fn a_solid_that_does_not_dissolve_thins_nothing() {
    let pairs: Vec<Pair> = load("safety/pairs.yaml");
    let harmless: Vec<Harmless> = load("safety/not_to_refuse.yaml");
    let mut mixes: Vec<Vec<String>> = pairs.into_iter().map(|p| p.case.mix).collect();
    mixes.extend(harmless.into_iter().map(|h| h.case.mix));
    let alone = [
        "100 ml acetic acid 26 %",
        "100 ml hydrogen peroxide 12 %",
        "5 g potassium permanganate",
        "100 ml nitric acid 2 %",
    ];
    mixes.extend(alone.map(|line| vec![line.to_string()]));
    let mut faults = Vec::new();
    for mix in &mixes {
        let lines: Vec<_> = mix.iter().map(|line| ingredient(line)).collect();
        let before = check(&lines, &Conditions::default());
        for solid in ["500 g steel wool", "500 g brass", "500 g bronze", "500 g copper", "500 g sand"] {
            let mut more = lines.clone();
            more.push(ingredient(solid));
            let after = check(&more, &Conditions::default());
            if after.verdict < before.verdict {
                faults.push(format!("{mix:?} with {solid}: {:?}, was {:?}", after.verdict, before.verdict));
            }
            for one in &before.hazards {
                let now = after.hazards.iter().find(|h| h.id == one.id).map(|h| h.gravity);
                if now < Some(one.gravity) {
                    faults.push(format!("{mix:?} with {solid}: {} is {now:?}, was {:?}", one.id, one.gravity));
                }
            }
            let classes = |r: &bathwright::safety::Review| r.label.as_ref().map_or(Vec::new(), |l| l.classes.clone());
            if after.label.is_some() && !classes(&before).iter().all(|c| classes(&after).contains(c)) {
                faults.push(format!("{mix:?} with {solid}: {:?}, was {:?}", classes(&after), classes(&before)));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Of a poison no milder chemical is named, and a formula like one is still only unknown: benzotriazole (C6H5N3), which
/// keeps copper bright, is no azide (its formula, CRC Handbook, recalled).
#[test]
fn nothing_milder_is_named_for_a_poison() {
    for name in
        ["cadmium sulfate", "picric acid", "perchloric acid", "hydrocyanic acid", "bromine", "KClO4", "7601-90-3"]
    {
        let review = Case { mix: vec![format!("10 g {name}")], ..Case::default() }.review();
        assert_eq!(review.verdict, Verdict::Refuse, "{name}");
        for line in &review.unrecognised {
            assert!(!line.contains("did you mean") && !line.contains("as if it were"), "{line}");
        }
    }
    for name in ["C6H5N3", "99-99-9"] {
        let review = Case { mix: vec![format!("10 g {name}"), "1 L water".into()], ..Case::default() }.review();
        assert_eq!(review.verdict, Verdict::Unknown, "{name}");
        assert!(review.unrecognised.iter().all(|line| !line.contains("did you mean")), "{:?}", review.unrecognised);
    }
}

/// Hydrogen sulfide over a sulfide bath, worked by hand: 50 g of liver of sulphur in 1.05 kg, 0.29 mol (174.4 g/mol), a
/// thousandth of it the gas at pH 10 (pKa 7.0, CRC Handbook, recalled), over 0.114 mol/(L·atm) at 20 °C (Sander, read): about
/// 2400 ppm at the surface and far less in the room. Warmer, more, a smaller room or ammonium never lower it.
#[test]
fn a_sulfide_bath_has_a_figure_for_its_gas() {
    let of = |grams: u32, t: f64, m3: f64, more: &[&str]| {
        let mut mix = vec![format!("{grams} g liver of sulphur"), "1 L water".to_string()];
        mix.extend(more.iter().map(|line| line.to_string()));
        let case = Case { mix, temperature: Some(t), room_m3: Some(m3), ..Case::default() };
        let review = case.review();
        let row = review.exposure.iter().find(|e| e.gas == "hydrogen sulfide").and_then(|e| e.worst_case_ppm);
        let hazard = review.hazards.iter().find(|h| h.id == "hydrogen-sulfide-from-bath").expect("fires");
        (row.expect("a figure"), hazard.gravity)
    };
    let (ppm, gravity) = of(50, 20.0, 20.0, &[]);
    assert!((10.0..100.0).contains(&ppm) && gravity == Gravity::Caution, "{ppm} {gravity:?}");
    for steps in [
        [of(5, 20.0, 20.0, &[]), of(50, 20.0, 20.0, &[]), of(150, 20.0, 20.0, &[])],
        [of(50, 20.0, 20.0, &[]), of(50, 40.0, 20.0, &[]), of(50, 60.0, 20.0, &[])],
        [of(50, 60.0, 20.0, &[]), of(50, 60.0, 8.0, &[]), of(50, 60.0, 2.0, &[])],
    ] {
        assert!(steps.is_sorted_by(|a, b| a.0 < b.0 && a.1 <= b.1), "{steps:?}");
    }
    // Ten times as fast at first, and it never brings more than all of it at once, 35 ppm in 20 m³ (0.029 mol).
    let (plain, ammonium) = (of(5, 20.0, 20.0, &[]).0, of(5, 20.0, 20.0, &["20 g ammonium sulfate"]).0);
    assert!(ammonium > 2.0 * plain && ammonium < 35.5, "{plain} {ammonium}");
    assert_eq!(of(50, 60.0, 2.0, &[]).1, Gravity::Stop);
    // Dry it is judged no milder than as a strong solution.
    let alone = |percent: u32| {
        let mix = vec![format!("59 g potassium polysulfides {percent} %")];
        Case { mix, temperature: Some(28.0), room_m3: Some(1.0), ..Case::default() }.review().hazards[0].gravity
    };
    assert!(alone(100) >= alone(60), "{:?} {:?}", alone(100), alone(60));
    assert_eq!(of(50, 60.0, 2.0, &["10 L water"]).1, Gravity::Stop);
}

/// The finding names the metal that is there: nickel gives nickel salts, not iron salts.
#[test]
fn acid_on_a_metal_names_that_metal() {
    for (part, metal) in [("iron", "iron"), ("nickel", "nickel"), ("tin", "tin")] {
        let case =
            Case { mix: vec!["100 ml vinegar 5 %".to_string()], part: Some(part.to_string()), ..Case::default() };
        let review = case.review();
        let found = review.hazards.iter().find(|h| h.id == "acid-on-iron").expect("acid on a metal above hydrogen");
        assert!(found.title.ends_with(metal), "{part}: {}", found.title);
        assert!(found.products.iter().any(|p| p.starts_with(metal) && p.ends_with("salts")), "{:?}", found.products);
    }
}
