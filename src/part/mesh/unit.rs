//! Units of length a mesh file may be in, and the warning when the size says that it was another.

use super::triangles::Triangles;
use super::vector::bounds;
use crate::diag::Problem;

/// The unit of a mesh file's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum LengthUnit {
    Micrometre,
    Millimetre,
    Centimetre,
    Inch,
    Foot,
    Metre,
}

/// Parts smaller or larger than this in every direction are probably in another unit, millimetres (our choice: half a
/// millimetre to two metres).
const PLAUSIBLE: std::ops::RangeInclusive<f64> = 0.5..=2000.0;

impl LengthUnit {
    /// Millimetres in one of these; inch and foot as defined in 1959 (NIST SP 811, appendix B.6).
    pub fn millimetres(self) -> f64 {
        match self {
            LengthUnit::Micrometre => 0.001,
            LengthUnit::Millimetre => 1.0,
            LengthUnit::Centimetre => 10.0,
            LengthUnit::Inch => 25.4,
            LengthUnit::Foot => 304.8,
            LengthUnit::Metre => 1000.0,
        }
    }

    /// By the short name a person types: mm, cm, m, in, ft, um.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "um" | "µm" => LengthUnit::Micrometre,
            "mm" => LengthUnit::Millimetre,
            "cm" => LengthUnit::Centimetre,
            "in" => LengthUnit::Inch,
            "ft" => LengthUnit::Foot,
            "m" => LengthUnit::Metre,
            _ => return None,
        })
    }
}

impl std::fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            LengthUnit::Micrometre => "micrometre",
            LengthUnit::Millimetre => "millimetre",
            LengthUnit::Centimetre => "centimetre",
            LengthUnit::Inch => "inch",
            LengthUnit::Foot => "foot",
            LengthUnit::Metre => "metre",
        })
    }
}

/// Turns the file's numbers into millimetres. A warning when the size is implausible and nobody `stated` the unit.
pub(super) fn to_millimetres(mesh: &mut Triangles, unit: LengthUnit, stated: bool) -> Option<Problem> {
    let k = unit.millimetres();
    if k != 1.0 {
        mesh.points.iter_mut().flatten().for_each(|c| *c *= k);
    }
    let (low, high) = bounds(mesh.points.iter().copied())?;
    let largest = (0..3).map(|i| high[i] - low[i]).fold(0.0, f64::max);
    if stated { None } else { implausible(largest) }
}

/// The warning for a largest dimension in millimetres.
pub(super) fn implausible(largest: f64) -> Option<Problem> {
    (!PLAUSIBLE.contains(&largest)).then(|| {
        let why =
            if largest < 1.0 { "probably the file is in metres or inches" } else { "probably it is in micrometres" };
        Problem::warning(format!("the part is {largest:.3} mm in its largest direction; {why}"))
            .hint("say the unit - mm, cm, m, in, ft or um - with `--unit in` when measuring, or `unit in` beside the file in a part")
    })
}

/// Six significant figures, without an exponent for the sizes parts have, without zeros at the end, and no minus before 0.
pub fn six_figures(x: f64) -> String {
    if x.abs() < 5e-7 {
        return "0".to_string();
    }
    let digits = (5 - libm::log10(x.abs()).floor() as i32).clamp(0, 9) as usize;
    let text = format!("{x:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_figures_and_no_zeros_behind_them() {
        for (x, text) in
            [(8_922.636_658_89, "8922.64"), (24.000_000_000_000_004, "24"), (1e6, "1000000"), (-5e-17, "0")]
        {
            assert_eq!(six_figures(x), text);
        }
    }

    #[test]
    fn only_sizes_that_parts_do_not_have_are_doubted() {
        assert!(implausible(0.04).is_some() && implausible(4000.0).is_some());
        assert!(implausible(1.0).is_none() && implausible(254.0).is_none());
    }
}
