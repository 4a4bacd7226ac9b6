//! From what bench and order files say to checked values.

use super::{Bench, Order};
use crate::diag::Checked;
use crate::part::FileLoader;

/// Reads and checks a bench file.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_bench(_text: &str, _file: &str) -> Checked<Bench> {
    todo!()
}

/// Reads and checks an order file. `load` gives the recipe, bench and mesh files that it names.
///
/// # Errors
/// Everything that is wrong with the file and the files it names.
pub fn read_order(_text: &str, _file: &str, _load: &FileLoader<'_>) -> Checked<Order> {
    todo!()
}
