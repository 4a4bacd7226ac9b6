//! From what a bench file says to a checked bench.

use super::fields::BENCH;
use super::raw::{RawBallast, RawBench, RawRoom, RawStock, RawTool, RawVessel};
use super::{BallastThing, Bench, Room, ShelfStock};
use crate::amount::{
    Length, MeasureSystem, Tool, ToolKind, Volume, read_amount, read_length_or_zero, read_mass, read_number_range,
    read_room_volume, read_volume, read_volume_or_zero,
};
use crate::diag::{Checked, Problem};
use crate::recipe::{counts, cover, known_ingredient, known_material, measure_system};
use crate::reference::yaml::{self, Faults, clip, flag};
use crate::vessel::{Vessel, VesselShape, read_vessel_with};
use core::fmt::Arguments;

/// Reads and checks a bench file.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_bench(text: &str, file: &str) -> Checked<Bench> {
    let reading = yaml::read::<RawBench>(text, file, &BENCH)?;
    let mut faults = Faults::new(&reading.document, reading.problems);
    let bench = check(reading.raw, &mut faults);
    faults.finish(Some(bench))
}

fn check(raw: RawBench, faults: &mut Faults<'_>) -> Bench {
    let measures = raw.measures.as_deref().and_then(measure_system);
    // Without a system a cup has no size; US is what a tool's own words can still change ("metric cup").
    let system = measures.unwrap_or(MeasureSystem::Us);
    let mut bench = Bench {
        measures,
        gear: raw.gear.into_iter().flatten().collect(),
        things: raw.things.into_iter().flatten().collect(),
        ..Bench::default()
    };
    for (i, stock) in raw.stocks.iter().enumerate() {
        bench.stocks.extend(stock.as_ref().and_then(|s| check_stock(s, system, format_args!("stocks[{i}]"), faults)));
    }
    for (i, tool) in raw.tools.iter().enumerate() {
        bench.tools.extend(tool.as_ref().and_then(|t| check_tool(t, system, format_args!("tools[{i}]"), faults)));
    }
    for (i, thing) in raw.ballast.iter().enumerate() {
        bench.ballast.extend(thing.as_ref().and_then(|b| check_ballast(b, format_args!("ballast[{i}]"), faults)));
    }
    for (i, holder) in raw.holders.iter().enumerate() {
        let Some(holder) = holder else { continue };
        bench.holders.extend(faults.take(format_args!("holders[{i}]"), known_material(holder)));
    }
    for (i, vessel) in raw.vessels.iter().enumerate() {
        let checked = |v| check_vessel(v, system, format_args!("vessels[{i}]"), faults);
        let Some(vessel) = vessel.as_ref().and_then(checked) else { continue };
        if bench.vessels.iter().any(|v| v.name.eq_ignore_ascii_case(&vessel.name)) {
            let message = format!("a second vessel is called `{}`; an order could mean either", clip(&vessel.name));
            faults.add(format_args!("vessels[{i}].name"), Problem::error(message));
        }
        bench.vessels.push(vessel);
    }
    if let Some(room) = &raw.room {
        bench.room = check_room(room, faults);
    }
    bench
}

fn check_stock(
    raw: &RawStock,
    system: MeasureSystem,
    path: Arguments<'_>,
    faults: &mut Faults<'_>,
) -> Option<ShelfStock> {
    let ingredient =
        raw.is.as_deref().and_then(|is| faults.take(format_args!("{path}.is"), known_ingredient(is, system)));
    let opened = raw.opened.as_deref().and_then(|day| {
        let read = day
            .trim()
            .parse::<jiff::civil::Date>()
            .map_err(|_| Problem::error(format!("found `{}`; expected a day such as `2026-10-01`", clip(day))).into());
        faults.take(format_args!("{path}.opened"), read)
    });
    let left = raw.left.as_deref().and_then(|left| faults.take(format_args!("{path}.left"), read_amount(left, system)));
    Some(ShelfStock { ingredient: ingredient?, opened, left })
}

fn check_tool(raw: &RawTool, system: MeasureSystem, path: Arguments<'_>, faults: &mut Faults<'_>) -> Option<Tool> {
    let mut volume_of = |field: &str, text: &Option<String>| {
        text.as_deref().map(|t| faults.take(format_args!("{path}.{field}"), read_volume(t, system)))
    };
    let (scoop, cylinder) = (volume_of("scoop", &raw.scoop), volume_of("cylinder", &raw.cylinder));
    let mark = |faults: &mut Faults<'_>| {
        if raw.division.is_none() {
            faults.add(path, Problem::error("`division` is missing; say one mark or digit, such as `1 mL` or `0.1 g`"));
        }
        raw.division.as_deref()
    };
    let said = |text: &Option<String>| text.as_deref().unwrap_or_default().trim().to_string();
    let (kind, name) = match (scoop, cylinder, &raw.scales) {
        (Some(holds), None, None) => (ToolKind::Scoop { holds: holds? }, said(&raw.scoop)),
        (None, Some(holds), None) => {
            let division = mark(faults)?;
            let division = faults.take(format_args!("{path}.division"), read_volume(division, system))?;
            (ToolKind::Graduated { holds: holds?, division }, format!("{} cylinder", said(&raw.cylinder)))
        }
        (None, None, Some(capacity)) => {
            let capacity = faults.take(format_args!("{path}.scales"), read_mass(capacity));
            let division = mark(faults)?;
            let division = faults.take(format_args!("{path}.division"), read_mass(division));
            (ToolKind::Scales { capacity: capacity?, division: division? }, format!("{} scales", said(&raw.scales)))
        }
        _ => {
            faults.add(path, Problem::error("a tool is one of `scoop`, `cylinder` or `scales`; say one of them"));
            return None;
        }
    };
    Some(Tool { name: raw.name.clone().unwrap_or(name), kind })
}

fn check_ballast(raw: &RawBallast, path: Arguments<'_>, faults: &mut Faults<'_>) -> Option<BallastThing> {
    let material =
        raw.material.as_deref().and_then(|m| faults.take(format_args!("{path}.material"), known_material(m)));
    let mass = raw.mass.as_deref().and_then(|m| faults.take(format_args!("{path}.mass"), read_mass(m)));
    let count = match raw.count.as_deref() {
        Some(text) => Some(faults.take(format_args!("{path}.count"), one_count(text))?),
        None => None,
    };
    Some(BallastThing { name: raw.thing.clone()?, material: material?, mass: mass?, count })
}

fn check_vessel(
    raw: &RawVessel,
    system: MeasureSystem,
    path: Arguments<'_>,
    faults: &mut Faults<'_>,
) -> Option<Vessel> {
    let own_cover = raw.cover.as_deref().and_then(cover);
    let name = raw.name.clone();
    let mut vessel = match (&raw.is, &raw.levels) {
        (Some(is), None) => {
            if raw.material.is_some() {
                faults.add(
                    format_args!("{path}.material"),
                    Problem::error("write the material into `is`, after the measures"),
                );
            }
            faults.take(format_args!("{path}.is"), read_vessel_with(is, system))?
        }
        (None, Some(levels)) => {
            let material =
                raw.material.as_deref().map(|m| faults.take(format_args!("{path}.material"), known_material(m)));
            let table = level_table(levels, system, format_args!("{path}.levels"), faults)?;
            let shape = VesselShape::LevelTable(table);
            Vessel { name: String::new(), shape, material: material.flatten(), cover: None }
        }
        _ => {
            faults.add(path, Problem::error("a vessel has either `is` or `levels`; say one of them"));
            return None;
        }
    };
    vessel.name = name?;
    vessel.cover = own_cover.or(vessel.cover);
    Some(vessel)
}

/// Levels with their volumes, both rising from line to line.
fn level_table(
    levels: &[Option<Vec<Option<String>>>],
    system: MeasureSystem,
    path: Arguments<'_>,
    faults: &mut Faults<'_>,
) -> Option<Vec<(Length, Volume)>> {
    let mut table: Vec<(Length, Volume)> = Vec::new();
    let mut whole = true;
    for (i, line) in levels.iter().enumerate() {
        let Some(line) = line else {
            whole = false;
            continue;
        };
        let [Some(level), Some(volume)] = line.as_slice() else {
            faults.add(
                format_args!("{path}[{i}]"),
                Problem::error("expected a level and its volume, such as `[10 mm, 50 mL]`"),
            );
            whole = false;
            continue;
        };
        let level = faults.take(format_args!("{path}[{i}][0]"), read_length_or_zero(level, None));
        let volume = faults.take(format_args!("{path}[{i}][1]"), read_volume_or_zero(volume, system));
        let (Some(level), Some(volume)) = (level, volume) else {
            whole = false;
            continue;
        };
        if table.last().is_some_and(|(l, v)| level <= *l || volume <= *v) {
            faults.add(format_args!("{path}[{i}]"), Problem::error("level and volume have to rise from line to line"));
            whole = false;
        }
        table.push((level, volume));
    }
    if table.len() < 2 && whole {
        faults.add(path, Problem::error("at least two levels are needed"));
        whole = false;
    }
    whole.then_some(table)
}

fn check_room(raw: &RawRoom, faults: &mut Faults<'_>) -> Room {
    let assumed = Room::default();
    let volume = raw.volume.as_deref().and_then(|v| faults.take("room.volume", read_room_volume(v)));
    let air = raw.air_changes.as_deref().and_then(|a| faults.take("room.air_changes", read_number_range(a)));
    Room {
        volume: volume.unwrap_or(assumed.volume),
        // Where a range is given the worse end counts.
        air_changes_per_h: air.map_or(assumed.air_changes_per_h, |a| a.low.to_f64()),
        outdoors: raw.outdoors.as_deref().and_then(flag).unwrap_or(false),
        assumed: raw.volume.is_none() && raw.air_changes.is_none() && raw.outdoors.is_none(),
    }
}

/// One whole number of 1 or more.
pub(super) fn one_count(text: &str) -> Checked<u32> {
    let counts = counts(text)?;
    if counts.is_one() {
        return Ok(counts.low);
    }
    Err(Problem::error(format!("found `{}`; expected one whole number", clip(text))).into())
}
