//! A vessel as a person writes it.

use super::Vessel;
use crate::diag::Checked;

/// Reads `"cup 60-82x140 mm, glass"`, `"jar 80x120 mm, glass, loose"`, `"tray 300x200x60 mm, PP"` or
/// `"1 L jar, 150 mm high, glass"`.
///
/// # Errors
/// Names the piece that was not understood and what is allowed.
pub fn read_vessel(_text: &str) -> Checked<Vessel> {
    todo!()
}
