use super::{List, SortedMap, Source, Text};
use databake::Bake;
use serde::Deserialize;
use std::collections::BTreeMap;

/// `shared/materials.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct MaterialTable {
    /// All materials, sorted by id.
    pub materials: List<Material>,
}

/// Every name of a material in lower case, with its index in the table; made by the build script.
pub type MaterialNames = SortedMap<Text, u16>;

/// Makes the index; of two materials with one name the first has it.
pub fn material_names(table: &MaterialTable) -> MaterialNames {
    let mut names = BTreeMap::new();
    for (i, m) in (0..).zip(&table.materials) {
        for name in [&m.id, &m.name].into_iter().chain(&m.aliases) {
            names.entry(Text::from(name.to_lowercase())).or_insert(i);
        }
    }
    SortedMap(names.into_iter().collect())
}

/// What parts, ballast, vessels and hangers are made of.
#[derive(Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Stable name, such as `soda_lime_glass`.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// Other whole names: "glass", "glass marble" ...
    #[serde(default)]
    pub aliases: List<Text>,
    /// Metal, polymer, glass, ceramic, stone or other.
    pub kind: MaterialKind,
    /// For a metal: what its *surface* behaves like in a bath (galvanised steel is zinc).
    #[serde(default)]
    pub family: Option<MetalFamily>,
    /// For a coated metal: what lies under the coating and is bared once the coating is gone.
    #[serde(default)]
    pub beneath: Option<MetalFamily>,
    /// Density at 20 °C, kg/m³: best, low, high.
    pub density_kg_m3: [f64; 3],
    /// For a polymer or a wax: warmest bath to advise, °C.
    #[serde(default)]
    pub bath_below_c: Option<f64>,
    /// For stone, concrete and other minerals: holds carbonate or lime (or may hold it), so that acid attacks it, fizzes
    /// and is used up. Metals are judged by their family instead.
    #[serde(default)]
    pub attacked_by_acid: bool,
    /// Substance that the rules see in a piece of it: the carbonate of a stone, the fuel that wood and cotton are.
    #[serde(default)]
    pub acts_as: Option<Text>,
    /// For a metal of another family: some of it is sold with lead in it.
    #[serde(default)]
    pub may_hold_lead: bool,
    /// Soaks up bath and lets it out later.
    #[serde(default)]
    pub porous: bool,
    /// What else the person should know.
    #[serde(default)]
    pub note: Option<Text>,
    /// Where the values come from.
    #[serde(default)]
    pub sources: List<Source>,
}

/// What family a material belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum MaterialKind {
    Metal,
    Polymer,
    Glass,
    Ceramic,
    Stone,
    Wood,
    Wax,
    Other,
}

/// How the surface of a metal behaves in a bath.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum MetalFamily {
    /// Iron and steels that rust.
    Ferrous,
    /// Chromium-bearing steel that holds a passive film.
    Stainless,
    /// Copper, brass, bronze, nickel silver.
    CopperAlloy,
    Zinc,
    Aluminium,
    Magnesium,
    Lead,
    Tin,
    Nickel,
    Chromium,
    Silver,
    Gold,
    Titanium,
}

/// Its id: there is one entry of that name, and a plan's fingerprint is made from what this writes.
impl std::fmt::Debug for Material {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.id)
    }
}
