//! Surface preparation: barrel tumbling through the grits, or abrasive grades by hand.

mod barrel;
mod stages;

pub use barrel::{critical_speed, media_bulk_volume, working_speed};
pub use stages::tumble;

use crate::amount::{AngularVelocity, Length, Span, Volume};
use crate::part::Part;
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
    /// "first grit, coarse (60 to 90)", "soap".
    pub name: String,
    /// Grit for this load, level tablespoons (15 mL), as exact halves; `None` in the soap stage.
    pub grit_tablespoons: Option<f64>,
    /// Planned length.
    pub length: Span<SignedDuration>,
    /// Looks after the start of the stage.
    pub looks: Vec<SignedDuration>,
    /// What decides whether to go on, repeat or stop.
    pub decide: String,
    /// Cleaning before the next stage.
    pub clean: String,
}

/// Everything about one load.
#[derive(Debug, Clone)]
pub struct Tumbling {
    /// Barrel volume.
    pub barrel_volume: Volume,
    /// Whether each part rolls, by name.
    pub rolling: Vec<(String, Rolling, Length)>,
    /// What parts and media together should fill, as heaped.
    pub charge: Volume,
    /// What the parts take.
    pub parts_volume: Volume,
    /// Media to add, as heaped.
    pub media: Volume,
    /// Media size: smallest and largest that serve; `None` when the finest detail is not known.
    pub media_size: Option<Span<Length>>,
    /// Water: up to just short of the top of the load, when the voids are filled.
    pub water: Span<Volume>,
    /// Speed at which the load would ride round with the barrel.
    pub critical_speed: AngularVelocity,
    /// Working speed.
    pub working_speed: Span<AngularVelocity>,
    /// Stages in order.
    pub stages: Vec<TumbleStage>,
    /// What it costs the part: detail and mass.
    pub losses: Vec<String>,
    /// Cautions, gravest first.
    pub cautions: Vec<String>,
    /// By hand instead.
    pub by_hand: Vec<String>,
    /// What is not known.
    pub unknown: Vec<String>,
}
