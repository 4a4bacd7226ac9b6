//! How triangles hang together: edges, bodies, and what is wrong with a surface that is not closed.
//!
//! A surface is watertight when every edge is used as often in one direction as in the other, after equal points are
//! merged. Winding that disagrees is therefore not watertight, and two bodies that touch along an edge are.

use super::triangles::Triangles;
use super::vector::{V3, add, cross, dot, norm, normal2, scale, sub};
use std::collections::{BTreeMap, HashMap};

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
    /// Faces without area.
    pub degenerate_faces: usize,
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

/// An edge as one face uses it: the lower point, the higher point, the face, and whether it runs from low to high.
type Use = (u64, u32, bool);

pub(super) fn examine(mesh: &Triangles) -> Topology {
    let mut found = Topology::default();
    let mut uses: Vec<Use> = Vec::with_capacity(mesh.faces.len() * 3);
    for (i, &face) in mesh.faces.iter().enumerate() {
        let [a, b, c] = face;
        if norm(normal2(&mesh.corners(face))) == 0.0 {
            found.degenerate_faces += 1;
        }
        if a == b || b == c || c == a {
            continue;
        }
        for (from, to) in [(a, b), (b, c), (c, a)] {
            let key = (u64::from(from.min(to)) << 32) | u64::from(from.max(to));
            uses.push((key, i as u32, from < to));
        }
    }
    uses.sort_unstable();
    let mut sets = Sets::new(mesh.faces.len());
    for group in uses.chunk_by(|a, b| a.0 == b.0) {
        let forward = group.iter().filter(|u| u.2).count();
        let backward = group.len() - forward;
        let (low, high) = ((group[0].0 >> 32) as u32, group[0].0 as u32);
        found.unbalanced_edges += usize::from(forward != backward);
        match group {
            [one] => {
                found.boundary_edges += 1;
                found.boundary.push(if one.2 { (low, high) } else { (high, low) });
            }
            [one, two] => {
                found.inconsistent_edges += usize::from(forward != backward);
                sets.join(one.1, two.1);
            }
            _ => {
                found.nonmanifold_edges += 1;
                if forward == backward {
                    pair_round_edge(mesh, low, high, group, &mut sets);
                } else {
                    group.iter().for_each(|u| sets.join(group[0].1, u.1));
                }
            }
        }
    }
    found.duplicate_faces = duplicates(mesh);
    let mut number = HashMap::new();
    found.body_of = Vec::with_capacity(mesh.faces.len());
    for (i, face) in mesh.faces.iter().enumerate() {
        // A face that is no triangle at all belongs to no body; body 0 takes it, where it adds nothing.
        if face[0] == face[1] || face[1] == face[2] || face[2] == face[0] {
            found.body_of.push(0);
            continue;
        }
        let next = number.len() as u32;
        found.body_of.push(*number.entry(sets.root(i as u32)).or_insert(next));
    }
    found.bodies = number.len();
    found
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
    let u = radial(group[0].1);
    let v = scale(cross(along, u), 1.0 / length2.sqrt());
    let turn = std::f64::consts::TAU;
    let mut round: Vec<(i64, bool, u32)> = group
        .iter()
        .map(|g| {
            let r = radial(g.1);
            let angle = dot(r, v).atan2(dot(r, u)).rem_euclid(turn);
            // Steps of 1e-9 rad: faces that lie on each other must tie in spite of rounding.
            let step = (angle * 1e9).round() as i64;
            (if step >= (turn * 1e9) as i64 { 0 } else { step }, !g.2, g.1)
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

fn duplicates(mesh: &Triangles) -> usize {
    let mut faces: Vec<[u32; 3]> = mesh.faces.iter().map(|&f| rotated(f)).collect();
    faces.sort_unstable();
    faces.windows(2).filter(|w| w[0] == w[1]).count()
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

/// Disjoint sets of faces.
struct Sets(Vec<u32>);

impl Sets {
    fn new(n: usize) -> Self {
        Sets((0..n as u32).collect())
    }

    fn root(&mut self, mut i: u32) -> u32 {
        while self.0[i as usize] != i {
            let up = self.0[self.0[i as usize] as usize];
            self.0[i as usize] = up;
            i = up;
        }
        i
    }

    fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        self.0[high as usize] = low;
    }
}
