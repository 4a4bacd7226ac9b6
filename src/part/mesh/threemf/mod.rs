//! 3MF: a zip whose model parts hold objects (meshes, or components made of other objects) and a build list of what is
//! printed, each placed by a transform (3MF Core Specification 1.3, with part paths of the Production Extension 1.1).
//!
//! Nothing is unpacked to memory as a whole: a part streams through the XML reader, which is bounded in the size of one tag
//! and in total, and triangles are counted before they are kept.

mod hot;
mod model;
mod package;
mod place;

use super::triangles::{Builder, Triangles, usable};
use super::unit::LengthUnit;
use super::vector::V3;
use crate::diag::{Checked, Problem};
use model::{Kind, Model, Object};
use package::Package;
use place::Placement;
use std::collections::BTreeMap;

/// Most objects placed, counting those inside components again for every use: stops files that name ten objects ten
/// levels deep.
const MOST_PLACED: usize = 100_000;

/// The triangles of everything on the build list, in the file's unit, with warnings.
pub(super) fn read(bytes: &[u8]) -> Checked<(Triangles, LengthUnit, Vec<Problem>)> {
    let mut package = Package::open(bytes)?;
    let (root, warning) = package.start_part()?;
    let mut reading = Reading {
        package,
        models: BTreeMap::new(),
        build: Builder::new(),
        warnings: warning.into_iter().collect(),
        placed: 0,
        left_out: 0,
    };
    reading.load(&root)?;
    let items = std::mem::take(&mut reading.model(&root)?.items);
    if items.is_empty() {
        return Err(Problem::error("the build list of the 3MF file is empty, so nothing in it is printed")
            .hint("place the part on the plate and export again")
            .into());
    }
    for item in &items {
        if item.left_out {
            reading.left_out += 1;
            continue;
        }
        let part = item.part.clone().unwrap_or_else(|| root.clone());
        reading.place(&part, &item.object, item.transform, &mut Vec::new())?;
    }
    if reading.left_out > 0 {
        reading.warnings.push(Problem::warning(format!(
            "{} objects of the 3MF file are supports or marked as not printed and were left out",
            reading.left_out
        )));
    }
    if reading.build.len() == 0 {
        return Err(Problem::error("the 3MF file holds no triangles").into());
    }
    let unit = reading.model(&root)?.unit;
    Ok((reading.build.finish(), unit, reading.warnings))
}

struct Reading<'a> {
    package: Package<'a>,
    models: BTreeMap<String, Model>,
    build: Builder,
    warnings: Vec<Problem>,
    placed: usize,
    left_out: usize,
}

impl Reading<'_> {
    fn load(&mut self, part: &str) -> Checked<()> {
        if !self.models.contains_key(part) {
            let model = self.package.part(part, |source| model::read(source, part))?;
            self.warnings.extend(model.warnings.iter().cloned());
            self.models.insert(part.to_string(), model);
        }
        Ok(())
    }

    fn model(&mut self, part: &str) -> Result<&mut Model, Problem> {
        self.models.get_mut(part).ok_or_else(|| Problem::error(format!("part `{part}` was not read")))
    }

    /// Adds an object with everything in it. `inside` holds the objects this one is a component of.
    fn place(&mut self, part: &str, id: &str, at: Placement, inside: &mut Vec<(String, String)>) -> Checked<()> {
        self.load(part)?;
        self.placed += 1;
        if self.placed > MOST_PLACED {
            return Err(Problem::error(format!("the build list places more than {MOST_PLACED} objects"))
                .hint("the file was made to exhaust programs, or is damaged")
                .into());
        }
        let own = (part.to_string(), id.to_string());
        if inside.contains(&own) {
            return Err(Problem::error(format!("object {id} is a component of itself"))
                .hint("the file is damaged")
                .into());
        }
        let scale = self.model(part)?.unit.millimetres();
        let Some(object) = self.model(part)?.objects.get_mut(id) else {
            return Err(Problem::error(format!(
                "object {id} is on the build list or a component, but not in the file"
            ))
            .hint("the file is damaged; export it again")
            .into());
        };
        // The object is taken out while its content is added, and put back: components may use it again.
        let object = std::mem::replace(object, Object::empty());
        let result = self.add(part, &object, at, scale, own, inside);
        self.model(part)?.objects.insert(id.to_string(), object);
        result
    }

    fn add(
        &mut self,
        part: &str,
        object: &Object,
        at: Placement,
        scale: f64,
        own: (String, String),
        inside: &mut Vec<(String, String)>,
    ) -> Checked<()> {
        if object.kind == Kind::Support {
            self.left_out += 1;
            return Ok(());
        }
        self.build.room_for(object.faces.len())?;
        self.build.next_object();
        self.build.expect(object.points.len(), object.faces.len());
        let mirrored = at.determinant() < 0.0;
        if at.determinant() == 0.0 && !object.faces.is_empty() {
            return Err(Problem::error(format!("the transform of object {} flattens it", own.1)).into());
        }
        let mut numbers = Vec::with_capacity(object.points.len());
        for &p in &object.points {
            let moved: V3 = at.apply(p);
            if !moved.iter().all(|c| usable(*c * scale)) {
                return Err(
                    Problem::error(format!("the transform of object {} throws it out of all bounds", own.1)).into()
                );
            }
            numbers.push(self.build.point(moved));
        }
        for &[a, b, c] in &object.faces {
            let face = if mirrored { [a, c, b] } else { [a, b, c] };
            self.build.face(face.map(|i| numbers[i as usize]));
        }
        inside.push(own);
        for component in &object.components {
            let other = component.part.as_deref().unwrap_or(part);
            self.place(other, &component.object, component.transform.then(at), inside)?;
        }
        inside.pop();
        Ok(())
    }
}
