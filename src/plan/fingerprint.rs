//! A name for this very job, made of everything that went in: for calendar ids and the record. Not a secret.

use std::fmt::{Debug, Write};

/// FNV-1a, fed with what is written to it.
struct Fnv(u64);

impl Write for Fnv {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        for byte in text.bytes() {
            self.0 ^= u64::from(byte);
            self.0 = self.0.wrapping_mul(0x0000_0100_0000_01b3);
        }
        Ok(())
    }
}

/// Of all that is written of a value: a field added later is in it without a line here.
pub(crate) fn fingerprint(of: &dyn Debug) -> String {
    let mut hash = Fnv(0xcbf2_9ce4_8422_2325);
    // Writing into the hash cannot fail.
    let _ = write!(hash, "{of:?}");
    format!("{:016x}", hash.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // The vectors of the FNV reference: offset basis for nothing, and "a" (draft-eastlake-fnv, recalled).
    #[test]
    fn the_hash_is_fnv_1a_of_what_is_written() {
        assert_eq!(fingerprint(&format_args!("")), "cbf29ce484222325");
        assert_eq!(fingerprint(&format_args!("a")), "af63dc4c8601ec8c");
    }
}
