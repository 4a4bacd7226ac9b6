//! Which format a file is in, and its triangles in millimetres.

use super::triangles::Triangles;
use super::unit::{self, LengthUnit};
use super::{obj, ply, stl, threemf};
use crate::diag::{Checked, Problem};

/// The formats read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Stl,
    ThreeMf,
    Obj,
    Ply,
}

/// Decides by the content first, by the ending of the name only when the content does not tell.
pub(super) fn detect(bytes: &[u8], name: &str) -> Result<Format, Problem> {
    if bytes.is_empty() {
        return Err(Problem::error("the file is empty"));
    }
    if stl::is_binary_by_size(bytes) {
        return Ok(Format::Stl);
    }
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes).trim_ascii_start();
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return Ok(Format::ThreeMf);
    }
    if bytes.starts_with(b"ply\n") || bytes.starts_with(b"ply\r") {
        return Ok(Format::Ply);
    }
    if stl::looks_like_text(bytes) {
        return Ok(Format::Stl);
    }
    if text.starts_with(b"v ") || text.starts_with(b"mtllib") {
        return Ok(Format::Obj);
    }
    match name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).as_deref() {
        Some("stl") => Ok(Format::Stl),
        Some("3mf") => Ok(Format::ThreeMf),
        Some("obj") => Ok(Format::Obj),
        Some("ply") => Ok(Format::Ply),
        _ if text.starts_with(b"#") || text.starts_with(b"o ") || text.starts_with(b"g ") => Ok(Format::Obj),
        // What is left and long enough may be a binary STL with a wrong count; its reader says so.
        _ if bytes.len() >= stl::HEADER + stl::RECORD && !stl::text_only(bytes) => Ok(Format::Stl),
        _ => Err(Problem::error("this is no mesh file that can be read").hint("STL, 3MF, OBJ and PLY are read")),
    }
}

/// The triangles in millimetres, with warnings.
pub(super) fn triangles(bytes: &[u8], name: &str, said: Option<LengthUnit>) -> Checked<(Triangles, Vec<Problem>)> {
    let (mut mesh, own, mut warnings) = match detect(bytes, name)? {
        Format::ThreeMf => {
            let (mesh, unit, warnings) = threemf::read(bytes)?;
            (mesh, Some(unit), warnings)
        }
        Format::Stl => with_no_unit(stl::read(bytes)?),
        Format::Obj => with_no_unit(obj::read(bytes)?),
        Format::Ply => with_no_unit(ply::read(bytes)?),
    };
    if let (Some(said), Some(own)) = (said, own)
        && said != own
    {
        warnings.push(Problem::warning(format!(
            "the file says its unit is the {own}; it was read as if it were the {said}, as asked"
        )));
    }
    let unit = said.or(own).unwrap_or(LengthUnit::Millimetre);
    warnings.extend(unit::to_millimetres(&mut mesh, unit, said.is_some()));
    Ok((mesh, warnings))
}

fn with_no_unit((mesh, warnings): (Triangles, Vec<Problem>)) -> (Triangles, Option<LengthUnit>, Vec<Problem>) {
    (mesh, None, warnings)
}
