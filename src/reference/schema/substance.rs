use super::{Classes, List, Role, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/substances.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct SubstanceTable {
    /// All substances, sorted by id.
    pub substances: List<Substance>,
}

/// How a substance is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
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
#[derive(Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Substance {
    /// Stable name in recipes and JSON, such as `acetic_acid`.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// Other whole names it is known by. Names with several meanings are in `shared/everyday.yaml`.
    #[serde(default)]
    pub aliases: List<Text>,
    /// CAS registry number.
    #[serde(default)]
    pub cas: Option<Text>,
    /// Chemical formula.
    #[serde(default)]
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
    pub roles: List<Role>,
    /// Reactivity groups of EPA-600/2-80-076.
    #[serde(default)]
    pub epa_groups: List<u8>,
    /// Hazard classification.
    pub clp: Classes,
    /// Environment and disposal.
    #[serde(default)]
    pub disposal: Option<Text>,
    /// What else there is to know.
    #[serde(default)]
    pub notes: Option<Text>,
    /// Where the values come from.
    #[serde(default)]
    pub sources: List<Source>,
}

/// Its id: there is one entry of that name, and a plan's fingerprint is made from what this writes.
impl std::fmt::Debug for Substance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.id)
    }
}
