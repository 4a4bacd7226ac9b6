//! Which triangles come near which: a large set is halved again and again, and a small one swept along one axis. Nothing is
//! kept, since a tree takes longer to build than the search does.

use super::triangles::Triangles;
use super::vector::{V3, bounds, box_round, sub};
use std::cmp::Ordering;

/// Sets up to this size are swept (measured).
const SWEPT: usize = 1024;
/// Two sets up to this size are compared each with each (measured).
const COMPARED: usize = 16;

/// The box round a triangle.
struct Boxed {
    low: V3,
    high: V3,
    triangle: u32,
}

/// The triangles of a surface by their boxes.
pub(super) struct Near(Vec<Boxed>);

impl Near {
    pub(super) fn new(surface: &Triangles) -> Self {
        let boxed = |(t, triangle)| {
            let (low, high) = box_round(&t);
            Boxed { low, high, triangle }
        };
        Near(surface.each().zip(0..).map(boxed).collect())
    }

    /// The box round all. `None` when there are no triangles.
    pub(super) fn room(&self) -> Option<(V3, V3)> {
        room(&self.0)
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
        for b in &mut self.0 {
            // With the slack added to the upper corners of all boxes, they are apart when one begins beyond the other's end.
            (b.low, b.high) = (ordered(b.low), ordered(b.high).map(|x| x + slack));
        }
        Search { found, near: Vec::new() }.within(&mut self.0);
    }
}

/// A search, with room for the triangles near one. Its steps say whether to go on.
struct Search<F> {
    found: F,
    near: Vec<u32>,
}

impl<F: FnMut(u32, &[u32]) -> bool> Search<F> {
    /// The pairs of one set.
    fn within(&mut self, set: &mut [Boxed]) -> bool {
        if set.len() <= SWEPT {
            return self.sweep(set);
        }
        let (one, other) = halves(set);
        self.within(one) && self.within(other) && self.between(one, other)
    }

    fn sweep(&mut self, set: &[Boxed]) -> bool {
        let mut set: Vec<&Boxed> = set.iter().collect();
        set.sort_unstable_by(|a, b| compare(a.low[0], b.low[0]));
        (1..set.len()).all(|next| {
            let one = set[next - 1];
            for other in &set[next..] {
                if other.low[0] > one.high[0] {
                    break;
                }
                // All at once: which of them tells two boxes apart is hard to guess for a processor.
                if (one.low[1] <= other.high[1])
                    & (one.low[2] <= other.high[2])
                    & (other.low[1] <= one.high[1])
                    & (other.low[2] <= one.high[2])
                {
                    self.near.push(other.triangle);
                }
            }
            self.tell(one)
        })
    }

    /// The pairs with one triangle from each set.
    fn between(&mut self, one: &mut [Boxed], other: &mut [Boxed]) -> bool {
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
            self.near.extend(many.iter().filter(|b| !apart((one.low, one.high), b)).map(|b| b.triangle));
            self.tell(one)
        })
    }

    fn tell(&mut self, one: &Boxed) -> bool {
        let go_on = self.near.is_empty() || (self.found)(one.triangle, &self.near);
        self.near.clear();
        go_on
    }
}

/// Those of a set that come near the room that another takes, moved to its front.
fn reaching<'a>(set: &'a mut [Boxed], other: &[Boxed]) -> &'a mut [Boxed] {
    let room = room(other).unwrap_or_default();
    let count = move_forward(set, |b| !apart(room, b));
    &mut set[..count]
}

fn room(set: &[Boxed]) -> Option<(V3, V3)> {
    let ((low, _), (_, high)) = bounds(set.iter().map(|b| b.low)).zip(bounds(set.iter().map(|b| b.high)))?;
    Some((low, high))
}

fn apart((low, high): (V3, V3), b: &Boxed) -> bool {
    (0..3).any(|k| low[k] > b.high[k] || b.low[k] > high[k])
}

/// Parts a set in two across the axis along which it is widest: in its middle, or by halves when nearly all would be on one
/// side and the halving take long.
fn halves(set: &mut [Boxed]) -> (&mut [Boxed], &mut [Boxed]) {
    let (low, high) = bounds(set.iter().map(|b| b.low)).unwrap_or_default();
    let axis = widest(sub(high, low));
    let cut = f64::midpoint(low[axis], high[axis]);
    let first = move_forward(set, |b| b.low[axis] < cut);
    if first.min(set.len() - first) * 8 >= set.len() {
        return set.split_at_mut(first);
    }
    let half = set.len() / 2;
    set.select_nth_unstable_by(half, |a, b| compare(a.low[axis], b.low[axis]));
    set.split_at_mut(half)
}

/// Moves those that pass to the front, and says how many they are.
fn move_forward(set: &mut [Boxed], passes: impl Fn(&Boxed) -> bool) -> usize {
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

fn widest(size: V3) -> usize {
    (0..3).max_by(|&a, &b| size[a].total_cmp(&size[b])).unwrap_or(0)
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
