//! The vessel in section, as SVG: outline, fill line, level before, parts, ballast, dimensions.

use crate::amount::Length;
use crate::immersion::Immersion;
use crate::vessel::{Vessel, VesselShape};
use std::borrow::Cow;

/// What is drawn. Heights are to scale; widths of parts are not known here and are drawn for the eye alone.
#[derive(Debug, Clone)]
pub struct Drawing<'a> {
    /// Rim above the inside bottom.
    pub rim: Length,
    /// Fill line above the inside bottom.
    pub fill_line: Length,
    /// Level before parts and ballast go in.
    pub level_before: Length,
    /// Liquid above the highest part.
    pub cover: Length,
    /// Parts: name with count, height as it sits.
    pub parts: Vec<(Cow<'a, str>, Length)>,
    /// Ballast in words.
    pub ballast: Vec<Cow<'a, str>>,
    /// The vessel in words.
    pub vessel: Option<Cow<'a, str>>,
    /// Inside widths at bottom and rim, when the shape is known.
    pub widths: Option<(Length, Length)>,
    /// Whether the levels are an estimate.
    pub estimate: bool,
}

impl<'a> Drawing<'a> {
    /// The drawing of an immersion.
    pub fn of(found: &'a Immersion, vessel: Option<&'a Vessel>) -> Drawing<'a> {
        let many = |n: Option<u32>, name: &'a str| match n {
            None | Some(1) => super::words::clean(name),
            Some(n) => format!("{n} \u{d7} {}", super::words::clean(name)).into(),
        };
        Drawing {
            rim: vessel.map_or(found.fill_line + found.freeboard, |v| v.shape.height()),
            fill_line: found.fill_line,
            level_before: found.level_before,
            cover: found.cover,
            parts: found.parts.iter().map(|p| (many(Some(p.count), &p.name), p.height)).collect(),
            ballast: found.ballast.iter().map(|b| many(b.count, &b.thing)).collect(),
            vessel: vessel.map(|v| super::words::clean(&v.name)),
            widths: vessel.and_then(|v| match v.shape {
                VesselShape::Cup { bottom, top, .. } => Some((bottom, top)),
                VesselShape::Tray { length, .. } => Some((length, length)),
                VesselShape::LevelTable(_) | VesselShape::Capacity { .. } => None,
            }),
            estimate: found.fill_line_is_estimate,
        }
    }
}
