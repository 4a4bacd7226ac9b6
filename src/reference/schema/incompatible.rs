use super::{List, MetalFamily, SortedMap, Source, Text};
use databake::Bake;
use serde::Deserialize;

/// `shared/incompatible.yaml`: what must not meet, as data.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct IncompatibleTable {
    /// Sources by the short key that the rules name them with.
    pub sources: SortedMap<Text, Source>,
    /// Who plays which part, with equivalents per mole of substance (mole of acid, of sulfur, of chlorine ...).
    pub roles: SortedMap<HazardRole, SortedMap<Text, f64>>,
    /// Molar masses for substances that are mixtures, g/mol, chosen on the low side so that gas is over-estimated.
    pub molar_masses: SortedMap<Text, f64>,
    /// The strongest form on sale, per cent: taken when a strength is needed and not known.
    pub strongest_percent: SortedMap<Text, f64>,
    /// Solids that act only dissolved: the peroxide or other active substance of their saturated solution, per cent.
    pub saturated_percent: SortedMap<Text, f64>,
    /// Substances that do not dissolve and so thin nothing.
    pub undissolved: List<Text>,
    /// What is left on a metal by what has touched it.
    pub leaves: List<Leaves>,
    /// Per cent from which a stock burns skin or eye, and from which it does so gravely.
    pub burns_from: SortedMap<Text, [f64; 2]>,
    /// The strength of natural things (juice, cola), per cent of the acid that counts.
    pub natural_percent: SortedMap<Text, f64>,
    /// Words in a name that is not recognised which alone are enough to stop.
    pub forbidden_words: List<Text>,
    /// Poisons and explosives by number, formula and old name, which alone are enough to stop too.
    pub forbidden: List<Forbidden>,
    /// Every rule: its text, and for a plain pair or triple also what sets it off.
    pub rules: List<RuleCard>,
    /// What heat alone makes fall apart.
    pub heated: List<Heated>,
    /// Reactivity groups and the compatibility chart of EPA-600/2-80-076.
    pub epa: EpaChart,
    /// Groups of potentially incompatible waste, 40 CFR Part 264 Appendix V.
    pub appendix_v: List<AppendixGroup>,
}

/// The salt that a liquid leaves on a metal.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Leaves {
    /// Substances that make it.
    pub of: List<Text>,
    /// The metal.
    pub on: MetalFamily,
    /// The salt, a substance.
    pub gives: Text,
    /// Key of the source.
    pub source: Text,
}

/// Poisons or explosives of one kind that are in no recipe and have no entry of their own.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Forbidden {
    /// What they are, in a word or two.
    pub kind: Text,
    /// The substance that they are judged as besides.
    #[serde(default)]
    pub judged_as: Option<Text>,
    /// CAS numbers, formulas and names: whole words of a name that is not known.
    pub names: List<Text>,
    /// Atoms side by side in a formula that make it one of them.
    #[serde(default)]
    pub groups: List<Text>,
    /// Where that was read.
    pub source: Text,
    /// As in the sources.
    pub status: Text,
}

/// The text of a rule and, for a pair or triple, its conditions.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct RuleCard {
    /// States the hazard, never the advice.
    pub id: Text,
    /// One line for the sheet.
    pub title: Text,
    /// Reaction codes of EPA-600/2-80-076: H F G GT GF E P S U.
    pub codes: List<Text>,
    /// What is made or set free.
    #[serde(default)]
    pub products: List<Text>,
    /// Why it is dangerous. No amount, ratio or threshold: it is printed in refusals too.
    pub why: Text,
    /// What to do, gravest first. No amount, ratio or threshold.
    pub actions: List<Text>,
    /// How to do it, if it is done: printed after `actions`, and never in a refusal.
    #[serde(default)]
    pub ways: List<Text>,
    /// Keys of the sources.
    pub sources: List<Text>,
    /// Lowest and highest gravity it can have.
    pub range: [Grade; 2],
    /// What sets it off, for `explain`.
    pub fires: Text,
    /// What comes near and does not set it off, for `explain`.
    pub spares: Text,
    /// `explain` gives only members and consequence: primary explosives, and toxic gas that is a stop at any strength.
    #[serde(default)]
    pub guarded: bool,
    /// What it says instead where it is about another metal than the one that the card names.
    #[serde(default)]
    pub by_metal: SortedMap<MetalFamily, MetalText>,
    /// What meets what; absent for a rule written in code.
    #[serde(default)]
    pub meeting: Option<Meeting>,
    /// Upper bounds that go with a finding where the rule itself has none. They never change its gravity.
    #[serde(default)]
    pub figures: Option<Figures>,
}

/// What a card says of one metal.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct MetalText {
    /// One line for the sheet.
    pub title: Text,
    /// What is made or set free.
    pub products: List<Text>,
    /// Why it is dangerous. No amount, ratio or threshold.
    pub why: Text,
    /// Keys of the sources.
    pub sources: List<Text>,
}

/// Upper bounds of a finding, worked out from what is poured.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Figures {
    /// A gas, by volume.
    #[serde(default)]
    pub gas: Option<ToldGas>,
    /// Warming, if all of the heat stayed in the mixture.
    #[serde(default)]
    pub heat: Option<ToldHeat>,
}

/// A gas that could come of it at most: of the bounds that are known the least.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct ToldGas {
    /// Which gas, by its id in `shared/exposure.yaml` where it has limits.
    pub id: Text,
    /// What each side could make.
    pub from: List<GasShare>,
}

/// Moles of gas per equivalent of these roles.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct GasShare {
    /// Who brings it.
    pub of: List<HazardRole>,
    /// Moles per equivalent.
    pub per: f64,
}

/// Where the heat comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
pub enum ToldHeat {
    /// The oxygen of an oxidiser burns something organic.
    Burning,
    /// The oxygen of an oxidiser burns a metal.
    BurningMetal,
    /// Peroxide falls apart.
    Peroxide,
    /// Dissolving, thinning, acid with base.
    Mixing,
}

/// Two or three roles played by different ingredients.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Meeting {
    /// One side.
    pub a: List<HazardRole>,
    /// The other side.
    pub b: List<HazardRole>,
    /// The third, if it takes three.
    #[serde(default)]
    pub c: List<HazardRole>,
    /// Roles that take an ingredient out of side b again (an acid that is too weak to count).
    #[serde(default)]
    pub b_not: List<HazardRole>,
    /// How grave under which conditions; the gravest that holds counts. All conditions are lower bounds, which keeps
    /// the judgement monotone.
    pub tiers: List<Tier>,
    /// Gas set free.
    #[serde(default)]
    pub gas: Option<GasYield>,
    /// Whether a trace left after rinsing still counts in full unless the rinse neutralised it.
    #[serde(default)]
    pub clings: bool,
    /// Whether what was dried off completely (a solvent) no longer counts at all.
    #[serde(default)]
    pub evaporates: bool,
}

/// One step of gravity with the lower bounds that reach it.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Tier {
    /// How grave.
    pub gravity: Grade,
    /// Stock of side a at least this strong, per cent.
    #[serde(default)]
    pub a_from: f64,
    /// Stock of side b at least this strong, per cent.
    #[serde(default)]
    pub b_from: f64,
    /// Only when side a is a solid, not yet dissolved.
    #[serde(default)]
    pub a_solid: bool,
    /// Only when side b is a solid, not yet dissolved.
    #[serde(default)]
    pub b_solid: bool,
    /// Only when side b is poured, not a solid.
    #[serde(default)]
    pub b_liquid: bool,
    /// Side a must play one of these too.
    #[serde(default)]
    pub a_is: List<HazardRole>,
    /// Side b must play one of these too.
    #[serde(default)]
    pub b_is: List<HazardRole>,
    /// Only in a closed vessel, or one kept for another day.
    #[serde(default)]
    pub closed: bool,
    /// Only from this temperature, °C.
    #[serde(default)]
    pub above_c: Option<f64>,
}

/// Moles of gas per equivalent of each side; the scarcer side counts.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct GasYield {
    /// Which gas.
    pub id: Text,
    /// Per equivalent of side a.
    pub per_a: f64,
    /// Per equivalent of side b; absent when only side a limits it.
    #[serde(default)]
    pub per_b: Option<f64>,
    /// Whether the room figure decides the gravity: over the limit a strong caution, over the IDLH a stop.
    #[serde(default)]
    pub judged_by_room: bool,
}

/// Substances that heat makes fall apart, or react with what they touch.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Heated {
    /// Which substances.
    pub of: List<Text>,
    /// What is set free.
    pub products: List<Text>,
    /// The gas to put a figure to, with moles per mole of substance.
    #[serde(default)]
    pub gas: Option<HeatedGas>,
    /// The gravest that holds counts. All conditions are lower bounds.
    pub steps: List<HeatedStep>,
    /// Keys of the sources of products and temperatures; how grave a step is, is our judgement.
    pub sources: List<Text>,
}

/// A gas of [`Heated`].
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct HeatedGas {
    /// Its id in `shared/exposure.yaml`.
    pub id: Text,
    /// Moles per mole of substance, at most.
    pub per_mole: f64,
}

/// One step of gravity with the lower bounds that reach it.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct HeatedStep {
    /// How grave.
    pub gravity: Grade,
    /// From this temperature, °C.
    pub from_c: f64,
    /// Stock at least this strong, per cent.
    #[serde(default)]
    pub from_percent: f64,
    /// Only in a closed vessel, or one kept for another day.
    #[serde(default)]
    pub closed: bool,
    /// Only on a metal of these families.
    #[serde(default)]
    pub on: List<MetalFamily>,
    /// Only with another ingredient that plays one of these.
    #[serde(default)]
    pub with: List<HazardRole>,
}

/// The chart of EPA-600/2-80-076.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct EpaChart {
    /// The groups.
    pub groups: List<EpaGroup>,
    /// The cells that hold a code, for groups with members here.
    pub cells: List<EpaCell>,
    /// Keys of the sources.
    pub sources: List<Text>,
}

/// One reactivity group.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct EpaGroup {
    /// Number in the report.
    pub n: u16,
    /// Name in the report.
    pub name: Text,
    /// Members among our substances, with the strength from which they count as strong, per cent. The assignment is
    /// ours (from the report's list as recalled, or by analogy).
    #[serde(default)]
    pub members: SortedMap<Text, f64>,
}

/// One cell of the chart.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct EpaCell {
    /// One group.
    pub a: u16,
    /// The other.
    pub b: u16,
    /// Codes.
    pub codes: List<Text>,
    /// How sure we are of the cell: `high`, `medium`, `low`.
    pub confidence: Text,
    /// `read` or `recalled`.
    pub status: Text,
}

/// One pair of groups of 40 CFR Part 264 Appendix V.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct AppendixGroup {
    /// `1` to `6`.
    pub id: Text,
    /// Roles of the A side.
    pub a: List<HazardRole>,
    /// Roles of the B side.
    pub b: List<HazardRole>,
    /// What can come of it.
    pub consequence: Text,
    /// Keys of the sources.
    pub sources: List<Text>,
}

/// Gravity as the tables write it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Grade {
    Note,
    Caution,
    StrongCaution,
    Stop,
}

/// The part a substance plays in a hazard. A substance plays as many as it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum HazardRole {
    Water,
    StrongAcid,
    MineralAcid,
    OrganicAcid,
    Acetic,
    AcidicSalt,
    Nitric,
    Sulfuric,
    Hypochlorite,
    PoolChlorine,
    Isocyanurate,
    Ammonia,
    FreeAmmonia,
    Ammonium,
    Amine,
    Peroxide,
    Alcohol,
    Ketone,
    FlammableSolvent,
    Fuel,
    CombustibleSolid,
    DryingOil,
    SoaksUpOil,
    Reducer,
    Sulfide,
    Cyanide,
    ComplexCyanide,
    Fluoride,
    Nitrite,
    Sulfite,
    AcidicSulfite,
    Dithionite,
    Thiosulfate,
    Carbonate,
    StrongBase,
    Lime,
    Alkali,
    Chloride,
    Oxidiser,
    Permanganate,
    Chlorate,
    Chromate,
    Persulfate,
    Monopersulfate,
    Nitrate,
    SilverSalt,
    GoldSalt,
    Hexamine,
    CopperSalt,
    IronSalt,
    Etchant,
    MetalIons,
    Arsenic,
    Antimony,
    Selenium,
    LeadCompound,
    NeverAtHome,
    RestrictedSale,
    ChlorinatedSolvent,
    Halogen,
    Sulfur,
    PoisonGas,
    MetalPowder,
    ZincMetal,
    AluminiumMetal,
    MagnesiumMetal,
    IronMetal,
    FineIron,
    CopperMetal,
    LeadMetal,
    SilverMetal,
    NickelMetal,
    FumingChloride,
    Oxalate,
    SeriousPoison,
    CarbonMonoxideSource,
    ActiveOxygen,
    Formaldehyde,
    HydrochloricAcid,
    SolidPeroxide,
    Detergent,
}
