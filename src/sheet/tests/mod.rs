//! The formats beside each other: nothing found is missing from any, and a refusal holds no amount.

mod formats;
mod snapshots;
