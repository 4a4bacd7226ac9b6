//! Whole-process time of `plan demo`, side by side with an empty Rust program, as a ratio of medians.
//!
//! Run with `cargo bench --bench startup`. The two programs take turns, so that a drift of the machine's speed
//! hits both. Nothing is asserted: machines are noisy, the README quotes the ratio.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const RUNS: usize = 300;

fn time(program: &Path, arguments: &[&str]) -> Duration {
    let start = Instant::now();
    let status = Command::new(program).args(arguments).stdout(Stdio::null()).stderr(Stdio::null()).status();
    assert!(status.is_ok_and(|s| s.success()), "{} failed", program.display());
    start.elapsed()
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn main() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let source = folder.path().join("empty.rs");
    std::fs::write(&source, "fn main() {}\n").expect("the folder can be written");
    let empty = folder.path().join("empty");
    let built = Command::new("rustc").arg("-O").arg("-o").arg(&empty).arg(&source).status();
    assert!(built.is_ok_and(|s| s.success()), "rustc could not build the empty program");
    let ours = Path::new(env!("CARGO_BIN_EXE_bathwright"));

    for (name, arguments) in [
        ("plan demo", &["plan", "demo"][..]),
        ("plan demo --format json", &["plan", "demo", "--format", "json"][..]),
        (
            "check, four ingredients",
            &[
                "check",
                "3/4 cup water",
                "1/8 cup white vinegar 5%",
                "1/8 cup hydrogen peroxide 3%",
                "2 tbsp table salt",
            ][..],
        ),
    ] {
        let (mut a, mut b) = (Vec::new(), Vec::new());
        for _ in 0..10 {
            time(ours, arguments);
            time(&empty, &[]);
        }
        for _ in 0..RUNS {
            a.push(time(ours, arguments));
            b.push(time(&empty, &[]));
        }
        let (a, b) = (median(&mut a), median(&mut b));
        println!(
            "{name}: median {:.2} ms, empty program {:.2} ms, ratio {:.2} ({RUNS} alternating runs)",
            a.as_secs_f64() * 1e3,
            b.as_secs_f64() * 1e3,
            a.as_secs_f64() / b.as_secs_f64()
        );
    }
}
