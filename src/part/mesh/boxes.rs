//! A tree of boxes over triangles: which triangles come near a box, and how often the surface winds round a point.

use super::vector::{Tri, V3, bounds, box_round};

/// Triangles in one leaf.
const LEAF: usize = 6;

struct Node {
    low: V3,
    high: V3,
    /// First triangle of a leaf in `order`, or the second child (the first is the next node).
    at: u32,
    /// Triangles in a leaf; 0 for a fork.
    count: u32,
}

/// The tree, over triangles it does not own.
pub(super) struct Boxes<'a> {
    triangles: &'a [Tri],
    order: Vec<u32>,
    nodes: Vec<Node>,
}

impl<'a> Boxes<'a> {
    pub(super) fn new(triangles: &'a [Tri]) -> Self {
        let mut tree = Boxes { triangles, order: (0..triangles.len() as u32).collect(), nodes: Vec::new() };
        let middles: Vec<V3> = triangles.iter().map(|t| std::array::from_fn(|i| t[0][i] + t[1][i] + t[2][i])).collect();
        // Ranges still to be built, each with the fork whose second child it is.
        let mut todo = vec![(0, triangles.len(), None)];
        while let Some((from, to, fork)) = todo.pop() {
            if let Some(fork) = fork {
                let here = tree.nodes.len() as u32;
                let node: &mut Node = &mut tree.nodes[fork as usize];
                node.at = here;
            }
            let part = &mut tree.order[from..to];
            let Some((low, high)) = bounds(part.iter().flat_map(|&i| triangles[i as usize])) else { continue };
            if part.len() <= LEAF {
                tree.nodes.push(Node { low, high, at: from as u32, count: part.len() as u32 });
                continue;
            }
            let spread = bounds(part.iter().map(|&i| middles[i as usize])).map(|(l, h)| [0, 1, 2].map(|i| h[i] - l[i]));
            let spread = spread.unwrap_or_default();
            let axis = (0..3).max_by(|&a, &b| spread[a].total_cmp(&spread[b])).unwrap_or(0);
            let half = part.len() / 2;
            part.select_nth_unstable_by(half, |&a, &b| {
                middles[a as usize][axis].total_cmp(&middles[b as usize][axis]).then(a.cmp(&b))
            });
            let here = tree.nodes.len() as u32;
            tree.nodes.push(Node { low, high, at: 0, count: 0 });
            todo.push((from + half, to, Some(here)));
            todo.push((from, from + half, None));
        }
        tree
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
                self.order[node.at as usize..(node.at + node.count) as usize].iter().for_each(|&t| leaf(t));
            }
        }
    }

    /// Every two triangles whose boxes come within `slack` of each other, each pair once. Stops early when `found` says so.
    pub(super) fn pairs(&self, slack: f64, mut found: impl FnMut(u32, u32) -> bool) {
        let apart = |a: (V3, V3), b: (V3, V3)| (0..3).any(|i| a.0[i] > b.1[i] + slack || b.0[i] > a.1[i] + slack);
        let members = |n: &Node| n.at as usize..(n.at + n.count) as usize;
        let boxes: Vec<(V3, V3)> = self.order.iter().map(|&t| box_round(&self.triangles[t as usize])).collect();
        let mut stack: Vec<(u32, u32)> = if self.nodes.is_empty() { Vec::new() } else { vec![(0, 0)] };
        while let Some((a, b)) = stack.pop() {
            let (left, right) = (&self.nodes[a as usize], &self.nodes[b as usize]);
            if a != b && apart((left.low, left.high), (right.low, right.high)) {
                continue;
            }
            match (left.count > 0, right.count > 0) {
                (true, true) => {
                    for i in members(left) {
                        let one = boxes[i];
                        if a != b && apart(one, (right.low, right.high)) {
                            continue;
                        }
                        for j in members(right).filter(|j| a != b || *j > i) {
                            if !apart(one, boxes[j]) && !found(self.order[i], self.order[j]) {
                                return;
                            }
                        }
                    }
                }
                _ if a == b => stack.extend([(a + 1, a + 1), (left.at, left.at), (a + 1, left.at)]),
                (false, true) => stack.extend([(a + 1, b), (left.at, b)]),
                (true, false) => stack.extend([(a, b + 1), (a, right.at)]),
                (false, false) => {
                    stack.extend([(a + 1, b + 1), (a + 1, right.at), (left.at, b + 1), (left.at, right.at)]);
                }
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
            } else if self.order[node.at as usize..(node.at + node.count) as usize].iter().any(|&t| hit(t as usize)) {
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
                let tri = &self.triangles[t as usize];
                let turn = column_turn(tri, p[0], p[1]);
                if turn != 0 && height_at(tri, p[0], p[1]) > p[2] {
                    sum += turn;
                }
            },
        );
        sum
    }
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
        }
        // On the diagonals and edges of the faces as well.
        for k in 1..5 {
            let c = f64::from(k);
            assert_eq!(tree.winding([c, c, c]), 1);
            assert_eq!(tree.winding([c, 5.0 - c, 2.0]), 1);
        }
        let (mut pairs, mut by_hand) = (Vec::new(), Vec::new());
        tree.pairs(0.0, |a, b| {
            pairs.push((a.min(b), a.max(b)));
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
        pairs.sort_unstable();
        assert_eq!(pairs, by_hand);
    }
}
