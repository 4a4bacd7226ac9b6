//! Published values for `files`.
