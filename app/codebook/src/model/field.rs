//! Fields: one value inside an entry, in a text line or in a byte record.

use serde::{Deserialize, Serialize};

/// One value inside an entry.
///
/// Some names have a meaning of their own: `slot` (place in the log), `seq`
/// (running number), `code`, `step`, `time`, `count` (how often) and `console`
/// (whose log it is, in a header). `slot`, `seq` and `count` are numbers however
/// they are written. Any other name is shown as it is.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Field {
    /// The field's name: lower-case letters, digits and underscores.
    pub field: String,
    /// What people call it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub label: String,
    /// How the value is written.
    #[serde(default, rename = "as")]
    pub encoding: Encoding,
    /// Text lines: number of characters, or smallest and largest number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Width>,
    /// Byte records: first byte, counted from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<u32>,
    /// Byte records: number of bytes (1 to 8; more for `text`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<u32>,
    /// Highest and lowest bit, both counted from 0, when the value is only part
    /// of those bytes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bits: Option<[u32; 2]>,
    /// Which end comes first when a value has several bytes.
    #[serde(default, skip_serializing_if = "is_big")]
    pub endian: Endian,
    /// Two's complement.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub signed: bool,
    /// The number is multiplied by this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<f64>,
    /// Then this is added.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset: Option<f64>,
    /// Unit of the scaled number, such as `°C` or `V`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// The words a `word` field may hold, or names for a number's values.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<Word>,
    /// The digits of a `digits` field, lowest first, such as check letters.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub alphabet: String,
    /// Names of single bits.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flags: Vec<Flag>,
    /// A `date` field's pattern, built of `YYYY`, `YY`, `MM`, `DD`, `hh`, `mm`,
    /// `ss` and the characters between them.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub pattern: String,
    /// How the `time` field's value becomes a time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<TimeRule>,
    /// The number goes back to 0 after this many values (a `seq` field).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modulus: Option<u64>,
    /// Only this value fits: a fixed mark inside the record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equals: Option<String>,
    /// Values that mean "nothing here", as the log writes them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
    /// The value is the length of other fields, and must fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_of: Option<LengthOf>,
    /// The value is put together from other fields and fixed text and is not
    /// in the log by itself. Such fields stand in `derived`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub join: Vec<super::Part>,
}

/// How a value is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Encoding {
    /// Hex digits (text) or bytes (records); shown as upper-case hex.
    #[default]
    Hex,
    /// A decimal number (text), or bytes shown as a number (records).
    Decimal,
    /// Two decimal digits a byte.
    Bcd,
    /// One of `words`.
    Word,
    /// Digits of an `alphabet` of one's own.
    Digits,
    /// A written date and time after `pattern`.
    Date,
    /// Anything, up to the next separator.
    Text,
}

/// Which end of a several-byte value comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Endian {
    /// Highest byte first.
    #[default]
    Big,
    /// Lowest byte first.
    Little,
}

/// Number of characters of a text field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Width {
    /// Always this many.
    Exact(u32),
    /// From the first to the second number.
    Range([u32; 2]),
}

/// A word of a word list, or a name for a number.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Word {
    /// As the log writes it (text), or as it is shown (records).
    pub text: String,
    /// The number it stands for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<u64>,
    /// What it means.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub means: String,
}

/// A named bit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Flag {
    /// Bit number, 0 is the lowest.
    pub bit: u32,
    /// What it means when it is 1.
    pub name: String,
}

/// How a number or a written date becomes a time.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct TimeRule {
    /// What the number 0 stands for, as an RFC 3339 time in UTC. For a written
    /// date: the date that the clock starts at when it was never set.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub epoch: String,
    /// Seconds a count; 0 or left out means 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit_seconds: Option<f64>,
    /// Whether the clock runs in UTC or in the owner's local time.
    #[serde(default)]
    pub zone: Zone,
    /// Values (as written) that mean "no time at all".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub absent: Vec<String>,
    /// Values (as written) that mean "the clock was not set".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_set: Vec<String>,
    /// Numbers below this are counts since the controller started: the clock
    /// was not set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_set_below: Option<u64>,
    /// Written dates before this RFC 3339 time mean that the clock was not set
    /// and counts from `epoch`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_set_before: Option<String>,
}

/// Whose time a clock shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Zone {
    /// Coordinated universal time.
    #[default]
    Utc,
    /// The owner's local time; which one is not known.
    Local,
}

/// A field whose value counts the bytes of others.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LengthOf {
    /// The fields counted, two hex digits a byte.
    pub fields: Vec<String>,
    /// Added to the count.
    #[serde(default)]
    pub plus: i64,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_big(e: &Endian) -> bool {
    *e == Endian::Big
}
