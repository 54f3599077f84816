//! What goes in and what comes out: hints and the proposal.
//!
//! A part is known by its place in the example (the byte where it begins), not
//! by its number: numbers change with every break, places do not.

use codebook::model::Layout;

/// The two kinds of layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Lines of text.
    Text,
    /// Records of bytes, shown as a dump.
    Bytes,
}

/// What a part of an entry is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The fault code. Several parts may be code: they are joined.
    Code,
    /// The power-up step.
    Step,
    /// When it happened.
    Time,
    /// Place in the log.
    Slot,
    /// Running number.
    Seq,
    /// How often.
    Count,
    /// Check field.
    Check,
    /// Always the same: becomes fixed text or a fixed value of the layout.
    Same,
    /// Some value: read, and shown under its name.
    Keep,
    /// Of no interest: read as `other_1`, `other_2` and so on, so that lines
    /// still fit.
    Skip,
}

/// All roles, in the order in which they are offered.
pub const ROLES: [Role; 10] = [
    Role::Code,
    Role::Step,
    Role::Time,
    Role::Slot,
    Role::Seq,
    Role::Count,
    Role::Check,
    Role::Same,
    Role::Keep,
    Role::Skip,
];

/// What the person has said. Places are byte places in the example of the
/// proposal that was shown; in a record the byte number `k` is at place `3 * k`.
/// Hints that fit nothing are left aside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hints {
    /// Lines of text, or bytes.
    pub kind: Option<Kind>,
    /// A line of the paste (from 1) that surely is an entry. It becomes the
    /// example, so clear all hints with places when this changes.
    pub entry: Option<usize>,
    /// What the part that begins at a place is.
    pub roles: Vec<(usize, Role)>,
    /// What the part that begins at a place is called (a label for people, the
    /// field's name is made from it).
    pub names: Vec<(usize, String)>,
    /// Places where a part begins.
    pub breaks: Vec<usize>,
    /// Places where no part begins: what was proposed as two parts is one.
    pub joins: Vec<usize>,
    /// Bytes of a record.
    pub record: Option<usize>,
    /// Bytes in front of the first record.
    pub skip: Option<usize>,
    /// Which of the offered epochs.
    pub epoch: Option<usize>,
    /// Whether the lowest byte of the part at a place comes first.
    pub little: Vec<(usize, bool)>,
    /// Whether the part at a place is a decimal number (else hex).
    pub decimal: Vec<(usize, bool)>,
    /// Now, in seconds since 1970: no entry is from later.
    pub latest: Option<i64>,
    /// Id of the layout; `taught` when empty. Lower-case letters, digits and
    /// single hyphens.
    pub id: String,
    /// Name of the layout; made from what it is when empty.
    pub name: String,
}

/// Why nothing can be proposed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Why {
    /// What is missing.
    pub what: String,
    /// What to do.
    pub todo: String,
}

/// A proposed layout and all that a person needs to judge it.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Lines or bytes.
    pub kind: Kind,
    /// The layout. It loads as part of a book.
    pub layout: Layout,
    /// One entry of the paste: a line, or a record as two hex digits a byte
    /// with one space between.
    pub example: String,
    /// The parts of the example, from left to right.
    pub parts: Vec<Part>,
    /// Each physical line of the paste that was looked at.
    pub lines: Vec<LineFit>,
    /// Entries and unused slots that the layout reads without a guess.
    pub read: usize,
    /// Entries and unused slots that there seem to be.
    pub of: usize,
    /// The check field, if one was found.
    pub check: Option<CheckFound>,
    /// What the times would be under each usual epoch. The list is always the
    /// same and in the same order; empty without a time in numbers.
    pub times: Vec<Epoch>,
    /// Which of `times` is used.
    pub epoch: Option<usize>,
    /// Bytes of a record.
    pub record: Option<usize>,
    /// Other lengths of a record worth a try, best first.
    pub records: Vec<usize>,
    /// Bytes in front of the first record.
    pub skip: usize,
    /// Lines that look different and may be the entries instead, one of each
    /// kind, most frequent first (line number from 1, text, how many like it).
    pub others: Vec<(usize, String, usize)>,
    /// What is doubtful about the whole.
    pub doubts: Vec<String>,
    /// The part that is most worth asking about, by its number in `parts`.
    pub ask: Option<usize>,
}

/// A part of an entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Where it is in the example: first byte, and the byte behind the last.
    pub span: (usize, usize),
    /// The example's text of it.
    pub text: String,
    /// What it seems to be.
    pub role: Role,
    /// Name of its field in the layout; empty when it is always the same.
    pub name: String,
    /// Why it seems so.
    pub why: String,
    /// What speaks against it; empty when it is sure.
    pub doubt: String,
    /// A few different values, as written.
    pub sample: Vec<String>,
    /// Roles that its values allow.
    pub can: Vec<Role>,
    /// Whether its lowest byte comes first; `None` where that makes no
    /// difference.
    pub little: Option<bool>,
    /// Whether it is read as a decimal number; `None` where only one way fits.
    pub decimal: Option<bool>,
    /// Whether the person said what it is.
    pub told: bool,
}

/// How one physical line fares with the proposed layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineFit {
    /// Its number, from 1.
    pub line: usize,
    /// Whether it is read: an entry, a part of one, an unused slot or a header.
    pub reads: bool,
    /// Whether it looks like an entry and is not read as it is written: not at
    /// all, or with a guess only.
    pub misses: bool,
    /// As what, or why not.
    pub why: String,
}

/// A check field that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckFound {
    /// What is computed over what.
    pub words: String,
    /// Entries whose check agrees.
    pub agrees: usize,
    /// Entries with a check.
    pub of: usize,
    /// Why it may be chance; empty when it is sure.
    pub doubt: String,
}

/// What the times would be under one epoch.
#[derive(Clone, Debug, PartialEq)]
pub struct Epoch {
    /// What people call it.
    pub name: String,
    /// What 0 stands for, RFC 3339 in UTC; empty for time since the start.
    pub epoch: String,
    /// Seconds a count.
    pub unit_seconds: f64,
    /// The earliest time of the paste.
    pub first: String,
    /// The latest.
    pub last: String,
    /// Whether that can be.
    pub fits: bool,
    /// Why, or why not.
    pub why: String,
}
