//! A fast hash with a key drawn anew in every run, for closedness and for merging corner points.
//!
//! Two 64-bit words are masked with secret words and multiplied to 128 bits; both halves are kept or folded together. Since
//! the key is drawn per run, a hostile file cannot be prepared so that its edges cancel or its points collide.

use std::hash::{BuildHasher, Hasher, RandomState};

/// The secret words of this run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Key([u64; 6]);

impl Key {
    /// Words from the standard library's own per-run randomness.
    pub(super) fn random() -> Self {
        Key(std::array::from_fn(|i| {
            let mut h = RandomState::new().build_hasher();
            h.write_usize(i);
            h.finish()
        }))
    }

    /// A 64-bit hash of a point given by the bits of its coordinates.
    #[inline(always)]
    pub(super) fn point(&self, xy: u64, z: u64) -> u64 {
        let k = &self.0;
        let first = u128::from(xy ^ k[0]).wrapping_mul(u128::from(z ^ k[1]));
        let folded = (first as u64) ^ ((first >> 64) as u64);
        // The second product mixes z back in, so that one factor being zero does not hide the other.
        let second = u128::from(folded ^ k[2]).wrapping_mul(u128::from(z.rotate_left(32) ^ xy ^ k[3]));
        (second as u64) ^ ((second >> 64) as u64)
    }

    /// What the directed edge from one hashed point to another adds to the sum that is zero for a closed surface: opposite
    /// directions cancel, and an edge from a point to itself adds nothing.
    #[inline(always)]
    pub(super) fn edge(&self, from: u64, to: u64) -> u128 {
        let k = &self.0;
        let (low, high) = if from < to { (from, to) } else { (to, from) };
        let first = u128::from(low ^ k[4]).wrapping_mul(u128::from(high ^ k[5]));
        let folded = (first as u64) ^ ((first >> 64) as u64);
        let wide = u128::from(folded ^ k[0]).wrapping_mul(u128::from(high ^ k[2])) ^ first.rotate_left(64);
        let wide = if from < to { wide } else { wide.wrapping_neg() };
        if from == to { 0 } else { wide }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opposite_edges_cancel_and_different_edges_do_not() {
        let key = Key::random();
        let (a, b, c) = (key.point(1, 2), key.point(3, 4), key.point(5, 6));
        assert_eq!(key.edge(a, b).wrapping_add(key.edge(b, a)), 0);
        assert_eq!(key.edge(a, a), 0);
        assert_ne!(key.edge(a, b).wrapping_add(key.edge(b, c)), 0);
        assert_ne!(key.edge(a, b), 0);
    }
}
