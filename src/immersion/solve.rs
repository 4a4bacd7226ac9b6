//! The ballast-fill loop, in one place.

use super::{Immersion, Question};
use crate::diag::Checked;

/// Solves the immersion.
///
/// # Errors
/// A part that does not fit, a vessel that would overflow (by how much), ballast that cannot hold the part.
pub fn immerse(_question: &Question<'_>) -> Checked<Immersion> {
    todo!()
}
