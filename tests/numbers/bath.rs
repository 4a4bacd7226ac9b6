//! Published values for `bath`. Each data file in `tests/data/bath/` names the source of every point.

use bathwright::amount::{MassFraction, celsius, grams, in_kg_per_m3};
use bathwright::bath::{Carbonate, solution_density, solution_ph};
use serde::Deserialize;
use std::collections::BTreeMap;

fn data<T: serde::de::DeserializeOwned>(name: &str) -> T {
    let path = format!("{}/tests/data/bath/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    serde_yaml::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap_or_else(|e| panic!("{path}: {e}"))
}

#[derive(Deserialize)]
struct Densities {
    points: Vec<DensityPoint>,
    sources: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct DensityPoint {
    solutes: BTreeMap<String, f64>,
    t_c: f64,
    kg_m3: f64,
    source: String,
}

#[test]
fn densities_agree_with_handbooks_within_three_tenths_of_a_per_cent() {
    let table: Densities = data("density");
    assert!(table.points.len() >= 60);
    let mut faults = Vec::new();
    for p in &table.points {
        assert!(table.sources.contains_key(&p.source));
        let parts: Vec<_> = p.solutes.iter().map(|(id, w)| (id.as_str(), MassFraction::percent(*w).unwrap())).collect();
        let found = solution_density(&parts, celsius(p.t_c)).map(|d| d.map(in_kg_per_m3));
        let Some(found) = found else {
            faults.push(format!("{:?} has no model", p.solutes));
            continue;
        };
        let brine = p.solutes.len() == 1 && p.solutes.contains_key("sodium_chloride") && (15.0..=30.0).contains(&p.t_c);
        let tolerance = if brine { 0.001 } else { 0.003 };
        let off = found.best / p.kg_m3 - 1.0;
        if off.abs() > tolerance {
            faults.push(format!(
                "{:?} at {} °C: {:.2} against {} ({}): {:+.3} %",
                p.solutes,
                p.t_c,
                found.best,
                p.kg_m3,
                p.source,
                off * 100.0
            ));
        }
        if !(found.low - 0.5 <= p.kg_m3 && p.kg_m3 <= found.high + 0.5) {
            faults.push(format!(
                "{:?} at {} °C: {} ({}) outside {:.2} to {:.2}",
                p.solutes, p.t_c, p.kg_m3, p.source, found.low, found.high
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[derive(Deserialize)]
struct PhBaths {
    baths: Vec<PhBath>,
    sources: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct PhBath {
    id: String,
    solutes_g: BTreeMap<String, f64>,
    water_g: f64,
    t_c: f64,
    gas: String,
    ph: f64,
    models: [f64; 2],
    source: String,
}

fn gas(word: &str) -> Carbonate {
    match word {
        "closed" => Carbonate::Closed,
        "aired" => Carbonate::Aired,
        "fizzing" => Carbonate::Fizzing,
        other => panic!("{other}"),
    }
}

/// Ionic strength as if all salts were wholly dissociated, mol/kg: an upper bound for the test's own split.
#[test]
fn ph_agrees_with_reference_engines_and_standards() {
    let table: PhBaths = data("ph");
    assert!(table.baths.len() >= 25);
    let mut faults = Vec::new();
    for b in &table.baths {
        assert!(table.sources.contains_key(&b.source));
        let solutes: Vec<_> = b.solutes_g.iter().map(|(id, g)| (id.as_str(), grams(*g))).collect();
        let found = match solution_ph(&solutes, grams(b.water_g), celsius(b.t_c), gas(&b.gas)) {
            Ok(found) => found,
            Err(e) => {
                faults.push(format!("{}: {e}", b.id));
                continue;
            }
        };
        println!("{}: {:.2} against {} ({:.2} to {:.2})", b.id, found.best.0, b.ph, found.low.0, found.high.0);
        for reference in [b.ph, b.models[0], b.models[1]] {
            if !(found.low.0 - 0.005 <= reference && reference <= found.high.0 + 0.005) {
                faults.push(format!(
                    "{}: {reference} outside {:.2} to {:.2} ({:.2})",
                    b.id, found.low.0, found.high.0, found.best.0
                ));
            }
        }
        if b.weak() && (found.best.0 - b.ph).abs() > 0.1 {
            faults.push(format!("{}: {:.2} against {}", b.id, found.best.0, b.ph));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

impl PhBath {
    /// Whether the ionic strength stays below 0.1 mol/kg even if everything dissociates.
    fn weak(&self) -> bool {
        let strength: f64 = self
            .solutes_g
            .iter()
            .map(|(id, g)| {
                let weak_acid = ["acetic_acid", "citric_acid", "boric_acid", "ammonia"].contains(&id.as_str());
                if weak_acid { 0.0 } else { 3.0 * g / 100.0 / (self.water_g / 1000.0) }
            })
            .sum();
        strength < 0.1 || self.source.starts_with("nbs")
    }
}
