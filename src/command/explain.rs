//! `explain`: why a safety rule exists.

use super::args::{ExplainArgs, PlainFormat};
use super::common::{json, width};
use super::{Failure, Shown};
use crate::diag::{Problem, nearest};
use crate::safety::{explain, rule_ids};
use crate::sheet::explanation;

pub fn run(a: &ExplainArgs) -> Result<Shown, Failure> {
    let Some(found) = explain(&a.rule) else {
        let known = rule_ids();
        let mut p = Problem::error(format!("`{}` is no rule of this program", a.rule)).in_field("RULE");
        if let Some(near) = nearest(&a.rule, known.iter().copied()) {
            p = p.hint(format!("did you mean `{near}`?"));
        }
        return Err(p.hint(format!("the rules are: {}", known.join(", "))).into());
    };
    Ok(Shown::text(match a.format {
        PlainFormat::Json => json(&explanation::json(&found)),
        PlainFormat::Text => explanation::text(&found, width(None)),
    }))
}
