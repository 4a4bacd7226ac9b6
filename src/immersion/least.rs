//! The vessel that needs the least bath.

use super::{Immersion, Question, immerse};
use crate::amount::in_cubic_millimetres;
use crate::vessel::Vessel;

/// The vessel among `vessels` in which the parts need the least liquid, by its place in the list, with the answer; `None`
/// when they fit into none. The first of equals wins.
pub fn least_bath(question: &Question<'_>, vessels: &[Vessel]) -> Option<(usize, Immersion)> {
    let answers = vessels
        .iter()
        .enumerate()
        .filter_map(|(i, vessel)| immerse(&Question { vessel, ..*question }).ok().map(|answer| (i, answer)));
    answers.min_by(|(_, a), (_, b)| in_cubic_millimetres(a.liquid).total_cmp(&in_cubic_millimetres(b.liquid)))
}
