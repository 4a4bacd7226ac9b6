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
