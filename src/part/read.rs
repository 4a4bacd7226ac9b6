//! A part as a person writes it on the command line or in an order.

use super::Part;
use crate::amount::MeasureSystem;
use crate::diag::Checked;

/// Gives the bytes of a file the person named. Only `command` does input and output.
pub type FileLoader<'a> = dyn Fn(&str) -> Checked<Vec<u8>> + 'a;

/// Reads `"box 40x40x80 mm, 85 g, iron, PLA"` or `"pull.stl, 31 g, bronze, PLA, 2 of them"`: shape or file first, then
/// mass, metal and binder in any order.
///
/// # Errors
/// Names the piece that was not understood and what is allowed.
pub fn read_part(_text: &str, _system: MeasureSystem, _load: &FileLoader<'_>) -> Checked<Part> {
    todo!()
}
