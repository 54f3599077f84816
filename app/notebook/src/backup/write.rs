//! What stands where in a backup, and the bytes of its files.
//!
//! ```text
//! consoles/attic-find-c1/records.json   one list for each console
//! other/records.json                    records of no console
//! books/my-family.json                  copies of one's own code books
//! photos/p7.jpg
//! damaged/n3.txt                        text of records that can't be read
//! notebook.json                         what this backup says of itself
//! README.txt                            the same for a person
//! ```
//!
//! The last two are written last, so that their counts are true.

use super::{FILE_LIMIT, RefusedList, names, records};
use crate::kinds;
use crate::record::{Data, Record};
use crate::store::Row;
use reading::calendar::DateTime;
use serde_json::Value;

/// Bytes of one list of records; a longer one goes on in another file.
const LIST_BYTES: usize = 16 << 20;

/// Who makes a backup, and when.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// The version of the app.
    pub app: String,
    /// What the person calls this device; may be empty.
    pub device: String,
    /// The id of this device.
    pub by: String,
    /// Milliseconds since 1970.
    pub at: i64,
}

/// A file of a backup with what is in it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct File {
    /// Its path.
    pub path: String,
    /// What is in it, not packed.
    pub bytes: Vec<u8>,
}

/// Lays out a backup: console by console, then the records of no console, then
/// the photos, then [`Layout::last`].
#[derive(Debug)]
pub struct Layout {
    made: Made,
    /// The list of consoles for `notebook.json`, as it grows.
    consoles: String,
    ids: Vec<String>,
    records: u64,
    photos: u64,
    books: u64,
    damaged: u64,
    /// Records that are in the backup only as damaged text, or not at all.
    pub told: RefusedList,
}

impl Layout {
    /// Begins.
    pub fn new(made: Made) -> Self {
        Self {
            made,
            consoles: String::new(),
            ids: Vec::new(),
            records: 0,
            photos: 0,
            books: 0,
            damaged: 0,
            told: RefusedList::default(),
        }
    }

    /// The files of one console; `rows` are all its rows, its own too.
    pub fn console(&mut self, id: &str, rows: &[Row]) -> Vec<File> {
        let mut name = String::new();
        let own = rows.iter().find(|r| r.id == id && r.kind == "console");
        if let Some(Ok(record)) = own.map(|row| row.record(&mut Vec::new())) {
            record.view().text("name").clone_into(&mut name);
        }
        self.ids.push(id.to_owned());
        let mut folder = "consoles/".to_owned() + &names::slug(&name) + "-";
        if names::safe_id(id) {
            folder += id;
        } else {
            // No console of this app has such an id.
            folder = folder + "no-id-" + &self.ids.len().to_string();
        }
        let before = self.records;
        let files = self.lists(&folder, rows);
        if !self.consoles.is_empty() {
            self.consoles += ",\n";
        }
        self.consoles = std::mem::take(&mut self.consoles)
            + "{\"id\":"
            + &quoted(id)
            + ",\"name\":"
            + &quoted(&name)
            + ",\"folder\":"
            + &quoted(&folder)
            + ",\"records\":"
            + &(self.records - before).to_string()
            + "}";
        files
    }

    /// Whether a row belongs to no console that was laid out.
    pub fn is_other(&self, row: &Row) -> bool {
        !self.ids.contains(&row.console)
    }

    /// The files of the rows that belong to no console. To be called once.
    pub fn others(&mut self, rows: &[Row]) -> Vec<File> {
        self.lists("other", rows)
    }

    /// The path of a photo, whose file goes into the archive as it is.
    ///
    /// # Errors
    /// When no file can have this name; it is told in [`Layout::told`] too.
    pub fn photo(&mut self, id: &str) -> Result<String, &'static str> {
        const WHY: &str = "The photo has an id that can't be a file name.";
        if !names::safe_id(id) {
            self.told.add(id, WHY);
            return Err(WHY);
        }
        self.photos += 1;
        Ok("photos/".to_owned() + id + ".jpg")
    }

    fn lists(&mut self, folder: &str, rows: &[Row]) -> Vec<File> {
        let mut files = Vec::new();
        let mut list = Vec::new();
        let mut number = 1;
        for row in rows {
            let mut trouble = Vec::new();
            let read = row.record(&mut trouble);
            let hurt = read.is_err() || !trouble.is_empty();
            if hurt {
                self.damaged += 1;
                for t in &trouble {
                    self.told.add(&row.id, &t.why);
                }
                files.push(self.damaged_file(row));
            }
            if let Some(why) = read.as_ref().ok().and_then(records::fault) {
                self.told.add(&row.id, why);
            }
            if row.kind == kinds::BOOK
                && let Some(file) = read.as_ref().ok().and_then(book_file)
            {
                self.books += 1;
                files.push(file);
            }
            let body = match read {
                // As it is kept: what is read from the backup is then the same
                // to the last digit.
                Ok(_) if !hurt => row.body.clone(),
                Ok(record) => Record::to_json(&record).to_string(),
                Err(t) => {
                    self.told.add(&row.id, &t.why);
                    continue;
                }
            };
            if body.len() as u64 > FILE_LIMIT - 8 {
                self.told
                    .add(&row.id, "The record is too long to be read in again.");
            }
            if !list.is_empty() && list.len() + body.len() > LIST_BYTES {
                files.push(close(folder, number, &mut list));
                number += 1;
            }
            list.extend_from_slice(if list.is_empty() { b"[\n" } else { b",\n" });
            list.extend_from_slice(body.as_bytes());
            self.records += 1;
        }
        if !list.is_empty() {
            files.push(close(folder, number, &mut list));
        }
        files
    }

    fn damaged_file(&self, row: &Row) -> File {
        let name = if names::safe_id(&row.id) {
            row.id.clone()
        } else {
            "no-id-".to_owned() + &self.damaged.to_string()
        };
        File {
            path: "damaged/".to_owned() + &name + ".txt",
            bytes: row.body.clone().into_bytes(),
        }
    }

    /// The last two files.
    pub fn last(&self) -> [File; 2] {
        [
            File {
                path: "notebook.json".to_owned(),
                bytes: self.about().into_bytes(),
            },
            File {
                path: "README.txt".to_owned(),
                bytes: self.readme().into_bytes(),
            },
        ]
    }

    fn counts(&self) -> [(&'static str, u64); 5] {
        [
            ("consoles", self.ids.len() as u64),
            ("records", self.records),
            ("photos", self.photos),
            ("books", self.books),
            ("damaged", self.damaged),
        ]
    }

    fn about(&self) -> String {
        let mut out = "{\n".to_owned();
        let mut put = |name: &str, value: &str| {
            for part in ["\"", name, "\": ", value, ",\n"] {
                out += part;
            }
        };
        put("format", &kinds::FORMAT.to_string());
        put("app", &quoted(&self.made.app));
        put("made", &self.made.at.to_string());
        put("made_utc", &quoted(&utc(self.made.at)));
        put("device", &quoted(&self.made.device));
        put("by", &quoted(&self.made.by));
        let mut counts = Data::new();
        for (name, count) in self.counts() {
            counts.insert(name.to_owned(), count.into());
        }
        put("counts", &Value::Object(counts).to_string());
        out + "\"consoles\": [\n" + &self.consoles + "\n]\n}\n"
    }

    fn readme(&self) -> String {
        let mut out = "This is a backup of a Faultleaf notebook.\n\n".to_owned();
        let mut put = |name: &str, value: &str| {
            for part in [name, ": ", value, "\n"] {
                out += part;
            }
        };
        put("made at (UTC)", &utc(self.made.at));
        put("device", &self.made.device);
        put("app version", &self.made.app);
        for (name, count) in self.counts() {
            put(name, &count.to_string());
        }
        out + README
    }
}

const README: &str = "
To get it back: open the app, go to the page for backups and choose this file.
You see what would change before anything is written.

To read it without the app: unpack this ZIP file with any program.
- consoles: one folder for each console. In records.json each line is one
  record. \"versions\" has everything that was ever saved of it, the newest
  last. Its \"data\" is what was written.
- other: records that belong to no console.
- books: your own code books, each a file that the app opens as a book. These
  are copies; what the app reads in again is in the records.
- photos: the pictures. A record names its picture by the file name.
- damaged: text of records that could not be read any more.
- notebook.json: when and by what this file was made, and a list of the consoles.

All of these are plain text (UTF-8, JSON) and JPEG pictures. Private things,
such as serial numbers and prices, are in here too.
";

/// A code book as a file of its own, in the form the app opens books in: as it
/// is in use, else as it was begun. What was deleted is not among the files.
fn book_file(record: &Record) -> Option<File> {
    let id = kinds::book_of(&record.id).filter(|id| names::safe_id(id))?;
    let view = record.view();
    let mut text = view.text("text");
    if text.is_empty() {
        text = view.text("draft");
    }
    (!view.gone && !text.is_empty()).then(|| File {
        path: "books/".to_owned() + id + ".json",
        bytes: text.as_bytes().to_vec(),
    })
}

fn close(folder: &str, number: usize, list: &mut Vec<u8>) -> File {
    let mut bytes = std::mem::take(list);
    bytes.extend_from_slice(b"\n]\n");
    let mut path = folder.to_owned() + "/records";
    if number > 1 {
        path = path + "-" + &number.to_string();
    }
    File {
        path: path + ".json",
        bytes,
    }
}

/// A text as JSON.
fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

/// `2026-03-12 08:30:00`.
fn utc(at: i64) -> String {
    let text = DateTime::at(at.div_euclid(1000)).map(|d| d.to_string());
    text.unwrap_or_default().replace('T', " ")
}
