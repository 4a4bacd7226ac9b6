//! One test binary: published numbers, properties, and the program run as a process.

mod cli;
mod layers;
mod numbers;
mod properties;
mod support;
