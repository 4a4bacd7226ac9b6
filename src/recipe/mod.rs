//! Recipes: one YAML file each, checked; or a formula that is only a list of lines.

mod care;
mod example;
mod fields;
mod ingredients;
mod library;
mod lines;
mod raw;
mod read;

pub use crate::reference::Method;
pub use example::Example;
pub(crate) use fields::RECIPE;
pub(crate) use ingredients::known_ingredient;
pub use library::{Entry, Library, embedded_ids, find_embedded, library_with};
pub use lines::from_lines;
pub(crate) use read::{counts, cover, finish, known_material, measure_system, method, one_volume};
pub use read::{read_recipe, read_with_example};

use crate::amount::{Amount, MassConcentration, MassFraction, MeasureSystem, Span, ThermodynamicTemperature};
use crate::reference::{Cover, Ingredient, Material};
use jiff::SignedDuration;

/// The colour family a recipe gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Finish {
    Rust,
    Green,
    Blue,
    Brown,
    Black,
    Other,
}

/// How sure we are of a recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Confidence {
    Low,
    Medium,
    High,
}

/// How much of an ingredient the recipe wants.
#[derive(Debug, Clone, PartialEq)]
pub enum Quantity {
    /// As written for the amount in [`Recipe::written_for`].
    Kitchen(Amount),
    /// Grams of the named substance (as named: hydrate if the name says so) per litre of finished bath.
    GramsPerLitre(Span<MassConcentration>),
    /// Millilitres of the stock, at the recipe's strength, per litre of finished bath.
    MillilitresPerLitre(Span<f64>),
    /// Per cent by mass of the active substance in the finished bath.
    MassPercent(Span<MassFraction>),
    /// What is left up to the finished volume (water).
    Rest,
}

/// One ingredient of a recipe.
#[derive(Debug, Clone)]
pub struct RecipeIngredient {
    /// Line as written, with its meaning and strength.
    pub ingredient: Ingredient,
    /// How much.
    pub quantity: Quantity,
    /// A remark for the sheet.
    pub note: Option<String>,
}

/// A look at, or a lift of, the part during the soak.
#[derive(Debug, Clone)]
pub struct SoakEvent {
    /// After immersion.
    pub after: SignedDuration,
    /// What to do or look for, in our own words.
    pub what: String,
    /// Whether the part comes out for a while or for good at this point.
    pub lift: bool,
}

/// A step of preparation or aftercare.
#[derive(Debug, Clone)]
pub struct CareStep {
    /// Which stage it belongs to.
    pub stage: CareStage,
    /// What to do, in our own words.
    pub what: String,
    /// What a metal-filled print needs said beside it.
    pub on_prints: Option<String>,
    /// A rinse: how many times the water is changed.
    pub changes: u32,
    /// How long it takes or lasts.
    pub takes: Option<SignedDuration>,
    /// How long on a metal-filled print, where that is another time: its infill holds bath.
    pub takes_on_prints: Option<SignedDuration>,
    /// What it uses (a bicarbonate rinse), reviewed like any mixture.
    pub uses: Vec<Ingredient>,
    /// What what it uses has to be enough for.
    pub holds: Holds,
    /// What else it needs: papers, waxes and the like, by the names of the shops' table.
    pub needs: Vec<String>,
}

impl CareStep {
    /// A step with nothing but its words.
    pub(crate) fn new(stage: CareStage, what: impl Into<String>) -> Self {
        CareStep {
            stage,
            what: what.into(),
            on_prints: None,
            changes: 1,
            takes: None,
            takes_on_prints: None,
            uses: Vec::new(),
            holds: Holds::Dip,
            needs: Vec::new(),
        }
    }
}

/// What the liquids of a step have to be enough for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Holds {
    /// The part is dipped: as written, more for a larger part, never less.
    #[default]
    Dip,
    /// The part lies in it as it does in the bath: as much as the bath, more or less.
    Bath,
    /// It only wets the part: as written, whatever the size.
    Film,
}

/// Stages before and after the bath.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum CareStage {
    Prepare,
    Degrease,
    Rinse,
    Neutralise,
    Dry,
    Seal,
    Dispose,
}

/// How the part may be rinsed when it leaves the bath.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rinse {
    /// In baths of clean water.
    Full,
    /// A light mist or one brief dip, no more: the colour is barely held.
    Light,
    /// Not at all: the colour would go.
    None,
}

/// Whether a metal-filled plastic takes the recipe.
#[derive(Debug, Clone)]
pub struct FilledPlastic {
    /// `good`, `limited`, `poor` or `no`.
    pub suitability: Suitability,
    /// Why, and what it needs.
    pub why: String,
}

/// See [`FilledPlastic`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Suitability {
    No,
    Poor,
    Limited,
    Good,
}

/// Where a recipe comes from.
#[derive(Debug, Clone)]
pub struct RecipeSource {
    /// Document.
    pub doc: String,
    /// Section or page.
    pub at: String,
    /// `read`, `recalled`, `computed`, or `common practice, no source`.
    pub status: String,
}

/// A checked recipe.
#[derive(Debug, Clone)]
pub struct Recipe {
    /// Stable name; the file is `recipes/ID.yaml`.
    pub id: String,
    /// Title for the sheet.
    pub title: String,
    /// The look in plain words.
    pub look: String,
    /// Metals it works on (fillers of filled plastics included).
    pub metals: Vec<&'static Material>,
    /// Colour family.
    pub finish: Finish,
    /// Method.
    pub method: Method,
    /// Whose kitchen measures it is written in.
    pub measures: MeasureSystem,
    /// For kitchen recipes: the poured volume that the amounts were written for, if it says one ("1 cup").
    pub written_for: Option<Amount>,
    /// Ingredients in the order of pouring.
    pub ingredients: Vec<RecipeIngredient>,
    /// Bath temperature.
    pub temperature: Span<ThermodynamicTemperature>,
    /// How the vessel is covered during the soak.
    pub cover: Cover,
    /// Use within this time of mixing; `None` when it keeps.
    pub use_within: Option<SignedDuration>,
    /// Looks and lifts, in order of time. The last one ends the soak.
    pub soak: Vec<SoakEvent>,
    /// Before the bath.
    pub preparation: Vec<CareStep>,
    /// After the bath, in order.
    pub aftercare: Vec<CareStep>,
    /// How the part may be rinsed afterwards.
    pub rinse: Rinse,
    /// Largest part area per litre of bath it was tried at, mm² per litre.
    pub loading_mm2_per_l: Option<f64>,
    /// Whether the colour comes in air rather than under liquid.
    pub needs_air: bool,
    /// Whether filled plastics take it.
    pub filled_plastic: Option<FilledPlastic>,
    /// Where it comes from.
    pub sources: Vec<RecipeSource>,
    /// How sure we are.
    pub confidence: Confidence,
    /// Remarks for the sheet.
    pub notes: Vec<String>,
    /// Coats and liquid per area for spray and brush: (coats, mL per m² a coat).
    pub coats: Option<(Span<u32>, Span<f64>)>,
    /// Fume and burial: millilitres of liquid for each litre of box or packing.
    pub per_volume: Option<Span<f64>>,
}

impl Recipe {
    /// The last look or lift of the recipe; `None` when it names no times.
    pub fn soak_end(&self) -> Option<SignedDuration> {
        self.soak.iter().map(|e| e.after).max()
    }

    /// Whether the part stays in longer than the mix is good for: then the limit is for putting it in.
    pub fn outlasts_its_limit(&self) -> bool {
        let stays_in = matches!(self.method, Method::Immersion | Method::Fume | Method::Burial);
        stays_in && self.use_within.zip(self.soak_end()).is_some_and(|(limit, end)| end > limit)
    }
}
