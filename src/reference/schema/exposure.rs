use super::{List, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/exposure.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct ExposureTable {
    /// Gases and vapours, sorted by id.
    pub gases: List<GasLimits>,
    /// Dilution ventilation.
    pub ventilation: Ventilation,
}

/// Who set a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum Authority {
    /// Permissible exposure limit, 29 CFR 1910.1000 and following: law in the United States.
    OshaPel,
    /// Recommended exposure limit of NIOSH.
    NioshRel,
    /// Ontario occupational exposure limit.
    Ontario,
    /// A guide value where the others have none.
    Guide,
}

/// Over what time a limit counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum LimitKind {
    /// 8 h (PEL) or up to 10 h (REL).
    Average,
    /// 15 min, unless the limit says otherwise.
    ShortTerm,
    /// Never to be passed.
    Ceiling,
    /// Once, for a short time.
    Peak,
}

/// One exposure limit.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct ExposureLimit {
    /// Who set it.
    pub by: Authority,
    /// Over what time.
    pub kind: LimitKind,
    /// Parts per million by volume.
    #[serde(default)]
    pub ppm: Option<f64>,
    /// Milligrams per cubic metre.
    #[serde(default)]
    pub mg_m3: Option<f64>,
    /// Averaging time, when it is not the usual one.
    #[serde(default)]
    pub minutes: Option<u16>,
    /// What else there is to say.
    #[serde(default)]
    pub note: Option<Text>,
}

/// Limits of a gas or vapour.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct GasLimits {
    /// Stable name, such as `hydrogen_sulfide`.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// CAS registry number.
    pub cas: Text,
    /// Molar mass, g/mol.
    pub molar_mass_g_mol: f64,
    /// Substances that give it off, by id.
    #[serde(default)]
    pub of: List<Text>,
    /// Limits.
    #[serde(default)]
    pub limits: List<ExposureLimit>,
    /// Immediately dangerous to life or health, ppm.
    #[serde(default)]
    pub idlh_ppm: Option<f64>,
    /// Lower explosive limit, per cent by volume.
    #[serde(default)]
    pub lel_percent: Option<f64>,
    /// What else there is to know.
    #[serde(default)]
    pub notes: Option<Text>,
    /// Where the values come from.
    pub sources: List<Source>,
}

/// Facts of dilution ventilation.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Ventilation {
    /// How much more air a room needs than a perfectly mixed one.
    pub mixing_factors: List<MixingFactor>,
    /// Where the formulas come from.
    pub sources: List<Source>,
}

/// How much more air a room needs than a perfectly mixed one.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct MixingFactor {
    /// `ideal`, `good`, `average` or `poor`.
    pub room: Text,
    /// The factor.
    pub k: f64,
}
