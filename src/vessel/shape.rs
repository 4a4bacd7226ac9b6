//! Level and volume.

use crate::amount::{
    Area, Length, Volume, cubic_millimetres, figure, in_cubic_millimetres, in_millimetres, in_square_millimetres,
    millimetres, square_millimetres,
};
use crate::diag::{Checked, Problem, Problems};
use std::f64::consts::PI;

/// Inside shape of a vessel.
#[derive(Debug, Clone)]
pub enum VesselShape {
    /// A straight or tapered round vessel.
    Cup {
        /// Inside diameter at the bottom.
        bottom: Length,
        /// Inside diameter at the rim.
        top: Length,
        /// Inside height.
        height: Length,
    },
    /// A rectangular tray.
    Tray {
        /// Inside length.
        length: Length,
        /// Inside width.
        width: Length,
        /// Inside height.
        height: Length,
    },
    /// Levels found by pouring known volumes; straight lines between. Made by [`VesselShape::level_table`].
    LevelTable(Vec<(Length, Volume)>),
    /// Only capacity and height are known: the level is an estimate for a straight vessel.
    Capacity {
        /// To the rim.
        volume: Volume,
        /// Inside height.
        height: Length,
    },
}

/// The free room across a vessel at one level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Across {
    /// Round, with this inside diameter.
    Round(Length),
    /// A rectangle.
    Rectangle(Length, Length),
    /// The shape is not known; a round vessel with this surface would be so wide.
    AsIfRound(Length),
}

impl VesselShape {
    /// A level table from `(level, volume)` pairs as measured by pouring; the empty vessel (0, 0) is added.
    ///
    /// # Errors
    /// Names each pair that is not above the one before it, and an empty table.
    pub fn level_table(points: Vec<(Length, Volume)>) -> Checked<VesselShape> {
        let mut problems = Vec::new();
        let mut table = vec![(millimetres(0.0), cubic_millimetres(0.0))];
        for (i, (level, volume)) in points.into_iter().enumerate() {
            let (l, v) = (in_millimetres(level), in_cubic_millimetres(volume));
            let (l0, v0) = table.last().map_or((0.0, 0.0), |(l, v)| (in_millimetres(*l), in_cubic_millimetres(*v)));
            if i == 0 && l == 0.0 && v == 0.0 {
                continue;
            }
            if !(l.is_finite() && v.is_finite() && l > l0 && v > v0) {
                let found = format!("level {} mm holds {} mL", figure(l), figure(v / 1000.0));
                let allowed = format!("above {} mm and {} mL, the pair before it", figure(l0), figure(v0 / 1000.0));
                problems.push(Problem::error(format!("{found}, but it must be {allowed}")).in_field(format!("[{i}]")));
                continue;
            }
            table.push((level, volume));
        }
        if table.len() < 2 && problems.is_empty() {
            problems.push(Problem::error("a level table needs at least one level above the bottom, with its volume"));
        }
        if problems.is_empty() { Ok(VesselShape::LevelTable(table)) } else { Err(Problems(problems)) }
    }

    /// Inside height, to the rim (of a level table: the highest level measured).
    pub fn height(&self) -> Length {
        match self {
            VesselShape::Cup { height, .. }
            | VesselShape::Tray { height, .. }
            | VesselShape::Capacity { height, .. } => *height,
            VesselShape::LevelTable(table) => table.last().map_or_else(|| millimetres(0.0), |p| p.0),
        }
    }

    /// Volume to the rim.
    pub fn capacity(&self) -> Volume {
        self.volume_below(self.height())
    }

    /// Volume below a level. A level under the bottom counts as the bottom, one above the rim as the rim.
    ///
    /// Frustum of a cone: V = πh/12 · (b² + bd + d²) with d the diameter at the level.
    pub fn volume_below(&self, level: Length) -> Volume {
        let top = in_millimetres(self.height());
        // `max` first, so that NaN becomes the bottom.
        let h = in_millimetres(level).max(0.0).min(top.max(0.0));
        cubic_millimetres(match self {
            VesselShape::Cup { bottom, .. } => {
                let (b, d) = (in_millimetres(*bottom), self.diameter_mm(h));
                PI / 12.0 * h * (b * b + b * d + d * d)
            }
            VesselShape::Tray { length, width, .. } => in_millimetres(*length) * in_millimetres(*width) * h,
            VesselShape::LevelTable(table) => volume_at(table, h),
            VesselShape::Capacity { volume, .. } => {
                if top > 0.0 {
                    in_cubic_millimetres(*volume) * h / top
                } else {
                    0.0
                }
            }
        })
    }

    /// Level at which the vessel holds `volume`; `None` when it overflows (or `volume` is no number).
    pub fn level_of(&self, volume: Volume) -> Option<Length> {
        let (v, all) = (in_cubic_millimetres(volume), in_cubic_millimetres(self.capacity()));
        if v.is_nan() || v > all * (1.0 + 1e-12) {
            return None;
        }
        let v = v.max(0.0);
        let h = match self {
            VesselShape::Cup { bottom, top, height } => {
                // From π((r + kh)³ − r³)/3k = V; written so that a straight vessel (k = 0) needs no case of its own.
                let (r, rt, all) = (in_millimetres(*bottom) / 2.0, in_millimetres(*top) / 2.0, in_millimetres(*height));
                let k = (rt - r) / all;
                let at_level = libm::cbrt((r * r * r + 3.0 * k * v / PI).max(0.0));
                3.0 * v / PI / (at_level * at_level + at_level * r + r * r)
            }
            VesselShape::Tray { length, width, .. } => v / (in_millimetres(*length) * in_millimetres(*width)),
            VesselShape::LevelTable(table) => level_at(table, v),
            VesselShape::Capacity { height, .. } => in_millimetres(*height) * v / all,
        };
        let h = if h.is_finite() { h } else { 0.0 };
        Some(millimetres(h.min(in_millimetres(self.height()))))
    }

    /// Area of the liquid surface at a level.
    pub fn surface_at(&self, level: Length) -> Area {
        let h = in_millimetres(level).max(0.0);
        square_millimetres(match self {
            VesselShape::Cup { .. } => PI / 4.0 * self.diameter_mm(h).powi(2),
            VesselShape::Tray { length, width, .. } => in_millimetres(*length) * in_millimetres(*width),
            VesselShape::LevelTable(table) => slope_at(table, h),
            VesselShape::Capacity { volume, height } => in_cubic_millimetres(*volume) / in_millimetres(*height),
        })
    }

    /// The room across at a level.
    pub fn across(&self, level: Length) -> Across {
        match self {
            VesselShape::Cup { .. } => Across::Round(millimetres(self.diameter_mm(in_millimetres(level)))),
            VesselShape::Tray { length, width, .. } => Across::Rectangle(*length, *width),
            VesselShape::LevelTable(_) | VesselShape::Capacity { .. } => {
                let area = in_square_millimetres(self.surface_at(level));
                Across::AsIfRound(millimetres((area * 4.0 / PI).max(0.0).sqrt()))
            }
        }
    }

    /// Whether levels are an estimate.
    pub fn is_estimate(&self) -> bool {
        matches!(self, VesselShape::Capacity { .. })
    }

    /// Inside diameter of a cup at `h` mm; 0 for other shapes.
    fn diameter_mm(&self, h: f64) -> f64 {
        match self {
            VesselShape::Cup { bottom, top, height } => {
                let (b, t, all) = (in_millimetres(*bottom), in_millimetres(*top), in_millimetres(*height));
                if all > 0.0 { b + (t - b) * (h.max(0.0).min(all) / all) } else { b }
            }
            _ => 0.0,
        }
    }
}

/// The straight pieces of a level table as (level, volume) ends, mm and mm³; the first goes up from the empty vessel.
fn pieces(table: &[(Length, Volume)]) -> impl Iterator<Item = [(f64, f64); 2]> + '_ {
    let points = table.iter().map(|(l, v)| (in_millimetres(*l), in_cubic_millimetres(*v)));
    let mut from = (0.0, 0.0);
    points.filter_map(move |to| {
        let piece = [from, to];
        from = to;
        (to.0 > piece[0].0).then_some(piece)
    })
}

fn volume_at(table: &[(Length, Volume)], level: f64) -> f64 {
    let mut last = 0.0;
    for [(l0, v0), (l1, v1)] in pieces(table) {
        if level <= l1 {
            return v0 + (v1 - v0) * ((level - l0) / (l1 - l0)).clamp(0.0, 1.0);
        }
        last = v1;
    }
    last
}

fn level_at(table: &[(Length, Volume)], volume: f64) -> f64 {
    let mut last = 0.0;
    for [(l0, v0), (l1, v1)] in pieces(table) {
        if volume <= v1 {
            let share = if v1 > v0 { ((volume - v0) / (v1 - v0)).clamp(0.0, 1.0) } else { 1.0 };
            return l0 + (l1 - l0) * share;
        }
        last = l1;
    }
    last
}

/// dV/dh of a level table at `h` mm, in mm²; above the highest level that of the last piece.
fn slope_at(table: &[(Length, Volume)], h: f64) -> f64 {
    let mut slope = 0.0;
    for [(l0, v0), (l1, v1)] in pieces(table) {
        slope = (v1 - v0) / (l1 - l0);
        if h <= l1 {
            break;
        }
    }
    slope
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cup(b: f64, t: f64, h: f64) -> VesselShape {
        VesselShape::Cup { bottom: millimetres(b), top: millimetres(t), height: millimetres(h) }
    }

    #[test]
    fn a_frustum_and_its_inverse_agree_with_the_closed_form() {
        let c = cup(60.0, 82.0, 140.0);
        let exact = PI * 140.0 / 3.0 * (30.0 * 30.0 + 30.0 * 41.0 + 41.0 * 41.0);
        assert!((in_cubic_millimetres(c.capacity()) / exact - 1.0).abs() < 1e-14);
        for h in [0.0, 0.001, 1.0, 70.0, 139.9, 140.0] {
            let back = c.level_of(c.volume_below(millimetres(h))).map(in_millimetres);
            assert!(back.is_some_and(|b| (b - h).abs() < 1e-9), "{h} {back:?}");
        }
        assert_eq!(c.level_of(c.capacity() * 1.001), None);
    }

    #[test]
    fn a_cone_that_starts_at_a_point_works() {
        let c = cup(0.0, 100.0, 100.0);
        let back = c.level_of(c.volume_below(millimetres(50.0))).map(in_millimetres);
        assert!(back.is_some_and(|b| (b - 50.0).abs() < 1e-9));
        assert_eq!(c.level_of(cubic_millimetres(0.0)).map(in_millimetres), Some(0.0));
    }

    #[test]
    fn a_level_table_is_checked_and_goes_straight_between() {
        let t = |v: &[(f64, f64)]| {
            VesselShape::level_table(v.iter().map(|(l, v)| (millimetres(*l), cubic_millimetres(v * 1000.0))).collect())
        };
        let good = t(&[(10.0, 50.0), (20.0, 150.0)]);
        let v = good.as_ref().map(|s| in_cubic_millimetres(s.volume_below(millimetres(15.0)))).unwrap_or(0.0);
        assert!((v - 100_000.0).abs() < 1e-6);
        assert_eq!(t(&[(10.0, 50.0), (10.0, 40.0), (5.0, 60.0)]).map_err(|p| p.0.len()).err(), Some(2));
        // A table that does not begin with the empty vessel begins there all the same.
        let bare = VesselShape::LevelTable(vec![(millimetres(10.0), cubic_millimetres(50_000.0))]);
        assert_eq!(in_cubic_millimetres(bare.volume_below(millimetres(5.0))), 25_000.0);
        assert_eq!(bare.level_of(cubic_millimetres(25_000.0)).map(in_millimetres), Some(5.0));
        assert!(t(&[]).is_err());
        assert!(t(&[(f64::NAN, 1.0)]).is_err());
    }

    #[test]
    fn levels_that_are_no_numbers_do_no_harm() {
        let c = cup(60.0, 82.0, 140.0);
        assert_eq!(in_cubic_millimetres(c.volume_below(millimetres(f64::NAN))), 0.0);
        assert_eq!(c.level_of(cubic_millimetres(f64::NAN)), None);
        assert!(in_cubic_millimetres(c.volume_below(millimetres(f64::INFINITY))) > 0.0);
    }
}
