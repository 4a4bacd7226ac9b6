//! Output as terminal.
