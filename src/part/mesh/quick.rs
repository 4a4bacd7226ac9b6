//! The streaming pass over a binary STL: volume, area, box and closedness in one reading, holding one block a thread.
//!
//! Blocks are a whole number of triangles (see `feed`). Each
//! block gives sums of its own, which are added in the order of the file, so the answer does not depend on the number of
//! threads. Closedness is a sum over directed edges of a hash keyed for this run (see `keyed`): zero means closed.

use super::feed::{At, BLOCK, Feed, Placed, ReadAt, Streamed, cut_short, fill, lock};
use super::keyed::Key;
use super::measurement::Measurement;
use super::stl::{self, HEADER, RECORD};
use super::triangles::{bad_coordinate, usable};
use super::unit::{LengthUnit, implausible};
use super::vector::V3;
use crate::amount::{Estimate, cubic_millimetres, millimetres, square_millimetres};
use crate::diag::{Checked, Problem, Problems};
use crate::part::Side;
use std::collections::BTreeMap;
use std::io::Read;
use std::sync::Mutex;

/// How to run the streaming pass.
#[derive(Debug, Clone, Copy)]
pub struct QuickOptions {
    /// Unit of the file's numbers, when the person says so.
    pub unit: Option<LengthUnit>,
    /// Whether to find out if the surface is closed; without, no volume is believed.
    pub closedness: bool,
    /// Threads, at least one.
    pub threads: usize,
}

impl Default for QuickOptions {
    fn default() -> Self {
        let threads = std::thread::available_parallelism().map_or(1, |n| n.get().min(4));
        QuickOptions { unit: None, closedness: true, threads }
    }
}

/// Measures a binary STL while reading it in order. `length` is the size of the source in bytes when it is known.
///
/// # Errors
/// Anything but a binary STL, a file that is cut short, coordinates that are not finite, or a source that fails.
pub fn quick(
    mut source: impl Read + Send,
    length: Option<u64>,
    name: &str,
    options: &QuickOptions,
) -> Checked<Measurement> {
    let work = || {
        let head = Head::read(&mut source, length)?;
        let feed = Streamed::new(source, head.first, head.promised);
        let sums = sum(&feed, &head, options)?;
        let more = fill(&mut feed.into_source(), &mut [0; 1])? > 0;
        answer(&sums, &head, more, options)
    };
    named(work(), name)
}

/// Measures a binary STL of `length` bytes, every thread reading its own blocks.
///
/// # Errors
/// As [`quick`].
pub fn quick_at(
    source: &(impl ReadAt + ?Sized),
    length: u64,
    name: &str,
    options: &QuickOptions,
) -> Checked<Measurement> {
    let work = || {
        let head = Head::read(&mut At { source, offset: 0 }, Some(length))?;
        let room = length.saturating_sub(HEADER as u64) / RECORD as u64;
        if room < head.promised {
            return Err(cut_short(head.promised, room));
        }
        let sums = sum(&Placed::new(source, head.promised), &head, options)?;
        let more = length > HEADER as u64 + RECORD as u64 * head.promised;
        answer(&sums, &head, more, options)
    };
    named(work(), name)
}

fn named(found: Result<Measurement, Problem>, name: &str) -> Checked<Measurement> {
    let found = found.map_err(|p| Problems::from(p).in_file(name))?;
    Ok(Measurement { warnings: Problems(found.warnings).in_file(name).0, ..found })
}

/// What stands before the second triangle.
struct Head {
    promised: u64,
    first: [u8; RECORD],
    /// The first corner, which is on the part: the origin of all sums.
    origin: V3,
}

impl Head {
    fn read(source: &mut impl Read, length: Option<u64>) -> Result<Self, Problem> {
        let mut head = [0; HEADER + RECORD];
        let got = fill(source, &mut head)?;
        let promised = stl::declared_count(&head[..got]).unwrap_or(0) as u64;
        let fits = length.is_some_and(|l| promised > 0 && l == HEADER as u64 + RECORD as u64 * promised);
        if !fits && (got < HEADER || stl::looks_like_text(&head[..got])) {
            return Err(
                Problem::error("the streaming pass reads binary STL only").hint("measure this file without --quick")
            );
        }
        if promised == 0 {
            return Err(Problem::error("the header promises no triangles").hint("export the file again"));
        }
        if got < head.len() {
            return Err(cut_short(promised, 0));
        }
        let first: [u8; RECORD] = head[HEADER..].try_into().unwrap_or([0; RECORD]);
        Ok(Head { promised, first, origin: stl::corners(&first)[0] })
    }
}

/// The sums over all blocks, on as many threads as asked for but no more than there are blocks.
fn sum(feed: &impl Feed, head: &Head, options: &QuickOptions) -> Result<Sums, Problem> {
    let folded = Mutex::new(Folded { next: 0, waiting: BTreeMap::new(), sums: Sums::new() });
    let found = First::default();
    let key = Key::random();
    let work = || {
        if options.closedness {
            worker::<true>(feed, &folded, &found, head.origin, &key)
        } else {
            worker::<false>(feed, &folded, &found, head.origin, &key)
        }
    };
    let blocks = head.promised.div_ceil(BLOCK as u64);
    std::thread::scope(|scope| {
        for _ in 1..blocks.min(options.threads as u64) {
            scope.spawn(work);
        }
        work();
    });
    match found.into_inner().unwrap_or_else(|e| e.into_inner()) {
        Some((_, problem)) => Err(problem),
        None => Ok(folded.into_inner().unwrap_or_else(|e| e.into_inner()).sums),
    }
}

/// Turns the sums into what is told.
fn answer(sums: &Sums, head: &Head, more: bool, options: &QuickOptions) -> Result<Measurement, Problem> {
    let (origin, triangles) = (head.origin, head.promised);
    let mut warnings = Vec::new();
    if more {
        warnings.push(
            Problem::warning(format!(
                "the header promises {triangles} triangles, and more bytes follow them that were not read"
            ))
            .hint("check that nothing of the part is missing, or export the file again"),
        );
    }
    let (low, high) = (sums.low.map(f64::from), sums.high.map(f64::from));
    if let Some(&bad) = low.iter().chain(&high).chain(&origin).find(|c| !usable(**c)) {
        return Err(bad_coordinate(bad));
    }
    let k = options.unit.unwrap_or(LengthUnit::Millimetre).millimetres();
    let size: V3 = std::array::from_fn(|i| (high[i] - low[i]) * k);
    if options.unit.is_none() {
        warnings.extend(implausible(size[0].max(size[1]).max(size[2])));
    }
    let closed = options.closedness && sums.edges == 0;
    let volume = sums.volume / 6.0 * k.powi(3);
    let known = closed && volume != 0.0;
    if options.closedness && !closed {
        warnings.push(
            Problem::warning("the surface is not closed, so its volume is not known")
                .hint("measure it without --quick to see where, and between what bounds the volume is"),
        );
    }
    if !options.closedness {
        warnings.push(Problem::warning("closedness was not looked at, so the volume is not to be trusted"));
    }
    if known && volume < 0.0 {
        warnings.push(
            Problem::warning("the surface is inside out; its volume is told as if it were turned round")
                .hint("check the normals in the program the mesh was made with"),
        );
    }
    Ok(Measurement {
        quick: true,
        volume: (known || (!options.closedness && volume != 0.0))
            .then(|| Estimate::exact(cubic_millimetres(volume.abs()))),
        envelope: None,
        at_most: (!known).then(|| cubic_millimetres(size.iter().product())),
        voids: None,
        area: square_millimetres(sums.area / 2.0 * k * k),
        envelope_area: None,
        size: size.map(millimetres),
        corners: [low, high].map(|c| c.map(|c| millimetres(c * k))),
        watertight: closed,
        bodies: None,
        overlapping: None,
        triangles,
        centroid: None,
        faults: None,
        up: Side::PlusZ,
        wetted: None,
        cylinder: None,
        smallest_cylinder: None,
        smallest_box: None,
        air: None,
        warnings,
    })
}

/// Sums of blocks, added in their order.
struct Folded {
    next: u64,
    waiting: BTreeMap<u64, Sums>,
    sums: Sums,
}

impl Folded {
    fn take(&mut self, number: u64, sums: Sums) {
        self.waiting.insert(number, sums);
        while let Some(sums) = self.waiting.remove(&self.next) {
            self.sums.add(&sums);
            self.next += 1;
        }
    }
}

/// The problem nearest the beginning of the file, with the number of triangles before it.
type First = Mutex<Option<(u64, Problem)>>;

fn worker<const CLOSED: bool>(feed: &impl Feed, folded: &Mutex<Folded>, found: &First, origin: V3, key: &Key) {
    let fail = |before: u64, problem: Problem| {
        let mut found = lock(found);
        if found.as_ref().is_none_or(|f| before < f.0) {
            *found = Some((before, problem));
        }
    };
    let mut buffer = vec![0; BLOCK * RECORD];
    // Blocks are handed out in order, so whoever holds an earlier one than a block that failed still finishes it.
    while lock(found).is_none() {
        let block = match feed.block(&mut buffer) {
            Ok(Some(block)) => block,
            Ok(None) => return,
            Err((before, problem)) => return fail(before, problem),
        };
        let records = buffer[..block.triangles * RECORD].as_chunks::<RECORD>().0;
        let sums = block_sums::<CLOSED>(records, origin, key);
        // A coordinate that is not finite makes the area of its triangle not finite.
        if !sums.area.is_finite() {
            let bad = records.iter().position(|r| stl::corners(r).iter().flatten().any(|c| !c.is_finite()));
            let before = block.before + bad.unwrap_or(0) as u64;
            let problem = Problem::error("a coordinate is not a finite number")
                .in_field(format!("triangle {}", before + 1))
                .hint("export the part again; the file is damaged or was written by a faulty program");
            return fail(before, problem);
        }
        lock(folded).take(block.number, sums);
    }
}

/// What is summed: six times the volume, twice the area, the box, and the edges.
#[derive(Debug, Clone, Copy)]
struct Sums {
    volume: f64,
    area: f64,
    low: [f32; 3],
    high: [f32; 3],
    edges: u128,
}

impl Sums {
    fn new() -> Self {
        Sums { volume: 0.0, area: 0.0, low: [f32::INFINITY; 3], high: [f32::NEG_INFINITY; 3], edges: 0 }
    }

    fn add(&mut self, o: &Sums) {
        self.volume += o.volume;
        self.area += o.area;
        for i in 0..3 {
            self.low[i] = self.low[i].min(o.low[i]);
            self.high[i] = self.high[i].max(o.high[i]);
        }
        self.edges = self.edges.wrapping_add(o.edges);
    }
}

/// Triangles worked on side by side, so that the compiler can use wide registers.
const LANES: usize = 8;

fn block_sums<const CLOSED: bool>(records: &[[u8; RECORD]], origin: V3, key: &Key) -> Sums {
    let mut sums = Sums::new();
    let mut lanes = Lanes::new();
    let (groups, rest) = records.as_chunks::<LANES>();
    for group in groups {
        lanes.add(group, origin);
    }
    if let Some(&first) = rest.first() {
        // Filled up with a triangle that is one point: it adds nothing.
        let mut point = first;
        point.copy_within(12..24, 24);
        point.copy_within(12..24, 36);
        lanes.add(&std::array::from_fn(|i| rest.get(i).copied().unwrap_or(point)), origin);
    }
    lanes.fold(&mut sums);
    if CLOSED {
        for record in records {
            sums.edges = sums.edges.wrapping_add(edges(record, key));
        }
    }
    sums
}

/// What the edges of a triangle add to the sum that is zero for a closed surface.
#[inline(always)]
fn edges(record: &[u8; RECORD], key: &Key) -> u128 {
    let bits = |k: usize| {
        let b = 12 + 4 * k;
        let c = f32::from_le_bytes([record[b], record[b + 1], record[b + 2], record[b + 3]]);
        // Adding zero turns -0 into 0.
        u64::from((c + 0.0).to_bits())
    };
    let p = [0, 3, 6].map(|i| key.point(bits(i) | bits(i + 1) << 32, bits(i + 2)));
    key.edge(p[0], p[1]).wrapping_add(key.edge(p[1], p[2])).wrapping_add(key.edge(p[2], p[0]))
}

struct Lanes {
    volume: [f64; LANES],
    area: [f64; LANES],
    low: [[f32; LANES]; 3],
    high: [[f32; LANES]; 3],
}

impl Lanes {
    fn new() -> Self {
        Lanes {
            volume: [0.0; LANES],
            area: [0.0; LANES],
            low: [[f32::INFINITY; LANES]; 3],
            high: [[f32::NEG_INFINITY; LANES]; 3],
        }
    }

    #[inline(always)]
    #[allow(clippy::needless_range_loop)]
    fn add(&mut self, group: &[[u8; RECORD]; LANES], origin: V3) {
        let mut c = [[0.0_f32; LANES]; 9];
        for (lane, record) in group.iter().enumerate() {
            for (k, row) in c.iter_mut().enumerate() {
                let b = 12 + 4 * k;
                row[lane] = f32::from_le_bytes([record[b], record[b + 1], record[b + 2], record[b + 3]]);
            }
        }
        // Plain counting over lanes keeps the compiler on wide registers. `if` instead of `min`: numbers that are not finite are found by the area, and this is one instruction.
        let lowest = |a: f32, b: f32| if a < b { a } else { b };
        let highest = |a: f32, b: f32| if a > b { a } else { b };
        for i in 0..3 {
            for lane in 0..LANES {
                let (p, q, r) = (c[i][lane], c[i + 3][lane], c[i + 6][lane]);
                self.low[i][lane] = lowest(lowest(lowest(p, q), r), self.low[i][lane]);
                self.high[i][lane] = highest(highest(highest(p, q), r), self.high[i][lane]);
            }
        }
        for lane in 0..LANES {
            let d: [f64; 9] = std::array::from_fn(|k| f64::from(c[k][lane]));
            let u = [d[3] - d[0], d[4] - d[1], d[5] - d[2]];
            let v = [d[6] - d[0], d[7] - d[1], d[8] - d[2]];
            let n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            self.area[lane] += (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
            self.volume[lane] += (d[0] - origin[0]) * n[0] + (d[1] - origin[1]) * n[1] + (d[2] - origin[2]) * n[2];
        }
    }

    fn fold(&self, sums: &mut Sums) {
        for lane in 0..LANES {
            sums.add(&Sums {
                volume: self.volume[lane],
                area: self.area[lane],
                low: [0, 1, 2].map(|i| self.low[i][lane]),
                high: [0, 1, 2].map(|i| self.high[i][lane]),
                edges: 0,
            });
        }
    }
}
