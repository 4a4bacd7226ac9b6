//! `explain`: why a safety rule exists.

use super::args::{ExplainArgs, PlainFormat};
use super::common::{json, known_rule, width};
use super::{Failure, Shown};
use crate::safety::explain;
use crate::sheet::explanation;

pub fn run(a: &ExplainArgs) -> Result<Shown, Failure> {
    let rule = known_rule(&a.rule, "RULE")?;
    let found = explain(rule).ok_or_else(|| Failure::Other(format!("the rule {rule} has no card")))?;
    Ok(Shown::text(match a.format {
        PlainFormat::Json => json(&explanation::json(&found)),
        PlainFormat::Text => explanation::text(&found, width(None)),
    }))
}
