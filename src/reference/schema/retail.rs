use super::{List, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/retail.yaml`.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct RetailTable {
    /// Sorted by substance, then by strength.
    pub goods: List<Good>,
    /// Sorted by name.
    pub things: List<Thing>,
}

/// What is needed beside what is poured: a paper, a wax, a brush.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Thing {
    /// As recipes and preparation call it.
    pub name: Text,
    /// A usual package.
    pub package: Text,
    /// Where it is sold.
    pub place: Text,
    /// Where the entry comes from.
    pub status: Text,
}

/// A thing that shops sell to the public, in one strength.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Good {
    /// Substance id.
    pub id: Text,
    /// Strength on the label, per cent.
    #[serde(default)]
    pub percent: Option<f64>,
    /// What the package sizes are in.
    pub unit: PackageUnit,
    /// Usual package sizes, smallest first.
    pub packages: List<u32>,
    /// Where it is sold.
    pub place: Text,
    /// Where the entry comes from.
    pub status: Text,
}

/// What a package holds is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[allow(missing_docs)]
pub enum PackageUnit {
    #[serde(rename = "g")]
    Gram,
    #[serde(rename = "mL")]
    Millilitre,
    #[serde(rename = "L")]
    Litre,
}
