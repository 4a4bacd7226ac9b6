//! The `bathwright` program: parse, call, exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(bathwright::command::run(std::env::args_os()))
}
