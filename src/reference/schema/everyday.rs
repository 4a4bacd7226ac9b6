use super::{List, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/everyday.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct EverydayTable {
    /// Words that may be dropped from a name.
    pub qualifiers: Qualifiers,
    /// Everyday names.
    pub names: List<Everyday>,
}

/// Words that do not change which substance is meant.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Qualifiers {
    /// May be dropped from any name.
    pub always: List<Text>,
    /// May be dropped when the substance is a solid that is not a metal.
    pub solid: List<Text>,
    /// May be dropped, and then the strength is open.
    pub solution: List<Text>,
}

/// A generic word on a kitchen, hardware, pool or garage shelf.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Everyday {
    /// The names, each a whole name.
    pub words: List<Text>,
    /// Everything it can mean.
    pub means: List<EverydayMeaning>,
    /// Whether the label must be read before the strength can be worked with.
    pub ask_label: bool,
    /// What else there is to know.
    #[serde(default)]
    pub note: Option<Text>,
    /// `recalled` or `computed`, with what else there is to say.
    pub status: Text,
}

/// One thing an everyday name can mean.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct EverydayMeaning {
    /// Substance id.
    pub id: Text,
    /// Usual retail range, per cent by mass of the active substance.
    #[serde(default)]
    pub percent: Option<[f64; 2]>,
}
