//! How much bath is wanted.

use crate::amount::{Exact, in_millilitres};
use crate::bath::BathSize;
use crate::diag::{Checked, Problem};
use crate::order::{Order, Target};

pub(super) fn size_of(target: &Target) -> Checked<BathSize> {
    match target {
        Target::Poured(amount) => match amount.millilitres_exact() {
            Some(v) if v.is_one() && v.low > Exact::ZERO => Ok(BathSize::Poured(v.low)),
            Some(v) if v.low > Exact::ZERO => {
                Err(Problem::error(format!("`{amount}` is a range; one volume is needed")).into())
            }
            _ => Err(Problem::error(format!("`{amount}` is not a volume above zero"))
                .hint("write `1 L`, `600 mL` or `2 cups`")
                .into()),
        },
        Target::Finished(volume) if in_millilitres(*volume) > 0.0 => Ok(BathSize::Finished(*volume)),
        Target::Finished(_) => Err(Problem::error("the finished volume must be above zero").into()),
        Target::CoverParts => Err(Problem::error("only an immersion bath can be scaled to cover parts")
            .hint("say how much is wanted, such as `--to \"250 mL\"`")
            .into()),
    }
}

pub(super) fn size_without_vessel(order: &Order, notes: &mut Vec<String>) -> Checked<BathSize> {
    match &order.target {
        Some(target) => size_of(target),
        None => super::methods::size(order, notes),
    }
}
