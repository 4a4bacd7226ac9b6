//! How much bath is wanted.

use crate::amount::{Area, Exact, in_millilitres, in_square_millimetres, millilitres};
use crate::bath::BathSize;
use crate::diag::{Checked, Problem};
use crate::order::{Order, Target};
use crate::recipe::Method;

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
    if let Some(target) = &order.target {
        return size_of(target);
    }
    let recipe = &order.recipe;
    let area: Option<Area> = order.parts.iter().map(|p| p.shape.area().map(|a| a * f64::from(p.count))).sum();
    match (recipe.coats, area, recipe.method) {
        (Some((coats, per_m2)), Some(area), _) if !order.parts.is_empty() => {
            let m2 = in_square_millimetres(area) / 1e6;
            let ml = m2 * per_m2.high * f64::from(coats.high);
            notes.push(format!(
                "For {} to {} coats on {:.0} cm² at {:.0} to {:.0} mL per m² a coat, and twice that for what stays in brush or bottle",
                coats.low,
                coats.high,
                m2 * 1e4,
                per_m2.low,
                per_m2.high
            ));
            Ok(BathSize::Finished(millilitres((ml * 2.0).max(20.0))))
        }
        (_, _, Method::Fume | Method::Burial) => Err(Problem::error("this recipe is not an immersion bath, so its volume does not follow from the part")
            .hint("say how much liquid is wanted, such as `--to \"200 mL\"`; the recipe's notes say how much a box or a tub of packing takes")
            .into()),
        _ => Err(Problem::error("how much liquid is wanted is not known")
            .hint("say it, such as `--to \"200 mL\"`, or give a part with a shape so that its area is known")
            .into()),
    }
}
