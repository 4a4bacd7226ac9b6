//! The program's own time for one review: reading the lines, looking the names up, checking. Under 5 ms is wanted.
//!
//! Run with `cargo bench --bench check`. Nothing is asserted: machines are noisy.

use bathwright::amount::MeasureSystem;
use bathwright::reference::{material, read_ingredient};
use bathwright::safety::{Conditions, PartFacts, check};
use std::hint::black_box;
use std::time::{Duration, Instant};

const RUNS: usize = 500;

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn once(lines: &[&str], conditions: &Conditions) -> Duration {
    let start = Instant::now();
    let mix: Vec<_> = lines.iter().filter_map(|line| read_ingredient(line, MeasureSystem::Us).ok()).collect();
    black_box(check(&mix, conditions));
    start.elapsed()
}

fn main() {
    let part = PartFacts { name: "plaque".to_string(), metal: material("iron"), binder: material("pla") };
    let conditions = Conditions { parts: vec![part], vessel: material("glass"), ..Conditions::default() };
    let kitchen =
        ["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %", "2-3 tbsp table salt"];
    let unclear = ["50 ml rust remover", "100 ml toilet cleaner", "20 ml glass cleaner", "1 L water", "10 g descaler"];
    for (name, lines) in [("kitchen rust bath", &kitchen[..]), ("five lines, many meanings", &unclear[..])] {
        let first = once(lines, &conditions);
        let rest = median((0..RUNS).map(|_| once(lines, &conditions)).collect());
        println!("{name}: first with the tables {first:?}, then {rest:?}");
    }
}
