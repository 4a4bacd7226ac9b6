//! The vessel in section, as inline SVG.

use crate::amount::{Length, in_millimetres};
use crate::sheet::drawing::Drawing;
use crate::sheet::words::{self, Round};
use maud::{Markup, html};

/// The drawing's own size and the vessel's place in it.
const WIDTH: f64 = 460.0;
const HEIGHT: f64 = 270.0;
const LEFT: f64 = 130.0;
const RIGHT: f64 = 290.0;
const TOP: f64 = 24.0;
const BOTTOM: f64 = 236.0;
/// At most this many kinds of parts are drawn; all are named in the table.
const MOST_PARTS: usize = 4;
/// Two dimension texts closer than this would overprint.
const LINE: f64 = 13.0;

/// The drawing, or nothing when the levels are no numbers that can be drawn.
pub(super) fn svg(d: &Drawing) -> Markup {
    let rim = in_millimetres(d.rim);
    let all = [rim, in_millimetres(d.fill_line), in_millimetres(d.level_before), in_millimetres(d.cover)];
    if rim <= 0.0 || all.iter().any(|x| !x.is_finite() || *x < 0.0) {
        return html! {};
    }
    let y = |level: Length| BOTTOM - (in_millimetres(level) / rim).clamp(0.0, 1.0) * (BOTTOM - TOP);
    let px = |value: f64| words::fixed(value, 1, Round::Nearest);
    let (fill, before, top) = (y(d.fill_line), y(d.level_before), y(d.fill_line - d.cover));
    let mm = |length: Length, round| words::length(length, round);
    let before_text = if (before - fill).abs() < LINE { fill + LINE } else { before };
    let said = format!(
        "Vessel in section: fill line {}, level before parts {}, freeboard {}",
        mm(d.fill_line, Round::Nearest),
        mm(d.level_before, Round::Nearest),
        mm(d.rim - d.fill_line, Round::Down)
    );
    html! {
        svg.vessel viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-label=(said)
            font-family="Liberation Sans, Arial, Helvetica, sans-serif" font-size="11" fill="none" stroke="#111" {
            // Liquid: a light ground that still reads as grey in black and white.
            rect x=(LEFT) y=(px(fill)) width=(RIGHT - LEFT) height=(px(BOTTOM - fill)) fill="#e6eef2" stroke="none" {}
            (parts(d, &y))
            (ballast(d, fill, top))
            path d=(format!("M{LEFT} {TOP} V{BOTTOM} H{RIGHT} V{TOP}")) stroke-width="3" {}
            line x1=(LEFT - 14.0) y1=(px(fill)) x2=(RIGHT + 14.0) y2=(px(fill)) stroke-width="2" {}
            line x1=(LEFT) y1=(px(before)) x2=(RIGHT) y2=(px(before)) stroke-dasharray="5 4" {}
            g fill="#111" stroke="none" {
                text x=(LEFT - 18.0) y=(px(fill + 4.0)) text-anchor="end" font-weight="bold" {
                    "fill line " (mm(d.fill_line, Round::Nearest))
                }
                text x=(LEFT - 18.0) y=(px(before_text + 4.0)) text-anchor="end" {
                    "before parts " (mm(d.level_before, Round::Nearest))
                }
                text x=(LEFT - 18.0) y=(px(TOP + 4.0)) text-anchor="end" { "rim " (mm(d.rim, Round::Nearest)) }
                text x=(LEFT) y=(HEIGHT - 18.0) {
                    @if d.estimate { "Levels are estimates. " } "Heights to scale, widths not."
                }
                @if let Some(vessel) = &d.vessel { text x=(LEFT) y=(HEIGHT - 4.0) { (vessel) } }
            }
            (dimension(TOP, fill, &format!("freeboard {}", mm(d.rim - d.fill_line, Round::Down))))
            (dimension(fill, top, &format!("cover {}", mm(d.cover, Round::Down))))
        }
    }
}

/// The parts, standing on the bottom side by side.
fn parts(d: &Drawing, y: &dyn Fn(Length) -> f64) -> Markup {
    let shown = &d.parts[..d.parts.len().min(MOST_PARTS)];
    let room = (RIGHT - LEFT - 20.0) / shown.len().max(1) as f64;
    html! {
        @for (i, (name, height)) in shown.iter().enumerate() {
            @let x = LEFT + 10.0 + room * i as f64 + room * 0.1;
            @let top = y(*height);
            rect x=(words::fixed(x, 1, Round::Nearest)) y=(words::fixed(top, 1, Round::Nearest))
                width=(words::fixed(room * 0.8, 1, Round::Nearest)) height=(words::fixed(BOTTOM - top, 1, Round::Nearest))
                fill="#fff" stroke-width="1.5" {}
            text x=(words::fixed(x + room * 0.4, 1, Round::Nearest)) y=(words::fixed(BOTTOM - 8.0, 1, Round::Nearest))
                text-anchor="middle" fill="#111" stroke="none" { (short(name, room)) }
        }
    }
}

/// Ballast as a hatched bar on the highest part, within the cover.
fn ballast(d: &Drawing, fill: f64, top: f64) -> Markup {
    let height = ((top - fill) * 0.6).clamp(4.0, 12.0);
    let y = words::fixed(top - height, 1, Round::Nearest);
    html! {
        @if !d.ballast.is_empty() {
            rect x=(LEFT + 24.0) y=(y) width=(RIGHT - LEFT - 48.0) height=(words::fixed(height, 1, Round::Nearest))
                rx="2" fill="#777" {}
            line x1=(RIGHT - 26.0) y1=(words::fixed(top - height / 2.0, 1, Round::Nearest)) x2=(RIGHT + 22.0)
                y2=(words::fixed(top + 22.0, 1, Round::Nearest)) {}
            g fill="#111" stroke="none" {
                @for (i, b) in d.ballast.iter().take(MOST_PARTS).enumerate() {
                    text x=(RIGHT + 26.0) y=(words::fixed(top + 26.0 + LINE * i as f64, 1, Round::Nearest)) { (short(b, 140.0)) }
                }
            }
        }
    }
}

/// A dimension on the right of the vessel.
fn dimension(from: f64, to: f64, text: &str) -> Markup {
    let px = |value: f64| words::fixed(value, 1, Round::Nearest);
    let x = RIGHT + 20.0;
    html! {
        path d=(format!("M{} {} H{} V{} H{}", x - 4.0, px(from + 1.0), x, px(to - 1.0), x - 4.0)) {}
        text x=(x + 6.0) y=(px(f64::midpoint(from, to) + 4.0)) fill="#111" stroke="none" { (text) }
    }
}

/// A name cut to the room it has, about six units a letter.
fn short(name: &str, room: f64) -> String {
    let most = ((room / 6.0).max(3.0)) as usize;
    if name.chars().count() <= most {
        return name.to_string();
    }
    let mut cut: String = name.chars().take(most.saturating_sub(1)).collect();
    cut.push('\u{2026}');
    cut
}
