//! From what an order file says to a checked order.

use super::bench::{one_count, read_bench};
use super::clock::{read_quiet, read_start};
use super::fields::ORDER;
use super::raw::{RawOrder, RawPart, TextOr};
use super::{Bench, Lay, Order, Space, Target};
use crate::amount::{
    Amount, Length, MeasureSystem, read_dimensions, read_duration_range, read_length_or_zero, read_percent,
    read_temperature, read_volume,
};
use crate::diag::{Checked, Problem, nearest};
use crate::part::{FileLoader, Meshes, Part, read_part_with};
use crate::recipe::{Library, Method, Recipe, from_lines, measure_system, read_recipe};
use crate::reference::yaml::{self, Faults, clip};
use crate::reference::{Past, read_past};
use crate::vessel::{Vessel, read_vessel_with};
use jiff::tz::TimeZone;
use std::borrow::Cow;

/// What reading an order needs from outside: nothing is looked up behind the caller's back.
pub struct Surroundings<'a> {
    /// Gives the recipe, bench and mesh files that the order names.
    pub load: &'a FileLoader<'a>,
    /// The zone for start times that name none.
    pub zone: TimeZone,
    /// The recipes that ids are looked up in.
    pub library: &'a Library,
}

/// Reads and checks an order file, and the recipe, bench and mesh files that it names.
///
/// # Errors
/// Everything that is wrong with the file and the files it names.
pub fn read_order(text: &str, file: &str, around: &Surroundings<'_>) -> Checked<Order> {
    let reading = yaml::read::<RawOrder>(text, file, &ORDER)?;
    let mut faults = Faults::new(&reading.document, reading.problems);
    let order = check(reading.raw, around, &mut faults);
    faults.finish(order)
}

/// Every field is checked even after one has failed, so that all faults come in one run; `None` when any has.
fn check(raw: RawOrder, around: &Surroundings<'_>, faults: &mut Faults<'_>) -> Option<Order> {
    let own = raw.measures.as_deref().and_then(measure_system);
    let meshes = Meshes::new(around.load);
    let bench = match &raw.bench {
        Some(name) => bench_file(name, around, faults),
        None => Some(Bench::default()),
    };
    let system = own.or(bench.as_ref().and_then(|b| b.measures)).unwrap_or(MeasureSystem::Us);
    let recipe = raw.recipe.as_ref().and_then(|r| recipe(r, system, around, faults));
    let parts = parts(&raw.parts, system, &meshes, faults);
    let vessel = raw.vessel.as_deref().map(|v| vessel(v, system, bench.as_ref(), faults));
    let (to, finished) = volumes(&raw, system, faults);
    let space = space(&raw, system, faults);
    let start = raw.start.as_deref().and_then(|s| faults.take("start", read_start(s, &around.zone)));
    let cover_depth = raw.cover_depth.as_deref().and_then(|c| faults.take("cover_depth", read_cover_depth(c)));
    let lay = raw.lay.as_deref().and_then(|l| faults.take("lay", Lay::read(l)));
    let margin = raw.margin.as_deref().and_then(|m| faults.take("margin", read_margin(m)));
    let temperature = raw.temperature.as_deref().and_then(|t| faults.take("temperature", read_temperature(t)));
    let after = after(&raw.after, system, faults);
    let quiet = raw.quiet.as_deref().and_then(|q| faults.take("quiet", read_quiet(q)));

    let mut order = Order::new(recipe?, bench?);
    order.target = match (to, finished) {
        (Some(to), _) => Some(Target::to(&order.recipe, to)),
        (None, finished) => finished.and_then(|f| f.volume()).map(|v| Target::Finished(v.low)),
    };
    if order.recipe.method == Method::Immersion {
        if raw.vessel.is_none() && order.target.is_none() {
            let p = Problem::error("an immersion needs `vessel`, or the volume to make as `to` or `finished`");
            faults.add("", p);
        }
        if raw.parts.is_empty() && order.target.is_none() {
            let p = Problem::error("without `parts` there is nothing to cover");
            faults.add("", p.hint("name one under `parts`; the command `scale` makes a bath without parts"));
        }
        order.target = order.target.or(Some(Target::CoverParts));
    }
    order.parts = parts;
    order.vessel = vessel.flatten();
    order.space = space;
    order.start = start;
    order.cover_depth = cover_depth.unwrap_or(order.cover_depth);
    order.lay = lay.unwrap_or_default();
    order.ballast_margin_percent = margin.unwrap_or(order.ballast_margin_percent);
    order.temperature = temperature;
    order.after = after;
    order.quiet = quiet;
    Some(order)
}

/// Liquid above the part; 0 is allowed, a bare number is millimetres.
///
/// # Errors
/// No length.
pub fn read_cover_depth(text: &str) -> Checked<Length> {
    read_length_or_zero(text, Some("mm"))
}

/// Ballast beyond the net buoyancy, per cent.
///
/// # Errors
/// No percentage, a range, or more than 1000 %.
pub fn read_margin(text: &str) -> Checked<f64> {
    let percent = read_percent(text)?;
    if percent.is_one() && percent.high.to_f64() <= 1000.0 {
        return Ok(percent.high.to_f64());
    }
    Err(Problem::error(format!("`{}` is not one percentage up to 1000", clip(text))).hint("write `20 %`").into())
}

/// Whether a YAML text is an order: an order says which recipe it is for, a recipe and a bench do not. One in which that
/// word is misspelt is known by the parts or the vessel of the job, which a recipe never names.
pub fn is_order(text: &str) -> bool {
    let fields = yaml::top_fields(text);
    let any = |names: &[&str]| fields.iter().any(|f| names.contains(&f.as_str()));
    any(&["recipe"]) || any(&["parts", "vessel", "bench", "cover_depth"]) && !any(&["ingredients", "stocks", "title"])
}

/// The text of a file that the order names; the fault is placed where the order names it.
fn load_text(name: &str, path: &str, around: &Surroundings<'_>, faults: &mut Faults<'_>) -> Option<Cow<'static, str>> {
    let bytes = faults.take(path, (around.load)(name))?;
    let text = match bytes {
        Cow::Borrowed(bytes) => core::str::from_utf8(bytes).ok().map(Cow::Borrowed),
        Cow::Owned(bytes) => String::from_utf8(bytes).ok().map(Cow::Owned),
    };
    match text {
        Some(text) => Some(text),
        None => {
            faults.add(path, Problem::error(format!("`{}` is no text file (not UTF-8)", clip(name))));
            None
        }
    }
}

fn bench_file(name: &str, around: &Surroundings<'_>, faults: &mut Faults<'_>) -> Option<Bench> {
    let text = load_text(name, "bench", around, faults)?;
    match read_bench(&text, name) {
        Ok(bench) => Some(bench),
        Err(problems) => {
            faults.add_elsewhere(problems);
            None
        }
    }
}

/// Whether a word names a file: it has a slash or an extension. Any other is a recipe id.
pub fn is_path(word: &str) -> bool {
    let extension = std::path::Path::new(word).extension().map(|e| e.to_string_lossy());
    word.contains(['/', '\\'])
        || (!word.contains(char::is_whitespace) && extension.is_some_and(|e| e.chars().all(char::is_alphanumeric)))
}

fn recipe(
    said: &TextOr<Vec<Option<String>>>,
    system: MeasureSystem,
    around: &Surroundings<'_>,
    faults: &mut Faults<'_>,
) -> Option<Recipe> {
    match said {
        TextOr::Other(lines) if lines.iter().any(Option::is_none) => None,
        TextOr::Other(lines) => {
            let lines: Vec<String> = lines.iter().flatten().cloned().collect();
            faults.take("recipe", from_lines(&lines, system))
        }
        TextOr::Text(name) if is_path(name) => {
            let text = load_text(name, "recipe", around, faults)?;
            match read_recipe(&text, name) {
                Ok(recipe) => Some(recipe),
                Err(problems) => {
                    faults.add_elsewhere(problems);
                    None
                }
            }
        }
        TextOr::Text(id) => faults.take("recipe", around.library.recipe(id.trim())),
    }
}

fn parts(
    raw: &[Option<TextOr<RawPart>>],
    system: MeasureSystem,
    meshes: &Meshes<'_>,
    faults: &mut Faults<'_>,
) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for (i, item) in raw.iter().enumerate() {
        match item {
            Some(TextOr::Text(text)) => {
                parts.extend(faults.take(format_args!("parts[{i}]"), read_part_with(text, system, meshes)));
            }
            Some(TextOr::Other(RawPart { name, is: Some(is), count, lift })) => {
                let part = faults.take(format_args!("parts[{i}].is"), read_part_with(is, system, meshes));
                let count = count.as_deref().map(|c| faults.take(format_args!("parts[{i}].count"), one_count(c)));
                let lift =
                    lift.as_deref().map(|l| faults.take(format_args!("parts[{i}].lift"), read_duration_range(l)));
                let Some(mut part) = part else { continue };
                part.name = name.clone().unwrap_or(part.name);
                part.count = count.flatten().unwrap_or(part.count);
                part.lift = lift.flatten().or(part.lift);
                parts.push(part);
            }
            _ => {}
        }
    }
    parts
}

fn vessel(text: &str, system: MeasureSystem, bench: Option<&Bench>, faults: &mut Faults<'_>) -> Option<Vessel> {
    let known = bench.map(|b| b.vessels.as_slice()).unwrap_or_default();
    if let Some(vessel) = known.iter().find(|v| v.name.eq_ignore_ascii_case(text.trim())) {
        return Some(vessel.clone());
    }
    let read = read_vessel_with(text, system).map_err(|mut problems| {
        let near = nearest(text, known.iter().map(|v| v.name.as_str()));
        if let (Some(first), Some(near)) = (problems.0.first_mut(), near) {
            first.hints.push(format!("did you mean `{near}` on the bench?"));
        }
        problems
    });
    faults.take("vessel", read)
}

/// The volumes to make that the order names: `to`, and `finished` instead of it.
fn volumes(raw: &RawOrder, system: MeasureSystem, faults: &mut Faults<'_>) -> (Option<Amount>, Option<Amount>) {
    if raw.to.is_some() && raw.finished.is_some() {
        faults.add("finished", Problem::error("`to` and `finished` are both given; say one of them"));
    }
    let mut volume = |field: &str, text: &Option<String>| {
        text.as_deref().and_then(|t| faults.take(field, crate::recipe::one_volume(t, system)))
    };
    (volume("to", &raw.to), volume("finished", &raw.finished))
}

/// The box that fumes, or the packing that buries.
fn space(raw: &RawOrder, system: MeasureSystem, faults: &mut Faults<'_>) -> Option<Space> {
    if raw.fume_box.is_some() && raw.packing.is_some() {
        faults.add("packing", Problem::error("`box` and `packing` are both given; say one of them"));
    }
    let inside = raw.fume_box.as_deref().and_then(|b| faults.take("box", read_box(b, system)));
    let packing = raw.packing.as_deref().and_then(|p| faults.take("packing", read_volume(p, system)));
    inside.or(packing.map(Space::from))
}

/// The inside of a box: length by width by height, or a volume.
///
/// # Errors
/// Neither three lengths nor a volume.
pub fn read_box(text: &str, system: MeasureSystem) -> Checked<Space> {
    if !text.contains(['x', '\u{d7}']) {
        return Ok(Space::from(read_volume(text, system)?));
    }
    let sizes = read_dimensions(text)?;
    match sizes.as_slice() {
        [a, b, c] if a.is_one() && b.is_one() && c.is_one() => {
            Ok(Space { volume: a.low * b.low * c.low, sides: Some([a.low, b.low, c.low]) })
        }
        _ => Err(Problem::error(format!("`{}` is no box", clip(text)))
            .hint("write length by width by height inside, such as `300x200x200 mm`, or its volume, `12 L`")
            .into()),
    }
}

/// What was there before. Unknown names stay in: safety answers them with "not judged".
fn after(raw: &[Option<String>], system: MeasureSystem, faults: &mut Faults<'_>) -> Vec<Past> {
    let mut found = Vec::new();
    for (i, text) in raw.iter().enumerate() {
        let Some(text) = text else { continue };
        found.extend(faults.take(format_args!("after[{i}]"), read_past(text, system)).unwrap_or_default());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(text: &str) -> Checked<Order> {
        let load = |name: &str| -> Checked<Cow<'static, [u8]>> {
            match name {
                "b.yaml" => {
                    Ok(b"measures: metric\nvessels: [{name: Big Jar, is: 'jar 120x200 mm, glass', cover: open}]\n"
                        .into())
                }
                "mine/r.yaml" => {
                    Ok(crate::recipe::find_embedded("tannate-black").unwrap_or_default().as_bytes().into())
                }
                _ => Err(Problem::error(format!("there is no file `{name}`")).into()),
            }
        };
        let library = Library::default();
        read_order(text, "o.yaml", &Surroundings { load: &load, zone: TimeZone::UTC, library: &library })
    }

    #[test]
    fn plain_numbers_and_lines_are_read_and_the_bench_names_the_vessel() {
        let order = order(
            "recipe: [1 cup water, 1 tsp salt]\nbench: b.yaml\nvessel: big jar\nparts:\n- box 40x40x40 mm, 85 g, iron\n\
             - {is: 'box 40x40x40 mm, 85 g, iron', count: 2, lift: 12-24 h}\nmargin: 30 %\nfinished: 0.5 L\n",
        )
        .unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(order.recipe.measures, MeasureSystem::Metric, "the bench's cups count for a list of lines");
        assert_eq!(order.parts.iter().map(|p| p.count).collect::<Vec<_>>(), [1, 2]);
        let lift = order.parts[1].lift.map(|l| (l.low.as_hours(), l.high.as_hours()));
        assert_eq!(lift, Some((12, 24)));
        assert_eq!(order.vessel.map(|v| v.name).as_deref(), Some("Big Jar"));
        assert_eq!(order.ballast_margin_percent, 30.0);
        assert!(matches!(order.target, Some(Target::Finished(_))));
    }

    #[test]
    fn a_word_with_a_slash_or_an_extension_is_a_file() {
        let order = order("recipe: mine/r.yaml\n").unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(
            (order.recipe.id.as_str(), order.target.is_none()),
            ("tannate-black", true),
            "a brush needs no vessel"
        );
        assert_eq!(order.bench.room, super::super::Room::default());
    }

    #[test]
    fn an_immersion_needs_something_to_fill() {
        let found = order("recipe: kitchen-rust\n").unwrap_err().to_string();
        assert!(found.contains("needs `vessel`") && found.contains("nothing to cover"), "{found}");
        let poured = order("recipe: kitchen-rust\nto: 1 L\n").unwrap_or_else(|e| panic!("{e}"));
        assert!(matches!(poured.target, Some(Target::Poured(_))));
        let finished = order("recipe: bluestone-verdigris\nto: 1 L\n").unwrap_or_else(|e| panic!("{e}"));
        assert!(matches!(finished.target, Some(Target::Finished(_))), "80 g/L is said of a finished litre");
    }
}
