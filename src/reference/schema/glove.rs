use super::{List, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/gloves.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct GloveTable {
    /// Glove materials by chemical.
    pub gloves: List<Gloves>,
    /// Where the values come from.
    pub sources: List<Source>,
}

/// Which glove materials hold against some chemicals.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Gloves {
    /// Substances, by id.
    pub of: List<Text>,
    /// From this share of the bath on, per cent by mass, inclusive.
    #[serde(default)]
    pub from_percent: f64,
    /// Below this share, exclusive.
    #[serde(default)]
    pub below_percent: Option<f64>,
    /// Materials that hold.
    pub good: List<Text>,
    /// Materials that hold for a short while.
    #[serde(default)]
    pub limited: List<Text>,
    /// Materials that do not hold.
    #[serde(default)]
    pub poor: List<Text>,
    /// What was read and what is from memory.
    pub status: Text,
}
