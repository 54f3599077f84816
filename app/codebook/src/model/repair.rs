//! Symptoms, causes, checks, repairs and cautions of a family.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How risky a check or a repair may be said to be.
pub const RISKS: [&str; 3] = ["none", "small", "real"];
/// What a link may be about.
pub const LINK_KINDS: [&str; 3] = ["code", "step", "symptom"];
/// When a result follows from a measured value.
pub const WHENS: [&str; 3] = ["below", "above", "outside"];
/// What may be measured.
pub const QUANTITIES: [&str; 9] = [
    "voltage",
    "resistance",
    "diode",
    "current",
    "capacitance",
    "esr",
    "frequency",
    "time",
    "temperature",
];

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
    /// In how many of how many dead consoles it was this, by board id. Stands
    /// before the word in `boards`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub seen: BTreeMap<String, Seen>,
    /// How often a code, step or symptom is seen when this is broken. One that
    /// stands in `codes`, `steps` or `symptoms` and not here counts as
    /// `sometimes`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<Link>,
    /// Repairs that cure it (ids of `repairs`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repairs: Vec<String>,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// In how many dead consoles of one board a cause was found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Seen {
    /// Consoles in which it was this.
    pub cases: u32,
    /// Dead consoles of this board in all.
    pub of: u32,
    /// Who counted, or `opinion` when it is a guess put as a count.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// How often something is seen when a cause is there and nothing else is
/// broken.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Link {
    /// What is seen: `code`, `step` (power-up stops there) or `symptom`.
    pub kind: String,
    /// The code, as in `codes`; the step's or the symptom's id.
    pub name: String,
    /// How often: `never`, `rarely`, `sometimes`, `mostly`, `nearly always`,
    /// `always`, or a count such as `7 of 12`.
    pub often: String,
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
    /// What is measured, if it is a measurement with an expected window.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measure>,
    /// What can come of it, the most telling first. Only one of them comes: a
    /// later one means that none before it did. Without them the app can show
    /// the check and not weigh it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub results: Vec<CheckResult>,
    /// Only on these boards (ids of `boards`); empty means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub only: Vec<String>,
    /// It can be done only when power-up gets as far as this step (an id of
    /// `steps`); empty means always.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reaches: String,
    /// Where this row comes from, if not from the book's own sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// One measured value and the window that it lies in when all is well.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Measure {
    /// What is measured: `voltage` (V), `resistance` (ohm), `diode` (V),
    /// `current` (A), `capacitance` (F), `esr` (ohm), `frequency` (Hz), `time`
    /// (s) or `temperature` (C).
    pub quantity: String,
    /// Point and reference.
    pub place: String,
    /// The meter's range or setting.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub range: String,
    /// Lowest value of a good board, in the unit of the quantity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Highest value of a good board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// Other windows and places, by board id.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub boards: BTreeMap<String, Window>,
}

/// The window of a measured value on one board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Window {
    /// Point and reference, if it is elsewhere on this board.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Lowest value of a good board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Highest value of a good board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
}

/// One thing that can come of a check.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CheckResult {
    /// Short name that never changes.
    pub id: String,
    /// What one sees, in a few words.
    pub says: String,
    /// For a measured value: it comes when the value is `below`, `above` or
    /// `outside` the window. Empty when a person has to say.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub when: String,
    /// How often each cause shows it. A result without any says that nothing
    /// was found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shows: Vec<Shows>,
    /// How often it comes although none of these is broken. Without it: 2 %.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub anyway: String,
}

/// How often a cause shows a result.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Shows {
    /// The cause (id of `causes`).
    pub cause: String,
    /// How often, in the words of links.
    pub often: String,
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
    /// Risk to the board or the person: `none`, `small` or `real`. Without it,
    /// taken from the difficulty: up to 2 none, 3 small, above real.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub risk: String,
    /// Whether the board gets hot: soldering iron, hot air, preheater.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub heat: bool,
    /// How often it mends a cause that it is for, in the words of links.
    /// Without it: `nearly always`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub mends: String,
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
