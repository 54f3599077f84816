//! Opening a backup: from the bytes of a file to the list of what is in it.

use super::names::{self, Is};
use super::zip::{self, Entry, Listing, Place, Salvage};
use super::{LIST_LIMIT, RefusedList};

/// A backup being opened. The caller reads what [`Opening::want`] says and hands
/// it to [`Opening::take`], until nothing is wanted any more.
#[derive(Debug)]
pub struct Opening {
    len: u64,
    step: Step,
    notes: Vec<String>,
}

#[derive(Debug)]
enum Step {
    Tail,
    Directory(Place),
    Search(Salvage),
    Done(Listing),
}

/// What is in a backup.
#[derive(Clone, Debug, Default)]
pub struct Archive {
    /// The files to read, in the order to read them.
    pub files: Vec<File>,
    /// Files that are not read in: this app does not know what they are.
    pub unknown: Vec<String>,
    /// How many files there are beyond that list.
    pub more_unknown: u64,
    /// Files that can't be read, and why.
    pub refused: RefusedList,
    /// What else a person should know.
    pub notes: Vec<String>,
}

/// A file of a backup.
#[derive(Clone, Debug)]
pub struct File {
    /// Its place and size.
    pub entry: Entry,
    /// What it is.
    pub is: Is,
}

impl Opening {
    /// Begins, for a file of this length.
    pub fn new(len: u64) -> Self {
        Self {
            len,
            step: Step::Tail,
            notes: Vec::new(),
        }
    }

    /// The stretch of the file to read next: its first byte and its length.
    pub fn want(&self) -> Option<(u64, u64)> {
        match &self.step {
            Step::Tail => {
                let tail = zip::tail_len(self.len);
                Some((self.len - tail, tail))
            }
            Step::Directory(place) => Some((place.at, place.len)),
            Step::Search(search) => search.want(),
            Step::Done(_) => None,
        }
    }

    /// Takes what was asked for.
    pub fn take(&mut self, bytes: &[u8]) {
        let next = match &mut self.step {
            Step::Tail => zip::find_end(bytes, self.len).map(Step::Directory),
            Step::Directory(place) => zip::entries(bytes, place).map(Step::Done),
            Step::Search(search) => {
                search.take(bytes);
                return;
            }
            Step::Done(_) => return,
        };
        self.step = next.unwrap_or_else(|why| {
            let note = why.to_owned() + " The files in it were searched for one by one.";
            self.notes.push(note);
            Step::Search(Salvage::new(self.len))
        });
    }

    /// What is in the backup.
    ///
    /// # Errors
    /// When nothing of a backup was found, in a sentence.
    pub fn finish(self) -> Result<Archive, &'static str> {
        let listing = match self.step {
            Step::Done(listing) => listing,
            Step::Search(search) => search.finish(),
            Step::Tail | Step::Directory(_) => Listing::default(),
        };
        let mut archive = Archive {
            refused: listing.refused,
            notes: self.notes,
            ..Archive::default()
        };
        let folder = folder(&listing.entries);
        // In the order to read them: what says how to read comes first, photos
        // after the records that speak of them.
        for turn in 0..5 {
            for entry in &listing.entries {
                let path = entry.path.strip_prefix(&folder);
                let is = path.map_or(Is::Unknown, names::is);
                if is.turn() != turn {
                    continue;
                }
                if is != Is::Unknown {
                    let entry = entry.clone();
                    archive.files.push(File { entry, is });
                } else if archive.unknown.len() < LIST_LIMIT {
                    archive.unknown.push(entry.path.clone());
                } else {
                    archive.more_unknown += 1;
                }
            }
        }
        if archive.files.is_empty() && archive.refused.count() == 0 {
            return Err("This file is no backup of a notebook.");
        }
        Ok(archive)
    }
}

/// The folder around everything. There is one when somebody unpacked the backup
/// and packed the folder again.
fn folder(entries: &[Entry]) -> String {
    let mut found = "";
    for entry in entries {
        let Some(before) = entry.path.strip_suffix("notebook.json") else {
            continue;
        };
        if before.is_empty() {
            return String::new();
        }
        if before.matches('/').count() == 1 && before.ends_with('/') {
            found = before;
        }
    }
    found.to_owned()
}
