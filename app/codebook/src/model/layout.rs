//! Layouts: how one entry is written.

use super::{Check, Field};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// How one entry is written.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Layout {
    /// A line of text.
    Text(TextLayout),
    /// A record of a fixed number of bytes, shown as a hex dump.
    Bytes(ByteLayout),
}

// The two enums are read by hand, through a JSON value: derived code for tagged
// and untagged enums would compile every type inside them three times over, some
// 100 KB of wasm.
impl<'de> Deserialize<'de> for Layout {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(from)?;
        match value.get("kind").and_then(Value::as_str) {
            Some("text") => TextLayout::deserialize(&value).map(Self::Text),
            Some("bytes") => ByteLayout::deserialize(&value).map(Self::Bytes),
            _ => return Err(D::Error::custom("`kind` must be `text` or `bytes`")),
        }
        .map_err(D::Error::custom)
    }
}

impl<'de> Deserialize<'de> for Part {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(from)?;
        match &value {
            Value::String(text) => return Ok(Self::Text(text.clone())),
            Value::Object(map) => match map.get("optional") {
                Some(parts) => Vec::deserialize(parts).map(|optional| Self::Optional { optional }),
                None => Field::deserialize(&value).map(Self::Field),
            },
            _ => {
                return Err(D::Error::custom(
                    "a part is a text, a field, or an optional group",
                ));
            }
        }
        .map_err(D::Error::custom)
    }
}

impl Layout {
    /// The layout's short name.
    #[must_use]
    pub fn id(&self) -> &str {
        match self {
            Self::Text(t) => &t.id,
            Self::Bytes(b) => &b.id,
        }
    }

    /// What people call it.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Text(t) => &t.name,
            Self::Bytes(b) => &b.name,
        }
    }

    /// The order rule, if any.
    #[must_use]
    pub fn order(&self) -> Option<&OrderRule> {
        match self {
            Self::Text(t) => t.order.as_ref(),
            Self::Bytes(b) => b.order.as_ref(),
        }
    }

    /// The check field's rule, if any.
    #[must_use]
    pub fn check(&self) -> Option<&Check> {
        match self {
            Self::Text(t) => t.check.as_ref(),
            Self::Bytes(b) => b.check.as_ref(),
        }
    }

    /// All fields that are in the log by themselves, in order.
    #[must_use]
    pub fn fields(&self) -> Vec<&Field> {
        fn walk<'a>(parts: &'a [Part], out: &mut Vec<&'a Field>) {
            for part in parts {
                match part {
                    Part::Text(_) => {}
                    Part::Optional { optional } => walk(optional, out),
                    Part::Field(f) => out.push(f),
                }
            }
        }
        match self {
            Self::Text(t) => {
                let mut out = Vec::new();
                walk(&t.line, &mut out);
                out
            }
            Self::Bytes(b) => b.fields.iter().collect(),
        }
    }

    /// The fields put together from others.
    #[must_use]
    pub fn derived(&self) -> &[Field] {
        match self {
            Self::Text(t) => &t.derived,
            Self::Bytes(b) => &b.derived,
        }
    }
}

/// An entry written as a line of text.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct TextLayout {
    /// Short name, unique in the book.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// The line, part by part: fixed text and fields in turn.
    pub line: Vec<Part>,
    /// Fields put together from others.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub derived: Vec<Field>,
    /// The check field.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check: Option<Check>,
    /// How an unused slot is written, each as a line of its own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub empty: Vec<Vec<Part>>,
    /// A line is an unused slot when all these fields have these values.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub empty_when: BTreeMap<String, String>,
    /// Lines around the entries.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub headers: Vec<Header>,
    /// What the order of the entries is known by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<OrderRule>,
    /// One entry as it looks when all is well.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub example: String,
}

/// An entry of a fixed number of bytes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ByteLayout {
    /// Short name, unique in the book.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Number of bytes of one record (2 to 256).
    pub length: u32,
    /// The fields, by byte.
    pub fields: Vec<Field>,
    /// Fields put together from others.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub derived: Vec<Field>,
    /// The check field.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check: Option<Check>,
    /// A record is an unused slot when all its bytes have this value (two hex
    /// digits).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub empty_byte: Option<String>,
    /// A record is an unused slot when all these fields have these values.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub empty_when: BTreeMap<String, String>,
    /// Bytes in front of the first record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub header: Option<ByteHeader>,
    /// Text lines around the dump.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub headers: Vec<Header>,
    /// What the order of the records is known by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<OrderRule>,
    /// One record as it looks when all is well.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub example: String,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
#[allow(clippy::large_enum_variant, reason = "books are small and read once")]
pub enum Part {
    /// Fixed text. White space and punctuation in it are loose: any run of them
    /// will do. Letters match in either case.
    Text(String),
    /// Parts that may be missing together.
    Optional {
        /// The parts.
        optional: Vec<Part>,
    },
    /// A value.
    Field(Field),
}

/// A line around the entries that says something about all of them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Header {
    /// Short name, unique in the layout.
    pub id: String,
    /// The line, part by part.
    pub line: Vec<Part>,
    /// Whether a new dump begins with it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub starts: bool,
}

/// Bytes in front of the first record of a dump.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ByteHeader {
    /// Short name.
    pub id: String,
    /// Number of bytes.
    pub length: u32,
    /// The fields; one of them should have a fixed value, so that the header
    /// can be told from a record.
    pub fields: Vec<Field>,
}

/// What the order of entries is known by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OrderRule {
    /// The kind of rule.
    pub by: OrderBy,
    /// The field that carries it (`slot` for a ring, `seq` for a sequence,
    /// `time` for times).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub field: String,
    /// Number of slots of a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<u64>,
    /// Number of the first slot of a ring.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub first: u64,
    /// Where a ring's head is told in a header.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head: Option<Head>,
    /// How a ring's head is marked in an entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<Mark>,
    /// How the tool that prints this layout lists entries, if it always does so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub listing: Option<Listing>,
}

/// The kinds of order rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum OrderBy {
    /// Slots used in turn, again and again, with a head that says where it is.
    Ring,
    /// A running number that may wrap.
    Sequence,
    /// The times, as far as the clock was set.
    Time,
    /// Only the place in the listing.
    Listing,
}

/// Where a header tells the head of a ring.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Head {
    /// The field of any header that holds the slot.
    pub field: String,
    /// What that slot is.
    pub means: HeadMeans,
}

/// An entry field that marks the head of a ring.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mark {
    /// The field.
    pub field: String,
    /// Its value at the head.
    pub is: String,
    /// What that entry is.
    pub means: HeadMeans,
}

/// What a ring's head points to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum HeadMeans {
    /// The entry written last.
    Newest,
    /// The slot that will be written next.
    Next,
    /// The entry written first of those still there.
    Oldest,
}

/// How entries are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Listing {
    /// Oldest entry first.
    OldestFirst,
    /// Newest entry first.
    NewestFirst,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_zero(n: &u64) -> bool {
    *n == 0
}
