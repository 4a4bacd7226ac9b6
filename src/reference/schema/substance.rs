use super::{Classes, Role, Source, Text, borrowed};
use serde::{Deserialize, Serialize};

/// `shared/substances.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct SubstanceTable {
    /// All substances, sorted by id.
    pub substances: Vec<Substance>,
}

/// How a substance is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Form {
    Solid,
    Liquid,
    Gas,
    Solution,
    SolidOrSolution,
}

/// Whether a line needs a strength, because the substance is sold as solutions of widely different strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StrengthNeed {
    /// The name is enough.
    #[default]
    Never,
    /// Only when it is measured by volume: weighed, it is the solid.
    WhenPoured,
    /// Always.
    Always,
}

/// A chemical the program knows.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Substance {
    /// Stable name in recipes and JSON, such as `acetic_acid`.
    #[serde(deserialize_with = "borrowed::text")]
    pub id: Text,
    /// Name for the sheet.
    #[serde(deserialize_with = "borrowed::text")]
    pub name: Text,
    /// Other whole names it is known by. Names with several meanings are in `shared/everyday.yaml`.
    #[serde(default, deserialize_with = "borrowed::texts")]
    pub aliases: Vec<Text>,
    /// CAS registry number.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub cas: Option<Text>,
    /// Chemical formula.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub formula: Option<Text>,
    /// Molar mass of the formula, g/mol.
    #[serde(default)]
    pub molar_mass_g_mol: Option<f64>,
    /// How it is sold.
    pub form: Form,
    /// Whether a line needs a strength.
    #[serde(default)]
    pub strength: StrengthNeed,
    /// Strengths that this entry is for, per cent by mass: above the first, up to the second.
    #[serde(default)]
    pub strength_percent: Option<[f64; 2]>,
    /// What it does in a mixture, sorted.
    #[serde(default)]
    pub roles: Vec<Role>,
    /// Reactivity groups of EPA-600/2-80-076.
    #[serde(default)]
    pub epa_groups: Vec<u8>,
    /// Hazard classification.
    pub clp: Classes,
    /// Environment and disposal.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub disposal: Option<Text>,
    /// What else there is to know.
    #[serde(default, deserialize_with = "borrowed::option")]
    pub notes: Option<Text>,
    /// Where the values come from.
    #[serde(default, deserialize_with = "borrowed::sources")]
    pub sources: Vec<Source>,
}

/// Its id: there is one entry of that name, and a plan's fingerprint is made from what this writes.
impl std::fmt::Debug for Substance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.id)
    }
}
