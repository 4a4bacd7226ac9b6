//! One test binary: published numbers, jobs, and the program run as a process.

mod numbers;
