//! The vessel in section, as inline SVG.

use crate::amount::{Length, in_millimetres};
use crate::sheet::drawing::Drawing;
use crate::sheet::words::{self, Round};
use maud::{Markup, html};

/// The drawing's own size, and the room for the vessel in it; texts stand left and right of that room.
const WIDTH: f64 = 480.0;
const TOP: f64 = 22.0;
const TALLEST: f64 = 210.0;
const MIDDLE: f64 = 225.0;
const WIDEST: f64 = 190.0;
/// At most this many kinds of parts or ballast are drawn; all are named in the table.
const MOST: usize = 4;
/// Texts nearer than this to each other would overprint.
const LINE: f64 = 14.0;

/// Where levels and walls come to lie on paper.
struct Paper {
    per_mm: f64,
    bottom: f64,
    half_bottom: f64,
    half_top: f64,
}

impl Paper {
    /// `None` when the levels are no numbers that can be drawn.
    fn of(d: &Drawing) -> Option<Paper> {
        let rim = in_millimetres(d.rim);
        let levels = [d.fill_line, d.level_before, d.cover].map(in_millimetres);
        if !rim.is_finite() || rim <= 0.0 || levels.iter().any(|x| !x.is_finite() || *x < 0.0) {
            return None;
        }
        // Without a known shape the vessel is drawn three quarters as wide as it is high.
        let (low, high) = d.widths.map_or((rim * 0.75, rim * 0.75), |(b, t)| (in_millimetres(b), in_millimetres(t)));
        let widest = low.max(high);
        if !(widest.is_finite() && low > 0.0 && high > 0.0) {
            return None;
        }
        let per_mm = (TALLEST / rim).min(WIDEST / widest);
        Some(Paper {
            per_mm,
            bottom: TOP + rim * per_mm,
            half_bottom: low * per_mm / 2.0,
            half_top: high * per_mm / 2.0,
        })
    }

    fn y(&self, level: Length) -> f64 {
        (self.bottom - in_millimetres(level) * self.per_mm).clamp(TOP, self.bottom)
    }

    /// Half the inside width at a height on paper.
    fn half(&self, y: f64) -> f64 {
        let up = (self.bottom - y) / (self.bottom - TOP);
        self.half_bottom + (self.half_top - self.half_bottom) * up
    }

    fn height(&self) -> f64 {
        self.bottom + 44.0
    }
}

/// The drawing, or nothing when it cannot be drawn.
pub(super) fn svg(d: &Drawing) -> Markup {
    let Some(paper) = Paper::of(d) else { return html! {} };
    let (fill, before) = (paper.y(d.fill_line), paper.y(d.level_before));
    let widest = paper.half_top.max(paper.half_bottom);
    let (left, right) = (MIDDLE - widest - 14.0, MIDDLE + widest + 14.0);
    let said = format!(
        "Vessel in section: fill line {}, level before parts {}, freeboard {}",
        mm(d.fill_line, Round::Nearest),
        mm(d.level_before, Round::Nearest),
        mm(d.rim - d.fill_line, Round::Down)
    );
    let scale =
        if d.widths.is_some() { "Vessel to scale; width of the parts not." } else { "Heights to scale, widths not." };
    let (wide_bottom, wide_top) = (paper.half_bottom, paper.half_top);
    html! {
        svg.vessel viewBox=(format!("0 0 {WIDTH} {}", px(paper.height()))) role="img" aria-label=(said)
            font-family="Liberation Sans, Arial, Helvetica, sans-serif" font-size="11" fill="none" stroke="#111" {
            // Liquid: a light ground that still reads as grey in black and white.
            polygon points=(format!("{},{} {},{} {},{} {},{}",
                px(MIDDLE - paper.half(fill)), px(fill), px(MIDDLE + paper.half(fill)), px(fill),
                px(MIDDLE + wide_bottom), px(paper.bottom), px(MIDDLE - wide_bottom), px(paper.bottom)))
                fill="#e3ecf1" stroke="none" {}
            (parts(d, &paper))
            path d=(format!("M{} {} L{} {} H{} L{} {}", px(MIDDLE - wide_top), px(TOP), px(MIDDLE - wide_bottom),
                px(paper.bottom), px(MIDDLE + wide_bottom), px(MIDDLE + wide_top), px(TOP))) stroke-width="3" {}
            line x1=(px(left)) y1=(px(fill)) x2=(px(right)) y2=(px(fill)) stroke-width="2" {}
            line x1=(px(MIDDLE - paper.half(before))) y1=(px(before)) x2=(px(MIDDLE + paper.half(before))) y2=(px(before))
                stroke-dasharray="5 4" {}
            (left_texts(d, &[TOP, fill, before], left - 4.0, MIDDLE - widest))
            (right_texts(d, &paper, right + 4.0))
            g fill="#111" stroke="none" {
                text x=(px(MIDDLE)) y=(px(paper.bottom + 18.0)) text-anchor="middle" {
                    @if d.estimate { "Levels are estimates. " } (scale)
                }
                @if let Some(vessel) = &d.vessel {
                    text x=(px(MIDDLE)) y=(px(paper.bottom + 33.0)) text-anchor="middle" { (vessel) }
                }
            }
        }
    }
}

/// Rim, fill line and the level before, with a thin line to the wall where texts had to make room.
fn left_texts(d: &Drawing, levels: &[f64; 3], x: f64, wall: f64) -> Markup {
    let mut at = *levels;
    spread(&mut at);
    let texts = [
        format!("rim {}", mm(d.rim, Round::Nearest)),
        format!("fill line {}", mm(d.fill_line, Round::Nearest)),
        format!("before parts {}", mm(d.level_before, Round::Nearest)),
    ];
    html! {
        @for (i, text) in texts.iter().enumerate() {
            @let weight = if i == 1 { "bold" } else { "normal" };
            line x1=(px(x + 2.0)) y1=(px(at[i])) x2=(px(wall)) y2=(px(levels[i])) stroke-width="0.6" {}
            text x=(px(x)) y=(px(at[i] + 4.0)) text-anchor="end" font-weight=(weight) fill="#111" stroke="none" { (text) }
        }
    }
}

/// Freeboard, cover and ballast.
fn right_texts(d: &Drawing, paper: &Paper, x: f64) -> Markup {
    let fill = paper.y(d.fill_line);
    let covered = paper.y(d.fill_line - d.cover);
    let mut texts = vec![
        (f64::midpoint(TOP, fill), format!("freeboard {}", mm(d.rim - d.fill_line, Round::Down))),
        (f64::midpoint(fill, covered), format!("cover {}", mm(d.cover, Round::Down))),
    ];
    for ballast in d.ballast.iter().take(MOST) {
        texts.push((covered, short(ballast, WIDTH - x - 20.0)));
    }
    let mut at: Vec<f64> = texts.iter().map(|t| t.0).collect();
    spread(&mut at);
    html! {
        (bracket(TOP, fill, x))
        (bracket(fill, covered, x))
        @for (i, (wanted, text)) in texts.iter().enumerate() {
            @let from = if i < 2 { x + 4.0 } else { MIDDLE + paper.half(covered) * 0.5 };
            @let wanted = if i < 2 { *wanted } else { wanted - ballast_height(d, paper) / 2.0 };
            line x1=(px(from)) y1=(px(wanted)) x2=(px(x + 10.0)) y2=(px(at[i])) stroke-width="0.6" {}
            text x=(px(x + 13.0)) y=(px(at[i] + 4.0)) fill="#111" stroke="none" { (text) }
        }
    }
}

/// The parts on the bottom side by side, and the ballast as a dark bar on the highest, within the cover.
fn parts(d: &Drawing, paper: &Paper) -> Markup {
    let shown = &d.parts[..d.parts.len().min(MOST)];
    let narrow = paper.half_bottom.min(paper.half(paper.y(d.fill_line)));
    let room = (narrow * 2.0 - 12.0).max(1.0) / shown.len().max(1) as f64;
    let start = MIDDLE - narrow + 6.0;
    let top = paper.y(d.fill_line - d.cover);
    let bar = ballast_height(d, paper);
    html! {
        @for (i, (name, height)) in shown.iter().enumerate() {
            @let x = start + room * (i as f64 + 0.08);
            @let y = paper.y(*height);
            rect x=(px(x)) y=(px(y)) width=(px(room * 0.84)) height=(px(paper.bottom - y)) fill="#fff" stroke-width="1.5" {}
            text x=(px(x + room * 0.42)) y=(px((paper.bottom - 8.0).max(f64::midpoint(y, paper.bottom) + 4.0)))
                text-anchor="middle" fill="#111" stroke="none" { (short(name, room * 0.84)) }
        }
        @if !d.ballast.is_empty() {
            rect x=(px(MIDDLE - narrow * 0.7)) y=(px(top - bar)) width=(px(narrow * 1.4)) height=(px(bar)) rx="2" fill="#777" {}
        }
    }
}

fn ballast_height(d: &Drawing, paper: &Paper) -> f64 {
    ((paper.y(d.fill_line - d.cover) - paper.y(d.fill_line)) * 0.6).clamp(3.0, 12.0)
}

fn bracket(from: f64, to: f64, x: f64) -> Markup {
    html! { path d=(format!("M{} {} h4 V{} h-4", px(x), px(from + 1.0), px((to - 1.0).max(from + 1.0)))) {} }
}

/// Moves texts down until none overprints the one above it.
fn spread(at: &mut [f64]) {
    for i in 1..at.len() {
        at[i] = at[i].max(at[i - 1] + LINE);
    }
}

fn mm(length: Length, round: Round) -> String {
    words::length(length, round)
}

fn px(value: f64) -> String {
    words::fixed(value, 1, Round::Nearest)
}

/// A name cut to the room it has, at about six units a letter.
fn short(name: &str, room: f64) -> String {
    let most = (room / 6.0).max(3.0) as usize;
    if name.chars().count() <= most {
        return name.to_string();
    }
    let mut cut: String = name.chars().take(most.saturating_sub(1)).collect();
    cut.push('\u{2026}');
    cut
}
