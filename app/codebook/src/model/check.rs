//! Check fields: how a record proves that it was copied right.

use serde::{Deserialize, Serialize};

/// How the check field of a layout is computed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Check {
    /// Name of the field that holds the check value.
    pub field: String,
    /// The kind of sum.
    pub kind: CheckKind,
    /// What is summed.
    pub over: Over,
    /// Size of the result in bits for the sums and xor (8, 16 or 32), and of
    /// the register for a CRC (3 to 64).
    #[serde(default = "eight", skip_serializing_if = "is_eight")]
    pub bits: u32,
    /// What a sum, xor or weighted sum starts from.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub seed: u64,
    /// Weights of a weighted sum, used in turn and again from the start.
    /// Empty means 1, 2, 3 and so on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weights: Vec<u64>,
    /// A sum is taken modulo this; 0 means 2 to the power of `bits`.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub modulus: u64,
    /// CRC polynomial in hex, highest power left out (`07` for CRC-8/SMBUS).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub poly: String,
    /// CRC start value in hex.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub init: String,
    /// Whether the CRC takes the lowest bit of each byte first.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub reflect_in: bool,
    /// Whether the CRC result is turned end for end.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub reflect_out: bool,
    /// Value in hex that the CRC is xored with at the end.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub xorout: String,
}

/// The kinds of check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CheckKind {
    /// The sum.
    Sum,
    /// All values xored.
    Xor,
    /// Sum and check add up to zero (Intel HEX).
    TwosComplementSum,
    /// The sum with all bits turned over (S-record).
    OnesComplementSum,
    /// Each value times its weight.
    WeightedSum,
    /// A cyclic redundancy check.
    Crc,
}

/// What a check covers. Exactly one of `bytes`, `fields` and `text` is given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Over {
    /// Byte records: first byte and number of bytes, counted from 0. A check
    /// field inside the range counts as zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bytes: Option<[u32; 2]>,
    /// Text lines: these fields, in this order. Of each only letters and
    /// digits count, in upper case and full width.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fields: Vec<String>,
    /// Text lines: everything from the first of these two fields to the end of
    /// the second, fixed words and separators written as the layout writes them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<[String; 2]>,
    /// How text becomes numbers.
    #[serde(default, rename = "as", skip_serializing_if = "is_bytes")]
    pub read_as: ReadAs,
}

/// How the characters under a check become numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ReadAs {
    /// Two hex digits make one byte.
    #[default]
    Bytes,
    /// Each character's ASCII value.
    Ascii,
    /// Each character's value as a digit: 0-9 are 0 to 9, A-Z are 10 to 35.
    Digits,
}

fn eight() -> u32 {
    8
}
#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_eight(n: &u32) -> bool {
    *n == 8
}
#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_zero(n: &u64) -> bool {
    *n == 0
}
#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for a reference"
)]
fn is_bytes(r: &ReadAs) -> bool {
    *r == ReadAs::Bytes
}
