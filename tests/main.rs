//! One test binary: published numbers, properties, and the program run as a process.

// Tests may hold the program's mathematics against the system's.
#![allow(clippy::disallowed_methods)]

mod cli;
mod layers;
mod numbers;
mod properties;
mod support;
