#![no_main]
//! The streaming pass must agree with itself on any number of threads, in order or at several places, and with the whole
//! measurement.

use bathwright::part::mesh::{Options, QuickOptions, measure, quick, quick_at};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let options = |threads| QuickOptions { threads, ..QuickOptions::default() };
    let run = |threads| quick(bytes, None, "a.stl", &options(threads));
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
    let length = bytes.len() as u64;
    match (quick(bytes, Some(length), "a.stl", &options(1)), quick_at(bytes, length, "a.stl", &options(2))) {
        (Ok(a), Ok(b)) => assert_eq!((a.volume, a.area, a.watertight), (b.volume, b.area, b.watertight)),
        (Err(a), Err(b)) => assert_eq!(a.to_string(), b.to_string()),
        other => panic!("{other:?}"),
    }
});
