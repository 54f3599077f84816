//! Symptoms, causes, checks, repairs and cautions of a family.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Something a person can see, hear or smell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Symptom {
    /// Short name that never changes.
    pub id: String,
    /// What one observes.
    pub title: String,
    /// How to tell it from others.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// Something that can be broken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Cause {
    /// Short name that never changes.
    pub id: String,
    /// A few words.
    pub title: String,
    /// How it comes about.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// Parts involved, as printed on the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// Codes often seen with it; `?` stands for any one character.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub codes: Vec<String>,
    /// Steps at which power-up often stops with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<String>,
    /// Symptoms often seen with it (ids of `symptoms`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub symptoms: Vec<String>,
    /// How common it is on each board, by board id: `often`, `sometimes`,
    /// `seldom` or `never`. The author's opinion.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub boards: BTreeMap<String, String>,
    /// Repairs that cure it (ids of `repairs`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repairs: Vec<String>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// Something to do that tells more.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct BenchCheck {
    /// Short name that never changes.
    pub id: String,
    /// A few words.
    pub title: String,
    /// How it is done, one step a line.
    pub how: Vec<String>,
    /// Minutes it takes.
    pub minutes: f64,
    /// What it costs, in units of the book's choice (0 for nothing).
    #[serde(default)]
    pub money: f64,
    /// Risk to the board or the person: `none`, `small` or `real`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub risk: String,
    /// What the results say, one a line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tells: Vec<String>,
    /// Causes it speaks for or against (ids of `causes`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<String>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// Something to do about a cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Repair {
    /// Short name that never changes.
    pub id: String,
    /// A few words.
    pub title: String,
    /// What is done.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// 1 (screwdriver) to 5 (ball-grid parts).
    pub difficulty: u8,
    /// Minutes it takes.
    pub minutes: f64,
    /// What it costs, in units of the book's choice.
    #[serde(default)]
    pub money: f64,
    /// What can go wrong.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<String>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// Something to be careful about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Caution {
    /// Short name that never changes.
    pub id: String,
    /// What to do or leave.
    pub text: String,
    /// A published guide or standard, or the mark `common practice`.
    pub source: String,
}
