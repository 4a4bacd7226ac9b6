//! What is left at the end of a batch: how much, how acid, how much metal, where it must not go.

use super::aftercare::Aftercare;
use crate::amount::{Estimate, Ph, in_celsius, in_grams, in_millilitres, in_mol_per_l};
use crate::bath::Mixture;
use crate::part::Part;
use crate::recipe::{CareStage, Method, Recipe, Rinse};
use crate::reference::schema::{Form, MetalFamily};
use crate::reference::{Ingredient, Material, Role, Substance, solutions};

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
    /// Whether it holds, or has to be taken to hold, a metal that is poison to water life.
    pub toxic: bool,
}

/// A metal in the waste.
#[derive(Debug, Clone)]
pub struct DissolvedMetal {
    /// Its name.
    pub metal: String,
    /// Brought by the recipe's own salts, what stays undissolved included, g at most; `None` when not modelled.
    pub from_salts_g: Option<f64>,
    /// Taken off the parts by the bath's acid and peroxide, g at most; `None` when not modelled.
    pub from_parts_g: Option<f64>,
    /// Both in a litre of used bath, g; `None` when one of them is not modelled.
    pub g_per_l: Option<f64>,
    /// How often what is modelled of it is the daily limit for a sewer of US metal finishers, where there is one.
    pub times_sewer_limit: Option<f64>,
}

/// Element in a solute: (id starts with, element, atomic weight g/mol (IUPAC abridged 2021), atoms in a formula unit).
const CARRIERS: [(&str, &str, f64, f64); 12] = [
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
    ("lead_", "lead", 207.2, 1.0),
    ("potassium_permanganate", "manganese", 54.938, 1.0),
];

/// Metals that an ingredient brings by its role, whether or not an amount can be worked out.
const BROUGHT: [(Role, &str); 15] = [
    (Role::CopperSalt, "copper"),
    (Role::ZincSalt, "zinc"),
    (Role::NickelSalt, "nickel"),
    (Role::CobaltSalt, "cobalt"),
    (Role::SilverSalt, "silver"),
    (Role::LeadSalt, "lead"),
    (Role::BariumSalt, "barium"),
    (Role::ChromiumVi, "chromium"),
    (Role::ManganeseSalt, "manganese"),
    (Role::Permanganate, "manganese"),
    (Role::Mercury, "mercury"),
    (Role::Arsenic, "arsenic"),
    (Role::Antimony, "antimony"),
    (Role::Selenium, "selenium"),
    (Role::IronSalt, "iron"),
];

/// Daily maxima for an existing metal finisher's discharge to a public sewer, mg/L (40 CFR 433.15, text of 2007 read).
const SEWER_MG_L: [(&str, f64); 4] = [("copper", 3.38), ("nickel", 3.98), ("silver", 0.43), ("zinc", 2.61)];

/// What a bath may hold for its attack on a part to be counted: acids with their protons, peroxide, and what takes no
/// part in it. Anything else (ammonia, ferric and copper salts, nitrates, other acids) attacks in ways not modelled.
const ACIDS: [(&str, f64); 4] =
    [("acetic_acid", 1.0), ("hydrochloric_acid", 1.0), ("citric_acid", 3.0), ("oxalic_acid", 2.0)];
const PEROXIDE: &str = "hydrogen_peroxide";
const BYSTANDERS: [&str; 4] = ["sodium_chloride", "sodium_acetate", "ethanol", "glycerine"];

/// Makes the disposal plan.
pub(super) fn disposal(recipe: &Recipe, parts: &[Part], mixture: &Mixture, care: &Aftercare) -> Disposal {
    let mut unknown =
        vec!["how much of the acid, peroxide or salt is used up: figures are for the bath as mixed".to_string()];
    let metals = metals(recipe, parts, mixture);
    if metals.iter().any(|m| m.from_salts_g.is_none()) {
        unknown.push("how much metal some of the salts bring: not modelled; take the label's figure".into());
    }
    if metals.iter().any(|m| m.from_parts_g.is_none()) {
        unknown.push("how much metal comes off the part in this bath: not modelled; test with a strip".into());
    } else if !parts.is_empty() {
        unknown.push("what the oxygen of the air adds while it stands: more metal, most of it as sludge".into());
    }
    let unsaid: Vec<&str> =
        parts.iter().filter(|p| p.metal.is_none_or(|m| m.family.is_none())).map(|p| p.name.as_str()).collect();
    if !unsaid.is_empty() {
        unknown.push(format!(
            "which metal {} is made of: until you know it, treat bath and rinses as if they held copper or lead",
            unsaid.join(", ")
        ));
    }
    let alloyed = parts.iter().filter_map(|p| p.metal).any(|m| {
        m.family == Some(MetalFamily::Stainless) || m.family == Some(MetalFamily::CopperAlloy) && m.id != "copper"
    });
    if alloyed {
        unknown.push(
            "how much of the other metals of an alloy goes along (zinc, tin, lead of brass and bronze; nickel and \
             chromium of stainless steel): only the main one is counted"
                .into(),
        );
    }
    if parts.is_empty() {
        unknown.push("what the parts add: none were named".into());
    }
    let wets = matches!(recipe.method, Method::Immersion | Method::Spray | Method::Brush);
    if recipe.rinse == Rinse::Full && care.rinsing.is_none() && wets {
        unknown.push("how much rinse water there will be".into());
    }
    let meant: Vec<&Material> = recipe.metals.iter().copied().filter(|_| parts.is_empty()).collect();
    let families = parts.iter().filter_map(|p| p.metal).chain(meant.iter().copied()).flat_map(families);
    let toxic = !unsaid.is_empty()
        || parts.is_empty() && meant.is_empty()
        || metals.iter().any(|m| m.metal != "iron")
        || families.into_iter().any(|f| f != MetalFamily::Ferrous);
    let plays = |roles: &[Role]| brought(recipe).any(|s| s.roles.iter().any(|r| roles.contains(r)));
    Disposal {
        volumes: volumes(recipe, mixture, care),
        ph: mixture.ph,
        metals,
        never: never(toxic, &plays),
        household: household(toxic),
        business: business(),
        solids: solids(recipe, toxic, &plays),
        unknown,
        toxic,
    }
}

/// The recipe's own words about its waste, where they are meant for other metals: a bath for iron that a part of bronze was
/// in holds copper.
pub(super) fn of_these_parts(recipe: &mut Recipe, parts: &[Part], plan: &Disposal) {
    let ferrous = |m: &Material| families(m).all(|f| f == MetalFamily::Ferrous);
    if !plan.toxic || parts.is_empty() || !recipe.metals.iter().all(|m| ferrous(m)) {
        return;
    }
    let other: Vec<&str> =
        parts.iter().filter_map(|p| p.metal).filter(|m| !ferrous(m)).map(|m| m.name.as_ref()).collect();
    let why = match other.as_slice() {
        [] => "What the part is made of was not said, so the bath is treated as if it held copper".to_string(),
        named => {
            format!("The recipe's own words are for iron; with {} in it the bath is metal waste", named.join(", "))
        }
    };
    for step in recipe.aftercare.iter_mut().filter(|s| s.stage == CareStage::Dispose) {
        step.what = format!(
            "{why}: not into drain, soil or stream. Collect bath and first rinse in a labelled container for the local \
             collection of hazardous waste, as the disposal notes say."
        );
    }
}

/// Everything that an ingredient of the bath can be.
fn brought(recipe: &Recipe) -> impl Iterator<Item = &'static Substance> + '_ {
    recipe.ingredients.iter().flat_map(|i| i.ingredient.meanings.iter().map(|m| m.substance))
}

fn families(metal: &Material) -> impl Iterator<Item = MetalFamily> + use<> {
    metal.family.into_iter().chain(metal.beneath)
}

/// What there is to get rid of. The most of each: a container has to hold it.
fn volumes(recipe: &Recipe, mixture: &Mixture, care: &Aftercare) -> Vec<(String, f64)> {
    let mut volumes = vec![("Used bath".to_string(), in_millilitres(mixture.volume.high))];
    if let Some(r) = &care.rinsing {
        volumes.push(("First rinse, which counts as used bath".into(), r.each_ml));
        let times = r.times.max(r.times_with_inside.unwrap_or(0));
        if times > 1 {
            volumes.push(("Later rinses".into(), r.each_ml * f64::from(times - 1)));
        }
    }
    if let Some(n) = care.neutralising.as_ref().filter(|n| !n.recipe_has_one) {
        volumes.push(("Neutralising bath".into(), n.water_ml));
    }
    for step in recipe.preparation.iter().chain(&recipe.aftercare) {
        let liquid = |i: &&Ingredient| i.substance().is_none_or(|s| matches!(s.form, Form::Liquid | Form::Solution));
        let ml = step
            .uses
            .iter()
            .filter(liquid)
            .filter_map(|i| Some(in_millilitres(i.line.amount.as_ref()?.volume()?.high)));
        let ml: f64 = ml.sum();
        if ml > 0.0 {
            volumes.push((format!("From the {}", super::care::name(step.stage)), ml));
        }
    }
    volumes
}

/// Metal by stoichiometry, at most: every acid proton dissolves half an atom of a bivalent metal, every peroxide two thirds
/// of an atom of iron or one of another; never more than there is. Copper gives way to acid alone where air gets at it.
fn metals(recipe: &Recipe, parts: &[Part], mixture: &Mixture) -> Vec<DissolvedMetal> {
    let (most_l, least_l) = (in_millilitres(mixture.volume.high) / 1000.0, in_millilitres(mixture.volume.low) / 1000.0);
    let mut found: Vec<DissolvedMetal> = Vec::new();
    let mut entry = |name: &str| -> usize {
        found.iter().position(|m| m.metal == name).unwrap_or_else(|| {
            found.push(DissolvedMetal {
                metal: name.into(),
                from_salts_g: Some(0.0),
                from_parts_g: Some(0.0),
                g_per_l: None,
                times_sewer_limit: None,
            });
            found.len() - 1
        })
    };
    // What an ingredient brings is unknown until a solute tells how much.
    let mut salts: Vec<(usize, Option<f64>)> = Vec::new();
    for (role, name) in BROUGHT {
        if brought(recipe).any(|s| s.roles.contains(&role)) {
            salts.push((entry(name), None));
        }
    }
    let mut tell = |at: usize, grams: Option<f64>| match salts.iter_mut().find(|(i, _)| *i == at) {
        Some((_, known)) => *known = known.map_or(grams, |k| grams.map(|g| k + g)),
        None => salts.push((at, grams)),
    };
    for solute in &mixture.solutes {
        let Some((_, name, weight, atoms)) = carrier(solute.substance) else { continue };
        tell(entry(name), solute.molar.map(|m| in_mol_per_l(m.high) * most_l * weight * atoms));
    }
    for (solid, mass) in &mixture.undissolved {
        let known = solutions().solutes.iter().find(|s| *solid == s.name.as_ref());
        let share = known.and_then(|s| {
            let (_, name, weight, atoms) = carrier(&s.id)?;
            Some((name, weight * atoms / s.molar_mass_g_mol?))
        });
        // A solid that is not in the table counts whole, if its name tells its metal.
        let named = || BROUGHT.iter().find(|(_, metal)| solid.to_lowercase().contains(metal)).map(|(_, m)| (*m, 1.0));
        if let Some((name, share)) = share.or_else(named) {
            tell(entry(name), Some(in_grams(*mass) * share));
        }
    }
    let moles = |id: &str| {
        let solute = mixture.solutes.iter().find(|s| s.substance == id);
        solute.and_then(|s| s.molar).map_or(0.0, |m| in_mol_per_l(m.high) * most_l)
    };
    let protons: f64 = ACIDS.iter().map(|(id, n)| n * moles(id)).sum();
    let peroxide = moles(PEROXIDE);
    let counted = |id: &str| id == PEROXIDE || BYSTANDERS.contains(&id) || ACIDS.iter().any(|(acid, _)| *acid == id);
    let modelled = recipe.method == Method::Immersion
        && protons + peroxide > 0.0
        && mixture.solutes.iter().all(|s| counted(s.substance));
    let there: f64 = parts.iter().map(|p| in_grams(p.mass.high) * f64::from(p.count)).sum();
    let mut off: Vec<(usize, Option<f64>)> = Vec::new();
    for family in parts.iter().filter_map(|p| p.metal).flat_map(families) {
        let (name, moles) = match family {
            MetalFamily::Ferrous => ("iron", Some((protons / 2.0 + peroxide * 2.0 / 3.0) * 55.845)),
            // A passive film holds until it does not: how much goes is not known.
            MetalFamily::Stainless => ("iron", None),
            MetalFamily::CopperAlloy => ("copper", Some((protons / 2.0 + peroxide) * 63.546)),
            MetalFamily::Zinc => ("zinc", Some((protons / 2.0 + peroxide) * 65.38)),
            MetalFamily::Silver => ("silver", (peroxide > 0.0).then_some(peroxide * 2.0 * 107.868)),
            MetalFamily::Aluminium => ("aluminium", None),
            MetalFamily::Magnesium => ("magnesium", None),
            MetalFamily::Lead => ("lead", None),
            MetalFamily::Tin => ("tin", None),
            MetalFamily::Nickel => ("nickel", None),
            MetalFamily::Chromium => ("chromium", None),
            MetalFamily::Gold | MetalFamily::Titanium => continue,
        };
        let at = entry(name);
        if !off.iter().any(|(i, _)| *i == at) {
            off.push((at, moles.filter(|_| modelled).map(|grams| grams.min(there))));
        }
    }
    for (at, grams) in salts {
        found[at].from_salts_g = grams;
    }
    for (at, grams) in off {
        found[at].from_parts_g = grams;
    }
    for m in &mut found {
        let per_litre = |grams: f64| grams / least_l.max(1e-9);
        m.g_per_l = m.from_parts_g.zip(m.from_salts_g).map(|(a, b)| per_litre(a + b));
        let at_least = per_litre(m.from_parts_g.unwrap_or(0.0) + m.from_salts_g.unwrap_or(0.0));
        m.times_sewer_limit = SEWER_MG_L
            .iter()
            .find(|(name, _)| *name == m.metal)
            .map(|(_, mg)| at_least * 1000.0 / mg)
            .filter(|t| *t >= 1.0);
    }
    found.sort_by(|a, b| a.metal.cmp(&b.metal));
    found
}

fn carrier(solute: &str) -> Option<(&'static str, &'static str, f64, f64)> {
    CARRIERS.iter().find(|c| solute.starts_with(c.0)).copied()
}

fn never(toxic: bool, plays: &dyn Fn(&[Role]) -> bool) -> Vec<String> {
    let mut l = Vec::new();
    if toxic {
        l.push("Not into drain, soil, stream or septic tank: copper and its like are poison to water life and to the works that clean water.".to_string());
    } else {
        l.push("Not into soil, stream or a septic tank, and not into a drain before it is neutral, settled and allowed by local rules.".to_string());
    }
    if plays(&[Role::PeroxideSource]) {
        l.push("Never closed while it fizzes: vented cap, and room above the liquid.".into());
    }
    if plays(&[Role::Sulfide]) {
        l.push("Never near acid: it sets hydrogen sulphide free. A container of its own.".into());
    }
    if plays(&[Role::Ammonia, Role::AmmoniumSalt]) {
        l.push(
            "Never with bleach. Soda does not take copper out while there is ammonia: the complex keeps it dissolved."
                .into(),
        );
    }
    if plays(&[Role::Nitrate]) {
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
        "It has duties that a household has not: characterise the waste, keep records, use a licensed carrier.".into(),
        "USA: the household exclusion does not apply; under 100 kg of hazardous waste a month is a very small generator (40 CFR 260 to 262). Metal finishers' sewer limits are in 40 CFR 433.".into(),
        "European Union and United Kingdom: waste codes of group 11 01 (recalled); no discharge without consent.".into(),
    ]
}

fn solids(recipe: &Recipe, toxic: bool, plays: &dyn Fn(&[Role]) -> bool) -> Vec<String> {
    let mut l = Vec::new();
    if toxic {
        l.push(
            "Sludge, papers, gloves and packing that touched it go with the bath, damp, in a bag with the label."
                .to_string(),
        );
        if !plays(&[Role::Ammonia, Role::AmmoniumSalt]) {
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
