//! Meshes, side by side in one run: the streaming pass against reading the file's bytes, a 3MF against inflating it, the
//! whole measurement with its memory.
//!
//! Run with `cargo bench --bench mesh`, with `-- 1000000` for another number of triangles and `-- quick`, `3mf` or `whole`
//! for one part. The rivals take turns and the best
//! time of each counts, so that a busy machine hurts all alike. Nothing is asserted: the README quotes the ratios.

#![allow(clippy::disallowed_methods)]

use bathwright::command::MeshFile;
use bathwright::part::mesh::{Options, QuickOptions, load, measure, quick_at};
use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::Path;
use std::time::{Duration, Instant};

const ROUNDS: usize = 7;
const BLOCK: usize = 128 << 10;

fn main() {
    let triangles = std::env::args().filter_map(|a| a.parse().ok()).next().unwrap_or(5_000_000_usize);
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let wanted = |part: &str| {
        !["quick", "3mf", "whole"].iter().any(|p| asked.iter().any(|a| a == p)) || asked.iter().any(|a| a == part)
    };
    let folder = tempfile::tempdir().expect("a temporary folder");
    if wanted("quick") {
        let stl = folder.path().join("large.stl");
        let count = write_stl(&stl, triangles);
        println!("binary STL with {count} triangles, {} MB", count * 50 / 1_000_000);
        streaming(&stl);
    }
    if wanted("3mf") {
        let model = folder.path().join("million.3mf");
        write_3mf(&model, 1_000_000.min(triangles));
        inflating(&model);
    }
    if wanted("whole") {
        whole(&folder.path().join("whole.stl"), 1_000_000.min(triangles));
    }
}

/// A name and what is timed.
type Rival<'a> = (&'a str, Box<dyn FnMut() + 'a>);

/// The best time of several rivals that take turns.
fn race(rivals: &mut [Rival<'_>]) -> Vec<Duration> {
    let mut best = vec![Duration::MAX; rivals.len()];
    for _ in 0..ROUNDS {
        for ((_, run), best) in rivals.iter_mut().zip(&mut best) {
            let start = Instant::now();
            run();
            *best = start.elapsed().min(*best);
        }
    }
    for ((name, _), time) in rivals.iter().zip(&best) {
        let ratio = time.as_secs_f64() / best[0].as_secs_f64();
        println!("  {name:<44}{:>9.1} ms  {ratio:>6.2} times the first", time.as_secs_f64() * 1e3);
    }
    best
}

fn streaming(path: &Path) {
    let before = resident_kb();
    let pass = |closedness: bool, threads: usize| {
        move || {
            let file = File::open(path).expect("the file opens");
            let length = file.metadata().expect("the file is there").len();
            let options = QuickOptions { closedness, threads, ..QuickOptions::default() };
            let found = quick_at(&MeshFile(file), length, "large.stl", &options).expect("it is measured");
            assert_eq!(found.watertight, closedness);
        }
    };
    race(&mut [
        (
            "reading the bytes, 128 KiB blocks",
            Box::new(|| {
                std::hint::black_box(read_all(path));
            }),
        ),
        ("volume, area and box, 1 thread", Box::new(pass(false, 1))),
        ("volume, area and box, 2 threads", Box::new(pass(false, 2))),
        ("with closedness, 1 thread", Box::new(pass(true, 1))),
        ("with closedness, 2 threads", Box::new(pass(true, 2))),
    ]);
    println!("  resident memory: {} MiB before, {} MiB at its highest", before / 1024, peak_kb() / 1024);
}

fn read_all(path: &Path) -> u64 {
    let mut file = File::open(path).expect("the file opens");
    let mut block = vec![0; BLOCK];
    let mut sum = 0;
    loop {
        match file.read(&mut block).expect("the file reads") {
            0 => return sum,
            n => sum += std::hint::black_box(&block[..n]).len() as u64,
        }
    }
}

fn inflating(path: &Path) {
    let bytes = std::fs::read(path).expect("the file reads");
    println!("3MF, {} MB", bytes.len() / 1_000_000);
    race(&mut [
        (
            "inflating the model",
            Box::new(|| {
                let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).expect("a zip");
                let mut part = archive.by_name("3D/3dmodel.model").expect("the model");
                let mut block = vec![0; BLOCK];
                while part.read(&mut block).expect("it inflates") > 0 {
                    std::hint::black_box(&block);
                }
            }),
        ),
        (
            "reading it as triangles",
            Box::new(|| {
                std::hint::black_box(load(&bytes, "million.3mf", None).expect("it is read"));
            }),
        ),
    ]);
}

fn whole(path: &Path, triangles: usize) {
    let count = write_stl(path, triangles);
    let bytes = std::fs::read(path).expect("the file reads");
    println!("whole measurement of {count} triangles without air");
    let before = peak_kb();
    let start = Instant::now();
    let options = Options { air: false, ..Options::default() };
    let found = measure(&bytes, "whole.stl", &options).expect("it is measured");
    assert!(found.watertight && found.warnings.is_empty());
    let grown = peak_kb().saturating_sub(before);
    println!(
        "  {:.0} ms, {} bytes a triangle beyond the file",
        start.elapsed().as_secs_f64() * 1e3,
        grown * 1024 / count as u64
    );
    let start = Instant::now();
    let found = measure(&bytes, "whole.stl", &Options::default()).expect("it is measured");
    let traps = found.air.expect("air was looked for");
    println!("  {:.0} ms with air, grid {:?} mm", start.elapsed().as_secs_f64() * 1e3, traps.pitch.value * 1e3);
}

/// A closed ball with waves on it, about as many triangles as asked for.
fn ball(triangles: usize, mut each: impl FnMut([[f64; 3]; 3])) -> usize {
    let rings = ((triangles / 4) as f64).sqrt() as usize + 1;
    let around = 2 * rings;
    let point = |i: usize, k: usize| {
        let (a, b) = (
            std::f64::consts::PI * i as f64 / rings as f64,
            std::f64::consts::TAU * (k % around) as f64 / around as f64,
        );
        let s = if i == 0 || i == rings { 0.0 } else { a.sin() };
        let r = 40.0 + if s == 0.0 { 0.0 } else { 3.0 * s * (9.0 * b).sin() * (7.0 * a).cos() };
        [r * s * b.cos(), r * s * b.sin(), -r * a.cos()]
    };
    let mut count = 0;
    for i in 0..rings {
        for k in 0..around {
            let [a, b, c, d] = [point(i, k), point(i, k + 1), point(i + 1, k + 1), point(i + 1, k)];
            if i > 0 {
                each([a, b, c]);
                count += 1;
            }
            if i + 1 < rings {
                each([a, c, d]);
                count += 1;
            }
        }
    }
    count
}

fn write_stl(path: &Path, triangles: usize) -> usize {
    let count = ball(triangles, |_| ());
    let mut out = BufWriter::new(File::create(path).expect("the file is made"));
    out.write_all(&[b' '; 80]).expect("written");
    out.write_all(&(count as u32).to_le_bytes()).expect("written");
    ball(triangles, |t| {
        let mut record = [0; 50];
        for (slot, c) in record[12..48].chunks_mut(4).zip(t.iter().flatten()) {
            slot.copy_from_slice(&(*c as f32).to_le_bytes());
        }
        out.write_all(&record).expect("written");
    });
    out.flush().expect("written");
    count
}

fn write_3mf(path: &Path, triangles: usize) {
    let rings = ((triangles / 4) as f64).sqrt() as usize + 1;
    let mut zip = zip::ZipWriter::new(File::create(path).expect("the file is made"));
    let options = zip::write::SimpleFileOptions::default();
    zip.start_file("3D/3dmodel.model", options).expect("written");
    let mut out = BufWriter::new(zip);
    let space = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
    write!(out, "<model unit=\"millimeter\" xmlns=\"{space}\"><resources><object id=\"1\"><mesh><vertices>")
        .expect("written");
    let around = 2 * rings;
    for i in 0..=rings {
        for k in 0..around {
            let (a, b) = (i as f64 / rings as f64 * 3.0, k as f64 / around as f64 * 6.0);
            writeln!(
                out,
                "<vertex x=\"{:.6}\" y=\"{:.6}\" z=\"{:.6}\" />",
                40.0 * a.sin() * b.cos(),
                40.0 * b.sin(),
                a
            )
            .expect("written");
        }
    }
    write!(out, "</vertices><triangles>").expect("written");
    for i in 0..rings {
        for k in 0..around {
            let at = |i: usize, k: usize| i * around + k % around;
            let [a, b, c, d] = [at(i, k), at(i, k + 1), at(i + 1, k + 1), at(i + 1, k)];
            writeln!(
                out,
                "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\" />\n<triangle v1=\"{a}\" v2=\"{c}\" v3=\"{d}\" />"
            )
            .expect("written");
        }
    }
    write!(out, "</triangles></mesh></object></resources><build><item objectid=\"1\"/></build></model>")
        .expect("written");
    out.into_inner().unwrap_or_else(|e| panic!("not flushed: {e}")).finish().expect("written");
}

fn status_kb(key: &str) -> u64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find(|l| l.starts_with(key)).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).unwrap_or(0)
}

fn resident_kb() -> u64 {
    status_kb("VmRSS:")
}

fn peak_kb() -> u64 {
    status_kb("VmHWM:")
}
