//! A reading record, read back. Any JSON will do: what is not as expected is
//! left out, as records come from backups and other versions of the app too.

use crate::dates;
use crate::record::Data;
use crate::view::{Item, text};
use serde_json::Value;

/// More entries than any log has; the rest of a longer list is left out.
const MOST: usize = 20_000;

/// One entry of a kept reading. What the log does not say is empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// The code.
    pub code: String,
    /// The power-up step.
    pub step: String,
    /// The time as the log writes it.
    pub time: String,
    /// Seconds since 1970 by a clock that was set.
    pub utc: Option<i64>,
    /// The same in the owner's local time, as if it were UTC.
    pub local: Option<i64>,
    /// Seconds since the start, where the clock was not set.
    pub rel: Option<f64>,
    /// How the clock stood: `set`, `not set` or `absent`.
    pub clock: String,
    /// Running number.
    pub seq: Option<u64>,
    /// Place in the ring.
    pub slot: Option<u64>,
    /// How often.
    pub count: Option<u64>,
    /// Not sure: guessed, incomplete, or its check field does not fit.
    pub unsure: bool,
    /// How many entries between the one before and this can't be read or are
    /// left out of the paste.
    pub lost_before: u64,
}

impl Entry {
    /// Seconds since 1970 by a set clock, of local time as if it were UTC.
    pub fn set_at(&self) -> Option<i64> {
        self.utc.or(self.local)
    }
}

/// A kept reading, as far as the history needs it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pulled {
    /// The id of its record.
    pub id: String,
    /// The day the log was pulled, in days since 1970.
    pub day: Option<i64>,
    /// When the record was made, milliseconds since 1970.
    pub created: i64,
    /// The code book that read it.
    pub book: String,
    /// Places in the ring, if the book says.
    pub ring: Option<u64>,
    /// The running number starts again after this many values.
    pub modulus: Option<u64>,
    /// Nothing told which entry is the oldest.
    pub unordered: bool,
    /// The entries, oldest first.
    pub entries: Vec<Entry>,
    /// Entries behind the last one that can't be read.
    pub lost_after: u64,
    /// Lines that can't be read, each the newest entry or the oldest.
    pub loose: u64,
}

impl Pulled {
    /// The reading in a record.
    pub fn of(item: &Item) -> Self {
        Self::from_data(&item.id, item.created, &item.view.data)
    }

    /// The reading in a record's fields. `created` is in milliseconds since 1970.
    pub fn from_data(id: &str, created: i64, data: &Data) -> Self {
        let mut out = Self {
            id: id.to_owned(),
            day: dates::number(text(data, "day")),
            created,
            book: text(data, "book").to_owned(),
            ring: number(data, "ring").filter(|r| *r > 1),
            modulus: number(data, "modulus").filter(|m| *m > 1),
            unordered: text(data, "order") == "unknown",
            ..Self::default()
        };
        let list = data.get("entries").and_then(Value::as_array);
        let mut lost = 0_u64;
        for value in list.into_iter().flatten().take(MOST) {
            let Value::Object(map) = value else { continue };
            let unsure = map.get("sure") == Some(&Value::Bool(false));
            if let Some(n) = number(map, "lost") {
                let n = n.min(1 << 40);
                if unsure {
                    out.loose = (out.loose + n).min(99);
                } else {
                    lost += n;
                }
                continue;
            }
            out.entries.push(Entry {
                code: text(map, "code").to_owned(),
                step: text(map, "step").to_owned(),
                time: text(map, "time").to_owned(),
                utc: map.get("utc").and_then(Value::as_i64),
                local: map.get("local").and_then(Value::as_i64),
                rel: map.get("rel").and_then(Value::as_f64),
                clock: text(map, "clock").to_owned(),
                seq: number(map, "seq"),
                slot: number(map, "slot"),
                count: number(map, "count"),
                unsure,
                lost_before: lost,
            });
            lost = 0;
        }
        out.lost_after = lost;
        out
    }

    /// The day for putting readings in order: the day of pulling, else the day
    /// (in UTC) the record was made.
    pub fn order_day(&self) -> i64 {
        self.day.unwrap_or(self.created.div_euclid(86_400_000))
    }
}

fn number(data: &Data, name: &str) -> Option<u64> {
    data.get(name).and_then(Value::as_u64)
}
