//! Published values for `sheet`.
