//! How triangles hang together: edges, bodies, and what is wrong with a surface that is not closed.
//!
//! A surface is watertight when every edge is used as often in one direction as in the other, after equal points are
//! merged. Winding that disagrees is therefore not watertight, and two bodies that touch along an edge are.

use super::sets::Sets;
use super::triangles::Triangles;
use super::vector::{V3, add, cross, dot, scale, sub};
use std::collections::BTreeMap;

/// What was found.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Topology {
    /// Edges used by one face only.
    pub boundary_edges: usize,
    /// Edges used by three faces or more.
    pub nonmanifold_edges: usize,
    /// Edges used twice in the same direction.
    pub inconsistent_edges: usize,
    /// Edges not used as often in one direction as in the other.
    pub unbalanced_edges: usize,
    /// Faces that repeat another with the same winding.
    pub duplicate_faces: usize,
    /// The body of each face, numbered by first appearance.
    pub body_of: Vec<u32>,
    /// How many bodies.
    pub bodies: usize,
    /// Directed boundary edges (from, to) as their face runs, in order of the points.
    pub boundary: Vec<(u32, u32)>,
}

impl Topology {
    /// Whether every edge is balanced.
    pub(super) fn watertight(&self) -> bool {
        self.unbalanced_edges == 0
    }
}

/// An edge as one face uses it, sorted by its higher point, then by the face.
type Use = Pair;

fn use_of(higher: u32, face: u32, forward: bool) -> Use {
    pair(higher, face << 1 | u32::from(forward))
}

fn face_of(u: &Use) -> u32 {
    *u as u32 >> 1
}

/// Whether the face runs from the lower point to the higher.
fn forward(u: &Use) -> bool {
    u & 1 == 1
}

/// Two numbers in one, which sorts faster.
type Pair = u64;

fn pair(first: u32, second: u32) -> Pair {
    u64::from(first) << 32 | u64::from(second)
}

fn first_of(p: &Pair) -> u32 {
    (p >> 32) as u32
}

pub(super) fn examine(mesh: &Triangles) -> Topology {
    let mut found = Topology::default();
    let proper = || mesh.faces.iter().zip(0..).filter(|(f, _)| !collapsed(f));
    let uses = Buckets::fill(mesh.points.len(), || {
        proper().flat_map(|(&[a, b, c], i)| {
            [(a, b), (b, c), (c, a)].map(|(from, to)| (from.min(to), use_of(from.max(to), i, from < to)))
        })
    });
    let mut sets = Sets::new(mesh.faces.len());
    for (low, uses) in uses.iter() {
        for group in uses.chunk_by(|a, b| first_of(a) == first_of(b)) {
            judge_edge(mesh, low, group, &mut found, &mut sets);
        }
    }
    // A face that repeats another uses its edges once more in the same direction.
    if found.nonmanifold_edges + found.inconsistent_edges > 0 || mesh.faces.iter().any(collapsed) {
        let faces = Buckets::fill(mesh.points.len(), || {
            mesh.faces.iter().map(|&f| rotated(f)).map(|[a, b, c]| (a, pair(b, c)))
        });
        found.duplicate_faces = faces.iter().map(|(_, f)| f.windows(2).filter(|w| w[0] == w[1]).count()).sum();
    }
    number_bodies(mesh, &mut found, &mut sets);
    found
}

/// Whether two corners are one point.
fn collapsed(f: &[u32; 3]) -> bool {
    f[0] == f[1] || f[1] == f[2] || f[2] == f[0]
}

/// Counts one edge by how its faces use it, and joins them.
fn judge_edge(mesh: &Triangles, low: u32, group: &[Use], found: &mut Topology, sets: &mut Sets) {
    let high = first_of(&group[0]);
    match group {
        [one] => {
            found.unbalanced_edges += 1;
            found.boundary_edges += 1;
            found.boundary.push(if forward(one) { (low, high) } else { (high, low) });
        }
        [one, two] => {
            let inconsistent = usize::from(forward(one) == forward(two));
            found.unbalanced_edges += inconsistent;
            found.inconsistent_edges += inconsistent;
            sets.join(face_of(one), face_of(two));
        }
        _ => {
            let balanced = group.iter().filter(|u| forward(u)).count() * 2 == group.len();
            found.unbalanced_edges += usize::from(!balanced);
            found.nonmanifold_edges += 1;
            if balanced {
                pair_round_edge(mesh, low, high, group, sets);
            } else {
                group.iter().for_each(|u| sets.join(face_of(&group[0]), face_of(u)));
            }
        }
    }
}

/// Numbers the sets by first appearance.
fn number_bodies(mesh: &Triangles, found: &mut Topology, sets: &mut Sets) {
    const NONE: u32 = u32::MAX;
    let mut number = vec![NONE; mesh.faces.len()];
    let mut bodies = 0;
    found.body_of = Vec::with_capacity(mesh.faces.len());
    for (i, face) in mesh.faces.iter().enumerate() {
        // A face that is no triangle at all belongs to no body; body 0 takes it, where it adds nothing.
        if collapsed(face) {
            found.body_of.push(0);
            continue;
        }
        let slot = &mut number[sets.root(i as u32) as usize];
        if *slot == NONE {
            *slot = bodies;
            bodies += 1;
        }
        found.body_of.push(*slot);
    }
    found.bodies = bodies as usize;
}

/// Entries sorted by a point each belongs to, then by themselves: a counting sort, since points are many and entries at
/// each few.
struct Buckets {
    starts: Vec<u32>,
    entries: Vec<Pair>,
}

impl Buckets {
    fn fill<I: Iterator<Item = (u32, Pair)>>(points: usize, all: impl Fn() -> I) -> Self {
        let mut starts = vec![0_u32; points + 1];
        all().for_each(|(p, _)| starts[p as usize + 1] += 1);
        for i in 0..points {
            starts[i + 1] += starts[i];
        }
        let mut entries = vec![0; starts[points] as usize];
        let mut next = starts.clone();
        all().for_each(|(p, entry)| {
            let slot = &mut next[p as usize];
            entries[*slot as usize] = entry;
            *slot += 1;
        });
        for pair in starts.windows(2) {
            entries[pair[0] as usize..pair[1] as usize].sort_unstable();
        }
        Buckets { starts, entries }
    }

    fn iter(&self) -> impl Iterator<Item = (u32, &[Pair])> {
        let slices = self.starts.windows(2).map(|w| &self.entries[w[0] as usize..w[1] as usize]);
        slices.enumerate().map(|(p, e)| (p as u32, e))
    }
}

/// Joins the faces round an edge that more than two share, two by two, so that bodies which only touch there stay apart.
///
/// Going round the edge, a face that opens the solid is followed by the one that closes it. Where two faces lie on each
/// other the closing one comes first: the solid between opening and closing has a thickness.
fn pair_round_edge(mesh: &Triangles, low: u32, high: u32, group: &[Use], sets: &mut Sets) {
    let start = mesh.points[low as usize];
    let along = sub(mesh.points[high as usize], start);
    let length2 = dot(along, along);
    let radial = |face: u32| -> V3 {
        let opposite = mesh.faces[face as usize].into_iter().find(|&p| p != low && p != high).unwrap_or(low);
        let to = sub(mesh.points[opposite as usize], start);
        sub(to, scale(along, dot(to, along) / length2))
    };
    let u = radial(face_of(&group[0]));
    let v = scale(cross(along, u), 1.0 / length2.sqrt());
    let turn = std::f64::consts::TAU;
    let mut round: Vec<(i64, bool, u32)> = group
        .iter()
        .map(|g| {
            let r = radial(face_of(g));
            let angle = libm::atan2(dot(r, v), dot(r, u)).rem_euclid(turn);
            // Steps of 1e-9 rad: faces that lie on each other must tie in spite of rounding.
            let step = (angle * 1e9).round() as i64;
            (if step >= (turn * 1e9) as i64 { 0 } else { step }, !forward(g), face_of(g))
        })
        .collect();
    round.sort_unstable();
    let mut open: Vec<usize> = Vec::new();
    let mut done = vec![false; round.len()];
    for i in (0..round.len()).chain(0..round.len()) {
        if done[i] || open.contains(&i) {
            continue;
        }
        if round[i].1 {
            open.push(i);
        } else if let Some(j) = open.pop() {
            sets.join(round[j].2, round[i].2);
            (done[i], done[j]) = (true, true);
        }
    }
}

/// The same face, lowest point first, winding kept.
pub(super) fn rotated([a, b, c]: [u32; 3]) -> [u32; 3] {
    if a <= b && a <= c {
        [a, b, c]
    } else if b <= a && b <= c {
        [b, c, a]
    } else {
        [c, a, b]
    }
}

/// One loop of boundary edges.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hole {
    /// Its points, in the direction the faces beside it run.
    pub points: Vec<u32>,
    /// Mean of its points.
    pub place: V3,
}

/// The boundary edges as loops. `None` when they do not form loops (then only the count of edges is known).
pub(super) fn holes(mesh: &Triangles, found: &Topology) -> Option<Vec<Hole>> {
    let mut next: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for &(from, to) in &found.boundary {
        next.entry(from).or_default().push(to);
    }
    // Where loops touch in a point any way of parting them closes every edge, so the last way on is taken.
    let step = |next: &mut BTreeMap<u32, Vec<u32>>, at: u32| -> Option<u32> {
        let ways = next.get_mut(&at)?;
        let to = ways.pop();
        if ways.is_empty() {
            next.remove(&at);
        }
        to
    };
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.first_key_value() {
        let mut points = vec![start];
        let mut at = step(&mut next, start)?;
        while at != start {
            points.push(at);
            at = step(&mut next, at)?;
        }
        let sum = points.iter().fold([0.0; 3], |s, &p| add(s, mesh.points[p as usize]));
        loops.push(Hole { place: scale(sum, 1.0 / points.len() as f64), points });
    }
    Some(loops)
}
