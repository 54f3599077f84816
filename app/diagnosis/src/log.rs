//! What the fault log says about *this* fault: each code with a weight.
//!
//! A log holds old faults too. An entry counts less the more entries came after
//! it, the longer before the newest one it was written, when an earlier job
//! already had it, and when its code is a guess. Several entries with one code
//! add up. The figures are our choice; the screen shows how each weight came
//! about.

use codebook::model::CodeBook;
use notebook::Data;
use serde_json::Value;

/// What the newest entry counts.
const NEWEST: f64 = 0.9;
/// For each entry that came after it.
const LATER: f64 = 0.9;
/// After so many days an entry counts half.
const HALF_DAYS: f64 = 180.0;
/// An entry that an earlier job already had.
const EARLIER: f64 = 0.1;
/// An entry whose code is a guess that nothing confirms.
const GUESSED: f64 = 0.6;
/// A code written at a later step than the one where power-up stops now is from
/// a time when it still got further. It counts at most this much.
const GOT_FURTHER: f64 = 0.05;
/// No code counts more than this: the log may be of another fault.
pub const MOST: f64 = 0.97;
/// A code that counts less is left out.
const LEAST: f64 = 0.02;
/// How many entries are taken to have come after one whose place is not known.
const UNKNOWN_RANK: i32 = 4;
/// A counter in an entry counts as at most so many entries.
const REPEATS: u64 = 5;

/// One entry, as far as it matters here.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// The code.
    pub code: String,
    /// The step; empty when the log does not say.
    pub step: String,
    /// Seconds by a clock that was set.
    pub time: Option<i64>,
    /// How often it happened, by a counter in the entry.
    pub times: u64,
    /// Whether the code is a guess that nothing confirms.
    pub guessed: bool,
    /// Code, step, time and number together, to find it again in other readings;
    /// empty without time and number.
    pub mark: String,
}

/// A code and what it counts for the present fault.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The code.
    pub code: String,
    /// 0 to 1: how surely it belongs to this fault.
    pub weight: f64,
    /// How that came about, in one sentence.
    pub why: String,
}

/// How well a code that belongs to this fault with the probability `weight`
/// agrees with no cause having brought it about: it is then a remnant of
/// something else, and one of all the `codes` that might have been left. This
/// is the mixture weight * q + (1 - weight) / codes, where q is how often the
/// causes show the code, put as a ratio; it is 1 (no evidence) for weight 0.
pub fn remnant(weight: f64, codes: usize) -> f64 {
    let rest = (1.0 - weight) / codes.max(10) as f64;
    rest / (weight + rest)
}

/// The entries of a `reading` record, newest first, and whether their order is
/// known.
pub fn entries(record: &Data) -> (Vec<Entry>, bool) {
    let list = record.get("entries").and_then(Value::as_array);
    let mut out: Vec<Entry> = list.into_iter().flatten().filter_map(entry).collect();
    out.reverse();
    let known = record.get("order").and_then(Value::as_str) != Some("unknown");
    (out, known)
}

/// One entry as a record keeps it; nothing for a mark that some are missing.
fn entry(value: &Value) -> Option<Entry> {
    let text = |key: &str| value.get(key).and_then(Value::as_str).unwrap_or_default();
    if value.get("lost").is_some() {
        return None;
    }
    let number = |key: &str| value.get(key).and_then(Value::as_i64);
    let seq = number("seq").map(|n| n.to_string()).unwrap_or_default();
    let when = text("time");
    // Without a time or a number a new entry looks like an old one.
    let mark = if when.is_empty() && seq.is_empty() {
        String::new()
    } else {
        [text("code"), text("step"), when, &seq].join("|")
    };
    Some(Entry {
        code: text("code").to_owned(),
        step: text("step").to_owned(),
        time: number("utc").or_else(|| number("local")),
        times: value.get("count").and_then(Value::as_u64).unwrap_or(1),
        guessed: value.get("sure") == Some(&Value::Bool(false)),
        mark,
    })
}

/// Weighs the codes. `earlier` are marks of entries that an earlier job of this
/// console already had. With an unknown order (`known` false) each counts as if
/// some entries came after it.
pub fn weigh(book: &CodeBook, entries: &[Entry], known: bool, earlier: &[String]) -> Vec<Weighed> {
    let stop = entries.first().filter(|_| known);
    let stop = stop.and_then(|e| place(book, e));
    let newest = entries.iter().filter_map(|e| e.time).max();
    let mut out: Vec<(Weighed, Told)> = Vec::new();
    for (rank, entry) in entries
        .iter()
        .enumerate()
        .filter(|(_, e)| !e.code.is_empty())
    {
        let mut one = NEWEST
            * LATER.powi(if known {
                rank.min(200) as i32
            } else {
                UNKNOWN_RANK
            });
        let days = newest
            .zip(entry.time)
            .map(|(n, t)| (n as f64 - t as f64) / 86400.0);
        if let Some(days) = days {
            one *= 0.5_f64.powf(days.max(0.0) / HALF_DAYS);
        }
        let old = !entry.mark.is_empty() && earlier.contains(&entry.mark);
        if old {
            one *= EARLIER;
        }
        if entry.guessed {
            one *= GUESSED;
        }
        let times = entry.times.clamp(1, REPEATS) as i32;
        let at = out.iter().position(|(w, _)| w.code == entry.code);
        let at = at.unwrap_or_else(|| {
            let fresh = Weighed {
                code: entry.code.clone(),
                weight: 0.0,
                why: String::new(),
            };
            let told = Told {
                rank: known.then_some(rank),
                days,
                ..Told::default()
            };
            out.push((fresh, told));
            out.len() - 1
        });
        let further = stop.zip(place(book, entry)).is_some_and(|(s, p)| p > s);
        if let Some((weighed, told)) = out.get_mut(at) {
            weighed.weight = 1.0 - (1.0 - weighed.weight) * (1.0 - one).powi(times);
            told.seen += 1;
            told.times = told.times.saturating_add(entry.times.max(1));
            told.further |= further;
            told.old += usize::from(old);
            told.guessed += usize::from(entry.guessed);
        }
    }
    for (weighed, told) in &mut out {
        let most = if told.further { GOT_FURTHER } else { MOST };
        weighed.weight = weighed.weight.min(most);
        weighed.why = told.words();
    }
    let kept = out.into_iter().map(|(w, _)| w);
    kept.filter(|w| w.weight >= LEAST).collect()
}

#[derive(Default)]
struct Told {
    rank: Option<usize>,
    days: Option<f64>,
    seen: usize,
    old: usize,
    guessed: usize,
    times: u64,
    further: bool,
}

impl Told {
    fn words(&self) -> String {
        let mut text = match self.seen {
            1 => "In one entry".to_owned(),
            n => ["In ", &n.to_string(), " entries"].concat(),
        };
        text += &match self.rank {
            None => "; their order is not known".to_owned(),
            Some(0) => ", the newest one".to_owned(),
            Some(1) => ", one entry came after it".to_owned(),
            Some(n) => [", ", &n.to_string(), " entries came after the last of them"].concat(),
        };
        if let Some(days) = self.days.filter(|d| *d >= 1.0) {
            text += ", ";
            text += &(days.round() as i64).to_string();
            text += " days before the newest";
        }
        if self.times > self.seen as u64 {
            text += ", counted ";
            text += &self.times.to_string();
            text += " times";
        }
        if self.further {
            text += ", written when power-up still got further than now";
        }
        if self.old > 0 {
            text += ", already there in an earlier job";
        }
        if self.guessed > 0 {
            text += ", read by a guess";
        }
        text + "."
    }
}

/// The place of an entry's step in the order of power-up, by the log or, where
/// it does not say, by the book's code table.
fn place(book: &CodeBook, entry: &Entry) -> Option<usize> {
    let mut step = entry.step.as_str();
    if step.is_empty() {
        let fits = |c: &&codebook::model::CodeMeaning| codebook::fits(&c.code, &entry.code);
        let named = book.codes.iter().filter(fits).filter(|c| c.step.is_some());
        let row = named.min_by_key(|c| c.code.matches('?').count())?;
        step = row.step.as_deref()?;
    }
    book.steps.iter().position(|s| s.id == step)
}

/// Where power-up stopped in the newest entry, and the steps that it had passed
/// by then. `None` when the log or the book does not say.
pub fn stop<'b>(entries: &[Entry], book: &'b CodeBook) -> Option<(&'b str, Vec<&'b str>)> {
    let at = place(book, entries.first()?)?;
    let name = book.steps.get(at).map(|s| s.id.as_str())?;
    let passed = book.steps.iter().take(at).map(|s| s.id.as_str()).collect();
    Some((name, passed))
}
