//! Properties of the look-up of names.

use bathwright::amount::IngredientLine;
use bathwright::reference::{Ingredient, resolve, substances};
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
