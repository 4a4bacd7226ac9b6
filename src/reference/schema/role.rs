use databake::Bake;
use serde::Deserialize;

/// What a substance does in a mixture. Strength is judged apart: 3 % and 30 % peroxide have the same roles.
///
/// A working assignment of this project after general chemistry, the reactivity groups of EPA-600/2-80-076 and
/// 40 CFR Part 264 Appendix V; it says what to look at, never that a mixture is harmless.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Brings acid.
    Acid,
    /// A salt whose solution is acid: counts as an acid towards bleach, sulfide, cyanide, sulfite and carbonate.
    AcidicSalt,
    /// Carries active chlorine (hypochlorite, chlorinated isocyanurate, chlorine).
    ActiveChlorine,
    /// Alcohol or glycol.
    Alcohol,
    /// Aldehyde.
    Aldehyde,
    /// Aluminium.
    AluminiumMetal,
    /// Amide, urea or imide nitrogen.
    Amide,
    /// Ammonia.
    Ammonia,
    /// Frees ammonia with a base.
    AmmoniumSalt,
    /// Antimony compound.
    Antimony,
    /// Mostly water.
    Aqueous,
    /// Aromatic hydrocarbon.
    Aromatic,
    /// Arsenic compound.
    Arsenic,
    /// Soluble barium.
    BariumSalt,
    /// Brings alkali.
    Base,
    /// Borate.
    Borate,
    /// Carbonate or hydrogencarbonate: carbon dioxide with an acid.
    Carbonate,
    /// Its ions make peroxide break down.
    Catalyst,
    /// Holds metal ions in solution.
    Chelator,
    /// Chlorate.
    Chlorate,
    /// Brings chloride ions.
    Chloride,
    /// Chromium(VI).
    ChromiumVi,
    /// Cobalt compound.
    CobaltSalt,
    /// Ferro- or ferricyanide.
    ComplexCyanide,
    /// Copper or an alloy of it.
    CopperMetal,
    /// Copper compound.
    CopperSalt,
    /// Simple cyanide.
    Cyanide,
    /// Takes water out of organic matter, much heat with water.
    Dehydrating,
    /// Dithionite.
    Dithionite,
    /// Dry stuff that takes fire when an oxidiser dries into it.
    DryFuel,
    /// Oil that heats itself on rags.
    DryingOil,
    /// Ester.
    Ester,
    /// Dissolves copper, steel or zinc by itself.
    Etchant,
    /// Gives flammable vapour or gas, or is a flammable solid.
    Flammable,
    /// Fluoride.
    Fluoride,
    /// Burns; can be oxidised.
    Fuel,
    /// A gas at room temperature.
    Gas,
    /// Free halogen.
    Halogen,
    /// Chlorinated solvent.
    HalogenatedSolvent,
    /// Hydrocarbon.
    Hydrocarbon,
    /// Warms with water.
    Hygroscopic,
    /// Hypochlorite.
    Hypochlorite,
    /// Takes no part.
    Inert,
    /// Iron or steel.
    IronMetal,
    /// Iron compound.
    IronSalt,
    /// Ketone.
    Ketone,
    /// Lead.
    LeadMetal,
    /// Lead compound.
    LeadSalt,
    /// Magnesium.
    MagnesiumMetal,
    /// Manganese(II) compound.
    ManganeseSalt,
    /// Mercury or its compound.
    Mercury,
    /// Metal in the piece, or powder of it.
    Metal,
    /// Metal as powder, dust or wool.
    MetalPowder,
    /// Nickel.
    NickelMetal,
    /// Nickel compound.
    NickelSalt,
    /// Nitrate, or nitric acid.
    Nitrate,
    /// Nitrite.
    Nitrite,
    /// Oil.
    Oil,
    /// Organic acid.
    OrganicAcid,
    /// Organic peroxide.
    OrganicPeroxide,
    /// Strong oxidiser at working strength.
    Oxidiser,
    /// Mild oxidiser.
    OxidiserWeak,
    /// Permanganate.
    Permanganate,
    /// Hydrogen peroxide, or frees it in water.
    PeroxideSource,
    /// Persulfate or monopersulfate.
    Persulfate,
    /// Phenol.
    Phenol,
    /// Phosphate.
    Phosphate,
    /// Zinc, aluminium, magnesium: hydrogen with acid or alkali.
    ReactiveMetal,
    /// Reducing agent.
    Reducer,
    /// Plain, nearly neutral salt.
    Salt,
    /// Selenium compound.
    Selenium,
    /// Silicate.
    Silicate,
    /// Silver.
    SilverMetal,
    /// Silver compound.
    SilverSalt,
    /// Organic solvent.
    Solvent,
    /// Fully split into ions in dilute solution.
    StrongAcid,
    /// Solution of a few per cent is near pH 13 or above.
    StrongBase,
    /// Sugar.
    Sugar,
    /// Brings sulfate ions.
    Sulfate,
    /// Sulfide or polysulfide: hydrogen sulfide with an acid.
    Sulfide,
    /// Food that gives off a trace of hydrogen sulfide.
    SulfideFood,
    /// Sulfite family: sulfur dioxide with an acid.
    Sulfite,
    /// Sulfur itself.
    SulfurElement,
    /// Soap or surfactant.
    Surfactant,
    /// Tannin: iron goes black.
    Tannin,
    /// Thiol or thiourea.
    Thiol,
    /// Thiosulfate: sulfur dioxide and sulfur with an acid.
    Thiosulfate,
    /// Tin or pewter.
    TinMetal,
    /// Tin compound.
    TinSalt,
    /// Toxic gas.
    ToxicGas,
    /// Compound or metal of toxic or regulated heavy metal.
    ToxicMetal,
    /// Gives off toxic or corrosive vapour when strong.
    ToxicVapour,
    /// Unsaturated hydrocarbon.
    Unsaturated,
    /// Barely acid in solution.
    VeryWeakAcid,
    /// Water.
    Water,
    /// Reacts with water.
    WaterReactive,
    /// Wax.
    Wax,
    /// Partly split into ions in solution.
    WeakAcid,
    /// Solution stays below about pH 12.
    WeakBase,
    /// Zinc, or a coating or alloy of it.
    ZincMetal,
    /// Zinc compound.
    ZincSalt,
}
