//! Published values for `reference`, and for classification by calculation.
//!
//! Sources: UN/SCEGHS worked examples 3.1(d) (2008/23) and 4.1(a) (2012/25); ECHA Helpdesk seminar slides 2012, example 1;
//! Regulation (EC) 1272/2008, Annex I tables and Annex VI entries (17th ATP); BG RCI data sheets; Surface Engineering
//! Association note 2016. "Derived" cases were worked by hand from those rules.

use bathwright::amount::{Ph, Span};
use bathwright::reference::schema::Substance;
use bathwright::reference::{exposure_limits, substance};
use bathwright::safety::classify::{Classification, Component, Unlisted, classify};

fn of(parts: &[(&str, f64)]) -> Classification {
    with_ph(parts, None)
}

fn with_ph(parts: &[(&str, f64)], ph: Option<f64>) -> Classification {
    let components: Vec<Component> = parts
        .iter()
        .map(|(id, percent)| Component {
            substance: substance(id).unwrap_or_else(|| panic!("{id}")),
            percent: Span::one(*percent),
        })
        .collect();
    classify(&components, &[], ph.map(Ph))
}

fn titles(found: &Classification) -> Vec<String> {
    found.classes.iter().map(|c| c.title()).collect()
}

/// A made-up substance, since the published examples name none.
fn example(id: &str, clp: &str) -> &'static Substance {
    let text = format!("{{id: {id}, name: {id}, form: liquid, clp: {clp}}}");
    Box::leak(Box::new(serde_yaml::from_str(text.leak()).unwrap()))
}

fn share(substance: &'static Substance, percent: f64) -> Component {
    Component { substance, percent: Span::one(percent) }
}

#[test]
fn un_example_3_1_oral_873_mg_kg_is_category_4() {
    let with_dose = |id, dose: f64| example(id, &format!("{{basis: self, classes: [], ate: {{oral_mg_kg: {dose}}}}}"));
    let found = classify(
        &[share(with_dose("a", 2737.0), 26.0), share(with_dose("b", 4500.0), 23.0), share(with_dose("d", 400.0), 40.0)],
        &[],
        None,
    );
    assert_eq!(titles(&found), ["Acute Tox. 4 (oral)"]);
    assert!(found.classes[0].why.contains("873"), "{}", found.classes[0].why);
}

#[test]
fn un_example_3_1_vapour_with_11_percent_unknown_is_category_3() {
    let vapour = |id, dose: f64| example(id, &format!("{{basis: self, classes: [], ate: {{vapour_mg_l: {dose}}}}}"));
    let unknown = Unlisted { name: "unknown".into(), percent: Some(Span::one(11.0)) };
    let found = classify(
        &[share(vapour("a", 11.0), 26.0), share(vapour("b", 19.0), 23.0), share(vapour("d", 4.0), 40.0)],
        &[unknown],
        None,
    );
    assert_eq!(titles(&found), ["Acute Tox. 3 (inhalation of vapour)"]);
    assert!(found.classes[0].why.contains("6.56"), "{}", found.classes[0].why); // printed as 6.6 mg/L
    assert_eq!(found.unknown_toxicity_percent, Some(11.0));
}

#[test]
fn un_example_4_1_a_is_chronic_4_only() {
    let chronic = |id, cat: &str, h: &str, more: &str| {
        example(id, &format!("{{basis: self, classes: [{{class: Aquatic Chronic, cat: '{cat}', h: {h}}}]{more}}}"))
    };
    let first = example(
        "first",
        "{basis: self, m_acute: 10, m_chronic: 10, classes: [{class: Aquatic Acute, cat: '1', h: H400}, \
         {class: Aquatic Chronic, cat: '1', h: H410}]}",
    );
    let found = classify(
        &[
            share(first, 0.01),
            share(chronic("second", "2", "H411", ""), 1.0),
            share(chronic("third", "4", "H413", ""), 25.0),
        ],
        &[],
        None,
    );
    assert_eq!(titles(&found), ["Aquatic Chronic 4"]);
}

#[test]
fn echa_seminar_example_1_below_the_cut_off() {
    let thickener = example("thickener", "{basis: self, classes: [{class: Skin Irrit., cat: '2', h: H315}]}");
    assert!(classify(&[share(thickener, 0.8)], &[], None).classes.is_empty());
}

#[test]
fn nitric_acid_inhalation_bands_of_the_surface_engineering_association() {
    for (percent, cat) in [(13.0, None), (13.3, Some("4")), (26.0, Some("4")), (26.6, Some("3")), (65.0, Some("3"))] {
        let found = of(&[("nitric_acid_le70", percent)]);
        let inhaled = found.classes.iter().find(|c| c.h == "H331" || c.h == "H332");
        assert_eq!(inhaled.map(|c| c.cat.as_str()), cat, "{percent} %");
    }
}

#[test]
fn peroxide_bands_of_annex_vi_and_the_bg_rci_sheet() {
    let cases: [(f64, &[&str]); 12] = [
        (3.0, &[]),
        (4.9, &[]),
        (5.0, &["Eye Irrit. 2"]),
        (7.9, &["Eye Irrit. 2"]),
        (8.0, &["Ox. Liq. 3 (estimate)", "Eye Dam. 1"]),
        (12.0, &["Ox. Liq. 3 (estimate)", "Eye Dam. 1"]),
        (25.0, &["Ox. Liq. 2 (estimate)", "Acute Tox. 4 (oral)", "Eye Dam. 1"]),
        // Just below the irritation limit of 35 %, the corrosion limit of 50 % and the strongest band from 70 %.
        (34.9, &["Ox. Liq. 2 (estimate)", "Acute Tox. 4 (oral)", "Acute Tox. 4 (inhalation of mist)", "Eye Dam. 1"]),
        (
            49.9,
            &[
                "Ox. Liq. 2 (estimate)",
                "Acute Tox. 4 (oral)",
                "Acute Tox. 4 (inhalation of mist)",
                "Skin Irrit. 2",
                "Eye Dam. 1",
                "STOT SE 3",
            ],
        ),
        (
            69.9,
            &[
                "Ox. Liq. 2",
                "Acute Tox. 4 (oral)",
                "Acute Tox. 4 (inhalation of mist)",
                "Skin Corr. 1B",
                "Eye Dam. 1",
                "STOT SE 3",
            ],
        ),
        (
            35.0,
            &[
                "Ox. Liq. 2 (estimate)",
                "Acute Tox. 4 (oral)",
                "Acute Tox. 4 (inhalation of mist)",
                "Skin Irrit. 2",
                "Eye Dam. 1",
                "STOT SE 3",
            ],
        ),
        (
            70.0,
            &[
                "Ox. Liq. 1",
                "Acute Tox. 4 (oral)",
                "Acute Tox. 4 (inhalation of mist)",
                "Skin Corr. 1A",
                "Eye Dam. 1",
                "STOT SE 3",
            ],
        ),
    ];
    for (percent, wanted) in cases {
        assert_eq!(titles(&of(&[("hydrogen_peroxide", percent)])), wanted, "{percent} %");
    }
    assert!(titles(&of(&[("hydrogen_peroxide", 50.0)])).contains(&"Skin Corr. 1B".to_string()));
    assert!(titles(&of(&[("hydrogen_peroxide", 50.0)])).contains(&"Ox. Liq. 2".to_string()));
}

#[test]
fn acids_and_bases_at_and_just_below_their_annex_vi_limits() {
    let cases: [(&str, f64, &[&str]); 19] = [
        ("acetic_acid", 5.0, &[]),
        ("acetic_acid", 9.9, &[]),
        ("acetic_acid", 10.0, &["Skin Irrit. 2", "Eye Irrit. 2"]),
        ("acetic_acid", 20.0, &["Skin Irrit. 2", "Eye Irrit. 2"]),
        ("acetic_acid", 24.9, &["Skin Irrit. 2", "Eye Irrit. 2"]),
        ("acetic_acid", 25.0, &["Skin Corr. 1B", "Eye Dam. 1"]),
        ("acetic_acid", 89.9, &["Flam. Liq. 3 (estimate)", "Skin Corr. 1B", "Eye Dam. 1"]),
        ("acetic_acid", 90.0, &["Flam. Liq. 3 (estimate)", "Skin Corr. 1A", "Eye Dam. 1"]),
        ("hydrochloric_acid", 9.9, &[]),
        ("hydrochloric_acid", 10.0, &["Skin Irrit. 2", "Eye Irrit. 2", "STOT SE 3"]),
        ("hydrochloric_acid", 25.0, &["Skin Corr. 1B", "Eye Dam. 1", "STOT SE 3"]),
        ("sulfuric_acid", 5.0, &["Skin Irrit. 2", "Eye Irrit. 2"]),
        ("sulfuric_acid", 15.0, &["Skin Corr. 1A", "Eye Dam. 1"]),
        ("sodium_hydroxide", 0.49, &[]),
        ("sodium_hydroxide", 0.5, &["Skin Irrit. 2", "Eye Irrit. 2"]),
        ("sodium_hydroxide", 2.0, &["Skin Corr. 1B", "Eye Dam. 1"]),
        ("sodium_hydroxide", 5.0, &["Skin Corr. 1A", "Eye Dam. 1"]),
        ("ammonia_aq", 4.0, &["Skin Irrit. 2", "Eye Dam. 1"]),
        ("ammonia_aq", 5.0, &["Skin Corr. 1B", "Eye Dam. 1", "STOT SE 3"]),
    ];
    for (id, percent, wanted) in cases {
        assert_eq!(titles(&of(&[(id, percent)])), wanted, "{id} {percent} %");
    }
    let strong = titles(&of(&[("ammonia_aq", 25.0)]));
    assert_eq!(strong, ["Skin Corr. 1B", "Eye Dam. 1", "STOT SE 3", "Aquatic Acute 1"]);
}

#[test]
fn two_irritant_acids_add_up_derived() {
    assert_eq!(titles(&of(&[("acetic_acid", 15.0), ("hydrochloric_acid", 8.0)])), ["Skin Irrit. 2", "Eye Irrit. 2"]);
    assert_eq!(titles(&of(&[("acetic_acid", 20.0), ("hydrochloric_acid", 8.0)])), ["Skin Corr. 1B", "Eye Dam. 1"]);
}

#[test]
fn metal_salts_and_bleach_derived() {
    type Case<'a> = (&'a [(&'a str, f64)], &'a [&'a str]);
    let cases: [Case; 7] = [
        (&[("copper_sulfate_pentahydrate", 3.0)], &["Eye Dam. 1", "Aquatic Acute 1", "Aquatic Chronic 2"]),
        (&[("sodium_hypochlorite", 4.0)], &["Skin Irrit. 2", "Eye Dam. 1", "Aquatic Acute 1", "Aquatic Chronic 2"]),
        (&[("zinc_chloride", 6.0)], &["Skin Corr. 1B", "Eye Dam. 1", "STOT SE 3", "Aquatic Chronic 2"]),
        (&[("copper_carbonate_basic", 0.3)], &["Aquatic Chronic 2"]),
        (&[("calcium_hypochlorite", 3.0)], &["Skin Irrit. 2", "Eye Dam. 1", "Aquatic Acute 1"]),
        (&[("ammonium_bifluoride", 1.0)], &["Skin Corr. 1B", "Eye Dam. 1"]),
        (&[("acetone", 12.0), ("isopropanol", 9.0)], &["Flam. Liq. 3 (estimate)", "Eye Irrit. 2", "STOT SE 3"]),
    ];
    for (parts, wanted) in cases {
        let mut found = titles(&of(parts));
        found.retain(|t| !t.starts_with("Ox. Sol"));
        assert_eq!(found, wanted, "{parts:?}");
    }
    let paste = of(&[("mineral_spirits", 8.0)]);
    assert_eq!(paste.classes.iter().find(|c| c.h == "H373").map(|c| c.title()), Some("STOT RE 2".to_string()));
    let more = of(&[("mineral_spirits", 10.0)]);
    assert!(more.classes.iter().any(|c| c.h == "H372"));
}

#[test]
fn supplemental_statements_at_their_limits() {
    let euh = |parts: &[(&str, f64)]| of(parts).supplemental.into_iter().map(|(c, _)| c).collect::<Vec<_>>();
    assert_eq!(euh(&[("sodium_hypochlorite", 1.0)]), [""; 0]);
    assert_eq!(euh(&[("sodium_hypochlorite", 4.0)]), ["EUH206"]);
    assert_eq!(euh(&[("sodium_hypochlorite", 5.0)]), ["EUH031", "EUH206"]);
    assert_eq!(euh(&[("calcium_hypochlorite", 3.0)]), ["EUH031", "EUH206"]);
    assert!(euh(&[("sodium_metabisulfite", 1.0)]).contains(&"EUH031".to_string()));
    assert!(euh(&[("cyanide_salts", 1.0)]).contains(&"EUH032".to_string()));
    assert!(euh(&[("nitric_acid_le70", 30.0)]).contains(&"EUH071".to_string()));
    assert_eq!(euh(&[("nitric_acid_le70", 3.0)]), [""; 0]);
}

#[test]
fn extreme_ph_keeps_an_explained_class_and_corrodes_when_nothing_explains_it() {
    let pickle = with_ph(&[("sodium_bisulfate", 10.0)], Some(1.0));
    assert_eq!(titles(&pickle), ["Eye Dam. 1"]);
    assert_eq!(pickle.ph_extreme, Some(Ph(1.0)));
    let bare = with_ph(&[("sodium_chloride", 5.0)], Some(1.9));
    assert_eq!(titles(&bare), ["Skin Corr. 1", "Eye Dam. 1"]);
    assert_eq!(with_ph(&[("acetic_acid", 5.0)], Some(2.4)).ph_extreme, None);
}

#[test]
fn a_range_is_taken_at_its_stronger_end() {
    let vinegar = Component { substance: substance("acetic_acid").unwrap(), percent: Span { low: 4.0, high: 14.0 } };
    assert_eq!(titles(&classify(&[vinegar], &[], None)), ["Skin Irrit. 2", "Eye Irrit. 2"]);
}

#[test]
fn limits_of_29_cfr_1910_1000_and_niosh() {
    let ppm = |gas: &str| exposure_limits(gas).and_then(|g| g.strictest()).map(|l| l.ppm);
    for (gas, limit) in [
        ("chlorine", 0.5),
        ("hydrogen_sulfide", 10.0),
        ("ammonia", 25.0),
        ("acetic_acid", 10.0),
        ("hydrogen_chloride", 5.0),
        ("hydrogen_peroxide", 1.0),
        ("sulfur_dioxide", 2.0),
        ("nitrogen_dioxide", 1.0),
        ("peracetic_acid", 0.4),
    ] {
        assert_eq!(ppm(gas), Some(limit), "{gas}");
    }
}

#[test]
fn ingredient_lines_as_people_write_them() {
    use bathwright::amount::MeasureSystem;
    use bathwright::reference::read_ingredient;
    let mut wrong = Vec::new();
    for case in include_str!("../data/reference/lines.txt").lines().filter(|l| !l.starts_with('#')) {
        let (line, wanted) = case.split_once(" => ").unwrap();
        let found = match read_ingredient(line, MeasureSystem::Us) {
            Ok(i) => i,
            Err(e) => {
                wrong.push(format!("{line}: {e}"));
                continue;
            }
        };
        let mut ids: Vec<&str> = found.meanings.iter().map(|m| m.substance.id.as_ref()).collect();
        ids.sort_unstable();
        if ids.is_empty() {
            ids.push("-");
        }
        if found.strength_missing {
            ids.push("?");
        }
        if ids.join(" ") != wanted {
            wrong.push(format!("{line}: {} and not {wanted} ({:?})", ids.join(" "), found.line.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
