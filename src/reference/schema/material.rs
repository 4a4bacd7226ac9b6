use super::{Source, Text};
use serde::{Deserialize, Serialize};

/// `shared/materials.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialTable {
    /// All materials, sorted by id.
    pub materials: Vec<Material>,
}

/// What parts, ballast, vessels and hangers are made of.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Stable name, such as `soda_lime_glass`.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// Other whole names: "glass", "marble" ...
    #[serde(default)]
    pub aliases: Vec<Text>,
    /// Metal, polymer, glass, ceramic, stone or other.
    pub kind: MaterialKind,
    /// Density at 20 °C, kg/m³: best, low, high.
    pub density_kg_m3: [f64; 3],
    /// For a polymer: warmest bath to advise, °C.
    #[serde(default)]
    pub bath_below_c: Option<f64>,
    /// Where the values come from.
    #[serde(default)]
    pub sources: Vec<Source>,
}

/// What family a material belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum MaterialKind {
    Metal,
    Polymer,
    Glass,
    Ceramic,
    Stone,
    Wood,
    Other,
}
