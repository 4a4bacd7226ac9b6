//! Supplemental statements (EUH) of Regulation (EC) 1272/2008, Annex II.

use super::{Classification, Part, reaches};
use crate::reference::{HazardKind, Role, Route, statement_text};

/// Share from which a statement without limit of its own is printed, per cent. Policy of this project: one gram of
/// gas-former in 100 g already overwhelms a small room; ammonium polysulfides carry that very limit in Annex VI. It is
/// for the label only: whether a mixture is refused never depends on it.
const WITHOUT_LIMIT: f64 = 1.0;

/// Share from which "dryness or cracking" is printed, per cent: a choice of this project, no source.
const DRIES_SKIN: f64 = 10.0;

pub(super) fn add(parts: &[Part], found: &mut Classification) {
    let mut codes: Vec<&str> = Vec::new();
    for p in parts {
        let clp = &p.substance.clp;
        for limit in &clp.supplemental_limits {
            if reaches(p.percent, limit.from_percent) {
                codes.push(&limit.code);
            }
        }
        for code in &clp.supplemental {
            let has_limit = clp.supplemental_limits.iter().any(|l| l.code == *code);
            let from = if code == "EUH066" { DRIES_SKIN } else { WITHOUT_LIMIT };
            if !has_limit && reaches(p.percent, from) {
                codes.push(code);
            }
        }
    }
    // EUH206: active chlorine above 1 %, strictly, for the public (Annex II 2.6). For chlorine solids the share of the
    // solid is taken for its available chlorine, which errs to the stricter side.
    let chlorine: f64 = parts.iter().filter(|p| p.is(Role::ActiveChlorine)).map(|p| p.percent).sum();
    if chlorine > 1.0 + 1e-9 {
        codes.push("EUH206");
    }
    codes.sort_unstable();
    codes.dedup();
    // EUH032 (very toxic gas) says more than EUH031.
    if codes.contains(&"EUH032") {
        codes.retain(|c| *c != "EUH031");
    }
    let corrosive = found.has(HazardKind::SkinCorrosion);
    let inhaled = found.classes.iter().any(|c| matches!(c.route, Some(Route::Gas | Route::Vapour | Route::DustMist)));
    codes.retain(|c| match *c {
        "EUH071" => corrosive || inhaled,
        "EUH066" => !corrosive && !found.has(HazardKind::SkinIrritation),
        _ => true,
    });
    for code in codes {
        let text = statement_text(code).unwrap_or_default().to_string();
        found.supplemental.push((code.to_string(), text));
    }
    sensitisers(parts, found);
}

/// EUH208: a sensitiser at a tenth of the limit that would classify, in a bath that is not classified for it (Annex II 2.8).
fn sensitisers(parts: &[Part], found: &mut Classification) {
    for p in parts {
        for kind in [HazardKind::SkinSensitiser, HazardKind::RespiratorySensitiser] {
            let Some(class) = p.class(kind) else { continue };
            let generic = if class.cat == "1A" { 0.1 } else { 1.0 };
            let from = p.limit(kind, None).unwrap_or(generic) / 10.0;
            let said = format!("Contains {}. May produce an allergic reaction.", p.substance.name);
            let new = !found.supplemental.iter().any(|(_, text)| *text == said);
            if reaches(p.percent, from) && !found.has(kind) && new {
                found.supplemental.push(("EUH208".to_string(), said));
            }
        }
    }
}
