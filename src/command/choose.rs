//! `choose`: which recipe for this metal, look, shelf, room and patience.

use super::args::{ChooseArgs, Format};
use super::common::{finish, gather, json, known_material, known_metal, room, width};
use super::inputs::{bench, library};
use super::{Failure, Shown};
use crate::amount::{MassDensity, MeasureSystem, kg_per_m3, read_duration, read_number, read_volume};
use crate::diag::{Checked, Problem, Problems};
use crate::order::Room;
use crate::plan::{Wish, choose};
use crate::sheet;

pub fn run(a: &ChooseArgs) -> Result<Shown, Failure> {
    let wish = wish(a)?;
    let library = library(a.recipes.as_deref())?;
    let recipes = library.entries().iter().map(|e| library.recipe(&e.id)).collect::<Checked<Vec<_>>>()?;
    let choice = choose(wish, recipes);
    Ok(Shown::text(match a.output.format {
        Format::Text => sheet::choose::text(&choice, width(a.output.width)),
        Format::Json => json(&sheet::json::choose(&choice)),
        Format::Html => sheet::choose::page(&choice),
    }))
}

fn wish(a: &ChooseArgs) -> Checked<Wish> {
    let mut problems = Vec::new();
    let metal = gather(known_metal(&a.metal, "--metal"), &mut problems);
    let binder = a.binder.as_deref().and_then(|b| gather(known_material(b, "--binder"), &mut problems));
    let density =
        a.density.as_deref().and_then(|d| gather(density(d).map_err(|p| p.in_field("--density")), &mut problems));
    let look = a.look.as_deref().and_then(|l| gather(finish(l, "--look"), &mut problems));
    let shelf = a.bench.as_deref().and_then(|b| gather(bench(Some(b)), &mut problems));
    let base = shelf.as_ref().map_or_else(Room::default, |b| b.room);
    let named = room(base, a.room_m3.as_deref(), a.air_changes.as_deref(), a.outdoors);
    let room = gather(named, &mut problems).unwrap_or(base);
    let patience = a.patience.as_deref().map(|p| read_duration(p).map_err(|e| e.in_field("--patience")));
    let patience = patience.and_then(|p| gather(p, &mut problems));
    let volume = gather(read_volume(&a.volume, MeasureSystem::Metric).map_err(|p| p.in_field("--for")), &mut problems);
    match (metal, volume) {
        (Some(metal), Some(volume)) if problems.is_empty() => {
            Ok(Wish { metal, binder, density, look, bench: shelf, room, patience, volume })
        }
        _ => Err(Problems(problems)),
    }
}

/// "1.85 g/cm3", "1850 kg/m3"; a bare number is g/cm³.
fn density(text: &str) -> Checked<MassDensity> {
    let text = text.trim();
    let wrong = || {
        Problems::from(
            Problem::error(format!("`{text}` is no density of a filament"))
                .hint("write it as `1.85 g/cm3`, from 0.8 to 12"),
        )
    };
    let (figure, factor) = if let Some(f) = text.strip_suffix("kg/m3").or_else(|| text.strip_suffix("kg/m\u{b3}")) {
        (f, 1.0)
    } else {
        let units = ["g/cm3", "g/cm\u{b3}", "g/ml", "g/mL", "g/cc"];
        (units.iter().find_map(|u| text.strip_suffix(u)).unwrap_or(text), 1000.0)
    };
    let value = read_number(figure.trim()).map_err(|_| wrong())?.to_f64() * factor;
    if (800.0..=12_000.0).contains(&value) { Ok(kg_per_m3(value)) } else { Err(wrong()) }
}
