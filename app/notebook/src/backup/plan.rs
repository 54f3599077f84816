//! What reading a backup in would do, before anything is written.
//!
//! A record is a set of versions, and reading it in joins two sets. So what
//! would happen is found by joining a copy: if nothing is added to ours, they
//! have nothing new, and the other way round.
//!
//! The steps are the same for the dry run and for the real one:
//! [`Plan::about`], then for each list [`Plan::batch`] and [`Plan::take`], then
//! [`Plan::photo`] for each photo, then [`Plan::finish`]. What `take` gives back
//! goes to [`crate::Keeper::merge`] in the real run.

use super::names::Is;
use super::open::Archive;
use super::records::{Elements, Incoming};
use super::{LIST_LIMIT, RefusedList};
use crate::kinds;
use crate::record::{Data, Record, Version};
use crate::store::Row;
use crate::view::{View, text};
use serde_json::Value;

/// Bytes of a field that are told in full where it was changed in two ways.
const SAID: usize = 2000;

/// How a record of the backup stands to the one kept here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It is not here.
    New,
    /// It is the same.
    Same,
    /// They have versions that are not here.
    ChangedThere,
    /// There are versions here that they don't have.
    ChangedHere,
    /// Both have versions the other doesn't.
    Both,
}

/// How many records there are of each [`State`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// [`State::New`].
    pub new: u32,
    /// [`State::Same`].
    pub same: u32,
    /// [`State::ChangedThere`].
    pub there: u32,
    /// [`State::ChangedHere`].
    pub here: u32,
    /// [`State::Both`].
    pub both: u32,
    /// Records shown here that would be deleted.
    pub deletes: u32,
    /// Records deleted here that would come back.
    pub returns: u32,
}

/// The records of one console.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Part {
    /// The console's id; empty for records of none, `*` for all consoles that
    /// are beyond the end of the list ([`LIST_LIMIT`]).
    pub console: String,
    /// Its nickname in the backup; empty where the backup does not have it.
    pub name: String,
    /// Its records.
    pub counts: Counts,
}

/// A field that was changed in two ways.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Clash {
    /// The record.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// The console it belongs to.
    pub console: String,
    /// The field.
    pub field: String,
    /// What it says here.
    pub here: String,
    /// What it says in the backup.
    pub there: String,
}

/// The photos of the backup.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Photos {
    /// Not here.
    pub new: u32,
    /// Here too.
    pub same: u32,
    /// Here is another picture of this id, which stays.
    pub different: u32,
    /// Spoken of in a record, but neither in the backup nor here.
    pub missing: u32,
}

/// What would happen.
#[derive(Debug, Default)]
pub struct Plan {
    /// Console by console, in the order of the backup.
    pub parts: Vec<Part>,
    /// All records.
    pub total: Counts,
    /// Those of them that are code books.
    pub books: Counts,
    /// All photos.
    pub photos: Photos,
    /// Fields that a person will have to choose; up to [`LIST_LIMIT`].
    pub clashes: Vec<Clash>,
    /// What is left out, and why.
    pub refused: RefusedList,
    /// What else a person should know.
    pub notes: Vec<String>,
    /// The name of the device that made the backup, when, and with what app.
    pub about: About,
    incoming: Incoming,
    photos_there: Data,
    photos_wanted: Vec<String>,
}

/// What a backup says of itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    /// [`kinds::FORMAT`] of the app that made it; 0 when not known.
    pub format: u64,
    /// The version of that app.
    pub app: String,
    /// When, milliseconds since 1970; 0 when not known.
    pub made: i64,
    /// On which device, by its name.
    pub device: String,
    /// How many records there should be, if it says.
    pub records: Option<u64>,
    /// How many photos there should be, if it says.
    pub photos: Option<u64>,
}

impl Plan {
    /// Begins, with what [`super::open::Opening`] found.
    pub fn new(archive: &Archive) -> Self {
        let mut plan = Self {
            notes: archive.notes.clone(),
            refused: archive.refused.clone(),
            ..Self::default()
        };
        let mut damaged = 0u32;
        for file in &archive.files {
            match &file.is {
                Is::Photo(id) => drop(plan.photos_there.insert(id.clone(), Value::Null)),
                Is::Damaged(_) => damaged += 1,
                _ => {}
            }
        }
        if !archive.files.iter().any(|f| f.is == Is::About) {
            plan.notes
                .push("The file does not say when and by what it was made.".to_owned());
        }
        if damaged > 0 {
            plan.notes.push(
                "Records that were damaged already when the backup was made: ".to_owned()
                    + &damaged.to_string()
                    + ". Their text is in the folder \u{201c}damaged\u{201d} of the file. It is not read in.",
            );
        }
        let unknown = archive.unknown.len() as u64 + archive.more_unknown;
        if unknown > 0 {
            plan.notes.push(
                "Files that this app does not know, and does not read in: ".to_owned()
                    + &unknown.to_string()
                    + ".",
            );
        }
        plan
    }

    /// Takes the text of `notebook.json`.
    pub fn about(&mut self, bytes: &[u8]) {
        let json = std::str::from_utf8(bytes).unwrap_or("");
        let json = json.strip_prefix("\u{feff}").unwrap_or(json);
        let Ok(Value::Object(all)) = serde_json::from_str(json) else {
            self.notes
                .push("What the backup says of itself can't be read.".to_owned());
            return;
        };
        let count = |name: &str| all.get("counts")?.get(name)?.as_u64();
        self.about = About {
            format: all.get("format").and_then(Value::as_u64).unwrap_or(0),
            app: text(&all, "app").to_owned(),
            made: all.get("made").and_then(Value::as_i64).unwrap_or(0),
            device: text(&all, "device").to_owned(),
            records: count("records"),
            photos: count("photos"),
        };
        if self.about.format > u64::from(kinds::FORMAT) {
            self.notes.push(
                "A newer version of this app made the backup. What this version does not know is kept as it is."
                    .to_owned(),
            );
        }
    }

    /// The next records of a list, up to `most`; none at its end.
    pub fn batch(&mut self, list: &mut Elements, path: &str, most: usize) -> Vec<Record> {
        self.incoming.batch(list, path, most, &mut self.refused)
    }

    /// Takes records of the backup with the rows of the same ids here, in the
    /// same order, and gives back those that have something new.
    pub fn take(&mut self, records: Vec<Record>, rows: &[Option<Row>]) -> Vec<Record> {
        let mut out = Vec::new();
        let mut rows = rows.iter();
        for there in records {
            let row = rows.next().and_then(Option::as_ref);
            if there.kind == "photo" && !there.gone() {
                self.photos_wanted.push(there.id.clone());
            }
            let console = console_of(&there);
            match self.compare(&there, row, &console) {
                Err(why) => self.refused.add(&there.id, why),
                Ok((state, gone)) => {
                    count(&mut self.total, state, gone);
                    if there.kind == kinds::BOOK {
                        count(&mut self.books, state, gone);
                    }
                    self.part(&console, &there, state, gone);
                    if matches!(state, State::New | State::ChangedThere | State::Both) {
                        out.push(there);
                    }
                }
            }
        }
        out
    }

    /// How a record stands, and whether it would be deleted (-1) or come back
    /// (1) here.
    fn compare(
        &mut self,
        there: &Record,
        row: Option<&Row>,
        console: &str,
    ) -> Result<(State, i8), &'static str> {
        let Some(row) = row else {
            return Ok((State::New, 0));
        };
        let here = row.record(&mut Vec::new()).map_err(
            |_| "The record of this id here is damaged. It is left as it is, so that nothing of it is lost.",
        )?;
        if here == *there {
            return Ok((State::Same, 0));
        }
        if here.kind != there.kind {
            return Err("The record of this id here is of another kind.");
        }
        if here.versions().iter().any(|v| forged(v, &here, there)) {
            return Err(
                "A version in the backup carries the name of one here, but says something else.",
            );
        }
        let mut joined = here.clone();
        joined.merge(there);
        let gone = i8::from(!joined.gone()) - i8::from(!here.gone());
        let state = if joined == here {
            State::ChangedHere
        } else if joined == *there {
            State::ChangedThere
        } else {
            self.clash(&here.view(), there, &joined.view(), console);
            State::Both
        };
        Ok((state, gone))
    }

    fn clash(&mut self, here: &View, there: &Record, joined: &View, console: &str) {
        let view = there.view();
        for (field, _) in &joined.clashes {
            if self.clashes.len() >= LIST_LIMIT {
                return;
            }
            let said = |data: &View| match data.data.get(field) {
                None => String::new(),
                // A whole book is no line of a list.
                Some(Value::String(s)) if s.len() > SAID => {
                    let start: String = s.chars().take(SAID / 10).collect();
                    start + "\u{2026} (" + &s.len().to_string() + " bytes in all)"
                }
                Some(Value::String(s)) => s.clone(),
                Some(other) => other.to_string(),
            };
            self.clashes.push(Clash {
                id: there.id.clone(),
                kind: there.kind.clone(),
                console: console.to_owned(),
                field: field.clone(),
                here: said(here),
                there: said(&view),
            });
        }
    }

    fn part(&mut self, console: &str, there: &Record, state: State, gone: i8) {
        let parts = &mut self.parts;
        let name = if parts.len() < LIST_LIMIT {
            console
        } else {
            "*"
        };
        let known = parts.iter().rposition(|p| p.console == console);
        let known = known.or_else(|| parts.iter().rposition(|p| p.console == name));
        let at = known.unwrap_or(parts.len());
        if known.is_none() {
            parts.push(Part {
                console: name.to_owned(),
                ..Part::default()
            });
        }
        if let Some(part) = parts.get_mut(at) {
            count(&mut part.counts, state, gone);
            if there.id == part.console {
                there.view().text("name").clone_into(&mut part.name);
            }
        }
    }

    /// Whether the backup has a record of this id, among those taken so far.
    pub fn knows(&self, id: &str) -> bool {
        self.incoming.has(id)
    }

    /// Weighs a photo of the backup: `here` is the sum (CRC-32) and the length
    /// of the one kept here, `row` whether its record is here. Gives whether it
    /// is to be read in.
    pub fn photo(
        &mut self,
        id: &str,
        crc: u32,
        len: u64,
        here: Option<(u32, u64)>,
        row: bool,
    ) -> bool {
        match here {
            Some(own) if own == (crc, len) => self.photos.same += 1,
            Some(_) => self.photos.different += 1,
            None if !row && !self.incoming.has(id) => {
                self.refused.add(id, "No record speaks of this photo.");
            }
            None => {
                self.photos.new += 1;
                return true;
            }
        }
        false
    }

    /// Ends. `photos_here` are the ids of all photos kept here, in order.
    pub fn finish(&mut self, photos_here: &[String]) {
        for id in &self.photos_wanted {
            if !self.photos_there.contains_key(id) && photos_here.binary_search(id).is_err() {
                self.photos.missing += 1;
            }
        }
        let records = ("Records", self.about.records, self.incoming.count());
        let photos = self.photos_there.len() as u64;
        for (what, should, found) in [records, ("Photos", self.about.photos, photos)] {
            if let Some(n) = should.filter(|n| *n != found) {
                self.notes.push(
                    what.to_owned()
                        + " that should be in the backup: "
                        + &n.to_string()
                        + ". Found: "
                        + &found.to_string()
                        + ".",
                );
            }
        }
    }
}

/// Whether the other record has this version, but as something else. The
/// versions of a record that was deleted long ago are emptied; that is no such
/// thing.
fn forged(own: &Version, here: &Record, there: &Record) -> bool {
    let Some(other) = there.find(own.key.rev, &own.key.by) else {
        return false;
    };
    if other.key.n != own.key.n || other == own {
        return false;
    }
    let emptied = other.data.is_empty() && there.gone() || own.data.is_empty() && here.gone();
    let mut same = other.clone();
    same.data.clone_from(&own.data);
    !emptied || same != *own
}

fn console_of(record: &Record) -> String {
    if record.kind == "console" {
        return record.id.clone();
    }
    let shown = record.shown().map(|v| text(&v.data, "console"));
    shown.unwrap_or_default().to_owned()
}

fn count(counts: &mut Counts, state: State, gone: i8) {
    *match state {
        State::New => &mut counts.new,
        State::Same => &mut counts.same,
        State::ChangedThere => &mut counts.there,
        State::ChangedHere => &mut counts.here,
        State::Both => &mut counts.both,
    } += 1;
    counts.deletes += u32::from(gone < 0);
    counts.returns += u32::from(gone > 0);
}
