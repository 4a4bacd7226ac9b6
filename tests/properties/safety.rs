//! What must hold for every mixture: no panic, no order, and nothing that makes a refusal go away.

use super::super::support::{at_least, ingredient};
use bathwright::amount::{
    Amount, Exact, IngredientLine, MassFraction, MassUnit, MeasureSystem, Span, Strength, StrengthBasis, Unit,
    VolumeUnit, celsius, cubic_metres, millilitres,
};
use bathwright::order::Room;
use bathwright::recipe::Method;
use bathwright::reference::{
    Before, Form, Ingredient, Meaning, Past, Rinsed, StrengthNeed, Substance, materials, read_past, resolve, substances,
};
use bathwright::safety::{
    Conditions, Gravity, Hazard, PartFacts, Verdict, check, check_with, findings, forbids, rules,
};
use bathwright::vessel::Cover;
use proptest::prelude::*;

/// So much of a substance, at this strength if it is sold in strengths.
fn pour(substance: &'static Substance, amount: i64, percent: i64) -> Ingredient {
    let unit = match substance.form {
        Form::Solid | Form::SolidOrSolution => Unit::Mass(MassUnit::Gram),
        _ => Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric),
    };
    let strength = (substance.strength != StrengthNeed::Never).then(|| Strength {
        value: Span::one(Exact::whole(percent)),
        basis: StrengthBasis::MassPercent,
        basis_assumed: false,
    });
    Ingredient {
        line: IngredientLine {
            text: substance.name.to_string(),
            amount: Some(Amount { value: Span::one(Exact::whole(amount)), unit }),
            strength,
            name: substance.name.to_string(),
            manner: Vec::new(),
        },
        meanings: vec![Meaning { substance, usual: None }],
        question: None,
        strength_missing: false,
        aside: None,
    }
}

/// The findings that do not depend on the order of pouring.
fn without_order(hazards: &[Hazard]) -> Vec<(String, Gravity)> {
    let ordered = ["water-into-strong-acid", "dithionite-damp"];
    hazards.iter().filter(|h| !ordered.contains(&h.id.as_str())).map(|h| (h.id.clone(), h.gravity)).collect()
}

#[test]
fn all_pairs_of_all_substances_in_either_order() {
    let conditions = Conditions::default();
    let all: Vec<Ingredient> = substances().iter().map(|s| pour(s, 50, 10)).collect();
    let rules = rules::all();
    for (i, a) in all.iter().enumerate() {
        for (j, b) in all.iter().enumerate().skip(i) {
            let forth = findings(rules, &[a.clone(), b.clone()], &conditions);
            let back = findings(rules, &[b.clone(), a.clone()], &conditions);
            assert_eq!(without_order(&forth), without_order(&back), "{} {}", a.line.name, b.line.name);
            // The whole review, with label, exposure and advice, for a share of them: it is slow without optimisation.
            if (i + j) % 5 == 0 {
                let review = check(&[a.clone(), b.clone()], &conditions);
                assert_eq!(review.verdict == Verdict::Refuse, worst(&forth) == Gravity::Stop);
                assert!(review.verdict != Verdict::Refuse || review.label.is_none());
            }
        }
    }
}

/// The gravest of these; a note when there is none.
fn worst(hazards: &[Hazard]) -> Gravity {
    hazards.first().map_or(Gravity::Note, |h| h.gravity)
}

fn substance() -> impl Strategy<Value = &'static Substance> {
    (0..substances().len()).prop_map(|i| &substances()[i])
}

/// A substance that is sold in strengths.
fn strong() -> impl Strategy<Value = &'static Substance> {
    let sold: Vec<_> = substances().iter().filter(|s| s.strength != StrengthNeed::Never).collect();
    prop::sample::select(sold)
}

/// Such a substance at a strength that reacts with much.
fn strong_stock() -> impl Strategy<Value = Ingredient> {
    (strong(), 1i64..2000, prop::sample::select(vec![60i64, 95]))
        .prop_map(|(s, amount, percent)| pour(s, amount, percent))
}

fn poured() -> impl Strategy<Value = Ingredient> {
    (substance(), 1i64..2000, prop::sample::select(vec![1i64, 3, 5, 10, 12, 25, 35, 60, 95]))
        .prop_map(|(s, amount, percent)| pour(s, amount, percent))
}

fn past() -> impl Strategy<Value = Past> {
    let rinses = prop::sample::select(vec![Rinsed::None, Rinsed::Once, Rinsed::Twice, Rinsed::Neutralised]);
    (poured(), rinses, any::<bool>()).prop_map(|(i, rinse, dried)| Past::new(i, Before { rinse, dried }))
}

/// One step less.
fn milder(rinse: Rinsed) -> Rinsed {
    match rinse {
        Rinsed::Neutralised => Rinsed::Twice,
        Rinsed::Twice => Rinsed::Once,
        _ => Rinsed::None,
    }
}

fn conditions() -> impl Strategy<Value = Conditions> {
    let some = |kind: fn(&str) -> bool| {
        let list: Vec<_> = materials().iter().filter(|m| kind(m.id.as_ref())).collect();
        prop::option::of(prop::sample::select(list))
    };
    (some(|_| true), some(|_| true), some(|_| true), 5.0f64..95.0, 0u8..3, 1.0f64..100.0, any::<bool>()).prop_map(
        |(vessel, part, ballast, c, cover, room, spray)| Conditions {
            vessel,
            temperature: Some(celsius(c)),
            cover: Some([Cover::Open, Cover::Loose, Cover::Sealed][usize::from(cover)]),
            room: Room { volume: cubic_metres(room), assumed: false, ..Room::default() },
            parts: part
                .map(|m| PartFacts { name: "plaque".into(), metal: Some(m), binder: None })
                .into_iter()
                .collect(),
            ballast: ballast.into_iter().collect(),
            method: if spray { Method::Spray } else { Method::Immersion },
            capacity: Some(millilitres(5000.0)),
            ..Conditions::default()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Adding any ingredient, at any place, water included, to a refused mixture never makes it acceptable.
    #[test]
    fn nothing_added_makes_a_refusal_go_away(
        mix in prop::collection::vec(poured(), 1..4), more in poured(), water in 1i64..20_000, at in 0usize..4,
        conditions in conditions(),
    ) {
        let before = check(&mix, &conditions);
        let water = pour(bathwright::reference::substance("water").expect("in the table"), water, 100);
        for extra in [more, water] {
            let mut longer = mix.clone();
            longer.insert(at.min(mix.len()), extra);
            let after = check(&longer, &conditions);
            if before.verdict == Verdict::Refuse {
                prop_assert_eq!(after.verdict, Verdict::Refuse);
            }
        }
    }

    /// Sealing, keeping, spraying, heating, shrinking the room and strengthening a stock never lower the gravest finding.
    #[test]
    fn worse_conditions_are_never_judged_milder(
        mix in prop::collection::vec(poured(), 1..4), conditions in conditions(), hotter in 0.0f64..60.0,
    ) {
        let before = at_least(&check(&mix, &conditions));
        let sealed = Conditions { cover: Some(Cover::Sealed), ..conditions.clone() };
        prop_assert!(at_least(&check(&mix, &sealed)) >= before);
        let kept = Conditions { kept: Some(jiff::SignedDuration::from_hours(24)), ..conditions.clone() };
        prop_assert!(at_least(&check(&mix, &kept)) >= before);
        // Kept for longer, and then under a cover that holds more back: open or loose, nothing said, sealed.
        let kept_for = |hours: i64, cover| {
            let kept = Some(jiff::SignedDuration::from_hours(hours));
            at_least(&check(&mix, &Conditions { kept, cover, ..conditions.clone() }))
        };
        for cover in [Some(Cover::Open), Some(Cover::Loose), None, Some(Cover::Sealed)] {
            prop_assert!(kept_for(1, cover) <= kept_for(24, cover));
        }
        for hours in [1, 24] {
            prop_assert!(kept_for(hours, Some(Cover::Open)) <= kept_for(hours, None));
            prop_assert!(kept_for(hours, None) <= kept_for(hours, Some(Cover::Sealed)));
        }
        let sprayed = Conditions { method: Method::Spray, ..conditions.clone() };
        prop_assert!(at_least(&check(&mix, &sprayed)) >= before);
        let hot = Conditions { temperature: conditions.temperature.map(|t| t + bathwright::amount::kelvins(hotter)), ..conditions.clone() };
        prop_assert!(at_least(&check(&mix, &hot)) >= before);
        let small = Room { volume: conditions.room.volume / 3.0, ..conditions.room };
        let in_small = at_least(&check(&mix, &Conditions { room: small, ..conditions.clone() }));
        prop_assert!(in_small >= before);
        for i in 0..mix.len() {
            let mut stronger = mix.clone();
            if let Some(strength) = stronger[i].line.strength.as_mut() {
                strength.value = strength.value.map(|v| v.checked_mul(Exact::whole(2)).filter(|v| v.to_f64() <= 100.0).unwrap_or(Exact::whole(100)));
                prop_assert!(at_least(&check(&stronger, &conditions)) >= before, "{}", mix[i].line.name);
            }
        }
    }

    /// What a vapour reaches never falls with more of it, more warmth, less room or less air.
    #[test]
    fn a_vapour_never_reaches_less_with_more_of_it(
        volatile in prop::sample::select(vec![
            "acetic_acid", "ammonia_aq", "hydrochloric_acid", "hydrogen_peroxide", "acetone", "ethanol",
        ]),
        ml in 1i64..20_000, more in 1i64..20_000, percent in prop::sample::select(vec![1i64, 3, 5, 10, 25, 35]),
        c in -5.0f64..90.0, hotter in 0.0f64..30.0, m3 in 1.0f64..200.0, smaller in 0.1f64..1.0, changes in 0.0f64..20.0,
    ) {
        let reaches = |ml: i64, percent: i64, c: f64, m3: f64, air_changes_per_h: f64| {
            let mix = [pour(bathwright::reference::substance(volatile).expect("in the table"), ml, percent)];
            let room = Room { volume: cubic_metres(m3), air_changes_per_h, outdoors: false, assumed: false };
            let review = check(&mix, &Conditions { room, temperature: Some(celsius(c)), ..Conditions::default() });
            review.exposure.first().and_then(|e| e.worst_case_ppm).expect("a figure")
        };
        let here = reaches(ml, percent, c, m3, changes) * (1.0 - 1e-9);
        prop_assert!(reaches(ml + more, percent, c, m3, changes) >= here);
        prop_assert!(reaches(ml, percent * 2, c, m3, changes) >= here);
        prop_assert!(reaches(ml, percent, c + hotter, m3, changes) >= here);
        prop_assert!(reaches(ml, percent, c, m3 * smaller, changes) >= here);
        prop_assert!(reaches(ml, percent, c, m3, changes * smaller) >= here);
    }

    /// Triples in any order, with the rules in any order: the same findings.
    #[test]
    fn order_of_pouring_and_of_rules_does_not_matter(
        mix in prop::collection::vec(poured(), 3), conditions in conditions(), turn in 0usize..200,
    ) {
        let straight = check(&mix, &conditions);
        let mut turned = mix.clone();
        turned.rotate_left(turn % 3);
        prop_assert_eq!(without_order(&straight.hazards), without_order(&check(&turned, &conditions).hazards));
        let mut shuffled = rules::all().to_vec();
        let by = turn % shuffled.len();
        shuffled.rotate_left(by);
        if turn % 2 == 0 {
            shuffled.reverse();
        }
        let again = check_with(&shuffled, &mix, &conditions);
        prop_assert_eq!(format!("{:?}", straight.hazards), format!("{:?}", again.hazards));
    }

    /// Naming a condition equal to the assumed one changes nothing.
    #[test]
    fn naming_the_assumed_condition_changes_nothing(mix in prop::collection::vec(poured(), 1..4)) {
        let said = Conditions {
            temperature: Some(celsius(20.0)),
            cover: Some(Cover::Open),
            room: Room { volume: cubic_metres(20.0), air_changes_per_h: 0.5, outdoors: false, assumed: false },
            ..Conditions::default()
        };
        let silent = check(&mix, &Conditions::default());
        prop_assert_eq!(format!("{:?}", check(&mix, &said)), format!("{:?}", silent));
    }

    /// A name with one more meaning is never judged milder.
    #[test]
    fn another_meaning_is_never_milder(mix in prop::collection::vec(poured(), 2), other in substance()) {
        let conditions = Conditions::default();
        let before = at_least(&check(&mix, &conditions));
        let mut open = mix.clone();
        open[0].meanings.push(Meaning { substance: other, usual: MassFraction::percent(10.0).map(Span::one) });
        if at_least(&check(&open, &conditions)) < before {
            prop_assert!(before < Gravity::Stop, "{} or {}", mix[0].line.name, other.name);
        }
    }

    /// What was there before never makes a refusal go away, and the less it was taken off the graver.
    #[test]
    fn what_was_there_before_only_makes_it_graver(
        mix in prop::collection::vec(poured(), 1..3), before in prop::collection::vec(past(), 1..3),
        conditions in conditions(), which in 0usize..3,
    ) {
        let clean = check(&mix, &conditions);
        let after = Conditions { after: before.clone(), ..conditions.clone() };
        let there = check(&mix, &after);
        prop_assert!(at_least(&there) >= at_least(&clean));
        let mut wetter = before;
        let i = which % wetter.len();
        wetter[i].left = Before { rinse: milder(wetter[i].left.rinse), dried: false };
        let still = check(&mix, &Conditions { after: wetter, ..conditions });
        prop_assert!(at_least(&still) >= at_least(&there));
    }

    /// Two things of the past meet as they would in a bath: neither needs the other to be poured.
    #[test]
    fn two_things_of_the_past_meet_like_a_bath(a in poured(), b in poured()) {
        let meets = check(&[a.clone(), b.clone()], &Conditions::default());
        let pair = |p: Ingredient| Past::new(p, Before::default());
        let water = pour(bathwright::reference::substance("water").expect("in the table"), 1000, 100);
        let after = Conditions { after: vec![pair(a), pair(b)], ..Conditions::default() };
        let later = check(&[water], &after);
        let plain = |review: &bathwright::safety::Review| -> Vec<String> {
            let meeting = |id: &str| rules::find(id).is_some_and(|rule| rule.card.meeting.as_ref().is_some_and(|m| m.c.is_empty()));
            review.hazards.iter().filter(|h| h.gravity == Gravity::Stop && meeting(&h.id)).map(|h| h.id.clone()).collect()
        };
        // Where the room decides, the amount does too, and what is left over has none.
        for id in plain(&meets) {
            let by_room = rules::find(&id).and_then(|r| r.card.meeting.as_ref()?.gas.as_ref().map(|g| g.judged_by_room));
            prop_assert!(by_room == Some(true) || plain(&later).contains(&id), "{}", id);
        }
    }

    /// A strength that is not said is never judged milder than one that a bottle has, and never fine.
    #[test]
    fn a_missing_strength_is_never_milder_and_never_fine(
        s in strong(), amount in 1i64..2000, percent in prop::sample::select(vec![1i64, 3, 5, 10]),
        others in prop::collection::vec(prop_oneof![poured(), strong_stock()], 0..2), conditions in conditions(),
    ) {
        let said = pour(s, amount, percent);
        let mut unsaid = said.clone();
        unsaid.line.strength = None;
        unsaid.strength_missing = true;
        let with = |one: Ingredient| check(&[&others[..], &[one]].concat(), &conditions);
        let (known, open) = (with(said), with(unsaid));
        prop_assert!(at_least(&open) >= at_least(&known), "{}", s.id);
        prop_assert!(open.verdict != Verdict::Fine);
        prop_assert!(!open.not_judged.is_empty());
    }

    /// Something unknown, in the bath or from before, never makes anything milder and is never fine.
    #[test]
    fn something_unknown_only_makes_it_graver(
        mix in prop::collection::vec(poured(), 1..3), name in "[a-z]{3,9}-o-[a-z]{3,9}", inside in substance(),
        conditions in conditions(), known in any::<bool>(),
    ) {
        let name = if known { format!("{name} {}", inside.id.replace('_', " ")) } else { name };
        let unknown = resolve(IngredientLine { text: name.clone(), amount: None, strength: None, name, manner: Vec::new() });
        prop_assume!(unknown.meanings.is_empty());
        let before = check(&mix, &conditions);
        let poured = check(&[&mix[..], std::slice::from_ref(&unknown)].concat(), &conditions);
        let after = vec![Past::new(unknown, Before { rinse: Rinsed::Neutralised, dried: true })];
        let there = check(&mix, &Conditions { after, ..conditions });
        for review in [poured, there] {
            prop_assert!(at_least(&review) >= at_least(&before), "{:?} {:?}", before.hazards, review.hazards);
            prop_assert!(review.verdict >= Verdict::Unknown && !review.unrecognised.is_empty());
            prop_assert!(review.ppe.iter().any(|l| l.contains("worst that it could be")));
        }
    }

    /// More of something that is in already, how much is not said, never makes anything milder.
    #[test]
    fn an_amount_that_is_left_out_makes_nothing_milder(
        mix in prop::collection::vec(poured(), 1..4), again in any::<prop::sample::Index>(), conditions in conditions(),
    ) {
        let before = check(&mix, &conditions);
        let mut more = again.get(&mix).clone();
        more.line.amount = None;
        let after = check(&[&mix[..], &[more]].concat(), &conditions);
        prop_assert!(at_least(&after) >= at_least(&before), "{:?} {:?}", before.hazards, after.hazards);
    }

    /// Every name of a text about the past is found, however it is strung together; nothing in it panics.
    #[test]
    fn every_name_of_the_past_is_found(
        parts in prop::collection::vec((substance(), 0usize..6, 0usize..12), 1..5),
    ) {
        let joins = [", ", " and ", " then ", "; ", " & ", ", then "];
        let said = ["", " rinsed twice", ", never dried", " (not rinsed)", ", to be rinsed", " wipe", " bath", ", dried fully",
            ", rinsed but never neutralised", ", hardly rinsed", ", sparkleo", " rinse"];
        let mut text = String::new();
        for (i, (s, join, how)) in parts.iter().enumerate() {
            if i > 0 {
                text.push_str(joins[*join]);
            }
            text.push_str(&s.id.replace('_', " "));
            text.push_str(said[*how]);
        }
        let found = read_past(&text, MeasureSystem::Metric).expect("names only");
        for (s, _, how) in &parts {
            // "Water rinse", "water rinsed twice" is how it was taken off.
            if s.id == "water" && [" rinse", " rinsed twice"].contains(&said[*how]) {
                continue;
            }
            prop_assert!(
                found.iter().any(|p| p.ingredient.meanings.iter().any(|m| m.substance.id == s.id)),
                "{} in {}", s.id, text
            );
        }
        for (p, (_, _, how)) in found.last().into_iter().zip(parts.last()) {
            let credited = p.left != Before::default();
            prop_assert!(!credited || ["rinsed twice", "dried fully", "rinsed but never", "water rinse"].iter().any(|c| text.contains(c)), "{} {}", text, how);
        }
    }

    #[test]
    fn any_text_about_the_past_is_read_or_refused(text in "\\PC{0,60}") {
        let _ = read_past(&text, MeasureSystem::Us);
    }

    /// No text that a person may type makes the review panic, and a name it does not know is never fine.
    #[test]
    fn unknown_names_are_never_fine(name in "[a-z]{3,12}-o-[a-z]{3,9}") {
        let review = check(&[ingredient(&name), ingredient("1 L water")], &Conditions::default());
        prop_assert!(review.verdict >= Verdict::Unknown);
        prop_assert!(!review.unrecognised.is_empty());
    }
}

#[test]
fn glass_and_suitable_plastics_are_never_forbidden_in_kitchen_baths() {
    let bath: Vec<_> =
        ["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %", "2 tbsp table salt"]
            .map(ingredient)
            .to_vec();
    let iron = bathwright::reference::material("iron").expect("in the table");
    let parts = [PartFacts { name: "plaque".into(), metal: Some(iron), binder: None }];
    let of = |id: &str| forbids(&bath, &parts, bathwright::reference::material(id).expect("in the table"));
    for id in [
        "soda_lime_glass",
        "borosilicate_glass",
        "glazed_stoneware",
        "porcelain",
        "polypropylene",
        "hdpe",
        "granite",
        "stainless_steel",
        "nylon",
    ] {
        assert_eq!(of(id), None, "{id}");
    }
    for id in [
        "zinc",
        "galvanised_steel",
        "aluminium",
        "lead",
        "mild_steel",
        "limestone",
        "concrete",
        "marble",
        "copper",
        "brick",
        "earthenware",
        "magnesium",
    ] {
        assert!(of(id).is_some(), "{id}");
    }
}
