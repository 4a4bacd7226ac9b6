//! `schema`: what a file of a kind may hold.

use super::args::SchemaArgs;
use super::{Failure, Shown};
use crate::diag::{Problem, one_of};
use crate::{order, sheet};

pub fn run(a: &SchemaArgs) -> Result<Shown, Failure> {
    match order::json_schema(&a.kind) {
        Some(schema) => Ok(Shown::text(sheet::json::text(&schema))),
        None => Err(Problem::error(format!("`{}` is no kind of file; allowed: {}", a.kind, one_of(&["recipe", "order", "bench"])))
            .in_field("KIND")
            .into()),
    }
}
