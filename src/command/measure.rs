//! `measure`: what a mesh is, in numbers.

use super::args::{MeasureArgs, PlainFormat};
use super::common::json;
use super::mesh_file::{MeshFile, read_mesh, read_rest, unreadable};
use super::{Failure, Shown};
use crate::amount::{Length, read_length_or_zero};
use crate::diag::{Checked, Place, Problem, Problems, one_of};
use crate::part::Side;
use crate::part::mesh::{self, LengthUnit, Measurement, Options, QuickOptions, STL_HEAD};
use crate::sheet::measure::{render_json, render_text};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Measures a mesh file, or standard input for `-`.
pub fn run(a: &MeasureArgs) -> Result<Shown, Failure> {
    let (options, name) = (options(a)?, if a.mesh == "-" { "standard input" } else { &a.mesh });
    let found = if a.quick { quick(&a.mesh, name, &options)? } else { whole(&a.mesh, name, &options)? };
    Ok(Shown::text(match a.format {
        PlainFormat::Text => render_text(&found),
        PlainFormat::Json => json(&render_json(&found)),
    }))
}

fn whole(path: &str, name: &str, options: &Options) -> Checked<Measurement> {
    let bytes = if path == "-" { read_rest(std::io::stdin().lock(), name)? } else { read_mesh(Path::new(path))? };
    mesh::measure(&bytes, name, options)
}

/// The streaming pass when the file is a binary STL; otherwise all of it but the search for trapped air.
fn quick(path: &str, name: &str, options: &Options) -> Checked<Measurement> {
    if path == "-" {
        return quick_source(std::io::stdin(), name, options);
    }
    let file = File::open(path).map_err(|e| unreadable(name, &e))?;
    let found = file.metadata().map_err(|e| unreadable(name, &e))?;
    // Only a regular file can be read at several places at once, and only of that is the length known.
    if !found.is_file() {
        return quick_source(file, name, options);
    }
    let mut head = Vec::new();
    (&file).take(STL_HEAD as u64).read_to_end(&mut head).map_err(|e| unreadable(name, &e))?;
    if mesh::is_binary_stl(&head, Some(found.len())) {
        return mesh::quick_at(&MeshFile(file), found.len(), name, &streaming(options));
    }
    held(head.as_slice().chain(file), name, options)
}

/// The same from a source that can only be read in order.
fn quick_source(mut source: impl Read + Send, name: &str, options: &Options) -> Checked<Measurement> {
    let mut head = Vec::new();
    (&mut source).take(STL_HEAD as u64).read_to_end(&mut head).map_err(|e| unreadable(name, &e))?;
    let source = head.as_slice().chain(source);
    if mesh::is_binary_stl(&head, None) {
        return mesh::quick(source, None, name, &streaming(options));
    }
    held(source, name, options)
}

fn streaming(options: &Options) -> QuickOptions {
    QuickOptions { unit: options.unit, ..QuickOptions::default() }
}

/// What is no binary STL, held in memory.
fn held(source: impl Read, name: &str, options: &Options) -> Checked<Measurement> {
    let bytes = read_rest(source, name)?;
    let mut found = mesh::measure(&bytes, name, &Options { air: false, ..*options })?;
    found.warnings.push(
        Problem::warning("only a binary STL can be measured in one pass; this file was held in memory")
            .at(Place { file: Some(name.to_string()), ..Place::default() }),
    );
    Ok(found)
}

/// Side, level and unit as typed; every fault in one run.
fn options(a: &MeasureArgs) -> Checked<Options> {
    let mut problems = Vec::new();
    let mut keep = |p: Problems| problems.extend(p.0);
    let up = side(&a.up).unwrap_or_else(|p| {
        keep(p);
        Side::PlusZ
    });
    let height: Option<Length> = a
        .height_mm
        .as_deref()
        .and_then(|text| read_length_or_zero(text, Some("mm")).map_err(|p| keep(p.in_field("--height-mm"))).ok());
    let unit = a.unit.as_deref().and_then(|text| {
        let unit = LengthUnit::named(text.trim());
        if unit.is_none() {
            let allowed = one_of(&["mm", "cm", "m", "in", "ft", "um"]);
            keep(
                Problem::error(format!("`{text}` is no unit of a mesh; allowed: {allowed}")).in_field("--unit").into(),
            );
        }
        unit
    });
    if problems.is_empty() { Ok(Options { unit, up, height, air: true }) } else { Err(Problems(problems)) }
}

fn side(text: &str) -> Checked<Side> {
    Ok(match text.trim().to_lowercase().trim_start_matches('+') {
        "x" => Side::PlusX,
        "-x" => Side::MinusX,
        "y" => Side::PlusY,
        "-y" => Side::MinusY,
        "z" => Side::PlusZ,
        "-z" => Side::MinusZ,
        _ => {
            let allowed = one_of(&["x", "y", "z", "-x", "-y", "-z"]);
            return Err(Problem::error(format!("`{text}` is no side; allowed: {allowed}")).in_field("--up").into());
        }
    })
}
