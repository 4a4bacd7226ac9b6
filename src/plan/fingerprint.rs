//! A name for this very job, made of everything that went in: for calendar ids and the record. Not a secret.

use std::fmt::{Debug, Display, Formatter, Write};
use std::sync::Arc;

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

/// The fingerprint of a value, worked out when it is shown.
#[derive(Clone)]
pub struct Fingerprint(Arc<dyn Debug + Send + Sync>);

impl Fingerprint {
    /// Of this value.
    pub fn of(value: Arc<dyn Debug + Send + Sync>) -> Self {
        Fingerprint(value)
    }
}

impl Display for Fingerprint {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        f.write_str(&fingerprint(&self.0))
    }
}

impl Debug for Fingerprint {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        Display::fmt(self, f)
    }
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

    #[test]
    fn it_is_shown_as_that_of_its_value() {
        assert_eq!(Fingerprint::of(Arc::new((1, "a"))).to_string(), fingerprint(&(1, "a")));
    }
}
