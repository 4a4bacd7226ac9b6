//! What bench and order files say, before they are checked: every value is the text that was written.

use serde::de::{
    Deserializer, MapAccess, SeqAccess, Visitor, value::MapAccessDeserializer, value::SeqAccessDeserializer,
};
use serde::{Deserialize, de};
use std::fmt;

/// A bench file.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawBench {
    pub measures: Option<String>,
    pub stocks: Vec<Option<RawStock>>,
    pub tools: Vec<Option<RawTool>>,
    pub ballast: Vec<Option<RawBallast>>,
    pub holders: Vec<Option<String>>,
    pub vessels: Vec<Option<RawVessel>>,
    pub room: Option<RawRoom>,
    pub gear: Vec<Option<String>>,
    pub things: Vec<Option<String>>,
}

/// A bottle.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawStock {
    pub is: Option<String>,
    pub opened: Option<String>,
    pub left: Option<String>,
}

/// A measuring tool.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawTool {
    pub name: Option<String>,
    pub scoop: Option<String>,
    pub cylinder: Option<String>,
    pub scales: Option<String>,
    pub division: Option<String>,
}

/// Something heavy.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawBallast {
    pub thing: Option<String>,
    pub material: Option<String>,
    pub mass: Option<String>,
    pub count: Option<String>,
}

/// A vessel.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawVessel {
    pub name: Option<String>,
    pub is: Option<String>,
    pub levels: Option<Vec<Option<Vec<Option<String>>>>>,
    pub material: Option<String>,
    pub cover: Option<String>,
}

/// The room.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawRoom {
    pub volume: Option<String>,
    pub air_changes: Option<String>,
    pub outdoors: Option<String>,
}

/// An order file.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawOrder {
    pub recipe: Option<TextOr<Vec<Option<String>>>>,
    pub bench: Option<String>,
    pub measures: Option<String>,
    pub parts: Vec<Option<TextOr<RawPart>>>,
    pub vessel: Option<String>,
    pub start: Option<String>,
    pub to: Option<String>,
    pub finished: Option<String>,
    #[serde(rename = "box")]
    pub fume_box: Option<String>,
    pub packing: Option<String>,
    pub cover_depth: Option<String>,
    pub lay: Option<String>,
    pub margin: Option<String>,
    pub temperature: Option<String>,
    pub after: Vec<Option<String>>,
    pub quiet: Option<String>,
}

/// A part.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawPart {
    pub name: Option<String>,
    pub is: Option<String>,
    pub count: Option<String>,
    pub lift: Option<String>,
}

/// Text, or something else that is no text. Written out, since an untagged enum loses the reason of a fault.
#[derive(Debug)]
pub(super) enum TextOr<T> {
    Text(String),
    Other(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for TextOr<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either<T>(std::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Either<T> {
            type Value = TextOr<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("text, a list or a map")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
                Ok(TextOr::Text(text.to_string()))
            }
            // A bare number or flag where a name is meant: no name looks like that, so its spelling does not matter.
            fn visit_u64<E: de::Error>(self, n: u64) -> Result<Self::Value, E> {
                Ok(TextOr::Text(n.to_string()))
            }
            fn visit_i64<E: de::Error>(self, n: i64) -> Result<Self::Value, E> {
                Ok(TextOr::Text(n.to_string()))
            }
            fn visit_f64<E: de::Error>(self, n: f64) -> Result<Self::Value, E> {
                Ok(TextOr::Text(n.to_string()))
            }
            fn visit_bool<E: de::Error>(self, b: bool) -> Result<Self::Value, E> {
                Ok(TextOr::Text(b.to_string()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Self::Value, A::Error> {
                T::deserialize(SeqAccessDeserializer::new(seq)).map(TextOr::Other)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(TextOr::Other)
            }
        }
        deserializer.deserialize_any(Either(std::marker::PhantomData))
    }
}
