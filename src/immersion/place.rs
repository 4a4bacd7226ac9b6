//! Which side of each part is up, and whether the parts fit: the arrangement that needs the least liquid.

use super::buoyancy::air_under;
use super::pack::{CLEARANCE_MM, Piece, circle_needed, growth_needed, in_circle, in_rectangle};
use crate::amount::{figure, in_cubic_millimetres, in_millimetres, in_square_millimetres, millimetres};
use crate::diag::{Checked, Problem, Problems};
use crate::order::Lay;
use crate::part::{Part, Shape, Side};
use crate::vessel::{Across, VesselShape};

/// Spare room under which a part is hard to put in and out, mm (our choice).
const TIGHT_MM: f64 = 3.0;
/// A turn up to this many degrees need not be told (our choice).
const SQUARE_DEGREES: f64 = 1.0;

/// Sides whose caught air differs by no more than this share of the part are alike (our choice: what the search resolves).
const AIR_ALIKE: f64 = 1e-3;

/// How one part sits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seat {
    pub up: Side,
    /// Height as it sits, mm.
    pub height: f64,
}

/// A side that could be up.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    seat: Seat,
    piece: Piece,
    /// In a rectangular vessel: by how many degrees about the upright axis it is turned to need only this rectangle.
    turn: f64,
    /// By how much it is too wide for the vessel, mm; negative is spare room. `None` when that cannot be told.
    too_wide: Option<f64>,
    /// Smallest cross-section it must have somewhere, mm².
    section: f64,
}

impl Candidate {
    fn fits(&self) -> bool {
        self.too_wide.is_none_or(|w| w <= 1e-9)
    }
}

/// How the walls are taken when only levels and volumes are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Walls {
    /// Round and straight, as most jars are.
    Round,
    /// Anything: only areas are compared.
    Unknown,
}

/// Seats every part so that the tallest is as low as it can be. A vessel of which only levels are known is taken as round;
/// what does not fit then may still fit, so that is a warning and not an error.
pub(super) fn seat(
    vessel: &VesselShape,
    parts: &[Part],
    lay: Lay,
    cover: f64,
    problems: &mut Vec<Problem>,
    warnings: &mut Vec<String>,
) -> Option<Vec<Seat>> {
    let Across::AsIfRound(across) = vessel.across(millimetres(0.0)) else {
        return seat_between(vessel, Walls::Round, parts, lay, cover, problems, warnings);
    };
    let (mut held, mut told) = (Vec::new(), Vec::new());
    if let Some(seats) = seat_between(vessel, Walls::Round, parts, lay, cover, &mut held, &mut told) {
        told.push(format!(
            "The shape of the vessel is not known; it was taken as round, about {} mm across: try the parts dry.",
            figure(in_millimetres(across))
        ));
        warnings.extend(told);
        return Some(seats);
    }
    seat_between(vessel, Walls::Unknown, parts, lay, cover, problems, warnings)
}

/// Liquid needed is the vessel's volume below the tallest part and its cover less what is displaced, and what is displaced
/// does not depend on the side; so the lowest tallest part needs the least liquid. Pushes a problem for each part that
/// does not fit, and for parts that do not fit together; `None` then.
fn seat_between(
    vessel: &VesselShape,
    walls: Walls,
    parts: &[Part],
    lay: Lay,
    cover: f64,
    problems: &mut Vec<Problem>,
    warnings: &mut Vec<String>,
) -> Option<Vec<Seat>> {
    let (chosen, told) = at_their_lowest(vessel, walls, parts, lay, cover)
        .or_else(|| of_all_sides(vessel, walls, parts, lay, cover, problems))?;
    warnings.extend(told);
    warnings.extend(tight(parts, &chosen));
    warnings.extend(turned(parts, lay, &chosen));
    warnings.extend(askew(parts, &chosen));
    Some(chosen.into_iter().map(|c| c.seat).collect())
}

/// The side chosen of each part, with what is to be told.
type Chosen = (Vec<Candidate>, Vec<String>);

/// The parts as low as they can lie at all, if they fit so: then no other side comes into question, and most need not be
/// looked at. `None` says nothing about the other sides.
fn at_their_lowest(vessel: &VesselShape, walls: Walls, parts: &[Part], lay: Lay, cover: f64) -> Option<Chosen> {
    if walls == Walls::Unknown || lay == Lay::LeastAir || parts.is_empty() {
        return None;
    }
    let sides = |part: &Part| part.up.map_or(part.shape.sides().to_vec(), |up| vec![up]);
    let height = |part: &Part, up: Side| Some(in_millimetres(part.shape.size(up)?[2]));
    let lowest = |part: &Part| sides(part).into_iter().filter_map(|up| height(part, up)).reduce(f64::min);
    let limit = parts.iter().try_fold(0.0, |most: f64, part| Some(most.max(lowest(part)?)))?;
    let narrowest = |part: &Part| {
        let low = sides(part).into_iter().filter(|&up| height(part, up).is_some_and(|h| h <= limit));
        let able = low.filter_map(|up| candidate(vessel, walls, &part.shape, up)).filter(Candidate::fits);
        narrowest(&able.collect::<Vec<_>>(), limit)
    };
    let chosen: Vec<Candidate> = parts.iter().map(narrowest).collect::<Option<_>>()?;
    if overflows(limit, cover, in_millimetres(vessel.height())) {
        return None;
    }
    let told = side_by_side(vessel, walls, parts, &chosen).ok()?;
    Some((chosen, told))
}

/// The lowest arrangement that fits, of all sides of all parts.
fn of_all_sides(
    vessel: &VesselShape,
    walls: Walls,
    parts: &[Part],
    lay: Lay,
    cover: f64,
    problems: &mut Vec<Problem>,
) -> Option<Chosen> {
    let before = problems.len();
    let mut all: Vec<Vec<Candidate>> = parts.iter().map(|p| candidates(vessel, walls, p, lay, problems)).collect();
    if problems.len() > before {
        return None;
    }
    if lay == Lay::LeastAir {
        all.iter_mut().zip(parts).for_each(|(candidates, part)| keep_least_air(candidates, part));
    }
    let mut heights: Vec<f64> = all.iter().flatten().map(|c| c.seat.height).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup();
    if walls == Walls::Unknown {
        // Which sides pass cannot be told, so the highest is taken: a line that is too high covers, one too low does not.
        heights = heights.split_off(heights.len().saturating_sub(1));
    }
    let deep = in_millimetres(vessel.height());
    let mut together: Option<Problems> = None;
    for limit in heights {
        let chosen: Option<Vec<Candidate>> =
            all.iter().map(|c| if walls == Walls::Unknown { highest(c) } else { narrowest(c, limit) }).collect();
        let Some(chosen) = chosen else { continue };
        if overflows(limit, cover, deep) {
            problems.extend(together.into_iter().flat_map(|p| p.0));
            problems.push(too_high(parts, &chosen, limit, cover, deep));
            return None;
        }
        match side_by_side(vessel, walls, parts, &chosen) {
            Ok(told) => return Some((chosen, told)),
            Err(problem) => {
                together.get_or_insert(problem);
            }
        }
    }
    problems.extend(together.into_iter().flat_map(|p| p.0));
    if problems.len() == before {
        problems.push(Problem::error("the parts do not fit into the vessel"));
    }
    None
}

fn overflows(limit: f64, cover: f64, deep: f64) -> bool {
    limit + cover > deep * (1.0 + 1e-12)
}

fn candidates(
    vessel: &VesselShape,
    walls: Walls,
    part: &Part,
    lay: Lay,
    problems: &mut Vec<Problem>,
) -> Vec<Candidate> {
    let given = part.up.map(|s| [s]);
    let usual = given.as_ref().map_or(part.shape.sides(), |s| s.as_slice());
    let over = if given.is_some() { &[] } else { part.shape.sides_turned_over() };
    let try_all = |sides: &[Side]| -> Vec<Candidate> {
        sides.iter().filter_map(|&up| candidate(vessel, walls, &part.shape, up)).collect()
    };
    let mut found = try_all(usual);
    let name = &part.name;
    if found.is_empty() {
        problems.push(
            Problem::error(format!("it is not known how high `{name}` stands"))
                .hint("add its height as it will stand, such as `60 mm high`"),
        );
        return found;
    }
    // Turned over, a part needs as much bath: only for its air, or when it does not go in otherwise.
    if lay == Lay::LeastAir || !found.iter().any(Candidate::fits) {
        found.extend(try_all(over));
    }
    if found.iter().any(Candidate::fits) {
        found.retain(Candidate::fits);
        return found;
    }
    let least = found.iter().min_by(|a, b| a.too_wide.unwrap_or(0.0).total_cmp(&b.too_wide.unwrap_or(0.0)));
    if let Some(least) = least {
        let by = figure(least.too_wide.unwrap_or(0.0));
        let room = match vessel.across(millimetres(0.0)) {
            Across::Round(d) => {
                let rim = vessel.across(vessel.height());
                let rim = if let Across::Round(r) = rim { in_millimetres(r) } else { in_millimetres(d) };
                format!("{} mm across at the bottom and {} mm at the rim", figure(in_millimetres(d)), figure(rim))
            }
            Across::Rectangle(l, w) => {
                format!("{} x {} mm inside", figure(in_millimetres(l)), figure(in_millimetres(w)))
            }
            Across::AsIfRound(d) => format!("about {} mm across if it is round", figure(in_millimetres(d))),
        };
        problems.push(
            Problem::error(format!("`{name}` does not fit any way up: it is {by} mm too wide for a vessel of {room}"))
                .hint("choose a wider vessel"),
        );
    }
    Vec::new()
}

fn candidate(vessel: &VesselShape, walls: Walls, shape: &Shape, up: Side) -> Option<Candidate> {
    let [length, width, height] = shape.size(up)?.map(in_millimetres);
    let (mut length, mut width, mut turn) = (length, width, 0.0);
    let widest = shape.enclosing_diameter(up).map(in_millimetres);
    let deep = in_millimetres(vessel.height());
    let rim = in_square_millimetres(vessel.surface_at(vessel.height()));
    let too_wide = match vessel.across(millimetres(0.0)) {
        Across::AsIfRound(_) if walls == Walls::Unknown => None,
        // Lowered in from above, a part passes everything between its place and the rim.
        Across::Round(_) | Across::AsIfRound(_) => {
            let across = |h: f64| match vessel.across(millimetres(h)) {
                Across::Round(d) | Across::AsIfRound(d) => in_millimetres(d),
                Across::Rectangle(l, w) => in_millimetres(l).min(in_millimetres(w)),
            };
            let at_rim = across(deep);
            let free = |z: f64| across(z).min(at_rim);
            let levels = || (0..=128).map(|i| height * f64::from(i) / 128.0).filter(|z| *z <= deep);
            let narrowest = levels().map(free).fold(f64::INFINITY, f64::min);
            match widest {
                // As a straight cylinder it goes in with room to spare: level by level it would as well.
                Some(widest) if widest + TIGHT_MM <= narrowest => Some(widest - narrowest),
                _ => levels()
                    .map(|z| shape.reach_at(millimetres(z), up).map(|r| 2.0 * in_millimetres(r) - free(z)))
                    .try_fold(f64::NEG_INFINITY, |worst, w| w.map(|w| worst.max(w))),
            }
        }
        Across::Rectangle(l, w) => {
            let (l, w) = (in_millimetres(l), in_millimetres(w));
            let footprint = shape.footprint(up)?;
            [length, width] = footprint.0.map(in_millimetres);
            turn = footprint.1;
            let (long, short) = (length.max(width), length.min(width));
            widest.map(|_| (long - l.max(w)).max(short - l.min(w)))
        }
    };
    let section = if height > 0.0 { in_cubic_millimetres(shape.envelope()) / height } else { 0.0 };
    // Of an unknown shape, or in one, only the area tells: a section larger than the vessel's cannot fit.
    let too_wide = too_wide.or_else(|| {
        let over = 2.0 * ((section / std::f64::consts::PI).sqrt() - (rim / std::f64::consts::PI).sqrt());
        (over > 0.0).then_some(over)
    });
    let piece = Piece { length, width, diameter: widest.unwrap_or(0.0) };
    Some(Candidate { seat: Seat { up, height }, piece, turn, too_wide, section })
}

/// Keeps the sides that catch the least air, or nearly so.
fn keep_least_air(candidates: &mut Vec<Candidate>, part: &Part) {
    let air: Vec<f64> = candidates.iter().map(|c| in_cubic_millimetres(air_under(part, c.seat.up))).collect();
    let least = air.iter().copied().fold(f64::INFINITY, f64::min);
    let much = least + AIR_ALIKE * in_cubic_millimetres(part.shape.envelope());
    let mut air = air.into_iter();
    candidates.retain(|_| air.next().is_some_and(|a| a <= much));
}

/// The side with the smallest footprint among those not higher than `limit`.
fn narrowest(candidates: &[Candidate], limit: f64) -> Option<Candidate> {
    candidates
        .iter()
        .filter(|c| c.seat.height <= limit)
        .min_by(|a, b| {
            let area = |c: &Candidate| c.piece.length * c.piece.width;
            // Of equals the first, as the part stands.
            area(a).total_cmp(&area(b))
        })
        .copied()
}

fn highest(candidates: &[Candidate]) -> Option<Candidate> {
    candidates.iter().max_by(|a, b| a.seat.height.total_cmp(&b.seat.height)).copied()
}

fn too_high(parts: &[Part], chosen: &[Candidate], limit: f64, cover: f64, deep: f64) -> Problem {
    let tallest = parts.iter().zip(chosen).find(|(_, c)| c.seat.height >= limit).map_or("", |(p, _)| p.name.as_str());
    Problem::error(format!(
        "`{tallest}` stands {} mm and {} mm of cover above it make {} mm, {} mm more than the vessel's {} mm: it would overflow",
        figure(limit),
        figure(cover),
        figure(limit + cover),
        figure(limit + cover - deep),
        figure(deep)
    ))
    .hint("choose a taller or wider vessel, or less cover")
}

/// Whether all pieces stand beside each other; what cannot be told or is tight is a warning.
fn side_by_side(vessel: &VesselShape, walls: Walls, parts: &[Part], chosen: &[Candidate]) -> Checked<Vec<String>> {
    let pieces: Vec<Piece> =
        parts.iter().zip(chosen).flat_map(|(p, c)| std::iter::repeat_n(c.piece, p.count as usize)).collect();
    let many = pieces.len() > 1;
    let section: f64 = parts.iter().zip(chosen).map(|(p, c)| c.section * f64::from(p.count)).sum();
    let surface = in_square_millimetres(vessel.surface_at(vessel.height()));
    let unknown = chosen.iter().any(|c| c.piece.diameter == 0.0);
    let across = vessel.across(millimetres(0.0));
    if section > surface {
        return Err(Problem::error(format!(
            "the parts take up {} cm2 side by side, the vessel has {} cm2",
            figure(section / 100.0),
            figure(surface / 100.0)
        ))
        .hint("choose a wider vessel, or fewer parts at a time")
        .into());
    }
    if unknown || (walls == Walls::Unknown && matches!(across, Across::AsIfRound(_))) {
        return Ok(vec![
            "The shape of the vessel or of a part is not known, so whether everything fits in was not checked: try it dry."
                .to_string(),
        ]);
    }
    if !many {
        return Ok(Vec::new());
    }
    let (spaced, fits, needed) = match across {
        Across::Rectangle(l, w) => {
            let (l, w) = (in_millimetres(l), in_millimetres(w));
            let fits = in_rectangle(&pieces, l, w, 0.0);
            let grow = if fits { 1.0 } else { growth_needed(&pieces, l, w) };
            let needed = format!(
                "they need about {} x {} mm, the vessel has {} x {} mm",
                figure(l * grow),
                figure(w * grow),
                figure(l),
                figure(w)
            );
            (in_rectangle(&pieces, l, w, CLEARANCE_MM), fits, needed)
        }
        Across::Round(bottom) | Across::AsIfRound(bottom) => {
            let rim = match vessel.across(vessel.height()) {
                Across::Round(d) | Across::AsIfRound(d) => in_millimetres(d),
                Across::Rectangle(..) => in_millimetres(bottom),
            };
            let free = in_millimetres(bottom).min(rim);
            let fits = in_circle(&pieces, free, 0.0);
            let needed = if fits { free } else { circle_needed(&pieces) };
            let needed = format!("they need about {} mm across, the vessel has {} mm", figure(needed), figure(free));
            (in_circle(&pieces, free, CLEARANCE_MM), fits, needed)
        }
    };
    if spaced {
        Ok(Vec::new())
    } else if fits {
        Ok(vec![format!(
            "Side by side there are less than {CLEARANCE_MM} mm between the parts or to the wall: where they touch, the bath does \
             not reach. Keep them apart, or soak fewer at a time."
        )])
    } else {
        let count: u64 = parts.iter().map(|p| u64::from(p.count)).sum();
        Err(Problem::error(format!("the {count} parts do not fit side by side: {needed}"))
            .hint("choose a wider vessel, or fewer parts at a time")
            .into())
    }
}

fn tight(parts: &[Part], chosen: &[Candidate]) -> Vec<String> {
    let close = |c: &Candidate| c.too_wide.map(|w| -w).filter(|spare| *spare < TIGHT_MM);
    let told = |(p, c): (&Part, &Candidate)| {
        close(c).map(|spare| format!("`{}` has only {} mm to spare across the vessel.", p.name, figure(spare.max(0.0))))
    };
    parts.iter().zip(chosen).filter_map(told).collect()
}

/// Parts that must be turned about the upright axis for the rectangle they were given.
fn askew(parts: &[Part], chosen: &[Candidate]) -> Vec<String> {
    // A quarter turn is the same rectangle.
    let off = |c: &Candidate| (c.turn.rem_euclid(90.0)).min(90.0 - c.turn.rem_euclid(90.0));
    let told = |(p, c): (&Part, &Candidate)| {
        (off(c) > SQUARE_DEGREES).then(|| {
            format!(
                "`{}` is meant to lie turned by about {:.0} degrees from its file, where it needs only {} x {} mm.",
                p.name,
                c.turn.min(180.0 - c.turn),
                figure(c.piece.length),
                figure(c.piece.width)
            )
        })
    };
    parts.iter().zip(chosen).filter_map(told).collect()
}

/// Parts that lie otherwise than they were written, and parts that roll.
fn turned(parts: &[Part], lay: Lay, chosen: &[Candidate]) -> Vec<String> {
    let told = |(p, c): (&Part, &Candidate)| {
        let up = c.seat.up;
        let turned = p.up.is_none() && up != Side::PlusZ;
        let rolls =
            matches!(p.shape, Shape::Sphere { .. }) || (matches!(p.shape, Shape::Cylinder { .. }) && up.axis() != 2);
        let roll = if rolls { " Keep it from rolling." } else { "" };
        // Which way a mesh is its side is known to nobody but its owner.
        let how = match p.shape {
            Shape::Mesh(_) => format!("goes in with the file's {} up", up.name()),
            _ if up.axis() == 2 => "stands upside down".to_string(),
            _ => "lies on its side".to_string(),
        };
        let why = match lay {
            Lay::LeastBath if up.axis() == 2 => "which is how it goes in",
            Lay::LeastBath => "which needs the least bath of the ways it fits",
            Lay::LeastAir => "which catches the least air of the ways it fits",
        };
        let height = figure(c.seat.height);
        match (turned, rolls) {
            (true, _) => {
                Some(format!("`{}` {how}, {height} mm high, {why}; say `standing` to have it upright.{roll}", p.name))
            }
            (false, true) => Some(format!("`{}` may roll: hold it in its place.", p.name)),
            (false, false) => None,
        }
    };
    parts.iter().zip(chosen).filter_map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::MeasureSystem;
    use crate::part::read_part;
    use crate::vessel::read_vessel;

    fn seated(vessel: &str, part: &str) -> Result<(Seat, Vec<String>), String> {
        let vessel = read_vessel(vessel).map_err(|p| p.to_string())?;
        let part = read_part(part, MeasureSystem::Us, &|n| Err(Problem::error(n).into())).map_err(|p| p.to_string())?;
        let (mut problems, mut warnings) = (Vec::new(), Vec::new());
        match seat(&vessel.shape, &[part], Lay::default(), 10.0, &mut problems, &mut warnings) {
            Some(seats) => Ok((seats[0], warnings)),
            None => Err(Problems(problems).to_string()),
        }
    }

    #[test]
    fn a_ball_touches_the_taper_above_the_bottom() {
        // Resting on the bottom it needs r(R)·cos α ≥ R: with 30 mm growing by 11 in 140, R up to 32.4 mm.
        assert!(seated("cup 60-82x140 mm", "sphere 64.6 mm, 100 g, PLA").is_ok());
        assert!(seated("cup 60-82x140 mm", "sphere 65.1 mm, 100 g, PLA").is_err());
    }

    #[test]
    fn a_vessel_that_narrows_lets_in_what_its_rim_lets_in() {
        assert!(seated("cup 100-50x140 mm", "cylinder 49x40 mm, 50 g, PLA").is_ok());
        let told = seated("cup 100-50x140 mm", "cylinder 60x60 mm, 100 g, PLA").unwrap_err();
        assert!(told.contains("10 mm too wide"), "{told}");
    }

    /// A straight-sided body over a regular outline of `n` corners, from one diameter to another, as ASCII STL.
    fn facets(n: usize, bottom: f64, top: f64, height: f64, start_degrees: f64) -> Vec<u8> {
        let at = |i: usize, d: f64, z: f64| {
            let a = (start_degrees + 360.0 * i as f64 / n as f64).to_radians();
            [d / 2.0 * libm::cos(a), d / 2.0 * libm::sin(a), z]
        };
        let mut text = String::from("solid facets\n");
        let mut add = |t: [[f64; 3]; 3]| {
            text.push_str("facet normal 0 0 0\nouter loop\n");
            t.iter().for_each(|p| text.push_str(&format!("vertex {:.9} {:.9} {:.9}\n", p[0], p[1], p[2])));
            text.push_str("endloop\nendfacet\n");
        };
        for i in 0..n {
            let (a, b) = (at(i, bottom, 0.0), at(i + 1, bottom, 0.0));
            let (c, d) = (at(i + 1, top, height), at(i, top, height));
            [[a, b, c], [a, c, d], [[0.0; 3], b, a], [[0.0, 0.0, height], d, c]].into_iter().for_each(&mut add);
        }
        text.push_str("endsolid facets\n");
        text.into_bytes()
    }

    fn seated_meshes(vessel: &str, files: &[Vec<u8>]) -> Result<Vec<String>, String> {
        let vessel = read_vessel(vessel).map_err(|p| p.to_string())?;
        let part = |bytes: &Vec<u8>| {
            read_part("part.stl, 5 g, PLA, standing", MeasureSystem::Us, &|_| Ok(bytes.clone().into()))
                .map_err(|p| p.to_string())
        };
        let parts: Vec<Part> = files.iter().map(part).collect::<Result<_, _>>()?;
        let (mut problems, mut warnings) = (Vec::new(), Vec::new());
        match seat(&vessel.shape, &parts, Lay::default(), 10.0, &mut problems, &mut warnings) {
            Some(_) => Ok(warnings),
            None => Err(Problems(problems).to_string()),
        }
    }

    #[test]
    fn a_mesh_that_widens_with_the_cup_goes_in() {
        // 56 mm at the bottom and 70 mm at 80 mm height, in a cup of 60 mm that has 72.6 mm there.
        assert!(seated_meshes("cup 60-82x140 mm", &[facets(96, 56.0, 70.0, 80.0, 0.0)]).is_ok());
        let told = seated_meshes("cup 60-82x140 mm", &[facets(96, 70.0, 56.0, 80.0, 0.0)]).unwrap_err();
        assert!(told.contains("10 mm too wide"), "{told}");
    }

    #[test]
    fn meshes_lie_in_a_tray_by_their_narrowest_rectangle() {
        // A square of 40 mm on its corner: 56.6 mm across as the file has it, 40 mm when turned.
        let diamond = || facets(4, 40.0 * 2f64.sqrt(), 40.0 * 2f64.sqrt(), 20.0, 0.0);
        let warnings = seated_meshes("tray 95x50x60 mm", &[diamond(), diamond()]).unwrap();
        assert!(warnings.iter().any(|w| w.contains("45 degrees") && w.contains("40 x 40 mm")), "{warnings:?}");
        assert!(!warnings.iter().any(|w| w.contains("less than 5 mm")), "{warnings:?}");
        let warnings = seated_meshes("tray 85x42x60 mm", &[diamond(), diamond()]).unwrap();
        assert!(warnings.iter().any(|w| w.contains("less than 5 mm")), "{warnings:?}");
        assert!(seated_meshes("tray 79x60x60 mm", &[diamond(), diamond()]).unwrap_err().contains("side by side"));
        let straight = seated_meshes("tray 95x50x60 mm", &[facets(4, 56.5, 56.5, 20.0, 45.0)]).unwrap();
        assert!(!straight.iter().any(|w| w.contains("degrees")), "{straight:?}");
    }

    #[test]
    fn where_all_lie_at_their_lowest_no_other_side_would_be_chosen() {
        let mut quick = 0;
        for vessel in ["cup 60-82x140 mm", "jar 115x110 mm", "jar 60x200 mm", "tray 320x220x60 mm", "tray 90x45x130 mm"]
        {
            let shape = read_vessel(vessel).unwrap().shape;
            for sizes in
                ["30x30x30", "20x30x100", "100x30x20", "50x55x60", "41x44x46 20x30x100", "100x30x20 31x30x29 30x30x30"]
            {
                let read = |size: &str| {
                    let text = format!("box {size} mm, 50 g, iron, PLA");
                    read_part(&text, MeasureSystem::Us, &|n| Err(Problem::error(n).into())).unwrap()
                };
                let parts: Vec<Part> = sizes.split(' ').map(read).collect();
                let lowest = at_their_lowest(&shape, Walls::Round, &parts, Lay::LeastBath, 10.0);
                let whole = of_all_sides(&shape, Walls::Round, &parts, Lay::LeastBath, 10.0, &mut Vec::new());
                let sides = |c: &Chosen| c.0.iter().map(|c| (c.seat.up, c.turn)).collect::<Vec<_>>();
                if let Some(lowest) = lowest {
                    let whole = whole.unwrap();
                    assert_eq!((sides(&lowest), &lowest.1), (sides(&whole), &whole.1), "{sizes} in a {vessel}");
                    quick += 1;
                }
            }
        }
        assert!((5..30).contains(&quick), "{quick} of 30");
    }

    #[test]
    fn what_is_not_known_is_said_and_taken_high() {
        let (seat, warnings) = seated("1 L jar, 150 mm high", "box 40x40x120 mm, 150 g, PLA").unwrap();
        assert_eq!(seat.height, 120.0);
        assert!(warnings.iter().any(|w| w.contains("taken as round")), "{warnings:?}");
        // 95 mm square does not go into a round jar of 92 mm, but the jar may be square: tall side up, and said.
        let (seat, warnings) = seated("1 L jar, 150 mm high", "box 80x80x90 mm, 500 g, PLA").unwrap();
        assert_eq!(seat.height, 90.0);
        assert!(warnings.iter().any(|w| w.contains("not checked")), "{warnings:?}");
        let (_, warnings) = seated("jar 80x120 mm", "displaces 100 mL, 50 mm high, 90 g, PLA").unwrap();
        assert!(warnings.iter().any(|w| w.contains("not checked")), "{warnings:?}");
        let told = seated("jar 40x120 mm", "displaces 100 mL, 50 mm high, 90 g, PLA").unwrap_err();
        assert!(told.contains("too wide"), "{told}");
    }
}
