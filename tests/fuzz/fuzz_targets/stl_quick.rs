#![no_main]
//! The streaming pass must agree with itself on any number of threads, and with the whole measurement.

use bathwright::part::mesh::{Options, QuickOptions, measure, quick};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let run = |threads| quick(bytes, None, "a.stl", &QuickOptions { threads, ..QuickOptions::default() });
    let (one, two) = (run(1), run(2));
    match (&one, &two) {
        (Ok(a), Ok(b)) => {
            assert_eq!((a.volume, a.area, a.watertight), (b.volume, b.area, b.watertight));
            if let Ok(whole) = measure(bytes, "a.stl", &Options { air: false, ..Options::default() })
                && whole.triangles == a.triangles
            {
                assert_eq!(whole.watertight, a.watertight);
            }
        }
        (Err(_), Err(_)) => {}
        other => panic!("{other:?}"),
    }
});
