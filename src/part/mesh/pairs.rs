//! Which triangles come near which: a large set is halved again and again, and a small one swept along one axis. Nothing is
//! kept, since a tree takes longer to build than the search does.
//!
//! Boxes are compared in all directions at once: a branch for each would often be guessed wrong by the processor.

use super::triangles::Triangles;
use super::vector::{V3, bounds, box_round, higher, lower, sub};
use std::cmp::Ordering;

/// Sets up to this size are swept (measured).
const SWEPT: usize = 1024;
/// Two sets up to this size are compared each with each (measured).
const COMPARED: usize = 16;
/// Most triangles of one patch (measured).
const PATCH: u32 = 2;

/// A box, its axes from the longest of the surface on.
type Room = (V3, V3);

/// The triangles of a surface by their boxes.
pub(super) struct Near {
    boxes: Vec<Room>,
    patches: Vec<Patch>,
}

/// Triangles that follow each other in the surface and share an edge, as the two of a quadrilateral mostly do, so that there
/// is less to compare.
struct Patch {
    room: Room,
    first: u32,
    end: u32,
}

impl Near {
    pub(super) fn new(surface: &Triangles) -> Self {
        let boxes: Vec<Room> = surface.each().map(|t| box_round(&t)).collect();
        let mut patches: Vec<Patch> = Vec::with_capacity(boxes.len().div_ceil(2));
        for (i, &room) in boxes.iter().enumerate() {
            let next = i as u32;
            match patches.last_mut() {
                Some(last) if next - last.first < PATCH && share_an_edge(&surface.faces[i - 1], &surface.faces[i]) => {
                    (last.room, last.end) = (joined(last.room, room), next + 1);
                }
                _ => patches.push(Patch { room, first: next, end: next + 1 }),
            }
        }
        Near { boxes, patches }
    }

    /// The box round all. `None` when there are no triangles.
    pub(super) fn room(&self) -> Option<(V3, V3)> {
        round(&self.boxes)
    }

    /// Every two triangles whose boxes come within `slack` of each other, each pair once: `found` gets one triangle and
    /// others near it, and says whether to go on.
    pub(super) fn pairs(mut self, slack: f64, found: impl FnMut(u32, &[u32]) -> bool) {
        let Some((low, high)) = self.room() else { return };
        // The longest axis first: along it the fewest are side by side, and the next tells most of them apart.
        let size = sub(high, low);
        let mut axes = [0, 1, 2];
        axes.sort_by(|&a, &b| compare(size[b], size[a]));
        let ordered = |p: V3| axes.map(|axis| p[axis]);
        // With the slack added to the upper corners of all boxes, they are apart when one begins beyond the other's end.
        let ready = |(low, high): Room| (ordered(low), ordered(high).map(|x| x + slack));
        self.boxes.iter_mut().for_each(|b| *b = ready(*b));
        self.patches.iter_mut().for_each(|p| p.room = ready(p.room));
        Search { boxes: &self.boxes, found, near: Vec::new(), others: Vec::new() }.within(&mut self.patches);
    }
}

/// A search, with room for the patches near one and the triangles near one of its own. Its steps say whether to go on.
struct Search<'a, F> {
    boxes: &'a [Room],
    found: F,
    near: Vec<(u32, u32)>,
    others: Vec<u32>,
}

impl<F: FnMut(u32, &[u32]) -> bool> Search<'_, F> {
    /// The pairs of one set.
    fn within(&mut self, set: &mut [Patch]) -> bool {
        if set.len() <= SWEPT {
            return self.sweep(set);
        }
        let (one, other) = halves(set);
        self.within(one) && self.within(other) && self.between(one, other)
    }

    fn sweep(&mut self, set: &[Patch]) -> bool {
        let mut set: Vec<&Patch> = set.iter().collect();
        set.sort_unstable_by(|a, b| compare(a.room.0[0], b.room.0[0]));
        (0..set.len()).all(|i| {
            let (one, (low, high)) = (set[i], set[i].room);
            self.near.push((one.first, one.end));
            for other in &set[i + 1..] {
                let (other_low, other_high) = &other.room;
                if other_low[0] > high[0] {
                    break;
                }
                if (low[1] <= other_high[1])
                    & (low[2] <= other_high[2])
                    & (other_low[1] <= high[1])
                    & (other_low[2] <= high[2])
                {
                    self.near.push((other.first, other.end));
                }
            }
            self.tell(one)
        })
    }

    /// The pairs with one triangle from each set.
    fn between(&mut self, one: &mut [Patch], other: &mut [Patch]) -> bool {
        let one = reaching(one, other);
        let other = reaching(other, one);
        let (few, many) = if one.len() < other.len() { (one, other) } else { (other, one) };
        if few.is_empty() {
            return true;
        }
        if many.len() > COMPARED {
            let (first, second) = halves(many);
            return self.between(first, few) && self.between(second, few);
        }
        few.iter().all(|one| {
            self.near.extend(many.iter().filter(|p| !apart(&one.room, &p.room)).map(|p| (p.first, p.end)));
            self.tell(one)
        })
    }

    /// Tells what comes near each triangle of a patch, in the patches near it; in its own, what follows.
    fn tell(&mut self, one: &Patch) -> bool {
        let go_on = (one.first..one.end).all(|i| {
            let room = &self.boxes[i as usize];
            self.others.clear();
            for &(first, end) in &self.near {
                let first = if first == one.first { i + 1 } else { first };
                for j in first..end {
                    if !apart(room, &self.boxes[j as usize]) {
                        self.others.push(j);
                    }
                }
            }
            self.others.is_empty() || (self.found)(i, &self.others)
        });
        self.near.clear();
        go_on
    }
}

/// Those of a set that come near the room that another takes, moved to its front.
fn reaching<'a>(set: &'a mut [Patch], other: &[Patch]) -> &'a mut [Patch] {
    let room = other.iter().map(|p| p.room).reduce(joined).unwrap_or_default();
    let count = move_forward(set, |p| !apart(&room, &p.room));
    &mut set[..count]
}

fn share_an_edge(one: &[u32; 3], other: &[u32; 3]) -> bool {
    other.iter().filter(|p| one.contains(p)).count() >= 2
}

fn round(boxes: &[Room]) -> Option<Room> {
    boxes.iter().copied().reduce(joined)
}

fn joined(a: Room, b: Room) -> Room {
    (std::array::from_fn(|k| lower(a.0[k], b.0[k])), std::array::from_fn(|k| higher(a.1[k], b.1[k])))
}

fn apart(a: &Room, b: &Room) -> bool {
    (a.0[0] > b.1[0])
        | (a.0[1] > b.1[1])
        | (a.0[2] > b.1[2])
        | (b.0[0] > a.1[0])
        | (b.0[1] > a.1[1])
        | (b.0[2] > a.1[2])
}

/// Parts a set in two across the axis along which it is widest: in its middle, or by halves when nearly all would be on one
/// side and the halving take long.
fn halves(set: &mut [Patch]) -> (&mut [Patch], &mut [Patch]) {
    let (low, high) = bounds(set.iter().map(|p| p.room.0)).unwrap_or_default();
    let size = sub(high, low);
    let axis = (0..3).max_by(|&a, &b| compare(size[a], size[b])).unwrap_or(0);
    let cut = f64::midpoint(low[axis], high[axis]);
    let first = move_forward(set, |p| p.room.0[axis] < cut);
    if first.min(set.len() - first) * 8 >= set.len() {
        return set.split_at_mut(first);
    }
    let half = set.len() / 2;
    set.select_nth_unstable_by(half, |a, b| compare(a.room.0[axis], b.room.0[axis]));
    set.split_at_mut(half)
}

/// Moves those that pass to the front, and says how many they are.
fn move_forward(set: &mut [Patch], passes: impl Fn(&Patch) -> bool) -> usize {
    let mut count = 0;
    for i in 0..set.len() {
        if passes(&set[i]) {
            set.swap(count, i);
            count += 1;
        }
    }
    count
}

/// Coordinates are numbers, so every two of them compare.
fn compare(a: f64, b: f64) -> Ordering {
    a.partial_cmp(&b).unwrap_or(Ordering::Equal)
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::super::vector::Tri;
    use super::*;

    #[test]
    fn every_two_that_come_near_are_found_once() {
        for boxes in [1, 20, 300] {
            // Small boxes here and there, some touching, and large ones over many of them.
            let place = |i: usize, k: usize| (i * [7, 11, 13][k] % [29, 23, 19][k]) as f64;
            let tris: Vec<Tri> = (0..boxes)
                .flat_map(|i| {
                    let low = std::array::from_fn(|k| place(i, k));
                    let size = if i % 50 == 7 { 15.0 } else { 1.0 };
                    box_of(low, low.map(|x| x + size))
                })
                .collect();
            let (mut found, mut by_hand) = (Vec::new(), Vec::new());
            Near::new(&Triangles::joined(&tris)).pairs(0.0, |a, others| {
                found.extend(others.iter().map(|&b| (a.min(b), a.max(b))));
                true
            });
            for i in 0..tris.len() {
                for j in i + 1..tris.len() {
                    let (a, b) = (box_round(&tris[i]), box_round(&tris[j]));
                    if (0..3).all(|k| a.0[k] <= b.1[k] && b.0[k] <= a.1[k]) {
                        by_hand.push((i as u32, j as u32));
                    }
                }
            }
            found.sort_unstable();
            assert!(found == by_hand, "{} and {} pairs of {boxes} boxes", found.len(), by_hand.len());
        }
    }
}
