//! Which versions the values of a field come from, when a record has several
//! newest versions.
//!
//! To compare with one version that all have in common is not enough: two
//! devices that merged the same two versions have two such, and with three
//! newest versions two of them may have more in common. An edit that puts a
//! field back to what it was would then be lost from view. So each version is
//! asked which fields it changed, and a value stands until somebody who knew it
//! changed it.

use crate::record::{Record, Version};

/// Steps of work for one record. Enough for 2,000 versions in a row; a file
/// made to take long has more.
const WORK: usize = 6_000_000;

/// The versions of a record and how they come from one another.
pub(crate) struct Descent<'a> {
    versions: &'a [Version],
    /// For each version, the places of those its writer saw.
    parents: Vec<Vec<usize>>,
    /// For each version, whether all that its writer saw is here, as it was
    /// seen. Else all that it says counts as changed: better to ask once too
    /// often than to hide an edit.
    whole: Vec<bool>,
    /// For each version, which of those up to its own place are part of it.
    past: Vec<Vec<bool>>,
    left: usize,
}

impl<'a> Descent<'a> {
    /// Works it out; `None` if it takes too long.
    pub(crate) fn of(record: &'a Record) -> Option<Self> {
        let versions = record.versions();
        let mut own = Self {
            versions,
            parents: Vec::with_capacity(versions.len()),
            whole: Vec::with_capacity(versions.len()),
            past: Vec::with_capacity(versions.len()),
            left: WORK,
        };
        for version in versions {
            own.add(record, version)?;
        }
        Some(own)
    }

    fn add(&mut self, record: &Record, version: &Version) -> Option<()> {
        let mut parents = Vec::new();
        let mut whole = true;
        for key in &version.seen {
            let at = record.place(key.rev, &key.by).ok();
            let Some((at, there)) = at.and_then(|at| Some((at, self.versions.get(at)?))) else {
                whole = false;
                continue;
            };
            if there.key.n <= key.n {
                parents.push(at);
                // A deletion hands on what it knows, and what it doesn't.
                whole &= !there.gone || *self.whole.get(at)?;
            } else {
                // What was seen has been written over since. What that one saw
                // is the same in all its states.
                let before = self.parents.get(at)?;
                self.left = self.left.checked_sub(before.len())?;
                parents.extend_from_slice(before);
                whole = false;
            }
        }
        self.left = self.left.checked_sub(self.past.len())?;
        let mut past = vec![false; self.past.len()];
        past.push(true);
        for from in &parents {
            let from = self.past.get(*from)?;
            self.left = self.left.checked_sub(from.len())?;
            for (into, from) in past.iter_mut().zip(from) {
                *into |= from;
            }
        }
        self.parents.push(parents);
        self.whole.push(whole);
        self.past.push(past);
        Some(())
    }

    /// The versions that gave a field the values it has in these (by their
    /// places); `None` if it takes too long.
    pub(crate) fn origins(&mut self, name: &str, of: &[usize]) -> Option<Vec<&'a Version>> {
        let said = |at: &usize| self.versions.get(*at).and_then(|v| v.data.get(name));
        let mut origins: Vec<Vec<usize>> = Vec::with_capacity(self.versions.len());
        for (at, version) in self.versions.iter().enumerate() {
            let came = joined(self.parents.get(at)?, &origins, &self.past, &mut self.left)?;
            let own = version.data.get(name);
            let kept = if came.is_empty() {
                own.is_none()
            } else {
                *self.whole.get(at)? && came.iter().all(|o| said(o) == own)
            };
            // To delete is not to change.
            let kept = kept || version.gone && !came.is_empty();
            origins.push(if kept { came } else { vec![at] });
        }
        let found = joined(of, &origins, &self.past, &mut self.left)?;
        Some(found.iter().filter_map(|o| self.versions.get(*o)).collect())
    }
}

/// The origins of all these versions, without those that another one knew.
fn joined(
    of: &[usize],
    origins: &[Vec<usize>],
    past: &[Vec<bool>],
    left: &mut usize,
) -> Option<Vec<usize>> {
    let mut all: Vec<usize> = Vec::new();
    for at in of {
        for origin in origins.get(*at)? {
            *left = left.checked_sub(1 + all.len())?;
            if !all.contains(origin) {
                all.push(*origin);
            }
        }
    }
    *left = left.checked_sub(1 + all.len() * all.len())?;
    let knew =
        |by: &usize, of: &usize| by != of && past.get(*by).and_then(|p| p.get(*of)) == Some(&true);
    let newest = all.iter().filter(|o| !all.iter().any(|p| knew(p, o)));
    Some(newest.copied().collect())
}
