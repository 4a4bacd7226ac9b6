//! Speed and fill of a barrel.

use crate::amount::{AngularVelocity, GRAVITY_M_S2, Length, Span, Volume, in_millimetres};
use uom::si::angular_velocity::radian_per_second;

/// Speed at which the largest piece would ride round with the shell, its weight just balanced: ω²·(D − d)/2 = g.
///
/// In metres and turns a minute this is the mill handbooks' N = 42.3/√(D − d) (mineral-processing texts; a laboratory
/// sheet read works the case D = 72 mm, d = 10.41 mm to 2.84 turns a second). `None` when the piece is not smaller
/// than the barrel.
pub fn critical_speed(barrel: Length, largest_piece: Length) -> Option<AngularVelocity> {
    let free_m = (in_millimetres(barrel) - in_millimetres(largest_piece)) / 1000.0;
    (free_m > 0.0).then(|| AngularVelocity::new::<radian_per_second>((2.0 * GRAVITY_M_S2 / free_m).sqrt()))
}

/// Working speed of a finishing barrel: 30 to 60 % of critical, so that the load slides and does not fall
/// (grinding mills run at 65 to 75 %, read; the lower share for finishing is common practice, no source).
pub fn working_speed(critical: AngularVelocity) -> Span<AngularVelocity> {
    Span { low: critical * 0.3, high: critical * 0.6 }
}

/// Share of a heap of loose media that is solid: poured spheres about 0.60, shaken down 0.64 (random close packing, read).
pub(super) const PACKING: Span<f64> = Span { low: 0.60, high: 0.64 };

/// Heaped media that fill the charge around the parts.
///
/// `charge` is heaped volume; parts take their own volume of it. Negative when the parts alone are more than the charge.
pub fn media_bulk_volume(charge: Volume, parts: Volume) -> Volume {
    charge - parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::millimetres;
    use uom::si::angular_velocity::revolution_per_minute;

    fn rpm(diameter_mm: f64, piece_mm: f64) -> f64 {
        critical_speed(millimetres(diameter_mm), millimetres(piece_mm)).unwrap().get::<revolution_per_minute>()
    }

    #[test]
    fn critical_speed_agrees_with_the_handbook_formula_and_its_worked_cases() {
        // N = 42.3/sqrt(D - d), D and d in metres (mineral-processing handbooks).
        for (d, piece) in [(100.0, 0.0), (150.0, 0.0), (200.0, 30.0), (300.0, 50.0)] {
            let handbook = 42.3 / ((d - piece) / 1000.0_f64).sqrt();
            assert!((rpm(d, piece) - handbook).abs() / handbook < 1e-3, "{d} {piece}");
        }
        // A laboratory sheet read: D = 72 mm, ball 10.41 mm, 2.84 turns a second.
        assert!((rpm(72.0, 10.41) / 60.0 - 2.84).abs() < 0.005);
        // A mill of 5 m at 75 % of critical turns at around 14 a minute (read).
        assert!((0.75 * rpm(5000.0, 0.0) - 14.0).abs() < 0.5);
        assert!(critical_speed(millimetres(50.0), millimetres(50.0)).is_none());
    }
}
