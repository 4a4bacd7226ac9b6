use super::{Text, borrowed};
use serde::{Deserialize, Serialize};

/// `shared/everyday.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct EverydayTable {
    /// Words that may be dropped from a name.
    pub qualifiers: Qualifiers,
    /// Everyday names.
    pub names: Vec<Everyday>,
}

/// Words that do not change which substance is meant.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Qualifiers {
    /// May be dropped from any name.
    #[serde(deserialize_with = "borrowed::texts")]
    pub always: Vec<Text>,
    /// May be dropped when the substance is a solid that is not a metal.
    #[serde(deserialize_with = "borrowed::texts")]
    pub solid: Vec<Text>,
    /// May be dropped, and then the strength is open.
    #[serde(deserialize_with = "borrowed::texts")]
    pub solution: Vec<Text>,
}

/// A generic word on a kitchen, hardware, pool or garage shelf.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Everyday {
    /// The names, each a whole name.
    #[serde(deserialize_with = "borrowed::texts")]
    pub words: Vec<Text>,
    /// Everything it can mean.
    pub means: Vec<EverydayMeaning>,
    /// Whether the label must be read before the strength can be worked with.
    pub ask_label: bool,
    /// What else there is to know.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub note: Option<Text>,
    /// `recalled` or `computed`, with what else there is to say.
    #[serde(deserialize_with = "borrowed::text")]
    pub status: Text,
}

/// One thing an everyday name can mean.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct EverydayMeaning {
    /// Substance id.
    #[serde(deserialize_with = "borrowed::text")]
    pub id: Text,
    /// Usual retail range, per cent by mass of the active substance.
    #[serde(default)]
    pub percent: Option<[f64; 2]>,
}
