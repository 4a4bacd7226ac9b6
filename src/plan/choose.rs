//! Which recipe: from the metal that really shows, the look, the shelf, the room and the patience.

use super::shopping::{Purchase, purchase};
use super::{ListedRecipe, doses, poured};
use crate::amount::{Estimate, MassDensity, Volume, in_kg_per_m3};
use crate::bath::BathSize;
use crate::order::Bench;
use crate::recipe::{Confidence, Finish, Method, Recipe, Suitability};
use crate::reference::{Material, Room};
use crate::safety::{self, Conditions, Gravity, PartFacts, Review, Verdict};
use jiff::SignedDuration;

/// What somebody wants.
#[derive(Debug, Clone)]
pub struct Wish {
    /// Metal or filler.
    pub metal: &'static Material,
    /// Binder of a filled plastic.
    pub binder: Option<&'static Material>,
    /// Density of the filament, if it is known.
    pub density: Option<MassDensity>,
    /// Colour family wanted.
    pub look: Option<Finish>,
    /// The shelf, if there is one.
    pub bench: Option<Bench>,
    /// The room.
    pub room: Room,
    /// How long it may take, from preparation to sealed.
    pub patience: Option<SignedDuration>,
    /// How much bath the shopping list is for.
    pub volume: Volume,
}

/// How much metal a freshly cut face shows.
#[derive(Debug, Clone)]
pub struct Showing {
    /// Share of the face that is metal, per cent (best, low, high); 100 for solid metal. `None` when the density of the
    /// filament is not known.
    pub area_percent: Option<Estimate<f64>>,
    /// Share of the mass that is metal, per cent.
    pub mass_percent: Option<f64>,
    /// Whether the density was assumed for the kind of filament.
    pub assumed: bool,
    /// What that means for the look, in sentences.
    pub meaning: Vec<String>,
}

/// A recipe in its place.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The recipe.
    pub recipe: Recipe,
    /// Its review for this metal, binder and room.
    pub review: Review,
    /// From the first step of preparation to the last of aftercare.
    pub takes: SignedDuration,
    /// Points, for the order only.
    pub points: i32,
    /// Why it stands where it stands, weightiest first.
    pub reasons: Vec<String>,
    /// Ingredients the shelf lacks.
    pub missing: Vec<String>,
    /// What to buy.
    pub shopping: Vec<Purchase>,
}

/// A recipe that is out, and why.
#[derive(Debug, Clone)]
pub struct Excluded {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Why.
    pub why: Vec<String>,
}

/// The whole answer.
#[derive(Debug, Clone)]
pub struct Choice {
    /// What was asked.
    pub wish: Wish,
    /// What shows.
    pub showing: Showing,
    /// Best first.
    pub ranked: Vec<Candidate>,
    /// Out, by id.
    pub excluded: Vec<Excluded>,
}

/// Density of usual filled filaments, kg/m³, by filler (recalled; weigh a part and divide by its displaced volume).
const FILAMENTS: [(&str, f64); 6] = [
    ("iron", 1850.0),
    ("mild_steel", 3130.0),
    ("stainless_steel", 3130.0),
    ("bronze", 3900.0),
    ("copper", 4000.0),
    ("brass", 3900.0),
];

/// Volume fraction of the metal by the rule of mixtures, φ = (ρ − ρ_b)/(ρ_m − ρ_b); 0 to 1, or `None`.
///
/// On a random cut the area fraction equals the volume fraction (Delesse's principle of stereology, 1847, recalled).
pub fn metal_by_volume(filament: MassDensity, metal: MassDensity, binder: MassDensity) -> Option<f64> {
    let (f, m, b) = (in_kg_per_m3(filament), in_kg_per_m3(metal), in_kg_per_m3(binder));
    let share = (f - b) / (m - b);
    (share.is_finite() && (0.0..=1.0).contains(&share)).then_some(share)
}

fn showing(wish: &Wish) -> Showing {
    let kg = crate::amount::kg_per_m3;
    let Some(binder) = wish.binder else {
        return Showing {
            area_percent: Some(Estimate::exact(100.0)),
            mass_percent: Some(100.0),
            assumed: false,
            meaning: vec!["Solid metal: what the recipe says is what the face does.".into()],
        };
    };
    let known = FILAMENTS.iter().find(|(id, _)| *id == wish.metal.id).map(|(_, d)| kg(*d));
    let (density, assumed) = match (wish.density, known) {
        (Some(d), _) => (Some(d), false),
        (None, d) => (d, true),
    };
    let by = |d: MassDensity, m: usize, b: usize| {
        metal_by_volume(d, kg(wish.metal.density_kg_m3[m]), kg(binder.density_kg_m3[b]))
    };
    let share = density.and_then(|d| {
        let best = by(d, 0, 0)?;
        // Denser metal or denser binder leaves less room for metal.
        let ends = [by(d, 1, 1), by(d, 2, 2), by(d, 1, 2), by(d, 2, 1)];
        let low = ends.iter().flatten().copied().fold(best, f64::min);
        let high = ends.iter().flatten().copied().fold(best, f64::max);
        Some(Estimate { best, low, high }.map(|x| x * 100.0))
    });
    let mass = density.zip(share).map(|(d, s)| s.best * wish.metal.density_kg_m3[0] / in_kg_per_m3(d));
    let mut meaning = Vec::new();
    match share {
        Some(s) => {
            meaning.push(format!(
                "A sanded face is about {:.0} % {} by area and {:.0} % {}, and no more however well it is sanded.",
                s.best, wish.metal.name, 100.0 - s.best, binder.name
            ));
            if s.best < 20.0 {
                meaning.push("So colour reads as a stain between dark plastic, not as a plate of it: think of the plastic's own colour as half of the look.".into());
            } else {
                meaning.push("Enough metal to read as metal, mottled by the plastic between the grains.".into());
            }
            if assumed {
                meaning.push(format!(
                    "The filament was taken as {:.2} g/cm\u{b3}, usual for the kind and from memory; say its own with --density.",
                    density.map_or(0.0, |d| in_kg_per_m3(d) / 1000.0)
                ));
            }
        }
        None => meaning.push(
            "How much metal shows is not known: say the filament's density with --density, between that of its binder and its metal.".into(),
        ),
    }
    meaning.push("As printed a skin of binder covers even that: sand, blast or tumble first.".into());
    Showing { area_percent: share, mass_percent: mass, assumed, meaning }
}

/// Ranks recipes for a wish.
pub fn choose(wish: Wish, recipes: Vec<Recipe>) -> Choice {
    let showing = showing(&wish);
    let mut ranked = Vec::new();
    let mut excluded = Vec::new();
    for recipe in recipes {
        match judge(&wish, &showing, recipe) {
            Ok(candidate) => ranked.push(candidate),
            Err(out) => excluded.push(out),
        }
    }
    ranked.sort_by(|a, b| b.points.cmp(&a.points).then_with(|| a.recipe.id.cmp(&b.recipe.id)));
    excluded.sort_by(|a, b| a.id.cmp(&b.id));
    Choice { wish, showing, ranked, excluded }
}

/// The whole time of a recipe.
pub fn takes(recipe: &Recipe) -> SignedDuration {
    let care = recipe.preparation.iter().chain(&recipe.aftercare).filter_map(|s| s.takes);
    let soak = recipe.soak.iter().map(|e| e.after).max().unwrap_or(SignedDuration::ZERO);
    care.fold(soak, |sum, t| sum.checked_add(t).unwrap_or(sum))
}

fn judge(wish: &Wish, showing: &Showing, recipe: Recipe) -> Result<Candidate, Excluded> {
    let mut why = Vec::new();
    let takes = takes(&recipe);
    if !recipe.metals.iter().any(|m| m.id == wish.metal.id) {
        let metals: Vec<&str> = recipe.metals.iter().map(|m| m.name.as_ref()).collect();
        // Nothing else matters then.
        let why = vec![format!("it is for {}, not for {}", metals.join(", "), wish.metal.name)];
        return Err(Excluded { id: recipe.id, title: recipe.title, why });
    }
    if wish.look.is_some_and(|l| l != recipe.finish) {
        why.push(format!("it gives another look: {}", recipe.look));
    }
    if let (Some(_), Some(f)) = (wish.binder, &recipe.filled_plastic)
        && f.suitability == Suitability::No
    {
        why.push(format!("a filled plastic does not take it: {}", f.why));
    }
    if let Some(binder) = wish.binder
        && let Some(limit) = binder.bath_below_c
        && crate::amount::in_celsius(recipe.temperature.low) > limit
    {
        why.push(format!("it is hotter than {} stands ({limit:.0} °C)", binder.name));
    }
    if let Some(patience) = wish.patience
        && takes > patience
    {
        why.push(format!(
            "it takes {} from preparation to sealed, you have {}",
            super::days(takes),
            super::days(patience)
        ));
    }
    let ListedRecipe { review, missing, recipe } = listed(wish, recipe);
    if review.verdict == Verdict::Refuse {
        let reasons: Vec<&str> =
            review.hazards.iter().filter(|h| h.gravity == Gravity::Stop).map(|h| h.title.as_str()).collect();
        why.push(format!("the safety review refuses it here: {}", reasons.join("; ")));
    }
    if !why.is_empty() {
        return Err(Excluded { id: recipe.id, title: recipe.title, why });
    }
    Ok(place(wish, showing, recipe, review, takes, missing))
}

/// The review at the recipe's own strength with this metal, binder and room, and what the shelf lacks.
fn listed(wish: &Wish, recipe: Recipe) -> ListedRecipe {
    let filled = wish.binder.is_some();
    let unsuited =
        |grade| recipe.filled_plastic.as_ref().filter(|f| filled && f.suitability == grade).map(|f| f.why.clone());
    let conditions = Conditions {
        temperature: Some(super::middle(recipe.temperature)),
        room: wish.room,
        cover: Some(recipe.cover),
        method: recipe.method,
        parts: vec![PartFacts { name: wish.metal.name.to_string(), metal: Some(wish.metal), binder: wish.binder }],
        meant_for: recipe.metals.clone(),
        recipe_temperature: Some(recipe.temperature.high),
        no_filled_plastic: unsuited(Suitability::No),
        poor_filled_plastic: unsuited(Suitability::Poor),
        ..Conditions::default()
    };
    let ingredients = match doses(&recipe, &Bench::default(), BathSize::Finished(wish.volume)) {
        Ok(dosing) => poured(&dosing),
        Err(_) => recipe.ingredients.iter().map(|i| i.ingredient.clone()).collect(),
    };
    let review = safety::check(&ingredients, &conditions);
    let missing = wish.bench.as_ref().map(|b| super::listed::missing(&recipe, b)).unwrap_or_default();
    ListedRecipe { recipe, review, missing }
}

/// Points and the reasons for them. The weights are our choice; what they rank is said in the reasons.
fn place(
    wish: &Wish,
    showing: &Showing,
    recipe: Recipe,
    review: Review,
    takes: SignedDuration,
    missing: Vec<String>,
) -> Candidate {
    let mut reasons = Vec::new();
    let mut points = 0;
    let mut say = |p: i32, reason: String| {
        points += p;
        reasons.push(reason);
    };
    if wish.look.is_some() {
        say(40, format!("gives the look asked for: {}", recipe.look));
    } else {
        say(0, format!("look: {}", recipe.look));
    }
    if wish.binder.is_some() {
        match &recipe.filled_plastic {
            Some(f) => match f.suitability {
                Suitability::Good => say(30, format!("filled plastics take it well: {}", f.why)),
                Suitability::Limited => say(12, format!("filled plastics take it with limits: {}", f.why)),
                _ => say(-10, format!("filled plastics take it poorly: {}", f.why)),
            },
            None => say(0, "whether filled plastics take it is not known".into()),
        }
        let little = showing.area_percent.is_some_and(|s| s.best < 20.0);
        if little && recipe.finish == Finish::Rust && recipe.needs_air {
            say(4, "wet-and-dry rust builds up crystals beyond the few grains that show".into());
        }
    }
    match review.verdict {
        Verdict::Fine => say(16, "no hazard known to this program above a note".into()),
        Verdict::Unknown => say(4, "something in it could not be judged".into()),
        _ => {
            let worst = review.hazards.iter().filter(|h| h.gravity >= Gravity::Caution).map(|h| h.title.clone());
            let strong = review.hazards.iter().any(|h| h.gravity == Gravity::StrongCaution);
            let all: Vec<String> = worst.collect();
            say(
                if strong { -8 } else { 6 },
                format!("{}: {}", if strong { "strong cautions" } else { "cautions" }, all.join("; ")),
            );
        }
    }
    if wish.bench.is_some() {
        if missing.is_empty() {
            say(20, "everything is on the shelf".into());
        } else {
            let count = i32::try_from(missing.len()).unwrap_or(i32::MAX).min(10);
            say(-4 * count, format!("the shelf lacks {}", missing.join(", ")));
        }
    }
    match recipe.confidence {
        Confidence::High => say(9, "the recipe is well attested".into()),
        Confidence::Medium => say(5, "the recipe is in use, but not well attested".into()),
        Confidence::Low => say(0, "the recipe rests on little".into()),
    }
    if matches!(recipe.method, Method::Fume | Method::Spray) && !wish.room.outdoors {
        say(-6, "spraying and fuming belong out of doors".into());
    }
    say(0, format!("takes {} from preparation to sealed", super::days(takes)));
    let days = i32::try_from(takes.as_hours() / 24).unwrap_or(i32::MAX).min(30);
    points -= days;
    let shopping = shopping(wish, &recipe, &review, &missing);
    Candidate { recipe, review, takes, points, reasons, missing, shopping }
}

/// What to buy of what is missing; without a shelf, of everything but water.
fn shopping(wish: &Wish, recipe: &Recipe, review: &Review, missing: &[String]) -> Vec<Purchase> {
    let Ok(dosing) = doses(recipe, &Bench::default(), BathSize::Finished(wish.volume)) else { return Vec::new() };
    let passed = matches!(review.verdict, Verdict::Fine | Verdict::Warn);
    dosing
        .doses
        .iter()
        .filter(|d| d.ingredient.substance().is_none_or(|s| s.id != "water"))
        .filter(|d| wish.bench.is_none() || missing.contains(&d.ingredient.line.name))
        .map(|d| purchase(d, passed))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::kg_per_m3;

    // Fractions of the trade's common filaments by the rule of mixtures, PLA 1.24 g/cm³ (worked by hand).
    #[test]
    fn the_rule_of_mixtures_gives_what_shows() {
        for (filament, metal, percent) in
            [(1850.0, 7870.0, 9.2), (3130.0, 7870.0, 28.5), (3900.0, 8800.0, 35.2), (4000.0, 8960.0, 35.8)]
        {
            let share = metal_by_volume(kg_per_m3(filament), kg_per_m3(metal), kg_per_m3(1240.0)).unwrap() * 100.0;
            assert!((share - percent).abs() < 0.1, "{filament}: {share}");
        }
        assert!(metal_by_volume(kg_per_m3(1000.0), kg_per_m3(7870.0), kg_per_m3(1240.0)).is_none());
        assert!(metal_by_volume(kg_per_m3(1240.0), kg_per_m3(1240.0), kg_per_m3(1240.0)).is_none());
    }
}
