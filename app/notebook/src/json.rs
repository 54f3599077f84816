//! Records as JSON: in the database and in the backup file alike.
//!
//! Reading rebuilds every part by hand: a wrong type or a missing part costs
//! that part and is told, and what this app does not know is kept. A number
//! of more than 15 digits that is no whole number (`.0` counts as a digit) may
//! lose its last bit: to read those exactly takes 7 KB of program, and this app
//! keeps none.

use crate::record::{Data, Key, Record, Version};
use serde_json::{Value, json};

/// Where the text of versions that can't be read is kept, beside the others.
const UNREAD: &str = "unread_versions";

/// Something wrong in a record that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The id of the record, if it has one.
    pub id: String,
    /// What is wrong, in a sentence.
    pub why: String,
}

impl Record {
    /// The record as JSON.
    pub fn to_json(&self) -> Value {
        let mut all = self.extra.clone();
        all.insert("id".to_owned(), json!(self.id));
        all.insert("kind".to_owned(), json!(self.kind));
        all.insert("created".to_owned(), json!(self.created));
        let versions = self.versions().iter().map(version).collect();
        all.insert("versions".to_owned(), Value::Array(versions));
        Value::Object(all)
    }

    /// Reads a record from the text the database or a backup holds.
    ///
    /// # Errors
    /// When it is no record: no JSON object, no id, no kind, or no version
    /// that can be read. Smaller trouble is put into `trouble` instead.
    pub fn from_text(text: &str, trouble: &mut Vec<Trouble>) -> Result<Self, Trouble> {
        match serde_json::from_str(text) {
            Ok(value) => Self::from_json(value, trouble),
            Err(e) => Err(Trouble {
                id: String::new(),
                why: "This is not JSON: ".to_owned() + &e.to_string(),
            }),
        }
    }

    /// Reads a record from JSON; see [`Record::from_text`].
    ///
    /// # Errors
    /// As there.
    pub fn from_json(value: Value, trouble: &mut Vec<Trouble>) -> Result<Self, Trouble> {
        let fail = |id: &str, why: &str| Trouble {
            id: id.to_owned(),
            why: why.to_owned(),
        };
        let Value::Object(mut all) = value else {
            return Err(fail("", "This is not a record, which is a JSON object."));
        };
        let text = |v: Option<Value>| match v {
            Some(Value::String(s)) => s,
            _ => String::new(),
        };
        let id = text(all.remove("id"));
        if id.is_empty() || id.len() > 80 {
            return Err(fail(
                "",
                "A record has no id, or one of more than 80 characters.",
            ));
        }
        let kind = text(all.remove("kind"));
        if kind.is_empty() {
            return Err(fail(&id, "The record has no kind."));
        }
        let mut record = Self::new(&id, &kind, 0);
        let created = all.remove("created").as_ref().and_then(Value::as_i64);
        let Some(Value::Array(versions)) = all.remove("versions") else {
            return Err(fail(&id, "The record has no list of versions."));
        };
        let mut unread = match all.remove(UNREAD) {
            Some(Value::Array(before)) => before,
            _ => Vec::new(),
        };
        for (n, mut value) in versions.into_iter().enumerate() {
            let mut wrong = false;
            let version = read_version(&mut value, &mut wrong);
            let why = match version {
                None => " of the record can't be read.",
                Some(_) => " of the record can be read in part only.",
            };
            if version.is_none() || wrong {
                let why = "Version ".to_owned() + &(n + 1).to_string() + why;
                trouble.push(fail(&id, &why));
            }
            match version {
                Some(version) => record.take(version),
                // Nobody can read it, but it is not ours to throw away.
                None => unread.push(Value::String(value.to_string())),
            }
        }
        if !unread.is_empty() {
            all.insert(UNREAD.to_owned(), Value::Array(unread));
        }
        if record.versions().is_empty() {
            return Err(fail(&id, "The record has no version that can be read."));
        }
        let first = record.versions().iter().map(|v| v.at).min().unwrap_or(0);
        record.created = created.unwrap_or(first);
        record.extra = all;
        Ok(record)
    }
}

/// One version as JSON.
pub(crate) fn version(v: &Version) -> Value {
    let mut all = v.extra.clone();
    all.insert("rev".to_owned(), json!(v.key.rev));
    all.insert("by".to_owned(), json!(v.key.by));
    if v.key.n > 0 {
        all.insert("n".to_owned(), json!(v.key.n));
    }
    if !v.seen.is_empty() {
        let seen = v.seen.iter().map(Key::to_json).collect();
        all.insert("seen".to_owned(), Value::Array(seen));
    }
    all.insert("at".to_owned(), json!(v.at));
    if v.gone {
        all.insert("gone".to_owned(), json!(true));
    }
    all.insert("data".to_owned(), Value::Object(v.data.clone()));
    Value::Object(all)
}

/// Sets `wrong` where a part can't be used. Nothing is taken out of a version
/// that can't be read at all.
fn read_version(value: &mut Value, wrong: &mut bool) -> Option<Version> {
    let all = value.as_object_mut()?;
    let rev = all.get("rev")?.as_u64().filter(|r| *r > 0)?;
    let by = all.get("by")?.as_str()?.to_owned();
    let gone = all.get("gone").map_or(Some(false), Value::as_bool);
    match all.get("data") {
        Some(Value::Object(_)) => {}
        None if gone == Some(true) => {}
        _ => return None,
    }
    let mut all = std::mem::take(all);
    for done in ["rev", "by", "gone"] {
        all.remove(done);
    }
    let n = all.remove("n").map_or(Some(0), |n| n.as_u64());
    let at = all.remove("at").map_or(Some(0), |at| at.as_i64());
    *wrong = n.is_none() || at.is_none() || gone.is_none();
    let (n, at, gone) = (
        n.unwrap_or_default(),
        at.unwrap_or_default(),
        gone.unwrap_or_default(),
    );
    let mut seen = Vec::new();
    match all.remove("seen") {
        None => {}
        Some(Value::Array(list)) => {
            seen.extend(list.iter().filter_map(Key::from_json));
            *wrong |= seen.len() < list.len();
        }
        Some(_) => *wrong = true,
    }
    let data = match all.remove("data") {
        Some(Value::Object(data)) => data,
        _ => Data::new(),
    };
    Some(Version {
        key: Key { rev, by, n },
        seen,
        at,
        gone,
        data,
        extra: all,
    })
}

impl Key {
    /// The name as JSON: a list of its three parts.
    pub fn to_json(&self) -> Value {
        json!([self.rev, self.by, self.n])
    }

    /// Reads it; `None` when it is none.
    pub fn from_json(value: &Value) -> Option<Self> {
        Some(Self {
            rev: value.get(0)?.as_u64()?,
            by: value.get(1)?.as_str()?.to_owned(),
            n: value.get(2).and_then(Value::as_u64).unwrap_or(0),
        })
    }
}
