//! The pieces a part is written with, each recognised on its own; what they say together is `read`'s job.

use super::{Shape, Side};
use crate::amount::{
    Estimate, Length, Mass, MassDensity, MassFraction, MeasureSystem, Span, Volume, kg_per_m3, read_amount,
    read_dimensions, read_duration_range, read_length, read_percent,
};
use crate::diag::{Checked, Problem, nearest};
use crate::reference::{Material, MaterialKind, material, materials};
use jiff::SignedDuration;

/// One piece understood.
#[derive(Debug, Clone)]
pub(super) enum Piece {
    File(String),
    Shape(Shape),
    Displaces(Volume),
    High(Length),
    Mass(Span<Mass>),
    Infill(f64),
    Walls(Length),
    Top(Length),
    Bottom(Length),
    TopAndBottom(Length),
    Density(Estimate<MassDensity>),
    MetalByMass(MassFraction),
    Metal(&'static Material),
    Binder(&'static Material),
    Filament,
    Solid,
    Count(u32),
    Up(Side),
    Lift(Span<SignedDuration>),
    Name(String),
    Unit(String),
}

/// What may stand in a part, for messages.
pub(super) const ALLOWED: &str = "a shape (`box 40x40x80 mm`, `cylinder 20x60 mm`, `sphere 30 mm`, `displaces 120 mL`, \
     `60 mm high`) or a mesh file (with `unit in` where it is not in mm), a mass (`85 g`), print make-up (`15 % infill`, \
     `1.2 mm walls`, `1 mm top`, `filament 1.85 g/cm3`, `40 % metal`, `solid`), a metal, a binder, `2 of them`, `lying`, \
     `lift 24 h`, `name front pull`";

/// Understands one piece; most say one thing, "iron-filled PLA" says two.
pub(super) fn read_piece(text: &str, system: MeasureSystem) -> Checked<Vec<Piece>> {
    let folded = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let lower = folded.to_lowercase();
    let after = |words: &[&str]| {
        words.iter().find_map(|w| {
            let rest = lower.strip_prefix(w)?;
            let rest = rest.strip_prefix([' ', ':', '='])?;
            // Lower-casing can change byte lengths; take the same number of characters off the original.
            let skip = lower.chars().count() - rest.chars().count();
            Some(folded.chars().skip(skip).collect::<String>().trim().to_string())
        })
    };
    if let Some(name) = after(&["name", "called"]) {
        return Ok(vec![Piece::Name(name)]);
    }
    if let Some(file) = mesh_file(&folded) {
        return Ok(vec![Piece::File(file)]);
    }
    if let Some(unit) = after(&["unit", "units"]) {
        return Ok(vec![Piece::Unit(unit.to_lowercase())]);
    }
    if let Some(when) = after(&["lift out after", "lift after", "lift at", "lift out", "lifted after", "lift"]) {
        return lift(&when).map(|s| vec![Piece::Lift(s)]);
    }
    if let Some(count) = count(&lower) {
        return count.map(|n| vec![Piece::Count(n)]);
    }
    if let Some(side) = side(&lower) {
        return Ok(vec![Piece::Up(side)]);
    }
    if let Some(found) = print_piece(&lower) {
        return found.map(|p| vec![p]);
    }
    if let Some(found) = shape_piece(&folded, &lower, system) {
        return found.map(|p| vec![p]);
    }
    if let Some(found) = material_pieces(&lower) {
        return found;
    }
    mass(&lower, system).map(|m| vec![m])
}

/// A name with an extension: letters and digits after the last full stop, with a letter among them, and no spaces there.
fn mesh_file(text: &str) -> Option<String> {
    let (stem, extension) = text.rsplit_once('.')?;
    let known = ["stl", "3mf", "obj", "ply"].contains(&extension.to_lowercase().as_str());
    // `1.2mm` and `1.85 g/cm3` are no files: the stem of a number with a unit is a number.
    let looks = extension.chars().all(|c| c.is_ascii_alphanumeric())
        && extension.starts_with(|c: char| c.is_ascii_alphabetic())
        && (2..=5).contains(&extension.len());
    ((known || (looks && stem.contains(char::is_alphabetic))) && !stem.is_empty()).then(|| text.to_string())
}

fn lift(text: &str) -> Checked<Span<SignedDuration>> {
    let span = read_duration_range(text)?;
    if span.low <= SignedDuration::ZERO {
        return Err(Problem::error(format!("found lift `{text}`, but a lift is some time after immersion")).into());
    }
    Ok(span)
}

fn count(lower: &str) -> Option<Checked<u32>> {
    let number = ["of them", "pieces", "pcs", "off", "alike"]
        .iter()
        .find_map(|w| lower.strip_suffix(w))
        .or_else(|| lower.strip_prefix("count "))
        .or_else(|| lower.strip_prefix(['x', '×']))
        .or_else(|| lower.strip_suffix(['x', '×']))?
        .trim();
    if number.is_empty() || !number.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        return None;
    }
    Some(match number.parse::<u32>() {
        Ok(n) if (1..=1000).contains(&n) => Ok(n),
        _ => Err(Problem::error(format!("found count `{number}`, allowed is a whole number from 1 to 1000")).into()),
    })
}

fn side(lower: &str) -> Option<Side> {
    Some(match lower {
        "standing" | "upright" | "as it stands" | "z up" | "+z up" => Side::PlusZ,
        "lying" | "on its side" | "x up" | "+x up" => Side::PlusX,
        "y up" | "+y up" => Side::PlusY,
        "-x up" => Side::MinusX,
        "-y up" => Side::MinusY,
        "-z up" | "upside down" => Side::MinusZ,
        _ => return None,
    })
}

/// What is left of `lower` without the whole words named, if all of them are there.
fn without(lower: &str, words: &[&str]) -> Option<String> {
    let mut left: Vec<&str> = lower.split(' ').collect();
    for w in words {
        let at = left.iter().position(|l| l == w)?;
        left.remove(at);
    }
    Some(left.join(" "))
}

fn print_piece(lower: &str) -> Option<Checked<Piece>> {
    if lower == "solid" {
        return Some(Ok(Piece::Solid));
    }
    if let Some(left) = without(lower, &["infill"]) {
        return Some(percent(&left).map(Piece::Infill));
    }
    let thickness = |left: String, make: fn(Length) -> Piece| {
        let left = left.trim_end_matches(" thick").trim_start_matches("of ").to_string();
        read_length(&left, None).map(make)
    };
    for (words, make) in [
        (&["top", "and", "bottom"][..], Piece::TopAndBottom as fn(Length) -> Piece),
        (&["walls"], Piece::Walls),
        (&["wall"], Piece::Walls),
        (&["top"], Piece::Top),
        (&["bottom"], Piece::Bottom),
    ] {
        if let Some(left) = without(lower, words) {
            return Some(thickness(left, make));
        }
    }
    let bare = without(lower, &["filament"]).unwrap_or_else(|| lower.to_string());
    let bare = without(&bare, &["density"]).unwrap_or(bare);
    if density_unit(&bare).is_some() {
        return Some(density(&bare).map(Piece::Density));
    }
    if lower.starts_with("filament ") && bare.starts_with(|c: char| c.is_ascii_digit()) {
        return Some(Err(Problem::error(format!("found filament density `{bare}` without a unit"))
            .hint("write it as `filament 1.85 g/cm3`")
            .into()));
    }
    None
}

fn percent(text: &str) -> Checked<f64> {
    let span = read_percent(text)?;
    let p = span.low.to_f64();
    if span.is_one() && (0.0..=100.0).contains(&p) {
        Ok(p)
    } else {
        Err(Problem::error(format!("found `{}`, allowed is one figure from 0 to 100 %", text.trim())).into())
    }
}

fn density_unit(text: &str) -> Option<(&str, f64)> {
    [
        ("g/cm3", 1000.0),
        ("g/cm³", 1000.0),
        ("g/cm^3", 1000.0),
        ("g/ml", 1000.0),
        ("g/cc", 1000.0),
        ("kg/l", 1000.0),
        ("kg/m3", 1.0),
        ("kg/m³", 1.0),
        ("kg/m^3", 1.0),
    ]
    .into_iter()
    // `kg/...` ends like `g/...` too; a digit or a space has to stand before the unit.
    .find_map(|(unit, factor)| {
        let number = text.strip_suffix(unit)?;
        (!number.ends_with(|c: char| c.is_alphabetic())).then_some((number.trim(), factor))
    })
}

fn density(text: &str) -> Checked<Estimate<MassDensity>> {
    let Some((number, factor)) = density_unit(text) else {
        return Err(Problem::error(format!("found density `{text}`, allowed is such as `1.85 g/cm3`")).into());
    };
    let read = |t: &str| t.trim().parse::<f64>().ok().map(|v| v * factor).filter(|v| (100.0..=23_000.0).contains(v));
    let ends = match number.split_once(['-', '–']) {
        Some((low, high)) => (read(low), read(high)),
        None => (read(number), read(number)),
    };
    match ends {
        (Some(low), Some(high)) if low <= high => {
            Ok(Estimate { best: kg_per_m3((low + high) / 2.0), low: kg_per_m3(low), high: kg_per_m3(high) })
        }
        _ => Err(Problem::error(format!("found density `{text}`, allowed is 0.1 to 23 g/cm3, lower end first")).into()),
    }
}

fn shape_piece(folded: &str, lower: &str, system: MeasureSystem) -> Option<Checked<Piece>> {
    let first = lower.split([' ', ':']).next().unwrap_or("");
    let rest = || folded.chars().skip(first.chars().count() + 1).collect::<String>();
    let dimensions = |wanted: usize, how: &str| -> Checked<Vec<Length>> {
        let found = read_dimensions(&rest())?;
        if found.len() != wanted || !found.iter().all(Span::is_one) {
            return Err(Problem::error(format!("found the sizes `{}`, allowed is {how}", rest().trim())).into());
        }
        Ok(found.into_iter().map(|l| l.low).collect())
    };
    let shape = match first {
        "box" | "block" | "plate" => dimensions(3, "`box LxWxH`, such as `box 40x40x80 mm`").map(|d| Shape::Box {
            length: d[0],
            width: d[1],
            height: d[2],
        }),
        "cube" => dimensions(1, "`cube 40 mm`").map(|d| Shape::Box { length: d[0], width: d[0], height: d[0] }),
        "cylinder" | "rod" | "disc" | "disk" => {
            dimensions(2, "`cylinder DIAMETERxHEIGHT`, such as `cylinder 20x60 mm`")
                .map(|d| Shape::Cylinder { diameter: d[0], height: d[1] })
        }
        "sphere" | "ball" => {
            dimensions(1, "`sphere DIAMETER`, such as `sphere 30 mm`").map(|d| Shape::Sphere { diameter: d[0] })
        }
        "displaces" | "displacing" => return Some(displaced(&rest(), system)),
        _ => {
            let tall = ["high", "tall", "height"].iter().find_map(|w| without(lower, &[w]))?;
            return Some(read_length(&tall, None).map(Piece::High));
        }
    };
    Some(shape.map(Piece::Shape))
}

/// Words that a shape begins with.
const SHAPES: [&str; 12] =
    ["box", "block", "plate", "cube", "cylinder", "rod", "disc", "disk", "sphere", "ball", "displaces", "displacing"];

/// Whether a piece that was not understood was meant for a shape.
pub(super) fn begins_a_shape(piece: &str) -> bool {
    piece.split([' ', ':']).next().is_some_and(|first| SHAPES.iter().any(|s| s.eq_ignore_ascii_case(first.trim())))
}

fn displaced(text: &str, system: MeasureSystem) -> Checked<Piece> {
    match read_amount(text, system)?.volume() {
        Some(v) => Ok(Piece::Displaces((v.low + v.high) / 2.0)),
        None => Err(Problem::error(format!("found `displaces {text}`, allowed is a volume, such as 120 mL")).into()),
    }
}

fn mass(lower: &str, system: MeasureSystem) -> Checked<Piece> {
    let words = ["mass", "weighs", "weight", "weighed", "about", "each"];
    let mut bare = lower.to_string();
    for w in words {
        bare = without(&bare, &[w]).unwrap_or(bare);
    }
    let unknown = || {
        let mut problem = Problem::error(format!("`{lower}` was not understood; allowed is {ALLOWED}"));
        let names = materials().iter().flat_map(|m| std::iter::once(&m.name).chain(&m.aliases).map(|n| n.as_ref()));
        if let Some(near) = nearest(lower, names) {
            problem = problem.hint(format!("did you mean `{near}`?"));
        }
        problem
    };
    if !bare.starts_with(|c: char| c.is_numeric() || c == '-' || c == '.') {
        return Err(unknown().into());
    }
    if !bare.contains(char::is_alphabetic) {
        let say = format!("found `{lower}` without a unit; a part's mass is such as `85 g` or `3 oz`");
        return Err(Problem::error(say).hint(format!("allowed is {ALLOWED}")).into());
    }
    // A part's ounce is one of weight: its volume is never asked for in ounces.
    let amount = read_amount(&bare.replace("ounces", "oz").replace("ounce", "oz").replace(" oz", " oz wt"), system)?;
    let Some(mass) = amount.mass() else {
        let say = format!("found `{lower}`, which is no mass; a part's mass is such as `85 g` or `3 oz`");
        return Err(Problem::error(say).hint(format!("allowed is {ALLOWED}")).into());
    };
    Ok(Piece::Mass(mass))
}

fn of_material(found: &'static Material) -> Checked<Piece> {
    match found.kind {
        MaterialKind::Metal => Ok(Piece::Metal(found)),
        MaterialKind::Polymer => Ok(Piece::Binder(found)),
        _ => Err(Problem::error(format!(
            "found the material `{}`, but a part is of metal, of metal-filled plastic, or of plastic",
            found.name
        ))
        .into()),
    }
}

/// "iron", "PLA", "solid brass", "iron-filled PLA", "bronze filament", "40 % iron", "iron PLA".
fn material_pieces(lower: &str) -> Option<Checked<Vec<Piece>>> {
    if let Some((figure, what)) = lower.split_once('%') {
        let what = what.trim().trim_end_matches(" by mass").trim_end_matches(" by weight").trim();
        let more = match what {
            "metal" | "filler" | "filled" => Vec::new(),
            name => vec![Piece::Metal(material(name).filter(|m| m.kind == MaterialKind::Metal)?)],
        };
        return Some(percent(&format!("{figure}%")).and_then(|p| {
            let fraction = MassFraction::percent(p).filter(|f| f.ratio() > 0.0);
            let fraction = fraction.ok_or_else(|| Problem::error(format!("found `{lower}`, allowed is above 0 %")))?;
            Ok(std::iter::once(Piece::MetalByMass(fraction)).chain(more).collect())
        }));
    }
    if let Some(bare) = lower.strip_prefix("solid ") {
        let found = material(bare)?;
        return Some(of_material(found).map(|p| vec![p, Piece::Solid]));
    }
    if let Some(bare) = without(lower, &["filament"]) {
        let pieces = material_pieces(&bare)?;
        return Some(pieces.map(|mut p| {
            p.push(Piece::Filament);
            p
        }));
    }
    for filled in ["-filled ", " filled ", " in "] {
        if let Some((metal, binder)) = lower.split_once(filled) {
            let (metal, binder) = (material(metal)?, material(binder)?);
            return Some(of_material(metal).and_then(|m| Ok(vec![m, of_material(binder)?])));
        }
    }
    if let Some(bare) = lower.strip_suffix("-filled").or_else(|| lower.strip_suffix(" filled")) {
        let found = material(bare)?;
        return Some(of_material(found).map(|p| vec![p, Piece::Filament]));
    }
    if let Some(found) = material(lower) {
        return Some(of_material(found).map(|p| vec![p]));
    }
    // Two names side by side.
    let words: Vec<&str> = lower.split(' ').collect();
    (1..words.len()).find_map(|i| {
        let (a, b) = (material(&words[..i].join(" "))?, material(&words[i..].join(" "))?);
        Some(of_material(a).and_then(|a| Ok(vec![a, of_material(b)?])))
    })
}
