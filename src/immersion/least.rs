//! The vessel that needs the least bath.

use super::{Filled, Immersion, Question};
use crate::amount::in_cubic_millimetres;
use crate::vessel::Vessel;

/// The vessel among `vessels` in which the parts need the least liquid, by its place in the list, with the answer; `None`
/// when they fit into none. The first of equals wins.
pub fn least_bath(question: &Question<'_>, vessels: &[Vessel]) -> Option<(usize, Immersion)> {
    let within = |i: usize| Question { vessel: &vessels[i], ..*question };
    let filled = (0..vessels.len()).filter_map(|i| Some((i, Filled::new(&within(i), None).ok()?)));
    let liquid = |f: &Filled| in_cubic_millimetres(f.liquid());
    let (least, filled) = filled.min_by(|(_, a), (_, b)| liquid(a).total_cmp(&liquid(b)))?;
    Some((least, filled.immersion(&within(least))))
}
