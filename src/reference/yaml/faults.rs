//! Gathers the faults of a file's contents, each with its place.

use super::Document;
use crate::diag::{Checked, Problem, Problems, Severity};
use core::fmt::Display;

/// The faults found so far in one file.
#[derive(Debug)]
pub struct Faults<'d> {
    document: &'d Document,
    problems: Vec<Problem>,
}

impl<'d> Faults<'d> {
    /// Starts with what reading the file found.
    pub fn new(document: &'d Document, problems: Vec<Problem>) -> Self {
        Faults { document, problems }
    }

    /// Whether nothing was noted.
    pub fn is_empty(&self) -> bool {
        self.problems.is_empty()
    }

    /// The value, or its faults noted under `path`, which is only then put into words.
    pub fn take<T>(&mut self, path: impl Display, read: Checked<T>) -> Option<T> {
        read.map_err(|problems| self.note(&path.to_string(), problems)).ok()
    }

    /// Notes a fault of the value at `path`.
    pub fn add(&mut self, path: impl Display, problem: Problem) {
        self.note(&path.to_string(), problem.into());
    }

    fn note(&mut self, path: &str, problems: Problems) {
        self.problems.extend(self.document.placed(problems.in_field(path)).0);
    }

    /// Notes faults that already have their whole place (in another file).
    pub fn add_elsewhere(&mut self, problems: Problems) {
        self.problems.extend(problems.0);
    }

    /// The checked value, or every fault in the order of the file.
    ///
    /// # Errors
    /// When any error was noted, or `value` is `None`.
    pub fn finish<T>(mut self, value: Option<T>) -> Checked<T> {
        let own = Some(&self.document.file);
        self.problems.sort_by_key(|p| {
            // The own file first; stable within a line, so that what belongs together stays together.
            (p.place.file.as_ref() != own, p.place.file.clone(), p.place.line, p.place.column)
        });
        self.problems.dedup();
        match value {
            Some(value) if self.problems.iter().all(|p| p.severity == Severity::Warning) => Ok(value),
            _ if self.problems.is_empty() => {
                // Only reachable when a field went missing without a word, which the table of fields rules out.
                Err(Problem::error("the file cannot be used").at(self.document.place("")).into())
            }
            _ => Err(Problems(self.problems)),
        }
    }
}
