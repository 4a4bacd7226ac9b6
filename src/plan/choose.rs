//! Which recipe: from the metal that really shows, the look, the shelf, the room and the patience.

use super::days;
use super::shopping::Purchase;
use super::trial::{self, Lacking, Times, Trial, trial};
use crate::amount::{Estimate, MassDensity, Volume, in_kg_per_m3};
use crate::bath::BathSize;
use crate::diag::Problem;
use crate::order::Bench;
use crate::recipe::{Confidence, Finish, Method, Recipe, Suitability};
use crate::reference::{Material, Room};
use crate::safety::{self, Gravity, Outcome, Reviewed, Verdict};
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
    /// How long it may take, from washing the part to sealing it.
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
    /// The recipe, dosed and reviewed for this metal, binder, shelf and room.
    pub bath: Reviewed<Trial>,
    /// Points, for the order only.
    pub points: i32,
    /// Why it stands where it stands, weightiest first.
    pub reasons: Vec<String>,
    /// What the shelf lacks; without a shelf nothing.
    pub missing: Lacking,
}

impl Candidate {
    /// The recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.bath.value().recipe
    }

    /// What to buy. Nothing is suggested for a mixture that could not be judged.
    pub fn shopping(&self) -> &[Purchase] {
        match self.bath.review().verdict {
            Verdict::Fine | Verdict::Warn => &self.bath.value().shopping,
            Verdict::Unknown | Verdict::Refuse => &[],
        }
    }
}

/// What keeps a recipe out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hindrance {
    /// It is for other metals.
    Metal,
    /// It gives another look.
    Look,
    /// The plastic does not take it.
    Plastic,
    /// It takes too long.
    Patience,
    /// It cannot be made from the bottles there.
    Shelf,
    /// The review refuses it.
    Refused,
}

/// A recipe that is out, and why.
#[derive(Debug, Clone)]
pub struct Excluded {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Why, each with what it is about.
    pub why: Vec<(Hindrance, String)>,
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
    /// When none is left: what would let one in, in sentences.
    pub relax: Vec<String>,
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
    let mut metals: Vec<&str> = recipes.iter().flat_map(|r| &r.metals).map(|m| m.name.as_ref()).collect();
    metals.sort_unstable();
    metals.dedup();
    for recipe in recipes {
        match judge(&wish, &showing, recipe) {
            Ok(candidate) => ranked.push(candidate),
            Err(out) => excluded.push(out),
        }
    }
    ranked.sort_by(|a, b| b.points.cmp(&a.points).then_with(|| a.recipe().id.cmp(&b.recipe().id)));
    excluded.sort_by(|a, b| a.id.cmp(&b.id));
    let relax = if ranked.is_empty() { relax(&wish, &excluded, &metals) } else { Vec::new() };
    Choice { wish, showing, ranked, excluded, relax }
}

/// What would let a recipe in, when all are out.
fn relax(wish: &Wish, excluded: &[Excluded], metals: &[&str]) -> Vec<String> {
    if excluded.iter().all(|e| e.why.iter().any(|(h, _)| *h == Hindrance::Metal)) {
        return vec![format!("No recipe here is for {}. They are for {}.", wish.metal.name, metals.join(", "))];
    }
    let mut all = Vec::new();
    for (hindrance, what) in [
        (Hindrance::Look, "Another look would let in"),
        (Hindrance::Patience, "More time would let in"),
        (Hindrance::Shelf, "Fresh bottles would let in"),
        (Hindrance::Refused, "Another room or the open air might let in"),
    ] {
        let only = excluded.iter().filter(|e| !e.why.is_empty() && e.why.iter().all(|(h, _)| *h == hindrance));
        let ids: Vec<&str> = only.map(|e| e.id.as_str()).collect();
        if !ids.is_empty() {
            all.push(format!("{what} {}.", ids.join(", ")));
        }
    }
    if all.is_empty() {
        all.push("No single wish keeps them all out: give up more than one of look, time and shelf.".into());
    }
    all
}

fn judge(wish: &Wish, showing: &Showing, recipe: Recipe) -> Result<Candidate, Excluded> {
    let mut why: Vec<(Hindrance, String)> = Vec::new();
    let (id, title) = (recipe.id.clone(), recipe.title.clone());
    if !recipe.metals.iter().any(|m| m.id == wish.metal.id) {
        let metals: Vec<&str> = recipe.metals.iter().map(|m| m.name.as_ref()).collect();
        // Nothing else matters then.
        let why = vec![(Hindrance::Metal, format!("it is for {}, not for {}", metals.join(", "), wish.metal.name))];
        return Err(Excluded { id, title, why });
    }
    if wish.look.is_some_and(|l| l != recipe.finish) {
        why.push((Hindrance::Look, format!("it gives another look: {}", recipe.look)));
    }
    if let (Some(_), Some(f)) = (wish.binder, &recipe.filled_plastic)
        && f.suitability == Suitability::No
    {
        why.push((Hindrance::Plastic, format!("a filled plastic does not take it: {}", f.why)));
    }
    if let Some(binder) = wish.binder
        && let Some(limit) = binder.bath_below_c
        && crate::amount::in_celsius(recipe.temperature.low) > limit
    {
        why.push((Hindrance::Plastic, format!("it is hotter than {} stands ({limit:.0} °C)", binder.name)));
    }
    let mut bench = wish.bench.clone().unwrap_or_default();
    bench.room = wish.room;
    let order = trial::order(recipe, bench, Some(wish.metal), wish.binder);
    let (times, missing, outcome) = match trial(&order, BathSize::Finished(wish.volume), true) {
        Ok((trial, missing)) => (trial.times, missing, safety::review(trial)),
        Err(problems) => {
            let told =
                |p: &Problem| std::iter::once(&p.message).chain(&p.hints).cloned().collect::<Vec<_>>().join(": ");
            let told = problems.0.first().map_or_else(String::new, told);
            why.push((Hindrance::Shelf, format!("it cannot be made from the bottles there: {told}")));
            return Err(Excluded { id, title, why });
        }
    };
    if let Some(patience) = wish.patience
        && times.plan > patience
    {
        let told = format!("it takes {}, you have {}", in_parts(&times), wished(patience));
        why.push((Hindrance::Patience, told));
    }
    match outcome {
        Outcome::Passed(bath) if why.is_empty() => Ok(place(wish, showing, bath, missing)),
        Outcome::Passed(_) => Err(Excluded { id, title, why }),
        Outcome::Refused(review) => {
            let stops = review.hazards.iter().filter(|h| h.gravity == Gravity::Stop).map(|h| h.title.as_str());
            let stops: Vec<&str> = stops.collect();
            why.push((Hindrance::Refused, format!("the safety review refuses it here: {}", stops.join("; "))));
            Err(Excluded { id, title, why })
        }
    }
}

/// A time that was asked for.
fn wished(length: SignedDuration) -> String {
    days(length).trim_start_matches("about ").to_string()
}

/// Days, or whole hours from ten hours on.
fn about(length: SignedDuration) -> String {
    let hours = (length.as_mins() + 30) / 60;
    if (10..48).contains(&hours) && length.as_mins() % 60 != 0 { format!("about {hours} h") } else { days(length) }
}

/// "about 4 days from washing to sealed (bath and looks about 2 days, aftercare about 2 days)".
fn in_parts(times: &Times) -> String {
    format!(
        "{} from washing to sealed (bath and looks {}, aftercare {})",
        about(times.plan),
        about(times.soak),
        about(times.after)
    )
}

/// Points and the reasons for them. The weights are our choice; what they rank is said in the reasons.
fn place(wish: &Wish, showing: &Showing, bath: Reviewed<Trial>, missing: Lacking) -> Candidate {
    let (recipe, review, times) = (&bath.value().recipe, bath.review(), bath.value().times);
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
        let count = |names: &[String]| i32::try_from(names.len()).unwrap_or(i32::MAX).min(10);
        if missing.is_empty() {
            say(20, "everything is on the shelf".into());
        }
        if !missing.for_bath.is_empty() {
            say(-4 * count(&missing.for_bath), format!("the shelf lacks {}", missing.for_bath.join(", ")));
        }
        if !missing.too_little.is_empty() {
            let names = missing.too_little.join(", ");
            say(-2 * count(&missing.too_little), format!("the shelf has too little of {names}"));
        }
        if !missing.for_steps.is_empty() {
            let names = missing.for_steps.join(", ");
            say(-count(&missing.for_steps), format!("the shelf lacks {names}, for the steps before or after the bath"));
        }
    }
    if !missing.not_sold.is_empty() {
        say(NOT_SOLD, format!("shops do not sell what it takes: {}", missing.not_sold.join(", ")));
    }
    match recipe.confidence {
        Confidence::High => say(9, "the recipe is well attested".into()),
        Confidence::Medium => say(5, "the recipe is in use, but not well attested".into()),
        Confidence::Low => say(0, "the recipe rests on little".into()),
    }
    if matches!(recipe.method, Method::Fume | Method::Spray) && !wish.room.outdoors {
        say(-6, "spraying and fuming belong out of doors".into());
    }
    say(0, format!("takes {}", in_parts(&times)));
    let longer = wish.patience.filter(|p| times.whole > *p);
    say(
        if longer.is_some() { -5 } else { 0 },
        format!(
            "the whole job by hand, from a coupon first to the hardened seal: {}{}",
            about(times.whole),
            longer.map_or_else(String::new, |p| format!(", more than the {} you have", wished(p)))
        ),
    );
    points -= i32::try_from(times.plan.as_hours() / 24).unwrap_or(i32::MAX).min(30);
    let missing = if wish.bench.is_some() { missing } else { Lacking::default() };
    Candidate { bath, points, reasons, missing }
}

/// Weighs more than anything but the look: what cannot be bought cannot be made (our choice).
const NOT_SOLD: i32 = -30;

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
