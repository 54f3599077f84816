//! Search over everything that is kept, private fields too: it never leaves the
//! device.
//!
//! The text of a record is folded once, when it is put in. Beside it stands a
//! filter of 512 bits, one for each pair of neighbouring bytes that occurs
//! (hashed), so that most records are passed over without looking at their text.
//!
//! Memory: about 250 bytes a record, and its text twice (as it is written, for
//! showing, and folded).

mod filter;
mod fold;
mod gather;

pub use fold::fold;

use crate::timeline::Names;
use crate::view::Item;
use filter::Filter;
use gather::Gathered;

/// Words of a query that are looked for; more are left out.
const MOST_WORDS: usize = 12;
/// Characters shown before and after a hit.
const AROUND: (usize, usize) = (24, 60);

/// All records, ready to be searched.
#[derive(Debug, Default)]
pub struct Index {
    /// In the order of ids.
    #[allow(
        clippy::vec_box,
        reason = "putting one in between moves eight bytes each"
    )]
    entries: Vec<Box<Entry>>,
}

#[derive(Debug)]
struct Entry {
    filter: Filter,
    changed: i64,
    folded: Box<str>,
    /// The text as it is written; empty if it is the same as folded.
    written: Box<str>,
    /// Length of a console's folded nickname, which stands first.
    name: usize,
    id: Box<str>,
    console: Box<str>,
    kind: Box<str>,
}

/// A record that was found, with the place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// The record's id.
    pub id: String,
    /// The id of its console; its own id for a console.
    pub console: String,
    /// Its kind.
    pub kind: String,
    /// Text before the first word that was looked for.
    pub before: String,
    /// That word, as it is written there.
    pub matched: String,
    /// Text after it.
    pub after: String,
}

/// What a search found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// The best hits.
    pub hits: Vec<Hit>,
    /// How many records have all words.
    pub total: usize,
}

impl Index {
    /// Puts a record in, in the place of an older state of it. A deleted one is
    /// taken out. `names` gives the names of symptoms, books and boards.
    pub fn put(&mut self, item: &Item, names: Names) {
        if item.view.gone {
            self.remove(&item.id);
            return;
        }
        let Gathered { text, name } = gather::gather(item, names);
        let folded = fold(&text);
        let console = if item.kind == "console" {
            &item.id
        } else {
            item.text("console")
        };
        let entry = Box::new(Entry {
            filter: Filter::of(&folded),
            changed: item.changed,
            name: fold(text.get(..name).unwrap_or("")).len(),
            written: if folded == text {
                "".into()
            } else {
                text.into()
            },
            folded: folded.into(),
            id: item.id.as_str().into(),
            console: console.into(),
            kind: item.kind.as_str().into(),
        });
        match self.place(&item.id) {
            Ok(at) => {
                if let Some(old) = self.entries.get_mut(at) {
                    *old = entry;
                }
            }
            Err(at) => self.entries.insert(at, entry),
        }
    }

    /// Takes a record out.
    pub fn remove(&mut self, id: &str) {
        if let Ok(at) = self.place(id) {
            self.entries.remove(at);
        }
    }

    /// How many records are in it.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether it is empty.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Bytes of memory in use, but for what the allocator adds.
    pub fn bytes(&self) -> usize {
        self.entries
            .iter()
            .map(|e| {
                size_of::<Entry>()
                    + size_of::<usize>()
                    + e.folded.len()
                    + e.written.len()
                    + e.id.len()
                    + e.console.len()
                    + e.kind.len()
            })
            .sum()
    }

    /// The records in which every word occurs, in any field, in any order, also
    /// within longer words. Case, accents and the two ways to write a micro sign
    /// make no difference. First come consoles whose nickname has all words, then
    /// what was changed last. At most `most` hits are given.
    pub fn find(&self, query: &str, most: usize) -> Found {
        let query = fold(query);
        let words: Vec<(&str, Filter)> = query
            .split_whitespace()
            .take(MOST_WORDS)
            .map(|w| (w, Filter::of(w)))
            .collect();
        let mut found = Found::default();
        if words.is_empty() {
            return found;
        }
        let mut all = Filter::default();
        for (_, filter) in &words {
            all.join(filter);
        }
        let mut best: Vec<(bool, &Entry)> = Vec::new();
        for entry in &self.entries {
            if !entry.filter.has(&all) || !words.iter().all(|(w, _)| entry.folded.contains(w)) {
                continue;
            }
            found.total += 1;
            let name = entry.folded.get(..entry.name).unwrap_or("");
            let named = !name.is_empty() && words.iter().all(|(w, _)| name.contains(w));
            let rank = (named, entry.changed);
            if best.len() >= most {
                match best.last() {
                    Some((n, e)) if (*n, e.changed) < rank => best.pop(),
                    _ => continue,
                };
            }
            let at = best.partition_point(|(n, e)| (*n, e.changed) >= rank);
            best.insert(at, (named, entry));
        }
        let first = words.first().map_or("", |w| w.0);
        found.hits = best.iter().map(|(_, entry)| entry.hit(first)).collect();
        found
    }

    fn place(&self, id: &str) -> Result<usize, usize> {
        // Rows come in the order of their ids, so most go to the end.
        if self.entries.last().is_none_or(|e| *e.id < *id) {
            return Err(self.entries.len());
        }
        self.entries.binary_search_by(|e| (*e.id).cmp(id))
    }
}

impl Entry {
    fn hit(&self, word: &str) -> Hit {
        let at = self.folded.find(word).unwrap_or(0);
        let text = if self.written.is_empty() {
            &self.folded
        } else {
            &self.written
        };
        let (start, end) = fold::place(text, at, at + word.len());
        let before = text.get(..start).unwrap_or("");
        let after = text.get(end..).unwrap_or("");
        let line = before.rfind('\n').map_or(0, |n| n + 1);
        let before = before.get(line..).unwrap_or("");
        let after = after.split('\n').next().unwrap_or("");
        let cut = before
            .char_indices()
            .rev()
            .nth(AROUND.0)
            .map_or(0, |(at, c)| at + c.len_utf8());
        let mut shown = before.get(cut..).unwrap_or("").to_owned();
        if cut > 0 {
            shown.insert(0, '\u{2026}');
        }
        let cut = after.char_indices().nth(AROUND.1).map(|(at, _)| at);
        let mut rest = after
            .get(..cut.unwrap_or(after.len()))
            .unwrap_or("")
            .to_owned();
        if cut.is_some() {
            rest.push('\u{2026}');
        }
        Hit {
            id: self.id.to_string(),
            console: self.console.to_string(),
            kind: self.kind.to_string(),
            before: shown,
            matched: text.get(start..end).unwrap_or("").to_owned(),
            after: rest,
        }
    }
}
