//! Published values for `safety`.
