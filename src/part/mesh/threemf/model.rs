//! One model part: unit, objects and build list.

use super::super::stl::number;
use super::super::triangles::{MOST_TRIANGLES, too_many};
use super::super::unit::LengthUnit;
use super::super::vector::V3;
use super::hot;
use super::package::{absolute, bad_xml};
use super::place::Placement;
use crate::diag::{Checked, Problem};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;
use std::io::BufRead;

/// The namespace of the core specification.
const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";

/// Extensions whose geometry this reader does not know, by a word in their namespace.
const OTHER_GEOMETRY: &[(&str, &str)] = &[
    ("beamlattice", "beam lattices"),
    ("volumetric", "volumetric data"),
    ("implicit", "implicit shapes"),
    ("boolean", "boolean operations"),
    ("displacement", "displacement maps"),
    ("secure", "encrypted parts"),
];

/// What an object is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Part,
    Support,
}

/// An object: a mesh, or components.
#[derive(Debug)]
pub(super) struct Object {
    pub kind: Kind,
    pub points: Vec<V3>,
    pub faces: Vec<[u32; 3]>,
    pub components: Vec<Reference>,
}

impl Object {
    pub(super) fn empty() -> Self {
        Object { kind: Kind::Part, points: Vec::new(), faces: Vec::new(), components: Vec::new() }
    }
}

/// An object placed: an item of the build list or a component.
#[derive(Debug)]
pub(super) struct Reference {
    pub object: String,
    /// Part that holds the object; `None` for the part the reference stands in.
    pub part: Option<String>,
    pub transform: Placement,
    /// Marked as not printed.
    pub left_out: bool,
}

/// A model part.
#[derive(Debug)]
pub(super) struct Model {
    pub unit: LengthUnit,
    pub objects: BTreeMap<String, Object>,
    pub items: Vec<Reference>,
    pub warnings: Vec<Problem>,
}

/// Reads a model part.
pub(super) fn read(source: &mut dyn BufRead, part: &str) -> Checked<Model> {
    let mut xml = Reader::from_reader(source);
    xml.config_mut().check_end_names = true;
    let mut buffer = Vec::new();
    let mut state = State {
        part,
        model: Model {
            unit: LengthUnit::Millimetre,
            objects: BTreeMap::new(),
            items: Vec::new(),
            warnings: Vec::new(),
        },
        prefix: String::new(),
        root: false,
        open: None,
        triangles: 0,
    };
    let mut hot_bytes = 0;
    let mut depth = 0_usize;
    loop {
        buffer.clear();
        let event = xml.read_event_into(&mut buffer).map_err(|e| bad_xml(part, &e))?;
        let at = |p: Problem| p.in_field(format!("{part}, byte {}", xml.buffer_position() + hot_bytes));
        match event {
            Event::Start(tag) => {
                depth += 1;
                state.tag(&tag).map_err(at)?;
            }
            Event::Empty(tag) => {
                state.tag(&tag).map_err(at)?;
                if tag.name().as_ref().strip_prefix(state.prefix.as_str()) == Some("object") {
                    state.close()?;
                }
            }
            Event::End(tag) => {
                depth = depth.saturating_sub(1);
                if tag.name().as_ref().strip_prefix(state.prefix.as_str()) == Some("object") {
                    state.close()?;
                }
            }
            Event::DocType(_) => {
                return Err(bad_xml(part, &"a document type is not allowed in a 3MF file").into());
            }
            Event::Eof => break,
            _ => {}
        }
        hot_bytes += state.hot(xml.get_mut()).map_err(|e| bad_xml(part, &e))?;
    }
    if depth > 0 {
        return Err(bad_xml(part, &"it ends before its last element is closed").into());
    }
    if !state.root {
        return Err(bad_xml(part, &"it has no `model` element").into());
    }
    Ok(state.model)
}

struct State<'a> {
    part: &'a str,
    model: Model,
    /// Prefix of the core namespace with its colon; usually none.
    prefix: String,
    root: bool,
    open: Option<(String, Object)>,
    triangles: usize,
}

impl State<'_> {
    fn tag(&mut self, tag: &BytesStart<'_>) -> Result<(), Problem> {
        let name = tag.name();
        let name = name.as_ref();
        if !self.root {
            return self.model_tag(tag);
        }
        let Some(name) = name.strip_prefix(self.prefix.as_str()) else {
            return Ok(());
        };
        match name {
            "vertex" => {
                let Some((_, object)) = &mut self.open else { return Ok(()) };
                let p = numbers(tag, ["x", "y", "z"], |text| number(text.as_bytes()))?;
                object.points.push(p);
                // A closed mesh has half as many points as triangles; far more points are padding.
                if object.points.len() > 3 * MOST_TRIANGLES {
                    return Err(too_many(object.points.len() / 3));
                }
            }
            "triangle" => {
                let Some((_, object)) = &mut self.open else { return Ok(()) };
                let known = object.points.len();
                let face = numbers(tag, ["v1", "v2", "v3"], |text| {
                    let index: u32 = text
                        .parse()
                        .map_err(|_| Problem::error(format!("`{}` is not a vertex number", short(text))))?;
                    if (index as usize) < known {
                        Ok(index)
                    } else {
                        Err(Problem::error(format!(
                            "vertex {index} is not there; the object has {known}, counted from 0"
                        )))
                    }
                })?;
                object.faces.push(face);
                self.triangles += 1;
                if self.triangles > MOST_TRIANGLES {
                    return Err(too_many(self.triangles));
                }
            }
            "object" => self.object_tag(tag)?,
            "component" => {
                let reference = reference(tag)?;
                if let Some((_, object)) = &mut self.open {
                    object.components.push(reference);
                }
            }
            "item" => {
                let reference = reference(tag)?;
                self.model.items.push(reference);
            }
            _ => {}
        }
        Ok(())
    }

    /// Takes the plain vertices and triangles that come next.
    fn hot(&mut self, source: &mut dyn BufRead) -> std::io::Result<u64> {
        let Some((_, object)) = &mut self.open else { return Ok(0) };
        let vertex = format!("{}vertex", self.prefix);
        let mut taken = hot::run(source, vertex.as_bytes(), [b"x", b"y", b"z"], hot::decimal, |p| {
            let room = object.points.len() < 3 * MOST_TRIANGLES;
            if room {
                object.points.push(p);
            }
            room
        })?;
        let known = object.points.len();
        let triangle = format!("{}triangle", self.prefix);
        taken += hot::run(source, triangle.as_bytes(), [b"v1", b"v2", b"v3"], hot::whole, |face| {
            let good = face.iter().all(|&i| (i as usize) < known) && self.triangles < MOST_TRIANGLES;
            if good {
                object.faces.push(face);
                self.triangles += 1;
            }
            good
        })?;
        Ok(taken)
    }

    fn model_tag(&mut self, tag: &BytesStart<'_>) -> Result<(), Problem> {
        if tag.local_name().as_ref() != "model" {
            return Err(Problem::error(format!("the first element is `{}`, not `model`", short(tag.name().as_ref()))));
        }
        self.root = true;
        let mut needed = Vec::new();
        let mut spaces = BTreeMap::new();
        for (key, value) in attributes(tag)? {
            match key.as_str() {
                "unit" => {
                    self.model.unit = match value.as_str() {
                        "micron" => LengthUnit::Micrometre,
                        "millimeter" => LengthUnit::Millimetre,
                        "centimeter" => LengthUnit::Centimetre,
                        "inch" => LengthUnit::Inch,
                        "foot" => LengthUnit::Foot,
                        "meter" => LengthUnit::Metre,
                        other => {
                            return Err(Problem::error(format!("`{}` is not a unit of 3MF", short(other)))
                                .hint("micron, millimeter, centimeter, inch, foot and meter are allowed"));
                        }
                    };
                }
                "requiredextensions" => needed = value.split_ascii_whitespace().map(str::to_string).collect(),
                _ => {
                    if let Some(prefix) = key.strip_prefix("xmlns:") {
                        if value == CORE {
                            self.prefix = format!("{prefix}:");
                        }
                        spaces.insert(prefix.to_string(), value);
                    }
                }
            }
        }
        if !tag.name().as_ref().contains(':') {
            self.prefix.clear();
        }
        for prefix in needed {
            let space = spaces.get(&prefix).map_or("", String::as_str);
            if let Some((_, what)) = OTHER_GEOMETRY.iter().find(|(word, _)| space.contains(word)) {
                self.model.warnings.push(
                    Problem::warning(format!(
                        "the 3MF file needs {what}, which are not read; what follows is without them"
                    ))
                    .hint("export the part as a plain mesh"),
                );
            }
        }
        Ok(())
    }

    fn object_tag(&mut self, tag: &BytesStart<'_>) -> Result<(), Problem> {
        let mut object = Object::empty();
        let mut id = None;
        for (key, value) in attributes(tag)? {
            match key.as_str() {
                "id" => id = Some(value),
                "type" if matches!(value.as_str(), "support" | "solidsupport") => object.kind = Kind::Support,
                _ => {}
            }
        }
        let id = id.ok_or_else(|| Problem::error("an object has no `id`"))?;
        if self.open.is_some() {
            return Err(Problem::error(format!("object {} stands inside another", short(&id))));
        }
        if self.model.objects.contains_key(&id) {
            return Err(Problem::error(format!("object {} comes twice", short(&id))));
        }
        self.open = Some((id, object));
        Ok(())
    }

    /// The end of an object.
    fn close(&mut self) -> Result<(), Problem> {
        if let Some((id, object)) = self.open.take() {
            self.model.objects.insert(id, object);
        } else {
            return Err(bad_xml(self.part, &"an object ends that did not begin"));
        }
        Ok(())
    }
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// Three attributes by name, read in place. Repeated names are not looked for: this is the hot path.
fn numbers<T: Copy + Default>(
    tag: &BytesStart<'_>,
    names: [&str; 3],
    read: impl Fn(&str) -> Result<T, Problem>,
) -> Result<[T; 3], Problem> {
    let mut found = [T::default(); 3];
    let mut have = [false; 3];
    for attribute in tag.attributes().with_checks(false) {
        let attribute = attribute.map_err(|e| Problem::error(format!("an attribute cannot be read: {e}")))?;
        let key = attribute.key.as_ref();
        if let Some(i) = names.iter().position(|n| *n == key) {
            found[i] = read(attribute.value.trim_ascii()).map_err(|p| p.in_field(names[i]))?;
            have[i] = true;
        }
    }
    match have.iter().position(|h| !h) {
        None => Ok(found),
        Some(i) => Err(Problem::error(format!("attribute `{}` is missing", names[i]))),
    }
}

/// All attributes of a tag off the hot path; a repeated name is an error of the XML reader.
fn attributes(tag: &BytesStart<'_>) -> Result<Vec<(String, String)>, Problem> {
    tag.attributes()
        .map(|a| {
            let a = a.map_err(|e| Problem::error(format!("an attribute cannot be read: {e}")))?;
            Ok((a.key.as_ref().to_string(), a.value.to_string()))
        })
        .collect()
}

/// An item or component.
fn reference(tag: &BytesStart<'_>) -> Result<Reference, Problem> {
    let mut reference = Reference { object: String::new(), part: None, transform: Placement::NONE, left_out: false };
    for (key, value) in attributes(tag)? {
        // The path attribute belongs to the production extension and so has a prefix of the writer's choice.
        match key.rsplit(':').next().unwrap_or_default() {
            "objectid" => reference.object = value,
            "transform" => reference.transform = Placement::read(&value)?,
            "path" => reference.part = Some(absolute(&value)),
            "printable" => reference.left_out = value == "0" || value == "false",
            _ => {}
        }
    }
    if reference.object.is_empty() {
        return Err(Problem::error("an item or component names no object"));
    }
    Ok(reference)
}
