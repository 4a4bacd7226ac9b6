use super::{Text, borrowed};
use serde::{Deserialize, Serialize};

/// `shared/retail.yaml`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct RetailTable {
    /// Sorted by substance, then by strength.
    pub goods: Vec<Good>,
    /// Sorted by name.
    pub things: Vec<Thing>,
}

/// What is needed beside what is poured: a paper, a wax, a brush.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Thing {
    /// As recipes and preparation call it.
    #[serde(deserialize_with = "borrowed::text")]
    pub name: Text,
    /// A usual package.
    #[serde(deserialize_with = "borrowed::text")]
    pub package: Text,
    /// Where it is sold.
    #[serde(deserialize_with = "borrowed::text")]
    pub place: Text,
    /// Where the entry comes from.
    #[serde(deserialize_with = "borrowed::text")]
    pub status: Text,
}

/// A thing that shops sell to the public, in one strength.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub struct Good {
    /// Substance id.
    #[serde(deserialize_with = "borrowed::text")]
    pub id: Text,
    /// Strength on the label, per cent.
    #[serde(default)]
    pub percent: Option<f64>,
    /// What the package sizes are in.
    pub unit: PackageUnit,
    /// Usual package sizes, smallest first.
    pub packages: Vec<u32>,
    /// Where it is sold.
    #[serde(deserialize_with = "borrowed::text")]
    pub place: Text,
    /// Where the entry comes from.
    #[serde(deserialize_with = "borrowed::text")]
    pub status: Text,
}

/// What a package holds is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub enum PackageUnit {
    #[serde(rename = "g")]
    Gram,
    #[serde(rename = "mL")]
    Millilitre,
    #[serde(rename = "L")]
    Litre,
}
