//! Bathwright: from *this recipe, these parts, this vessel, what is on this shelf* to a plan that can be followed.
//!
//! The folder list is the architecture: text becomes checked values (`amount`, `reference`, `recipe`, `part`,
//! `vessel`, `order`), each stage adds what it finds (`immersion`, `bath`, `safety`, `finishing`, `timetable`),
//! `plan` puts the stages in order, and `sheet` shows the reviewed result. Only `command` reads and writes.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

extern crate alloc;

pub mod amount;
pub mod bath;
pub mod command;
pub mod diag;
pub mod finishing;
pub mod immersion;
pub mod order;
pub mod part;
pub mod plan;
pub mod recipe;
pub mod reference;
pub mod safety;
pub mod sheet;
pub mod timetable;
pub mod vessel;
