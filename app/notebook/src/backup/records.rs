//! The lists of records in a backup: taken apart record by record, and weighed.
//!
//! A list is cut into its records without being understood, and each is read
//! alone. So a damaged record costs that record only, and no more than one at a
//! time is taken apart in memory.

use super::RefusedList;
use super::names;
use crate::json::Trouble;
use crate::record::{Data, Record};
use serde_json::Value;

/// Most records of one backup.
pub const MOST_RECORDS: usize = 300_000;

/// Most versions of a record, and most mentions of versions seen. What a record
/// says is worked out from them in steps that grow with their product.
const MOST_VERSIONS: usize = 5_000;

/// Largest revision: numbers up to here are exact in every program (2^53), and
/// there is always a higher one.
const MOST_REV: u64 = 1 << 53;

/// Years 1 to 9999, in milliseconds since 1970.
const TIMES: std::ops::RangeInclusive<i64> = -62_135_596_800_000..=253_402_300_799_999;

/// The elements of a JSON list, as text, without looking into them.
#[derive(Clone, Debug)]
pub struct Elements<'a> {
    rest: &'a [u8],
    done: bool,
    /// There is more behind the end.
    over: bool,
    /// How many were given out.
    count: usize,
}

impl<'a> Elements<'a> {
    /// Begins. A byte order mark is passed over.
    ///
    /// # Errors
    /// When this is no list.
    pub fn new(bytes: &'a [u8]) -> Result<Self, &'static str> {
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        let rest = bytes.trim_ascii_start().strip_prefix(b"[");
        Ok(Self {
            rest: rest.ok_or("This is no list of records.")?,
            done: false,
            over: false,
            count: 0,
        })
    }

    /// The next element, with its number from 1. An error is the last thing
    /// given.
    fn next(&mut self) -> Option<(usize, Result<&'a [u8], &'static str>)> {
        loop {
            if self.done {
                return None;
            }
            if self.over {
                self.done = true;
                return Some((self.count, Err("There is more behind the end of the list.")));
            }
            let (mut depth, mut quoted, mut escaped) = (0usize, false, false);
            let end = self.rest.iter().position(|b| {
                if quoted {
                    match b {
                        _ if escaped => escaped = false,
                        b'\\' => escaped = true,
                        b'"' => quoted = false,
                        _ => {}
                    }
                    return false;
                }
                match b {
                    b'"' => quoted = true,
                    b'{' | b'[' => depth += 1,
                    b']' if depth == 0 => return true,
                    b'}' | b']' => depth = depth.saturating_sub(1),
                    b',' => return depth == 0,
                    _ => {}
                }
                false
            });
            self.count += 1;
            let Some((element, tail)) = end.and_then(|e| self.rest.split_at_checked(e)) else {
                self.done = true;
                return Some((self.count, Err("The list is cut off here.")));
            };
            let closed = tail.first() == Some(&b']');
            self.rest = tail.get(1..).unwrap_or(&[]);
            let element = element.trim_ascii();
            self.over = closed && !self.rest.trim_ascii().is_empty();
            self.done = closed && !self.over;
            if !element.is_empty() {
                return Some((self.count, Ok(element)));
            }
        }
    }
}

/// Takes records out of the lists of one backup.
#[derive(Debug, Default)]
pub struct Incoming {
    /// The ids met so far.
    ids: Data,
}

impl Incoming {
    /// The next records of a list, up to `most`; none at its end. What can't be
    /// taken is listed as refused, with `path` for the list.
    pub fn batch(
        &mut self,
        list: &mut Elements,
        path: &str,
        most: usize,
        refused: &mut RefusedList,
    ) -> Vec<Record> {
        let mut out = Vec::new();
        while out.len() < most
            && let Some((number, text)) = list.next()
        {
            let mut trouble = Vec::new();
            let place = |id: &str| {
                let number = path.to_owned() + ", record " + &number.to_string();
                if id.is_empty() {
                    number
                } else {
                    number + " (" + id + ")"
                }
            };
            let found = text
                .map_err(|why| trouble_with("", why))
                .and_then(|text| self.read(text, &mut trouble));
            for t in &trouble {
                refused.add(&place(&t.id), &t.why);
            }
            match found {
                Ok(record) => out.push(record),
                Err(t) => refused.add(&place(&t.id), &t.why),
            }
        }
        out
    }

    /// Whether a record of this id was met.
    pub fn has(&self, id: &str) -> bool {
        self.ids.contains_key(id)
    }

    /// How many records were met.
    pub fn count(&self) -> u64 {
        self.ids.len() as u64
    }

    fn read(&mut self, text: &[u8], trouble: &mut Vec<Trouble>) -> Result<Record, Trouble> {
        let text = std::str::from_utf8(text)
            .map_err(|_| trouble_with("", "The record is not written in UTF-8."))?;
        let record = Record::from_text(text, trouble)?;
        if let Some(why) = fault(&record) {
            return Err(trouble_with(&record.id, why));
        }
        if self.ids.contains_key(&record.id) {
            let why = "There is another record of this id in the backup. The first one counts.";
            return Err(trouble_with(&record.id, why));
        }
        if self.ids.len() >= MOST_RECORDS {
            let why = "There are more than 300,000 records in the backup.";
            return Err(trouble_with(&record.id, why));
        }
        self.ids.insert(record.id.clone(), Value::Null);
        Ok(record)
    }
}

fn trouble_with(id: &str, why: &str) -> Trouble {
    Trouble {
        id: id.to_owned(),
        why: why.to_owned(),
    }
}

/// What makes a record unfit to be taken in, although it can be read.
pub(super) fn fault(record: &Record) -> Option<&'static str> {
    let seen: usize = record.versions().iter().map(|v| v.seen.len()).sum();
    if !names::safe_id(&record.id) {
        Some("The id has characters that no id has.")
    } else if !names::safe_id(&record.kind) {
        Some("The kind has characters that no kind has.")
    } else if record.versions().len() > MOST_VERSIONS || seen > 4 * MOST_VERSIONS {
        Some("The record has more versions than anybody writes.")
    } else if record
        .versions()
        .iter()
        .any(|v| v.key.rev > MOST_REV || v.key.n > MOST_REV || !TIMES.contains(&v.at))
        || !TIMES.contains(&record.created)
    {
        Some("A number in the record is out of range.")
    } else {
        None
    }
}
