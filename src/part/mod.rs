//! Parts: what they are made of, how heavy they are and what room they take.

pub mod mesh;
mod pieces;
mod print;
mod read;
mod shape;

pub use print::{MakeUp, filled_density, printed_mass, solid_mass, solid_volume};
pub use read::{FileLoader, Meshes, read_part, read_part_with};
pub use shape::{Shape, Side};

use crate::amount::{Estimate, Mass, MassDensity, Span};
use crate::reference::Material;
use jiff::SignedDuration;

/// One part, or several alike.
#[derive(Debug, Clone)]
pub struct Part {
    /// What the person calls it.
    pub name: String,
    /// How many of them go into the bath.
    pub count: u32,
    /// Outer shape.
    pub shape: Shape,
    /// Mass of one: as weighed, or estimated from the print make-up (then the ends differ).
    pub mass: Estimate<Mass>,
    /// Whether the mass was weighed.
    pub weighed: bool,
    /// Whether anything about the mass is known: neither weighed nor made up, it is anything from nothing to solid, and
    /// immersion asks for it.
    pub mass_known: bool,
    /// The metal, or the filler of a metal-filled plastic. `None` when not said.
    pub metal: Option<&'static Material>,
    /// The binder of a metal-filled plastic; `None` for solid metal.
    pub binder: Option<&'static Material>,
    /// Density of the solid material (filament) when known, for flooded buoyancy.
    pub solid_density: Option<Estimate<MassDensity>>,
    /// How it was printed, when said.
    pub make_up: Option<MakeUp>,
    /// The side that is to be up, when said; otherwise immersion chooses.
    pub up: Option<Side>,
    /// When this part is lifted out for good, after immersion.
    pub lift: Option<Span<SignedDuration>>,
    /// What the person should know about what they wrote, each a sentence.
    pub notes: Vec<String>,
}
