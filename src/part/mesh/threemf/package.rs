//! The zip a 3MF file is, and which part in it is the model to start from.

use crate::diag::{Checked, Problem};
use quick_xml::Reader;
use quick_xml::events::Event;
use std::io::{BufRead, BufReader, Cursor, Read};
use zip::ZipArchive;

/// Bytes a part may unpack to: this many, and this many more for each byte of the file (our choice; a model in XML unpacks
/// to five to twenty times its size, a bomb to a thousand times).
const UNPACKED_FLOOR: u64 = 16 << 20;
const UNPACKED_RATIO: u64 = 100;

/// Longest tag, or text between two tags.
const LONGEST_TAG: usize = 1 << 20;

/// The relationship that points from the package to its model (3MF Core Specification, appendix C).
const MODEL_RELATION: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";
/// Where the model is when no relationship says so: the usual place.
const USUAL_PART: &str = "/3D/3dmodel.model";

pub(super) struct Package<'a> {
    archive: ZipArchive<Cursor<&'a [u8]>>,
    limit: u64,
}

impl<'a> Package<'a> {
    pub(super) fn open(bytes: &'a [u8]) -> Result<Self, Problem> {
        let archive = ZipArchive::new(Cursor::new(bytes)).map_err(|e| {
            Problem::error(format!("the 3MF package cannot be opened: {e}"))
                .hint("the file is damaged or cut short; export or download it again")
        })?;
        Ok(Package { archive, limit: UNPACKED_FLOOR + UNPACKED_RATIO * bytes.len() as u64 })
    }

    /// The part to start from, with a warning when the package does not say which.
    pub(super) fn start_part(&mut self) -> Checked<(String, Option<Problem>)> {
        let relations = "/_rels/.rels";
        if self.archive.index_for_name("_rels/.rels").is_none() {
            let warning =
                Problem::warning("the 3MF package does not say which part is its model; the usual place was taken");
            return Ok((USUAL_PART.to_string(), Some(warning)));
        }
        let target = self.part(relations, |source| Ok(relation(source, relations)?))?;
        Ok((target.map_or_else(|| USUAL_PART.to_string(), |t| absolute(&t)), None))
    }

    /// Reads a part by its path through `read`.
    pub(super) fn part<T>(&mut self, path: &str, read: impl FnOnce(&mut dyn BufRead) -> Checked<T>) -> Checked<T> {
        let name = path.trim_start_matches('/');
        // Part names are compared without case (OPC, ECMA-376 part 2).
        let index = self.archive.index_for_name(name).or_else(|| {
            (0..self.archive.len())
                .find(|&i| matches!(self.archive.name_for_index(i), Some(Ok(n)) if n.eq_ignore_ascii_case(name)))
        });
        let Some(index) = index else {
            return Err(Problem::error(format!("the 3MF package has no part `{path}`"))
                .hint("the file is incomplete; export it again")
                .into());
        };
        let file = self.archive.by_index(index).map_err(|e| {
            Problem::error(format!("part `{path}` cannot be unpacked: {e}"))
                .hint("encrypted parts, and packing other than deflate, are not read")
        })?;
        let guarded = Guard { source: file, left: self.limit, since_tag: 0 };
        read(&mut BufReader::with_capacity(64 << 10, guarded))
    }
}

/// A path with its leading slash.
pub(super) fn absolute(path: &str) -> String {
    format!("/{}", path.trim_start_matches('/'))
}

/// The target of the model relationship.
fn relation(source: &mut dyn BufRead, part: &str) -> Result<Option<String>, Problem> {
    let mut xml = Reader::from_reader(source);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer).map_err(|e| bad_xml(part, &e))? {
            Event::Start(tag) | Event::Empty(tag) if tag.local_name().as_ref() == "Relationship" => {
                let (mut kind, mut target) = (None, None);
                for attribute in tag.attributes().with_checks(false).flatten() {
                    match attribute.key.as_ref() {
                        "Type" => kind = Some(attribute.value.to_string()),
                        "Target" => target = Some(attribute.value.to_string()),
                        _ => {}
                    }
                }
                if kind.as_deref() == Some(MODEL_RELATION) {
                    return Ok(target);
                }
            }
            Event::Eof => return Ok(None),
            _ => {}
        }
    }
}

/// The problem with a part that is not well-formed or broke a bound.
pub(super) fn bad_xml(part: &str, e: &dyn std::fmt::Display) -> Problem {
    let text: String = e.to_string().chars().take(200).collect();
    Problem::error(format!("part `{part}` of the 3MF file cannot be read: {text}"))
        .hint("export or download the file again")
}

/// Stops a part that unpacks to too much, or whose tags are so long that reading one would fill the memory.
struct Guard<R> {
    source: R,
    left: u64,
    since_tag: usize,
}

impl<R: Read> Read for Guard<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let n = self.source.read(buffer)?;
        let refuse = |why: &str| Err(std::io::Error::new(std::io::ErrorKind::InvalidData, why.to_string()));
        self.left = match self.left.checked_sub(n as u64) {
            Some(left) => left,
            None => return refuse("it unpacks to far more than a model of this file's size would"),
        };
        self.since_tag = match buffer[..n].iter().rposition(|b| *b == b'>') {
            Some(at) => n - at,
            None => self.since_tag + n,
        };
        if self.since_tag > LONGEST_TAG { refuse("it has a tag or text of more than a megabyte") } else { Ok(n) }
    }
}
