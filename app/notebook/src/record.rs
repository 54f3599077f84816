//! One thing written down, with all its former versions.
//!
//! A record is a set of versions and nothing else, and merging two copies of a
//! record is the union of their sets. So merging gives the same result in
//! whatever order, however often, and loses nothing. What is shown is worked out
//! from the set (see [`Record::view`]).

use serde_json::{Map, Value};
use std::cmp::Ordering;

/// The fields of one version, by name.
pub type Data = Map<String, Value>;

/// Names one state of one version.
///
/// Whoever writes takes a number one higher than all numbers seen, so two
/// devices can take the same number; `by` tells them apart. While a form is
/// open, each automatic save goes on with the same version and raises `n`.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// Revision counter, from 1.
    pub rev: u64,
    /// Who wrote: device and session, never two tabs the same.
    pub by: String,
    /// How often this version was written over while its form was open.
    pub n: u64,
}

/// One version of a record.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Version {
    /// Its name.
    pub key: Key,
    /// The versions the writer saw, which this one takes the place of.
    pub seen: Vec<Key>,
    /// When it was written, milliseconds since 1970 by the writer's clock.
    pub at: i64,
    /// The record was deleted.
    pub gone: bool,
    /// What it says.
    pub data: Data,
    /// What a newer app wrote beside these.
    pub extra: Data,
}

/// A record: one thing written down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Its id, unique among all devices.
    pub id: String,
    /// The name of its kind, see [`crate::kinds`]. Others are kept too.
    pub kind: String,
    /// When it was first written, milliseconds since 1970.
    pub created: i64,
    /// What a newer app wrote beside these.
    pub extra: Data,
    /// All versions, ordered by key; at most one for each `rev` and `by`.
    versions: Vec<Version>,
}

impl Record {
    /// A record without any version yet.
    pub fn new(id: &str, kind: &str, created: i64) -> Self {
        Self {
            id: id.to_owned(),
            kind: kind.to_owned(),
            created,
            ..Self::default()
        }
    }

    /// All versions, oldest first.
    pub fn versions(&self) -> &[Version] {
        &self.versions
    }

    /// The versions that no other one takes the place of, the one to show first.
    /// More than one means that two writers did not see each other's version.
    pub fn heads(&self) -> Vec<&Version> {
        let mut taken = vec![false; self.versions.len()];
        for key in self.versions.iter().flat_map(|v| &v.seen) {
            if let Ok(at) = self.place(key.rev, &key.by)
                && let (Some(v), Some(t)) = (self.versions.get(at), taken.get_mut(at))
            {
                *t |= v.key.n <= key.n;
            }
        }
        let own = self.versions.iter().zip(taken);
        let mut heads: Vec<&Version> = own.filter(|(_, t)| !t).map(|(v, _)| v).collect();
        heads.sort_by(|a, b| a.before(b));
        heads
    }

    /// The names of the heads: what an edit that starts now has seen.
    pub fn seen(&self) -> Vec<Key> {
        self.heads().iter().map(|v| v.key.clone()).collect()
    }

    /// The version to show.
    pub fn shown(&self) -> Option<&Version> {
        self.heads().into_iter().next()
    }

    /// Whether the record is deleted.
    pub fn gone(&self) -> bool {
        self.shown().is_none_or(|v| v.gone)
    }

    /// When it was last changed, milliseconds since 1970.
    pub fn changed(&self) -> i64 {
        self.versions
            .iter()
            .map(|v| v.at)
            .max()
            .unwrap_or(self.created)
    }

    /// A version by its revision and writer.
    pub fn find(&self, rev: u64, by: &str) -> Option<&Version> {
        self.versions.get(self.place(rev, by).ok()?)
    }

    /// Where a version is, or would be.
    pub(crate) fn place(&self, rev: u64, by: &str) -> Result<usize, usize> {
        self.versions
            .binary_search_by(|v| (v.key.rev, v.key.by.as_str()).cmp(&(rev, by)))
    }

    /// Writes a version: over `amend` if that is this writer's own and still a
    /// head, else as a new one. Gives its name. To write the very same again,
    /// as after a save of which it is not known whether it came through, makes
    /// no second version.
    pub fn write(
        &mut self,
        by: &str,
        at: i64,
        seen: &[Key],
        amend: Option<&Key>,
        gone: bool,
        data: Data,
    ) -> Key {
        let own = amend
            .filter(|k| k.by == by)
            .and_then(|k| self.find(k.rev, by))
            // To delete or bring back is always a version of its own, so that
            // what was typed before stays.
            .filter(|v| v.gone == gone && v.key.n < u64::MAX)
            .filter(|v| !self.versions.iter().any(|w| w.takes_place_of(&v.key)));
        let version = if let Some(own) = own {
            let mut next = own.clone();
            next.key.n += 1;
            next.at = at;
            next.gone = gone;
            next.data = data;
            next
        } else {
            let highest = self.versions.iter().map(|v| v.key.rev).max().unwrap_or(0);
            let mut next = Version {
                key: Key {
                    rev: highest.saturating_add(1),
                    by: by.to_owned(),
                    n: 0,
                },
                seen: seen.to_vec(),
                at,
                gone,
                data,
                extra: Data::new(),
            };
            // The form goes on from what it saved before.
            next.seen.extend(amend.filter(|k| k.by == by).cloned());
            next.tidy();
            if let Some(again) = self.find(highest, by).filter(|v| v.says_as(&next)) {
                return again.key.clone();
            }
            if let Some(last) = self.find(next.key.rev, by) {
                // Only where a damaged file has used up all numbers.
                next.key.n = last.key.n.saturating_add(1);
            }
            next
        };
        let key = version.key.clone();
        match self.place(key.rev, by) {
            Ok(at) => {
                if let Some(own) = self.versions.get_mut(at) {
                    *own = version;
                }
            }
            Err(at) => self.versions.insert(at, version),
        }
        key
    }

    /// Takes in a version. Of two states of the same version the later stays.
    pub(crate) fn take(&mut self, mut version: Version) {
        version.tidy();
        match self.place(version.key.rev, &version.key.by) {
            Ok(at) => {
                if let Some(own) = self.versions.get_mut(at)
                    && own.older_state_than(&version)
                {
                    *own = version;
                }
            }
            Err(at) => self.versions.insert(at, version),
        }
    }

    /// Takes in everything another copy of this record knows.
    pub fn merge(&mut self, other: &Self) {
        self.created = self.created.min(other.created);
        if other.kind < self.kind {
            self.kind.clone_from(&other.kind);
        }
        join(&mut self.extra, &other.extra);
        for version in &other.versions {
            self.take(version.clone());
        }
    }

    /// Forgets what the versions of a deleted record say; the fact that it is
    /// deleted stays, so that an old backup does not bring it back.
    pub fn empty_out(&mut self) {
        if self.gone() {
            for version in &mut self.versions {
                version.data = Data::new();
            }
        }
    }
}

impl Version {
    /// Whether the writer of this version saw the other in this state or a
    /// later one.
    pub fn takes_place_of(&self, other: &Key) -> bool {
        self.seen
            .iter()
            .any(|k| k.rev == other.rev && k.by == other.by && k.n >= other.n)
    }

    /// The order of heads: what is not deleted, then the newest. It depends on
    /// nothing but the versions, so all devices show the same one.
    pub(crate) fn before(&self, other: &Self) -> Ordering {
        self.gone
            .cmp(&other.gone)
            .then_with(|| other.key.rev.cmp(&self.key.rev))
            .then_with(|| other.at.cmp(&self.at))
            .then_with(|| other.key.cmp(&self.key))
    }

    /// A version can only take the place of older ones: so the newest is always
    /// a head, whatever a damaged file says.
    fn tidy(&mut self) {
        let rev = self.key.rev;
        self.seen.retain(|k| k.rev < rev);
        self.seen.sort_unstable();
        self.seen.dedup();
    }

    fn says_as(&self, other: &Self) -> bool {
        self.seen == other.seen && self.gone == other.gone && self.data == other.data
    }

    fn older_state_than(&self, other: &Self) -> bool {
        match self.key.n.cmp(&other.key.n) {
            Ordering::Less => true,
            Ordering::Greater => false,
            // Never the same in honest data. Any rule that does not depend on
            // the order of merging will do.
            Ordering::Equal => self != other && self.whole() < other.whole(),
        }
    }

    fn whole(&self) -> String {
        crate::json::version(self).to_string()
    }
}

/// Joins what a newer app wrote. Where both have a key, the greater text stays.
fn join(into: &mut Data, other: &Data) {
    for (key, value) in other {
        let own = into.get(key).map(Value::to_string);
        if own < Some(value.to_string()) {
            into.insert(key.clone(), value.clone());
        }
    }
}
