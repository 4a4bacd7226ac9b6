//! A part on a grid of cubes, and the air that cannot get out of it while liquid rises.
//!
//! Every empty cell gets the height of the best way out: the lowest place on the way, over all ways to the open air above,
//! taken as high as it can be. Air in a cell above that height is caught when the liquid reaches it. This is the filling of
//! depressions in a landscape (L. Wang, H. Liu, Int. J. Geogr. Inf. Sci. 20 (2006) 193), in space and upside down.

use super::boxes::column_turn;
use super::vector::{Tri, V3, bounds, normal2};
use std::collections::BinaryHeap;

/// A part standing on a grid.
pub(super) struct Grid {
    /// Edge of a cell.
    pub pitch: f64,
    /// Corner of the grid; a rim of empty cells lies round the part.
    low: V3,
    count: [usize; 3],
    /// Middle of the cell is inside the part.
    solid: Vec<bool>,
    /// The surface passes through the cell.
    touched: Vec<bool>,
}

impl Grid {
    /// Puts a closed surface on a grid. `None` when it has no triangles.
    pub(super) fn new(surface: &[Tri], pitch: f64) -> Option<Self> {
        let (low, high) = bounds(surface.iter().flatten().copied())?;
        let count = [0, 1, 2].map(|i| ((high[i] - low[i]) / pitch).ceil() as usize + 3);
        // The grid is shifted by odd fractions of a cell, so that faces on round numbers do not run along cell middles.
        let low = [low[0] - 1.37 * pitch, low[1] - 1.41 * pitch, low[2] - 1.43 * pitch];
        let cells = count[0] * count[1] * count[2];
        let mut grid = Grid { pitch, low, count, solid: vec![false; cells], touched: vec![false; cells] };
        grid.fill(surface);
        surface.iter().for_each(|t| grid.touch(t));
        Some(grid)
    }

    /// Cells a grid of this pitch would have.
    pub(super) fn cells(size: V3, pitch: f64) -> f64 {
        size.iter().map(|s| (s / pitch).ceil() + 3.0).product()
    }

    fn at(&self, i: usize, j: usize, k: usize) -> usize {
        (k * self.count[1] + j) * self.count[0] + i
    }

    fn place(&self, cell: usize) -> [usize; 3] {
        let [nx, ny, _] = self.count;
        [cell % nx, cell / nx % ny, cell / nx / ny]
    }

    /// Middle of a cell.
    pub(super) fn middle(&self, cell: usize) -> V3 {
        let p = self.place(cell);
        std::array::from_fn(|i| self.low[i] + (p[i] as f64 + 0.5) * self.pitch)
    }

    /// The cell a point lies in.
    pub(super) fn cell_of(&self, p: V3) -> usize {
        let [i, j, k] = [0, 1, 2].map(|a| (((p[a] - self.low[a]) / self.pitch) as usize).min(self.count[a] - 1));
        self.at(i, j, k)
    }

    /// Range of cells along an axis whose middles lie between two places.
    fn range(&self, axis: usize, from: f64, to: f64, shift: f64) -> std::ops::Range<usize> {
        let index = |x: f64| ((x - self.low[axis]) / self.pitch + shift).max(0.0) as usize;
        index(from).min(self.count[axis])..(index(to) + 1).min(self.count[axis])
    }

    fn fill(&mut self, surface: &[Tri]) {
        let mut crossings: Vec<(u32, f64, i32)> = Vec::new();
        for t in surface {
            let Some((low, high)) = bounds(t.iter().copied()) else { continue };
            for j in self.range(1, low[1], high[1], 0.0) {
                let y = self.low[1] + (j as f64 + 0.5) * self.pitch;
                for i in self.range(0, low[0], high[0], 0.0) {
                    let x = self.low[0] + (i as f64 + 0.5) * self.pitch;
                    let turn = column_turn(t, x, y);
                    if turn != 0 {
                        let z = super::boxes::height_at(t, x, y);
                        crossings.push(((j * self.count[0] + i) as u32, z, turn));
                    }
                }
            }
        }
        crossings.sort_unstable_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
        for column in crossings.chunk_by(|a, b| a.0 == b.0) {
            let (i, j) = (column[0].0 as usize % self.count[0], column[0].0 as usize / self.count[0]);
            let mut winding = 0;
            for pair in column.windows(2) {
                winding -= pair[0].2;
                if winding < 1 {
                    continue;
                }
                // Cells whose middle lies between the two crossings.
                let first = (pair[0].1 - self.low[2]) / self.pitch + 0.5;
                let last = (pair[1].1 - self.low[2]) / self.pitch + 0.5;
                for k in first as usize..(last as usize).min(self.count[2]) {
                    let cell = self.at(i, j, k);
                    self.solid[cell] = true;
                }
            }
        }
    }

    /// Marks the cells a triangle may pass through; a few more than it does, never fewer.
    fn touch(&mut self, t: &Tri) {
        let n = normal2(t);
        let main = (0..3).max_by(|&a, &b| n[a].abs().total_cmp(&n[b].abs())).unwrap_or(2);
        let (u, v) = ((main + 1) % 3, (main + 2) % 3);
        let Some((low, high)) = bounds(t.iter().copied()) else { return };
        if n[main] == 0.0 {
            return;
        }
        // Half the height that the plane rises over one cell.
        let slant = (n[u].abs() + n[v].abs()) / n[main].abs() * self.pitch / 2.0;
        for b in self.range(v, low[v], high[v], 0.0) {
            let y = self.low[v] + (b as f64 + 0.5) * self.pitch;
            for a in self.range(u, low[u], high[u], 0.0) {
                let x = self.low[u] + (a as f64 + 0.5) * self.pitch;
                if !reaches_square(t, u, v, x, y, self.pitch / 2.0, n[main].signum()) {
                    continue;
                }
                let z = t[0][main] - (n[u] * (x - t[0][u]) + n[v] * (y - t[0][v])) / n[main];
                let (from, to) = ((z - slant).max(low[main]), (z + slant).min(high[main]));
                for c in self.range(main, from, to.max(from), 0.0) {
                    let mut p = [0; 3];
                    (p[u], p[v], p[main]) = (a, b, c);
                    let cell = self.at(p[0], p[1], p[2]);
                    self.touched[cell] = true;
                }
            }
        }
    }

    fn neighbours(&self, cell: usize) -> impl Iterator<Item = usize> {
        let [i, j, k] = self.place(cell);
        let [nx, ny, nz] = self.count;
        let (row, layer) = (nx, nx * ny);
        [
            (i > 0, cell.wrapping_sub(1)),
            (i + 1 < nx, cell + 1),
            (j > 0, cell.wrapping_sub(row)),
            (j + 1 < ny, cell + row),
            (k > 0, cell.wrapping_sub(layer)),
            (k + 1 < nz, cell + layer),
        ]
        .into_iter()
        .filter_map(|(there, c)| there.then_some(c))
    }

    fn on_rim(&self, cell: usize) -> bool {
        let p = self.place(cell);
        (0..3).any(|a| p[a] == 0 || p[a] + 1 == self.count[a])
    }

    /// For each cell the layer of its best way out; `None` for solid cells and cells with no way at all. With `leaky`, cells
    /// the surface passes through count as open.
    pub(super) fn ways_out(&self, leaky: bool) -> Vec<Option<u16>> {
        let mut way: Vec<Option<u16>> = vec![None; self.solid.len()];
        let mut layers: Vec<Vec<u32>> = vec![Vec::new(); self.count[2]];
        for (cell, slot) in way.iter_mut().enumerate().filter(|(c, _)| self.on_rim(*c)) {
            let k = self.place(cell)[2];
            *slot = Some(k as u16);
            layers[k].push(cell as u32);
        }
        // From the top layer down: a cell is reached first by its best way.
        for k in (0..self.count[2]).rev() {
            while let Some(cell) = layers[k].pop() {
                for next in self.neighbours(cell as usize) {
                    if way[next].is_none() && self.open(next, leaky) {
                        let level = k.min(self.place(next)[2]);
                        way[next] = Some(level as u16);
                        layers[level].push(next as u32);
                    }
                }
            }
        }
        way
    }

    fn open(&self, cell: usize, leaky: bool) -> bool {
        !self.solid[cell] || (leaky && self.touched[cell])
    }

    /// Whether the middle of a cell is outside the part.
    pub(super) fn is_empty(&self, cell: usize) -> bool {
        !self.solid[cell]
    }

    /// How far a cell lies above its best way out, in cells; 0 when its air gets out.
    pub(super) fn caught(&self, way: &[Option<u16>], cell: usize) -> usize {
        match way[cell] {
            Some(level) => self.place(cell)[2] - usize::from(level),
            None => 0,
        }
    }

    /// Groups of cells that hang together among those that `belongs` names.
    pub(super) fn groups(&self, belongs: impl Fn(usize) -> bool) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.solid.len()];
        let mut groups = Vec::new();
        for start in 0..self.solid.len() {
            if seen[start] || !belongs(start) {
                continue;
            }
            seen[start] = true;
            let mut group = vec![start];
            let mut at = 0;
            while at < group.len() {
                for next in self.neighbours(group[at]) {
                    if !seen[next] && belongs(next) {
                        seen[next] = true;
                        group.push(next);
                    }
                }
                at += 1;
            }
            groups.push(group);
        }
        groups
    }

    /// Whether each empty cell's air gets out with another direction up.
    pub(super) fn free_with(&self, up: V3) -> Vec<bool> {
        let height = |cell: usize| {
            let m = self.middle(cell);
            m[0] * up[0] + m[1] * up[1] + m[2] * up[2]
        };
        let mut free = vec![false; self.solid.len()];
        let mut seen = vec![false; self.solid.len()];
        let mut queue: BinaryHeap<(Ordered, u32)> = BinaryHeap::new();
        for cell in 0..self.solid.len() {
            if self.on_rim(cell) {
                (seen[cell], free[cell]) = (true, true);
                queue.push((Ordered(height(cell)), cell as u32));
            }
        }
        while let Some((level, cell)) = queue.pop() {
            for next in self.neighbours(cell as usize) {
                if !seen[next] && !self.solid[next] {
                    seen[next] = true;
                    let own = height(next);
                    // A cell's width of grace: on a slanted grid ways go in steps.
                    free[next] = own <= level.0 + 1.8 * self.pitch;
                    queue.push((Ordered(own.min(level.0)), next as u32));
                }
            }
        }
        free
    }
}

/// Whether a flat triangle reaches into a square of half width `half` about x, y.
fn reaches_square(t: &Tri, u: usize, v: usize, x: f64, y: f64, half: f64, sign: f64) -> bool {
    (0..3).all(|i| {
        let (a, b) = (t[i], t[(i + 1) % 3]);
        let (du, dv) = ((b[u] - a[u]) * sign, (b[v] - a[v]) * sign);
        du * (y - a[v]) - dv * (x - a[u]) + half * (du.abs() + dv.abs()) >= 0.0
    })
}

/// A finite height in a queue.
#[derive(PartialEq)]
struct Ordered(f64);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, o: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(o))
    }
}

impl Ord for Ordered {
    fn cmp(&self, o: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&o.0)
    }
}
