//! One test binary: published numbers, properties, and the program run as a process.

mod numbers;
mod properties;
mod support;
