//! Amounts as people write them: parse, scale exactly, measure out with the tools a person owns.

mod duration;
mod exact;
mod ingredient_line;
mod measure_out;
mod number;
mod physical;
mod pieces;
mod quantity;
mod span;
mod strength;
mod tools;
mod unit;
mod word;
mod written;

pub use duration::{read_duration, read_duration_range};
pub use exact::Exact;
pub use ingredient_line::{IngredientLine, read_ingredient_line};
pub use measure_out::{MeasuredOut, measure_out, times_as_much};
pub use physical::{
    read_area, read_dimensions, read_length, read_length_or_zero, read_loading, read_mass, read_number,
    read_number_range, read_percent, read_room_volume, read_temperature, read_temperature_range, read_volume,
    read_volume_or_zero,
};
pub use pieces::{figure, split_pieces};
pub use quantity::*;
pub use span::{Estimate, Span};
pub use strength::{Strength, StrengthBasis};
pub use tools::{Tool, ToolKind};
pub use unit::{MassUnit, MeasureSystem, Unit, VolumeUnit};
pub use written::{Amount, counted, read_amount};
