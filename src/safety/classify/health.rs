//! Single organs, sensitisers, cancer, genes, reproduction, aspiration: mostly not additive.
//!
//! Source: CLP Annex I Tables 3.4.5, 3.5.2, 3.6.2, 3.7.2, 3.8.3, 3.9.4 and 3.10.3.3; 29 CFR 1910.1200 Appendix A, A.8.3.4.

use super::{Class, Classification, Part, named, reaches};
use crate::reference::HazardKind;

pub(super) fn add(parts: &[Part], found: &mut Classification) {
    irritation_or_drowsiness(parts, "H335", found);
    irritation_or_drowsiness(parts, "H336", found);
    organs(parts, HazardKind::StotSingle, ["H370", "H371"], found);
    organs(parts, HazardKind::StotRepeated, ["H372", "H373"], found);
    for kind in [
        HazardKind::SkinSensitiser,
        HazardKind::RespiratorySensitiser,
        HazardKind::Mutagen,
        HazardKind::Carcinogen,
        HazardKind::ReproductiveToxicity,
        HazardKind::Lactation,
    ] {
        worst_of_one(parts, kind, found);
    }
    aspiration(parts, found);
}

/// STOT SE 3, summed for each of its two endpoints. A class that stands only in the limits column counts from there.
fn irritation_or_drowsiness(parts: &[Part], h: &str, found: &mut Classification) {
    /// Guide limit, per cent (CLP Annex I 3.8.3.4.5).
    const GUIDE: f64 = 20.0;
    let counted: Vec<(&Part, f64)> = parts
        .iter()
        .filter_map(|p| {
            let clp = &p.substance.clp;
            let own = clp.limits.iter().find(|l| l.kind == HazardKind::StotSingle && l.h == h).map(|l| l.from_percent);
            let class = clp.classes.iter().any(|c| c.kind == HazardKind::StotSingle && c.h == h);
            let limit = own.or(class.then_some(GUIDE))?;
            reaches(p.percent, limit.min(1.0)).then_some((p, limit))
        })
        .collect();
    let sum: f64 = counted.iter().map(|(p, limit)| p.percent / limit).sum();
    if reaches(sum, 1.0) {
        let who: Vec<&Part> = counted.iter().map(|(p, _)| *p).collect();
        found.classes.push(Class::new(HazardKind::StotSingle, "3", h, named(&who)));
    }
}

/// Damage to organs, categories 1 and 2: each ingredient for itself.
fn organs(parts: &[Part], kind: HazardKind, h: [&str; 2], found: &mut Classification) {
    let best = parts.iter().filter_map(|p| {
        let cat = p.substance.clp.classes.iter().find(|c| c.kind == kind && (c.cat == "1" || c.cat == "2"))?;
        let limits: [Option<f64>; 2] = match (p.limit(kind, Some(&["1"])), p.limit(kind, Some(&["2"]))) {
            (None, None) if cat.cat == "1" => [Some(10.0), Some(1.0)],
            (None, None) => [None, Some(10.0)],
            specific => [specific.0, specific.1],
        };
        let level = limits.iter().position(|l| l.is_some_and(|l| reaches(p.percent, l)))?;
        Some((level, p))
    });
    if let Some((level, p)) = best.min_by_key(|(level, _)| *level) {
        found.classes.push(Class::new(kind, ["1", "2"][level], h[level], p.said()));
    }
}

/// Generic limit, per cent, of a class that one ingredient alone brings in.
fn generic(kind: HazardKind, cat: &str) -> f64 {
    match (kind, cat) {
        (HazardKind::SkinSensitiser | HazardKind::RespiratorySensitiser, "1A") => 0.1,
        (HazardKind::SkinSensitiser | HazardKind::RespiratorySensitiser, _) => 1.0,
        (HazardKind::Carcinogen | HazardKind::Mutagen, "2") => 1.0,
        (HazardKind::Carcinogen | HazardKind::Mutagen, _) => 0.1,
        (HazardKind::ReproductiveToxicity, "2") => 3.0,
        // Reproductive toxicity category 1, and effects through breast milk.
        _ => 0.3,
    }
}

fn worst_of_one(parts: &[Part], kind: HazardKind, found: &mut Classification) {
    let mut hits: Vec<(&str, &str, &Part)> = Vec::new();
    for p in parts {
        for c in p.substance.clp.classes.iter().filter(|c| c.kind == kind) {
            let limit = p.limit(kind, None).unwrap_or_else(|| generic(kind, &c.cat));
            if reaches(p.percent, limit) {
                hits.push((&c.cat, &c.h, p));
            }
        }
    }
    hits.sort_by(|a, b| (a.0, a.1, &a.2.substance.id).cmp(&(b.0, b.1, &b.2.substance.id)));
    // The subcategories 1A and 1B stand beside each other as category 1; any of them outranks category 2.
    let Some(top) = hits.first().map(|h| h.0.chars().next()) else { return };
    let mut codes: Vec<&str> = hits.iter().filter(|h| h.0.chars().next() == top).map(|h| h.1).collect();
    codes.sort_unstable();
    codes.dedup();
    if codes.contains(&"H350") {
        codes.retain(|c| *c != "H350i");
    }
    for code in codes {
        let of: Vec<_> = hits.iter().filter(|h| h.1 == code).collect();
        if let Some((cat, ..)) = of.first() {
            let who: Vec<&Part> = of.iter().map(|h| h.2).collect();
            found.classes.push(Class::new(kind, cat, code, named(&who)));
        }
    }
}

/// Aspiration: 10 % and a kinematic viscosity of the mixture of 20.5 mm²/s or less at 40 °C. The viscosity is not
/// computed; a bath is taken as thin (policy of this project), so that the class is an estimate.
fn aspiration(parts: &[Part], found: &mut Classification) {
    let who: Vec<&Part> =
        parts.iter().filter(|p| p.class(HazardKind::Aspiration).is_some() && reaches(p.percent, 1.0)).collect();
    if reaches(who.iter().map(|p| p.percent).sum(), 10.0) {
        let class = Class::new(HazardKind::Aspiration, "1", "H304", format!("{}, if it runs like water", named(&who)));
        found.classes.push(class.estimated());
    }
}
