use super::{List, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/measures.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct MeasureTable {
    /// Kitchen measures, sorted by id.
    pub volumes: List<VolumeMeasure>,
    /// Solids by the spoon, sorted by name.
    pub bulk: List<BulkSolid>,
}

/// What a kitchen measure holds.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct VolumeMeasure {
    /// System and unit, such as `us_cup`.
    pub id: Text,
    /// Millilitres, a decimal as text.
    pub ml: Text,
    /// How it is defined, or whose custom it is.
    #[serde(default)]
    pub note: Text,
    /// Where the value comes from.
    #[serde(default)]
    pub sources: List<Source>,
}

/// What a level measure of a solid weighs.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct BulkSolid {
    /// Name with the grade.
    pub name: Text,
    /// Id of the substance.
    #[serde(default)]
    pub substance: Option<Text>,
    /// Other whole names. A name that leaves the grade open stands at each grade.
    #[serde(default)]
    pub aliases: List<Text>,
    /// Whether this grade is meant when only the substance is known.
    #[serde(default)]
    pub usual: bool,
    /// Bulk density in g/mL as spooned: usual, low, high.
    pub g_per_ml: [f64; 3],
    /// What explains the spread.
    #[serde(default)]
    pub note: Text,
    /// Where the values come from.
    #[serde(default)]
    pub sources: List<Source>,
}
