#![no_main]
//! The streaming pass must agree with itself on any number of threads, in order or at several places of a file, and with the
//! whole measurement.

use bathwright::part::mesh::{Options, QuickOptions, measure, quick, quick_file};
use std::fs::File;
use std::io::{Seek, Write};

thread_local! {
    /// One scratch file for the whole run, without a name.
    static FILE: File = {
        let path = std::env::temp_dir().join(format!("stl_quick.{}", std::process::id()));
        let file = File::options().read(true).write(true).create(true).truncate(true).open(&path).unwrap();
        std::fs::remove_file(path).unwrap();
        file
    };
}

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
    let placed = FILE.with(|file| {
        let mut at = file;
        file.set_len(0).unwrap();
        at.rewind().unwrap();
        at.write_all(bytes).unwrap();
        quick_file(file, "a.stl", &options(2))
    });
    match (quick(bytes, Some(bytes.len() as u64), "a.stl", &options(1)), placed) {
        (Ok(a), Ok(b)) => assert_eq!((a.volume, a.area, a.watertight), (b.volume, b.area, b.watertight)),
        (Err(a), Err(b)) => assert_eq!(a.to_string(), b.to_string()),
        other => panic!("{other:?}"),
    }
});
