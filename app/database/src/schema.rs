//! What there is in the database: the stores, and what they can be searched by.
//!
//! The list only ever grows. A step that has been shipped is never changed or
//! taken away, and a name that is no longer used is never used for something
//! else: on some device there is a notebook with the old meaning of it. A test
//! compares the list with a copy.

/// The name of the notebook's database.
pub const NAME: &str = "faultleaf";

/// The store of records: `{id, kind, console, body}`, by id.
pub const RECORDS: &str = "records";
/// The store of photos: blobs, by id.
pub const PHOTOS: &str = "photos";
/// The store of small facts about the notebook on this device: texts, by name.
pub const FACTS: &str = "facts";

/// One thing that is made in the database.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A store. Its keys are a field of the values, or stand beside them.
    Store(&'static str, Option<&'static str>),
    /// Makes the values of a store findable by a field.
    Index(&'static str, &'static str),
}

/// All steps, each with the version of the database that brought it.
///
/// An upgrade makes whatever is missing and touches nothing else, so stores and
/// fields that this list does not know stay.
pub const STEPS: &[(u32, Step)] = &[
    (1, Step::Store(RECORDS, Some("id"))),
    (1, Step::Index(RECORDS, "kind")),
    (1, Step::Index(RECORDS, "console")),
    (1, Step::Store(PHOTOS, None)),
    (1, Step::Store(FACTS, None)),
];

/// Names of stores and fields that were used once. None may come back.
pub const RETIRED: &[&str] = &[];

/// The version these steps lead to.
#[must_use]
pub fn version(steps: &[(u32, Step)]) -> u32 {
    steps.last().map_or(1, |(version, _)| *version)
}

#[cfg(test)]
#[path = "schema_tests.rs"]
mod tests;
