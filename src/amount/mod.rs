//! Amounts as people write them: parse, scale exactly, measure out with the tools a person owns.

mod exact;
mod ingredient_line;
mod pieces;
mod quantity;
mod span;
mod strength;
mod tools;
mod unit;
mod written;

pub use exact::Exact;
pub use ingredient_line::{IngredientLine, read_ingredient_line};
pub use pieces::{figure, split_pieces};
pub use quantity::*;
pub use span::{Estimate, Span};
pub use strength::{Strength, StrengthBasis};
pub use tools::{MeasuredOut, Tool, ToolKind, measure_out};
pub use unit::{MassUnit, MeasureSystem, Unit, VolumeUnit};
pub use written::{Amount, read_amount, read_duration, read_length, read_temperature};
