//! `plan`: one job, or a folder of them, in every format.

use super::args::{PlanArgs, PlanFormat};
use super::common::{after, gather, json, read_yaml_text, room, width};
use super::inputs::{bench, library, load, recipe, target, vessel};
use super::{Failure, Shown};
use crate::amount::{read_duration, read_length, read_temperature, read_volume};
use crate::diag::{Checked, Place, Problem, Problems};
use crate::finishing::read_barrel;
use crate::order::{self, Lay, Order, Surroundings};
use crate::part::read_part;
use crate::plan::{Plan, WholeOrder, plan, plan_whole};
use crate::recipe::Library;
use crate::safety::Outcome;
use crate::sheet;
use jiff::tz::TimeZone;
use std::borrow::Cow;
use std::path::{Path, PathBuf};

pub fn run(a: &PlanArgs) -> Result<Shown, Failure> {
    if let [one] = a.what.as_slice()
        && Path::new(one).is_dir()
    {
        return folder(a, Path::new(one));
    }
    let order = order(a)?;
    let planned = planned(a, &order)?;
    let shown = show(a, &order, &planned)?;
    // The process ends with this job: taking it apart piece by piece would give nothing back any sooner.
    std::mem::forget((order, planned));
    match &a.output {
        None => Ok(shown),
        Some(path) => {
            write(path, &shown.out)?;
            Ok(Shown { messages: format!("written to {}", path.display()), out: String::new(), code: shown.code })
        }
    }
}

/// Plans every order of a folder; the gravest exit code wins, and a faulty order does not hide the others.
fn folder(a: &PlanArgs, folder: &Path) -> Result<Shown, Failure> {
    if a.output.is_none() && matches!(a.format, PlanFormat::Html | PlanFormat::Ics) {
        return Err(Problem::error("the plans of a folder are a file each in this format")
            .hint("name a folder for them with `--output`")
            .in_field("--format")
            .into());
    }
    let mut faults = Vec::new();
    let files = orders(folder, &mut faults)?;
    let library = library(a.recipes.as_deref())?;
    let (mut code, mut messages, mut shown) = (0, String::new(), Vec::new());
    for file in &files {
        let name = file.display().to_string();
        let one = from_file(&name, &library).and_then(|o| overlay(a, o)).map_err(Failure::from);
        match one.and_then(|o| show(a, &o, &planned(a, &o)?)) {
            Ok(one) => {
                code = code.max(one.code);
                let done = if one.code == 0 { "planned" } else { "refused as unsafe" };
                if let Some(out) = &a.output {
                    write(
                        &out.join(file.with_extension(extension(a.format)).file_name().unwrap_or_default()),
                        &one.out,
                    )?;
                    messages.push_str(&format!("{name}: {done}\n"));
                }
                shown.push((name, one.out));
            }
            Err(Failure::Input(p)) => faults.extend(p.in_file(&name).0),
            Err(other) => return Err(other),
        }
    }
    if !faults.is_empty() {
        // What could be planned is shown, and the faults decide the exit code.
        messages.push_str(&Problems(faults).to_string());
        code = code.max(2);
    }
    let out = match a.format {
        _ if a.output.is_some() => String::new(),
        PlanFormat::Json => json_list(&shown),
        _ => shown.iter().map(|(name, text)| format!("==== {name}\n{}\n", text.trim_end())).collect(),
    };
    Ok(Shown { out, messages, code })
}

/// The order files of a folder, in the order of their names; one that cannot be read is a fault.
fn orders(folder: &Path, faults: &mut Vec<Problem>) -> Checked<Vec<PathBuf>> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .map_err(|e| Problem::error(format!("the folder cannot be read: {e}")).at(place(folder)))?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "yaml" || e == "yml"))
        .collect();
    files.sort();
    files.retain(|p| gather(read_yaml_text(p), faults).is_some_and(|text| order::is_order(&text)));
    for pair in files.windows(2).filter(|pair| pair[0].file_stem() == pair[1].file_stem()) {
        let other = pair[0].display();
        faults.push(
            Problem::error(format!("this file and {other} have the same name; their plans would be one file"))
                .hint("rename one of them")
                .at(place(&pair[1])),
        );
    }
    files.dedup_by(|second, first| second.file_stem() == first.file_stem());
    if files.is_empty() && faults.is_empty() {
        let p = Problem::error("the folder holds no order file (a .yaml file with a `recipe:`)");
        return Err(p.at(place(folder)).into());
    }
    Ok(files)
}

fn extension(format: PlanFormat) -> &'static str {
    match format {
        PlanFormat::Text => "txt",
        PlanFormat::Json => "json",
        PlanFormat::Html => "html",
        PlanFormat::Ics => "ics",
    }
}

/// The plans of a folder as one JSON list, each with the file it came from.
fn json_list(shown: &[(String, String)]) -> String {
    let items = shown.iter().filter_map(|(name, text)| {
        let plan: serde_json::Value = serde_json::from_str(text).ok()?;
        Some(serde_json::json!({ "file": name, "plan": plan }))
    });
    json(&serde_json::Value::Array(items.collect()))
}

fn place(path: &Path) -> Place {
    Place { file: Some(path.display().to_string()), ..Place::default() }
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    if let Some(parent) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
        std::fs::create_dir_all(parent)
            .map_err(|e| Failure::Other(format!("{} cannot be made: {e}", parent.display())))?;
    }
    std::fs::write(path, text).map_err(|e| Failure::Other(format!("{} cannot be written: {e}", path.display())))
}

fn planned(a: &PlanArgs, order: &Order) -> Result<Outcome<Plan>, Failure> {
    if a.format == PlanFormat::Ics && order.start.is_none() {
        return Err(Problem::error("calendar entries need a start")
            .hint("add `--start 2026-11-27T09:00`, or `start:` in the order")
            .in_field("--start")
            .into());
    }
    Ok(match whole(a, order)? {
        Some(whole) => plan_whole(order, &whole)?,
        None => plan(order)?,
    })
}

fn show(a: &PlanArgs, order: &Order, planned: &Outcome<Plan>) -> Result<Shown, Failure> {
    let columns = width(a.width);
    Ok(match planned {
        Outcome::Passed(reviewed) => Shown::text(match a.format {
            PlanFormat::Text => sheet::terminal::plan(reviewed, columns),
            PlanFormat::Json => json(&sheet::json::plan(reviewed)),
            PlanFormat::Html => sheet::html::plan(reviewed),
            PlanFormat::Ics => sheet::calendar::plan(reviewed, jiff::Timestamp::now())?,
        }),
        Outcome::Refused(review) => Shown::refused(match a.format {
            PlanFormat::Text => sheet::terminal::refused(Some(&order.recipe.title), review, columns),
            PlanFormat::Json => json(&sheet::json::refused(Some(&order.recipe.id), review)),
            PlanFormat::Html => sheet::html::refused(Some(&order.recipe.title), review),
            PlanFormat::Ics => {
                sheet::calendar::refused(Some(&order.recipe.title), review, order, jiff::Timestamp::now())
            }
        }),
    })
}

/// What the command line says of the whole job.
fn whole(a: &PlanArgs, order: &Order) -> Checked<Option<WholeOrder>> {
    if !a.whole {
        return Ok(None);
    }
    let mut problems = Vec::new();
    let system = order.measures();
    let barrel = a.barrel.as_deref().map(|b| read_barrel(b).map_err(|p| p.in_field("--barrel")));
    let barrel = barrel.and_then(|b| gather(b, &mut problems));
    let stage = a.stage.as_deref().map(|s| read_duration(s).map_err(|p| p.in_field("--stage")));
    let stage = stage.and_then(|s| gather(s, &mut problems));
    let degrease = gather(after(a.degrease.as_deref(), "--degrease", system), &mut problems);
    let degrease = degrease.unwrap_or_default();
    let mut length = |text: &Option<String>, flag: &str| {
        let read = text.as_deref().map(|t| read_length(t, Some("mm")).map_err(|p| p.in_field(flag)));
        read.and_then(|r| gather(r, &mut problems))
    };
    let (detail, media) = (length(&a.detail, "--detail"), length(&a.media, "--media"));
    let (grits, marks_show) = (a.grits, a.marks);
    if problems.is_empty() {
        Ok(Some(WholeOrder { barrel, grits, marks_show, stage, detail, media, degrease }))
    } else {
        Err(Problems(problems))
    }
}

fn order(a: &PlanArgs) -> Checked<Order> {
    let library = library(a.recipes.as_deref())?;
    match a.what.as_slice() {
        [one] if one == "demo" => {
            let around = Surroundings { load: &load_demo, zone: TimeZone::system(), library: &library };
            overlay(a, order::read_order(order::demo_order_text(), "demo/order.yaml", &around)?)
        }
        [one] if order::is_path(one) && read_yaml_text(Path::new(one)).is_ok_and(|t| order::is_order(&t)) => {
            overlay(a, from_file(one, &library)?)
        }
        what => {
            let recipe = recipe(what, a.measures.into(), &library)?;
            overlay(a, Order::new(recipe, bench(a.bench.as_deref())?))
        }
    }
}

fn load_demo(name: &str) -> Checked<Cow<'static, [u8]>> {
    order::demo_file(name)
        .map(Cow::Borrowed)
        .ok_or_else(|| Problem::error(format!("the demo order names no file `{name}`")).into())
}

/// An order file; the files that it names are looked for beside it.
fn from_file(file: &str, library: &Library) -> Checked<Order> {
    let text = read_yaml_text(Path::new(file))?;
    let folder = Path::new(file).parent().map(Path::to_path_buf).unwrap_or_default();
    let around = Surroundings { load: &|name| load(name, &folder), zone: TimeZone::system(), library };
    order::read_order(&text, file, &around)
}

/// Lays what the command line says over an order; every fault of the command line is reported.
fn overlay(a: &PlanArgs, mut order: Order) -> Checked<Order> {
    let mut problems = Vec::new();
    if let Some(path) = &a.bench
        && let Some(b) = gather(bench(Some(path)), &mut problems)
    {
        order.bench = b;
    }
    let system = order.measures();
    if !a.parts.is_empty() {
        order.parts.clear();
        for text in &a.parts {
            let part = read_part(text, system, &|name| load(name, Path::new(""))).map_err(|p| p.in_field("--part"));
            order.parts.extend(gather(part, &mut problems));
        }
    }
    if let Some(text) = &a.vessel {
        order.vessel = gather(vessel(text, &order.bench), &mut problems).or(order.vessel);
    }
    if let Some(text) = &a.start {
        let read = order::read_start(text, &TimeZone::system()).map_err(|p| p.in_field("--start"));
        order.start = gather(read, &mut problems).or(order.start);
    }
    if let Some(found) = gather(target(a.to.as_deref(), a.finished.as_deref(), &order.recipe, system), &mut problems) {
        order.target = found.or(order.target);
    }
    if let Some(text) = &a.fume_box {
        order.space =
            gather(order::read_box(text, system).map_err(|p| p.in_field("--box")), &mut problems).or(order.space);
    }
    if let Some(text) = &a.packing {
        order.space = gather(read_volume(text, system).map_err(|p| p.in_field("--packing")), &mut problems)
            .map(order::Space::from)
            .or(order.space);
    }
    if let Some(text) = &a.cover_depth {
        let read = order::read_cover_depth(text).map_err(|p| p.in_field("--cover-depth"));
        order.cover_depth = gather(read, &mut problems).unwrap_or(order.cover_depth);
    }
    if let Some(text) = &a.lay {
        order.lay = gather(Lay::read(text).map_err(|p| p.in_field("--lay")), &mut problems).unwrap_or(order.lay);
    }
    if let Some(text) = &a.margin {
        let read = order::read_margin(text).map_err(|p| p.in_field("--margin"));
        order.ballast_margin_percent = gather(read, &mut problems).unwrap_or(order.ballast_margin_percent);
    }
    if let Some(text) = &a.temperature {
        order.temperature = gather(read_temperature(text).map_err(|p| p.in_field("--temperature")), &mut problems);
    }
    if let Some(found) = gather(after(a.after.as_deref(), "--after", system), &mut problems)
        && a.after.is_some()
    {
        order.after = found;
    }
    let named = room(order.bench.room, a.room_m3.as_deref(), a.air_changes.as_deref(), a.outdoors);
    order.bench.room = gather(named, &mut problems).unwrap_or(order.bench.room);
    if let Some(text) = &a.quiet {
        let read = order::read_quiet(text).map_err(|p| p.in_field("--quiet"));
        order.quiet = gather(read, &mut problems).or(order.quiet);
    }
    if problems.is_empty() { Ok(order) } else { Err(Problems(problems)) }
}
