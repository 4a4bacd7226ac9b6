//! Disjoint sets of faces or points, by their numbers.

/// Each number with one on the way to the root of its set, which is the set's lowest number.
pub(super) struct Sets(Vec<u32>);

impl Sets {
    /// `n` sets of one number each.
    pub(super) fn new(n: usize) -> Self {
        Sets((0..n as u32).collect())
    }

    pub(super) fn root(&mut self, mut i: u32) -> u32 {
        while self.0[i as usize] != i {
            let up = self.0[self.0[i as usize] as usize];
            self.0[i as usize] = up;
            i = up;
        }
        i
    }

    pub(super) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        self.0[high as usize] = low;
    }
}
