//! Output as json.
