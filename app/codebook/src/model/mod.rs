//! The types of code book format 1.
//!
//! These types are the format: the JSON Schema in `schema/code-book-1.json` is
//! generated from them and a test keeps the two equal. The plain-words page is
//! `FORMAT.md` in this crate.

mod check;
mod field;
mod layout;
mod repair;
mod trade;

pub use check::{Check, CheckKind, Over, ReadAs};
pub use field::{Encoding, Endian, Field, Flag, LengthOf, TimeRule, Width, Word, Zone};
pub use layout::{
    ByteHeader, ByteLayout, Head, HeadMeans, Header, Layout, Listing, Mark, OrderBy, OrderRule,
    Part, TextLayout,
};
pub use repair::{
    BenchCheck, Cause, Caution, CheckResult, LINK_KINDS, Link, Measure, QUANTITIES, RISKS, Repair,
    Seen, Shows, Symptom, WHENS, Window,
};
pub use trade::{
    Board, BoardMeaning, CodeMeaning, CodePart, Pad, PartValue, Rail, ServicePort, Source, Step,
};

use serde::{Deserialize, Serialize};

/// The number that the `format` key of every book of this format carries.
pub const FORMAT: u32 = 1;

/// One console family: how its fault log is written and what it says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CodeBook {
    /// The format's number, always 1.
    pub format: u32,
    /// Short name that never changes, such as `larkfield-orrery`: lower-case
    /// letters, digits and hyphens.
    pub id: String,
    /// Version of this book's contents, such as `1.2.0`.
    pub version: String,
    /// What people call it.
    pub name: String,
    /// Who makes the console.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub maker: String,
    /// The console family.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub family: String,
    /// Licence of the book itself, as an SPDX expression where one fits.
    pub licence: String,
    /// Where the contents come from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<Source>,
    /// A few sentences on what the book covers.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// How entries are written. All of them compete for every paste.
    pub layouts: Vec<Layout>,
    /// What codes mean. A code may match several; all are shown, the most
    /// specific first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub codes: Vec<CodeMeaning>,
    /// What single digits of a code say, such as "the first digit names the
    /// subsystem".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub code_parts: Vec<CodePart>,
    /// The power-up steps, first one first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<Step>,
    /// The supply rails that steps and codes name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rails: Vec<Rail>,
    /// The board revisions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub boards: Vec<Board>,
    /// The service port that the log comes out of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_port: Option<ServicePort>,
    /// What a person can see or hear.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub symptoms: Vec<Symptom>,
    /// What can be broken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<Cause>,
    /// How often a dead console has a fault that `causes` does not list, in
    /// the words of links. Without it: 10 %.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unlisted: String,
    /// What can be done to find out more.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<BenchCheck>,
    /// What can be done about it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repairs: Vec<Repair>,
    /// What to be careful about with this family.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Caution>,
}
