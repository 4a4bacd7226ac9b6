//! Parts side by side on the bottom of a vessel: conservative arrangements, so "fits" can be believed and "does not fit"
//! means that no simple arrangement was found.

use std::f64::consts::PI;

/// Room between parts and to the wall, so that liquid and air reach every side, mm (our choice).
pub(super) const CLEARANCE_MM: f64 = 5.0;

/// A piece on the bottom: its rectangle and the circle round it, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub length: f64,
    pub width: f64,
    pub diameter: f64,
}

impl Piece {
    fn with(self, clearance: f64) -> Piece {
        Piece { length: self.length + clearance, width: self.width + clearance, diameter: self.diameter + clearance }
    }
}

/// Radius of the circle that holds `n` circles of radius 1 in a plain arrangement: a ring, a ring round one, or hexagons.
/// Elementary geometry; up to seven circles these are the best there are.
fn ring_radius(n: usize) -> f64 {
    let ring = |k: usize| 1.0 + 1.0 / libm::sin(PI / k as f64);
    match n {
        0 | 1 => 1.0,
        2 => 2.0,
        3..=6 => ring(n),
        _ => {
            let hexagons = (1..).find(|k| 1 + 3 * k * (k + 1) >= n).unwrap_or(n);
            ring(n - 1).min(1.0 + 2.0 * hexagons as f64)
        }
    }
}

/// Whether the pieces stand side by side in a circle of this diameter, with `clearance` between them and to the wall.
pub(super) fn in_circle(pieces: &[Piece], diameter: f64, clearance: f64) -> bool {
    let grown: Vec<Piece> = pieces.iter().map(|p| p.with(clearance)).collect();
    let largest = grown.iter().map(|p| p.diameter).fold(0.0, f64::max);
    // Half a clearance all round each piece, and as much at the wall.
    let free = diameter - clearance;
    if largest * ring_radius(grown.len()) <= free * (1.0 + 1e-12) {
        return true;
    }
    // Rectangles that touch the circle with their corners: whole rows of the largest piece, and from slim to flat.
    let most = |size: fn(&Piece) -> f64| grown.iter().map(size).fold(0.0, f64::max);
    let sizes = [most(|p| p.length.max(p.width)), most(|p| p.length.min(p.width))];
    let rows = (1..=grown.len().min(16)).flat_map(|k| sizes.map(|s| s * k as f64));
    let slim_to_flat = (1..32).map(|i| free * libm::cos(PI / 64.0 * f64::from(i)));
    rows.chain(slim_to_flat)
        .filter(|width| *width < free)
        .any(|width| in_rows(&grown, width, ((free - width) * (free + width)).max(0.0).sqrt()))
}

/// Whether the pieces stand side by side in a rectangle, with `clearance` between them and to the wall.
pub(super) fn in_rectangle(pieces: &[Piece], length: f64, width: f64, clearance: f64) -> bool {
    let grown: Vec<Piece> = pieces.iter().map(|p| p.with(clearance)).collect();
    let (l, w) = (length - clearance, width - clearance);
    in_rows(&grown, l, w) || in_rows(&grown, w, l)
}

/// Halvings in a search for the size that would do: to about a thousandth.
const HALVINGS: usize = 12;

/// The diameter of a circle that holds them for certain, for the message how much is missing.
pub(super) fn circle_needed(pieces: &[Piece]) -> f64 {
    let mut high = pieces.iter().map(|p| p.diameter).sum::<f64>().max(1e-9);
    let mut low = 0.0;
    // Not strictly monotone, but any diameter found holds them.
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if in_circle(pieces, middle, 0.0) { high = middle } else { low = middle }
    }
    high
}

/// By how much a rectangle has to grow, both ways alike, to hold them for certain.
pub(super) fn growth_needed(pieces: &[Piece], length: f64, width: f64) -> f64 {
    let long = pieces.iter().map(|p| p.length.max(p.width)).sum::<f64>();
    let (mut low, mut high) = (0.0, (long / length.min(width)).max(1.0));
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if in_rectangle(pieces, length * middle, width * middle, 0.0) { high = middle } else { low = middle }
    }
    high
}

/// Rows across `width`, the largest piece first in each; each row is as deep as its first piece.
fn in_rows(pieces: &[Piece], width: f64, depth: f64) -> bool {
    [false, true].iter().any(|&lying| {
        let mut turned: Vec<(f64, f64)> = pieces
            .iter()
            .map(|p| {
                let (long, short) = (p.length.max(p.width), p.length.min(p.width));
                if lying { (long, short) } else { (short, long) }
            })
            .collect();
        turned.sort_by(|a, b| b.1.total_cmp(&a.1).then(b.0.total_cmp(&a.0)));
        // A hair, so that four pieces of a quarter fit.
        let (width, depth) = (width * (1.0 + 1e-12), depth * (1.0 + 1e-12));
        let (mut used, mut row_depth, mut row_left) = (0.0, 0.0, 0.0);
        for (across, along) in turned {
            if across > row_left {
                used += row_depth;
                (row_depth, row_left) = (along, width);
            }
            if across > row_left || used + row_depth > depth {
                return false;
            }
            row_left -= across;
        }
        true
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Piece {
        Piece { length: side, width: side, diameter: side * 2f64.sqrt() }
    }

    fn disc(d: f64) -> Piece {
        Piece { length: d, width: d, diameter: d }
    }

    #[test]
    fn small_numbers_of_circles_match_plane_geometry() {
        for (n, r) in
            [(1, 1.0), (2, 2.0), (3, 1.0 + 2.0 / 3f64.sqrt()), (4, 1.0 + 2f64.sqrt()), (6, 3.0), (7, 3.0), (19, 5.0)]
        {
            assert!((ring_radius(n) - r).abs() < 1e-12, "{n}: {}", ring_radius(n));
        }
        assert!(ring_radius(8) < 3.31 && ring_radius(1000) < 40.0);
    }

    #[test]
    fn a_full_tray_holds_and_one_more_does_not() {
        let pieces = |n| vec![square(50.0); n];
        assert!(in_rectangle(&pieces(24), 300.0, 200.0, 0.0));
        assert!(!in_rectangle(&pieces(25), 300.0, 200.0, 0.0));
        assert!(!in_rectangle(&pieces(24), 300.0, 200.0, 5.0));
    }

    #[test]
    fn squares_in_a_circle_use_rows_where_circles_would_not_fit() {
        // Two squares of 40 side by side are 80 x 40: a circle of 89.5 holds them; as circles they would need 113.
        assert!(in_circle(&[square(40.0), square(40.0)], 90.0, 0.0));
        assert!(!in_circle(&[square(40.0), square(40.0)], 89.0, 0.0));
        assert!(in_circle(&[disc(20.0); 7], 60.0, 0.0));
        assert!(!in_circle(&[disc(20.0); 8], 60.0, 0.0));
    }
}
