//! Exposure limits of gases and vapours, and which of them to compare with.

use super::EXPOSURE;
use super::schema::{Authority, ExposureLimit, GasLimits, LimitKind, Ventilation};

/// Molar volume of an ideal gas at 25 °C and 101.325 kPa, L/mol, as exposure limits are converted
/// (29 CFR 1910.1000 Table Z-1, note a).
pub const LIMIT_MOLAR_VOLUME_L_MOL: f64 = 24.45;

/// All gases and vapours with limits, sorted by id.
pub fn gases() -> &'static [GasLimits] {
    &EXPOSURE.gases
}

/// Limits of a gas or vapour, by its id ("hydrogen_sulfide"), its name, or the id of a substance that gives it off
/// (`ammonia_aq`); spaces and underscores are the same, case is ignored.
pub fn exposure_limits(gas: &str) -> Option<&'static GasLimits> {
    let all = gases();
    let by_id = |id: &str| all.binary_search_by(|g| g.id.as_ref().cmp(id)).ok().map(|at| &all[at]);
    if let Some(found) = by_id(gas) {
        return Some(found);
    }
    let wanted = gas.trim().to_lowercase().replace(' ', "_");
    let same = |text: &str| text.to_lowercase().replace(' ', "_") == wanted;
    by_id(&wanted)
        .or_else(|| all.iter().find(|g| g.of.iter().any(|id| *id == wanted)))
        .or_else(|| all.iter().find(|g| same(&g.name)))
}

/// Mixing factors and sources of dilution ventilation.
pub fn ventilation() -> &'static Ventilation {
    &EXPOSURE.ventilation
}

/// A limit chosen to compare with.
#[derive(Debug, Clone, Copy)]
pub struct ChosenLimit {
    /// Parts per million by volume.
    pub ppm: f64,
    limit: &'static ExposureLimit,
}

impl ChosenLimit {
    /// Its name for the sheet: "NIOSH REL ceiling".
    pub fn name(&self) -> String {
        self.limit.title()
    }
}

impl ExposureLimit {
    /// The limit in ppm for a gas of this molar mass; computed from mg/m³ where only that is set.
    pub fn in_ppm(&self, molar_mass_g_mol: f64) -> Option<f64> {
        let from_mass = |mg: f64| (molar_mass_g_mol > 0.0).then(|| mg * LIMIT_MOLAR_VOLUME_L_MOL / molar_mass_g_mol);
        self.ppm.or_else(|| self.mg_m3.and_then(from_mass))
    }

    /// Its name for the sheet.
    pub fn title(&self) -> String {
        let by = match self.by {
            Authority::OshaPel => "OSHA PEL",
            Authority::NioshRel => "NIOSH REL",
            Authority::Ontario => "Ontario limit",
            Authority::Guide => "guide value",
        };
        let kind = match (self.kind, self.by) {
            (LimitKind::Average, Authority::NioshRel) => "10 h average".to_string(),
            (LimitKind::Average, _) => "8 h average".to_string(),
            (LimitKind::ShortTerm, _) => format!("{} min average", self.minutes.unwrap_or(15)),
            (LimitKind::Ceiling, _) => match self.minutes {
                Some(m) => format!("ceiling ({m} min)"),
                None => "ceiling".to_string(),
            },
            (LimitKind::Peak, _) => "peak".to_string(),
        };
        format!("{by} {kind}")
    }
}

impl GasLimits {
    /// The strictest limit of OSHA and NIOSH, or the guide value where they have none. Peaks are never taken: they
    /// allow more than the limit they belong to. `None` when no figure exists (a gas without limit is not harmless).
    pub fn strictest(&self) -> Option<ChosenLimit> {
        self.lowest(|l| l.kind != LimitKind::Peak)
    }

    /// The strictest limit for a release of minutes: short-term average or ceiling; otherwise the strictest of all.
    pub fn short_term(&self) -> Option<ChosenLimit> {
        self.lowest(|l| matches!(l.kind, LimitKind::ShortTerm | LimitKind::Ceiling)).or_else(|| self.strictest())
    }

    fn lowest(&self, counts: impl Fn(&ExposureLimit) -> bool) -> Option<ChosenLimit> {
        let of = |by: &[Authority]| {
            self.limits
                .iter()
                .filter(|l| by.contains(&l.by) && counts(l))
                .filter_map(|l| Some((l.in_ppm(self.molar_mass_g_mol)?, l)))
                .min_by(|(a, _), (b, _)| a.total_cmp(b))
        };
        let (ppm, limit) = of(&[Authority::OshaPel, Authority::NioshRel]).or_else(|| of(&[Authority::Guide]))?;
        Some(ChosenLimit { ppm, limit })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gas_is_found_by_id_name_and_the_substance_that_gives_it_off() {
        for (asked, id) in [
            ("hydrogen_sulfide", "hydrogen_sulfide"),
            ("Hydrogen sulfide", "hydrogen_sulfide"),
            ("ammonia_aq", "ammonia"),
            ("hydrochloric_acid", "hydrogen_chloride"),
            ("nitrogen dioxide", "nitrogen_dioxide"),
        ] {
            assert_eq!(exposure_limits(asked).map(|g| g.id.as_ref()), Some(id), "{asked}");
        }
        assert!(exposure_limits("argon").is_none());
    }

    #[test]
    fn the_strictest_limit_is_named() {
        let limit = |gas: &str| exposure_limits(gas).and_then(GasLimits::strictest).unwrap();
        let told = |gas: &str| (limit(gas).ppm, limit(gas).name());
        assert_eq!(told("chlorine"), (0.5, "NIOSH REL ceiling (15 min)".into()));
        assert_eq!(told("ammonia"), (25.0, "NIOSH REL 10 h average".into()));
        assert_eq!(limit("hydrogen").ppm, 4000.0);
        assert!(limit("stoddard_solvent").ppm < 62.0);
    }

    #[test]
    fn every_gas_has_sources_and_sensible_limits() {
        assert!(gases().windows(2).all(|w| w[0].id < w[1].id));
        for g in gases() {
            assert!(!g.sources.is_empty(), "{}", g.id);
            assert!(g.strictest().is_some(), "{}", g.id);
            for l in &g.limits {
                // Within rounding of the printed tables, ppm and mg/m3 are the same limit.
                if let (Some(ppm), Some(mg)) = (l.ppm, l.mg_m3) {
                    let converted = ppm * g.molar_mass_g_mol / LIMIT_MOLAR_VOLUME_L_MOL;
                    assert!(
                        (converted / mg - 1.0).abs() < 0.1 || (converted - mg).abs() < 0.5,
                        "{}: {ppm} ppm and {mg} mg/m3",
                        g.id
                    );
                }
            }
        }
    }
}
