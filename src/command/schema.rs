//! `schema`: what a file of a kind may hold.

use super::args::SchemaArgs;
use super::common::json;
use super::{Failure, Shown};
use crate::diag::{Problem, one_of};
use crate::order::{FileKind, json_schema};

pub fn run(a: &SchemaArgs) -> Result<Shown, Failure> {
    match FileKind::from_name(&a.kind) {
        Some(kind) => Ok(Shown::text(json(&json_schema(kind)))),
        None => {
            let known = FileKind::ALL.map(FileKind::name);
            Err(Problem::error(format!("`{}` is no kind of file; allowed: {}", a.kind, one_of(&known)))
                .in_field("KIND")
                .into())
        }
    }
}
