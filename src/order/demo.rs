//! The demo order, its bench and its mesh, embedded, so that the first command of the README needs nothing else.
//!
//! The workshop makes drawer pulls, plaques and lanterns for a community theatre. The mesh is a design of our own: a
//! bridge-shaped pull, 100 mm long, 20 mm deep and 30 mm high, with a finger opening and bevelled edges.

/// The demo order.
pub fn demo_order_text() -> &'static str {
    include_str!("demo/order.yaml")
}

/// The files that the demo order names; `None` for any other name.
pub fn demo_file(name: &str) -> Option<&'static [u8]> {
    match name {
        "demo/order.yaml" => Some(include_bytes!("demo/order.yaml")),
        "demo/bench.yaml" => Some(include_bytes!("demo/bench.yaml")),
        "demo/pull.stl" => Some(include_bytes!("demo/pull.stl")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Surroundings, Target, read_order};
    use super::*;
    use crate::amount::{in_cubic_millimetres, in_grams, in_millimetres};
    use crate::diag::{Checked, Problem};
    use crate::recipe::Library;
    use jiff::tz::TimeZone;

    #[test]
    fn the_demo_order_reads_and_its_part_floats() {
        let load = |name: &str| -> Checked<std::borrow::Cow<'static, [u8]>> {
            demo_file(name).map(Into::into).ok_or_else(|| Problem::error("no such file").into())
        };
        let library = Library::default();
        let around = Surroundings { load: &load, zone: TimeZone::UTC, library: &library };
        let order = read_order(demo_order_text(), "demo/order.yaml", &around).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(order.recipe.id, "kitchen-rust");
        assert!(matches!(order.target, Some(Target::CoverParts)));
        assert_eq!(in_millimetres(order.cover_depth), 25.0);
        let part = &order.parts[0];
        assert_eq!(part.name, "drawer pull");
        assert_eq!(part.metal.map(|m| m.id.as_ref()), Some("iron"));
        // The volume of the mesh as the script that drew it summed it: 32 457 mm³.
        let volume = in_cubic_millimetres(part.shape.envelope());
        assert!((volume - 32_457.27).abs() < 0.5, "{volume}");
        let density = in_grams(part.mass.best) / volume * 1000.0;
        assert!((0.6..0.8).contains(&density), "{density} g/cm³ has to float");
        assert_eq!(order.vessel.map(|v| v.name), Some("wide jar".to_string()));
        assert_eq!(order.start.map(|s| s.to_string()).as_deref(), Some("2026-11-27T09:00:00+00:00[Europe/London]"));
    }
}
