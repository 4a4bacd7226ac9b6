//! Properties of `bath` that hold for every input.

use bathwright::amount::{MeasureSystem, celsius, in_g_per_l, in_grams, in_kg_per_m3};
use bathwright::bath::{Carbonate, MixConditions, Mixture, mix};
use bathwright::reference::read_ingredient;
use proptest::prelude::*;

/// What goes into a bath: name, and the most grams of it beside a kilogram of water.
const SHELF: [(&str, f64); 16] = [
    ("acetic acid 5 %", 900.0),
    ("hydrochloric acid 10 %", 200.0),
    ("anhydrous citric acid", 80.0),
    ("sodium bisulfate", 60.0),
    ("hydrogen peroxide 3 %", 300.0),
    ("table salt", 250.0),
    ("ammonium chloride", 150.0),
    ("copper sulfate pentahydrate", 150.0),
    ("ammonia 10 %", 300.0),
    ("baking soda", 60.0),
    ("anhydrous sodium carbonate", 60.0),
    ("sodium hydroxide", 40.0),
    ("potassium nitrate", 80.0),
    ("ferric chloride 40 %", 150.0),
    ("sugar", 100.0),
    ("oxalic acid dihydrate", 60.0),
];

fn shelf(picks: &[(usize, f64)]) -> Vec<String> {
    let mut lines = vec!["1000 g water".to_string()];
    lines.extend(picks.iter().map(|(i, share)| {
        let (name, most) = SHELF[*i];
        format!("{:.3} g {name}", most * share)
    }));
    lines
}

fn made(lines: &[String], t_c: f64) -> Mixture {
    let list: Vec<_> = lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).unwrap()).collect();
    mix(&list, &MixConditions { temperature: celsius(t_c), carbonate: Some(Carbonate::Closed) })
        .unwrap_or_else(|e| panic!("{lines:?}: {e}"))
}

fn grams_in(line: &str) -> f64 {
    line.split(' ').next().unwrap().parse().unwrap()
}

fn picks() -> impl Strategy<Value = Vec<(usize, f64)>> {
    prop::collection::btree_map(0..SHELF.len(), 0.01..1.0f64, 1..4).prop_map(|m| m.into_iter().collect())
}

fn near(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() <= within * a.abs().max(b.abs()).max(1e-12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn mass_is_conserved(picks in picks(), t_c in 0.0..60.0f64) {
        let lines = shelf(&picks);
        let bath = made(&lines, t_c);
        let poured: f64 = lines.iter().map(|l| grams_in(l)).sum();
        prop_assert!(near(in_grams(bath.mass.best), poured, 1e-9));
        // The liquid, from each of its solutes and their share of it, and what lies in it come to the same.
        let undissolved: f64 = bath.undissolved.iter().map(|(_, m)| in_grams(*m)).sum();
        prop_assert!(!bath.solutes.is_empty());
        for s in &bath.solutes {
            let liquid = in_grams(s.mass.best) / s.fraction.best.ratio();
            prop_assert!(near(liquid + undissolved, poured, 1e-9), "{}: {} {} {}", s.name, liquid, undissolved, poured);
        }
        for s in &bath.solutes {
            prop_assert!(s.mass.low <= s.mass.best && s.mass.best <= s.mass.high);
            prop_assert!(s.concentration.low <= s.concentration.best && s.concentration.best <= s.concentration.high);
        }
        prop_assert!(bath.volume.low <= bath.volume.best && bath.volume.best <= bath.volume.high);
    }

    #[test]
    fn the_order_of_ingredients_does_not_matter(picks in picks(), turn in 1usize..4) {
        let lines = shelf(&picks);
        let mut turned = lines.clone();
        let by = turn % turned.len();
        turned.rotate_left(by);
        let (a, b) = (made(&lines, 20.0), made(&turned, 20.0));
        prop_assert!(near(a.volume.best.value, b.volume.best.value, 1e-9));
        prop_assert_eq!(a.solutes.len(), b.solutes.len());
        for (x, y) in a.solutes.iter().zip(&b.solutes) {
            prop_assert_eq!(x.substance, y.substance);
            prop_assert!(near(in_g_per_l(x.concentration.best), in_g_per_l(y.concentration.best), 1e-9));
        }
        match (a.ph, b.ph) {
            (Some(a), Some(b)) => prop_assert!((a.best.0 - b.best.0).abs() < 1e-6),
            (None, None) => {}
            other => prop_assert!(false, "{:?}", other),
        }
    }

    #[test]
    fn scaling_leaves_concentrations_density_and_ph_unchanged(picks in picks(), factor in prop::sample::select(vec![0.01, 0.1, 0.5, 3.0, 7.0, 100.0])) {
        let lines = shelf(&picks);
        let scaled: Vec<String> = lines
            .iter()
            .map(|l| {
                let (grams, name) = l.split_once(' ').unwrap();
                format!("{:.5} {name}", grams.parse::<f64>().unwrap() * factor)
            })
            .collect();
        let (a, b) = (made(&lines, 25.0), made(&scaled, 25.0));
        for (x, y) in a.solutes.iter().zip(&b.solutes) {
            prop_assert!(near(in_g_per_l(x.concentration.best), in_g_per_l(y.concentration.best), 1e-6));
        }
        if let (Some(a), Some(b)) = (a.density, b.density) {
            prop_assert!(near(in_kg_per_m3(a.best), in_kg_per_m3(b.best), 1e-7));
        }
        if let (Some(a), Some(b)) = (a.ph, b.ph) {
            prop_assert!((a.best.0 - b.best.0).abs() < 1e-3);
        }
    }

    /// More moles of an acid in the same water and with the same other solutes never raise the pH beyond what the
    /// answer itself allows.
    #[test]
    fn more_acid_never_raises_the_ph(
        acid in prop::sample::select(vec!["acetic acid 100 %", "anhydrous citric acid", "sodium bisulfate"]),
        first in 0.1..40.0f64,
        more in 1.0..5.0f64,
        others in picks(),
    ) {
        let mut lines = shelf(&others);
        lines.push(format!("{first:.4} g {acid}"));
        let a = made(&lines, 25.0);
        lines.pop();
        lines.push(format!("{:.4} g {acid}", first * more));
        let b = made(&lines, 25.0);
        if let (Some(a), Some(b)) = (a.ph, b.ph) {
            prop_assert!(b.best.0 <= a.high.0, "{} g: {:?}, {} g: {:?}", first, a, first * more, b);
        }
    }

    #[test]
    fn a_warmer_and_a_stronger_bath_never_panics(picks in picks(), t_c in -20.0..90.0f64) {
        let lines = shelf(&picks);
        let list: Vec<_> = lines.iter().map(|l| read_ingredient(l, MeasureSystem::Us).unwrap()).collect();
        for carbonate in [None, Some(Carbonate::Aired), Some(Carbonate::Fizzing)] {
            let found = mix(&list, &MixConditions { temperature: celsius(t_c), carbonate });
            prop_assert_eq!(found.is_ok(), (0.0..=60.0).contains(&t_c));
            if let Some(ph) = found.ok().and_then(|m| m.ph) {
                prop_assert!(ph.low.0 <= ph.best.0 && ph.best.0 <= ph.high.0 && ph.best.0.is_finite());
            }
        }
    }
}
