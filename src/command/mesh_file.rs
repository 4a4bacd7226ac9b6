//! Mesh files: one that several threads read at once, and one that is read whole unless it is too large.

use super::common::read_bytes;
use crate::diag::{Checked, Place, Problem, Problems};
use crate::part::mesh::{MOST_TRIANGLES, ReadAt, STL_HEAD, too_many_to_hold};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Largest mesh file that is read whole.
const MOST_MESH_BYTES: u64 = 2 * 1024 * 1024 * 1024;
/// What [`MOST_TRIANGLES`] take in a binary STL, bytes.
const MOST_STL_BYTES: u64 = 84 + 50 * MOST_TRIANGLES as u64;

/// An open file; where its handle stands does not matter.
#[derive(Debug)]
pub struct MeshFile(pub File);

impl ReadAt for MeshFile {
    #[cfg(unix)]
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> std::io::Result<usize> {
        std::os::unix::fs::FileExt::read_at(&self.0, buffer, offset)
    }

    #[cfg(windows)]
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> std::io::Result<usize> {
        std::os::windows::fs::FileExt::seek_read(&self.0, buffer, offset)
    }

    #[cfg(not(any(unix, windows)))]
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> std::io::Result<usize> {
        use std::io::{Read, Seek, SeekFrom};
        // One handle has one place: one thread at a time moves it.
        static MOVING: std::sync::Mutex<()> = std::sync::Mutex::new(());
        let _held = MOVING.lock().unwrap_or_else(|e| e.into_inner());
        let mut file = &self.0;
        file.seek(SeekFrom::Start(offset))?;
        file.read(buffer)
    }
}

/// Reads a mesh file whole. One that holds more triangles than fit in memory is refused before it is read.
pub fn read_mesh(path: &Path) -> Checked<Vec<u8>> {
    let name = path.display().to_string();
    // What cannot be opened or is a folder is told by `read_bytes`.
    if let Ok(file) = File::open(path)
        && let Ok(found) = file.metadata()
        && !found.is_dir()
    {
        if !found.is_file() {
            return read_rest(file, &name);
        }
        let mut head = Vec::new();
        (&file).take(STL_HEAD as u64).read_to_end(&mut head).map_err(|e| unreadable(&name, &e))?;
        if let Some(problem) = too_many_to_hold(&head, found.len()) {
            return Err(Problems::from(problem).in_file(&name));
        }
    }
    read_bytes(path, MOST_MESH_BYTES)
}

/// Everything a source of unknown length still gives, within the limits for meshes.
pub fn read_rest(mut source: impl Read, name: &str) -> Checked<Vec<u8>> {
    let failed = |e: std::io::Error| unreadable(name, &e);
    let mut bytes = Vec::new();
    (&mut source).take(STL_HEAD as u64).read_to_end(&mut bytes).map_err(failed)?;
    // A count that is too high may be wrong: it counts when that much really comes.
    let refused = too_many_to_hold(&bytes, u64::MAX);
    let most = if refused.is_some() { MOST_STL_BYTES } else { MOST_MESH_BYTES };
    source.take(most + 1 - bytes.len() as u64).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 <= most {
        return Ok(bytes);
    }
    let problem = refused.unwrap_or_else(|| {
        Problem::error(format!("it is longer than {MOST_MESH_BYTES} bytes, the most that is held in memory"))
            .hint("write it to a binary STL file and measure that with --quick")
    });
    Err(Problems::from(problem).in_file(name))
}

/// The error of a mesh file that cannot be opened or read.
pub fn unreadable(name: &str, e: &std::io::Error) -> Problems {
    let problem = match e.kind() {
        std::io::ErrorKind::NotFound => {
            Problem::error("there is no such file").hint("check the name and the folder you are in")
        }
        _ => Problem::error(format!("it cannot be read: {e}")),
    };
    problem.at(Place { file: Some(name.to_string()), ..Place::default() }).into()
}
