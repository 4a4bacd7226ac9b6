//! Where the streaming pass gets its blocks from: a source that can only be read in order, or one that several threads read
//! at places of their own.

use super::stl::{HEADER, RECORD};
use crate::diag::Problem;
use std::io::Read;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard};

/// Triangles in a block: the most that fit in 128 KiB. Larger reads were measured to be several times slower.
pub(super) const BLOCK: usize = (128 << 10) / RECORD;

/// A block that was filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Block {
    /// Its number; blocks are handed out in order and without gaps.
    pub number: u64,
    /// How many triangles it holds.
    pub triangles: usize,
    /// How many come before it.
    pub before: u64,
}

/// Hands out the blocks of a file to any number of threads.
pub(super) trait Feed: Sync {
    /// Fills the buffer with the next block; `None` at the end. The error comes with the number of triangles before it.
    fn block(&self, buffer: &mut [u8]) -> Result<Option<Block>, (u64, Problem)>;
}

/// The error for a file that ends early.
pub(super) fn cut_short(promised: u64, has: u64) -> Problem {
    Problem::error(format!("the file is cut short: its header promises {promised} triangles, and it has {has}"))
        .hint("export or download the file again")
}

/// A source that is read in order, one thread at a time.
pub(super) struct Streamed<R> {
    promised: u64,
    inner: Mutex<Stream<R>>,
}

struct Stream<R> {
    source: R,
    /// The first triangle, which was read with the header.
    first: Option<[u8; RECORD]>,
    next: u64,
    read: u64,
}

impl<R: Read + Send> Streamed<R> {
    pub fn new(source: R, first: [u8; RECORD], promised: u64) -> Self {
        Streamed { promised, inner: Mutex::new(Stream { source, first: Some(first), next: 0, read: 0 }) }
    }

    /// The source behind the triangles.
    pub fn into_source(self) -> R {
        self.inner.into_inner().unwrap_or_else(|e| e.into_inner()).source
    }
}

impl<R: Read + Send> Feed for Streamed<R> {
    fn block(&self, buffer: &mut [u8]) -> Result<Option<Block>, (u64, Problem)> {
        let mut s = lock(&self.inner);
        let left = self.promised - s.read;
        if left == 0 {
            return Ok(None);
        }
        let wanted = (left.min(BLOCK as u64) as usize) * RECORD;
        let from = match s.first.take() {
            Some(first) => {
                buffer[..RECORD].copy_from_slice(&first);
                RECORD
            }
            None => 0,
        };
        let got = from + fill(&mut s.source, &mut buffer[from..wanted]).map_err(|p| (s.read, p))?;
        let block = Block { number: s.next, triangles: got / RECORD, before: s.read };
        (s.next, s.read) = (s.next + 1, s.read + block.triangles as u64);
        if got < wanted { Err((s.read, cut_short(self.promised, s.read))) } else { Ok(Some(block)) }
    }
}

/// Bytes that several threads can read at places of their own, such as a file on a system that knows how.
pub trait ReadAt: Sync {
    /// Reads some bytes from this offset on; 0 at the end.
    ///
    /// # Errors
    /// Whatever the source fails with.
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> std::io::Result<usize>;
}

impl ReadAt for [u8] {
    fn read_at(&self, buffer: &mut [u8], offset: u64) -> std::io::Result<usize> {
        let mut rest = usize::try_from(offset).ok().and_then(|at| self.get(at..)).unwrap_or_default();
        rest.read(buffer)
    }
}

/// A source of which every thread reads blocks at their own places, without waiting for the others.
pub(super) struct Placed<'a, S: ?Sized> {
    source: &'a S,
    promised: u64,
    next: AtomicU64,
    over: AtomicBool,
}

impl<'a, S: ReadAt + ?Sized> Placed<'a, S> {
    pub fn new(source: &'a S, promised: u64) -> Self {
        Placed { source, promised, next: AtomicU64::new(0), over: AtomicBool::new(false) }
    }
}

impl<S: ReadAt + ?Sized> Feed for Placed<'_, S> {
    fn block(&self, buffer: &mut [u8]) -> Result<Option<Block>, (u64, Problem)> {
        if self.over.load(Ordering::Relaxed) {
            return Ok(None);
        }
        let number = self.next.fetch_add(1, Ordering::Relaxed);
        let before = number * BLOCK as u64;
        if before >= self.promised {
            self.over.store(true, Ordering::Relaxed);
            return Ok(None);
        }
        let triangles = (self.promised - before).min(BLOCK as u64) as usize;
        let wanted = &mut buffer[..triangles * RECORD];
        let mut at = At { source: self.source, offset: HEADER as u64 + before * RECORD as u64 };
        let got = fill(&mut at, wanted).map_err(|p| (before, p))?;
        if got < wanted.len() {
            // The file was shortened while it was read.
            let has = before + (got / RECORD) as u64;
            return Err((has, cut_short(self.promised, has)));
        }
        Ok(Some(Block { number, triangles, before }))
    }
}

/// A source read from a place on.
pub(super) struct At<'a, S: ?Sized> {
    pub source: &'a S,
    pub offset: u64,
}

impl<S: ReadAt + ?Sized> Read for At<'_, S> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let n = self.source.read_at(buffer, self.offset)?;
        self.offset += n as u64;
        Ok(n)
    }
}

/// Reads until the buffer is full or the source ends.
pub(super) fn fill(source: &mut impl Read, buffer: &mut [u8]) -> Result<usize, Problem> {
    let mut got = 0;
    while got < buffer.len() {
        match source.read(&mut buffer[got..]) {
            Ok(0) => break,
            Ok(n) => got += n,
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
            Err(e) => return Err(Problem::error(format!("the file cannot be read: {e}"))),
        }
    }
    Ok(got)
}

pub(super) fn lock<T>(m: &Mutex<T>) -> MutexGuard<'_, T> {
    // A poisoned lock would mean that another worker panicked; what it guards is plain numbers.
    m.lock().unwrap_or_else(|e| e.into_inner())
}
