//! Bench and order: what the person has, and what they ask for.

mod bench;
mod clock;
mod demo;
mod fields;
mod mix;
mod raw;
mod read;
mod schema;

pub use crate::reference::Room;
pub use bench::read_bench;
pub use clock::{read_quiet, read_start};
pub use demo::{demo_file, demo_order_text};
pub use mix::{MixFile, read_mix};
pub use read::{Surroundings, is_order, is_path, read_box, read_cover_depth, read_margin, read_order};
pub use schema::{FileKind, json_schema};

use crate::amount::{Amount, Length, Mass, MeasureSystem, Tool, Volume, millimetres};
use crate::diag::{Checked, Problem, one_of};
use crate::part::Part;
use crate::recipe::Recipe;
use crate::reference::yaml::clip;
use crate::reference::{Ingredient, Material, Past};
use crate::vessel::Vessel;

/// A stock on the shelf.
#[derive(Debug, Clone)]
pub struct ShelfStock {
    /// What it is and how strong ("white vinegar 5 %").
    pub ingredient: Ingredient,
    /// When it was opened.
    pub opened: Option<jiff::civil::Date>,
    /// How much is left, if said.
    pub left: Option<Amount>,
}

/// Something on the shelf that can hold a part under.
#[derive(Debug, Clone)]
pub struct BallastThing {
    /// What the person calls it ("glass marble").
    pub name: String,
    /// What it is made of.
    pub material: &'static Material,
    /// Mass of one, in air.
    pub mass: Mass,
    /// How many there are; `None` when not said (as many as needed).
    pub count: Option<u32>,
}

/// What the person has, once and for all.
#[derive(Debug, Clone, Default)]
pub struct Bench {
    /// Kitchen measures of the spoons and cups; `None` leaves it to the recipe.
    pub measures: Option<MeasureSystem>,
    /// Stocks.
    pub stocks: Vec<ShelfStock>,
    /// Spoons, cups, cylinders, scales.
    pub tools: Vec<Tool>,
    /// Ballast.
    pub ballast: Vec<BallastThing>,
    /// Wire, hooks, tongs, spoons: what hangs, holds or stirs.
    pub holders: Vec<&'static Material>,
    /// Vessels.
    pub vessels: Vec<Vessel>,
    /// The room.
    pub room: Room,
    /// Protective gear, as the person calls it.
    pub gear: Vec<String>,
    /// Papers, brushes, waxes and the like, which need not be bought.
    pub things: Vec<String>,
}

/// What the bath is scaled to.
#[derive(Debug, Clone)]
pub enum Target {
    /// A poured volume: the sum of the liquids as poured.
    Poured(Amount),
    /// A finished volume, from mass and density.
    Finished(Volume),
    /// Whatever covers the parts in the vessel.
    CoverParts,
}

impl Target {
    /// What `to: AMOUNT` means for a recipe: the poured volume of a kitchen recipe, the finished volume of one in
    /// concentrations, since "80 g/L" is said of a litre of finished bath.
    pub fn to(recipe: &Recipe, amount: Amount) -> Target {
        let poured = recipe.ingredients.iter().any(|i| matches!(i.quantity, crate::recipe::Quantity::Kitchen(_)));
        match amount.volume() {
            Some(volume) if !poured && amount.value.is_one() => Target::Finished(volume.low),
            _ => Target::Poured(amount),
        }
    }
}

/// What decides which side of a part is up when the part does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lay {
    /// The least liquid.
    #[default]
    LeastBath,
    /// The least air caught under it, which also lifts it least; then the least liquid.
    LeastAir,
}

impl Lay {
    /// The words that say it, in files and on the command line.
    pub const WORDS: [&'static str; 2] = ["least-bath", "least-air"];

    /// By one of these words.
    ///
    /// # Errors
    /// Any other word.
    pub fn read(text: &str) -> Checked<Lay> {
        match text.trim() {
            "least-bath" => Ok(Lay::LeastBath),
            "least-air" => Ok(Lay::LeastAir),
            other => Err(Problem::error(format!("found `{}`; allowed: {}", clip(other), one_of(&Lay::WORDS))).into()),
        }
    }
}

/// The inside of a box that fumes, or the loose packing that buries.
#[derive(Debug, Clone, Copy)]
pub struct Space {
    /// How much.
    pub volume: Volume,
    /// Its sides, when it was named by them.
    pub sides: Option<[Length; 3]>,
}

impl From<Volume> for Space {
    fn from(volume: Volume) -> Self {
        Space { volume, sides: None }
    }
}

/// One job.
#[derive(Debug, Clone)]
pub struct Order {
    /// The recipe.
    pub recipe: Recipe,
    /// The parts.
    pub parts: Vec<Part>,
    /// The vessel; only immersion needs one.
    pub vessel: Option<Vessel>,
    /// The bench; empty when not given.
    pub bench: Bench,
    /// What the bath is scaled to; immersion defaults to [`Target::CoverParts`].
    pub target: Option<Target>,
    /// Inside of the box that fumes, or loose volume of the packing, for those methods.
    pub space: Option<Space>,
    /// When it starts.
    pub start: Option<jiff::ZonedDateTime>,
    /// Liquid above the part.
    pub cover_depth: Length,
    /// Which side is up where a part does not say.
    pub lay: Lay,
    /// Ballast margin, per cent of the net buoyancy.
    pub ballast_margin_percent: f64,
    /// Bath temperature; `None` takes the recipe's.
    pub temperature: Option<crate::amount::ThermodynamicTemperature>,
    /// What part or vessel was in contact with before.
    pub after: Vec<Past>,
    /// Hours when nobody is there, local clock ("22:00" to "07:00").
    pub quiet: Option<(jiff::civil::Time, jiff::civil::Time)>,
}

/// Liquid above the part when nothing is said, mm (our choice: well over the 1 to 3 mm that evaporate in a day).
const USUAL_COVER_MM: f64 = 15.0;
/// Ballast beyond the net buoyancy when nothing is said, per cent (common practice, no source).
const USUAL_MARGIN_PERCENT: f64 = 20.0;

impl Order {
    /// The order for a recipe before anything else is said: no part, no vessel, the usual cover and margin.
    pub fn new(recipe: Recipe, bench: Bench) -> Order {
        Order {
            recipe,
            parts: Vec::new(),
            vessel: None,
            bench,
            target: None,
            space: None,
            start: None,
            cover_depth: millimetres(USUAL_COVER_MM),
            lay: Lay::default(),
            ballast_margin_percent: USUAL_MARGIN_PERCENT,
            temperature: None,
            after: Vec::new(),
            quiet: None,
        }
    }

    /// The kitchen measures of amounts that do not say which: the bench's, else the recipe's.
    pub fn measures(&self) -> MeasureSystem {
        self.bench.measures.unwrap_or(self.recipe.measures)
    }
}
