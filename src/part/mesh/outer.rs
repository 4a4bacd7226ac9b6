//! From triangles to the surface that displaces liquid, and how well its volume is known.
//!
//! A body whose signed volume is positive faces outwards; one that is negative and lies inside an outward body is a sealed
//! void, which stays dry and displaces as if it were solid; one that is negative and lies outside is inside out.

use super::boxes::Boxes;
use super::hull::{Bound, convex_hull};
use super::repair::repair;
use super::shell;
use super::topology::{self, Topology};
use super::triangles::Triangles;
use super::union::{self, Outcome};
use super::unit::six_figures;
use super::vector::{Tri, V3, add, cross, dot, norm, normal2, scale, sub, volume6};
use crate::diag::Problem;
use std::borrow::Cow;

/// A volume in mm³ with its two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub best: f64,
    pub low: f64,
    pub high: f64,
}

impl Range {
    fn exact(v: f64) -> Self {
        Range { best: v, low: v, high: v }
    }

    fn widened(self, doubt: f64, ceiling: f64) -> Self {
        Range {
            best: self.best,
            low: (self.low - doubt).max(0.0),
            high: (self.high + doubt).min(ceiling).max(self.best),
        }
    }
}

/// What a mesh encloses.
#[derive(Debug)]
pub(super) struct Outer {
    /// The surface that displaces, about the origin given; empty when nothing is enclosed.
    pub surface: Triangles,
    /// The faces inside it that bound material: of sealed voids, and of bodies that lie in them; about the origin given.
    pub inner: Vec<Tri>,
    /// Outward bodies less sealed voids; `None` when the surface is not closed and not repaired.
    pub material: Option<Range>,
    /// What displaces liquid. Not closed and not repaired: the convex hull, which is at least as large.
    pub envelope: Range,
    /// Sealed voids.
    pub voids: f64,
    /// Centre of the material, about the origin given.
    pub centroid: Option<V3>,
    /// Whether bodies overlap or lie in each other.
    pub overlapping: bool,
    /// What the person should know.
    pub warnings: Vec<Problem>,
}

/// Works out what the mesh encloses, about `origin`.
pub(super) fn enclosed(mesh: Triangles, found: &Topology, origin: V3) -> Outer {
    if found.watertight() {
        return closed(mesh, found, origin);
    }
    let points: Vec<V3> = mesh.points.iter().map(|&p| sub(p, origin)).collect();
    let hull = convex_hull(&points);
    let ceiling = hull.as_ref().map_or(0.0, |h| h.faces().iter().map(volume6).sum::<f64>() / 6.0);
    if let (Some(fixed), true) = (repair(&mesh), ceiling > 0.0) {
        let again = topology::examine(&fixed.mesh);
        let mut outer = closed(fixed.mesh, &again, origin);
        outer.envelope = outer.envelope.widened(fixed.doubt, ceiling);
        outer.material = outer.material.map(|m| m.widened(fixed.doubt, ceiling));
        let mut done = Vec::new();
        let mut say = |n: usize, one: &str, many: &str| match n {
            0 => {}
            1 => done.push(format!("1 {one}")),
            n => done.push(format!("{n} {many}")),
        };
        say(fixed.covered, "small hole covered", "small holes covered");
        say(fixed.turned, "face turned round", "faces turned round");
        say(fixed.dropped, "repeated face dropped", "repeated faces dropped");
        outer.warnings.insert(
            0,
            open_warning(
                &mesh,
                found,
                &format!(
                    "the volume is an estimate with {}, between {} and {} mm³",
                    if done.is_empty() { "edges joined".to_string() } else { done.join(", ") },
                    six_figures(outer.envelope.low),
                    six_figures(outer.envelope.high)
                ),
            ),
        );
        return outer;
    }
    let what = match &hull {
        Some(Bound::Box(_)) => "the box round it",
        _ => "the convex hull",
    };
    let warning = open_warning(
        &mesh,
        found,
        &format!("its volume is not known; it is at most {} mm³, {what}", six_figures(ceiling)),
    );
    Outer {
        surface: Triangles::joined(hull.as_ref().map_or(&[], Bound::faces)),
        inner: Vec::new(),
        material: None,
        envelope: Range { best: ceiling, low: 0.0, high: ceiling },
        voids: 0.0,
        centroid: None,
        overlapping: false,
        warnings: vec![warning],
    }
}

/// Says that a surface is not closed, where, and what to do.
fn open_warning(mesh: &Triangles, found: &Topology, so: &str) -> Problem {
    let mut faults = Vec::new();
    let place = |p: V3| format!("{:.1}, {:.1}, {:.1} mm", p[0], p[1], p[2]);
    match topology::holes(mesh, found) {
        Some(holes) if !holes.is_empty() => {
            let first = holes.iter().take(3).map(|h| place(h.place)).collect::<Vec<_>>().join("; ");
            faults.push(format!(
                "{} with {} open edges (near {first})",
                count(holes.len(), "hole"),
                found.boundary_edges
            ));
        }
        _ if found.boundary_edges > 0 => faults.push(count(found.boundary_edges, "open edge")),
        _ => {}
    }
    if found.inconsistent_edges > 0 {
        faults.push(format!(
            "{} where neighbouring faces wind against each other",
            count(found.inconsistent_edges, "edge")
        ));
    }
    if found.duplicate_faces > 0 {
        faults.push(count(found.duplicate_faces, "repeated face"));
    }
    if faults.is_empty() {
        faults.push(count(found.unbalanced_edges, "edge that does not match"));
    }
    Problem::warning(format!("the surface is not closed: {}; {so}", faults.join(", ")))
        .hint("repair the mesh in the program it was made with and export it again")
        .hint("or measure what the part displaces in water and give that volume instead of the file")
}

fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// A closed surface: bodies, voids, and the union of what faces outwards.
fn closed(mut mesh: Triangles, found: &Topology, origin: V3) -> Outer {
    let mut warnings = Vec::new();
    mesh.points.iter_mut().for_each(|p| *p = sub(*p, origin));
    let bodies = found.bodies.max(1);
    let mut volumes = vec![0.0; bodies];
    for (t, &b) in mesh.each().zip(&found.body_of) {
        volumes[b as usize] += volume6(&t) / 6.0;
    }
    let mut turn = vec![volumes.iter().sum::<f64>() < 0.0; bodies];
    let all = turn[0];
    if !all {
        find_inside_out(&mesh, &found.body_of, &volumes, &mut turn);
    }
    for (f, &b) in mesh.faces.iter_mut().zip(&found.body_of) {
        if turn[b as usize] {
            f.swap(1, 2);
        }
    }
    volumes.iter_mut().zip(&turn).filter(|(_, t)| **t).for_each(|(v, _)| *v = -*v);
    let turned = turn.iter().filter(|t| **t).count();
    if turned > 0 {
        let which = if all {
            "the surface is inside out and was turned round".to_string()
        } else {
            format!(
                "{} inside out and turned round",
                if turned == 1 { "1 body was".into() } else { format!("{turned} bodies were") }
            )
        };
        warnings.push(Problem::warning(which).hint("check the normals in the program the mesh was made with"));
    }
    let sum: f64 = volumes.iter().filter(|v| **v > 0.0).sum();
    let voids: f64 = -volumes.iter().filter(|v| **v < 0.0).sum::<f64>();
    let material = Range::exact(sum - voids);
    let centroid = centre(&mesh);
    let hollow = faces_of(&mesh, &found.body_of, |b| volumes[b] < 0.0);
    let mut inner = in_voids(&mesh, &found.body_of, &volumes, &hollow);
    let mut body_of = Cow::Borrowed(found.body_of.as_slice());
    if volumes.iter().any(|v| *v <= 0.0) {
        let keep: Vec<usize> = (0..mesh.len()).filter(|&i| volumes[found.body_of[i] as usize] > 0.0).collect();
        body_of = keep.iter().map(|&i| found.body_of[i]).collect();
        mesh.faces = keep.iter().map(|&i| mesh.faces[i]).collect();
        mesh = mesh.trimmed();
    }
    let (surface, envelope, overlapping) = match union::outer(&mesh, &body_of) {
        Outcome::Apart => (mesh, Range::exact(sum), false),
        Outcome::Joined(surface) => {
            let volume = surface.iter().map(volume6).sum::<f64>() / 6.0;
            (Triangles::joined(&surface), Range::exact(volume), true)
        }
        Outcome::Failed => {
            // The largest body would be less, but a body may overlap itself.
            let least = shell::enclosed(&mesh.each().collect::<Vec<_>>()).map_or(0.0, |v| v[1].min(sum));
            warnings.push(
                Problem::warning(format!(
                    "bodies of the part overlap in a way that was not worked out; it displaces between {} and {} mm³, and the larger is used",
                    six_figures(least),
                    six_figures(sum)
                ))
                .hint("join the bodies in the program the mesh was made with and export it again"),
            );
            // The surface then holds every outward body.
            inner = hollow;
            (mesh, Range { best: sum, low: least, high: sum }, true)
        }
    };
    Outer { surface, inner, material: Some(material), envelope, voids, centroid, overlapping, warnings }
}

/// The triangles of the bodies asked for.
fn faces_of(mesh: &Triangles, body_of: &[u32], keep: impl Fn(usize) -> bool) -> Vec<Tri> {
    mesh.each().zip(body_of).filter(|(_, b)| keep(**b as usize)).map(|(t, _)| t).collect()
}

/// The faces of voids, which are given, and of the outward bodies that lie in one.
fn in_voids(mesh: &Triangles, body_of: &[u32], volumes: &[f64], hollow: &[Tri]) -> Vec<Tri> {
    if hollow.is_empty() {
        return Vec::new();
    }
    let tree = Boxes::new(hollow);
    let mut lies: Vec<Option<bool>> = vec![None; volumes.len()];
    for (t, &b) in mesh.each().zip(body_of) {
        let b = b as usize;
        if volumes[b] > 0.0 && lies[b].is_none() && norm(normal2(&t)) > 0.0 {
            lies[b] = Some(tree.winding(scale(add(add(t[0], t[1]), t[2]), 1.0 / 3.0)) < 0);
        }
    }
    faces_of(mesh, body_of, |b| volumes[b] < 0.0 || lies[b] == Some(true))
}

/// Marks bodies that face inwards without lying inside one that faces outwards.
fn find_inside_out(mesh: &Triangles, body_of: &[u32], volumes: &[f64], turn: &mut [bool]) {
    if volumes.iter().all(|v| *v >= 0.0) {
        return;
    }
    let outward = faces_of(mesh, body_of, |b| volumes[b] > 0.0);
    let tree = Boxes::new(&outward);
    let mut judged = vec![false; volumes.len()];
    for (t, &b) in mesh.each().zip(body_of) {
        let b = b as usize;
        if volumes[b] < 0.0 && !judged[b] && norm(normal2(&t)) > 0.0 {
            judged[b] = true;
            turn[b] = tree.winding(scale(add(add(t[0], t[1]), t[2]), 1.0 / 3.0)) < 1;
        }
    }
}

/// Centre of what a closed surface encloses, by signed tetrahedra from the origin. `None` when it encloses nothing.
fn centre(mesh: &Triangles) -> Option<V3> {
    let (mut volume, mut moment) = (0.0, [0.0; 3]);
    for t in mesh.each() {
        let v = dot(t[0], cross(t[1], t[2]));
        volume += v;
        moment = add(moment, scale(add(add(t[0], t[1]), t[2]), v / 4.0));
    }
    (volume > 0.0).then(|| scale(moment, 1.0 / volume))
}
