use super::{List, Text};
use databake::Bake;
use serde::Deserialize;

/// Hazard class of the GHS, in the abbreviations of Regulation (EC) 1272/2008, Annex VI Table 1.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[allow(missing_docs)]
pub enum HazardKind {
    #[serde(rename = "Flam. Gas")]
    FlammableGas,
    #[serde(rename = "Ox. Gas")]
    OxidisingGas,
    #[serde(rename = "Press. Gas")]
    PressurisedGas,
    #[serde(rename = "Flam. Liq.")]
    FlammableLiquid,
    #[serde(rename = "Flam. Sol.")]
    FlammableSolid,
    #[serde(rename = "Pyr. Sol.")]
    PyrophoricSolid,
    #[serde(rename = "Self-heat.")]
    SelfHeating,
    #[serde(rename = "Water-react.")]
    WaterReactive,
    #[serde(rename = "Ox. Liq.")]
    OxidisingLiquid,
    #[serde(rename = "Ox. Sol.")]
    OxidisingSolid,
    #[serde(rename = "Org. Perox.")]
    OrganicPeroxide,
    #[serde(rename = "Met. Corr.")]
    CorrosiveToMetals,
    #[serde(rename = "Acute Tox.")]
    AcuteToxicity,
    #[serde(rename = "Skin Corr.")]
    SkinCorrosion,
    #[serde(rename = "Skin Irrit.")]
    SkinIrritation,
    #[serde(rename = "Eye Dam.")]
    EyeDamage,
    #[serde(rename = "Eye Irrit.")]
    EyeIrritation,
    #[serde(rename = "Resp. Sens.")]
    RespiratorySensitiser,
    #[serde(rename = "Skin Sens.")]
    SkinSensitiser,
    #[serde(rename = "Muta.")]
    Mutagen,
    #[serde(rename = "Carc.")]
    Carcinogen,
    #[serde(rename = "Repr.")]
    ReproductiveToxicity,
    #[serde(rename = "Lact.")]
    Lactation,
    #[serde(rename = "STOT SE")]
    StotSingle,
    #[serde(rename = "STOT RE")]
    StotRepeated,
    #[serde(rename = "Asp. Tox.")]
    Aspiration,
    #[serde(rename = "Aquatic Acute")]
    AquaticAcute,
    #[serde(rename = "Aquatic Chronic")]
    AquaticChronic,
}

/// Way into the body, for acute toxicity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum Route {
    /// Swallowed; mg/kg.
    Oral,
    /// Through the skin; mg/kg.
    Dermal,
    /// Breathed in as a gas; ppm by volume.
    Gas,
    /// Breathed in as a vapour; mg/L.
    Vapour,
    /// Breathed in as dust or mist; mg/L.
    DustMist,
}

/// One hazard class and category of a substance.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct HazardClass {
    /// The class.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The category: `1`, `1A`, `2` ..., empty where the class has none.
    pub cat: Text,
    /// Its hazard statement.
    pub h: Text,
    /// The route, for acute toxicity.
    #[serde(default)]
    pub route: Option<Route>,
    /// The organs, for repeated exposure, where the entry names them.
    #[serde(default)]
    pub organs: Option<Text>,
    /// Whether Annex VI marks the category as the least one (an asterisk after it).
    #[serde(default)]
    pub minimum: bool,
}

/// A specific concentration limit.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct ConcentrationLimit {
    /// The class it leads to.
    #[serde(rename = "class")]
    pub kind: HazardKind,
    /// The category.
    pub cat: Text,
    /// The hazard statement.
    pub h: Text,
    /// Lower end, per cent by mass, inclusive.
    pub from_percent: f64,
    /// Upper end, per cent by mass, exclusive.
    #[serde(default)]
    pub below_percent: Option<f64>,
}

/// From what strength a supplemental statement applies.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct SupplementalLimit {
    /// The statement, such as `EUH031`.
    pub code: Text,
    /// Lower end, per cent by mass, inclusive.
    pub from_percent: f64,
}

/// Acute toxicity estimates where they are better known than by category.
#[derive(Debug, Clone, Default, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields, default)]
pub struct AcuteEstimates {
    /// Swallowed, mg/kg.
    pub oral_mg_kg: Option<f64>,
    /// On the skin, mg/kg.
    pub dermal_mg_kg: Option<f64>,
    /// Vapour breathed in, mg/L over 4 h.
    pub vapour_mg_l: Option<f64>,
    /// Dust or mist breathed in, mg/L over 4 h.
    pub dust_mist_mg_l: Option<f64>,
    /// Where a value comes from, when it is not the harmonised entry.
    pub note: Option<Text>,
}

/// Who classified the substance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Annex VI of Regulation (EC) 1272/2008.
    Harmonised,
    /// Suppliers.
    #[serde(rename = "self")]
    SelfClassified,
    /// Not classified as hazardous.
    NotClassified,
}

/// Classification of the substance itself, neat or as its form says.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Classes {
    /// Who classified it.
    pub basis: Basis,
    /// Index number of Annex VI.
    #[serde(default)]
    pub index_no: Option<Text>,
    /// Classes and categories.
    pub classes: List<HazardClass>,
    /// Supplemental statements (`EUH031` ...).
    #[serde(default)]
    pub supplemental: List<Text>,
    /// Specific concentration limits.
    #[serde(default)]
    pub limits: List<ConcentrationLimit>,
    /// Specific limits of supplemental statements.
    #[serde(default)]
    pub supplemental_limits: List<SupplementalLimit>,
    /// Multiplying factor for acute aquatic toxicity.
    #[serde(default)]
    pub m_acute: Option<f64>,
    /// Multiplying factor for chronic aquatic toxicity.
    #[serde(default)]
    pub m_chronic: Option<f64>,
    /// Acute toxicity estimates.
    #[serde(default)]
    pub ate: AcuteEstimates,
    /// Classes that many suppliers add; not used in the calculation.
    #[serde(default)]
    pub often_added: List<HazardClass>,
}
