//! Output as html.
