//! Acute toxicity: 100 / ATEmix = sum(C / ATE), route by route.
//!
//! Source: CLP Annex I 3.1.3.6 and Tables 3.1.1 and 3.1.2; 29 CFR 1910.1200 Appendix A, A.1.3.6 and Table A.1.2.

use super::{Class, Classification, Part, Unlisted, reaches, short};
use crate::reference::{HazardKind, Route};

struct Table {
    route: Route,
    /// Upper bounds of categories 1 to 4, inclusive (CLP Annex I Table 3.1.1).
    bounds: [f64; 4],
    /// Point estimates of categories 1 to 4 (CLP Annex I Table 3.1.2; HCS Table A.1.2).
    points: [f64; 4],
    statements: [&'static str; 4],
    unit: &'static str,
}

const ORAL: [&str; 4] = ["H300", "H300", "H301", "H302"];
const DERMAL: [&str; 4] = ["H310", "H310", "H311", "H312"];
const INHALED: [&str; 4] = ["H330", "H330", "H331", "H332"];

const TABLES: [Table; 5] = [
    Table {
        route: Route::Oral,
        bounds: [5.0, 50.0, 300.0, 2000.0],
        points: [0.5, 5.0, 100.0, 500.0],
        statements: ORAL,
        unit: "mg/kg",
    },
    Table {
        route: Route::Dermal,
        bounds: [50.0, 200.0, 1000.0, 2000.0],
        points: [5.0, 50.0, 300.0, 1100.0],
        statements: DERMAL,
        unit: "mg/kg",
    },
    Table {
        route: Route::Gas,
        bounds: [100.0, 500.0, 2500.0, 20000.0],
        points: [10.0, 100.0, 700.0, 4500.0],
        statements: INHALED,
        unit: "ppm",
    },
    Table {
        route: Route::Vapour,
        bounds: [0.5, 2.0, 10.0, 20.0],
        points: [0.05, 0.5, 3.0, 11.0],
        statements: INHALED,
        unit: "mg/L",
    },
    Table {
        route: Route::DustMist,
        bounds: [0.05, 0.5, 1.0, 5.0],
        points: [0.005, 0.05, 0.5, 1.5],
        statements: INHALED,
        unit: "mg/L",
    },
];

const CATEGORIES: [&str; 4] = ["1", "2", "3", "4"];

impl Table {
    /// Index of the category, 0 to 3; `None` above category 4.
    fn category(&self, ate: f64) -> Option<usize> {
        self.bounds.iter().position(|b| ate <= *b * (1.0 + 1e-9))
    }

    /// Acute toxicity estimate of a substance: as listed, otherwise the point estimate of its category.
    fn ate(&self, part: &Part) -> Option<f64> {
        let listed = &part.substance.clp.ate;
        let value = match self.route {
            Route::Oral => listed.oral_mg_kg,
            Route::Dermal => listed.dermal_mg_kg,
            Route::Vapour => listed.vapour_mg_l,
            Route::DustMist => listed.dust_mist_mg_l,
            Route::Gas => None,
        };
        let class = || {
            let classes = part.substance.clp.classes.iter();
            let mut of_route = classes.filter(|c| c.kind == HazardKind::AcuteToxicity && c.route == Some(self.route));
            let cat = of_route.next().and_then(|c| CATEGORIES.iter().position(|k| *k == c.cat))?;
            Some(self.points[cat])
        };
        // A measured dose counts up to 5000 mg/kg, the end of category 5 of UN GHS, as in its worked example 3.1(d); a
        // dose beyond that, or beyond category 4 when breathed in, does not count (CLP 3.1.3.3).
        let counts = |ate: f64| match self.route {
            Route::Oral | Route::Dermal => ate <= 5000.0,
            _ => self.category(ate).is_some(),
        };
        value.filter(|v| *v > 0.0).or_else(class).filter(|ate| counts(*ate))
    }
}

pub(super) fn add(parts: &[Part], unlisted: &[Unlisted], found: &mut Classification) {
    let unknown: f64 = unlisted
        .iter()
        .filter_map(|u| u.percent.map(|p| p.high.max(p.low)))
        .filter(|p| p.is_finite() && *p >= 1.0)
        .sum::<f64>()
        .min(100.0);
    if unknown >= 1.0 {
        found.unknown_toxicity_percent = Some(unknown);
    }
    // More than 10 % unknown is taken out of the mixture (CLP 3.1.3.6.2.3); less is passed over.
    let basis = if unknown > 10.0 { 100.0 - unknown } else { 100.0 };
    for table in &TABLES {
        let counted: Vec<(&Part, f64)> = parts
            .iter()
            .filter_map(|p| {
                let ate = table.ate(p)?;
                // Relevant from 0.1 % in categories 1 to 3 and from 1 % in category 4 (CLP Annex I Table 1.1).
                let from = if table.category(ate).is_some_and(|c| c < 3) { 0.1 } else { 1.0 };
                reaches(p.percent, from).then_some((p, ate))
            })
            .collect();
        let sum: f64 = counted.iter().map(|(p, ate)| p.percent / ate).sum();
        if sum <= 0.0 {
            continue;
        }
        let mixture = basis / sum;
        if let Some(cat) = table.category(mixture) {
            let who: Vec<&Part> = counted.iter().map(|(p, _)| *p).collect();
            let why = format!("ATE of the bath {} {} from {}", short(mixture), table.unit, super::named(&who));
            let mut class = Class::new(HazardKind::AcuteToxicity, CATEGORIES[cat], table.statements[cat], why);
            class.route = Some(table.route);
            found.classes.push(class);
        }
    }
}
