//! Published values for `reference`.
