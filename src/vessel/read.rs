//! A vessel as a person writes it.

use super::{Cover, Vessel, VesselShape};
use crate::amount::{
    Length, MeasureSystem, Span, Volume, in_cubic_millimetres, in_millimetres, read_dimensions, read_length,
    read_length_or_zero, read_volume, read_volume_or_zero, split_pieces,
};
use crate::diag::{Checked, Problem, Problems, nearest};
use crate::reference::{Material, material, materials};

/// What may stand in a vessel, for messages.
const ALLOWED: &str = "`cup BOTTOM-TOPxHEIGHT` (`cup 60-82x140 mm`), `jar DIAMETERxHEIGHT` (`jar 80x120 mm`), `tray LxWxH` \
     (`tray 300x200x60 mm`), levels found by pouring (`level 10 mm = 60 mL, level 30 mm = 200 mL`), or a capacity with a \
     height (`1 L jar, 150 mm high`), all inside measure; then a material (`glass`), `open`, `loose` or `sealed`, `name \
     tall jar`";

/// Words for a vessel. The sizes tell whether it is round or rectangular.
const KINDS: [&str; 10] = ["cup", "jar", "tray", "beaker", "bucket", "pail", "tub", "bowl", "basin", "vessel"];

/// Reads `"cup 60-82x140 mm, glass"`, `"jar 80x120 mm, glass, loose"`, `"tray 300x200x60 mm, PP"`,
/// `"level 10 mm = 60 mL, level 30 mm = 200 mL, glass"` or `"1 L jar, 150 mm high, glass"`. A capacity in kitchen measures is read as US customary.
///
/// # Errors
/// Names every piece that was not understood and what is allowed.
pub fn read_vessel(text: &str) -> Checked<Vessel> {
    read_vessel_with(text, MeasureSystem::Us)
}

/// As [`read_vessel`], with the kitchen measures of `system` for a capacity.
///
/// # Errors
/// As [`read_vessel`].
pub fn read_vessel_with(text: &str, system: MeasureSystem) -> Checked<Vessel> {
    let mut said = Said::default();
    for piece in split_pieces(text)? {
        if let Err(p) = said.take(piece, system) {
            said.problems.extend(p.0);
        }
    }
    let shape = said.shape();
    match shape {
        Some(shape) if said.problems.is_empty() => Ok(Vessel {
            name: said.name.or(said.called).unwrap_or_else(|| "vessel".to_string()),
            shape,
            material: said.material,
            cover: said.cover,
        }),
        _ => Err(Problems(said.problems)),
    }
}

#[derive(Default)]
struct Said {
    sizes: Option<Vec<Span<Length>>>,
    kind: String,
    /// "tall jar": the words before the sizes.
    called: Option<String>,
    capacity: Option<Volume>,
    /// Levels found by pouring, each with its volume.
    levels: Vec<(Length, Volume)>,
    high: Option<Length>,
    material: Option<&'static Material>,
    cover: Option<Cover>,
    name: Option<String>,
    problems: Vec<Problem>,
}

impl Said {
    fn take(&mut self, text: &str, system: MeasureSystem) -> Checked<()> {
        let folded = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let lower = folded.to_lowercase();
        let free = if let Some(name) = folded.get(5..).filter(|_| lower.starts_with("name ")) {
            set(&mut self.name, name.trim().to_string())
        } else if let Some(cover) = cover(&lower) {
            set(&mut self.cover, cover)
        } else if let Some(level) = lower.strip_prefix("level ") {
            return self.level(level, system);
        } else if let Some(high) = high(&lower) {
            set(&mut self.high, high?)
        } else if let Some(found) = material(lower.strip_prefix("of ").unwrap_or(&lower)) {
            set(&mut self.material, found)
        } else {
            return self.kind_and_size(&folded, system);
        };
        if free { Ok(()) } else { Err(again(text)) }
    }

    /// "10 mm = 60 mL"; levels and volumes rise from piece to piece.
    fn level(&mut self, text: &str, system: MeasureSystem) -> Checked<()> {
        let Some((level, volume)) = text.split_once('=') else {
            let say = format!("`level {text}` names no volume");
            return Err(Problem::error(say).hint("write `level 10 mm = 60 mL`, once for each volume poured").into());
        };
        let (level, volume) = (read_length_or_zero(level.trim(), None)?, read_volume_or_zero(volume.trim(), system)?);
        self.levels.push((level, volume));
        Ok(())
    }

    /// "cup 60-82x140 mm", "tall jar 80x120 mm", "1 L jar", "jar 1 L", "1 L", "glass jar 80x120 mm".
    fn kind_and_size(&mut self, text: &str, system: MeasureSystem) -> Checked<()> {
        let words: Vec<&str> = text.split(' ').collect();
        let is_kind = |w: &&str| KINDS.contains(&w.to_lowercase().as_str());
        // With several of them the last counts: "cup jar" would be a jar.
        let at = words.iter().rposition(is_kind);
        let (before, after) = match at {
            Some(i) => (words[..i].join(" "), words[i + 1..].join(" ")),
            None => (text.to_string(), String::new()),
        };
        let has_figure = |t: &str| t.chars().any(char::is_numeric);
        let (words_before, size) = match (has_figure(&before), has_figure(&after)) {
            (false, true) => (before, after),
            (true, false) if after.is_empty() => (String::new(), before),
            _ => return Err(not_understood(text)),
        };
        if let Some(i) = at {
            self.kind = words[i].to_lowercase();
            self.called = Some(format!("{words_before} {}", words[i]).trim().to_string());
        }
        // "glass jar": a material among the words before.
        if let Some(found) = (!words_before.is_empty()).then(|| material(&words_before)).flatten() {
            self.called = Some(self.kind.clone());
            if !set(&mut self.material, found) {
                return Err(again(text));
            }
        }
        let sized = size.contains(['x', 'X', '×']);
        if !sized && let Ok(capacity) = read_volume(&size, system) {
            return if set(&mut self.capacity, capacity) { Ok(()) } else { Err(again(text)) };
        }
        if !sized && at.is_none() {
            return Err(not_understood(text));
        }
        if !sized && read_length(&size, None).is_ok() {
            let say = format!("found one size, `{size}`, for a {}, allowed is {ALLOWED}", self.kind);
            return Err(Problem::error(say).into());
        }
        let sizes = if sized { read_dimensions(&size)? } else { return Err(not_understood(text)) };
        if set(&mut self.sizes, sizes) { Ok(()) } else { Err(again(text)) }
    }

    fn shape(&mut self) -> Option<VesselShape> {
        match self.shape_said() {
            Ok(shape) => shape,
            Err(p) => {
                self.problems.extend(p.0);
                None
            }
        }
    }

    /// The shape that was said; `None` when a piece that may have been it was not understood.
    fn shape_said(&self) -> Checked<Option<VesselShape>> {
        let measured = self.sizes.is_some() || self.capacity.is_some() || self.high.is_some();
        let shape = match (&self.sizes, self.capacity, self.high) {
            _ if !self.levels.is_empty() && measured => {
                return Err(Problem::error("the vessel has levels, and sizes, a capacity or a height beside them")
                    .hint("keep the levels, or the others")
                    .into());
            }
            _ if !self.levels.is_empty() => VesselShape::level_table(self.levels.clone())?,
            (Some(sizes), None, None) => self.of_sizes(sizes)?,
            (Some(_), ..) => {
                return Err(Problem::error("the vessel has sizes and a capacity or height beside them")
                    .hint("keep the sizes, or the capacity with a height")
                    .into());
            }
            (None, Some(volume), Some(height)) => VesselShape::Capacity { volume, height },
            (None, Some(_), None) => {
                return Err(Problem::error("the capacity of the vessel says no level without its inside height")
                    .hint("add it, such as `150 mm high`")
                    .into());
            }
            (None, None, _) if !self.problems.is_empty() => return Ok(None),
            (None, None, _) => {
                return Err(Problem::error("the vessel has no size").hint(format!("allowed is {ALLOWED}")).into());
            }
        };
        let litres = in_cubic_millimetres(shape.capacity()) * 1e-6;
        // A million litres: nothing larger is filled with a bath.
        if litres.is_finite() && litres > 0.0 && litres <= 1e6 {
            return Ok(Some(shape));
        }
        let say = format!("the vessel would hold {litres:.3e} L, allowed is above 0 and up to 1000000 L");
        Err(Problem::error(say).into())
    }

    fn of_sizes(&self, sizes: &[Span<Length>]) -> Checked<VesselShape> {
        let one = |s: &Span<Length>| s.is_one().then_some(s.low);
        let fits_kind = |round: bool| match self.kind.as_str() {
            "cup" | "jar" | "beaker" | "bucket" | "pail" => round,
            "tray" => !round,
            _ => true,
        };
        match sizes {
            [across, height] if fits_kind(true) => {
                let height = one(height);
                if let Some(height) = height {
                    return Ok(VesselShape::Cup { bottom: across.low, top: across.high, height });
                }
            }
            [l, w, h] if fits_kind(false) => {
                if let (Some(length), Some(width), Some(height)) = (one(l), one(w), one(h)) {
                    return Ok(VesselShape::Tray { length, width, height });
                }
            }
            _ => {}
        }
        let found: Vec<String> = sizes
            .iter()
            .map(|s| match one(s) {
                Some(l) => crate::amount::figure(in_millimetres(l)),
                None => {
                    let figure = |l| crate::amount::figure(in_millimetres(l));
                    format!("{}-{}", figure(s.low), figure(s.high))
                }
            })
            .collect();
        let kind = if self.kind.is_empty() { "vessel" } else { &self.kind };
        Err(Problem::error(format!("found the sizes {} mm for a {kind}, allowed is {ALLOWED}", found.join("x"))).into())
    }
}

fn set<T>(slot: &mut Option<T>, value: T) -> bool {
    let free = slot.is_none();
    if free {
        *slot = Some(value);
    }
    free
}

fn again(text: &str) -> Problems {
    let say = format!("`{text}` says again what another piece of the vessel has said");
    Problem::error(say).hint("keep one of them").into()
}

fn not_understood(text: &str) -> Problems {
    let mut problem = Problem::error(format!("`{text}` was not understood; allowed is {ALLOWED}"));
    let names = materials().iter().flat_map(|m| std::iter::once(&m.name).chain(&m.aliases).map(|n| n.as_ref()));
    if let Some(near) = nearest(text, names.chain(["open", "loose", "sealed"])) {
        problem = problem.hint(format!("did you mean `{near}`?"));
    }
    problem.into()
}

fn cover(lower: &str) -> Option<Cover> {
    Some(match lower {
        "open" | "uncovered" | "no lid" => Cover::Open,
        "loose" | "loosely covered" | "covered loosely" | "loose lid" | "lid loose" => Cover::Loose,
        "sealed" | "closed" | "lid on" | "lid closed" | "screwed shut" => Cover::Sealed,
        _ => return None,
    })
}

fn high(lower: &str) -> Option<Checked<Length>> {
    let figure = ["high", "tall", "height", "inside"]
        .iter()
        .fold(lower.to_string(), |left, w| left.split(' ').filter(|word| word != w).collect::<Vec<_>>().join(" "));
    (figure != lower && figure.chars().any(char::is_numeric) && !figure.contains(['x', '×']))
        .then(|| read_length(&figure, None))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn vessel(text: &str) -> Vessel {
        read_vessel(text).unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    fn told(text: &str) -> String {
        read_vessel(text).err().map(|p| p.to_string()).unwrap_or_else(|| panic!("{text} was read"))
    }

    #[test]
    fn levels_found_by_pouring_are_a_vessel() {
        let v = vessel("name odd pot, level 10 mm = 60 mL, level 30 mm = 200 mL, level 3 in = 600 mL, glass, loose");
        assert_eq!((v.name.as_str(), v.cover), ("odd pot", Some(Cover::Loose)));
        let at = |mm: f64| in_cubic_millimetres(v.shape.volume_below(crate::amount::millimetres(mm))) / 1000.0;
        // Between two levels by straight lines: 130 mL half way from 60 to 200.
        assert!((at(20.0) - 130.0).abs() < 1e-9 && (at(5.0) - 30.0).abs() < 1e-9, "{} {}", at(20.0), at(5.0));
        for (text, says) in [
            ("level 10 mm, glass", "names no volume"),
            ("level 10 mm = 60 mL, level 8 mm = 90 mL", "must be above 10 mm and 60 mL"),
            ("level 10 mm = 60 mL, jar 80x120 mm", "beside them"),
            ("level ten = 60 mL, level 20 mm = 90 mL", "ten"),
        ] {
            assert!(told(text).contains(says), "{text}: {}", told(text));
        }
    }

    #[test]
    fn every_way_to_write_one() {
        let v = vessel("cup 60-82x140 mm, glass");
        assert_eq!(v.material.map(|m| m.id.as_ref()), Some("soda_lime_glass"));
        assert!(matches!(v.shape, VesselShape::Cup { bottom, top, height }
            if in_millimetres(bottom) == 60.0 && in_millimetres(top) == 82.0 && in_millimetres(height) == 140.0));
        assert_eq!((v.name.as_str(), v.cover), ("cup", None));
        let v = vessel("tall jar 80x120 mm, loose, glass");
        assert_eq!((v.name.as_str(), v.cover), ("tall jar", Some(Cover::Loose)));
        let v = vessel("PP, tray 300x200x60 mm, open, name Drip Tray");
        assert_eq!((v.name.as_str(), v.material.map(|m| m.id.as_ref())), ("Drip Tray", Some("polypropylene")));
        assert_eq!(
            vessel("10 L pail, 250 mm high, HDPE").shape.capacity(),
            vessel("10 L bucket, 250 mm high").shape.capacity()
        );
        for text in ["1 L jar, 150 mm high, glass", "jar 1 L, glass, height 150 mm", "1 litre jar, 15 cm tall, glass"] {
            let v = vessel(text);
            assert!(v.shape.is_estimate() && (in_cubic_millimetres(v.shape.capacity()) - 1e6).abs() < 1e-3, "{text}");
        }
        assert!(vessel("glass jar 3 1/4 x 5 in").material.is_some());
        assert!(matches!(vessel("bucket 220-280 x 260 mm, HDPE, sealed").cover, Some(Cover::Sealed)));
    }

    #[test]
    fn every_fault_is_named_at_once() {
        let all = told("cup 60-82x140x3 mm, glas, lose, round");
        for word in ["60-82x140x3", "glas", "glass", "lose", "loose", "round"] {
            assert!(all.contains(word), "{word} in\n{all}");
        }
    }

    #[test]
    fn gaps_and_contradictions_are_errors() {
        for (text, word) in [
            ("glass", "no size"),
            ("1 L jar, glass", "height"),
            ("jar 80x120, glass", "unit"),
            ("jar 0x120 mm", "0"),
            ("jar 80x120 mm, glass, PP", "again"),
            ("tray 300x200 mm", "tray"),
            ("jar 80x120 mm, 1 L", "beside"),
            ("jar 80x12,5 mm", "12.5"),
            ("", "no size"),
        ] {
            let all = told(text);
            assert!(all.contains(word), "{word} in\n{all}");
        }
    }
}
