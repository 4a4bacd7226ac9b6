//! What several commands need: files, widths, ingredient lists, conditions.

use super::Shown;
use super::args::{AroundArgs, Format, Measures, OutputArgs};
use crate::amount::{MeasureSystem, read_room_volume, read_temperature};
use crate::diag::{Checked, Place, Problem, Problems, nearest, one_of};
use crate::order::Room;
use crate::recipe::{self, Finish, Recipe};
use crate::reference::yaml::MAX_BYTES;
use crate::reference::{Ingredient, Material, MaterialKind, Past, materials, read_ingredient, read_past};
use crate::safety::{Conditions, PartFacts, Review, rule_ids};
use crate::sheet;
use crate::vessel::Cover;
use std::path::Path;

impl From<Measures> for MeasureSystem {
    fn from(m: Measures) -> Self {
        match m {
            Measures::Us => MeasureSystem::Us,
            Measures::Metric => MeasureSystem::Metric,
            Measures::Australian => MeasureSystem::Australian,
            Measures::Imperial => MeasureSystem::Imperial,
        }
    }
}

/// JSON as text, indented, in the order its renderer gave.
pub fn json(value: &serde_json::Value) -> String {
    // A value made of maps with text keys cannot fail to be written.
    serde_json::to_string_pretty(value).unwrap_or_default()
}

/// Columns to write for: as asked, else the terminal's, else 80.
pub fn width(asked: Option<usize>) -> usize {
    asked.unwrap_or_else(textwrap::termwidth).clamp(40, 400)
}

/// A refusal in the format asked for: reasons and no amounts, exit code 3.
pub fn refused(recipe: Option<&Recipe>, review: &Review, output: &OutputArgs) -> Shown {
    let title = recipe.map(|r| r.title.as_str());
    Shown::refused(match output.format {
        Format::Json => json(&sheet::json::refused(recipe.map(|r| r.id.as_str()), review)),
        Format::Html => sheet::html::refused(title, review),
        Format::Text => sheet::terminal::refused(title, review, width(output.width)),
    })
}

/// Reads a file's bytes, refusing one above `most` bytes before it is read.
pub fn read_bytes(path: &Path, most: u64) -> Checked<Vec<u8>> {
    let place = || Place { file: Some(path.display().to_string()), ..Place::default() };
    let fault = |message: String| Problem::error(message).at(place());
    let meta = std::fs::metadata(path).map_err(|e| {
        let p = fault(format!("the file cannot be read: {}", reason(&e)));
        if e.kind() == std::io::ErrorKind::NotFound { p.hint("check the name and the folder you are in") } else { p }
    })?;
    if meta.is_dir() {
        return Err(fault("this is a folder, not a file".into()).into());
    }
    if meta.len() > most {
        return Err(fault(format!("the file has {} bytes; at most {most} are read", meta.len())).into());
    }
    std::fs::read(path).map_err(|e| fault(format!("the file cannot be read: {}", reason(&e))).into())
}

fn reason(e: &std::io::Error) -> String {
    match e.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".into(),
        std::io::ErrorKind::PermissionDenied => "permission denied".into(),
        _ => e.to_string(),
    }
}

/// Reads a YAML file as text.
pub fn read_yaml_text(path: &Path) -> Checked<String> {
    let bytes = read_bytes(path, MAX_BYTES as u64)?;
    String::from_utf8(bytes).map_err(|e| {
        Problem::error(format!("the file is not UTF-8 text (byte {})", e.utf8_error().valid_up_to()))
            .at(Place { file: Some(path.display().to_string()), ..Place::default() })
            .into()
    })
}

/// Reads ingredient lines; every faulty line is reported.
pub fn ingredients(lines: &[String], system: MeasureSystem) -> Checked<Vec<Ingredient>> {
    ingredients_by(lines, system, read_ingredient)
}

/// The same read in a certain way.
pub fn ingredients_by(
    lines: &[String],
    system: MeasureSystem,
    read: fn(&str, MeasureSystem) -> Checked<Ingredient>,
) -> Checked<Vec<Ingredient>> {
    let mut all = Vec::new();
    let mut problems = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        match read(line, system) {
            Ok(ingredient) => all.push(ingredient),
            Err(p) => problems.extend(p.in_field(&format!("ingredient {}", i + 1)).0),
        }
    }
    if problems.is_empty() { Ok(all) } else { Err(Problems(problems)) }
}

/// What was in the vessel or on the part before, as said with `field`.
pub fn after(text: Option<&str>, field: &str, system: MeasureSystem) -> Checked<Vec<Past>> {
    read_past(text.unwrap_or_default(), system).map_err(|p| p.in_field(field))
}

/// A material by name, or an error with the nearest known one.
pub fn known_material(name: &str, field: &str) -> Checked<&'static Material> {
    recipe::known_material(name).map_err(|p| p.in_field(field))
}

/// A metal by name; other materials are no answer.
pub fn known_metal(name: &str, field: &str) -> Checked<&'static Material> {
    let found = known_material(name, field)?;
    if found.kind == MaterialKind::Metal {
        return Ok(found);
    }
    let metals: Vec<&str> =
        materials().iter().filter(|m| m.kind == MaterialKind::Metal).map(|m| m.name.as_ref()).collect();
    Err(Problem::error(format!("{} is no metal", found.name))
        .hint(format!("the metals are: {}", metals.join(", ")))
        .in_field(field)
        .into())
}

/// A safety rule by name.
pub fn known_rule(name: &str, field: &str) -> Checked<&'static str> {
    let known = rule_ids();
    if let Some(found) = known.iter().find(|id| **id == name.trim()) {
        return Ok(found);
    }
    let mut p = Problem::error(format!("`{name}` is no rule of this program")).in_field(field);
    if let Some(near) = nearest(name, known.iter().copied()) {
        p = p.hint(format!("did you mean `{near}`?"));
    }
    Err(p.hint(format!("the rules are: {}", known.join(", "))).into())
}

/// A cover by name.
pub fn cover(text: &str) -> Checked<Cover> {
    let word = text.trim().to_lowercase();
    let word = if word == "closed" { "sealed" } else { &word };
    recipe::cover(word).ok_or_else(|| {
        Problem::error(format!("`{word}` is no cover; allowed: {}", one_of(&["open", "loose", "sealed"])))
            .in_field("--cover")
            .into()
    })
}

/// A method by name.
fn method(text: &str) -> Checked<recipe::Method> {
    let word = text.trim().to_lowercase();
    recipe::method(&word).ok_or_else(|| {
        let known = ["immersion", "spray", "brush", "fume", "burial"];
        Problem::error(format!("`{word}` is no method; allowed: {}", one_of(&known))).in_field("--method").into()
    })
}

/// What a vessel is made of, if it says so, and whether it is one to spray from: "spray bottle", "HDPE spray bottle".
fn without_spray(vessel: &str) -> (Option<String>, bool) {
    let words: Vec<String> = vessel.to_lowercase().split_whitespace().map(str::to_string).collect();
    let sprays = words.iter().any(|w| matches!(w.as_str(), "spray" | "sprayer" | "atomiser" | "atomizer" | "mister"));
    if !sprays {
        return (Some(vessel.to_string()), false);
    }
    let thing =
        ["spray", "sprayer", "atomiser", "atomizer", "mister", "bottle", "trigger", "pump", "fine", "mist", "plastic"];
    let material: Vec<String> = words.into_iter().filter(|w| !thing.contains(&w.as_str())).collect();
    ((!material.is_empty()).then(|| material.join(" ")), true)
}

/// A colour family by name.
pub fn finish(text: &str, field: &str) -> Checked<Finish> {
    recipe::finish(&text.trim().to_lowercase()).ok_or_else(|| {
        let known = ["rust", "green", "blue", "brown", "black", "other"];
        Problem::error(format!("`{text}` is no finish; allowed: {}", one_of(&known))).in_field(field).into()
    })
}

/// A number above or equal to zero.
pub fn number(text: &str, field: &str, most: f64) -> Checked<f64> {
    match text.trim().parse::<f64>() {
        Ok(n) if n.is_finite() && (0.0..=most).contains(&n) => Ok(n),
        _ => Err(Problem::error(format!("`{text}` is not a number from 0 to {most}")).in_field(field).into()),
    }
}

/// The room as named on the command line, over the given one.
pub fn room(base: Room, volume: Option<&str>, changes: Option<&str>, outdoors: bool) -> Checked<Room> {
    let mut room = base;
    if let Some(v) = volume {
        room.volume = read_room_volume(v).map_err(|p| p.in_field("--room-m3"))?;
        room.assumed = false;
    }
    if let Some(n) = changes {
        room.air_changes_per_h = number(n, "--air-changes", 1000.0)?;
        room.assumed = false;
    }
    if outdoors {
        room.outdoors = true;
        room.assumed = false;
    }
    Ok(room)
}

/// Gathers values and every fault beside them.
pub fn gather<T>(value: Checked<T>, problems: &mut Vec<Problem>) -> Option<T> {
    match value {
        Ok(v) => Some(v),
        Err(p) => {
            problems.extend(p.0);
            None
        }
    }
}

/// Conditions as named on the command line.
pub fn conditions(a: &AroundArgs, system: MeasureSystem) -> Checked<Conditions> {
    let mut problems = Vec::new();
    let mut c = Conditions::default();
    if let Some(t) = &a.temperature {
        c.temperature = gather(read_temperature(t).map_err(|p| p.in_field("--temperature")), &mut problems);
    }
    if let Some(v) = &a.vessel {
        let (material, sprays) = without_spray(v);
        c.vessel = material.and_then(|m| gather(known_material(&m, "--vessel"), &mut problems));
        if sprays {
            c.method = recipe::Method::Spray;
        }
    }
    if let Some(m) = &a.method {
        // A spray bottle stays one, whatever else is said.
        let said = gather(method(m), &mut problems);
        c.method = said.filter(|_| c.method != recipe::Method::Spray).unwrap_or(c.method);
    }
    if let Some(k) = &a.kept {
        c.kept = gather(crate::amount::read_duration(k).map_err(|p| p.in_field("--kept")), &mut problems);
    }
    if let Some(v) = &a.cover {
        c.cover = gather(cover(v), &mut problems);
    }
    let binder = a.binder.as_deref().and_then(|b| gather(known_material(b, "--binder"), &mut problems));
    for p in &a.parts {
        if let Some(metal) = gather(known_material(p, "--part"), &mut problems) {
            c.parts.push(PartFacts { name: metal.name.to_string(), metal: Some(metal), binder });
        }
    }
    if a.parts.is_empty() && binder.is_some() {
        c.parts.push(PartFacts { name: "part".into(), metal: None, binder });
    }
    for b in &a.ballast {
        if let Some(m) = gather(known_material(b, "--ballast"), &mut problems) {
            c.ballast.push(m);
        }
    }
    if let Some(r) = gather(room(c.room, a.room_m3.as_deref(), a.air_changes.as_deref(), a.outdoors), &mut problems) {
        c.room = r;
    }
    if let Some(before) = gather(after(a.after.as_deref(), "--after", system), &mut problems) {
        c.after = before;
    }
    if problems.is_empty() { Ok(c) } else { Err(Problems(problems)) }
}
