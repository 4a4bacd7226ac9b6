//! Skin and eyes: the additive method with generic and specific limits, and extreme pH.
//!
//! Source: CLP Annex I 3.2.3.3, 3.3.3.3, Tables 3.2.3 and 3.3.3; 29 CFR 1910.1200 Appendix A, Tables A.2.3 and A.3.3.
//! With specific limits each share is divided by its own limit and the quotients are added (ECHA guidance on the CLP
//! criteria, 3.2.3; recalled).

use super::{Class, Classification, Part, named, reaches, short};
use crate::amount::Ph;
use crate::reference::{HazardKind, Role};

/// Limits at which one substance alone takes the bath into a class, per cent by mass.
struct Limits {
    /// Category 1A, and 1A or 1B, where the subcategory is known.
    corrosive_1a: Option<f64>,
    corrosive_1ab: Option<f64>,
    corrosive: Option<f64>,
    /// Whether it is listed as category 1 without a subcategory.
    plain: bool,
    irritant: Option<f64>,
    eye_damage: Option<f64>,
    eye_irritant: Option<f64>,
    /// Shares below this do not count.
    skin_cut_off: f64,
    eye_cut_off: f64,
}

// Generic limits, per cent: CLP Annex I Tables 3.2.3 and 3.3.3, and the cut-off of Table 1.1.
const CORROSIVE: f64 = 5.0;
const CORROSIVE_IRRITATES: f64 = 1.0;
const IRRITANT: f64 = 10.0;
const EYE_DAMAGE: f64 = 3.0;
const CUT_OFF: f64 = 1.0;

impl Limits {
    fn of(p: &Part) -> Self {
        let corr_class = p.class(HazardKind::SkinCorrosion);
        let specific = p.limit(HazardKind::SkinCorrosion, None);
        let generic =
            |cats: &[&str]| corr_class.filter(|c| cats.is_empty() || cats.contains(&c.cat.as_ref())).map(|_| CORROSIVE);
        let (corrosive, corrosive_1a, corrosive_1ab) = if specific.is_some() {
            (
                specific,
                p.limit(HazardKind::SkinCorrosion, Some(&["1A"])),
                p.limit(HazardKind::SkinCorrosion, Some(&["1A", "1B"])),
            )
        } else {
            (generic(&[]), generic(&["1A"]), generic(&["1A", "1B"]))
        };
        let skin_irritation = p.limit(HazardKind::SkinIrritation, None);
        let irritant = skin_irritation
            .or_else(|| corrosive.map(|l| l.min(CORROSIVE_IRRITATES)))
            .or_else(|| p.class(HazardKind::SkinIrritation).map(|_| IRRITANT));
        let damage_limit = p.limit(HazardKind::EyeDamage, None);
        let irritation_limit = p.limit(HazardKind::EyeIrritation, None);
        // A corrosive whose entry names a band of eye irritation below its corrosion limit damages eyes from the
        // corrosion limit; with no eye limit at all the generic 3 % and 1 % hold. A row with its own limit is taken
        // as printed.
        let eye_damage = damage_limit.or(match (corrosive, irritation_limit) {
            (Some(limit), Some(_)) => Some(limit),
            (Some(_), None) => Some(EYE_DAMAGE),
            (None, _) => p.class(HazardKind::EyeDamage).map(|_| EYE_DAMAGE),
        });
        let eye_irritant = irritation_limit
            .or_else(|| eye_damage.map(|l| l.min(CORROSIVE_IRRITATES)))
            .or_else(|| p.class(HazardKind::EyeIrritation).map(|_| IRRITANT));
        let lowest = |limits: &[Option<f64>]| limits.iter().flatten().copied().fold(CUT_OFF, f64::min);
        Limits {
            corrosive_1a,
            corrosive_1ab,
            corrosive,
            plain: corr_class.is_some_and(|c| c.cat == "1"),
            irritant,
            eye_damage,
            eye_irritant,
            skin_cut_off: lowest(&[specific, skin_irritation]),
            eye_cut_off: lowest(&[damage_limit, irritation_limit, specific.filter(|_| irritation_limit.is_some())]),
        }
    }
}

/// The sum of share over limit, with who is in it.
fn sum<'a>(counted: &'a [(&'a Part, Limits)], limit: impl Fn(&Limits) -> Option<f64>) -> (f64, Vec<&'a Part>) {
    let with: Vec<(&Part, f64)> = counted.iter().filter_map(|(p, l)| Some((*p, limit(l)?))).collect();
    (with.iter().map(|(p, l)| p.percent / l).sum(), with.iter().map(|(p, _)| *p).collect())
}

fn relevant(parts: &[Part], cut_off: impl Fn(&Limits) -> f64) -> Vec<(&Part, Limits)> {
    parts.iter().map(|p| (p, Limits::of(p))).filter(|(p, l)| reaches(p.percent, cut_off(l))).collect()
}

pub(super) fn add(parts: &[Part], ph: Option<Ph>, found: &mut Classification) {
    skin(parts, found);
    eye(parts, found);
    extreme_ph(parts, ph, found);
}

fn skin(parts: &[Part], found: &mut Classification) {
    let counted = relevant(parts, |l| l.skin_cut_off);
    let (corrosive, who) = sum(&counted, |l| l.corrosive);
    if reaches(corrosive, 1.0) {
        let plain = counted.iter().any(|(_, l)| l.plain && l.corrosive.is_some());
        let cat = if reaches(sum(&counted, |l| l.corrosive_1a).0, 1.0) {
            "1A"
        } else if plain {
            "1"
        } else if reaches(sum(&counted, |l| l.corrosive_1ab).0, 1.0) {
            "1B"
        } else {
            "1C"
        };
        let why = format!("corrosive ingredients reach {} times their limit: {}", short(corrosive), named(&who));
        found.classes.push(Class::new(HazardKind::SkinCorrosion, cat, "H314", why));
        return;
    }
    let (irritant, who) = sum(&counted, |l| l.irritant);
    if reaches(irritant, 1.0) {
        let why = format!("irritant ingredients reach {} times their limit: {}", short(irritant), named(&who));
        found.classes.push(Class::new(HazardKind::SkinIrritation, "2", "H315", why));
    }
}

fn eye(parts: &[Part], found: &mut Classification) {
    let counted = relevant(parts, |l| l.eye_cut_off);
    let (damage, who) = sum(&counted, |l| l.eye_damage);
    if reaches(damage, 1.0) {
        let why = format!("eye-damaging ingredients reach {} times their limit: {}", short(damage), named(&who));
        found.classes.push(Class::new(HazardKind::EyeDamage, "1", "H318", why));
        return;
    }
    let (irritant, who) = sum(&counted, |l| l.eye_irritant);
    if reaches(irritant, 1.0) {
        let why = format!("eye-irritant ingredients reach {} times their limit: {}", short(irritant), named(&who));
        found.classes.push(Class::new(HazardKind::EyeIrritation, "2", "H319", why));
    }
}

const ACIDS: [Role; 3] = [Role::Acid, Role::AcidicSalt, Role::StrongAcid];
const BASES: [Role; 6] =
    [Role::Base, Role::StrongBase, Role::Ammonia, Role::Hypochlorite, Role::Sulfide, Role::Silicate];

/// pH 2 or below, 11.5 or above: CLP Annex I 3.2.3.1.2; 29 CFR 1910.1200 A.2.3.1.3.
///
/// Policy of this project: an ingredient that explains the pH and has its own skin or eye class (with limits, or based
/// on tests) keeps the calculated class, and the pH is shown beside it; otherwise the bath is corrosive by its pH.
fn extreme_ph(parts: &[Part], ph: Option<Ph>, found: &mut Classification) {
    let Some(Ph(value)) = ph.filter(|p| p.0.is_finite()) else { return };
    let roles: &[Role] = if value <= 2.0 {
        &ACIDS
    } else if value >= 11.5 {
        &BASES
    } else {
        return;
    };
    found.ph_extreme = ph;
    let explained = parts.iter().any(|p| {
        let l = Limits::of(p);
        p.substance.is_any(roles) && (l.irritant.is_some() || l.eye_irritant.is_some())
    });
    if explained {
        return;
    }
    let why = format!("pH {value:.1}, and no classified ingredient explains it");
    found.classes.retain(|c| {
        !matches!(
            c.kind,
            HazardKind::SkinCorrosion | HazardKind::SkinIrritation | HazardKind::EyeDamage | HazardKind::EyeIrritation
        )
    });
    found.classes.push(Class::new(HazardKind::SkinCorrosion, "1", "H314", why.clone()));
    found.classes.push(Class::new(HazardKind::EyeDamage, "1", "H318", why));
}
