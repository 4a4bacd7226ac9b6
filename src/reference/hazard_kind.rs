//! Names of hazard classes and routes for the sheet.

use super::schema::{HazardKind, Route};

impl HazardKind {
    /// The abbreviation of Regulation (EC) 1272/2008, Annex VI Table 1.1.
    pub fn abbreviation(self) -> &'static str {
        match self {
            HazardKind::FlammableGas => "Flam. Gas",
            HazardKind::OxidisingGas => "Ox. Gas",
            HazardKind::PressurisedGas => "Press. Gas",
            HazardKind::FlammableLiquid => "Flam. Liq.",
            HazardKind::FlammableSolid => "Flam. Sol.",
            HazardKind::PyrophoricSolid => "Pyr. Sol.",
            HazardKind::SelfHeating => "Self-heat.",
            HazardKind::WaterReactive => "Water-react.",
            HazardKind::OxidisingLiquid => "Ox. Liq.",
            HazardKind::OxidisingSolid => "Ox. Sol.",
            HazardKind::OrganicPeroxide => "Org. Perox.",
            HazardKind::CorrosiveToMetals => "Met. Corr.",
            HazardKind::AcuteToxicity => "Acute Tox.",
            HazardKind::SkinCorrosion => "Skin Corr.",
            HazardKind::SkinIrritation => "Skin Irrit.",
            HazardKind::EyeDamage => "Eye Dam.",
            HazardKind::EyeIrritation => "Eye Irrit.",
            HazardKind::RespiratorySensitiser => "Resp. Sens.",
            HazardKind::SkinSensitiser => "Skin Sens.",
            HazardKind::Mutagen => "Muta.",
            HazardKind::Carcinogen => "Carc.",
            HazardKind::ReproductiveToxicity => "Repr.",
            HazardKind::Lactation => "Lact.",
            HazardKind::StotSingle => "STOT SE",
            HazardKind::StotRepeated => "STOT RE",
            HazardKind::Aspiration => "Asp. Tox.",
            HazardKind::AquaticAcute => "Aquatic Acute",
            HazardKind::AquaticChronic => "Aquatic Chronic",
        }
    }
}

impl Route {
    /// The route in a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Route::Oral => "oral",
            Route::Dermal => "dermal",
            Route::Gas => "inhalation of gas",
            Route::Vapour => "inhalation of vapour",
            Route::DustMist => "inhalation of mist",
        }
    }
}
