//! Published values for `bath`.
