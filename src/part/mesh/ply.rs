//! PLY, ASCII and binary, through `ply-rs-bw`: `vertex` with x, y, z and `face` with a list of vertex numbers.
//!
//! The counts a header states are checked against the size of the file before anything is read, and so are names that come
//! twice, of which the library would keep the last.

use super::polygon;
use super::triangles::{Builder, MOST_TRIANGLES, Triangles, bad_coordinate, too_many, usable};
use super::vector::V3;
use crate::diag::{Checked, Place, Problem, Problems};
use ply_rs_bw::parser::{ParseError, Parser, Reader};
use ply_rs_bw::ply::{ElementDef, Header, Property, PropertyAccess, PropertyAccessResult};
use std::collections::BTreeSet;

const MOST_FAULTS: usize = 20;
/// Longest header read.
const LONGEST_HEADER: usize = 1 << 20;

/// The triangles of a PLY file in the file's own unit, with warnings.
pub(super) fn read(bytes: &[u8]) -> Checked<(Triangles, Vec<Problem>)> {
    check_header_text(bytes)?;
    let mut reader = Reader::new(bytes);
    let header = Parser::<Passed>::new().read_header(&mut reader).map_err(explain)?;
    check_counts(&header, reader.get_ref().len())?;
    let mut vertices: Vec<Vertex> = Vec::new();
    let mut faces: Vec<Face> = Vec::new();
    for (name, element) in &header.elements {
        match name.as_str() {
            "vertex" => vertices = elements(&mut reader, element, &header)?,
            "face" => faces = elements(&mut reader, element, &header)?,
            _ => {
                elements::<Passed>(&mut reader, element, &header)?;
            }
        }
    }
    let mut warnings = Vec::new();
    if header.elements.contains_key("tristrips") {
        warnings.push(
            Problem::warning("the file has triangle strips, which were not read")
                .hint("export the part with single faces"),
        );
    }
    Ok((assemble(&vertices, &faces)?, warnings))
}

fn assemble(vertices: &[Vertex], faces: &[Face]) -> Checked<Triangles> {
    let mut build = Builder::new();
    let mut faults = Vec::new();
    let mut numbers = Vec::with_capacity(vertices.len());
    for (i, v) in vertices.iter().enumerate() {
        match v.0.iter().find(|c| !usable(**c)) {
            Some(&bad) => faults.push(bad_coordinate(bad).in_field(format!("vertex {i}"))),
            None => numbers.push(build.point(v.0)),
        }
        if faults.len() == MOST_FAULTS {
            break;
        }
    }
    if !faults.is_empty() {
        return Err(Problems(faults));
    }
    for (i, face) in faces.iter().enumerate() {
        let corners: Option<Vec<u32>> =
            face.0.iter().map(|&c| u32::try_from(c).ok().filter(|&c| (c as usize) < vertices.len())).collect();
        match corners {
            Some(corners) if corners.len() >= 3 => {
                build.room_for(corners.len() - 2)?;
                for t in polygon::triangles(&corners, |c| vertices[c as usize].0) {
                    build.face(t.map(|c| numbers[c as usize]));
                }
            }
            Some(corners) => faults.push(
                Problem::error(format!("this face has {} corners, at least three are needed", corners.len()))
                    .in_field(format!("face {i}")),
            ),
            None => faults.push(
                Problem::error(format!("this face names a vertex that is not there; there are {}", vertices.len()))
                    .in_field(format!("face {i}")),
            ),
        }
        if faults.len() == MOST_FAULTS {
            break;
        }
    }
    if !faults.is_empty() {
        return Err(Problems(faults));
    }
    if build.len() == 0 {
        return Err(Problem::error("the file holds no faces").hint("a point cloud has no volume").into());
    }
    Ok(build.finish())
}

fn elements<E: PropertyAccess>(reader: &mut Reader<&[u8]>, element: &ElementDef, header: &Header) -> Checked<Vec<E>> {
    Ok(Parser::<E>::new().read_payload_for_element(reader, element, header).map_err(explain)?)
}

/// The library's message as one short line: for a line of text that it cannot read, that line.
fn explain(e: ParseError) -> Problem {
    let text: String = e.to_string().split_whitespace().collect::<Vec<_>>().join(" ");
    let short = |t: &str| t.chars().take(160).collect::<String>();
    let what = match text.split_once("String: '").and_then(|(_, rest)| rest.split_once('\'')) {
        Some((line, _)) => format!("`{}` does not fit its header or is not made of numbers", short(line.trim())),
        None => format!("the PLY file cannot be read: {}", short(&text)),
    };
    Problem::error(what).at(Place { line: e.line(), ..Place::default() }).hint("export or download the file again")
}

/// Looks for the end of the header and for names that come twice.
fn check_header_text(bytes: &[u8]) -> Result<(), Problem> {
    let head = &bytes[..bytes.len().min(LONGEST_HEADER)];
    let mut elements = BTreeSet::new();
    let mut properties = BTreeSet::new();
    for (i, line) in head.split(|b| *b == b'\n').enumerate() {
        let line = String::from_utf8_lossy(&line[..line.len().min(400)]).into_owned();
        let words: Vec<&str> = line.split_whitespace().collect();
        let fresh = match words.as_slice() {
            ["end_header", ..] => return Ok(()),
            ["element", name, ..] => {
                properties.clear();
                elements.insert(name.to_string())
            }
            ["property", .., name] => properties.insert(name.to_string()),
            _ => true,
        };
        if !fresh {
            let at = Place { line: Some(i + 1), ..Place::default() };
            return Err(Problem::error(format!("`{}` comes twice in the header", line.trim())).at(at));
        }
    }
    Err(Problem::error("the PLY header has no `end_header` in its first megabyte")
        .hint("the file is damaged or cut short"))
}

/// Every element takes at least a byte (a line in ASCII), so a count beyond the bytes left is a lie.
fn check_counts(header: &Header, left: usize) -> Result<(), Problem> {
    for (name, element) in &header.elements {
        if element.count > left {
            return Err(Problem::error(format!(
                "the header promises {} of element `{name}`, but only {left} bytes follow",
                element.count
            ))
            .hint("the file is damaged or cut short"));
        }
    }
    let wanted = |name: &str, fields: &[&[&str]]| -> Result<usize, Problem> {
        let element =
            header.elements.get(name).ok_or_else(|| Problem::error(format!("the file has no element `{name}`")))?;
        for field in fields {
            if !field.iter().any(|f| element.properties.contains_key(*f)) {
                return Err(Problem::error(format!("element `{name}` has no property `{}`", field[0])));
            }
        }
        Ok(element.count)
    };
    let vertices = wanted("vertex", &[&["x"], &["y"], &["z"]])?;
    let faces = wanted("face", &[&["vertex_indices", "vertex_index"]])
        .map_err(|p| p.hint("a point cloud has no volume; export the part as a mesh"))?;
    if faces > MOST_TRIANGLES || vertices > MOST_TRIANGLES {
        return Err(too_many(faces.max(vertices)));
    }
    Ok(())
}

struct Vertex(V3);

impl PropertyAccess for Vertex {
    fn new() -> Self {
        Vertex([0.0; 3])
    }

    fn set_property(&mut self, name: &str, value: Property) -> PropertyAccessResult {
        let axis = match name {
            "x" => 0,
            "y" => 1,
            "z" => 2,
            _ => return PropertyAccessResult::Ignored,
        };
        self.0[axis] = match value {
            Property::Char(v) => v.into(),
            Property::UChar(v) => v.into(),
            Property::Short(v) => v.into(),
            Property::UShort(v) => v.into(),
            Property::Int(v) => v.into(),
            Property::UInt(v) => v.into(),
            Property::Float(v) => v.into(),
            Property::Double(v) => v,
            _ => return PropertyAccessResult::UnsupportedType,
        };
        PropertyAccessResult::Set
    }
}

struct Face(Vec<i64>);

impl PropertyAccess for Face {
    fn new() -> Self {
        Face(Vec::new())
    }

    fn set_property(&mut self, name: &str, value: Property) -> PropertyAccessResult {
        if !matches!(name, "vertex_indices" | "vertex_index") {
            return PropertyAccessResult::Ignored;
        }
        self.0 = match value {
            Property::ListChar(v) => v.into_iter().map(i64::from).collect(),
            Property::ListUChar(v) => v.into_iter().map(i64::from).collect(),
            Property::ListShort(v) => v.into_iter().map(i64::from).collect(),
            Property::ListUShort(v) => v.into_iter().map(i64::from).collect(),
            Property::ListInt(v) => v.into_iter().map(i64::from).collect(),
            Property::ListUInt(v) => v.into_iter().map(i64::from).collect(),
            _ => return PropertyAccessResult::UnsupportedType,
        };
        PropertyAccessResult::Set
    }
}

/// An element that is read past.
struct Passed;

impl PropertyAccess for Passed {
    fn new() -> Self {
        Passed
    }
}
