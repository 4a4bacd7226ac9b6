//! One file a command: read inputs, call the library, hand the result to a renderer. The only room with I/O.

/// Runs the program with these arguments and gives the exit code.
pub fn run(_arguments: impl IntoIterator<Item = std::ffi::OsString>) -> u8 {
    0
}
