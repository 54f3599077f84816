//! Codes, steps, rails, boards and the service port.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Where something in the book comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Source {
    /// Title, or who said so.
    pub title: String,
    /// What was taken from it, and how far to trust it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What one code, or a family of codes, means.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CodeMeaning {
    /// The code as the log writes it, upper case. `?` stands for any one
    /// character.
    pub code: String,
    /// A few words for a list.
    pub title: String,
    /// What the controller noticed, in full sentences.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub meaning: String,
    /// What this code does *not* prove.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub not_proof: String,
    /// The power-up step this code belongs to, where the log does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// Rails involved (ids of `rails`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rails: Vec<String>,
    /// Parts involved, as printed on the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// Only for these layouts; empty means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layouts: Vec<String>,
    /// Other wording on some boards, by board id.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub boards: BTreeMap<String, BoardMeaning>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// What a code means on one board, where that differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct BoardMeaning {
    /// Replaces the title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Replaces the meaning.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meaning: Option<String>,
    /// Replaces what the code does not prove.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_proof: Option<String>,
    /// Replaces the parts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<Vec<String>>,
}

/// What some characters of a code say by themselves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CodePart {
    /// What these characters name, such as "subsystem".
    pub name: String,
    /// First character, counted from 1.
    pub from: u32,
    /// Last character, counted from 1.
    pub to: u32,
    /// What the values mean.
    pub values: Vec<PartValue>,
    /// Only for these layouts; empty means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layouts: Vec<String>,
}

/// One value of a code part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PartValue {
    /// The characters; `?` stands for any one.
    pub is: String,
    /// What they mean.
    pub means: String,
}

/// One power-up step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Step {
    /// As the log writes it, upper case.
    pub id: String,
    /// A few words.
    pub name: String,
    /// What the controller does and waits for.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// Rails this step switches on or checks (ids of `rails`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rails: Vec<String>,
    /// Parts involved, as printed on the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// One supply rail.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Rail {
    /// Short name, as in `V_CORE`.
    pub id: String,
    /// What it feeds.
    pub name: String,
    /// Nominal voltage in volts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volts: Option<f64>,
    /// Where to measure it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub at: String,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// One board revision.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Board {
    /// As printed on the board.
    pub id: String,
    /// A few words.
    pub name: String,
    /// What sets it apart, one sign a line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tell: Vec<String>,
    /// What usually fails on it, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// Where the service port is on this board.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub port_note: String,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// The service port that the log comes out of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ServicePort {
    /// The pads, in the order they are on the board.
    pub pads: Vec<Pad>,
    /// Logic level in volts.
    pub logic_volts: f64,
    /// Bits per second.
    pub baud: u32,
    /// Data bits, parity, stop bits, such as `8N1`.
    pub framing: String,
    /// What must be powered for the port to talk.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub supply: String,
    /// Anything else, one note a line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// One pad of the service port.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Pad {
    /// As printed, or as drawn.
    pub id: String,
    /// What it is, seen from the board: ground, transmit, receive.
    pub is: String,
    /// Anything else.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
