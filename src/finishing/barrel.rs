//! Speed and fill of a barrel, and how one is written.

use super::Barrel;
use crate::amount::{
    AngularVelocity, GRAVITY_M_S2, Length, Span, Volume, in_millimetres, read_dimensions, read_number, split_pieces,
};
use crate::diag::{Checked, Problem};
use crate::reference::material;
use uom::si::angular_velocity::{radian_per_second, revolution_per_minute};

/// A barrel as written: inside diameter by inside length, then what it is made of, if that matters ("150x180 mm, rubber").
///
/// # Errors
/// Not two lengths, a range, an unknown material.
pub fn read_barrel(text: &str) -> Checked<Barrel> {
    let usual = "write inside diameter by inside length, such as `150x180 mm`";
    let pieces = split_pieces(text)?;
    let Some((first, rest)) = pieces.split_first() else {
        return Err(Problem::error("no barrel is named").hint(usual).into());
    };
    let first = first.trim_start_matches("barrel").trim();
    let sizes = read_dimensions(first)?;
    let [diameter, length] = sizes.as_slice() else {
        return Err(Problem::error(format!("`{first}` has {} lengths; a barrel has two", sizes.len()))
            .hint(usual)
            .into());
    };
    if !(diameter.is_one() && length.is_one()) {
        return Err(Problem::error(format!("`{first}` is a range; a barrel has one size")).hint(usual).into());
    }
    let mut barrel = Barrel { diameter: diameter.low, length: length.low, speed: None, material: None };
    for piece in rest {
        barrel.material = Some(material(piece).ok_or_else(|| {
            Problem::error(format!("`{piece}` is no material this program knows"))
                .hint("`bathwright help writing` lists the materials")
        })?);
    }
    Ok(barrel)
}

/// Turns a minute as written: "40 rpm", "40/min", "40".
///
/// # Errors
/// Not a number above zero, or above 1000.
pub fn read_speed(text: &str) -> Checked<AngularVelocity> {
    let figure = text.trim().to_lowercase();
    let figure = ["rpm", "turns a minute", "r/min", "1/min", "/min"]
        .iter()
        .find_map(|unit| figure.strip_suffix(unit))
        .unwrap_or(&figure)
        .trim();
    let turns = read_number(figure).map(|n| n.to_f64());
    match turns {
        Ok(n) if n > 0.0 && n <= 1000.0 => Ok(AngularVelocity::new::<revolution_per_minute>(n)),
        _ => Err(Problem::error(format!("`{}` is no speed from 0 to 1000 turns a minute", text.trim()))
            .hint("write it as `40 rpm`")
            .into()),
    }
}

/// A speed in turns a minute.
pub fn turns_a_minute(speed: AngularVelocity) -> f64 {
    speed.get::<revolution_per_minute>()
}

/// Speed at which the largest piece would ride round with the shell, its weight just balanced: ω²·(D − d)/2 = g.
///
/// In metres and turns a minute this is the mill handbooks' N = 42.3/√(D − d) (mineral-processing texts), in feet and
/// without d 76.6/√D (Perry's Chemical Engineers' Handbook, 5th ed., p. 8-26, quoted in a page read); a laboratory sheet
/// read works the case D = 72 mm, d = 10.41 mm to 2.84 turns a second. `None` when the piece is not smaller than the
/// barrel.
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
/// Angular media and cylinders lie a little looser or closer; the span is for spheres.
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
        // In feet, without a piece: 76.6/sqrt(D) (Perry's Chemical Engineers' Handbook, 5th ed., p. 8-26).
        for feet in [0.5, 1.0, 4.0] {
            assert!((rpm(feet * 304.8, 0.0) - 76.6 / f64::sqrt(feet)).abs() < 0.002 * rpm(feet * 304.8, 0.0), "{feet}");
        }
    }

    #[test]
    fn barrels_and_speeds_are_read() {
        let b = read_barrel("150x180 mm, rubber").unwrap();
        assert_eq!((in_millimetres(b.diameter).round(), in_millimetres(b.length).round()), (150.0, 180.0));
        assert!((turns_a_minute(read_speed("40 rpm").unwrap()) - 40.0).abs() < 1e-9);
        for bad in ["150 mm", "1x2x3 mm", "150x180 mm, cheese", "", "0x0 mm"] {
            assert!(read_barrel(bad).is_err(), "{bad}");
        }
        for bad in ["", "fast", "-3", "0", "2000", "nan"] {
            assert!(read_speed(bad).is_err(), "{bad}");
        }
    }
}
