//! What the methods beyond immersion need: coats, boxes, packing.

use crate::amount::{
    Span, Volume, figure, in_cubic_metres, in_millilitres, in_millimetres, in_square_millimetres, millilitres, moles,
};
use crate::bath::{BathSize, Mixture};
use crate::diag::{Checked, Problem};
use crate::order::Order;
use crate::part::{Part, Side};
use crate::recipe::{Method, Recipe};
use crate::reference::{Cover, substance};
use crate::safety::exposure::{ppm_in, vapour_over};
use jiff::SignedDuration;

/// Quantities and steps of a method, as the sheet shows them.
#[derive(Debug, Clone, Default)]
pub struct MethodPlan {
    /// Heading ("Coats", "The box", "The packing"); empty for immersion.
    pub title: String,
    /// Names and values.
    pub facts: Vec<(String, String)>,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Liquid for one coat, mL.
    pub coat_ml: Option<Span<f64>>,
    /// Coats.
    pub coats: Option<Span<u32>>,
    /// Box or packing, litres.
    pub space_l: Option<f64>,
    /// Vapour in the closed box: substance, ppm at most.
    pub in_box_ppm: Option<(String, f64)>,
    /// The same let out into the room at once, ppm at most; `None` out of doors.
    pub on_opening_ppm: Option<f64>,
}

/// Packing on every side of a buried part (common practice, no source).
const ROUND_THE_PART_MM: f64 = 30.0;
/// As much again as a coat needs stays in brush, bottle and cup (our choice).
const LOST_IN_TOOLS: f64 = 2.0;
/// The least that is worth mixing, mL (our choice).
const LEAST_ML: f64 = 20.0;
/// A dish that is not worth making smaller, mL (our choice).
const SMALL_DISH_ML: f64 = 50.0;

/// Area of all parts, m².
fn area_m2(parts: &[Part]) -> Option<f64> {
    let each = parts.iter().map(|p| Some(in_square_millimetres(p.shape.area()?) * f64::from(p.count)));
    (!parts.is_empty()).then(|| each.sum::<Option<f64>>()).flatten().map(|mm2| mm2 / 1e6)
}

/// Loose packing that surrounds every part by three centimetres, litres.
fn packing_l(parts: &[Part]) -> Option<f64> {
    let each = parts.iter().map(|p| {
        let size = p.shape.size(Side::PlusZ)?.map(in_millimetres);
        let outer: f64 = size.iter().map(|s| s + 2.0 * ROUND_THE_PART_MM).product();
        Some((outer / 1e6 - in_millilitres(p.shape.envelope()) / 1000.0) * f64::from(p.count))
    });
    (!parts.is_empty()).then(|| each.sum::<Option<f64>>()).flatten()
}

/// Box or packing of the job: as said, or for burial what surrounds the parts.
fn space_l(order: &Order) -> Option<f64> {
    let said = order.space.map(|s| in_millilitres(s.volume) / 1000.0);
    said.or_else(|| (order.recipe.method == Method::Burial).then(|| packing_l(&order.parts)).flatten())
}

/// Litres of packing that the parts are buried in; `None` for another method.
pub(super) fn packing(order: &Order) -> Option<f64> {
    space_l(order).filter(|_| order.recipe.method == Method::Burial)
}

/// How much liquid a method other than immersion wants.
///
/// # Errors
/// Nothing to go by: neither area, box nor packing; a box too small for its parts.
pub(super) fn size(order: &Order, notes: &mut Vec<String>) -> Checked<BathSize> {
    let recipe = &order.recipe;
    match (recipe.method, recipe.coats, recipe.per_volume) {
        (Method::Fume | Method::Burial, _, Some(per_litre)) => {
            let Some(litres) = space_l(order) else { return Err(ask_for_space(recipe).into()) };
            let parts: f64 = order.parts.iter().map(|p| in_millilitres(p.shape.envelope()) * f64::from(p.count)).sum();
            if parts / 1000.0 > litres / 2.0 {
                return Err(Problem::error(format!(
                    "the parts take {} L, more than half of the {} L there is room for",
                    figure(parts / 1000.0),
                    figure(litres)
                ))
                .hint("take a larger box or more packing, or fewer parts at a time")
                .into());
            }
            fits_the_box(order)?;
            let round = packing_l(&order.parts).filter(|_| recipe.method == Method::Burial);
            if let Some(round) = round.filter(|round| order.space.is_some() && litres < *round) {
                notes.push(format!(
                    "{} L of packing are less than the {} L that surround the parts by {ROUND_THE_PART_MM:.0} mm on all \
                     sides: where it is thin, the colour is too",
                    figure(litres),
                    figure(round)
                ));
            }
            if order.space.is_none() {
                notes.push(format!(
                    "No packing was named: {} L surrounds the parts by {ROUND_THE_PART_MM:.0} mm on all sides",
                    figure(litres)
                ));
            }
            let ml = match recipe.method {
                // Vapour fills a large box from a small dish; a small box keeps the recipe's own depth of liquid.
                Method::Fume => (litres * per_litre.low).max((litres * per_litre.high).min(SMALL_DISH_ML)),
                _ => litres * per_litre.high,
            };
            Ok(BathSize::Finished(millilitres(ml)))
        }
        (Method::Fume | Method::Burial, _, None) => {
            Err(Problem::error("this recipe does not say how much liquid a litre of box or packing takes")
                .hint("say how much liquid is wanted, such as `--to \"200 mL\"`")
                .into())
        }
        (_, Some((coats, per_m2)), _) if area_m2(&order.parts).is_some() => {
            let m2 = area_m2(&order.parts).unwrap_or(0.0);
            let ml = m2 * per_m2.high * f64::from(coats.high) * LOST_IN_TOOLS;
            notes.push(
                "The liquid is for the most coats, and as much again for what stays in brush, bottle and cup".into(),
            );
            Ok(BathSize::Finished(millilitres(ml.max(LEAST_ML))))
        }
        _ => Err(Problem::error("how much liquid is wanted is not known")
            .hint("say it, such as `--to \"200 mL\"`, or give a part with a shape so that its area is known")
            .into()),
    }
}

/// What hangs in a box touches no wall (our choice).
const CLEAR_OF_THE_WALL_MM: f64 = 10.0;

/// A part goes into the box in some orientation along its sides, clear of the walls.
fn fits_the_box(order: &Order) -> Checked<()> {
    let Some(sides) = order.space.and_then(|s| s.sides).filter(|_| order.recipe.method == Method::Fume) else {
        return Ok(());
    };
    let sorted = |sides: [crate::amount::Length; 3]| {
        let mut mm = sides.map(in_millimetres);
        mm.sort_by(f64::total_cmp);
        mm
    };
    let inside = sorted(sides).map(|mm| mm - 2.0 * CLEAR_OF_THE_WALL_MM);
    let too_large = |part: &&Part| {
        part.shape
            .size(Side::PlusZ)
            .is_some_and(|size| sorted(size).iter().zip(inside).any(|(part, side)| *part > side))
    };
    match order.parts.iter().find(too_large) {
        None => Ok(()),
        Some(part) => Err(Problem::error(format!(
            "{} does not hang in a box of {} mm without touching a wall: its longest side needs {CLEAR_OF_THE_WALL_MM:.0} mm \
             at both ends, and so do the others",
            part.name,
            sides.map(|side| figure(in_millimetres(side))).join(" x ")
        ))
        .hint("take a larger box")
        .into()),
    }
}

fn ask_for_space(recipe: &Recipe) -> Problem {
    match recipe.method {
        Method::Fume => Problem::error("fuming scales with the closed box, which was not named")
            .hint("say `--box \"300x200x200 mm\"` or `--box \"12 L\"`, or the liquid wanted as `--to \"200 mL\"`"),
        _ => Problem::error("burial scales with the packing, and neither packing nor a part with a shape was named")
            .hint("say `--packing \"2 L\"`, or the liquid wanted as `--to \"700 mL\"`"),
    }
}

/// Quantities and steps for this order, once the bath is known.
pub(super) fn method(order: &Order, cover: Cover, mixture: &Mixture) -> MethodPlan {
    match order.recipe.method {
        Method::Immersion => MethodPlan::default(),
        Method::Spray | Method::Brush => coats(order),
        Method::Fume => fume(order, cover, mixture),
        Method::Burial => burial(order, cover, mixture),
    }
}

fn coats(order: &Order) -> MethodPlan {
    let recipe = &order.recipe;
    let Some((count, per_m2)) = recipe.coats else { return MethodPlan::default() };
    let mut plan = MethodPlan { title: "Coats".into(), coats: Some(count), ..MethodPlan::default() };
    let number =
        if count.low == count.high { count.low.to_string() } else { format!("{} to {}", count.low, count.high) };
    plan.facts.push(("Coats".into(), number));
    if let Some(m2) = area_m2(&order.parts) {
        let coat = per_m2.map(|ml| ml * m2);
        plan.coat_ml = Some(coat);
        plan.facts.push(("Area to coat".into(), format!("{:.0} cm\u{b2}", m2 * 1e4)));
        plan.facts.push((
            "Liquid a coat".into(),
            format!(
                "{} to {} mL ({:.0} to {:.0} mL/m\u{b2})",
                figure(coat.low),
                figure(coat.high),
                per_m2.low,
                per_m2.high
            ),
        ));
    }
    let (dries, spray) = (recipe.needs_air, recipe.method == Method::Spray);
    if let Some(gap) = longest_gap(recipe).filter(|_| dries) {
        plan.facts.push((
            "Drying between coats".into(),
            format!("until dry; the checklist leaves up to {}", crate::timetable::in_words(gap)),
        ));
    }
    let on = match (spray, dries) {
        (true, _) => {
            "Mist on a thin, even film from about 25 cm, until it just beads and nothing runs; outdoors, upwind."
        }
        (false, true) => {
            "Brush on a thin film with a nylon brush, no metal ferrule in the liquid; draw out runs at once."
        }
        (false, false) => {
            "Brush it on fast and evenly with a nylon brush, no metal ferrule in the liquid; keep it wet all over."
        }
    };
    let colour: [&str; 2] = if dries {
        [
            "Let it dry in moving air: most of the colour comes while it dries, not while it is wet.",
            "Look before each coat: a coat on a wet one washes the first away; stop when the coupon's look is reached.",
        ]
    } else {
        [
            "The colour comes while it is wet: look all the time, and rinse at the shade before the one you want.",
            "A further coat goes on rinsed metal, not on a dried coat; stop when the coupon's look is reached.",
        ]
    };
    let afterwards = if spray {
        "Between coats leave the bottle open or unscrewed; empty and rinse it after the last."
    } else {
        "Pour out what a session needs; what the brush has touched never goes back."
    };
    plan.steps = std::iter::once(on).chain(colour).chain([afterwards]).map(String::from).collect();
    plan
}

/// The longest wait before a coat: from the first coat on, without the last wait, which is for the look at the end.
fn longest_gap(recipe: &Recipe) -> Option<SignedDuration> {
    let ends = recipe.soak.len().checked_sub(1)?;
    let times: Vec<SignedDuration> =
        std::iter::once(SignedDuration::ZERO).chain(recipe.soak.iter().take(ends).map(|e| e.after)).collect();
    times.windows(2).filter_map(|w| w[1].checked_sub(w[0])).max()
}

fn fume(order: &Order, cover: Cover, mixture: &Mixture) -> MethodPlan {
    let liquid = in_millilitres(mixture.volume.best);
    let mut plan = MethodPlan { title: "The box".into(), ..MethodPlan::default() };
    plan.facts.push(("Liquid in the dish".into(), format!("{} mL", figure(liquid))));
    if let Some(litres) = space_l(order) {
        plan.space_l = Some(litres);
        plan.facts.insert(0, ("Box".into(), format!("{} L inside", figure(litres))));
        if let Some(per) = order.recipe.per_volume {
            plan.facts.push((
                "The recipe takes".into(),
                format!(
                    "{}, for {} a litre of box",
                    ends(per.low * litres, per.high * litres),
                    ends(per.low, per.high)
                ),
            ));
        }
        if let Some((name, ppm)) = in_the_box(order, mixture, litres) {
            plan.facts.push((format!("{name} in the closed box, at most"), format!("{} ppm", upward(ppm))));
            let room = &order.bench.room;
            plan.on_opening_ppm =
                (!room.outdoors).then(|| ppm * litres / 1000.0 / in_cubic_metres(room.volume).max(0.1));
            let opening = match plan.on_opening_ppm {
                Some(after) => format!("up to {} ppm in the whole room at once", upward(after)),
                None => "out of doors: stand upwind and step back; not worked out".into(),
            };
            plan.facts.push(("When it is opened".into(), opening));
            plan.in_box_ppm = Some((name, ppm));
        }
    }
    plan.steps = vec![
        "Set the dish on the floor of the box; hang or prop the part above it on glass or plastic, touching neither liquid nor wall.".into(),
        match cover {
            Cover::Sealed => "Close the lid and weigh it down, no clamps and no screw lid: warmth must be able to lift it. Look through the wall, not under the lid.".into(),
            Cover::Loose => "Lay the lid on loosely: vapour stays, gas gets out. Look through the wall.".into(),
            Cover::Open => "No lid.".into(),
        },
        "Open outdoors with your back to the wind, goggles on, and let it air a quarter of an hour before you reach in.".into(),
        "Turn the part at each look: drops that condense on it leave spots.".into(),
    ];
    plan
}

/// "30 to 60 mL", "200 mL".
fn ends(low: f64, high: f64) -> String {
    if figure(low) == figure(high) {
        format!("{} mL", figure(low))
    } else {
        format!("{} to {} mL", figure(low), figure(high))
    }
}

/// Two figures, upward: an upper bound is not known better.
fn upward(ppm: f64) -> String {
    if !(ppm.is_finite() && ppm > 0.0) {
        return "0".into();
    }
    let step = 10f64.powi(libm::log10(ppm).floor() as i32 - 1);
    figure((ppm / step).ceil() * step)
}

/// Saturated vapour over the dish, or all of the substance in the box, whichever is less.
fn in_the_box(order: &Order, mixture: &Mixture, litres: f64) -> Option<(String, f64)> {
    let temperature = mixture.temperature;
    order
        .recipe
        .ingredients
        .iter()
        .filter_map(|i| i.ingredient.substance())
        .filter_map(|s| {
            let id = if s.id == "ammonia_aq" { "ammonia" } else { s.id.as_ref() };
            let solute = mixture.solutes.iter().find(|x| x.substance == id || x.substance == s.id)?;
            let vapour = vapour_over(substance(&s.id)?, solute.fraction.high.in_percent(), temperature)?;
            let held = crate::amount::in_mol_per_l(solute.molar?.high) * in_millilitres(mixture.volume.high) / 1000.0;
            let all = ppm_in(moles(held), millilitres(litres * 1000.0), temperature);
            Some((solute.name.clone(), vapour.surface_ppm.min(all).min(1e6)))
        })
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
}

fn burial(order: &Order, cover: Cover, mixture: &Mixture) -> MethodPlan {
    let mut plan = MethodPlan { title: "The packing".into(), ..MethodPlan::default() };
    plan.facts.push(("Liquid to damp it".into(), format!("{} mL", figure(in_millilitres(mixture.volume.best)))));
    if let Some(litres) = space_l(order) {
        plan.space_l = Some(litres);
        plan.facts.insert(0, ("Packing, loose".into(), format!("{} L", figure(litres))));
        if let Some(per) = order.recipe.per_volume {
            plan.facts.push((
                "The recipe takes".into(),
                format!(
                    "{}, for {} a litre of packing",
                    ends(per.low * litres, per.high * litres),
                    ends(per.low, per.high)
                ),
            ));
        }
    }
    plan.steps = vec![
        "Damp the packing a little at a time, turning it: squeezed in the hand it holds together and does not drip."
            .into(),
        format!(
            "Lay {ROUND_THE_PART_MM:.0} mm of it under the part, as much round and over it, and press lightly: where chips touch, colour comes."
        ),
        match cover {
            Cover::Sealed => "Close bag or tub; keep it damp, not wet; shift the chips at each look.".into(),
            Cover::Loose => "Cover it loosely; keep it damp, not wet; shift the chips at each look.".into(),
            Cover::Open => "Keep it damp, not wet; shift the chips at each look.".into(),
        },
        "Never with a nitrate, chlorate or permanganate: wood that has soaked them up burns fiercely.".into(),
    ];
    plan
}

/// The box as what closes round the liquid, for the review.
pub(super) fn capacity(order: &Order) -> Option<Volume> {
    (order.recipe.method == Method::Fume).then_some(order.space?.volume)
}
