//! What to wear, what to do first when something goes wrong, how to keep a bath and how to get rid of it.
//!
//! Everything here defers to the supplier's data sheet, local codes and medical advice. Nothing tells a person to
//! neutralise a chemical on skin or in an eye, to vomit, or to treat at home instead of calling.

mod disposal;
mod gloves;

pub use disposal::disposal;
pub use gloves::{GloveAdvice, gloves};

use super::classify::{Classification, Component};
use crate::reference::{HazardKind, Role};

/// How every first response ends.
pub const CALL: &str = "call your poison centre or emergency number";

/// What protection goes by: the classes and the components, and whether there is something that nobody knows, which may be
/// the worst of all.
#[derive(Debug, Clone, Copy)]
pub struct Exposed<'a> {
    /// The classes of the bath.
    pub found: &'a Classification,
    /// What is known of it.
    pub components: &'a [Component],
    /// Whether something in it, or left in the vessel, is not known.
    pub unknown: bool,
    /// How it gets into the air, if it does whatever is in it.
    pub flies: Option<Flies>,
}

impl Exposed<'_> {
    fn burns_skin(&self) -> bool {
        self.unknown || self.found.has(HazardKind::SkinCorrosion)
    }

    fn corrosive(&self) -> bool {
        self.burns_skin() || self.found.ph_extreme.is_some()
    }

    fn burns_eyes(&self) -> bool {
        self.corrosive() || self.found.has(HazardKind::EyeDamage)
    }

    fn may_hold(&self, roles: &[Role]) -> bool {
        self.unknown || holds(self.components, roles)
    }

    /// Only water and plain salts, in no class: what a kitchen table sees every day.
    fn is_harmless(&self) -> bool {
        let plain = [Role::Water, Role::Salt, Role::Inert, Role::Sugar];
        let known = !self.unknown && self.components.iter().all(|c| c.substance.is_any(&plain));
        known && self.found.classes.is_empty() && self.found.ph_extreme.is_none()
    }
}

fn holds(components: &[Component], roles: &[Role]) -> bool {
    components.iter().any(|c| c.percent.high > 0.0 && c.substance.is_any(roles))
}

const FUMING: [Role; 7] = [
    Role::Ammonia,
    Role::Sulfide,
    Role::Sulfite,
    Role::ActiveChlorine,
    Role::ToxicVapour,
    Role::ToxicGas,
    Role::Solvent,
];

/// How a bath gets into the air whatever is in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flies {
    /// As mist.
    Sprayed,
    /// Out of a closed vessel that holds metal, when it is opened.
    UnderPressure,
}

impl Flies {
    fn goggles(self) -> &'static str {
        match self {
            Flies::Sprayed => "Splash goggles while spraying, whatever is in it: mist goes round glasses.",
            Flies::UnderPressure => {
                "Splash goggles when the vessel is opened, whatever is in it: gas can throw lid and liquid into the face."
            }
        }
    }
}

/// Protective equipment, each with what it is for.
///
/// Sources: ANSI/ISEA Z87.1, EN ISO 16321 (formerly EN 166), EN ISO 374-1, ANSI/ISEA Z358.1 and 29 CFR 1910.134 (all
/// recalled, high confidence). The choice by class is a choice of this project.
pub fn equipment(exposed: Exposed<'_>) -> Vec<String> {
    let mut list: Vec<String> = exposed.flies.map(|f| f.goggles().to_string()).into_iter().collect();
    if exposed.is_harmless() {
        list.push("Wash your hands afterwards.".to_string());
        return list;
    }
    if exposed.unknown {
        list.push("Not everything here is known: protect yourself as from the worst that it could be.".to_string());
    }
    let goggles = "Splash goggles with indirect vents (ANSI/ISEA Z87.1 mark D3, or EN ISO 16321), not open glasses";
    if exposed.burns_eyes() {
        list.push(format!("{goggles}: a splash can damage the eye for good."));
    } else if exposed.found.has(HazardKind::EyeIrritation) {
        list.push(format!("{goggles}: a splash hurts the eye."));
    } else {
        list.push("Splash goggles: even a weak bath stings in the eye.".to_string());
    }
    if exposed.burns_skin() {
        list.push("Face shield over the goggles while pouring: it burns skin.".to_string());
        list.push("Apron of PVC or neoprene, long sleeves, closed shoes: it burns skin through cloth.".to_string());
        list.push("Running water or an eyewash within ten seconds' walk (ANSI/ISEA Z358.1).".to_string());
    }
    list.extend(gloves(exposed.components).lines());
    if exposed.may_hold(&FUMING) {
        list.push("A dust mask (N95, FFP2) is no protection: it holds back no gas and no vapour.".to_string());
        list.push(
            "Air first: outdoors or a fume hood. A cartridge respirator needs the right cartridge, a fit test and, at \
             work, a written programme (29 CFR 1910.134); it never makes up for missing air."
                .to_string(),
        );
    }
    if exposed.unknown || exposed.found.has(HazardKind::FlammableLiquid) {
        list.push("No flame, spark or hot surface nearby, and no static from synthetic clothing.".to_string());
    }
    list
}

/// First response by route. Each ends with the call.
pub fn first_response(exposed: Exposed<'_>) -> Vec<String> {
    if exposed.is_harmless() {
        return vec![format!("In the eyes: rinse with running water. If it still hurts, {CALL}.")];
    }
    let (minutes, at_once) = if exposed.burns_eyes() { (20, "at once, before anything else, ") } else { (15, "") };
    let fluoride = if holds(exposed.components, &[Role::Fluoride]) {
        "It holds fluoride: the burn may not hurt at first and still be deadly. Say \"hydrofluoric acid\" when you call. "
    } else {
        ""
    };
    let delayed = if exposed.may_hold(&[Role::Nitrate, Role::ActiveChlorine, Role::Sulfide, Role::ToxicVapour]) {
        "Lungs can get worse hours later: call even when feeling well again. "
    } else {
        ""
    };
    let dust = if exposed.may_hold(&[Role::WaterReactive]) { "brush off dry powder first; then " } else { "" };
    vec![
        format!(
            "In the eyes: rinse {at_once}with gently running water for at least {minutes} minutes, lids held open; take \
             out contact lenses if that is easy. Use water only. {fluoride}Then {CALL}."
        ),
        format!(
            "On the skin: {dust}take off wet clothing and rinse with plenty of running water for at least {minutes} \
             minutes. Do not try to neutralise it. {fluoride}Then {CALL}."
        ),
        format!(
            "Breathed in: go out into fresh air, sit upright, rest. Do not go back in to help without protection. \
             {delayed}With coughing, chest pain or dizziness {CALL}."
        ),
        format!(
            "Swallowed: rinse the mouth and spit out. Do not make the person vomit, and give nothing to neutralise it. \
             Have the recipe and the labels at hand, and {CALL}."
        ),
    ]
}

/// How to keep the bath, or why not to.
pub fn storage(found: &Classification, components: &[Component]) -> Vec<String> {
    let mut list = vec![
        "Label the jar: what is in it, its hazards, the date. Never use a food or drink container.".to_string(),
        "Keep it out of reach of children and animals.".to_string(),
    ];
    let with_others = components.iter().filter(|c| !c.substance.is(Role::Water)).count() > 1;
    if holds(components, &[Role::PeroxideSource, Role::OrganicPeroxide]) {
        list.push(if with_others {
            "Do not keep a mix with peroxide: it makes gas. Use it the same day, never closed, never back into the bottle."
                .to_string()
        } else {
            "Peroxide: cool, dark, in its own bottle with the vented cap.".to_string()
        });
    }
    if holds(components, &[Role::Hypochlorite, Role::ActiveChlorine]) {
        list.push("Keep it away from acids, ammonia and other cleaners: they free toxic gas.".to_string());
    }
    if holds(components, &[Role::Sulfide, Role::Sulfite, Role::Thiosulfate, Role::Cyanide]) {
        list.push("Keep it away from acids and acidic salts: they free toxic gas.".to_string());
    }
    if holds(components, &[Role::Ammonia, Role::Carbonate]) && holds(components, &[Role::AmmoniumSalt, Role::Ammonia]) {
        list.push("Keep it cool and leave headspace: warmth drives gas out of it.".to_string());
    }
    if holds(components, &[Role::SilverSalt]) {
        list.push("Silver: dark bottle; never let a solution with ammonia stand or dry, it can explode.".to_string());
    }
    if holds(components, &[Role::Oxidiser]) {
        list.push("Keep it away from rags, paper, sawdust, oil and solvents: dried in, it feeds fire.".to_string());
    }
    if holds(components, &[Role::DryingOil]) {
        list.push(
            "Oily rags heat themselves: spread them flat outdoors or sink them in water in a lidded can.".to_string(),
        );
    }
    if found.has(HazardKind::FlammableLiquid) {
        list.push("Closed, cool, away from flame and hot surfaces.".to_string());
    }
    if holds(components, &[Role::Fluoride]) {
        list.push("Never in glass or ceramic: fluoride eats through it.".to_string());
    }
    if holds(components, &[Role::Acid, Role::AcidicSalt, Role::StrongBase]) {
        list.push("In glass or polyethylene, not in metal.".to_string());
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{Ph, Span};
    use crate::reference::{substance, substances};
    use crate::safety::classify::classify;

    fn bath(parts: &[(&str, f64)]) -> Vec<Component> {
        parts
            .iter()
            .map(|(id, percent)| Component { substance: substance(id).unwrap(), percent: Span::one(*percent) })
            .collect()
    }

    fn exposed<'a>(found: &'a Classification, components: &'a [Component]) -> Exposed<'a> {
        Exposed { found, components, unknown: false, flies: None }
    }

    /// Whatever is asked for against any substance of the table is asked for against something unknown in water.
    #[test]
    fn something_unknown_asks_for_the_most() {
        let water = bath(&[("water", 100.0)]);
        let found = classify(&water, &[], None);
        let unknown = Exposed { unknown: true, ..exposed(&found, &water) };
        let (worn, first) = (equipment(unknown).join("\n"), first_response(unknown).join("\n"));
        for s in substances() {
            let components = [Component { substance: s, percent: Span::one(20.0) }];
            let found = classify(&components, &[], None);
            for line in equipment(exposed(&found, &components)) {
                let weaker =
                    line.contains("Gloves") || line.contains("Wash your hands") || line.starts_with("Splash goggles");
                assert!(weaker || worn.contains(&line), "{}: {line}", s.id);
            }
            let most = first_response(exposed(&found, &components)).join("\n").matches("20 minutes").count();
            assert!(first.matches("20 minutes").count() >= most, "{}", s.id);
        }
        assert!(worn.contains("can damage the eye for good") && worn.contains("Gloves"), "{worn}");
    }

    #[test]
    fn every_first_response_ends_with_the_call_and_gives_no_home_treatment() {
        for s in substances() {
            let components = [Component { substance: s, percent: Span::one(20.0) }];
            let found = classify(&components, &[], None);
            for line in first_response(exposed(&found, &components)) {
                assert!(line.ends_with(&format!("{CALL}.")), "{line}");
                let lower = line.to_lowercase();
                for word in ["vomit", "neutralise"] {
                    let told = lower.matches(word).count();
                    let forbidden = lower.matches(&format!("do not make the person {word}")).count()
                        + lower.matches(&format!("do not try to {word}")).count()
                        + lower.matches(&format!("nothing to {word}")).count();
                    assert_eq!(told, forbidden, "{line}");
                }
                assert!(!["milk", "vinegar", "baking soda", "charcoal"].iter().any(|w| lower.contains(w)), "{line}");
            }
        }
    }

    #[test]
    fn a_burning_bath_asks_for_more_than_a_weak_one() {
        let weak = bath(&[("acetic_acid", 3.0)]);
        let strong = bath(&[("sodium_hydroxide", 10.0)]);
        let list = |b: &[Component]| equipment(exposed(&classify(b, &[], None), b)).join("\n");
        assert!(!list(&weak).contains("Face shield"));
        assert!(list(&strong).contains("Face shield"));
        assert!(list(&bath(&[("sodium_chloride", 3.0), ("water", 97.0)])).starts_with("Wash your hands"));
    }

    #[test]
    fn extreme_ph_brings_eye_and_hand_protection_whatever_the_class() {
        let pickle = bath(&[("sodium_bisulfate", 2.0)]);
        let list = equipment(exposed(&classify(&pickle, &[], Some(Ph(1.2))), &pickle)).join("\n");
        assert!(list.contains("Splash goggles") && list.contains("Gloves"), "{list}");
    }

    #[test]
    fn the_eyes_are_covered_for_spray_and_for_opening_a_barrel_even_of_water() {
        for components in [bath(&[("water", 100.0)]), bath(&[("acetic_acid", 30.0)])] {
            for flies in [Flies::Sprayed, Flies::UnderPressure] {
                let found = classify(&components, &[], None);
                let list = equipment(Exposed { flies: Some(flies), ..exposed(&found, &components) });
                assert!(list[0].contains("goggles"), "{list:?}");
            }
        }
    }

    #[test]
    fn a_dust_mask_is_said_to_be_no_protection_against_vapour() {
        let fuming = bath(&[("ammonia_aq", 5.0)]);
        assert!(equipment(exposed(&classify(&fuming, &[], None), &fuming)).iter().any(|l| l.contains("no protection")));
    }

    #[test]
    fn a_peroxide_mix_is_not_to_be_kept() {
        let rust = bath(&[("hydrogen_peroxide", 1.5), ("acetic_acid", 2.5), ("water", 90.0)]);
        assert!(storage(&classify(&rust, &[], None), &rust).iter().any(|l| l.starts_with("Do not keep")));
    }
}
