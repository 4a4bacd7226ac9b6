//! Reading amounts, lengths, temperatures and durations as people write them.

use super::{Exact, Length, MeasureSystem, Span, ThermodynamicTemperature, Unit};
use crate::diag::Checked;

/// An amount as written: a range of exact numbers and their unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amount {
    /// The number or range.
    pub value: Span<Exact>,
    /// What it counts.
    pub unit: Unit,
}

/// Reads one amount, such as `1 1/2 tbsp`, `¾ cup`, `2-3 tbsp`, `120ml` or `35 g/L`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_amount(_text: &str, _system: MeasureSystem) -> Checked<Amount> {
    todo!()
}

/// Reads one length, such as `82 mm`, `8.2cm` or `3 1/4 in`; a bare number is in `default_unit` ("mm", ...) if given.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_length(_text: &str, _default_unit: Option<&str>) -> Checked<Length> {
    todo!()
}

/// Reads a temperature, such as `20 C`, `68 F` or `293 K`; a bare number is in degrees Celsius.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_temperature(_text: &str) -> Checked<ThermodynamicTemperature> {
    todo!()
}

/// Reads a duration, such as `12 h`, `30 min`, `2 days`, `1 h 30 min` or ISO 8601 `PT12H`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_duration(_text: &str) -> Checked<jiff::SignedDuration> {
    todo!()
}
