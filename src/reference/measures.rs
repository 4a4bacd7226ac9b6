//! Kitchen measures with their sources, and what a level spoon of a solid weighs.

use super::schema::{BulkSolid, MeasureTable, VolumeMeasure};
use crate::amount::{Estimate, MassDensity, kg_per_m3};

static MEASURES: MeasureTable = embedded!("measures");

/// Kitchen measures, sorted by id. The parser computes with exact ratios of its own; a test holds the two together.
pub fn volume_measures() -> &'static [VolumeMeasure] {
    &MEASURES.volumes
}

/// Solids by the spoon, sorted by name.
pub fn bulk_solids() -> &'static [BulkSolid] {
    &MEASURES.bulk
}

/// The bulk density of a solid as spooned, by its name ("table salt", "kosher salt") or, when that is in no list, by the
/// id of its substance.
///
/// A name that leaves the grade open ("soda ash") gets the spread of all its grades; so does a substance id, where the
/// usual grade is the best guess and, failing that, the middle of all. `None` when the solid is not in the table: then
/// it can only be weighed.
pub fn bulk_density(name: &str, substance_id: &str) -> Option<Estimate<MassDensity>> {
    let wanted = name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let named: Vec<&BulkSolid> =
        bulk_solids().iter().filter(|b| b.name == wanted || b.aliases.iter().any(|a| *a == wanted)).collect();
    let grades = match named.is_empty() {
        true => bulk_solids().iter().filter(|b| b.substance.as_deref() == Some(substance_id)).collect(),
        false => named,
    };
    let best = match grades.iter().find(|b| b.usual) {
        Some(usual) => usual.g_per_ml[0],
        // The count is small, so the conversion is exact.
        None => grades.iter().map(|b| b.g_per_ml[0]).sum::<f64>() / grades.len() as f64,
    };
    let low = grades.iter().map(|b| b.g_per_ml[1]).reduce(f64::min)?;
    let high = grades.iter().map(|b| b.g_per_ml[2]).reduce(f64::max)?;
    Some(Estimate { best, low, high }.map(|g_per_ml| kg_per_m3(g_per_ml * 1000.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, VolumeUnit, in_kg_per_m3};

    fn g_per_ml(name: &str) -> Option<(f64, f64, f64)> {
        let round = |d| (in_kg_per_m3(d)).round() / 1000.0;
        bulk_density(name, name).map(|d| (round(d.best), round(d.low), round(d.high)))
    }

    #[test]
    fn the_grade_decides_and_an_open_grade_spreads() {
        assert_eq!(g_per_ml("Table  salt"), Some((1.22, 0.98, 1.3)));
        assert_eq!(g_per_ml("kosher salt"), Some((0.84, 0.57, 1.12)));
        assert_eq!(g_per_ml("sodium_chloride"), Some((1.22, 0.57, 1.3)));
        assert_eq!(g_per_ml("soda ash"), Some((0.8, 0.5, 1.2)));
        assert_eq!(g_per_ml("light soda ash"), Some((0.57, 0.5, 0.7)));
        assert_eq!(g_per_ml("tannic acid"), None);
    }

    #[test]
    fn the_table_and_the_parser_agree() {
        use MeasureSystem::*;
        let units = [
            ("gallon", VolumeUnit::Gallon),
            ("quart", VolumeUnit::Quart),
            ("pint", VolumeUnit::Pint),
            ("cup", VolumeUnit::Cup),
            ("fluid_ounce", VolumeUnit::FluidOunce),
            ("tablespoon", VolumeUnit::Tablespoon),
            ("teaspoon", VolumeUnit::Teaspoon),
            ("dash", VolumeUnit::Dash),
            ("pinch", VolumeUnit::Pinch),
        ];
        for measure in volume_measures() {
            let (system, unit) = measure.id.split_once('_').unwrap();
            let system = MeasureSystem::from_word(system).unwrap();
            let unit = units.iter().find(|(name, _)| *name == unit).unwrap().1;
            let ml = crate::amount::Exact::from_decimal(measure.ml.parse().unwrap());
            assert_eq!(unit.exact_ml(system), ml, "{}", measure.id);
        }
        for system in [Us, Metric, Australian, Imperial] {
            for (name, unit) in units.iter().take(7).filter(|(_, u)| u.exact_ml(system).is_some()) {
                let id = format!("{}_{name}", system.name().to_lowercase());
                assert!(volume_measures().iter().any(|m| m.id == id), "{id} ({unit:?}) is not in the table");
            }
        }
    }

    #[test]
    fn the_table_is_sorted_sourced_and_names_known_substances() {
        assert!(volume_measures().is_sorted_by(|a, b| a.id < b.id));
        assert!(bulk_solids().is_sorted_by(|a, b| a.name < b.name));
        assert!(volume_measures().iter().all(|m| !m.sources.is_empty()));
        for b in bulk_solids() {
            assert!(!b.sources.is_empty(), "{}", b.name);
            let [best, low, high] = b.g_per_ml;
            assert!(0.0 < low && low <= best && best <= high, "{}", b.name);
        }
    }
}
