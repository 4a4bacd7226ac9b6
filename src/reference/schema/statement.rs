use super::{HazardKind, List, Route, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/statements.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct StatementTable {
    /// H and EUH statements.
    pub hazard: List<StatementText>,
    /// P statements.
    pub precautionary: List<StatementText>,
    /// What each class and category puts on the label.
    pub labels: List<LabelElements>,
    /// Which P statements each class and category asks for.
    pub selection: List<PrecautionChoice>,
    /// P statements on every label of a hazardous mixture for the public.
    pub always: List<Text>,
    /// P statements in the order in which they win a place on a short label.
    pub priority: List<Text>,
    /// What a stricter P statement makes unnecessary.
    pub covers: List<Cover>,
    /// Where the texts come from.
    pub sources: List<Source>,
}

/// A statement and its text.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct StatementText {
    /// `H319`, `EUH031`, `P305+P351+P338`.
    pub code: Text,
    /// The official text.
    pub text: Text,
    /// The text with its dots and slashes chosen.
    #[serde(default)]
    pub filled: Option<Text>,
    /// Whether the text was read or is from memory.
    pub status: Text,
}

/// What a class and category puts on the label.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct LabelElements {
    /// The class.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The routes it holds for; empty for all.
    #[serde(default)]
    pub routes: List<Route>,
    /// The categories it holds for.
    pub cats: List<Text>,
    /// Hazard statements it can have.
    pub h: List<Text>,
    /// `GHS05` ...
    #[serde(default)]
    pub pictogram: Option<Text>,
    /// `Danger` or `Warning`.
    #[serde(default)]
    pub signal: Option<Text>,
}

/// Which P statements a class and category asks for.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct PrecautionChoice {
    /// The class.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The routes it holds for; empty for all.
    #[serde(default)]
    pub routes: List<Route>,
    /// The categories it holds for.
    pub cats: List<Text>,
    /// The statements.
    pub p: List<Text>,
}

/// What a stricter P statement makes unnecessary.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Cover {
    /// The stricter statement.
    pub code: Text,
    /// What it makes unnecessary.
    pub covers: List<Text>,
}
