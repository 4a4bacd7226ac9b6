//! What must hold of every mesh file, however it is damaged.

use bathwright::amount::{in_cubic_millimetres, in_square_millimetres};
use bathwright::part::mesh::{Options, measure};

/// Measures; panics when the answer breaks a promise.
pub fn check(bytes: &[u8], name: &str) {
    let options = Options { air: false, ..Options::default() };
    let Ok(m) = measure(bytes, name, &options) else { return };
    assert!(in_square_millimetres(m.area).is_finite());
    assert!(m.watertight || m.volume.is_none() || !m.warnings.is_empty(), "a volume of an open surface without a warning");
    if let Some(v) = m.volume {
        let v = v.map(in_cubic_millimetres);
        assert!(v.best.is_finite() && v.low <= v.best && v.best <= v.high, "{v:?}");
    }
}
