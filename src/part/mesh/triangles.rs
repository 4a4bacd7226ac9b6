//! The one type all readers end in: corner points merged where they are equal, triangles over them.

use super::keyed::Key;
use super::vector::{Tri, V3};
use crate::diag::Problem;

/// Largest coordinate read, millimetres in the file's numbers: a hundred kilometres. Keeps every sum finite.
pub(super) const LARGEST_COORDINATE: f64 = 1e8;

/// Most triangles that are held in memory at once (our choice).
///
/// The whole measurement takes up to about [`BYTES_PER_TRIANGLE`] for each, so this is a bit over two gigabytes; larger
/// binary STL files are for the streaming pass, which holds no triangles.
pub const MOST_TRIANGLES: usize = 6_000_000;

/// Memory of the whole measurement for one triangle, at its peak and rounded up: points, indices, directed edges for
/// sorting, the outer surface in doubles and one waterline table.
pub const BYTES_PER_TRIANGLE: usize = 400;

/// Triangles over merged points.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Triangles {
    pub(super) points: Vec<V3>,
    pub(super) faces: Vec<[u32; 3]>,
}

impl Triangles {
    /// How many triangles.
    pub fn len(&self) -> usize {
        self.faces.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.faces.is_empty()
    }

    /// From triangles on their own; equal corners become one point.
    pub(super) fn joined(triangles: &[Tri]) -> Self {
        let mut build = Builder::new();
        build.expect(points_of(triangles.len()), triangles.len());
        for t in triangles {
            let face = t.map(|p| build.point(p));
            build.face(face);
        }
        build.finish()
    }

    pub(super) fn corners(&self, face: [u32; 3]) -> Tri {
        face.map(|i| self.points[i as usize])
    }

    /// Every triangle by its corners.
    pub(super) fn each(&self) -> impl Iterator<Item = Tri> {
        self.faces.iter().map(|&f| self.corners(f))
    }

    /// The same faces over other places of the points.
    pub(super) fn moved(&self, place: impl FnMut(V3) -> V3) -> Self {
        Triangles { points: self.points.iter().copied().map(place).collect(), faces: self.faces.clone() }
    }

    /// The same without points that no face uses.
    pub(super) fn trimmed(self) -> Self {
        let Triangles { points, mut faces } = self;
        let mut used = vec![false; points.len()];
        faces.iter().flatten().for_each(|&i| used[i as usize] = true);
        if used.iter().all(|u| *u) {
            return Triangles { points, faces };
        }
        let mut number = vec![0; points.len()];
        let mut kept = Vec::new();
        for ((p, n), _) in points.iter().zip(&mut number).zip(&used).filter(|(_, used)| **used) {
            *n = kept.len() as u32;
            kept.push(*p);
        }
        faces.iter_mut().flatten().for_each(|i| *i = number[*i as usize]);
        Triangles { points: kept, faces }
    }
}

/// Collects triangles; equal positions (with -0 taken as 0) become one point, numbered by first appearance.
///
/// The table of points seen holds only their numbers, in a power of two of slots of which at most half are used; the place
/// to look first is a hash keyed for this run, so no file can be prepared to make the search long.
pub(super) struct Builder {
    mesh: Triangles,
    key: Key,
    slots: Vec<u32>,
    /// Counts objects that are kept apart; part of the hash.
    object: u64,
    /// First point of this object.
    first: u32,
}

const FREE: u32 = u32::MAX;

impl Builder {
    pub(super) fn new() -> Self {
        Builder { mesh: Triangles::default(), key: Key::random(), slots: vec![FREE; 64], object: 0, first: 0 }
    }

    /// Refuses before memory is taken when `triangles` more would pass the limit.
    pub(super) fn room_for(&self, triangles: usize) -> Result<(), Problem> {
        match self.mesh.faces.len().checked_add(triangles) {
            Some(total) if total <= MOST_TRIANGLES => Ok(()),
            _ => Err(too_many(triangles)),
        }
    }

    /// The number of this point. Coordinates must have passed [`coordinate`].
    pub(super) fn point(&mut self, p: V3) -> u32 {
        // Adding zero turns -0 into 0 and leaves every other number as it is.
        let p = p.map(|c| c + 0.0);
        let mask = self.slots.len() - 1;
        let mut slot = self.hash(&p, self.object) as usize & mask;
        loop {
            let number = self.slots[slot];
            if number == FREE {
                let next = self.mesh.points.len() as u32;
                self.slots[slot] = next;
                self.mesh.points.push(p);
                if self.mesh.points.len() * 2 >= self.slots.len() {
                    self.spread(self.slots.len() * 2);
                }
                return next;
            }
            if number >= self.first && self.mesh.points[number as usize] == p {
                return number;
            }
            slot = (slot + 1) & mask;
        }
    }

    fn hash(&self, p: &V3, object: u64) -> u64 {
        let [x, y, z] = p.map(f64::to_bits);
        self.key.point(self.key.point(x, y), z ^ object)
    }

    /// Makes room for points and triangles more that are known to come, so that nothing need grow under them.
    pub(super) fn expect(&mut self, points: usize, triangles: usize) {
        let slots = ((self.mesh.points.len() + points) * 2 + 1).next_power_of_two();
        if slots > self.slots.len() {
            self.spread(slots);
        }
        self.mesh.points.reserve(points);
        self.mesh.faces.reserve(triangles);
    }

    /// A larger table. Only points of this object are looked for again.
    fn spread(&mut self, slots: usize) {
        let mut slots = vec![FREE; slots];
        let mask = slots.len() - 1;
        for number in self.first..self.mesh.points.len() as u32 {
            let mut slot = self.hash(&self.mesh.points[number as usize], self.object) as usize & mask;
            while slots[slot] != FREE {
                slot = (slot + 1) & mask;
            }
            slots[slot] = number;
        }
        self.slots = slots;
    }

    pub(super) fn face(&mut self, face: [u32; 3]) {
        self.mesh.faces.push(face);
    }

    /// From here on equal positions are new points: the next object of a file that keeps its objects apart.
    pub(super) fn next_object(&mut self) {
        self.object += 1;
        self.first = self.mesh.points.len() as u32;
    }

    pub(super) fn len(&self) -> usize {
        self.mesh.faces.len()
    }

    /// The mesh, without points that no triangle uses: they are no part of the surface and would stretch its box.
    pub(super) fn finish(self) -> Triangles {
        self.mesh.trimmed()
    }
}

/// How many points a closed surface has, if no handles (Euler).
pub(super) fn points_of(triangles: usize) -> usize {
    triangles / 2 + 2
}

/// Whether a coordinate can be worked with.
pub(super) fn usable(c: f64) -> bool {
    c.abs() <= LARGEST_COORDINATE
}

/// The problem with a coordinate that is not [`usable`].
pub(super) fn bad_coordinate(c: f64) -> Problem {
    if c.is_finite() {
        Problem::error(format!("coordinate {c:e} is beyond {LARGEST_COORDINATE:e}, the largest that is read"))
    } else {
        Problem::error(format!("coordinate `{c}` is not a finite number"))
    }
    .hint("export the part again; the file is damaged or was written by a faulty program")
}

pub(super) fn too_many(triangles: usize) -> Problem {
    Problem::error(format!(
        "{triangles} triangles are more than the {MOST_TRIANGLES} that are held in memory (about {BYTES_PER_TRIANGLE} bytes each)"
    ))
    .hint("reduce the mesh, or measure a binary STL with --quick, which holds no triangles")
}
