//! How to get rid of a bath: household or business, what may not go down a drain, and whom to ask.
//!
//! Sources: 40 CFR 261.21 to 261.24 (characteristics; pH limits, 5.0 mg/L silver and the rows for arsenic, barium, cadmium
//! and chromium read, the others recalled); 40 CFR 403 and local sewer ordinances for copper (recalled, medium confidence).

use super::holds;
use crate::amount::Ph;
use crate::reference::schema::MetalFamily;
use crate::reference::{HazardKind, Material, Role};
use crate::safety::classify::{Classification, Component};

/// Metals on the US list of toxicity characteristics, with their limit in the leachate (40 CFR 261.24 Table 1).
const LISTED: [(Role, &str); 7] = [
    (Role::Arsenic, "arsenic (D004, 5.0 mg/L)"),
    (Role::BariumSalt, "barium (D005, 100 mg/L)"),
    (Role::ChromiumVi, "chromium (D007, 5.0 mg/L)"),
    (Role::LeadSalt, "lead (D008, 5.0 mg/L)"),
    (Role::Mercury, "mercury (D009, 0.2 mg/L)"),
    (Role::Selenium, "selenium (D010, 1.0 mg/L)"),
    (Role::SilverSalt, "silver (D011, 5.0 mg/L)"),
];

/// Salts of metals that are poison to water life and that sewers limit.
const HEAVY: [Role; 5] = [Role::CopperSalt, Role::ZincSalt, Role::NickelSalt, Role::CobaltSalt, Role::SilverSalt];
/// The same as metals.
const HEAVY_METALS: [MetalFamily; 4] =
    [MetalFamily::CopperAlloy, MetalFamily::Zinc, MetalFamily::Nickel, MetalFamily::Silver];

/// Advice on getting rid of the bath. `dissolved` are the metals of parts, ballast or hangers that it attacks.
pub fn disposal(
    found: &Classification,
    components: &[Component],
    dissolved: &[&Material],
    ph: Option<Ph>,
) -> Vec<String> {
    let mut list = vec![
        "Local codes, the waste authority and the supplier's data sheet decide; what follows is general advice."
            .to_string(),
    ];
    let listed: Vec<&str> =
        LISTED.iter().filter(|(role, _)| holds(components, &[*role])).map(|(_, name)| *name).collect();
    let of = |m: &Material, families: &[MetalFamily]| {
        m.family.into_iter().chain(m.beneath).any(|family| families.contains(&family))
    };
    let lead = dissolved.iter().any(|m| m.may_hold_lead || of(m, &[MetalFamily::Lead]));
    if !listed.is_empty() {
        list.push(format!(
            "It holds {}: nothing of it down a drain. Collect it, rinses too, and hand it in as hazardous waste.",
            listed.join(", ")
        ));
    }
    if lead {
        list.push("Lead dissolves into it (D008, 5.0 mg/L): collect it and hand it in as hazardous waste.".to_string());
    }
    let heavy = holds(components, &HEAVY) || dissolved.iter().any(|m| of(m, &HEAVY_METALS));
    if heavy {
        list.push(
            "Copper, zinc, nickel and silver are poison to water life, and sewer limits are near 1 mg/L: not down the \
             drain, not onto soil. Copper that has gone onto steel counts too."
                .to_string(),
        );
        list.push(match holds(components, &[Role::Ammonia, Role::AmmoniumSalt]) {
            true => {
                "Hand bath, rinses and rags in as they are: ammonia keeps copper dissolved, so soda does not take it \
                     out and only drives ammonia off."
                    .to_string()
            }
            false => {
                "Bring the metal down as a sludge where you are allowed to, keep sludge and rags, and hand them in."
                    .to_string()
            }
        });
    } else if !dissolved.is_empty() {
        list.push(format!(
            "The used bath holds dissolved {}: that, not only the fresh mix, decides where it goes.",
            dissolved.iter().map(|m| m.name.as_ref()).collect::<Vec<_>>().join(", ")
        ));
    }
    let gas_formers =
        [Role::Sulfide, Role::Sulfite, Role::Cyanide, Role::ActiveChlorine, Role::Nitrite, Role::Fluoride];
    if holds(components, &gas_formers) {
        list.push(
            "Never bring acid to it to neutralise it, and never pour it to other waste: it frees toxic gas.".into(),
        );
    } else if ph.is_some_and(|p| p.0 <= 2.0 || p.0 >= 12.5) {
        list.push(
            "By its pH it is corrosive waste for a business (40 CFR 261.22, D002: pH 2 or below, 12.5 or above). \
             Neutralise small amounts only outdoors or in a hood, in portions, to pH 6 to 9."
                .into(),
        );
    }
    if holds(components, &[Role::PeroxideSource, Role::OrganicPeroxide]) {
        list.push(
            "Let peroxide lose its gas in an open vessel first; never close a waste jar that holds it.".to_string(),
        );
    }
    let solvent = found.has(HazardKind::FlammableLiquid) || holds(components, &[Role::Solvent]);
    if solvent {
        list.push(
            "Solvents: not down the drain; a closed metal can to the hazardous waste collection (D001).".to_string(),
        );
    }
    if holds(components, &[Role::Oxidiser]) {
        list.push(
            "Wash rags and brushes with water before they go into a bin: dried, they can catch fire.".to_string(),
        );
    }
    let collected = heavy || lead || solvent || !listed.is_empty() || holds(components, &gas_formers);
    let household = match collected || found.has(HazardKind::AquaticAcute) || found.has(HazardKind::AquaticChronic) {
        true => "Household: take it to the hazardous waste collection; nothing of it down the drain.",
        false => {
            "Household: take it to the hazardous waste collection, or ask whether small amounts may go down the drain \
             with plenty of water."
        }
    };
    list.push(format!(
        "{household} Business or school: household exemptions do not apply; characterise the waste and use a licensed \
         carrier."
    ));
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::Span;
    use crate::reference::{material, substance};
    use crate::safety::classify::classify;

    fn advice(parts: &[(&str, f64)], dissolved: &[&str], ph: Option<f64>) -> String {
        let components: Vec<Component> = parts
            .iter()
            .map(|(id, percent)| Component { substance: substance(id).unwrap(), percent: Span::one(*percent) })
            .collect();
        let dissolved: Vec<&Material> = dissolved.iter().map(|id| material(id).unwrap()).collect();
        disposal(&classify(&components, &[], ph.map(Ph)), &components, &dissolved, ph.map(Ph)).join("\n")
    }

    #[test]
    fn what_may_not_go_down_a_drain_is_never_said_to_go_down_it_with_water() {
        for text in [
            advice(&[("copper_sulfate_pentahydrate", 1.0)], &[], None),
            advice(&[("silver_nitrate", 1.0)], &[], None),
            advice(&[("acetic_acid", 3.0)], &["brass"], None),
            advice(&[("acetic_acid", 3.0)], &["galvanised_steel"], None),
            advice(&[("acetic_acid", 3.0)], &["solder"], None),
            advice(&[("acetone", 50.0)], &[], None),
            advice(&[("potassium_polysulfide", 2.0)], &[], None),
        ] {
            assert!(!text.contains("with plenty of water"), "{text}");
        }
        assert!(advice(&[("acetic_acid", 3.0)], &["iron"], None).contains("with plenty of water"));
    }

    #[test]
    fn no_sludge_is_to_be_made_of_copper_that_ammonia_holds() {
        let held = advice(&[("copper_sulfate_pentahydrate", 1.0), ("ammonia_aq", 3.0)], &[], None);
        assert!(!held.contains("sludge") && held.contains("soda does not"), "{held}");
        assert!(advice(&[("copper_sulfate_pentahydrate", 1.0)], &[], None).contains("sludge"));
    }

    #[test]
    fn listed_metals_are_named_with_code_and_limit() {
        assert!(advice(&[("silver_nitrate", 1.0)], &[], None).contains("D011, 5.0 mg/L"));
        assert!(advice(&[("selenium_dioxide", 1.0)], &[], None).contains("D010"));
        assert!(!advice(&[("copper_sulfate_pentahydrate", 1.0)], &[], None).contains("D0"));
    }

    #[test]
    fn copper_from_the_bath_or_from_the_part_keeps_it_out_of_the_drain() {
        for text in [
            advice(&[("copper_sulfate_pentahydrate", 1.0)], &[], None),
            advice(&[("acetic_acid", 3.0)], &["brass"], None),
        ] {
            assert!(text.contains("not down the"), "{text}");
        }
    }

    #[test]
    fn gas_formers_are_never_to_be_neutralised_with_acid() {
        assert!(advice(&[("potassium_polysulfide", 2.0)], &[], Some(12.9)).contains("Never bring acid"));
        assert!(advice(&[("sodium_hydroxide", 4.0)], &[], Some(13.9)).contains("D002"));
    }

    #[test]
    fn every_advice_defers_to_local_rules() {
        assert!(advice(&[("sodium_chloride", 1.0)], &[], None).starts_with("Local codes"));
    }
}
