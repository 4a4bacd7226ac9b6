//! Published values for `amount`.
