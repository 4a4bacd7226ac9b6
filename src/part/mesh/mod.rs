//! Meshes: reading STL, 3MF, OBJ and PLY, measuring them, and the volume below a level.
//!
//! Every reader ends in [`Triangles`]; [`Solid`] is what can be asked about a part in a bath. Lengths inside this folder are
//! millimetres in doubles; its public face speaks `uom`.

// A `Problem` is large, but one is made once and ends the reading; boxing it would only move the bytes.
#![allow(clippy::result_large_err)]

mod air;
mod boxes;
mod circle;
mod fans;
mod feed;
mod fit;
mod format;
mod hull;
mod keyed;
mod measurement;
mod obj;
mod outer;
mod pairs;
mod ply;
mod polygon;
mod quick;
mod repair;
mod sets;
mod shell;
mod solid;
mod stl;
mod threemf;
mod topology;
mod triangles;
mod union;
mod unit;
mod vector;
mod voxels;
mod waterline;

pub use air::{AirTrap, AirTraps, Tilt};
pub use feed::ReadAt;
pub use measurement::{Cylinder, EnclosingBox, Faults, Measurement, Options, Wetted, measure};
pub use quick::{QuickOptions, quick, quick_at};
pub use solid::{Afloat, BelowLevel, CaughtAir, Rooms, Solid};
pub use stl::{STL_HEAD, is_binary_stl, too_many_to_hold};
pub use triangles::{BYTES_PER_TRIANGLE, MOST_TRIANGLES, Triangles};
pub use unit::{LengthUnit, six_figures};

use crate::diag::{Checked, Problem, Problems};

/// The triangles of a mesh file in millimetres, equal points merged, with warnings. Arguments as for [`read`].
///
/// # Errors
/// As [`read`], but triangles that enclose nothing are no error.
pub fn load(bytes: &[u8], name: &str, unit: Option<LengthUnit>) -> Checked<(Triangles, Vec<Problem>)> {
    let (mesh, warnings) = format::triangles(bytes, name, unit).map_err(|p| p.in_file(name))?;
    Ok((mesh, Problems(warnings).in_file(name).0))
}

/// Reads a mesh file and makes the solid it describes, with warnings.
///
/// `name` is for messages and, when the bytes do not tell, for the format. `unit` is what the person says the file is in;
/// otherwise millimetres, or what the file itself says.
///
/// # Errors
/// A file that is damaged, of no known format, empty, or beyond [`MOST_TRIANGLES`].
pub fn read(bytes: &[u8], name: &str, unit: Option<LengthUnit>) -> Checked<(Solid, Vec<Problem>)> {
    let work = || {
        let (mesh, mut warnings) = format::triangles(bytes, name, unit)?;
        let topology = topology::examine(&mesh);
        let (solid, found) = Solid::new(mesh, &topology)?;
        warnings.extend(found);
        Ok((solid, warnings))
    };
    let (solid, warnings) = work().map_err(|p: Problems| p.in_file(name))?;
    Ok((solid, Problems(warnings).in_file(name).0))
}
