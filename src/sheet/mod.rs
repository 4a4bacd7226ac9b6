//! Renderers: from a reviewed value to terminal, HTML, JSON and calendar. None of them computes.

pub mod calendar;
pub mod html;
pub mod json;
pub mod measure;
pub mod terminal;
