//! The sheet of one load of a tumbling barrel.

use super::model::{Block, Section, Sheet};
use super::words::{self, Round, cleaned};
use super::{compose, html, terminal};
use crate::amount::{figure, in_millimetres, millilitres};
use crate::finishing::{Rolling, turns_a_minute};
use crate::plan::TumblePlan;
use crate::safety::Reviewed;
use crate::timetable::in_words;
use std::borrow::Cow;

/// As text.
pub fn text(found: &Reviewed<TumblePlan>, width: usize) -> String {
    terminal::text(&sheet(found), width)
}

/// As a page to print.
pub fn page(found: &Reviewed<TumblePlan>) -> String {
    html::page(&sheet(found))
}

/// The sheet itself.
pub fn sheet(found: &Reviewed<TumblePlan>) -> Sheet<'_> {
    let plan = found.value();
    let mut sheet = compose::check(found.review());
    sheet.title = "Tumbling".into();
    let subtitle = format!(
        "{}, barrel {} x {} mm inside",
        parts(plan),
        figure(in_millimetres(plan.barrel.diameter)),
        figure(in_millimetres(plan.barrel.length))
    );
    sheet.subtitle = Some(subtitle.into());
    let findings = std::mem::take(&mut sheet.below);
    sheet.below = cautions(plan).into_iter().chain(sections(plan)).collect();
    sheet.below.extend(compose::checklist(&plan.timetable, "the barrel starts"));
    sheet.below.extend(findings);
    sheet
}

fn parts(plan: &TumblePlan) -> String {
    let names: Vec<String> = plan
        .parts
        .iter()
        .map(|p| if p.count == 1 { p.name.clone() } else { format!("{} \u{d7} {}", p.count, p.name) })
        .collect();
    words::clean(&names.join(", ")).into_owned()
}

/// What to beware of, gravest first.
pub(super) fn cautions(plan: &TumblePlan) -> Option<Section<'_>> {
    Section::of("Before it turns", vec![Block::List(cleaned(&plan.tumbling.cautions))])
}

/// The load, its stages, and everything about them.
pub(super) fn sections(plan: &TumblePlan) -> Vec<Section<'_>> {
    let t = &plan.tumbling;
    let mut load: Vec<(Cow<'_, str>, Cow<'_, str>)> = vec![
        ("Barrel holds".into(), words::volume(t.barrel_volume, Round::Nearest).into()),
        ("Parts take".into(), words::volume(t.parts_volume, Round::Nearest).into()),
        ("Parts and media together, heaped".into(), words::volume(t.charge, Round::Nearest).into()),
        (
            "Media to add, heaped".into(),
            format!("{} ({} to one of parts)", words::volume(t.media, Round::Nearest), figure(t.media_to_parts)).into(),
        ),
        (
            "Water, to just short of the top of the load".into(),
            format!(
                "about {} to {}",
                words::volume(t.water.low, Round::Nearest),
                words::volume(t.water.high, Round::Nearest)
            )
            .into(),
        ),
        (
            "Working speed".into(),
            format!(
                "{:.0} to {:.0} turns a minute (critical: {:.0})",
                turns_a_minute(t.working_speed.low),
                turns_a_minute(t.working_speed.high),
                turns_a_minute(t.critical_speed)
            )
            .into(),
        ),
        ("Soap in the last run".into(), format!("{} of liquid soap", words::volume(t.soap, Round::Nearest)).into()),
        (
            "Wet waste of each grit stage".into(),
            format!("about {}", words::volume(millilitres(plan.slurry_ml), Round::Up)).into(),
        ),
    ];
    if let Some(size) = t.media_size {
        let chosen =
            t.media_chosen.map(|m| format!("{} mm as chosen; ", figure(in_millimetres(m)))).unwrap_or_default();
        load.push((
            "Media size".into(),
            format!(
                "{chosen}under {} mm passes through the finest gap, over {} mm stays out; between them it lodges",
                figure(in_millimetres(size.low)),
                figure(in_millimetres(size.high))
            )
            .into(),
        ));
    }
    for (name, how, longest) in &t.rolling {
        let how = match how {
            Rolling::Freely => "rolls freely",
            Rolling::Cramped => "turns, but cramped",
            Rolling::Not => "does not turn",
        };
        load.push((words::clean(name), format!("{how} (longest {} mm)", figure(in_millimetres(*longest))).into()));
    }
    let rows = t.stages.iter().map(|s| {
        vec![
            words::clean(&s.name),
            s.grit_tablespoons.map_or("none".into(), |g| format!("{} level tbsp", figure(g)).into()),
            format!("{} ({} to {})", in_words(s.planned), in_words(s.length.low), in_words(s.length.high)).into(),
            s.looks.iter().map(|l| in_words(*l)).collect::<Vec<_>>().join(", ").into(),
        ]
    });
    let table = Block::Table(vec!["Stage", "Grit", "Planned (range)", "Looks after"], rows.collect());
    let list = |lines| vec![Block::List(cleaned(lines))];
    [
        Section::of("The load", vec![Block::Facts(load)]),
        Section::of("Stages", vec![table]),
        Section::of("What it costs", list(&t.losses)),
        Section::of("Notes", list(&t.notes)),
        Section::of("Not known", list(&t.unknown)),
        Section::of("By hand instead", list(&t.by_hand)),
        Section::of("Grit and slurry", vec![Block::List(waste())]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn waste<'a>() -> Vec<Cow<'a, str>> {
    vec![
        "Let slurry settle a day in a bucket, pour off clear water as local rules allow, dry the mud, bag it and bin it; never down a drain, where it sets.".into(),
        "Mud from copper alloys and lead-bearing brass holds metal: take it to the collection of hazardous waste. A business has duties of its own.".into(),
    ]
}
