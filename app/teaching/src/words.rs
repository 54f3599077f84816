//! Words that stand beside a value and what they make of it.
//!
//! Common words of English logs and a few abbreviations. That is common
//! practice, no source. A word says more than the behaviour of the values, so
//! the list is short and holds only words that hardly mean anything else.

use crate::api::Role;

/// Words and the roles they may mean, likeliest first.
const WORDS: &[(&str, &[Role])] = &[
    (
        "code err error errcode errno fault fail failure fcode trouble",
        &[Role::Code],
    ),
    ("step stage phase boot pstep stp state", &[Role::Step]),
    (
        "time clock date stamp timestamp rtc when ts tick ticks uptime tm at on secs since",
        &[Role::Time],
    ),
    ("slot idx index pos place cell ring", &[Role::Slot]),
    ("seq sequence serial running seqno", &[Role::Seq]),
    (
        "entry event record rec no nr num number id row line item log ev",
        &[Role::Slot, Role::Seq],
    ),
    (
        "count cnt seen times hits hit repeat repeats rep reps total occurred occurrences",
        &[Role::Count],
    ),
    (
        "check crc chk sum cs checksum chksum cks ck bcc lrc fcs parity proof xor",
        &[Role::Check],
    ),
    ("c e f ec er", &[Role::Code]),
    ("s st p", &[Role::Step, Role::Slot]),
    ("t", &[Role::Time]),
    ("n x", &[Role::Count, Role::Slot, Role::Seq]),
    ("i", &[Role::Slot, Role::Seq]),
    ("k", &[Role::Check]),
    (
        "temp temperature volt volts mv v amp amps fan rpm flag flags mode board rev ver version \
         load power rail port cpu type class level sev severity unit chan channel bank addr address \
         arg data param info val value extra aux src source origin node pad pin duty hum",
        &[Role::Keep],
    ),
];

/// The roles that a word may mean, likeliest first; none when it is unknown.
pub(crate) fn roles(word: &str) -> &'static [Role] {
    let word = word.to_lowercase();
    let word = word.trim_end_matches(|c: char| c.is_ascii_digit());
    for (words, roles) in WORDS {
        if words.split(' ').any(|w| w == word) {
            return roles;
        }
    }
    &[]
}

/// A field's name made from a label: lower-case letters, digits, underscores.
pub(crate) fn field_name(label: &str) -> String {
    let mut out = String::new();
    for c in label.chars().take(24) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('_') {
            out.push('_');
        }
    }
    let out = out.trim_matches('_');
    match out.chars().next() {
        Some(c) if c.is_ascii_lowercase() => out.to_owned(),
        _ => String::new(),
    }
}

/// What people call a role.
pub(crate) fn called(role: Role) -> &'static str {
    match role {
        Role::Code => "code",
        Role::Step => "power-up step",
        Role::Time => "time",
        Role::Slot => "slot",
        Role::Seq => "running number",
        Role::Count => "count",
        Role::Check => "check field",
        Role::Same => "always the same",
        Role::Keep => "value",
        Role::Skip => "left aside",
    }
}

/// The field name that a role has in a layout; empty where it takes another.
pub(crate) fn field_of(role: Role) -> &'static str {
    match role {
        Role::Code => "code",
        Role::Step => "step",
        Role::Time => "time",
        Role::Slot => "slot",
        Role::Seq => "seq",
        Role::Count => "count",
        Role::Check => "check",
        Role::Same | Role::Keep | Role::Skip => "",
    }
}
