//! What holds for every barrel, rinse and wish.

use crate::numbers::trade::part;
use bathwright::amount::{in_millilitres, millilitres, millimetres};
use bathwright::finishing::{Barrel, Load, read_barrel, read_speed, tumble, turns_a_minute};
use bathwright::order::Bench;
use bathwright::plan::{Wish, choose, left_after, rinses_needed};
use bathwright::recipe::{Finish, Library, Recipe};
use bathwright::reference::{Room, material};
use bathwright::safety::Verdict;
use proptest::prelude::*;

fn recipes() -> Vec<Recipe> {
    let library = Library::default();
    library.entries().iter().map(|e| library.recipe(&e.id).unwrap_or_else(|p| panic!("{p}"))).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_load_never_fills_the_barrel(d in 20.0..2500.0f64, l in 20.0..3500.0f64, grits in 0u32..9, marks: bool, detail in 0.0..30.0f64) {
        let barrel = Barrel { diameter: millimetres(d), length: millimetres(l), speed: None, material: None };
        let parts = [part("box 20x10x10 mm, 4 g, iron, PLA")];
        let load = Load {
            barrel: &barrel, parts: &parts, finest_detail: Some(millimetres(detail)), media: None, grits,
            marks_show: marks, stage: None,
        };
        if let Ok(t) = tumble(&load) {
            prop_assert!((2..=6).contains(&grits));
            prop_assert!(in_millilitres(t.media) > 0.0 && t.charge <= t.barrel_volume * 0.75);
            prop_assert!(t.water.low <= t.water.high && t.water.high < t.charge);
            prop_assert_eq!(t.stages.len(), grits as usize + 1 + usize::from(marks));
            prop_assert!(turns_a_minute(t.working_speed.high) < turns_a_minute(t.critical_speed));
            for s in &t.stages {
                prop_assert!(s.looks.windows(2).all(|w| w[0] < w[1]) && s.looks.last() == Some(&s.planned));
            }
        }
    }

    #[test]
    fn nothing_panics_on_a_barrel_or_a_speed(text in "\\PC{0,30}") {
        let _ = read_barrel(&text);
        let _ = read_speed(&text);
    }

    #[test]
    fn rinses_reach_what_they_promise(d in 0.001..1e4f64, v in 0.001..1e6f64, share in 1e-9..0.999f64) {
        if let Some(n) = rinses_needed(d, v, share) {
            prop_assert!(left_after(d, v, n) <= share * (1.0 + 1e-9));
            prop_assert!(n == 1 || left_after(d, v, n - 1) > share * (1.0 - 1e-9));
        }
    }
}

#[test]
fn every_recipe_is_either_placed_or_out_with_a_reason_and_no_refused_one_is_placed() {
    let all = recipes();
    for metal in ["iron", "copper", "bronze", "brass", "silver", "zinc", "stainless_steel"] {
        for binder in [None, Some("pla")] {
            for look in [None, Some(Finish::Rust)] {
                for outdoors in [false, true] {
                    let wish = Wish {
                        metal: material(metal).unwrap(),
                        binder: binder.map(|b| material(b).unwrap()),
                        density: None,
                        look,
                        bench: Some(Bench::default()),
                        room: Room { outdoors, ..Room::default() },
                        patience: None,
                        volume: millilitres(500.0),
                    };
                    let choice = choose(wish, all.clone());
                    assert_eq!(choice.ranked.len() + choice.excluded.len(), all.len());
                    for c in &choice.ranked {
                        assert!(
                            !c.reasons.is_empty() && c.bath.review().verdict != Verdict::Refuse,
                            "{}",
                            c.recipe().id
                        );
                        assert!(c.recipe().metals.iter().any(|m| m.id == metal));
                        assert!(look.is_none_or(|l| l == c.recipe().finish));
                        assert!(c.shopping().iter().all(|p| !p.remark.is_empty()));
                    }
                    assert!(choice.excluded.iter().all(|e| !e.why.is_empty()));
                    assert!(choice.ranked.windows(2).all(|w| w[0].points >= w[1].points));
                }
            }
        }
    }
}
