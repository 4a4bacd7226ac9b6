//! The ballast-fill-amount loop, in one place, and the vessel that needs the least bath.
//!
//! Ballast takes up room, which changes the liquid, which changes the amounts as measured out, which changes the density,
//! which changes the ballast. The ends of the density only ever widen here, so the ballast only ever grows: the loop ends.

use super::{Immersion, Question, immerse};
use crate::amount::{Estimate, MassDensity, Volume, in_cubic_millimetres};
use crate::diag::{Checked, Problem};
use crate::vessel::Vessel;

/// Rounds after which the density is no longer followed; it settles in two or three.
const MOST_ROUNDS: usize = 20;

/// Solves the immersion for a bath whose density depends on how much of it is made: `density_of` gives the density of the
/// bath (with both ends, as measured out) for a volume of liquid.
///
/// # Errors
/// As [`immerse`], whatever `density_of` finds wrong, and a density that never settles.
pub fn immerse_steadily(
    question: &Question<'_>,
    density_of: &dyn Fn(Volume) -> Checked<Estimate<MassDensity>>,
) -> Checked<Immersion> {
    let mut density = question.density;
    for _ in 0..MOST_ROUNDS {
        let asked = Question { density, ..*question };
        let answer = immerse(&asked)?;
        let found = density_of(answer.liquid)?;
        if found.low >= density.low && found.high <= density.high {
            return Ok(answer);
        }
        density = Estimate {
            best: found.best,
            low: if found.low < density.low { found.low } else { density.low },
            high: if found.high > density.high { found.high } else { density.high },
        };
    }
    Err(Problem::error("ballast and density of the bath do not settle").hint("state the volume to make").into())
}

/// The vessel among `vessels` in which the parts need the least liquid, by its place in the list, with the answer; `None`
/// when they fit into none. The first of equals wins.
pub fn least_bath(question: &Question<'_>, vessels: &[Vessel]) -> Option<(usize, Immersion)> {
    let answers = vessels
        .iter()
        .enumerate()
        .filter_map(|(i, vessel)| immerse(&Question { vessel, ..*question }).ok().map(|answer| (i, answer)));
    answers.min_by(|(_, a), (_, b)| in_cubic_millimetres(a.liquid).total_cmp(&in_cubic_millimetres(b.liquid)))
}
