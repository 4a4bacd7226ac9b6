//! A part as a person writes it on the command line or in an order.

use super::pieces::{ALLOWED, Piece, begins_a_shape, read_piece};
use super::{MakeUp, Part, Shape, Side, filled_density, mesh, printed_mass, solid_mass};
use crate::amount::{
    Estimate, Length, Mass, MassDensity, MassFraction, MeasureSystem, Span, figure, grams, in_cubic_millimetres,
    in_grams, in_kg_per_m3, kg_per_m3, split_pieces,
};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::Material;
use jiff::SignedDuration;
use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Gives the bytes of a file the person named, or of one in the program. Only `command` does input and output.
pub type FileLoader<'a> = dyn Fn(&str) -> Checked<Cow<'static, [u8]>> + 'a;

/// The mesh files that the parts of one job name, each read once.
pub struct Meshes<'a> {
    load: &'a FileLoader<'a>,
    read: RefCell<BTreeMap<FileInUnit, Checked<Measured>>>,
}

/// A file, and the unit said for it.
type FileInUnit = (String, Option<mesh::LengthUnit>);
/// A mesh as measured, and its warnings.
type Measured = (Arc<mesh::Solid>, Vec<Problem>);

impl<'a> Meshes<'a> {
    /// None read yet.
    pub fn new(load: &'a FileLoader<'a>) -> Self {
        Meshes { load, read: RefCell::default() }
    }

    fn get(&self, file: &str, unit: Option<mesh::LengthUnit>) -> Checked<Measured> {
        let measure = || {
            let bytes = (self.load)(file)?;
            mesh::read(&bytes, file, unit).map(|(solid, warnings)| (Arc::new(solid), warnings))
        };
        self.read.borrow_mut().entry((file.to_string(), unit)).or_insert_with(measure).clone()
    }
}

/// Reads `"box 40x40x80 mm, 85 g, iron, PLA"` or `"pull.stl, 31 g, bronze, PLA, 2 of them"`: shape or file, mass or print
/// make-up, metal, binder, count, lift and name in any order.
///
/// # Errors
/// Names every piece that was not understood and what is allowed; no shape, two of one thing, a mass beyond solid metal.
pub fn read_part(text: &str, system: MeasureSystem, load: &FileLoader<'_>) -> Checked<Part> {
    read_part_with(text, system, &Meshes::new(load))
}

/// As [`read_part`], with the meshes that were read before.
///
/// # Errors
/// As [`read_part`].
pub fn read_part_with(text: &str, system: MeasureSystem, meshes: &Meshes<'_>) -> Checked<Part> {
    let mut said = Said::default();
    for piece in split_pieces(text)? {
        match read_piece(piece, system) {
            Ok(found) => found.into_iter().for_each(|p| said.take(p, piece)),
            Err(p) => {
                said.shape_failed |= begins_a_shape(piece);
                said.problems.extend(p.0);
            }
        }
    }
    let shape = said.shape(meshes);
    let (density, make_up) = (said.density(), said.make_up());
    let Some(shape) = shape.filter(|_| said.problems.is_empty()) else {
        return Err(Problems(said.problems));
    };
    let mut notes = std::mem::take(&mut said.notes);
    let (mass, mass_known) = said.mass_of(&shape, density, make_up.as_ref(), &mut notes)?;
    let name = said.name.take().unwrap_or_else(|| said.kind.clone());
    Ok(Part {
        name,
        count: said.count.unwrap_or(1),
        shape,
        mass,
        weighed: said.mass.is_some(),
        mass_known,
        metal: said.metal,
        binder: said.binder,
        solid_density: density,
        make_up,
        up: said.up,
        lift: said.lift,
        notes,
    })
}

/// Everything that was said, each thing once.
#[derive(Default)]
struct Said {
    file: Option<String>,
    shape: Option<Shape>,
    /// Whether a shape was said that could not be read: it is told already.
    shape_failed: bool,
    /// The word for the shape, or the stem of the file: the name when none is given.
    kind: String,
    displaces: Option<crate::amount::Volume>,
    high: Option<Length>,
    mass: Option<Span<Mass>>,
    infill: Option<f64>,
    walls: Option<Length>,
    top: Option<Length>,
    bottom: Option<Length>,
    filament_density: Option<Estimate<MassDensity>>,
    metal_by_mass: Option<MassFraction>,
    metal: Option<&'static Material>,
    binder: Option<&'static Material>,
    filament: bool,
    solid: bool,
    count: Option<u32>,
    up: Option<Side>,
    lift: Option<Span<SignedDuration>>,
    name: Option<String>,
    unit: Option<String>,
    notes: Vec<String>,
    problems: Vec<Problem>,
}

impl Said {
    fn take(&mut self, piece: Piece, text: &str) {
        let mut first_word = || {
            let word = text.split_whitespace().next().unwrap_or("part").to_lowercase();
            self.kind = if word.starts_with("displac") { "part".to_string() } else { word };
        };
        let taken = match piece {
            Piece::File(f) => {
                let leaf = f.rsplit(['/', '\\']).next().unwrap_or(&f);
                self.kind = leaf.rsplit_once('.').map_or(leaf, |(stem, _)| stem).to_string();
                set(&mut self.file, f)
            }
            Piece::Shape(s) => {
                first_word();
                set(&mut self.shape, s)
            }
            Piece::Displaces(v) => {
                first_word();
                set(&mut self.displaces, v)
            }
            Piece::High(h) => set(&mut self.high, h),
            Piece::Mass(m) => set(&mut self.mass, m),
            Piece::Infill(p) => set(&mut self.infill, p),
            Piece::Walls(l) => set(&mut self.walls, l),
            Piece::Top(l) => set(&mut self.top, l),
            Piece::Bottom(l) => set(&mut self.bottom, l),
            Piece::TopAndBottom(l) => set(&mut self.top, l) && set(&mut self.bottom, l),
            Piece::Density(d) => set(&mut self.filament_density, d),
            Piece::MetalByMass(w) => set(&mut self.metal_by_mass, w),
            Piece::Metal(m) => set_same(&mut self.metal, m),
            Piece::Binder(m) => set_same(&mut self.binder, m),
            Piece::Filament => {
                self.filament = true;
                true
            }
            Piece::Solid => {
                self.solid = true;
                true
            }
            Piece::Count(n) => set(&mut self.count, n),
            Piece::Up(s) => set(&mut self.up, s),
            Piece::Lift(l) => set(&mut self.lift, l),
            Piece::Name(n) => set(&mut self.name, n),
            Piece::Unit(u) => set(&mut self.unit, u),
        };
        if !taken {
            let say = format!("`{text}` says again what another piece of the part has said");
            self.problems.push(Problem::error(say).hint("keep one of them"));
        }
    }

    fn error(&mut self, message: impl Into<String>, hint: &str) {
        self.problems.push(Problem::error(message).hint(hint));
    }

    /// The one shape, read from its file if it is a mesh.
    fn shape(&mut self, meshes: &Meshes<'_>) -> Option<Shape> {
        let said = [self.file.is_some(), self.shape.is_some(), self.displaces.is_some()];
        match said.iter().filter(|s| **s).count() {
            0 if self.shape_failed => return None,
            0 => {
                self.error("the part has no shape", &format!("allowed is {ALLOWED}"));
                return None;
            }
            1 => {}
            _ => {
                self.error(
                    "the part has more than one shape",
                    "keep the mesh file, the shape, or the displaced volume",
                );
                return None;
            }
        }
        if self.high.is_some() && self.displaces.is_none() {
            self.error("a height was said beside a shape that has its own", "drop it, or use `displaces 120 mL`");
        }
        if self.unit.is_some() && self.file.is_none() {
            self.error("a unit was said, but there is no mesh file", "units are written with each figure");
        }
        if let Some(volume) = self.displaces {
            return Some(Shape::Displaced { volume, height: self.high });
        }
        if let Some(shape) = self.shape.take() {
            return Some(shape);
        }
        let file = self.file.clone()?;
        let unit = match self.unit.as_deref().map(|u| (u, mesh::LengthUnit::named(u))) {
            Some((u, None)) => {
                self.error(
                    format!("found the unit `{u}`"),
                    "allowed is `unit mm`, `unit cm`, `unit m`, `unit in`, `unit ft` or `unit um`",
                );
                return None;
            }
            Some((_, known)) => known,
            None => None,
        };
        match meshes.get(&file, unit) {
            Ok((solid, warnings)) => {
                self.notes.extend(warnings.into_iter().map(|w| match w.hints.as_slice() {
                    [] => format!("`{file}`: {}.", w.message),
                    hints => format!("`{file}`: {}; {}.", w.message, hints.join(", ")),
                }));
                Some(Shape::Mesh(solid))
            }
            Err(p) => {
                self.problems.extend(p.0);
                None
            }
        }
    }

    /// Density of the solid material, when it is known.
    fn density(&mut self) -> Option<Estimate<MassDensity>> {
        let of = |m: &Material| {
            let [best, low, high] = m.density_kg_m3.map(kg_per_m3);
            Estimate { best, low, high }
        };
        if self.filament && self.binder.is_none() {
            self.error("a filament was named without its plastic", "add the binder, such as `PLA` or `PETG`");
        }
        if self.metal_by_mass.is_some() && (self.metal.is_none() || self.binder.is_none()) {
            self.error("a share of metal was said without metal and binder", "add both, such as `iron, PLA`");
        }
        match (self.filament_density, self.metal_by_mass, self.metal, self.binder) {
            (Some(said), ..) => Some(said),
            (None, Some(w), Some(metal), Some(binder)) => {
                let (m, b) = (of(metal), of(binder));
                Some(Estimate {
                    best: filled_density(w, m.best, b.best),
                    low: filled_density(w, m.low, b.low),
                    high: filled_density(w, m.high, b.high),
                })
            }
            (None, None, Some(metal), None) => Some(of(metal)),
            (None, None, None, Some(binder)) => Some(of(binder)),
            // How much metal a filament holds runs from 20 to 85 % by mass and is often not said: not known.
            _ => None,
        }
    }

    fn make_up(&mut self) -> Option<MakeUp> {
        if self.solid {
            let walls = crate::amount::millimetres(0.0);
            return Some(MakeUp { walls, top: None, bottom: None, infill_percent: 100.0 });
        }
        let begun = self.infill.is_some() || self.walls.is_some() || self.top.is_some() || self.bottom.is_some();
        match (self.infill, self.walls) {
            (Some(infill_percent), Some(walls)) => {
                Some(MakeUp { walls, top: self.top, bottom: self.bottom, infill_percent })
            }
            (Some(infill_percent), None) if infill_percent == 100.0 => {
                let walls = crate::amount::millimetres(0.0);
                Some(MakeUp { walls, top: None, bottom: None, infill_percent })
            }
            _ if begun && self.mass.is_some() => {
                self.notes.push("The print make-up is not complete; the weighed mass is used.".to_string());
                None
            }
            _ if begun => {
                self.error(
                    "the print make-up is not complete",
                    "say infill and walls, such as `15 % infill, 1.2 mm walls`",
                );
                None
            }
            _ => None,
        }
    }

    /// Mass of one, and whether anything is known about it.
    fn mass_of(
        &self,
        shape: &Shape,
        density: Option<Estimate<MassDensity>>,
        make_up: Option<&MakeUp>,
        notes: &mut Vec<String>,
    ) -> Checked<(Estimate<Mass>, bool)> {
        let litres = in_cubic_millimetres(shape.envelope()) * 1e-6;
        // What has no binder comes from no printer: no air between its lines, none laid too thick.
        let cast = self.solid && self.binder.is_none();
        let made_up = make_up
            .zip(density)
            .map(|(print, d)| if cast { solid_mass(shape, d) } else { printed_mass(shape, print, d) });
        // Denser than any material that was named, or, with none named, than gold.
        let densest = [self.metal, self.binder].into_iter().flatten().map(|m| m.density_kg_m3[2]).fold(0.0, f64::max);
        let densest =
            density.map_or(if densest > 0.0 { densest } else { 19_320.0 }, |d| in_kg_per_m3(d.high).max(densest));
        if let Some(m) = self.mass {
            let weighed = Estimate { best: (m.low + m.high) / 2.0, low: m.low, high: m.high };
            // kg/m³ are g/L.
            let most = litres * densest;
            // 3 % and half a gram for scales and sizes that are rounded.
            if in_grams(m.low) > most * 1.03 + 0.5 {
                return Err(Problem::error(format!(
                    "found a mass of {} g, but {} mL of solid material weigh at most {} g",
                    figure(in_grams(m.low)),
                    figure(litres * 1000.0),
                    figure(most)
                ))
                .hint(match shape {
                    Shape::Mesh(_) => {
                        "check the mass, and the unit of the mesh: it was read in millimetres unless it says another; \
                         `unit in`, `unit cm` or `unit m` beside the file says which"
                    }
                    _ => "check the mass and the size",
                })
                .into());
            }
            if let Some(made_up) = made_up {
                let (w, e) = (in_grams(weighed.best), in_grams(made_up.best));
                notes.push(format!(
                    "Weighed {} g; the print make-up says {} g ({} g to {} g), {:+.0} %. The weighed mass is used.",
                    figure(w),
                    figure(e),
                    figure(in_grams(made_up.low)),
                    figure(in_grams(made_up.high)),
                    (e / w - 1.0) * 100.0
                ));
            }
            return Ok((weighed, true));
        }
        if let Some(made_up) = made_up {
            if matches!(shape, Shape::Displaced { .. }) && !self.solid && self.infill != Some(100.0) {
                return Err(Problem::error("the walls of a displaced volume are not known, so neither is its mass")
                    .hint("weigh the part and say its mass, such as `85 g`")
                    .into());
            }
            notes.push(format!(
                "The mass of {} g ({} g to {} g) is an estimate from {}; weigh the part.",
                figure(in_grams(made_up.best)),
                figure(in_grams(made_up.low)),
                figure(in_grams(made_up.high)),
                if self.binder.is_some() { "the print make-up" } else { "size and material" }
            ));
            return Ok((made_up, true));
        }
        if make_up.is_some() {
            return Err(Problem::error("the print make-up gives no mass without the density of the filament")
                .hint("say it, such as `filament 1.85 g/cm3` or `40 % metal`, or weigh the part and say its mass")
                .into());
        }
        let most = grams(litres * densest);
        Ok((Estimate { best: most / 2.0, low: grams(0.0), high: most }, false))
    }
}

/// Sets what is not set yet; false when it was.
fn set<T>(slot: &mut Option<T>, value: T) -> bool {
    let free = slot.is_none();
    if free {
        *slot = Some(value);
    }
    free
}

/// As [`set`], and the same material twice is no contradiction ("iron, 40 % iron").
fn set_same(slot: &mut Option<&'static Material>, value: &'static Material) -> bool {
    match slot {
        Some(old) => old.id == value.id,
        None => set(slot, value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::in_millimetres;

    fn part(text: &str) -> Checked<Part> {
        read_part(text, MeasureSystem::Us, &|name| Err(Problem::error(format!("no file {name}")).into()))
    }

    fn told(text: &str) -> String {
        part(text).err().map(|p| p.to_string()).unwrap_or_else(|| panic!("{text} was read"))
    }

    #[test]
    fn the_demo_part_in_any_order() {
        for text in [
            "box 40x40x80 mm, 85 g, iron, PLA",
            "PLA, iron, mass 85 g, Box 4x4x8 cm",
            "box 40 x 40 x 80 mm, weighs 85 g each, iron-filled PLA",
            "box 40×40×80 mm; 85 g; iron filament; pla",
        ] {
            let p = part(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!(p.metal.map(|m| m.id.as_ref()), Some("iron"), "{text}");
            assert_eq!(p.binder.map(|m| m.id.as_ref()), Some("pla"), "{text}");
            assert!((in_grams(p.mass.best) - 85.0).abs() < 1e-9 && p.weighed && p.mass_known);
            assert!((in_cubic_millimetres(p.shape.envelope()) - 128_000.0).abs() < 1e-6);
            assert_eq!((p.count, p.name.as_str(), p.solid_density.is_none()), (1, "box", true));
        }
    }

    #[test]
    fn count_lift_name_and_side() {
        let p = part("cylinder 20x60 mm, 3 oz, brass, x2, lift 12-24 h, name Front Pull, lying")
            .unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((p.count, p.name.as_str(), p.up), (2, "Front Pull", Some(Side::PlusX)));
        assert_eq!(p.lift.map(|l| (l.low.as_hours(), l.high.as_hours())), Some((12, 24)));
        assert!((in_grams(p.mass.best) - 85.048_569_375).abs() < 1e-6);
        assert!(part("sphere 1 1/4 in, 2 of them, 60 g, copper").is_ok_and(|p| p.count == 2));
    }

    #[test]
    fn print_make_up_gives_a_mass_and_a_weighed_mass_wins() {
        let text = "box 40x40x40 mm, 15 % infill, 1.2 mm walls, filament 1.85 g/cm3, iron, PLA";
        let p = part(text).unwrap_or_else(|e| panic!("{e}"));
        assert!((in_grams(p.mass.best) - 34.81).abs() < 0.01 && !p.weighed && p.mass_known);
        let p = part(&format!("{text}, 33 g")).unwrap_or_else(|e| panic!("{e}"));
        assert!(in_grams(p.mass.best) == 33.0 && p.weighed);
        assert!(p.notes.iter().any(|n| n.contains("34.8")), "{:?}", p.notes);
    }

    #[test]
    fn a_share_of_metal_gives_the_density_by_the_inverse_rule() {
        let p = part("sphere 30 mm, 20 g, copper, PLA, 80 % copper").unwrap_or_else(|e| panic!("{e}"));
        // 3991 kg/m3 by the rule of mixtures with PLA 1240 and copper 8960.
        assert!(p.solid_density.is_some_and(|d| (in_kg_per_m3(d.best) - 3991.0).abs() < 1.0));
    }

    #[test]
    fn displaced_volume_with_height() {
        let p = part("displaces 120 mL, 60 mm high, 85 g, iron").unwrap_or_else(|e| panic!("{e}"));
        let Shape::Displaced { volume, height } = p.shape else { panic!("{:?}", p.shape) };
        assert!((in_cubic_millimetres(volume) - 120_000.0).abs() < 1e-6);
        assert_eq!(height.map(in_millimetres), Some(60.0));
    }

    #[test]
    fn every_fault_is_named_at_once() {
        let all = told("box 40x40 mm, 85, irn, PLA, glass, 130 % infill, 0 of them");
        for word in ["40x40", "85", "irn", "iron", "soda-lime glass", "130 %", "from 1 to 1000"] {
            assert!(all.contains(word), "{word} in\n{all}");
        }
    }

    #[test]
    fn contradictions_and_gaps_are_errors() {
        for (text, word) in [
            ("85 g, iron", "no shape"),
            ("box 4x4x4 mm, sphere 3 mm, iron", "says again"),
            ("box 40x40x80, 85 g", "unit"),
            ("box 40x40x80 mm, 85 kg, iron, PLA", "at most"),
            ("box 40x40x80 mm, 85 g, iron filament", "without its plastic"),
            ("box 40x40x80 mm, 15 % infill, iron, PLA", "not complete"),
            ("box 40x40x80 mm, 15 % infill, 1 mm walls, iron, PLA", "density"),
            ("box 40x40x12,5 mm", "12.5"),
            ("pull.stl, 30 g", "no file pull.stl"),
            ("sphere 3 mm, displaces 4 mL", "more than one shape"),
            ("", "no shape"),
        ] {
            let all = told(text);
            assert!(all.contains(word), "{word} in\n{all}");
        }
    }

    #[test]
    fn without_a_mass_it_is_unknown_not_guessed() {
        let p = part("box 40x40x80 mm, iron, PLA").unwrap_or_else(|e| panic!("{e}"));
        assert!(!p.mass_known && !p.weighed && in_grams(p.mass.low) == 0.0);
        assert!((in_grams(p.mass.high) - 1007.872).abs() < 1e-6);
        let p = part("box 10x10x10 mm, solid copper").unwrap_or_else(|e| panic!("{e}"));
        assert!(p.mass_known && (in_grams(p.mass.best) - 8.96).abs() < 1e-9);
    }
}
