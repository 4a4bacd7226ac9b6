//! Hazard to water life, by summation with M-factors.
//!
//! Source: CLP Annex I 4.1.3.1 (what is relevant) and 4.1.3.5.5 with Tables 4.1.1 and 4.1.2; UN GHS worked example 4.1(a).
//! US HCS does not cover environmental hazards.

use super::{Class, Classification, Part, named, reaches};
use crate::reference::HazardKind;

/// A mixture has the class when the weighted sum reaches this, per cent.
const LIMIT: f64 = 25.0;

pub(super) fn add(parts: &[Part], found: &mut Classification) {
    acute(parts, found);
    chronic(parts, found);
}

fn acute(parts: &[Part], found: &mut Classification) {
    let counted: Vec<(&Part, f64)> = parts
        .iter()
        .filter(|p| p.class(HazardKind::AquaticAcute).is_some())
        .map(|p| (p, p.substance.clp.m_acute.unwrap_or(1.0).max(1.0)))
        .filter(|(p, m)| reaches(p.percent, 0.1 / m))
        .collect();
    if reaches(counted.iter().map(|(p, m)| p.percent * m).sum(), LIMIT) {
        let who: Vec<&Part> = counted.iter().map(|(p, _)| *p).collect();
        found.classes.push(Class::new(HazardKind::AquaticAcute, "1", "H400", named(&who)));
    }
}

fn chronic(parts: &[Part], found: &mut Classification) {
    // Plain sums by category, and the sum of category 1 weighted by M.
    let mut plain = [0.0_f64; 4];
    let mut weighted = 0.0;
    let mut who: Vec<&Part> = Vec::new();
    for p in parts {
        let Some(class) = p.class(HazardKind::AquaticChronic) else { continue };
        let Some(level) = ["1", "2", "3", "4"].iter().position(|c| *c == class.cat) else { continue };
        let m = p.substance.clp.m_chronic.unwrap_or(1.0).max(1.0);
        let from = if level == 0 { 0.1 / m } else { 1.0 };
        if !reaches(p.percent, from) {
            continue;
        }
        plain[level] += p.percent;
        if level == 0 {
            weighted += p.percent * m;
        }
        who.push(p);
    }
    let sums = [
        ("1", "H410", weighted),
        ("2", "H411", 10.0 * weighted + plain[1]),
        ("3", "H412", 100.0 * weighted + 10.0 * plain[1] + plain[2]),
        ("4", "H413", plain.iter().sum()),
    ];
    if let Some((cat, h, _)) = sums.into_iter().find(|(_, _, sum)| reaches(*sum, LIMIT)) {
        found.classes.push(Class::new(HazardKind::AquaticChronic, cat, h, named(&who)));
    }
}
