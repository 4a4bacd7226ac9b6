//! The transforms of 3MF: twelve numbers, a 3 by 3 matrix by rows for points written as rows, then the shift.

use super::super::stl::number;
use super::super::vector::{V3, cross, dot};
use crate::diag::Problem;

/// A linear map and a shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placement {
    rows: [V3; 4],
}

impl Placement {
    pub(super) const NONE: Placement =
        Placement { rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 0.0]] };

    /// From the text of a `transform` attribute.
    pub(super) fn read(text: &str) -> Result<Self, Problem> {
        let numbers: Vec<f64> = text
            .split_ascii_whitespace()
            .take(13)
            .map(|w| number(w.as_bytes()))
            .collect::<Result<_, _>>()
            .map_err(|p| p.in_field("transform"))?;
        let (rows, []) = numbers.as_chunks::<3>() else {
            return Err(wrong_count(numbers.len()));
        };
        let rows = <[V3; 4]>::try_from(rows).map_err(|_| wrong_count(numbers.len()))?;
        Ok(Placement { rows })
    }

    /// Where a point goes.
    pub(super) fn apply(&self, p: V3) -> V3 {
        std::array::from_fn(|i| {
            p[0] * self.rows[0][i] + p[1] * self.rows[1][i] + p[2] * self.rows[2][i] + self.rows[3][i]
        })
    }

    /// This placement, and `outer` after it.
    pub(super) fn then(&self, outer: Placement) -> Placement {
        let linear = Placement { rows: [outer.rows[0], outer.rows[1], outer.rows[2], [0.0; 3]] };
        let [a, b, c, shift] = self.rows;
        Placement { rows: [linear.apply(a), linear.apply(b), linear.apply(c), outer.apply(shift)] }
    }

    /// Volume ratio; negative when the map mirrors.
    pub(super) fn determinant(&self) -> f64 {
        dot(self.rows[0], cross(self.rows[1], self.rows[2]))
    }
}

fn wrong_count(count: usize) -> Problem {
    Problem::error(format!("a transform has twelve numbers, this one has {count}")).in_field("transform")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shift_and_turn_compose_in_order() {
        let turn = Placement::read("0 1 0 -1 0 0 0 0 1 0 0 0").unwrap();
        let shift = Placement::read("1 0 0 0 1 0 0 0 1 5 0 0").unwrap();
        assert_eq!(turn.apply([1.0, 0.0, 0.0]), [0.0, 1.0, 0.0]);
        assert_eq!(turn.then(shift).apply([1.0, 0.0, 0.0]), [5.0, 1.0, 0.0]);
        assert_eq!(shift.then(turn).apply([1.0, 0.0, 0.0]), [0.0, 6.0, 0.0]);
        assert_eq!(turn.determinant(), 1.0);
        assert!(Placement::read("1 2 3").is_err());
        assert!(Placement::read("1 0 0 0 1 0 0 0 1 0 0 0 7").is_err());
        assert!(Placement::read("1 0 0 0 nan 0 0 0 1 0 0 0").is_err());
    }
}
