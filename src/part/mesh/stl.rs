//! STL, binary and ASCII. Which of the two is decided by the file's size first, since many binary files begin with "solid".

use super::triangles::{Builder, MOST_TRIANGLES, Triangles, bad_coordinate, points_of, too_many, usable};
use super::vector::V3;
use crate::diag::{Checked, Place, Problem, Problems};

/// Bytes before the first triangle: an 80-byte header that means nothing, and the count.
pub(super) const HEADER: usize = 84;
/// Bytes of a triangle: a normal (not trusted), three corners, an attribute word (not trusted).
pub(super) const RECORD: usize = 50;
/// Most faults told in one run; a damaged file may have millions.
const MOST_FAULTS: usize = 20;

/// The triangles of an STL file in the file's own unit, with warnings.
pub(super) fn read(bytes: &[u8]) -> Checked<(Triangles, Vec<Problem>)> {
    match kind(bytes)? {
        Kind::Binary { triangles, warning } => {
            let mesh = binary(&bytes[HEADER..HEADER + triangles * RECORD])?;
            Ok((mesh, warning.into_iter().collect()))
        }
        Kind::Ascii => ascii(bytes),
    }
}

/// What the file's size and first bytes say.
enum Kind {
    Binary { triangles: usize, warning: Option<Problem> },
    Ascii,
}

fn kind(bytes: &[u8]) -> Result<Kind, Problem> {
    let count = declared_count(bytes);
    let room = bytes.len().saturating_sub(HEADER) / RECORD;
    if is_binary_by_size(bytes) {
        return Ok(Kind::Binary { triangles: room, warning: None });
    }
    if looks_like_text(bytes) {
        return Ok(Kind::Ascii);
    }
    let Some(n) = count else {
        return Err(Problem::error(format!("the file is {} bytes long, too short for a binary STL", bytes.len()))
            .hint("a binary STL has at least 84 bytes, an ASCII one begins with `solid`"));
    };
    if n == 0 && bytes.len() == HEADER {
        return Err(Problem::error("the file holds no triangles"));
    }
    if n > room {
        return Err(Problem::error(format!(
            "the file is cut short: its header promises {n} triangles ({} bytes), and it has {} bytes, room for {room}",
            n as u64 * RECORD as u64 + HEADER as u64,
            bytes.len()
        ))
        .hint("export or download the file again"));
    }
    if n == 0 {
        return Err(Problem::error(format!(
            "the header promises no triangles, but {} bytes follow it",
            bytes.len() - HEADER
        ))
        .hint("export the file again"));
    }
    let extra = bytes.len() - HEADER - n * RECORD;
    let warning = Problem::warning(format!(
        "the header promises {n} triangles, and {extra} bytes follow them that were not read (room for {} more)",
        extra / RECORD
    ))
    .hint("check that nothing of the part is missing, or export the file again");
    Ok(Kind::Binary { triangles: n, warning: Some(warning) })
}

/// Whether the file is exactly as long as its count says, which no text is.
pub(super) fn is_binary_by_size(bytes: &[u8]) -> bool {
    declared_count(bytes).is_some_and(|n| n > 0 && n as u64 * RECORD as u64 + HEADER as u64 == bytes.len() as u64)
}

/// Bytes from the beginning of a file that [`is_binary_stl`] wants to see: the first half kilobyte tells text from
/// numbers.
pub const STL_HEAD: usize = 512;

/// Whether a file is a binary STL, by its first [`STL_HEAD`] bytes and its length when known. Other formats that are known
/// by their first bytes are not.
pub fn is_binary_stl(head: &[u8], length: Option<u64>) -> bool {
    let promised = declared_count(head).map(|n| n as u64 * RECORD as u64 + HEADER as u64);
    let fits = promised.is_some_and(|p| p > HEADER as u64 && Some(p) == length);
    let other = looks_like_text(head) || head.starts_with(b"PK") || head.starts_with(b"ply") || text_only(head);
    fits || (promised.is_some() && !other)
}

/// The problem with a binary STL that holds more triangles than fit in memory, by its first [`STL_HEAD`] bytes and its
/// length: known before any of them is read.
pub fn too_many_to_hold(head: &[u8], length: u64) -> Option<Problem> {
    let count = declared_count(head).filter(|_| is_binary_stl(head, Some(length)))?;
    let room = usize::try_from(length.saturating_sub(HEADER as u64) / RECORD as u64).unwrap_or(usize::MAX);
    (count.min(room) > MOST_TRIANGLES).then(|| too_many(count.min(room)))
}

/// Whether there are no control bytes, as in text.
pub(super) fn text_only(head: &[u8]) -> bool {
    head.iter().take(512).all(|&b| b >= b' ' || matches!(b, b'\t' | b'\n' | b'\r' | 0x0c))
}

/// The number of triangles that a binary header promises; `None` when the file is too short to have one.
pub(super) fn declared_count(bytes: &[u8]) -> Option<usize> {
    let word = bytes.get(80..84)?;
    Some(u32::from_le_bytes([word[0], word[1], word[2], word[3]]) as usize)
}

/// Whether this is text with STL keywords: no control bytes in the first half kilobyte, and `solid` or `facet` ahead.
pub(super) fn looks_like_text(bytes: &[u8]) -> bool {
    let first = Words::new(bytes).next().map(|w| w.1.to_ascii_lowercase());
    text_only(bytes) && matches!(first.as_deref(), Some(b"solid" | b"facet"))
}

fn binary(records: &[u8]) -> Checked<Triangles> {
    let mut build = Builder::new();
    build.room_for(records.len() / RECORD)?;
    build.expect(points_of(records.len() / RECORD), records.len() / RECORD);
    let mut faults = Vec::new();
    for (i, record) in records.as_chunks::<RECORD>().0.iter().enumerate() {
        let corners = corners(record);
        if let Some(&bad) = corners.iter().flatten().find(|c| !usable(**c)) {
            faults.push(bad_coordinate(bad).in_field(format!("triangle {}", i + 1)));
            if faults.len() == MOST_FAULTS {
                break;
            }
            continue;
        }
        let face = corners.map(|p| build.point(p));
        build.face(face);
    }
    if faults.is_empty() { Ok(build.finish()) } else { Err(Problems(faults)) }
}

/// The three corners of a binary record.
#[inline(always)]
pub(super) fn corners(record: &[u8; RECORD]) -> [V3; 3] {
    let at = |k: usize| {
        let b = 12 + 4 * k;
        f64::from(f32::from_le_bytes([record[b], record[b + 1], record[b + 2], record[b + 3]]))
    };
    [[at(0), at(1), at(2)], [at(3), at(4), at(5)], [at(6), at(7), at(8)]]
}

/// ASCII: `facet`, three times `vertex`, `endfacet`; whatever stands beside them (normals, names) is passed over. Several
/// `solid`s in a file are all read.
fn ascii(bytes: &[u8]) -> Checked<(Triangles, Vec<Problem>)> {
    let mut build = Builder::new();
    let mut faults: Vec<Problem> = Vec::new();
    let mut warnings = Vec::new();
    let mut words = Words::new(bytes);
    let mut corners: Vec<u32> = Vec::with_capacity(3);
    let mut open_facet: Option<usize> = None;
    let mut open_solid = false;
    while let Some((line, word)) = words.next() {
        if faults.len() >= MOST_FAULTS {
            break;
        }
        match Keyword::of(word) {
            Keyword::Solid => {
                open_solid = true;
                words.skip_line();
            }
            Keyword::EndSolid => {
                open_solid = false;
                words.skip_line();
            }
            Keyword::Facet => {
                if let Some(start) = open_facet {
                    faults.push(at_line(start, Problem::error("this facet has no `endfacet`")));
                }
                (open_facet, corners) = (Some(line), Vec::with_capacity(3));
                words.skip_line_or(b"outer");
            }
            Keyword::Vertex => {
                let mut p = [0.0; 3];
                for c in &mut p {
                    match words.next() {
                        Some((at, text)) => match number(text) {
                            Ok(value) => *c = value,
                            Err(fault) => faults.push(at_line(at, fault)),
                        },
                        None => faults.push(at_line(line, Problem::error("the file ends inside a corner"))),
                    }
                }
                if open_facet.is_none() {
                    faults.push(at_line(line, Problem::error("a corner stands outside a facet")));
                } else {
                    corners.push(build.point(p));
                }
            }
            Keyword::EndFacet => {
                match (open_facet.take(), corners.as_slice()) {
                    (Some(_), &[a, b, c]) => {
                        build.room_for(1)?;
                        build.face([a, b, c]);
                    }
                    (Some(start), other) => faults.push(at_line(
                        start,
                        Problem::error(format!("this facet has {} corners, three are allowed", other.len())),
                    )),
                    (None, _) => faults.push(at_line(line, Problem::error("`endfacet` without `facet`"))),
                }
                corners.clear();
            }
            Keyword::Loop => {}
            Keyword::Other if words.at == words.bytes.len() => {
                faults.push(
                    at_line(line, Problem::error("the file ends inside a word; it is cut short"))
                        .hint("export or download the file again"),
                );
            }
            Keyword::Other => {
                let shown = String::from_utf8_lossy(&word[..word.len().min(40)]).into_owned();
                faults.push(
                    at_line(line, Problem::error(format!("`{shown}` is no word of an ASCII STL")))
                        .hint("the file is damaged, or binary with a wrong size"),
                );
                words.skip_line();
            }
        }
    }
    if let Some(start) = open_facet {
        faults.push(
            at_line(start, Problem::error("the file ends inside this facet")).hint("export or download it again"),
        );
    }
    if !faults.is_empty() {
        return Err(Problems(faults));
    }
    if build.len() == 0 {
        return Err(Problem::error("the file holds no triangles").into());
    }
    if open_solid {
        warnings.push(
            Problem::warning("the file ends without `endsolid`; it may be cut short")
                .hint("if the mesh is closed nothing is missing"),
        );
    }
    Ok((build.finish(), warnings))
}

enum Keyword {
    Solid,
    EndSolid,
    Facet,
    EndFacet,
    Vertex,
    Loop,
    Other,
}

impl Keyword {
    fn of(word: &[u8]) -> Self {
        let is = |name: &str| word.eq_ignore_ascii_case(name.as_bytes());
        if is("vertex") {
            Keyword::Vertex
        } else if is("facet") {
            Keyword::Facet
        } else if is("endfacet") {
            Keyword::EndFacet
        } else if is("outer") || is("loop") || is("endloop") {
            Keyword::Loop
        } else if is("solid") {
            Keyword::Solid
        } else if is("endsolid") {
            Keyword::EndSolid
        } else {
            Keyword::Other
        }
    }
}

/// A coordinate as text.
pub(super) fn number(text: &[u8]) -> Result<f64, Problem> {
    let shown = || String::from_utf8_lossy(&text[..text.len().min(40)]).into_owned();
    match std::str::from_utf8(text).ok().and_then(|t| t.parse::<f64>().ok()) {
        Some(c) if usable(c) => Ok(c),
        Some(c) => Err(bad_coordinate(c)),
        None if text.contains(&b',') => Err(Problem::error(format!("`{}` is not a number", shown()))
            .hint("a decimal comma is not allowed; export with a decimal point")),
        None => Err(Problem::error(format!("`{}` is not a number", shown()))),
    }
}

fn at_line(line: usize, problem: Problem) -> Problem {
    problem.at(Place { line: Some(line), ..Place::default() })
}

/// Words between white space, with the line each stands on.
struct Words<'a> {
    bytes: &'a [u8],
    at: usize,
    line: usize,
}

impl<'a> Words<'a> {
    fn new(bytes: &'a [u8]) -> Self {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        Words { bytes, at: 0, line: 1 }
    }

    fn skip_line(&mut self) {
        while self.at < self.bytes.len() && self.bytes[self.at] != b'\n' {
            self.at += 1;
        }
    }

    /// Skips to the end of the line, or to just before `word` when it stands on the same line.
    fn skip_line_or(&mut self, word: &[u8]) {
        while self.at < self.bytes.len() && self.bytes[self.at] != b'\n' {
            if self.bytes[self.at..].get(..word.len()).is_some_and(|w| w.eq_ignore_ascii_case(word)) {
                return;
            }
            self.at += 1;
        }
    }
}

impl<'a> Iterator for Words<'a> {
    type Item = (usize, &'a [u8]);

    fn next(&mut self) -> Option<(usize, &'a [u8])> {
        while self.at < self.bytes.len() && self.bytes[self.at].is_ascii_whitespace() {
            self.line += usize::from(self.bytes[self.at] == b'\n');
            self.at += 1;
        }
        let start = self.at;
        while self.at < self.bytes.len() && !self.bytes[self.at].is_ascii_whitespace() {
            self.at += 1;
        }
        (start < self.at).then(|| (self.line, &self.bytes[start..self.at]))
    }
}
