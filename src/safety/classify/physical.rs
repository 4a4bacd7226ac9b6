//! Physical hazards. They are tested, not computed: what is here are published bands and marked rules of thumb.

use super::{Class, Classification, Part, named, reaches};
use crate::amount::Ph;
use crate::reference::{HazardKind, Role};

/// From this share on a bath is the substance itself, with its own physical classes.
const NEAT: f64 = 99.0;

pub(super) fn add(parts: &[Part], ph: Option<Ph>, found: &mut Classification) {
    oxidising_liquid(parts, found);
    flammable_liquid(parts, found);
    corrosive_to_metals(parts, ph, found);
    for p in parts {
        for c in &p.substance.clp.classes {
            if !needs_a_test(c.kind) {
                continue;
            }
            if p.percent >= NEAT {
                found.classes.push(Class::new(c.kind, &c.cat, &c.h, p.said()));
            } else if reaches(p.percent, 1.0) {
                let what = c.kind.abbreviation();
                found.not_classified.push(format!("{what} of a mixture with {} (needs a test)", p.said()));
            }
        }
    }
}

fn needs_a_test(kind: HazardKind) -> bool {
    use HazardKind as K;
    matches!(
        kind,
        K::FlammableGas
            | K::OxidisingGas
            | K::PressurisedGas
            | K::FlammableSolid
            | K::PyrophoricSolid
            | K::SelfHeating
            | K::WaterReactive
            | K::OxidisingSolid
            | K::OrganicPeroxide
    )
}

/// Bands of Annex VI where they exist (peroxide 50 and 70 %, nitric acid 65, 70 and 99 %); below them, for peroxide,
/// transport practice (packing group II from 20 %, III from 8 %), which the BG RCI data sheet for 8 to 35 % follows too.
fn oxidising_liquid(parts: &[Part], found: &mut Classification) {
    let mut best: Option<(&str, bool, &Part)> = None;
    for p in parts {
        let bands = p.substance.clp.limits.iter().filter(|l| l.kind == HazardKind::OxidisingLiquid);
        let printed = bands.filter(|l| reaches(p.percent, l.from_percent)).map(|l| l.cat.as_ref()).min();
        let practice = || {
            let peroxide = p.substance.id == "hydrogen_peroxide";
            match p.percent {
                c if peroxide && reaches(c, 20.0) => Some(("2", true)),
                c if peroxide && reaches(c, 8.0) => Some(("3", true)),
                _ => None,
            }
        };
        if let Some((cat, estimate)) = printed.map(|c| (c, false)).or_else(practice)
            && best.is_none_or(|(b, ..)| cat < b)
        {
            best = Some((cat, estimate, p));
        }
    }
    if let Some((cat, estimate, p)) = best {
        let h = if cat == "1" { "H271" } else { "H272" };
        let class = Class::new(HazardKind::OxidisingLiquid, cat, h, p.said());
        found.classes.push(if estimate { class.estimated() } else { class });
    }
}

// Rule-of-thumb shares of flammable liquid in water, per cent: choices of this project. Behind them are flash points of
// ethanol in water, 62 °C at 5 %, 26 °C at 40 % and 21 °C at 70 % by mass (web pages read), and of 2-propanol 70 %, near
// 18 °C (recalled). They err to the stricter side; a measured flash point outranks them.
const BURNS: f64 = 5.0;
const BURNS_WELL: f64 = 40.0;
const KETONE_BURNS_WELL: f64 = 15.0;
/// Acetic and formic acid in water: flammable only when nearly neat (UN 2789 boundary, 80 %).
const ACID_BURNS: f64 = 80.0;

fn flammable_liquid(parts: &[Part], found: &mut Classification) {
    let own = |p: &Part| {
        let clp = &p.substance.clp;
        let all = clp.classes.iter().chain(&clp.often_added);
        all.filter(|c| c.kind == HazardKind::FlammableLiquid).map(|c| c.cat.as_ref()).min()
    };
    let who: Vec<&Part> = parts
        .iter()
        .filter(|p| own(p).is_some())
        .filter(|p| !p.is(Role::Acid) || p.percent >= ACID_BURNS)
        .filter(|p| reaches(p.percent, 1.0))
        .collect();
    if let Some(p) = who.iter().find(|p| p.percent >= NEAT) {
        let cat = own(p).unwrap_or("3");
        let h = ["H224", "H225", "H226"][cat.parse::<usize>().unwrap_or(3).clamp(1, 3) - 1];
        found.classes.push(Class::new(HazardKind::FlammableLiquid, cat, h, p.said()));
        return;
    }
    let share = |counts: &dyn Fn(&Part) -> bool| who.iter().filter(|p| counts(p)).map(|p| p.percent).sum::<f64>();
    let quick = |p: &Part| own(p).is_some_and(|c| c < "3");
    let well = reaches(share(&quick), BURNS_WELL)
        || reaches(share(&|p| quick(p) && p.substance.is_any(&[Role::Ketone, Role::Ester])), KETONE_BURNS_WELL);
    if well || reaches(share(&|_| true), BURNS) {
        let (cat, h) = if well { ("2", "H225") } else { ("3", "H226") };
        let class = Class::new(HazardKind::FlammableLiquid, cat, h, format!("{} in all", named(&who)));
        found.classes.push(class.estimated());
    }
}

/// Corrosive to metals is a test class (6.25 mm a year at 55 °C): named as likely, never computed.
/// Source: 29 CFR 1910.1200 Appendix B.16.
fn corrosive_to_metals(parts: &[Part], ph: Option<Ph>, found: &mut Classification) {
    let listed = |p: &Part| {
        let clp = &p.substance.clp;
        clp.classes.iter().chain(&clp.often_added).any(|c| c.kind == HazardKind::CorrosiveToMetals)
    };
    let who: Vec<&Part> = parts.iter().filter(|p| listed(p) && reaches(p.percent, 1.0)).collect();
    let by_ph = ph.is_some_and(|p| p.0 <= 2.0 || p.0 >= 11.5);
    if !who.is_empty() {
        found.likely.push(format!("H290 May be corrosive to metals: likely from {} (a test decides)", named(&who)));
    } else if by_ph {
        found.likely.push("H290 May be corrosive to metals: likely at this pH (a test decides)".to_string());
    }
}
