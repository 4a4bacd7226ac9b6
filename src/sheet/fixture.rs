//! A reviewed plan and a refusal, written by hand, for tests of the renderers.

use crate::amount::{Estimate, MassFraction, Ph, celsius, g_per_l, grams, kelvins, kg_per_m3, millilitres, moles};
use crate::amount::{in_millilitres, millimetres, mol_per_l};
use crate::bath::{Gas, Mixture, Neutralised, Solute};
use crate::plan::{Lacking, ListedRecipe, Listing, Mixed, Neutralisation, Plan, Scaled};
use crate::reference::Source;
use crate::safety::{Conditions, Exposure, Gravity, Hazard, Label, Review, Reviewed, Statement, Verdict};
use crate::timetable::{build, fixture, with_clock};

fn strings(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|l| l.to_string()).collect()
}

fn solute(substance: &'static str, name: &str, g: [f64; 3], molar_mass: f64, error: Option<&str>) -> Solute {
    let e = |f: &dyn Fn(f64) -> f64| Estimate { best: f(g[0]), low: f(g[1]), high: f(g[2]) };
    let litres = 0.482;
    Solute {
        substance,
        name: name.into(),
        mass: e(&|x| x).map(grams),
        concentration: e(&|x| x / litres).map(g_per_l),
        fraction: e(&|x| x / 560.0).map(|r| MassFraction::new(r).unwrap()),
        molar: Some(e(&|x| x / molar_mass / litres).map(mol_per_l)),
        largest_error: error.map(str::to_string),
    }
}

pub(crate) fn mixture() -> Mixture {
    Mixture {
        volume: Estimate { best: 514.0, low: 509.0, high: 520.0 }.map(millilitres),
        mass: Estimate { best: 581.0, low: 562.0, high: 600.0 }.map(grams),
        density: Some(Estimate { best: 1115.0, low: 1093.0, high: 1134.0 }.map(kg_per_m3)),
        ph: Some(Estimate { best: Ph(2.62), low: Ph(2.5), high: Ph(2.8) }),
        temperature: celsius(20.0),
        solutes: vec![
            solute(
                "sodium_chloride",
                "sodium chloride",
                [91.0, 73.0, 110.0],
                58.44,
                Some("spoon measure of table salt"),
            ),
            solute("acetic_acid", "acetic acid", [2.96, 2.96, 2.96], 60.05, None),
            solute("hydrogen_peroxide", "hydrogen peroxide", [1.79, 1.79, 1.79], 34.01, Some("age of the bottle")),
        ],
        undissolved: vec![],
        heat_rise: Some(kelvins(2.31)),
        gas: vec![Gas {
            gas: "oxygen".into(),
            amount: moles(0.0263),
            volume: millilitres(632.0),
            why: "All the peroxide broken down by iron; an upper bound.".into(),
        }],
        warnings: vec![],
    }
}

pub(crate) fn review() -> Review {
    let source = Source { doc: "a safety data sheet".into(), at: "section 10".into(), status: "read".into() };
    let hazard = |id: &str, title: &str, gravity, why: &str, actions: &[&str]| Hazard {
        id: id.into(),
        title: title.into(),
        gravity,
        products: vec![],
        why: why.into(),
        actions: strings(actions),
        numbers: vec![],
        sources: vec![source.clone()],
    };
    let mut fizz = hazard(
        "peroxide-closed",
        "Oxygen bursts a closed vessel",
        Gravity::StrongCaution,
        "Iron breaks peroxide down; the gas has to go somewhere.",
        &["Do not close the lid: cover loosely.", "Never keep the made-up bath in a bottle."],
    );
    fizz.products = strings(&["oxygen"]);
    fizz.numbers = vec![("gas_ml", 632.0)];
    Review {
        verdict: Verdict::Warn,
        hazards: vec![
            fizz,
            hazard(
                "peroxide-acetic-acid",
                "Peroxide with vinegar makes a stronger irritant",
                Gravity::Caution,
                "A little peracetic acid forms when the mix stands.",
                &["Make it fresh, use it in the open, pour it away after use.", "Never start from stronger bottles."],
            ),
            hazard(
                "acid-splash",
                "Weak acid in the eyes",
                Gravity::Note,
                "Vinegar irritates the eyes.",
                &["Wear goggles while pouring."],
            ),
        ],
        label: Some(Label {
            signal_word: Some("Warning".into()),
            pictograms: strings(&["GHS07"]),
            classes: strings(&["Eye irritation 2"]),
            h: vec![Statement { code: "H319".into(), text: "Causes serious eye irritation".into() }],
            p: vec![Statement {
                code: "P280".into(),
                text: "Wear protective gloves/protective clothing/eye protection/face protection".into(),
            }],
            not_classified: vec![],
        }),
        exposure: vec![
            Exposure {
                gas: "acetic acid vapour".into(),
                worst_case_ppm: Some(3.21),
                limit_ppm: Some(10.0),
                limit: "NIOSH REL, 10 h mean".into(),
                airflow_m3_h: Some(12.4),
                advice: "An open window will do.".into(),
            },
            Exposure {
                gas: "peracetic acid vapour".into(),
                worst_case_ppm: None,
                limit_ppm: None,
                limit: String::new(),
                airflow_m3_h: None,
                advice: "Keep your face away from the jar.".into(),
            },
        ],
        ppe: strings(&["splash goggles: for pouring", "nitrile gloves: for everything wet"]),
        first_response: strings(&[
            "Eyes: rinse with water for 15 minutes; call your poison centre or emergency number.",
        ]),
        storage: strings(&["Do not store the mixed bath."]),
        disposal: strings(&["Iron-only bath: let it stand open a day, neutralise, ask what your local rules say."]),
        unrecognised: vec![],
        not_judged: strings(&["what colours the filament holds"]),
        assumed: vec![("room".into(), "indoors, 20 m\u{b3}, 0.5 air changes an hour".into())],
    }
}

pub(crate) fn plan(start: Option<&str>) -> Reviewed<Plan> {
    let (recipe, dosing, immersion) = (fixture::recipe(), fixture::dosing(), fixture::immersion());
    let steps = build(&recipe, &dosing, Some(&immersion), &fixture::parts());
    let start = start.map(|s| s.parse().unwrap());
    let quiet = (jiff::civil::time(22, 0, 0, 0), jiff::civil::time(7, 0, 0, 0));
    let timetable = with_clock(steps, start.as_ref(), Some(quiet));
    assert!(in_millilitres(dosing.poured) > 0.0);
    let value = Plan {
        making_up: making_up(),
        recipe,
        dosing,
        mixture: mixture(),
        measuring_error: Some(("table salt".into(), 4.2)),
        immersion: Some(immersion),
        vessel: Some(crate::vessel::Vessel {
            name: "tall jar, 80 x 140 mm, glass".into(),
            ..crate::vessel::read_vessel("jar 80x140 mm, glass").unwrap()
        }),
        timetable,
        notes: vec![],
        fingerprint: crate::plan::Fingerprint::of(std::sync::Arc::new("the fixture")),
        reviewed_as: Conditions::default(),
        method: Default::default(),
        aftercare: Default::default(),
        disposal: Default::default(),
        whole: None,
    };
    Reviewed::for_tests(value, review())
}

pub(crate) fn refusal() -> Review {
    let mut review = review();
    review.verdict = Verdict::Refuse;
    review.label = None;
    review.not_judged.clear();
    review.hazards = vec![Hazard {
        id: "hypochlorite-acid".into(),
        title: "Chlorine".into(),
        gravity: Gravity::Stop,
        products: strings(&["chlorine"]),
        why: "Bleach and acid set chlorine free at once.".into(),
        actions: strings(&[
            "Do not mix these.",
            "If it has happened: leave the room, air it from outside, call your emergency number.",
        ]),
        numbers: vec![("worst_case_ppm", 870.0), ("threshold_g", 4.44), ("input_ml", 517.3)],
        sources: vec![],
    }];
    crate::safety::withheld(review)
}

pub(crate) fn mixed() -> Reviewed<Mixed> {
    let value = Mixed { ingredients: vec![], mixture: mixture(), reviewed_as: Conditions::default() };
    Reviewed::for_tests(value, review())
}

pub(crate) fn neutralised() -> Reviewed<Neutralisation> {
    let neutralised = Neutralised {
        reagent: "baking soda".into(),
        mass: Estimate { best: 4.14, low: 3.9, high: 4.4 }.map(grams),
        ph: Estimate { best: Ph(7.0), low: Ph(6.8), high: Ph(7.2) },
        carbonate: Some(crate::bath::Carbonate::Fizzing),
        stood: Some(Estimate { best: 2.1, low: 1.9, high: 2.4 }.map(grams)),
        gas: vec![Gas {
            gas: "carbon dioxide".into(),
            amount: moles(0.0493),
            volume: millilitres(1186.0),
            why: "Every mole of acid frees one.".into(),
        }],
        warnings: vec![],
    };
    let value = Neutralisation { ingredients: vec![], neutralised, reviewed_as: Conditions::default() };
    Reviewed::for_tests(value, review())
}

pub(crate) fn scaled() -> Reviewed<Scaled> {
    let value = Scaled {
        making_up: making_up(),
        recipe: fixture::recipe(),
        dosing: fixture::dosing(),
        mixture: mixture(),
        measuring_error: None,
        fill_line: Some(millimetres(102.3)),
        notes: strings(&["filled to leave a tenth of the vessel's height free, without parts in it"]),
        reviewed_as: Conditions::default(),
    };
    Reviewed::for_tests(value, review())
}

pub(crate) fn listing() -> Listing {
    let listed = ListedRecipe {
        recipe: crate::timetable::fixture::recipe(),
        review: review(),
        missing: Lacking::default(),
        cannot: None,
    };
    Listing { recipes: vec![listed], relax: Vec::new(), from_bench: false }
}

fn making_up() -> Vec<crate::bath::PouringStep> {
    let step = |ingredient, text: &str, ml| crate::bath::PouringStep {
        ingredient,
        text: text.into(),
        volume: Some(crate::amount::millilitres(ml)),
    };
    vec![
        step(0, "Pour in water.", 379.0),
        step(1, "Add white vinegar.", 428.0),
        step(2, "Add last, when everything else has dissolved and is cool: hydrogen peroxide.", 487.0),
    ]
}
