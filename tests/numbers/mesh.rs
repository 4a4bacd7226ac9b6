//! Published values for `mesh`.
