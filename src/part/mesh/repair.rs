//! A surface that is not closed, closed as well as it can be: repeated faces dropped, winding made to agree, small holes
//! covered. What comes out is an estimate and is called one.

use super::topology::{self, rotated};
use super::triangles::Triangles;
use super::vector::{bounds, norm, normal2, sub};
use std::collections::{BTreeMap, HashSet};

/// Covers may make up this much of the surface, and a hole may reach this far across the part, to be called small (our
/// choice).
const SMALL_AREA: f64 = 0.05;
const SMALL_REACH: f64 = 0.2;

/// A closed surface made from one that was not.
#[derive(Debug)]
pub(super) struct Repaired {
    pub mesh: Triangles,
    /// Faces turned round.
    pub turned: usize,
    /// Faces dropped because they repeat another.
    pub dropped: usize,
    /// Holes covered.
    pub covered: usize,
    /// How much the volume may differ because covers are flat: a half ball over each hole (our choice), mm³.
    pub doubt: f64,
}

/// Tries; `None` when a hole is not small, or faces hang together in a way that has no inside.
pub(super) fn repair(mesh: &Triangles) -> Option<Repaired> {
    let (mut mesh, dropped) = without_repeats(mesh);
    let turned = agree(&mut mesh)?;
    let found = topology::examine(&mesh);
    let holes = topology::holes(&mesh, &found)?;
    let (low, high) = bounds(mesh.points.iter().copied())?;
    let size = norm(sub(high, low));
    let area =
        |m: &Triangles, faces: &[[u32; 3]]| -> f64 { faces.iter().map(|f| norm(normal2(&m.corners(*f))) / 2.0).sum() };
    let outside = area(&mesh, &mesh.faces);
    let (mut covers, mut doubt) = (0.0, 0.0);
    for hole in &holes {
        let (low, high) = bounds(hole.points.iter().map(|&p| mesh.points[p as usize]))?;
        let reach = norm(sub(high, low));
        let first = mesh.faces.len();
        let middle = mesh.points.len() as u32;
        mesh.points.push(hole.place);
        let ring = hole.points.iter().zip(hole.points.iter().cycle().skip(1));
        mesh.faces.extend(ring.map(|(&a, &b)| [b, a, middle]));
        let cover = area(&mesh, &mesh.faces[first..]);
        (covers, doubt) = (covers + cover, doubt + cover * reach / 3.0);
        if reach > SMALL_REACH * size {
            return None;
        }
    }
    let closed = topology::examine(&mesh).watertight();
    (closed && covers <= SMALL_AREA * outside).then_some(Repaired {
        mesh,
        turned,
        dropped,
        covered: holes.len(),
        doubt,
    })
}

/// The mesh without faces that repeat another with the same winding.
fn without_repeats(mesh: &Triangles) -> (Triangles, usize) {
    let mut seen = HashSet::new();
    let flat = |f: &[u32; 3]| f[0] == f[1] || f[1] == f[2] || f[2] == f[0];
    let faces: Vec<[u32; 3]> = mesh.faces.iter().copied().filter(|f| !flat(f)).collect();
    let count = faces.len();
    let faces: Vec<[u32; 3]> = faces.into_iter().filter(|f| seen.insert(rotated(*f))).collect();
    let dropped = count - faces.len();
    (Triangles { points: mesh.points.clone(), faces }, dropped)
}

/// Turns faces so that neighbours agree, as few as possible in each patch. `None` for a surface with one side only.
fn agree(mesh: &mut Triangles) -> Option<usize> {
    let mut uses: BTreeMap<(u32, u32), Vec<(u32, bool)>> = BTreeMap::new();
    for (i, &[a, b, c]) in mesh.faces.iter().enumerate() {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            uses.entry((from.min(to), from.max(to))).or_default().push((i as u32, from < to));
        }
    }
    let mut beside: Vec<Vec<(u32, bool)>> = vec![Vec::new(); mesh.faces.len()];
    for pair in uses.values() {
        if let [(a, da), (b, db)] = pair.as_slice() {
            beside[*a as usize].push((*b, da == db));
            beside[*b as usize].push((*a, da == db));
        }
    }
    let mut turn: Vec<Option<bool>> = vec![None; mesh.faces.len()];
    let mut turned = 0;
    for start in 0..mesh.faces.len() {
        if turn[start].is_some() {
            continue;
        }
        turn[start] = Some(false);
        let mut patch = vec![start as u32];
        let mut at = 0;
        while at < patch.len() {
            let face = patch[at] as usize;
            let own = turn[face]?;
            for &(other, clash) in &beside[face] {
                match turn[other as usize] {
                    None => {
                        turn[other as usize] = Some(own != clash);
                        patch.push(other);
                    }
                    Some(theirs) if theirs != (own != clash) => return None,
                    Some(_) => {}
                }
            }
            at += 1;
        }
        let against = patch.iter().filter(|&&f| turn[f as usize] == Some(true)).count();
        let flip = against * 2 <= patch.len();
        turned += against.min(patch.len() - against);
        for f in patch {
            if turn[f as usize] == Some(flip) {
                mesh.faces[f as usize].swap(1, 2);
            }
        }
    }
    Some(turned)
}
