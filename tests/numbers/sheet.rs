//! Published values for `sheet`.

use bathwright::amount::{Estimate, MassFraction, celsius, g_per_l, grams, millilitres};
use bathwright::bath::{Mixture, Solute};
use bathwright::safety::{Conditions, Label, check};
use bathwright::sheet::jar_label;

fn mixture() -> Mixture {
    let fraction = |percent| MassFraction::percent(percent).expect("a percentage");
    Mixture {
        volume: Estimate::exact(millilitres(100.0)),
        mass: Estimate::exact(grams(100.0)),
        density: None,
        ph: None,
        temperature: celsius(20.0),
        solutes: vec![Solute {
            substance: "acetic_acid",
            name: "acetic acid".into(),
            mass: Estimate::exact(grams(0.5)),
            concentration: Estimate::exact(g_per_l(5.0)),
            fraction: Estimate { best: fraction(0.512), low: fraction(0.508), high: fraction(0.521) },
            molar: None,
            largest_error: None,
        }],
        undissolved: vec![],
        heat_rise: None,
        gas: vec![],
        warnings: vec![],
    }
}

/// UN GHS (Rev. 10), Annex 1 and table 1.4.1: the nine hazard pictograms and the names of their symbols.
#[test]
fn pictograms_have_the_names_of_the_standard() {
    let mut review = check(&[], &Conditions::default());
    review.label = Some(Label {
        signal_word: Some("Warning".into()),
        pictograms: (1..=9).map(|n| format!("GHS0{n}")).collect(),
        classes: vec![],
        h: vec![],
        p: vec![],
        not_classified: vec![],
    });
    let names: Vec<String> =
        jar_label("bath", &mixture(), &review, None).pictograms.into_iter().map(|(_, name)| name).collect();
    let published = [
        "exploding bomb",
        "flame",
        "flame over circle",
        "gas cylinder",
        "corrosion",
        "skull and crossbones",
        "exclamation mark",
        "health hazard",
        "environment",
    ];
    assert_eq!(names, published);
}

/// A share on a label is a range rounded outward, so that what is in the jar lies within it.
#[test]
fn shares_on_the_label_are_rounded_outward() {
    let label = jar_label("bath", &mixture(), &check(&[], &Conditions::default()), None);
    assert_eq!(label.holds, ["acetic acid 0.5 to 0.53 %"]);
}
