//! Properties of the look-up of names.

use bathwright::amount::{IngredientLine, Ph, Span};
use bathwright::reference::{HazardKind, Ingredient, resolve, substances};
use bathwright::safety::classify::{Classification, Component, classify};
use bathwright::safety::label::label;
use proptest::prelude::*;

fn named(name: &str) -> Ingredient {
    resolve(IngredientLine {
        text: name.to_string(),
        amount: None,
        strength: None,
        name: name.to_string(),
        manner: Vec::new(),
    })
}

/// Names that the trade uses for several entries of the table on purpose.
const SEVERAL: [&str; 6] = [
    "nitric acid",
    "aqua fortis",
    "7697-37-2", // nitric acid below and above 70 %
    "7440-66-6", // zinc, massive and powder
    "7429-90-5", // aluminium, massive and powder
    "7439-89-6", // iron and steel wool
];

#[test]
fn every_name_of_every_substance_means_it() {
    for s in substances() {
        for name in [&s.id, &s.name].into_iter().chain(&s.aliases).chain(&s.cas) {
            let found = named(name);
            assert!(found.meanings.iter().any(|m| m.substance.id == s.id), "{name} does not mean {}", s.id);
            if !SEVERAL.contains(&name.as_ref()) {
                assert_eq!(found.meanings.len(), 1, "{name} of {} is ambiguous and not listed as such", s.id);
            }
        }
    }
}

/// A formula is a name: groups in brackets, with and without water of crystallisation.
#[test]
fn a_formula_is_read_as_its_substance() {
    for (line, id) in [
        ("20 g Cu(NO3)2", "copper_nitrate_trihydrate"),
        ("20 g Cu(NO3)2.3H2O", "copper_nitrate_trihydrate"),
        ("Fe(NO3)3 20 g", "ferric_nitrate"),
        ("10 g (NH4)2SO4", "ammonium_sulfate"),
        ("5 g Ca(OH)2", "calcium_hydroxide"),
        ("5 g CuSO4", "copper_sulfate_anhydrous"),
        ("100 ml H2O2 3 %", "hydrogen_peroxide"),
    ] {
        let read = bathwright::reference::read_ingredient(line, bathwright::amount::MeasureSystem::Metric).expect(line);
        assert!(read.meanings.iter().any(|m| m.substance.id == id), "{line}: {:?}", read.line.name);
        assert!(read.line.amount.is_some(), "{line}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn resolving_never_panics(name in "\\PC{0,60}") {
        let _ = named(&name);
    }

    #[test]
    fn brackets_and_qualifiers_never_panic(
        words in prop::collection::vec(
            prop::sample::select(vec!["strong", "(", ")", "[", "]", ",", "bleach", "fresh", "powder", "é", "of", "salt"]),
            0..12,
        ),
    ) {
        let _ = named(&words.join(" "));
    }

    #[test]
    fn case_and_outer_space_change_nothing(i in 0_usize..180, upper in any::<bool>()) {
        let s = &substances()[i % substances().len()];
        let written = if upper { s.id.to_uppercase() } else { format!("  {} ", s.id) };
        prop_assert!(named(&written).meanings.iter().any(|m| m.substance.id == s.id));
    }

    #[test]
    fn nothing_recognised_means_a_question(name in "[a-z ]{0,30}") {
        let found = named(&name);
        prop_assert_eq!(found.meanings.is_empty() && found.question.is_none(), false);
    }
}

/// How grave a bath is for skin and eyes, 0 to 2.
fn burns(found: &Classification) -> [u8; 2] {
    let worst = |damage, irritation| if found.has(damage) { 2 } else { u8::from(found.has(irritation)) };
    [
        worst(HazardKind::SkinCorrosion, HazardKind::SkinIrritation),
        worst(HazardKind::EyeDamage, HazardKind::EyeIrritation),
    ]
}

fn bath(parts: &[(usize, f64)]) -> Vec<Component> {
    parts
        .iter()
        .map(|(i, percent)| Component {
            substance: &substances()[i % substances().len()],
            percent: Span::one(*percent),
        })
        .collect()
}

proptest! {
    #[test]
    fn classifying_and_labelling_never_panic(
        parts in prop::collection::vec((0_usize..180, any::<f64>()), 0..6),
        ph in prop::option::of(any::<f64>()),
    ) {
        let found = classify(&bath(&parts), &[], ph.map(Ph));
        let label = label(&found);
        if let Some(label) = &label {
            prop_assert!(label.p.len() <= 8);
            prop_assert!(label.h.iter().chain(&label.p).all(|s| !s.text.is_empty()));
        }
        prop_assert_eq!(found.clone(), classify(&bath(&parts), &[], ph.map(Ph)));
    }

    #[test]
    fn more_of_an_ingredient_is_never_milder_to_skin_and_eyes(
        parts in prop::collection::vec((0_usize..180, 0.01_f64..40.0), 1..5),
        which in 0_usize..5,
        more in 0.0_f64..50.0,
    ) {
        let mut stronger = parts.clone();
        let i = which % stronger.len();
        stronger[i].1 += more;
        let (before, after) = (burns(&classify(&bath(&parts), &[], None)), burns(&classify(&bath(&stronger), &[], None)));
        prop_assert!(before[0] <= after[0] && before[1] <= after[1], "{:?} then {:?}", before, after);
    }
}
