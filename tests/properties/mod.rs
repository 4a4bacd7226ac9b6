//! Property tests, a file a room.

mod amount;
mod bath;
mod choose;
mod files;
mod immersion;
mod mesh;
mod reference;
mod safety;
mod trade;
