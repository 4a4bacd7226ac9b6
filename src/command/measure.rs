//! `measure`: what a mesh is, in numbers.

use super::args::{MeasureArgs, PlainFormat};
use super::common::{MOST_MESH_BYTES, read_bytes};
use super::{Failure, Shown};
use crate::sheet;

pub fn run(a: &MeasureArgs) -> Result<Shown, Failure> {
    let _ = (a, MOST_MESH_BYTES, read_bytes, PlainFormat::Json);
    todo!()
}
