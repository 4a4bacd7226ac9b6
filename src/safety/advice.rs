//! What the review says beside the findings: exposure figures, the pH, metals that go into solution.

use super::Exposure;
use super::attack::Bath;
use super::exposure::gas_exposure;
use super::facts::{Facts, Present};
use super::parts_played::Roles;
use super::protection::Flies;
use super::rules::Made;
use super::vapours::{ASSUMED_MM, of_bath};
use crate::amount::{Area, Ph, in_square_millimetres, moles, square_millimetres};
use crate::reference::schema::HazardRole;
use crate::reference::{Material, Role};

/// Whether this is the surface that is assumed anyway.
pub fn is_assumed_surface(surface: Area) -> bool {
    let assumed = square_millimetres(ASSUMED_MM.powi(2) * std::f64::consts::FRAC_PI_4);
    (in_square_millimetres(surface) / in_square_millimetres(assumed) - 1.0).abs() < 1e-3
}

/// Whether anything in it gives off a vapour that is asked about.
pub fn gives_vapour(facts: &Facts) -> bool {
    !of_bath(facts).is_empty()
}

/// The gases that the rules found, then the vapours of what is in the bath; sorted by name, each once with its worst.
pub fn exposures(facts: &Facts, gases: &[Made]) -> Vec<Exposure> {
    let room = &facts.conditions.room;
    let vapours = of_bath(facts);
    // Ammonia that a base sets free leaves like any vapour: its row is among them.
    // Of hydrogen sulfide what an acid makes is more than what stands over the bath by itself; the larger stays.
    let told = |gas: &str| gas == "nitrogen" || gas != "hydrogen_sulfide" && vapours.iter().any(|v| v.gas.id == gas);
    let made = gases.iter().filter(|m| !told(&m.gas));
    let made = made.map(|m| gas_exposure(&m.gas, moles(m.mol), m.release, room, facts.temperature()));
    // A little more oxygen than air has is nothing to tell.
    let ordinary = |e: &Exposure| e.gas == "oxygen" && e.worst_case_ppm <= e.limit_ppm;
    let mut all: Vec<Exposure> = made.filter(|e| !ordinary(e)).collect();
    all.extend(vapours.iter().map(|v| v.row(facts)));
    all.sort_by(|a, b| {
        a.gas.cmp(&b.gas).then(b.worst_case_ppm.partial_cmp(&a.worst_case_ppm).unwrap_or(std::cmp::Ordering::Equal))
    });
    all.dedup_by(|a, b| a.gas == b.gas);
    all
}

/// First dissociation in water at 25 °C, pKa (CRC Handbook, recalled); what is not here and plays a strong acid is one.
/// Of the acid salts, the first hydrolysis of the metal ion.
const PKA: [(&str, f64); 20] = [
    ("acetic_acid", 4.76),
    ("aluminium_sulfate", 5.0),
    ("ascorbic_acid", 4.1),
    ("citric_acid", 3.13),
    ("ferric_chloride", 2.2),
    ("ferric_nitrate", 2.2),
    ("formic_acid", 3.75),
    ("hydrofluoric_acid", 3.2),
    ("lactic_acid", 3.86),
    ("lemon_juice", 3.13),
    ("malic_acid", 3.4),
    ("oxalic_acid", 1.25),
    ("phosphoric_acid", 2.15),
    ("potassium_alum", 5.0),
    ("potassium_bitartrate", 4.37),
    ("selenious_acid", 2.6),
    ("sodium_bisulfate", 1.99),
    ("sulfamic_acid", 1.0),
    ("tartaric_acid", 2.98),
    ("thioglycolic_acid", 3.7),
];

/// Chlorides that water takes apart into as much acid as they have equivalents.
const HYDROLYSE: [&str; 2] = ["antimony_trichloride", "stannic_chloride"];

/// pKb of bases that are not strong (CRC Handbook, recalled; the ammonium carbonates and the perborate as what their data
/// sheets' pH comes to, at the extreme end).
const PKB: [(&str, f64); 10] = [
    ("ammonia_aq", 4.75),
    ("ammonium_bicarbonate", 8.0),
    ("ammonium_carbonate", 8.0),
    ("potassium_carbonate", 3.67),
    ("sodium_carbonate", 3.67),
    ("sodium_perborate", 4.75),
    ("sodium_percarbonate", 3.67),
    ("sodium_metasilicate", 2.2),
    ("sodium_silicate", 2.2),
    ("trisodium_phosphate", 1.65),
];

const ACIDS: Roles = Roles::of(&[HazardRole::MineralAcid, HazardRole::OrganicAcid, HazardRole::AcidicSalt]);
const BASES: Roles = Roles::of(&[HazardRole::Alkali, HazardRole::Ammonia]);

fn known(table: &[(&str, f64)], p: &Present) -> Option<f64> {
    table.iter().find(|(id, _)| *id == p.substance.id).map(|(_, pk)| libm::pow(10f64, -pk))
}

/// Whether it brings acid that the estimate of the pH knows; a salt of a weaker acid is neither.
fn sours(p: &Present) -> bool {
    let salt = p.plays(HazardRole::AcidicSalt);
    p.is(Roles::of(&[HazardRole::MineralAcid, HazardRole::OrganicAcid]))
        || salt && (known(&PKA, p).is_some() || HYDROLYSE.contains(&p.substance.id.as_ref()))
}

/// An ideal estimate of the pH, erring to the extreme end, for the flag of extreme pH and advice on disposal only.
///
/// The bath room computes it properly, but takes longer than the whole review may. Where strong acids meet bases, or lye
/// meets acids, what is left over by equivalents counts. `None` where weak meets weak, and where an amount is not known.
pub fn extreme_ph(facts: &Facts) -> Option<Ph> {
    ph_of(facts, facts.liquid_ml?, sours, |p| p.is(BASES))
}

/// The same from mineral acids, acid salts, lye, lime and silicates alone: vinegar, fruit acids, soda and ammonia are
/// judged by their own classes.
pub fn ph_by_strong_ones(facts: &Facts) -> Option<Ph> {
    let weak = Roles::of(&[HazardRole::OrganicAcid, HazardRole::Carbonate, HazardRole::Ammonia]);
    ph_of(facts, facts.named(|s| s.volume_ml, f64::max)?, |p| sours(p) && !p.is(weak), |p| p.is(BASES) && !p.is(weak))
}

fn ph_of(facts: &Facts, ml: f64, acid: impl Fn(&Present) -> bool, base: impl Fn(&Present) -> bool) -> Option<Ph> {
    use HazardRole as H;
    let litres = Some(ml / 1000.0).filter(|litres| *litres > 0.0)?;
    let any = |which: &dyn Fn(&Present) -> bool| facts.poured().any(which);
    let (sour, alkaline) = (any(&sours), any(&|p| p.is(BASES)));
    let ions = if sour && alkaline {
        let acid_left = facts.said_equivalents(Roles::of(&[H::StrongAcid]))? - facts.least_equivalents(BASES);
        let base_left = facts.said_equivalents(Roles::of(&[H::StrongBase, H::Lime]))? - facts.least_equivalents(ACIDS);
        if acid_left > 0.0 { (acid_left / litres, 0.0) } else { (0.0, base_left / litres) }
    } else {
        let acid = ions(facts, litres, &PKA, ACIDS, acid)?;
        let base = ions(facts, litres, &PKB, BASES, base)?;
        (acid, base)
    };
    match ions {
        (acid, _) if acid > 1e-7 => Some(Ph(-libm::log10(acid))),
        (_, base) if base > 1e-7 => Some(Ph(14.0 + libm::log10(base))),
        _ => None,
    }
}

/// Moles of hydrogen or hydroxide ions a litre from what counts; each ingredient as its worst meaning.
fn ions(
    facts: &Facts,
    litres: f64,
    weak: &[(&str, f64)],
    side: Roles,
    counts: impl Fn(&Present) -> bool,
) -> Option<f64> {
    let mut each: std::collections::BTreeMap<usize, f64> = std::collections::BTreeMap::new();
    for p in facts.poured().filter(|p| counts(p)) {
        let mol_per_l = p.stock.moles? / p.stock.over / litres;
        let ions = match known(weak, p) {
            Some(k) => (-k + (k * k + 4.0 * k * mol_per_l).sqrt()) / 2.0,
            None if p.plays(HazardRole::OrganicAcid) => continue,
            None => mol_per_l * p.played.equivalents(side),
        };
        let most = each.entry(p.ingredient).or_default();
        *most = most.max(ions);
    }
    Some(each.values().sum())
}

/// Whether the bath is sprayed, or shut in with metal so that it is opened under pressure.
pub fn flies(facts: &Facts) -> Option<Flies> {
    if facts.sprayed() {
        return Some(Flies::Sprayed);
    }
    (facts.closed() && !facts.metals.is_empty()).then_some(Flies::UnderPressure)
}

/// Metals of parts, ballast and holders that the bath attacks; and those of parts in anything but plain water, attacked
/// or not: what colours or wears a part has taken some of it up.
pub fn dissolved(facts: &Facts<'_>) -> Vec<&'static Material> {
    let bath = Bath::of(facts);
    let conditions = facts.conditions;
    let plain = facts.components.iter().all(|c| c.substance.is(Role::Water));
    let worked_on = conditions.parts.iter().filter_map(|p| p.metal).filter(|m| !plain && m.family.is_some());
    let parts = conditions.parts.iter().filter_map(|p| p.metal);
    let things = conditions.ballast.iter().chain(&conditions.holders).copied();
    let mut metals: Vec<&Material> =
        parts.chain(things).filter(|m| m.family.is_some() && bath.attacks(m).is_some()).chain(worked_on).collect();
    metals.sort_unstable_by(|a, b| a.name.cmp(&b.name));
    metals.dedup_by(|a, b| a.id == b.id);
    metals
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::MeasureSystem;
    use crate::reference::read_ingredient;
    use crate::safety::Conditions;
    use crate::safety::facts::facts;

    /// Textbook values: 0.1 mol/L hydrochloric acid 1.0, 0.1 mol/L acetic acid 2.9, 0.1 mol/L lye 13.0.
    #[test]
    fn the_flag_for_ph_follows_textbook_values() {
        for (lines, ph) in [
            (["1 L water", "3.65 g sulfamic acid"], 1.4),
            (["1 L water", "6.0 g acetic acid 100 %"], 2.9),
            (["1 L water", "4.0 g sodium hydroxide"], 13.0),
            // Two protons of sulfuric acid; one molar iron(III) nitrate near pH 1.1 by its first hydrolysis.
            (["1 L water", "4.9 g sulfuric acid 96 %"], 1.0),
            (["1 L water", "404 g ferric nitrate nonahydrate"], 1.15),
            // A tenth of a mole of lye too much.
            (["1 L hydrochloric acid 3.65 %", "44 g sodium hydroxide"], 13.0),
        ] {
            let conditions = Conditions::default();
            let mix: Vec<_> =
                lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).expect("a plain line")).collect();
            let found = extreme_ph(&facts(&mix, &conditions)).expect("known").0;
            assert!((found - ph).abs() < 0.15, "{lines:?}: {found}");
        }
        // Not taken for lye: data sheets have 9 to 10 for the ammonium carbonates, near 10.5 for the peroxide salts
        // (recalled). The estimate may err upwards.
        for (salt, least, most) in [
            ("100 g ammonium carbonate", 9.0, 10.5),
            ("100 g ammonium bicarbonate", 7.8, 10.5),
            ("50 g sodium percarbonate", 10.4, 12.2),
            ("20 g sodium perborate", 10.0, 11.8),
        ] {
            let conditions = Conditions::default();
            let read = |l: &str| read_ingredient(l, MeasureSystem::Metric).expect("a plain line");
            let mix = [read("1 L water"), read(salt)];
            let found = extreme_ph(&facts(&mix, &conditions)).expect("known").0;
            assert!((least..=most).contains(&found), "{salt}: {found}");
        }
        let conditions = Conditions::default();
        assert!(extreme_ph(&facts(&[], &conditions)).is_none());
    }
}
