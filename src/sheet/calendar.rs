//! Output as calendar.
