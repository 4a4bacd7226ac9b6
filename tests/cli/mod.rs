//! The program run as a process: exit codes, what stands where, and snapshots of every format.

mod bad_input;
mod check;
mod formats;
mod jobs;
mod meshes;
mod pages;
mod refusals;
mod trade;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What one run gave.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// Standard output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("not JSON ({e}):\n{}\n{}", self.out, self.err))
    }
}

/// Runs the program in the folder of the tests' data, without a terminal, in a fixed zone.
#[track_caller]
pub fn bathwright(arguments: &[&str]) -> Ran {
    bathwright_in(&data(), arguments)
}

/// Runs the program in a folder.
#[track_caller]
pub fn bathwright_in(folder: &Path, arguments: &[&str]) -> Ran {
    let out = Command::new(env!("CARGO_BIN_EXE_bathwright"))
        .args(arguments)
        .current_dir(folder)
        .env("TZ", "Europe/London")
        .env_remove("COLUMNS")
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    Ran {
        code: out.status.code().unwrap_or(-1),
        out: String::from_utf8(out.stdout).expect("standard output is UTF-8"),
        err: String::from_utf8(out.stderr).expect("standard error is UTF-8"),
    }
}

/// The folder `tests/data`.
pub fn data() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data")
}
