//! `explain`: why a safety rule exists.

use super::args::ExplainArgs;
use super::{Failure, Shown};

pub fn run(_a: &ExplainArgs) -> Result<Shown, Failure> {
    todo!()
}
