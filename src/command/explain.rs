//! `explain`: why a safety rule exists.

use super::args::{ExplainArgs, Format};
use super::common::json;
use super::{Failure, Shown};
use crate::diag::{Problem, nearest};
use crate::{safety, sheet};

pub fn run(a: &ExplainArgs) -> Result<Shown, Failure> {
    let Some(explanation) = safety::explain(&a.rule) else {
        let known: Vec<&str> = safety::rule_ids().collect();
        let mut p = Problem::error(format!("`{}` is no rule of this program", a.rule)).in_field("RULE");
        if let Some(near) = nearest(&a.rule, known.iter().copied()) {
            p = p.hint(format!("did you mean `{near}`?"));
        }
        return Err(p.hint(format!("the rules are: {}", known.join(", "))).into());
    };
    Ok(Shown::text(match a.format {
        Format::Json => json(&sheet::json::explanation(&explanation)),
        Format::Text => sheet::terminal::explanation(&explanation, super::common::width(None)),
    }))
}
