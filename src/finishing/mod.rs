//! Surface preparation: barrel tumbling through the grits, abrasive grades by hand, degreasing and baring the metal.

mod barrel;
mod load;
mod prepare;
mod stages;
mod words;

pub use barrel::{critical_speed, media_bulk_volume, read_barrel, read_speed, turns_a_minute, working_speed};
pub use load::tumble;
pub use prepare::{PreparationKind, PreparationStep, expose_metal, lacking};

use crate::amount::{AngularVelocity, Estimate, Length, Span, Volume};
use crate::part::Part;
use crate::reference::Material;
use jiff::SignedDuration;

/// A tumbling barrel.
#[derive(Debug, Clone)]
pub struct Barrel {
    /// Inside diameter (across the flats for a barrel with flat sides).
    pub diameter: Length,
    /// Inside length.
    pub length: Length,
    /// Speed it turns at, if known.
    pub speed: Option<AngularVelocity>,
    /// What its inside is made of, if said.
    pub material: Option<&'static Material>,
}

/// What is asked about one load.
#[derive(Debug, Clone)]
pub struct Load<'a> {
    /// The barrel.
    pub barrel: &'a Barrel,
    /// The parts.
    pub parts: &'a [Part],
    /// Finest detail that must survive, and narrowest gap that media must not lodge in.
    pub finest_detail: Option<Length>,
    /// Size of the media, if it is chosen already.
    pub media: Option<Length>,
    /// How many grits, from coarse to fine: 2 to 6.
    pub grits: u32,
    /// Whether layer lines or tool marks still show: the first stage is repeated then.
    pub marks_show: bool,
    /// Planned length of a grit stage; `None` takes the default for what the parts are made of.
    pub stage: Option<SignedDuration>,
}

/// Whether a part rolls freely.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rolling {
    /// Longest dimension at most a third of the inside diameter.
    Freely,
    /// It turns, but bridges and bruises are likely: up to nine tenths of diameter and length.
    Cramped,
    /// It does not fit with clearance.
    Not,
}

/// One stage of the tumbling.
#[derive(Debug, Clone)]
pub struct TumbleStage {
    /// "grit 1 of 4: coarse (60 to 90)", "soap: water and a little soap".
    pub name: String,
    /// Grit for this load, level tablespoons (15 mL), in halves; `None` in the soap stage.
    pub grit_tablespoons: Option<f64>,
    /// From the shortest useful length to the longest planned one.
    pub length: Span<SignedDuration>,
    /// The length the timetable is made with.
    pub planned: SignedDuration,
    /// Looks after the start of the stage, the planned end included. Those of the first day open a closed barrel before
    /// its gas gathers: they may not come later.
    pub looks: Vec<SignedDuration>,
    /// What decides whether to go on, repeat or stop.
    pub decide: String,
    /// Cleaning before the next stage.
    pub clean: String,
}

/// A level tablespoon of grit, as heaped.
const TABLESPOON_ML: f64 = 15.0;

impl TumbleStage {
    /// Grit for this load, heaped; `None` in the soap stage.
    pub fn grit(&self) -> Option<Volume> {
        self.grit_tablespoons.map(|spoons| crate::amount::millilitres(spoons * TABLESPOON_ML))
    }
}

/// Everything about one load.
#[derive(Debug, Clone)]
pub struct Tumbling {
    /// Barrel volume.
    pub barrel_volume: Volume,
    /// Whether each part rolls, by name, and its longest dimension.
    pub rolling: Vec<(String, Rolling, Length)>,
    /// What parts and media together should fill, as heaped.
    pub charge: Volume,
    /// What the parts take.
    pub parts_volume: Volume,
    /// Media to add, as heaped.
    pub media: Volume,
    /// Heaped media for one volume of parts.
    pub media_to_parts: f64,
    /// Media size: up to the lower end they pass through the finest gap, from the upper end they stay out of it; `None`
    /// when the finest detail is not known.
    pub media_size: Option<Span<Length>>,
    /// Media size as chosen, if it was.
    pub media_chosen: Option<Length>,
    /// Water: up to just short of the top of the load, when the voids are filled.
    pub water: Span<Volume>,
    /// Speed at which the load would ride round with the barrel.
    pub critical_speed: AngularVelocity,
    /// Working speed.
    pub working_speed: Span<AngularVelocity>,
    /// The barrel's own speed, as a share of the critical one, if it was said.
    pub speed_share: Option<f64>,
    /// Liquid soap for the last run.
    pub soap: Volume,
    /// Stages in order.
    pub stages: Vec<TumbleStage>,
    /// Warmest that the binder stands, °C, if there is one.
    pub warmest_c: Option<f64>,
    /// Metal lost for each hundredth of a millimetre that comes off all over, per cent of the mass, if area is known.
    pub loss_percent_per_hundredth: Option<Estimate<f64>>,
    /// What it costs the part: detail and mass.
    pub losses: Vec<String>,
    /// Cautions, gravest first.
    pub cautions: Vec<String>,
    /// By hand instead.
    pub by_hand: Vec<String>,
    /// What the figures rest on.
    pub notes: Vec<String>,
    /// What is not known.
    pub unknown: Vec<String>,
}
