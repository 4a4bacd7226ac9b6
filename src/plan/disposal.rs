//! What is left at the end of a batch: how much, how acid, how much metal, where it must not go.

use super::aftercare::Aftercare;
use crate::amount::{Estimate, Ph, in_celsius, in_grams, in_millilitres, in_mol_per_l};
use crate::bath::Mixture;
use crate::part::Part;
use crate::recipe::{Method, Recipe};
use crate::reference::schema::MetalFamily;

/// The disposal plan of one batch. Local rules come first, always.
#[derive(Debug, Clone, Default)]
pub struct Disposal {
    /// What there is: name, mL.
    pub volumes: Vec<(String, f64)>,
    /// pH of the bath as mixed; used up it is nearer to neutral.
    pub ph: Option<Estimate<Ph>>,
    /// Metals that can be in it.
    pub metals: Vec<DissolvedMetal>,
    /// Where it must not go.
    pub never: Vec<String>,
    /// At home.
    pub household: Vec<String>,
    /// In a business or school.
    pub business: Vec<String>,
    /// Sludge, rags, grit.
    pub solids: Vec<String>,
    /// What is not known.
    pub unknown: Vec<String>,
}

/// A metal in the waste, an upper estimate.
#[derive(Debug, Clone)]
pub struct DissolvedMetal {
    /// Its name.
    pub metal: String,
    /// Brought by the recipe's own salts, g.
    pub from_salts_g: f64,
    /// Dissolved off the parts at most, g; `None` when not modelled.
    pub from_parts_g: Option<f64>,
    /// Both in a litre of used bath, g, at most; `None` when not modelled.
    pub g_per_l: Option<f64>,
    /// How often that is the daily limit for a sewer of US metal finishers, where there is one.
    pub times_sewer_limit: Option<f64>,
}

/// Element in a solute: (id starts with, element, atomic weight g/mol (IUPAC abridged 2021), atoms in a formula unit).
const CARRIERS: [(&str, &str, f64, f64); 10] = [
    ("copper_carbonate_basic", "copper", 63.546, 2.0),
    ("copper_", "copper", 63.546, 1.0),
    ("ferric_", "iron", 55.845, 1.0),
    ("ferrous_", "iron", 55.845, 1.0),
    ("zinc_", "zinc", 65.38, 1.0),
    ("silver_", "silver", 107.868, 1.0),
    ("nickel_", "nickel", 58.693, 1.0),
    ("cobalt_", "cobalt", 58.933, 1.0),
    ("bismuth_", "bismuth", 208.98, 1.0),
    ("antimony_", "antimony", 121.76, 1.0),
];

/// Daily maxima for an existing metal finisher's discharge to a public sewer, mg/L (40 CFR 433.15, text of 2007 read).
const SEWER_MG_L: [(&str, f64); 4] = [("copper", 3.38), ("nickel", 3.98), ("silver", 0.43), ("zinc", 2.61)];

/// Makes the disposal plan.
pub(super) fn disposal(recipe: &Recipe, parts: &[Part], mixture: &Mixture, care: &Aftercare) -> Disposal {
    let bath_ml = in_millilitres(mixture.volume.high);
    let mut volumes = vec![("Used bath".to_string(), bath_ml)];
    if let Some(r) = &care.rinsing {
        volumes.push(("First rinse, which counts as used bath".into(), r.each_ml));
        if r.times > 1 {
            volumes.push(("Later rinses".into(), r.each_ml * f64::from(r.times - 1)));
        }
    }
    if let Some(n) = care.neutralising.as_ref().filter(|n| !n.recipe_has_one) {
        volumes.push(("Neutralising bath".into(), n.water_ml));
    }
    let metals = metals(recipe, parts, mixture);
    let families: Vec<MetalFamily> = parts.iter().filter_map(|p| p.metal?.family).collect();
    let toxic = metals.iter().any(|m| m.metal != "iron") || families.iter().any(|f| *f != MetalFamily::Ferrous);
    let ids: Vec<&str> =
        recipe.ingredients.iter().filter_map(|i| i.ingredient.substance()).map(|s| s.id.as_ref()).collect();
    let any = |word: &str| ids.iter().any(|id| id.contains(word));
    let mut unknown =
        vec!["how much of the acid, peroxide or salt is used up: figures are for the bath as mixed".to_string()];
    if metals.iter().any(|m| m.from_parts_g.is_none()) {
        unknown.push("how much metal comes off the part in this bath: not modelled; test with a strip".into());
    }
    if parts.is_empty() {
        unknown.push("what the parts add: none were named".into());
    }
    Disposal {
        volumes,
        ph: mixture.ph,
        metals,
        never: never(toxic, &any),
        household: household(toxic),
        business: business(),
        solids: solids(recipe, toxic, &any),
        unknown,
    }
}

/// Upper estimate by stoichiometry: every acid proton dissolves half an atom of a bivalent metal, every peroxide two
/// thirds of an atom of iron or one of copper; never more than there is.
fn metals(recipe: &Recipe, parts: &[Part], mixture: &Mixture) -> Vec<DissolvedMetal> {
    let litres = in_millilitres(mixture.volume.best) / 1000.0;
    let mut found: Vec<DissolvedMetal> = Vec::new();
    let mut entry = |name: &str| -> usize {
        if let Some(i) = found.iter().position(|m| m.metal == name) {
            return i;
        }
        found.push(DissolvedMetal {
            metal: name.into(),
            from_salts_g: 0.0,
            from_parts_g: Some(0.0),
            g_per_l: None,
            times_sewer_limit: None,
        });
        found.len() - 1
    };
    let mut salts: Vec<(usize, f64)> = Vec::new();
    for solute in &mixture.solutes {
        let Some((_, name, weight, atoms)) = CARRIERS.iter().find(|c| solute.substance.starts_with(c.0)) else {
            continue;
        };
        let at = entry(name);
        let grams = solute.molar.map_or(0.0, |m| in_mol_per_l(m.high) * litres * weight * atoms);
        salts.push((at, grams));
    }
    let moles = |id: &str| {
        mixture
            .solutes
            .iter()
            .find(|s| s.substance == id)
            .and_then(|s| s.molar)
            .map_or(0.0, |m| in_mol_per_l(m.high) * litres)
    };
    // Protons of the acids that recipes use; others are told as not modelled.
    let protons =
        moles("acetic_acid") + moles("hydrochloric_acid") + 3.0 * moles("citric_acid") + 2.0 * moles("oxalic_acid");
    let peroxide = moles("hydrogen_peroxide");
    let attacks_otherwise = mixture.solutes.iter().any(|s| {
        s.substance.starts_with("ferric_")
            || s.substance.starts_with("copper_")
            || s.substance.contains("nitric")
            || s.substance == "ammonia"
    });
    let mut off: Vec<(usize, Option<f64>)> = Vec::new();
    for part in parts {
        let Some(metal) = part.metal else { continue };
        let (name, weight, per_peroxide) = match metal.family {
            Some(MetalFamily::Ferrous | MetalFamily::Stainless) => ("iron", 55.845, 2.0 / 3.0),
            Some(MetalFamily::CopperAlloy) => ("copper", 63.546, 1.0),
            Some(MetalFamily::Zinc) => ("zinc", 65.38, 1.0),
            Some(MetalFamily::Silver) => ("silver", 107.868, 2.0),
            _ => continue,
        };
        let at = entry(name);
        if off.iter().any(|(i, _)| *i == at) {
            continue;
        }
        let there: f64 = parts.iter().map(|p| in_grams(p.mass.high) * f64::from(p.count)).sum();
        // Acid alone leaves copper and silver alone; with peroxide or air it does not.
        let by_acid = if name == "copper" || name == "silver" { (protons / 2.0).min(peroxide) } else { protons / 2.0 };
        let most = ((by_acid + peroxide * per_peroxide) * weight).min(there);
        let dips = matches!(recipe.method, Method::Immersion);
        off.push((at, (!attacks_otherwise && dips).then_some(most)));
    }
    for (at, grams) in salts {
        found[at].from_salts_g += grams;
    }
    for (at, grams) in off {
        found[at].from_parts_g = grams;
    }
    for m in &mut found {
        m.g_per_l = m.from_parts_g.map(|g| (g + m.from_salts_g) / litres.max(1e-9));
        let at_least = m.g_per_l.unwrap_or(m.from_salts_g / litres.max(1e-9));
        m.times_sewer_limit = SEWER_MG_L
            .iter()
            .find(|(name, _)| *name == m.metal)
            .map(|(_, mg)| at_least * 1000.0 / mg)
            .filter(|t| *t >= 1.0);
    }
    found.sort_by(|a, b| a.metal.cmp(&b.metal));
    found
}

fn never(toxic: bool, any: &dyn Fn(&str) -> bool) -> Vec<String> {
    let mut l = Vec::new();
    if toxic {
        l.push("Not into drain, soil, stream or septic tank: copper and its like are poison to water life and to the works that clean water.".to_string());
    } else {
        l.push("Not into soil, stream or a septic tank, and not into a drain before it is neutral, settled and allowed by local rules.".to_string());
    }
    if any("peroxide") || any("acetic") {
        l.push("Never closed while it fizzes: vented cap, and room above the liquid.".into());
    }
    if any("sulfide") || any("sulphide") || any("polysulfide") {
        l.push("Never near acid: it sets hydrogen sulphide free. A container of its own.".into());
    }
    if any("ammonia") || any("ammonium") {
        l.push(
            "Never with bleach. Soda does not take copper out while there is ammonia: the complex keeps it dissolved."
                .into(),
        );
    }
    if any("nitrate") {
        l.push(
            "Nothing soaked in nitrate dries on rags, paper or sawdust: keep it wet until it is handed over.".into(),
        );
    }
    l.push("Never pooled with another bath's waste.".into());
    l
}

fn household(toxic: bool) -> Vec<String> {
    let mut l = vec!["Local rules come first: ask the waste authority. In many places household amounts go to the collection of hazardous waste.".to_string()];
    if toxic {
        l.push("Collect bath and first rinse in a labelled plastic container (name, date, \"waste\", main hazards) and hand it in.".into());
    } else {
        l.push("Iron-only baths: let it stand open a day, neutralise with baking soda until it no longer fizzes, let the rust settle; then what local rules say.".into());
    }
    l
}

fn business() -> Vec<String> {
    vec![
        "A business or school has duties that a household has not: characterise the waste, keep records, use a licensed carrier.".into(),
        "USA: the household exclusion does not apply; under 100 kg of hazardous waste a month is a very small generator (40 CFR 260 to 262). Metal finishers' sewer limits are in 40 CFR 433.".into(),
        "European Union and United Kingdom: waste codes of group 11 01 (recalled); no discharge without consent.".into(),
    ]
}

fn solids(recipe: &Recipe, toxic: bool, any: &dyn Fn(&str) -> bool) -> Vec<String> {
    let mut l = Vec::new();
    if toxic {
        l.push(
            "Sludge, papers, gloves and packing that touched it go with the bath, damp, in a bag with the label."
                .to_string(),
        );
        if !any("ammoni") {
            l.push("Soda drops copper as carbonate; the sludge still goes to the collection, and the liquid only after a test strip.".into());
        }
    } else {
        l.push("Rust sludge: let it settle, dry it, bin it as local rules allow; it stains.".to_string());
    }
    if recipe.method == Method::Burial {
        l.push("Packing: bag it damp for the collection; never compost, never burn.".into());
    }
    l.push("Sanding mud and grit: settle, dry, bag; never down a drain.".into());
    if in_celsius(recipe.temperature.high) > 40.0 {
        l.push("Let a hot bath cool in place before it is moved.".into());
    }
    l
}
