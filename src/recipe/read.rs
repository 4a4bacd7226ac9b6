//! From what a file says to a checked recipe.

use super::Recipe;
use crate::amount::MeasureSystem;
use crate::diag::Checked;

/// Reads and checks a recipe file; all faults in one run, each with line, column and field.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_recipe(_text: &str, _file: &str) -> Checked<Recipe> {
    todo!()
}

/// A formula that is only a list of lines.
///
/// # Errors
/// Everything that is wrong with the lines.
pub fn from_lines(_lines: &[String], _measures: MeasureSystem) -> Checked<Recipe> {
    todo!()
}
