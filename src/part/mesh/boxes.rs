//! A tree of boxes over triangles: which triangles come near a box, and how often the surface winds round a point.

use super::vector::{Tri, V3, bounds, sub};
use std::cmp::Ordering;
use std::ops::Range;

/// Triangles in one leaf.
const LEAF: usize = 8;

struct Node {
    low: V3,
    high: V3,
    /// First triangle of a leaf in `order`, or the second child (the first is the next node).
    at: u32,
    /// Triangles in a leaf; 0 for a fork.
    count: u32,
}

impl Node {
    /// Where the triangles of a leaf stand in `order`.
    fn members(&self) -> Range<usize> {
        self.at as usize..(self.at + self.count) as usize
    }
}

/// The tree, over triangles it does not own.
pub(super) struct Boxes<'a> {
    triangles: &'a [Tri],
    order: Vec<u32>,
    nodes: Vec<Node>,
}

impl<'a> Boxes<'a> {
    pub(super) fn new(triangles: &'a [Tri]) -> Self {
        let mut tree = Boxes { triangles, order: Vec::new(), nodes: Vec::new() };
        // Three times the middle of each triangle, which sorts as well as the middle.
        let middle = |t: &Tri| std::array::from_fn(|i| t[0][i] + t[1][i] + t[2][i]);
        let mut order: Vec<(V3, u32)> = triangles.iter().zip(0..).map(|(t, i)| (middle(t), i)).collect();
        // Ranges still to be built, each with the fork whose second child it is.
        let mut todo = vec![(0, triangles.len(), None)];
        while let Some((from, to, fork)) = todo.pop() {
            let here = tree.nodes.len() as u32;
            if let Some(fork) = fork {
                let node: &mut Node = &mut tree.nodes[fork as usize];
                node.at = here;
            }
            let part = &mut order[from..to];
            if part.len() <= LEAF {
                let corners = part.iter().flat_map(|&(_, i)| triangles[i as usize]);
                let Some((low, high)) = bounds(corners) else { continue };
                tree.nodes.push(Node { low, high, at: from as u32, count: part.len() as u32 });
                continue;
            }
            let (low, high) = bounds(part.iter().map(|&(middle, _)| middle)).unwrap_or_default();
            let spread = sub(high, low);
            let axis = (0..3).max_by(|&a, &b| spread[a].total_cmp(&spread[b])).unwrap_or(0);
            let half = split(part, axis, f64::midpoint(low[axis], high[axis]));
            tree.nodes.push(Node { low, high, at: 0, count: 0 });
            todo.push((from + half, to, Some(here)));
            todo.push((from, from + half, None));
        }
        tree.order = order.into_iter().map(|(_, i)| i).collect();
        tree.widen();
        tree
    }

    /// Gives every fork the box round its children, which come after it.
    fn widen(&mut self) {
        for i in (0..self.nodes.len()).rev() {
            if self.nodes[i].count == 0 {
                let (first, second) = (&self.nodes[i + 1], &self.nodes[self.nodes[i].at as usize]);
                let (low, high) = bounds([first.low, first.high, second.low, second.high]).unwrap_or_default();
                (self.nodes[i].low, self.nodes[i].high) = (low, high);
            }
        }
    }

    fn walk(&self, enter: impl Fn(&Node) -> bool, mut leaf: impl FnMut(u32)) {
        let mut stack = vec![0_u32];
        while let Some(i) = stack.pop() {
            let Some(node) = self.nodes.get(i as usize) else { continue };
            if !enter(node) {
                continue;
            }
            if node.count == 0 {
                stack.extend([node.at, i + 1]);
            } else {
                self.order[node.members()].iter().for_each(|&t| leaf(t));
            }
        }
    }

    /// Whether a triangle whose box comes within `reach` of a point is one that `hit` names.
    pub(super) fn any_near(&self, p: V3, reach: f64, hit: impl Fn(usize) -> bool) -> bool {
        let near = |n: &Node| (0..3).all(|i| n.low[i] - reach <= p[i] && p[i] <= n.high[i] + reach);
        let mut stack = vec![0_u32];
        while let Some(i) = stack.pop() {
            let Some(node) = self.nodes.get(i as usize).filter(|n| near(n)) else { continue };
            if node.count == 0 {
                stack.extend([node.at, i + 1]);
            } else if self.order[node.members()].iter().any(|&t| hit(t as usize)) {
                return true;
            }
        }
        false
    }

    /// How often the surface winds round a point: 1 inside one outward body, 0 outside.
    pub(super) fn winding(&self, p: V3) -> i32 {
        let mut sum = 0;
        self.walk(
            |n| n.low[0] <= p[0] && p[0] <= n.high[0] && n.low[1] <= p[1] && p[1] <= n.high[1] && n.high[2] >= p[2],
            |t| {
                sum += turn_over(&self.triangles[t as usize], p);
            },
        );
        sum
    }
}

/// The same without a tree: all triangles are gone through.
pub(super) fn winding(triangles: impl Iterator<Item = Tri>, p: V3) -> i32 {
    let beside = |t: &Tri, i: usize| t.iter().all(|c| c[i] < p[i]) || t.iter().all(|c| c[i] > p[i]);
    triangles.filter(|t| !beside(t, 0) && !beside(t, 1)).map(|t| turn_over(&t, p)).sum()
}

/// How a triangle over a point winds round the column through it.
fn turn_over(t: &Tri, p: V3) -> i32 {
    let turn = column_turn(t, p[0], p[1]);
    if turn != 0 && height_at(t, p[0], p[1]) > p[2] { turn } else { 0 }
}

/// Parts triangles in two along an axis and says where the second part begins: at `cut`, which leaves little of either part
/// in the other's box, or by halves when nearly all would be on one side and the tree become deep.
fn split(part: &mut [(V3, u32)], axis: usize, cut: f64) -> usize {
    let mut first = 0;
    for i in 0..part.len() {
        if part[i].0[axis] < cut {
            part.swap(first, i);
            first += 1;
        }
    }
    if first.min(part.len() - first) * 8 >= part.len() {
        return first;
    }
    let half = part.len() / 2;
    // Coordinates are numbers, so every two of them compare.
    part.select_nth_unstable_by(half, |a, b| a.0[axis].partial_cmp(&b.0[axis]).unwrap_or(Ordering::Equal));
    half
}

/// How the shadow of a triangle winds round a point: 1, -1 or 0.
///
/// Each edge is judged from its lower end in a fixed order of its points, so that two triangles beside an edge always judge
/// it alike and a line through a closed surface never slips between them.
pub(super) fn column_turn(t: &Tri, x: f64, y: f64) -> i32 {
    let mut sum = 0;
    for i in 0..3 {
        let (a, b) = (t[i], t[(i + 1) % 3]);
        let up = a[1] <= y && b[1] > y;
        let down = b[1] <= y && a[1] > y;
        if up || down {
            let (low, high) = if up { (a, b) } else { (b, a) };
            let side = (high[0] - low[0]) * (y - low[1]) - (x - low[0]) * (high[1] - low[1]);
            if side > 0.0 {
                sum += if up { 1 } else { -1 };
            }
        }
    }
    sum
}

/// Height of a triangle's plane at x, y, kept between its lowest and highest corner.
pub(super) fn height_at(t: &Tri, x: f64, y: f64) -> f64 {
    let [a, b, c] = *t;
    let area = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
    let wb = ((x - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (y - a[1])) / area;
    let wc = ((b[0] - a[0]) * (y - a[1]) - (x - a[0]) * (b[1] - a[1])) / area;
    let (low, high) = (a[2].min(b[2]).min(c[2]), a[2].max(b[2]).max(c[2]));
    let z = a[2] + wb * (b[2] - a[2]) + wc * (c[2] - a[2]);
    if z.is_finite() { z.clamp(low, high) } else { f64::midpoint(low, high) }
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::*;

    #[test]
    fn winding_counts_the_boxes_round_a_point() {
        let mut tris = box_of([0.0; 3], [10.0; 3]);
        tris.extend(box_of([5.0; 3], [15.0; 3]));
        let tree = Boxes::new(&tris);
        for (p, n) in [([1.0, 1.0, 1.0], 1), ([7.0, 7.0, 7.0], 2), ([12.0, 12.0, 12.0], 1), ([1.0, 12.0, 1.0], 0)] {
            assert_eq!(tree.winding(p), n, "{p:?}");
            assert_eq!(winding(tris.iter().copied(), p), n, "{p:?}");
        }
        // On the diagonals and edges of the faces as well.
        for k in 1..5 {
            let c = f64::from(k);
            assert_eq!(tree.winding([c, c, c]), 1);
            assert_eq!(tree.winding([c, 5.0 - c, 2.0]), 1);
        }
    }
}
