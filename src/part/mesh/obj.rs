//! OBJ: `v` and `f` lines; texture, normals, materials, groups and smoothing mean nothing here.

use super::polygon;
use super::stl::number;
use super::triangles::{Builder, Triangles};
use super::vector::V3;
use crate::diag::{Checked, Place, Problem, Problems};

const MOST_FAULTS: usize = 20;

/// Keywords that say nothing about the shape of a polygon mesh.
const PASSED_OVER: &[&[u8]] = &[
    b"vt",
    b"vn",
    b"vp",
    b"o",
    b"g",
    b"s",
    b"mg",
    b"usemtl",
    b"mtllib",
    b"l",
    b"p",
    b"bevel",
    b"c_interp",
    b"d_interp",
    b"lod",
    b"maplib",
    b"usemap",
    b"shadow_obj",
    b"trace_obj",
];

/// The triangles of an OBJ file in the file's own unit, with warnings.
pub(super) fn read(bytes: &[u8]) -> Checked<(Triangles, Vec<Problem>)> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut build = Builder::new();
    // Number of the merged point, and its place, for each `v` line.
    let mut vertices: Vec<(u32, V3)> = Vec::new();
    let mut faults: Vec<Problem> = Vec::new();
    let mut unknown: Option<(usize, String)> = None;
    let mut free_form = false;
    let mut corners: Vec<u32> = Vec::new();
    for (line, text) in (Lines { bytes, line: 0 }) {
        if faults.len() >= MOST_FAULTS {
            break;
        }
        let mut fail = |p: Problem| faults.push(p.at(Place { line: Some(line), ..Place::default() }));
        let mut words = text.split(|b| b.is_ascii_whitespace() || *b == b'\\').filter(|w| !w.is_empty());
        match words.next() {
            None => {}
            Some(b"v") => match vertex(words) {
                Ok(p) => vertices.push((build.point(p), p)),
                Err(p) => {
                    fail(p);
                    vertices.push((0, [0.0; 3]));
                }
            },
            Some(b"f" | b"fo") => {
                corners.clear();
                let mut good = true;
                for word in words {
                    match index(word, vertices.len()) {
                        Ok(i) => corners.push(i),
                        Err(p) => {
                            good = false;
                            fail(p);
                        }
                    }
                }
                if good && corners.len() < 3 {
                    fail(Problem::error(format!("this face has {} corners, at least three are needed", corners.len())));
                } else if good {
                    build.room_for(corners.len() - 2)?;
                    for t in polygon::triangles(&corners, |i| vertices[i as usize].1) {
                        build.face(t.map(|i| vertices[i as usize].0));
                    }
                }
            }
            Some(b"cstype" | b"curv" | b"curv2" | b"surf") => free_form = true,
            Some(word) if word.starts_with(b"#") || PASSED_OVER.contains(&word) => {}
            Some(word) => {
                let shown = || String::from_utf8_lossy(&word[..word.len().min(40)]).into_owned();
                unknown.get_or_insert_with(|| (line, shown()));
            }
        }
    }
    if !faults.is_empty() {
        return Err(Problems(faults));
    }
    if build.len() == 0 {
        return Err(Problem::error("the file holds no faces").into());
    }
    let mut warnings = Vec::new();
    if free_form {
        warnings.push(
            Problem::warning("the file has curved surfaces beside its faces, which were not read")
                .hint("export the part as a polygon mesh"),
        );
    }
    if let Some((line, word)) = unknown {
        warnings.push(
            Problem::warning(format!(
                "`{word}` is no keyword of an OBJ file; this line and others like it were not read"
            ))
            .at(Place { line: Some(line), ..Place::default() }),
        );
    }
    Ok((build.finish(), warnings))
}

fn vertex<'a>(mut words: impl Iterator<Item = &'a [u8]>) -> Result<V3, Problem> {
    let mut p = [0.0; 3];
    for (c, axis) in p.iter_mut().zip(["x", "y", "z"]) {
        let word = words.next().ok_or_else(|| Problem::error(format!("this vertex has no {axis}")))?;
        *c = number(word)?;
    }
    Ok(p)
}

/// The vertex number (from 0) of a corner such as `7`, `7/1`, `7//3` or `-1` (the last so far).
fn index(word: &[u8], so_far: usize) -> Result<u32, Problem> {
    let first = word.split(|b| *b == b'/').next().unwrap_or_default();
    let shown = String::from_utf8_lossy(&word[..word.len().min(40)]).into_owned();
    let bad = |why: String| Problem::error(format!("corner `{shown}` {why}"));
    let number: i64 = std::str::from_utf8(first)
        .ok()
        .and_then(|t| t.parse().ok())
        .ok_or_else(|| bad("is not a vertex number".to_string()))?;
    let at = if number < 0 { so_far as i64 + number } else { number - 1 };
    match u32::try_from(at) {
        Ok(i) if (i as usize) < so_far => Ok(i),
        _ => Err(bad(format!("names no vertex; {so_far} are there so far, counted from 1"))),
    }
}

/// Lines with their number; a backslash at the end joins the next line.
struct Lines<'a> {
    bytes: &'a [u8],
    line: usize,
}

impl<'a> Iterator for Lines<'a> {
    type Item = (usize, &'a [u8]);

    fn next(&mut self) -> Option<(usize, &'a [u8])> {
        if self.bytes.is_empty() {
            return None;
        }
        let first = self.line + 1;
        let mut end = 0;
        loop {
            let rest = &self.bytes[end..];
            self.line += 1;
            let Some(stop) = rest.iter().position(|b| *b == b'\n') else {
                end = self.bytes.len();
                break;
            };
            let joined = rest[..stop].trim_ascii_end().ends_with(b"\\") && !rest.trim_ascii_start().starts_with(b"#");
            end += stop + 1;
            if !joined || end == self.bytes.len() {
                break;
            }
        }
        let (text, rest) = self.bytes.split_at(end);
        self.bytes = rest;
        Some((first, text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_in_every_form_and_joined_lines() {
        let text =
            b"# c \\\nv 0 0 0\nv 1 0 0 1.0\nv 0 \\\n 1 0\r\nv 0 0 1\nf 1/1/1 3//2 2\nf -4 -3 -1\nf 2 3 4\nf 1 4 3\n";
        let (mesh, warnings) = read(text).unwrap();
        assert_eq!((mesh.points.len(), mesh.faces.len(), warnings.len()), (4, 4, 0));
        assert_eq!(mesh.faces[0], [0, 2, 1]);
        assert_eq!(mesh.faces[1], [0, 1, 3]);
    }

    #[test]
    fn every_fault_is_told_with_its_line() {
        let problems = read(b"v 0 0\nv 1 x 0\nf 1 2 9\nf 1 2\nf 0 1 2\nv 1 nan 2\n").unwrap_err();
        let lines: Vec<_> = problems.0.iter().map(|p| p.place.line).collect();
        assert_eq!(lines, [1, 2, 3, 4, 5, 6].map(Some));
        assert!(read(b"v 0 0 0\n").unwrap_err().to_string().contains("no faces"));
    }
}
