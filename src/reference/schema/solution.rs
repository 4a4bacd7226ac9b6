use super::{Component, List, SortedMap, Text};
use databake::Bake;
use serde::Deserialize;

/// How many of which solute, by id.
pub type Counts = SortedMap<Text, f64>;
/// How many of which component.
pub type Components = SortedMap<Component, f64>;

/// `shared/solutions.yaml`: what the bath models need to know.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct SolutionTable {
    /// Documents that the other entries name.
    pub sources: List<SolutionSource>,
    /// What dissolved species are made of.
    pub components: List<ComponentData>,
    /// Species formed from components.
    pub species: List<Species>,
    /// Specific ion interaction coefficients.
    pub sit: List<Interaction>,
    /// Solids that fall out of a bath whose ions are too many for them.
    pub precipitates: List<Precipitate>,
    /// Dissolved substances, anhydrous, sorted by id.
    pub solutes: List<SoluteData>,
    /// What an ingredient brings, sorted by id of the substance.
    pub stocks: List<Stock>,
    /// Errors of measuring, as shares of the amount.
    pub measuring: Measuring,
}

/// A document.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct SolutionSource {
    /// Short name.
    pub id: Text,
    /// Document.
    pub doc: Text,
    /// Where in it.
    pub at: Text,
    /// `read`, `recalled` or `computed`.
    pub status: Text,
}

/// A component of the charge balance.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct ComponentData {
    /// Which it is.
    pub id: Component,
    /// Charge number.
    pub charge: i32,
    /// Hydrolysis or impurities make the pH an estimate only.
    #[serde(default)]
    pub rough: bool,
}

/// A species formed from components; water is left out.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Species {
    /// Name.
    pub name: Text,
    /// Charge number.
    pub charge: i32,
    /// What it is formed from.
    pub of: Components,
    /// log10 of the formation constant, 25 °C, infinite dilution, molality.
    pub log_k: f64,
    /// Enthalpy of formation from the components.
    #[serde(default)]
    pub dh_kj_mol: Option<f64>,
    /// How that enthalpy changes with temperature, where it matters below 60 °C.
    #[serde(default)]
    pub dcp_j_mol_k: Option<f64>,
    /// Source.
    pub source: Text,
}

/// One specific ion interaction coefficient.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Interaction {
    /// One ion.
    pub a: Text,
    /// The ion of opposite charge.
    pub b: Text,
    /// kg/mol.
    pub epsilon: f64,
    /// Source.
    pub source: Text,
}

/// A solid that would settle out.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Precipitate {
    /// Name for the message.
    pub name: Text,
    /// What one formula dissolves into; water is left out.
    pub of: Components,
    /// log10 of the dissolution constant.
    pub log_k: f64,
    /// Decades of supersaturation that are common before anything is seen; half a decade if absent.
    #[serde(default)]
    pub lag: Option<f64>,
    /// A salt of ions that neither take nor give protons: the pH stays what it is without it.
    #[serde(default)]
    pub keeps_ph: bool,
    /// Source.
    pub source: Text,
}

/// A dissolved substance.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct SoluteData {
    /// Id, of the substance table where the anhydrous form has an entry.
    pub id: Text,
    /// Name for the sheet.
    pub name: Text,
    /// Whether it is a salt or an organic liquid or solid: sets the bound on density when there is no model.
    pub kind: SoluteKind,
    /// Molar mass of the anhydrous formula.
    #[serde(default)]
    pub molar_mass_g_mol: Option<f64>,
    /// What one formula brings to the charge balance; absent: pH not modelled.
    #[serde(default)]
    pub of: Option<Components>,
    /// Laliberté and Cooper density model.
    #[serde(default)]
    pub laliberte: Option<Laliberte>,
    /// Polynomial at 20 °C.
    #[serde(default)]
    pub polynomial_20c: Option<Polynomial>,
    /// Solubility against temperature, anhydrous.
    #[serde(default)]
    pub grams_per_100_g_water: Option<Solubility>,
    /// Molecules of water in the solid that settles out.
    #[serde(default)]
    pub solid_water: Option<f64>,
    /// What takes it into solution where water does not.
    #[serde(default)]
    pub dissolved_by: Option<Dissolver>,
    /// Mixes with water in all proportions.
    #[serde(default)]
    pub miscible: bool,
    /// Enthalpy of solution at infinite dilution; negative warms.
    #[serde(default)]
    pub heat_of_solution_kj_mol: Option<f64>,
    /// Largest mass fraction that exists as a solution.
    #[serde(default)]
    pub strongest: Option<f64>,
}

/// A component that takes a solid into solution as a complex that is not modelled.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Dissolver {
    /// The component, as a free base.
    pub component: Component,
    /// Moles of it that carry one mole.
    pub moles: f64,
    /// What comes of it, for the message.
    pub into: Text,
}

/// Family of a solute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum SoluteKind {
    Salt,
    Organic,
}

/// Coefficients of the Laliberté and Cooper apparent density.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Laliberte {
    /// c0 to c4.
    pub c: [f64; 5],
    /// Range of the fit.
    pub t_c: [f64; 2],
    /// Largest mass fraction of the fit.
    pub w_max: f64,
    /// Worst deviation from a handbook table, or a guess from the whole fit.
    pub within_kg_m3: f64,
}

/// ρ(20 °C) = 998.2 + Σ a_n wⁿ.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Polynomial {
    /// a1, a2, ...
    pub a: List<f64>,
    /// Largest mass fraction of the fit.
    pub w_max: f64,
    /// Worst deviation from the table fitted.
    pub within_kg_m3: f64,
}

/// Solubility points.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Solubility {
    /// (temperature in °C, grams anhydrous per 100 g water), rising in temperature.
    pub points: List<(f64, f64)>,
    /// Source.
    pub source: Text,
    /// Where this entry is less certain than its source.
    #[serde(default)]
    pub status: Option<Text>,
}

/// What an ingredient of the substance table brings.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// Substance id.
    pub id: Text,
    /// Moles of solutes per mole.
    #[serde(default)]
    pub gives: Counts,
    /// Molar mass of the formula as weighed.
    #[serde(default)]
    pub molar_mass_g_mol: Option<f64>,
    /// Moles of water per mole; negative when it binds water.
    #[serde(default)]
    pub water: f64,
    /// Mass shares of solutes, for kitchen liquids; the rest is water.
    #[serde(default)]
    pub mass_share: Option<Counts>,
    /// Hydrates in trade, as molecules of water.
    #[serde(default)]
    pub hydrates: List<f64>,
    /// The one on the shelf when the line does not say.
    #[serde(default)]
    pub usual_hydrate: Option<f64>,
    /// Heat of solution of the solid as weighed, in much water and with whatever it does to the water: molecules of
    /// water of crystallisation, kJ per mole; negative warms.
    #[serde(default)]
    pub heats: List<(f64, f64)>,
    /// A solution in water that means nothing without a strength.
    #[serde(default)]
    pub needs_strength: bool,
    /// A bare per cent means per cent by volume.
    #[serde(default)]
    pub by_volume: bool,
    /// Density of the pure liquid at 20 °C.
    #[serde(default)]
    pub liquid_kg_m3: Option<f64>,
    /// Density, pH and the like are not modelled with it in the bath.
    #[serde(default)]
    pub not_modelled: bool,
}

/// Errors of measuring.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Measuring {
    /// A cup of liquid.
    pub cup: f64,
    /// A spoon of liquid.
    pub spoon: f64,
    /// A pinch or dash.
    pub pinch: f64,
    /// Millilitres and litres.
    pub metric_volume: f64,
    /// Grams on scales.
    pub mass: f64,
    /// Ounces and pounds on kitchen scales.
    pub kitchen_mass: f64,
    /// Filling and levelling a spoon of solid, beside its bulk density.
    pub spoon_of_solid: f64,
    /// Bulk density of a solid that has no entry: low, best, high.
    pub unknown_bulk_kg_m3: [f64; 3],
    /// Alkalinity of hard tap water.
    pub tap_water_alkalinity_mol_per_kg: f64,
}
