use super::{HazardKind, Route, Source, Text, borrowed};
use serde::{Deserialize, Serialize};

/// `shared/statements.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct StatementTable {
    /// H and EUH statements.
    pub hazard: Vec<StatementText>,
    /// P statements.
    pub precautionary: Vec<StatementText>,
    /// What each class and category puts on the label.
    pub labels: Vec<LabelElements>,
    /// Which P statements each class and category asks for.
    pub selection: Vec<PrecautionChoice>,
    /// P statements on every label of a hazardous mixture for the public.
    #[serde(deserialize_with = "borrowed::texts")]
    pub always: Vec<Text>,
    /// P statements in the order in which they win a place on a short label.
    #[serde(deserialize_with = "borrowed::texts")]
    pub priority: Vec<Text>,
    /// What a stricter P statement makes unnecessary.
    pub covers: Vec<Cover>,
    /// Where the texts come from.
    #[serde(deserialize_with = "borrowed::sources")]
    pub sources: Vec<Source>,
}

/// A statement and its text.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct StatementText {
    /// `H319`, `EUH031`, `P305+P351+P338`.
    #[serde(deserialize_with = "borrowed::text")]
    pub code: Text,
    /// The official text.
    #[serde(deserialize_with = "borrowed::text")]
    pub text: Text,
    /// The text with its dots and slashes chosen.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub filled: Option<Text>,
    /// Whether the text was read or is from memory.
    #[serde(deserialize_with = "borrowed::text")]
    pub status: Text,
}

/// What a class and category puts on the label.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct LabelElements {
    /// The class.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The routes it holds for; empty for all.
    #[serde(default)]
    pub routes: Vec<Route>,
    /// The categories it holds for.
    #[serde(deserialize_with = "borrowed::texts")]
    pub cats: Vec<Text>,
    /// Hazard statements it can have.
    #[serde(deserialize_with = "borrowed::texts")]
    pub h: Vec<Text>,
    /// `GHS05` ...
    #[serde(default, deserialize_with = "borrowed::option")]
    pub pictogram: Option<Text>,
    /// `Danger` or `Warning`.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub signal: Option<Text>,
}

/// Which P statements a class and category asks for.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct PrecautionChoice {
    /// The class.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The routes it holds for; empty for all.
    #[serde(default)]
    pub routes: Vec<Route>,
    /// The categories it holds for.
    #[serde(deserialize_with = "borrowed::texts")]
    pub cats: Vec<Text>,
    /// The statements.
    #[serde(deserialize_with = "borrowed::texts")]
    pub p: Vec<Text>,
}

/// What a stricter P statement makes unnecessary.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Cover {
    /// The stricter statement.
    #[serde(deserialize_with = "borrowed::text")]
    pub code: Text,
    /// What it makes unnecessary.
    #[serde(deserialize_with = "borrowed::texts")]
    pub covers: Vec<Text>,
}
