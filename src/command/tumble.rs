//! `tumble`: one load of a tumbling barrel.

use super::args::{Format, TumbleArgs};
use super::common::{after, gather, json, room, width};
use super::inputs::{bench, load};
use super::{Failure, Shown};
use crate::amount::{MeasureSystem, read_duration, read_length};
use crate::diag::{Checked, Problem, Problems};
use crate::finishing::{read_barrel, read_speed};
use crate::order::{self, Bench};
use crate::part::read_part;
use crate::plan::{self, TumbleOrder};
use crate::safety::Outcome;
use crate::sheet;
use jiff::tz::TimeZone;
use std::path::Path;

pub fn run(a: &TumbleArgs) -> Result<Shown, Failure> {
    let order = read(a)?;
    let columns = width(a.output.width);
    Ok(match plan::tumble(&order)? {
        Outcome::Passed(found) => Shown::text(match a.output.format {
            Format::Text => sheet::tumble::text(&found, columns),
            Format::Json => json(&sheet::json::tumble(&found)),
            Format::Html => sheet::tumble::page(&found),
        }),
        Outcome::Refused(review) => Shown::refused(match a.output.format {
            Format::Text => sheet::terminal::refused(Some("Tumbling"), &review, columns),
            Format::Json => json(&sheet::json::tumble_refused(&review)),
            Format::Html => sheet::html::refused(Some("Tumbling"), &review),
        }),
    })
}

fn read(a: &TumbleArgs) -> Checked<TumbleOrder> {
    let mut problems = Vec::new();
    let bench = gather(bench(a.bench.as_deref()), &mut problems).unwrap_or_default();
    let system = bench.measures.unwrap_or(MeasureSystem::Metric);
    let barrel = gather(read_barrel(&a.barrel).map_err(|p| p.in_field("--barrel")), &mut problems);
    let speed = a.speed.as_deref().map(|s| read_speed(s).map_err(|p| p.in_field("--speed")));
    let speed = speed.and_then(|s| gather(s, &mut problems));
    let parts = a.parts.iter().filter_map(|text| {
        let part = read_part(text, system, &|name| load(name, Path::new(""))).map_err(|p| p.in_field("--part"));
        gather(part, &mut problems)
    });
    let parts: Vec<_> = parts.collect();
    let mut length = |text: &Option<String>, flag: &str| {
        let read = text.as_deref().map(|t| read_length(t, Some("mm")).map_err(|p| p.in_field(flag)));
        read.and_then(|r| gather(r, &mut problems))
    };
    let (detail, media) = (length(&a.detail, "--detail"), length(&a.media, "--media"));
    let stage = a.stage.as_deref().map(|s| read_duration(s).map_err(|p| p.in_field("--stage")));
    let stage = stage.and_then(|s| gather(s, &mut problems));
    let grits = match a.grits.trim().parse::<u32>() {
        Ok(n) => n,
        Err(_) => {
            problems.push(
                Problem::error(format!("`{}` is no number of grits; allowed: 2 to 6", a.grits)).in_field("--grits"),
            );
            4
        }
    };
    let start =
        a.start.as_deref().map(|s| order::read_start(s, &TimeZone::system()).map_err(|p| p.in_field("--start")));
    let start = start.and_then(|s| gather(s, &mut problems));
    let quiet = a.quiet.as_deref().map(|s| order::read_quiet(s).map_err(|p| p.in_field("--quiet")));
    let quiet = quiet.and_then(|s| gather(s, &mut problems));
    let after = gather(after(a.after.as_deref(), "--after", system), &mut problems).unwrap_or_default();
    let Bench { room: base, .. } = bench;
    let room = gather(room(base, None, None, a.outdoors), &mut problems).unwrap_or(base);
    match barrel {
        Some(mut barrel) if problems.is_empty() => {
            barrel.speed = speed;
            let (marks_show, grits) = (a.marks, grits);
            Ok(TumbleOrder { barrel, parts, detail, media, grits, marks_show, stage, after, room, start, quiet })
        }
        _ => Err(Problems(problems)),
    }
}
