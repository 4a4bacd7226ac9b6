use super::{Source, Text, borrowed};
use serde::{Deserialize, Serialize};

/// `shared/gloves.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct GloveTable {
    /// Glove materials by chemical.
    pub gloves: Vec<Gloves>,
    /// Where the values come from.
    #[serde(deserialize_with = "borrowed::sources")]
    pub sources: Vec<Source>,
}

/// Which glove materials hold against some chemicals.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Gloves {
    /// Substances, by id.
    #[serde(deserialize_with = "borrowed::texts")]
    pub of: Vec<Text>,
    /// From this share of the bath on, per cent by mass, inclusive.
    #[serde(default)]
    pub from_percent: f64,
    /// Below this share, exclusive.
    #[serde(default)]
    pub below_percent: Option<f64>,
    /// Materials that hold.
    #[serde(deserialize_with = "borrowed::texts")]
    pub good: Vec<Text>,
    /// Materials that hold for a short while.
    #[serde(default, deserialize_with = "borrowed::texts")]
    pub limited: Vec<Text>,
    /// Materials that do not hold.
    #[serde(default, deserialize_with = "borrowed::texts")]
    pub poor: Vec<Text>,
    /// What was read and what is from memory.
    #[serde(deserialize_with = "borrowed::text")]
    pub status: Text,
}
