//! What part or vessel is made of, where that was not said and matters.
//!
//! It matters when some material would make a finding graver: the rules themselves decide, with each material in turn. A
//! mixture of which neither part nor vessel was named is judged as a mixture, and nothing is missing.

use super::facts::Facts;
use super::rules::Rule;
use super::{Conditions, Gravity, Hazard};
use crate::reference::schema::MetalFamily;
use crate::reference::{Material, materials as all_materials};

/// Metals that vessels are made of or lined with.
const VESSELS: [MetalFamily; 7] = [
    MetalFamily::Ferrous,
    MetalFamily::Stainless,
    MetalFamily::CopperAlloy,
    MetalFamily::Zinc,
    MetalFamily::Aluminium,
    MetalFamily::Tin,
    MetalFamily::Silver,
];

/// What was not said and would have to be, each a sentence.
pub fn materials(rules: &[Rule], facts: &Facts, found: &[Hazard]) -> Vec<String> {
    let conditions = facts.conditions;
    let graver = |other: Conditions| {
        let facts = facts.made_of(&other);
        // A plain meeting of two ingredients knows no material.
        rules.iter().filter(|rule| rule.card.meeting.is_none()).any(|rule| {
            let known = found.iter().find(|h| h.id == rule.card.id).map(|h| h.gravity);
            rule.check(&facts).is_some_and(|f| f.gravity >= Gravity::Caution && Some(f.gravity) > known)
        })
    };
    let mut open = Vec::new();
    for (i, part) in conditions.parts.iter().enumerate().filter(|(_, part)| part.metal.is_none()) {
        let matters = all_materials().iter().filter(|m| m.family.is_some()).any(|metal| {
            let mut other = conditions.clone();
            other.parts[i].metal = Some(metal);
            graver(other)
        });
        if matters {
            open.push(format!("the metal of {} is not said, and with some metals this is worse", part.name));
        }
    }
    // A porous vessel soaks up any bath; that is not a matter of this one.
    let vessel = |m: &&'static Material| !m.porous && m.family.is_none_or(|f| VESSELS.contains(&f));
    if conditions.vessel_named
        && conditions.vessel.is_none()
        && all_materials().iter().filter(vessel).any(|m| graver(Conditions { vessel: Some(m), ..conditions.clone() }))
    {
        open.push("what the vessel is made of is not said, and this attacks some materials".to_string());
    }
    open
}

#[cfg(test)]
mod tests {
    use crate::amount::MeasureSystem;
    use crate::reference::{material, read_ingredient};
    use crate::safety::{Conditions, PartFacts, Review, Verdict, check};

    fn review(line: &str, metal: Option<&str>, conditions: Conditions) -> Review {
        let part = PartFacts {
            name: "plaque".into(),
            metal: metal.map(|m| material(m).expect("in the table")),
            binder: material("pla"),
        };
        let mix = [read_ingredient(line, MeasureSystem::Metric).expect("a plain line")];
        check(&mix, &Conditions { parts: vec![part], ..conditions })
    }

    #[test]
    fn a_metal_not_said_is_not_judged_where_the_bath_attacks_some() {
        let unsaid = review("1 L vinegar 5 %", None, Conditions::default());
        assert!(unsaid.not_judged.iter().any(|n| n.contains("the metal of plaque")), "{:?}", unsaid.not_judged);
        assert!(unsaid.verdict >= Verdict::Unknown);
        assert!(review("1 L vinegar 5 %", Some("iron"), Conditions::default()).not_judged.is_empty());
        assert!(review("1 L water", None, Conditions::default()).not_judged.is_empty());
    }

    #[test]
    fn a_vessel_of_something_not_said_is_not_judged_where_the_bath_attacks_some() {
        let jar = || Conditions { vessel_named: true, ..Conditions::default() };
        let unsaid = review("1 L vinegar 5 %", Some("iron"), jar());
        assert!(unsaid.not_judged.iter().any(|n| n.contains("the vessel")), "{:?}", unsaid.not_judged);
        let glass = Conditions { vessel: material("soda_lime_glass"), ..jar() };
        assert!(review("1 L vinegar 5 %", Some("iron"), glass).not_judged.is_empty());
        assert!(review("1 L water", Some("iron"), jar()).not_judged.is_empty());
    }

    #[test]
    fn a_mixture_by_itself_lacks_nothing() {
        let mix = [read_ingredient("1 L vinegar 5 %", MeasureSystem::Metric).expect("a plain line")];
        let review = check(&mix, &Conditions::default());
        assert_eq!((review.verdict, review.not_judged.len()), (Verdict::Fine, 0));
    }
}
