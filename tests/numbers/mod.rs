//! Numbers checked against published worked values, each with its source.

mod amount;
mod bath;
mod care;
mod files;
mod immersion;
mod mesh;
mod reference;
mod safety;
mod sheet;
pub mod trade;
