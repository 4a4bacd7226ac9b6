use super::{Source, Text};
use serde::{Deserialize, Serialize};

/// `shared/substances.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SubstanceTable {
    /// All substances, sorted by id.
    pub substances: Vec<Substance>,
}

/// A chemical the program knows.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Substance {
    /// Stable name in recipes and JSON, such as `acetic_acid`.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// Other whole names it is known by.
    #[serde(default)]
    pub aliases: Vec<Text>,
    /// CAS registry number.
    #[serde(default)]
    pub cas: Option<Text>,
    /// Chemical formula.
    #[serde(default)]
    pub formula: Option<Text>,
    /// Molar mass of the formula, g/mol.
    #[serde(default)]
    pub molar_mass_g_mol: Option<f64>,
    /// Where the values come from.
    #[serde(default)]
    pub sources: Vec<Source>,
}
