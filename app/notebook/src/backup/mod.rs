//! The backup file: everything in one ZIP that can be read without this app.
//!
//! Nothing here reads or writes a file. The caller hands in slices and is told
//! what to read next, so that never more than one file of the archive and the
//! list of files are in memory at a time:
//!
//! 1. [`write::Layout`] says what stands where, [`zip::Writer`] makes the bytes
//!    between the files.
//! 2. [`open::Opening`] finds the files of an archive, whole or damaged.
//! 3. [`plan::Plan`] compares what is in them with what is kept here. Nothing
//!    is written by that; the same steps then feed [`crate::Keeper::merge`].
//!
//! A backup may come from anybody. What can't be read, or looks made to do harm,
//! is left out and listed with the reason.

pub mod names;
pub mod open;
pub mod plan;
pub mod records;
pub mod write;
pub mod zip;

/// Most bytes one file of a backup may unpack to: 64 MiB.
pub const FILE_LIMIT: u64 = 64 << 20;

/// Most items of a list that is shown; the rest is only counted.
pub const LIST_LIMIT: usize = 1000;

/// Something in a backup that was left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refused {
    /// The file in the backup, and the record in it where there is one.
    pub path: String,
    /// Why, in a sentence.
    pub why: String,
}

/// What was left out. The list has an end, the count has none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RefusedList {
    /// The first [`LIST_LIMIT`] of them.
    pub list: Vec<Refused>,
    /// How many there are beyond the list.
    pub more: u64,
}

impl RefusedList {
    /// Adds one.
    pub fn add(&mut self, path: &str, why: &str) {
        if self.list.len() < LIST_LIMIT {
            self.list.push(Refused {
                path: short(path),
                why: why.to_owned(),
            });
        } else {
            self.more += 1;
        }
    }

    /// Adds all of another list.
    pub fn join(&mut self, other: &Self) {
        for one in &other.list {
            self.add(&one.path, &one.why);
        }
        self.more += other.more;
    }

    /// How many there are.
    pub fn count(&self) -> u64 {
        self.more + self.list.len() as u64
    }
}

/// A name fit to be shown: not too long, and no characters that hide or turn
/// around what stands beside them.
fn short(name: &str) -> String {
    let mut out: String = name
        .chars()
        .take(120)
        .map(|c| if names::hides(c) { '\u{fffd}' } else { c })
        .collect();
    if out.len() < name.len() && name.chars().nth(120).is_some() {
        out.push('\u{2026}');
    }
    out
}
