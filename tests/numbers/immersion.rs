//! Published values for `immersion`.
