//! Immersion: where the parts sit, the fill line, what floats and what holds it under, what happens at each lift.

mod ballast;
mod buoyancy;
mod least;
mod lift;
mod pack;
mod place;
mod solve;

pub use buoyancy::{draft, flooded_buoyancy, hold, net_buoyancy, upright_afloat};
pub use least::least_bath;
pub use solve::{Filled, immerse, immerse_in};

use crate::amount::{Estimate, Force, Length, Mass, MassDensity, ThermodynamicTemperature, Volume};
use crate::order::{BallastThing, Lay};
use crate::part::{Part, Side};
use crate::reference::Material;
use crate::vessel::Vessel;
use jiff::SignedDuration;

/// What immersion needs to know.
pub struct Question<'a> {
    /// The vessel.
    pub vessel: &'a Vessel,
    /// The parts.
    pub parts: &'a [Part],
    /// Ballast on the shelf, in order of preference; empty when none was named (then the answer is a mass per material).
    pub ballast: &'a [BallastThing],
    /// Why a material may not go into this bath, if it may not.
    pub forbids: &'a dyn Fn(&Material) -> Option<String>,
    /// Liquid above the highest part.
    pub cover: Length,
    /// Which side is up where a part does not say.
    pub lay: Lay,
    /// Margin on the net buoyancy, per cent.
    pub margin_percent: f64,
    /// Density of the bath; the densest end is used for ballast.
    pub density: Estimate<MassDensity>,
    /// Warmest the bath gets, for evaporation.
    pub temperature: ThermodynamicTemperature,
    /// Longest soak, for evaporation.
    pub longest_soak: SignedDuration,
}

/// One part in the bath.
#[derive(Debug, Clone)]
pub struct Sitting {
    /// The part's name.
    pub name: String,
    /// How many of them.
    pub count: u32,
    /// Which side is up.
    pub up: Side,
    /// Its height as it sits.
    pub height: Length,
    /// What one displaces; the ends differ for a mesh whose surface is not closed, where the best is what is reckoned with.
    pub displaced: Estimate<Volume>,
    /// Mass of one.
    pub mass: Estimate<Mass>,
    /// Air caught under one when it is lowered in without a tilt; `None` when not known.
    pub caught_air: Option<Volume>,
    /// Upward force on one, liquid outside only; negative when it sinks. The high end counts the air caught.
    pub net_buoyancy: Estimate<Force>,
    /// The same when every hollow has flooded; `None` when not known.
    pub net_buoyancy_flooded: Option<Force>,
    /// Whether it can float.
    pub floats: bool,
    /// How deep it would float without ballast, this side up; `None` when it sinks.
    pub draft: Option<Length>,
}

/// Ballast to put on.
#[derive(Debug, Clone)]
pub struct Ballast {
    /// What thing.
    pub thing: String,
    /// Its material.
    pub material: &'static Material,
    /// How many; `None` when only a mass of the material is known.
    pub count: Option<u32>,
    /// Mass in air, all of it.
    pub mass: Mass,
    /// What it displaces, all of it, all of it below the surface.
    pub displaced: Volume,
    /// The part it holds under.
    pub holds: String,
    /// How many things each one of that part gets; `None` when they do not all get the same.
    pub each: Option<u32>,
    /// Downward force of everything on that part over its net buoyancy, in per cent beyond it, for the worst held one, at
    /// the densest bath, the lightest part and the lightest ballast.
    pub margin_percent: f64,
}

/// The level at a lift.
#[derive(Debug, Clone)]
pub struct AfterLift {
    /// After immersion.
    pub after: SignedDuration,
    /// What comes out.
    pub out: Vec<String>,
    /// Level then.
    pub level: Length,
    /// Whether what stays is still covered.
    pub covered: bool,
    /// Made-up reserve needed to cover it again.
    pub reserve: Volume,
}

/// Where the parts sit and what the vessel needs.
#[derive(Debug, Clone)]
pub struct Immersion {
    /// Level of the liquid with parts and ballast in.
    pub fill_line: Length,
    /// Whether the fill line is an estimate (only a capacity is known).
    pub fill_line_is_estimate: bool,
    /// Liquid in the vessel.
    pub liquid: Volume,
    /// Level of that liquid before parts and ballast go in.
    pub level_before: Length,
    /// What parts and ballast displace.
    pub displaced: Volume,
    /// Rim above liquid.
    pub freeboard: Length,
    /// Liquid above the highest part.
    pub cover: Length,
    /// The parts.
    pub parts: Vec<Sitting>,
    /// The ballast.
    pub ballast: Vec<Ballast>,
    /// Downward force of the ballast over the net buoyancy, in per cent beyond it, at the densest bath and lightest part.
    pub margin_percent: Option<f64>,
    /// Things on the shelf that may not be used, with the reason.
    pub refused_ballast: Vec<(String, String)>,
    /// Evaporation over the longest soak: low and high (1 to 3 mm a day, common practice). `None` for a hot bath, where it
    /// is not known.
    pub evaporation: Option<(Length, Length)>,
    /// Water to add at each day, if the cover does not outlast the evaporation that is known.
    pub daily_top_up: Option<Volume>,
    /// Levels at each lift.
    pub lifts: Vec<AfterLift>,
    /// Made-up reserve to keep ready.
    pub reserve: Option<Volume>,
    /// Outer area of all parts, mm²; `None` when a part's area is not known.
    pub area: Option<crate::amount::Area>,
    /// Outer area of all parts per litre of liquid, mm²; `None` when the area is not known.
    pub loading_mm2_per_l: Option<f64>,
    /// What the person should know.
    pub warnings: Vec<String>,
}
