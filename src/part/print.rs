//! Print make-up: what a part weighs by its walls, infill and filament. A weighed mass always wins over this.

use super::Shape;
use crate::amount::{
    Estimate, Length, Mass, MassDensity, MassFraction, Volume, cubic_millimetres, grams, in_cubic_millimetres,
    in_kg_per_m3, in_millimetres, kg_per_m3,
};

/// How a part was printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MakeUp {
    /// Thickness of the walls, all lines together.
    pub walls: Length,
    /// Thickness of the top; `None` is as thick as the walls.
    pub top: Option<Length>,
    /// Thickness of the bottom; `None` is as thick as the walls.
    pub bottom: Option<Length>,
    /// Infill, per cent of the room inside the walls, 0 to 100.
    pub infill_percent: f64,
}

/// Air that stays between the printed lines, as a share of the solid volume: a print can be lighter than its make-up
/// says by as much. Recalled for prints at 100 % infill (2 to 10 %), no source read.
const TRAPPED_AIR: f64 = 0.10;

/// Lines laid too thick make a print heavier by as much (our choice).
const LAID_THICK: f64 = 0.05;

/// Density of a metal-filled plastic by the rule of mixtures for mass fractions, 1/ρ = w/ρ_m + (1 − w)/ρ_p.
///
/// An arithmetic mean of the two densities by mass is wrong: 80 % copper would give 7.4 instead of 4.0 g/cm³.
/// Source: conservation of mass and volume without voids; the 18-karat gold problem of OpenStax College Physics 2e.
pub fn filled_density(metal_by_mass: MassFraction, metal: MassDensity, binder: MassDensity) -> MassDensity {
    let w = metal_by_mass.ratio();
    kg_per_m3(1.0 / (w / in_kg_per_m3(metal) + (1.0 - w) / in_kg_per_m3(binder)))
}

/// Volume of solid material in a printed part; the ends are equal where it is exact for its shape.
///
/// The room inside the walls is the shape offset inward: exact for a box, a cylinder and a sphere, sampled for a mesh, where
/// sealed voids have walls of their own and are empty.
pub fn solid_volume(shape: &Shape, print: &MakeUp) -> Estimate<Volume> {
    let whole = in_cubic_millimetres(shape.envelope());
    let wall = in_millimetres(print.walls).max(0.0);
    let ends = in_millimetres(print.top.unwrap_or(print.walls)).max(0.0)
        + in_millimetres(print.bottom.unwrap_or(print.walls)).max(0.0);
    let less = |size: Length, by: f64| (in_millimetres(size) - by).max(0.0);
    let exact = |core: f64| Estimate::exact(core);
    let mut voids = exact(0.0);
    let core = match shape {
        Shape::Box { length, width, height } => {
            exact(less(*length, 2.0 * wall) * less(*width, 2.0 * wall) * less(*height, ends))
        }
        Shape::Cylinder { diameter, height } => {
            exact(std::f64::consts::FRAC_PI_4 * less(*diameter, 2.0 * wall).powi(2) * less(*height, ends))
        }
        Shape::Sphere { diameter } => exact(std::f64::consts::PI / 6.0 * less(*diameter, 2.0 * wall).powi(3)),
        // Of a displaced volume the walls are not known: anything from all infill to all wall.
        Shape::Displaced { .. } => Estimate { best: whole * 0.8, low: 0.0, high: whole },
        Shape::Mesh(solid) => {
            let rooms = solid.rooms(print.walls, print.top.unwrap_or(print.walls), print.bottom.unwrap_or(print.walls));
            voids = rooms.voids.map(in_cubic_millimetres);
            rooms.core.map(in_cubic_millimetres)
        }
    };
    let hollow = 1.0 - (print.infill_percent / 100.0).clamp(0.0, 1.0);
    let solid = |core: f64, voids: f64| cubic_millimetres((whole - voids - core * hollow).max(0.0));
    Estimate { best: solid(core.best, voids.best), low: solid(core.high, voids.high), high: solid(core.low, voids.low) }
}

/// Mass of metal or plastic all through: volume by density, with the spread of the density and nothing of a printer.
pub fn solid_mass(shape: &Shape, density: Estimate<MassDensity>) -> Estimate<Mass> {
    let mm3 = in_cubic_millimetres(shape.envelope());
    density.map(|rho| grams(mm3 * in_kg_per_m3(rho) * 1e-6))
}

/// Mass by print make-up. The ends allow for trapped air, lines laid too thick and the spread of the density.
pub fn printed_mass(shape: &Shape, print: &MakeUp, density: Estimate<MassDensity>) -> Estimate<Mass> {
    let solid = solid_volume(shape, print);
    let mass =
        |v: Volume, rho: MassDensity, factor: f64| grams(in_cubic_millimetres(v) * in_kg_per_m3(rho) * 1e-6 * factor);
    Estimate {
        best: mass(solid.best, density.best, 1.0),
        low: mass(solid.low, density.low, 1.0 - TRAPPED_AIR),
        high: mass(solid.high, density.high, 1.0 + LAID_THICK),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{in_grams, millimetres};

    #[test]
    fn a_wall_thicker_than_the_part_makes_it_solid() {
        let shape = Shape::Sphere { diameter: millimetres(10.0) };
        let print = MakeUp { walls: millimetres(9.0), top: None, bottom: None, infill_percent: 0.0 };
        let v = solid_volume(&shape, &print);
        assert_eq!(in_cubic_millimetres(v.best), in_cubic_millimetres(shape.envelope()));
    }

    #[test]
    fn the_ends_enclose_the_best() {
        let shape = Shape::Box { length: millimetres(40.0), width: millimetres(40.0), height: millimetres(80.0) };
        let print = MakeUp { walls: millimetres(1.2), top: Some(millimetres(1.0)), bottom: None, infill_percent: 15.0 };
        let m = printed_mass(&shape, &print, Estimate::exact(kg_per_m3(1850.0)));
        assert!(m.low < m.best && m.best < m.high && in_grams(m.low) > 0.0);
    }
}
