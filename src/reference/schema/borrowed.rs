//! Reading text so that it borrows from the embedded table instead of being copied.
//!
//! `#[serde(borrow)]` borrows a bare `Cow` whose lifetime it can see, but copies a `Cow` inside an `Option`, a `Vec`
//! or behind a type alias. These readers borrow everywhere. They are used with
//! `#[serde(deserialize_with = "...", bound(deserialize = "'de: 'static"))]`. When the build script reads YAML, whatever
//! YAML cannot lend (escapes, folded lines) is copied instead.

use super::{Source, Text};
use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;

struct One(Text);

impl<'de: 'static> Deserialize<'de> for One {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Borrow;
        impl<'de: 'static> Visitor<'de> for Borrow {
            type Value = One;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("text")
            }
            fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<One, E> {
                Ok(One(Text::Borrowed(text)))
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<One, E> {
                Ok(One(Text::Owned(text.to_string())))
            }
        }
        from.deserialize_str(Borrow)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
struct BorrowedSource {
    doc: One,
    #[serde(default = "nothing")]
    at: One,
    status: One,
}

fn nothing() -> One {
    One(Text::Borrowed(""))
}

/// One text.
pub fn text<'de: 'static, D: Deserializer<'de>>(from: D) -> Result<Text, D::Error> {
    Ok(One::deserialize(from)?.0)
}

/// An optional text.
pub fn option<'de: 'static, D: Deserializer<'de>>(from: D) -> Result<Option<Text>, D::Error> {
    Ok(Option::<One>::deserialize(from)?.map(|one| one.0))
}

/// A list of texts.
pub fn texts<'de: 'static, D: Deserializer<'de>>(from: D) -> Result<Vec<Text>, D::Error> {
    Ok(Vec::<One>::deserialize(from)?.into_iter().map(|one| one.0).collect())
}

/// A list of sources.
pub fn sources<'de: 'static, D: Deserializer<'de>>(from: D) -> Result<Vec<Source>, D::Error> {
    let list = Vec::<BorrowedSource>::deserialize(from)?;
    Ok(list.into_iter().map(|s| Source { doc: s.doc.0, at: s.at.0, status: s.status.0 }).collect())
}
