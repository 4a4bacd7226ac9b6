//! One file a command: read inputs, call the library, hand the result to a renderer. The only room with I/O.

pub mod args;
mod check;
mod choose;
mod common;
mod correct;
mod explain;
mod help;
mod inputs;
mod measure;
mod mesh_file;
mod mix;
mod neutralise;
mod plan;
mod recipes;
mod scale;
mod schema;
mod tumble;

pub use mesh_file::MeshFile;

use crate::diag::Problems;
use args::{Cli, Command};
use clap::{CommandFactory, Parser};
use std::ffi::OsString;
use std::io::Write;

/// What a command gives back: text for standard output, messages for standard error, exit code.
#[derive(Debug, Default)]
pub struct Shown {
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub messages: String,
    /// 0 done, 3 refused.
    pub code: u8,
}

impl Shown {
    /// A result.
    pub fn text(out: String) -> Self {
        Shown { out, ..Shown::default() }
    }

    /// A refusal: reasons on standard output in the format asked for, exit code 3.
    pub fn refused(out: String) -> Self {
        Shown { out, code: 3, ..Shown::default() }
    }
}

/// Why a command gave nothing.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Bad input: exit code 2.
    #[error("{0}")]
    Input(#[from] Problems),
    /// Anything else: exit code 1.
    #[error("error: {0}")]
    Other(String),
}

impl From<crate::diag::Problem> for Failure {
    fn from(p: crate::diag::Problem) -> Self {
        Failure::Input(p.into())
    }
}

/// Runs the program with these arguments and gives the exit code: 0 done, 2 bad usage or input, 3 refused as unsafe,
/// 1 anything else.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let cli = match Cli::try_parse_from(arguments.into_iter().map(no_flag)) {
        Ok(cli) => cli,
        Err(e) => {
            // Help and version go to standard output with code 0, usage errors to standard error with code 2.
            let code = u8::try_from(e.exit_code()).unwrap_or(2);
            let _ = e.print();
            return code;
        }
    };
    match dispatch(cli.command) {
        Ok(shown) => {
            if !shown.messages.is_empty() {
                let _ = writeln!(std::io::stderr(), "{}", shown.messages.trim_end());
            }
            match write_out(&shown.out) {
                Ok(()) => shown.code,
                // A reader that closed the pipe has seen what it wanted.
                Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => shown.code,
                Err(e) => {
                    let _ = writeln!(std::io::stderr(), "error: standard output could not be written: {e}");
                    1
                }
            }
        }
        Err(failure) => {
            let _ = writeln!(std::io::stderr(), "{failure}");
            match failure {
                Failure::Input(_) => 2,
                Failure::Other(_) => 1,
            }
        }
    }
}

/// An amount below zero ("-1 L water") is no flag: with a space before it the reader of amounts gets it and says what is
/// allowed. `allow_hyphen_values` would take the flags after a list of ingredients for ingredients.
fn no_flag(argument: OsString) -> OsString {
    let figure = |text: &str| {
        text.strip_prefix('-').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit() || c == '.'))
    };
    match argument.to_str() {
        Some(text) if figure(text) => format!(" {text}").into(),
        _ => argument,
    }
}

fn write_out(text: &str) -> std::io::Result<()> {
    if text.is_empty() {
        return Ok(());
    }
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())?;
    if !text.ends_with('\n') {
        out.write_all(b"\n")?;
    }
    out.flush()
}

fn dispatch(command: Command) -> Result<Shown, Failure> {
    match command {
        Command::Plan(a) => plan::run(&a.0),
        Command::Scale(a) => scale::run(&a.0),
        Command::Check(a) => check::run(&a.0),
        Command::Mix(a) => mix::run(&a.0),
        Command::Neutralise(a) => neutralise::run(&a.0),
        Command::Correct(a) => correct::run(&a.0),
        Command::Measure(a) => measure::run(&a.0),
        Command::Recipes(a) => recipes::run(&a.0),
        Command::Choose(a) => choose::run(&a.0),
        Command::Tumble(a) => tumble::run(&a.0),
        Command::Explain(a) => explain::run(&a.0),
        Command::Schema(a) => schema::run(&a.0),
        Command::Completions { shell } => {
            let mut out = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "bathwright", &mut out);
            Ok(Shown::text(String::from_utf8_lossy(&out).into_owned()))
        }
        Command::Man => {
            let mut out = Vec::new();
            clap_mangen::Man::new(Cli::command())
                .render(&mut out)
                .map_err(|e| Failure::Other(format!("the manual page could not be made: {e}")))?;
            Ok(Shown::text(String::from_utf8_lossy(&out).into_owned()))
        }
        Command::Help { topic } => help::run(topic.as_deref()),
    }
}
