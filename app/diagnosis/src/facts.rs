//! From the records of a job to findings: what was noticed, how surely, and why
//! it counts as it does.

use crate::key::Key;
use crate::log::{self, Entry};
use crate::meter::{self, Limits};
use crate::model::strength;
use codebook::model::{BenchCheck, CheckResult, CodeBook};
use notebook::Item;
use notebook::measure::{LEADS_UNKNOWN, Typing};
use serde_json::Value;
use std::collections::BTreeMap;

/// A symptom that a person reports is there this surely: people mistake one for
/// another. Common practice, no source.
const TOLD: f64 = 0.9;
/// The same for a result that was chosen at the bench.
pub const CHOSEN: f64 = 0.97;
/// A finding that is so probable can be there or not.
pub const UNCLEAR: std::ops::Range<f64> = 0.1..0.9;
/// Less than this for a finding counts as plainly not there.
const NOT: f64 = 0.011;

/// Something noticed.
#[derive(Clone, Debug, PartialEq)]
pub struct Noticed {
    /// What.
    pub key: Key,
    /// How well what was observed agrees with it being there.
    pub if_there: f64,
    /// How well it agrees with it not being there.
    pub if_not: f64,
    /// How many of the repairs (see [`Facts::repairs`]) had been made before. It
    /// does not show what those removed.
    pub after: usize,
    /// Why it counts as it does.
    pub why: String,
    /// The record that says so; empty for what a person only tries out.
    pub record: String,
}

/// What a job says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// What was noticed, in the order log, symptoms, checks.
    pub noticed: Vec<Noticed>,
    /// Codes of the log that no cause of the book is linked to, and steps that
    /// add nothing: each with the reason why it does not count.
    pub silent: Vec<(String, String)>,
    /// Measured values that can't be read: the text, what is wrong, the record.
    pub unread: Vec<(String, String, String)>,
    /// Repairs of the book that were made and did not bring the console back, in
    /// their order.
    pub repairs: Vec<String>,
    /// Checks that were done, by id.
    pub done: Vec<String>,
    /// Where power-up stops by the log, as a place in the book's `steps`.
    pub stop: Option<usize>,
}

/// The log of a job: the record it came from and its entries, newest first.
#[derive(Clone, Debug, Default)]
pub struct Log {
    /// The record.
    pub record: String,
    /// Its entries, newest first.
    pub entries: Vec<Entry>,
    /// Whether their order is known.
    pub ordered: bool,
    /// Marks of entries that an earlier job of the console already had.
    pub earlier: Vec<String>,
    /// What earlier logs of the same job already had.
    pub before: Before,
}

/// What the earlier logs of a job had.
#[derive(Clone, Debug, Default)]
pub struct Before {
    /// Their records, oldest first.
    records: Vec<String>,
    /// The first of them that had an entry with this mark, or with this code.
    marks: BTreeMap<String, usize>,
    codes: BTreeMap<String, usize>,
    /// Mark and code of the newest entry of the first one, if its order is known.
    newest: Option<(String, String)>,
}

impl Before {
    /// Takes in the next log: its record and its entries, newest first.
    pub fn take_in(&mut self, record: &str, entries: &[Entry], ordered: bool) {
        let place = self.records.len();
        self.records.push(record.to_owned());
        for one in entries {
            self.codes.entry(one.code.clone()).or_insert(place);
            if !one.mark.is_empty() {
                self.marks.entry(one.mark.clone()).or_insert(place);
            }
        }
        if place == 0 && ordered {
            let newest = entries.first();
            self.newest = newest.map(|e| (e.mark.clone(), e.code.clone()));
        }
    }
}

impl Log {
    /// The record of the log that tells when the entry at this place was written:
    /// the first one that has it. Of a job's first log only the newest entry is
    /// surely of the last try; all others may be older than any repair, and so is
    /// what a closed job had: no record then. An entry that can't be told from
    /// others (no time, no number) is known by its code, unless it is the newest of
    /// all: that one the console wrote when it was tried last.
    fn first_with(&self, place: usize) -> &str {
        let Some(entry) = self.entries.get(place) else {
            return "";
        };
        let newest = self.ordered && place == 0;
        let marked = !entry.mark.is_empty();
        if marked && self.earlier.contains(&entry.mark) {
            return "";
        }
        let before = &self.before;
        let found = match marked {
            true => before.marks.get(&entry.mark),
            false if newest => None,
            false => before.codes.get(&entry.code),
        };
        match found {
            Some(0) => {
                let was = before.newest.as_ref();
                let was = was.is_some_and(|(mark, code)| {
                    *mark == entry.mark && (marked || *code == entry.code)
                });
                before
                    .records
                    .first()
                    .filter(|_| was)
                    .map_or("", String::as_str)
            }
            Some(log) => before.records.get(*log).map_or("", String::as_str),
            None if newest || !before.records.is_empty() => &self.record,
            None => "",
        }
    }

    /// The same for the newest entry with this code.
    fn first_with_code(&self, code: &str) -> &str {
        let place = self.entries.iter().position(|e| e.code == code);
        place.map_or("", |at| self.first_with(at))
    }
}

/// Which repairs had been made when a record was written: those that stand
/// before it.
struct Repaired<'i> {
    /// Each repair with the place of its record.
    at: Vec<(usize, &'i str)>,
    /// The records, oldest first.
    items: &'i [&'i Item],
}

impl<'i> Repaired<'i> {
    fn new(book: &CodeBook, items: &'i [&'i Item]) -> Self {
        let mut at: Vec<(usize, &str)> = Vec::new();
        for (place, item) in items.iter().enumerate() {
            let (id, own) = (item.text("repair"), item.text("book"));
            let known = item.kind == "repair" && book.repairs.iter().any(|r| r.id == id);
            let twice = at.iter().any(|(_, r)| *r == id);
            if known && !twice && (own.is_empty() || own == book.id) {
                at.push((place, id));
            }
        }
        Self { at, items }
    }

    /// How many had been made before this record; for one that is not among the
    /// records, none.
    fn before(&self, record: &str) -> usize {
        let place = self.items.iter().position(|i| i.id == record);
        let earlier = self.at.iter().filter(|(at, _)| Some(*at) < place);
        earlier.count()
    }
}

/// Gathers what a job says. `items` are its records, oldest first; of several
/// logs the newest is given.
pub fn of_job(book: &CodeBook, board: &str, items: &[&Item], log: Option<&Log>) -> Facts {
    let repaired = Repaired::new(book, items);
    let mut out = Facts {
        repairs: repaired.at.iter().map(|(_, id)| (*id).to_owned()).collect(),
        ..Facts::default()
    };
    if let Some(log) = log {
        from_log(book, log, &repaired, &mut out);
    }
    for item in items {
        match item.kind.as_str() {
            "symptom" => symptoms(book, item, &mut out),
            "check" => chosen(book, item, &mut out),
            "measurement" => measured(book, board, item, &mut out),
            _ => {}
        }
    }
    for one in &mut out.noticed {
        // The log tells it of its own entries.
        if log.is_none_or(|l| l.record != one.record) {
            one.after = repaired.before(&one.record);
        }
        if one.after > 0 {
            one.why += AFTER_REPAIR;
        }
    }
    out
}

/// Said of what was noticed after a repair.
const AFTER_REPAIR: &str =
    " Noticed after a repair that did not help, so it shows only what is still broken.";

fn from_log(book: &CodeBook, log: &Log, repaired: &Repaired, out: &mut Facts) {
    let newest_after = repaired.before(log.first_with(0));
    let linked = |key: &Key| book.causes.iter().any(|c| strength(book, c, key).is_some());
    let codes = crate::model::codes(book);
    let mut newest_known = false;
    for one in log::weigh(book, &log.entries, log.ordered, &log.earlier) {
        let newest = log.ordered && log.entries.first().is_some_and(|e| e.code == one.code);
        let key = Key::Code(one.code.clone());
        if !linked(&key) {
            let why = "No cause in the book is linked to it.".to_owned();
            out.silent.push((key.text(), why));
            continue;
        }
        newest_known |= newest;
        out.noticed.push(Noticed {
            key,
            if_there: 1.0,
            if_not: log::remnant(one.weight, codes),
            after: repaired.before(log.first_with_code(&one.code)),
            why: belongs(&one),
            record: log.record.clone(),
        });
    }
    if !log.ordered {
        return;
    }
    let Some((step, passed)) = log::stop(&log.entries, book) else {
        return;
    };
    out.stop = book.steps.iter().position(|s| s.id == step);
    let stop = Key::Step(step.to_owned());
    if newest_known {
        let why = "The code of the newest entry already says so; counted once.".to_owned();
        out.silent.push((stop.text(), why));
    } else if linked(&stop) {
        out.noticed.push(Noticed {
            key: stop,
            if_there: 1.0,
            if_not: log::remnant(log::MOST, book.steps.len()),
            after: newest_after,
            why: "The newest entry was written at this step.".to_owned(),
            record: log.record.clone(),
        });
    }
    for step in passed {
        let key = Key::Step(step.to_owned());
        if linked(&key) {
            out.noticed.push(Noticed {
                key,
                if_there: 0.0,
                if_not: 1.0,
                after: newest_after,
                why: "The newest entry was written later on, so power-up got past it.".to_owned(),
                record: log.record.clone(),
            });
        }
    }
}

fn belongs(one: &log::Weighed) -> String {
    let share = crate::plain::percent(one.weight);
    let text = " Counts as part of this fault with ";
    [one.why.as_str(), text, &share, "."].concat()
}

fn symptoms(book: &CodeBook, item: &Item, out: &mut Facts) {
    for (field, there) in [("symptoms", true), ("absent", false)] {
        let list = item.view.data.get(field).and_then(Value::as_array);
        for id in list.into_iter().flatten().filter_map(Value::as_str) {
            if !book.symptoms.iter().any(|s| s.id == id) {
                continue;
            }
            let why = if there {
                "Noted as seen or heard."
            } else {
                "Noted as looked for and not there."
            };
            let (if_there, if_not) = if there { (1.0, 1.0 - TOLD) } else { (0.0, 1.0) };
            put(
                out,
                Noticed {
                    key: Key::Symptom(id.to_owned()),
                    if_there,
                    if_not,
                    after: 0,
                    why: why.to_owned(),
                    record: item.id.clone(),
                },
            );
        }
    }
}

/// A later record about the same thing stands in place of an earlier one.
fn put(out: &mut Facts, one: Noticed) {
    out.noticed.retain(|n| n.key != one.key);
    out.noticed.push(one);
}

fn check_of<'b>(book: &'b CodeBook, item: &Item) -> Option<&'b BenchCheck> {
    let own = item.text("book");
    if !own.is_empty() && own != book.id {
        return None;
    }
    let id = item.text("check");
    book.checks.iter().find(|c| c.id == id)
}

/// A check whose result a person chose. Results before it in the book's list
/// did not come.
fn chosen(book: &CodeBook, item: &Item, out: &mut Facts) {
    let Some(check) = check_of(book, item) else {
        return;
    };
    let answer = item.text("answer");
    let Some(at) = check.results.iter().position(|r| r.id == answer) else {
        return;
    };
    enter(out, check, at, (1.0, 1.0 - CHOSEN), &item.id);
}

/// Puts a result of a check in, with its two likelihoods. Results before it did
/// not come.
fn enter(out: &mut Facts, check: &BenchCheck, at: usize, likely: (f64, f64), record: &str) {
    clear(out, check);
    out.done.push(check.id.clone());
    for (i, result) in check.results.iter().enumerate().take(at + 1) {
        // The last one is what is left when none of the others came.
        if i + 1 == check.results.len() {
            break;
        }
        let there = i == at;
        let (if_there, if_not) = if there { likely } else { (0.0, 1.0) };
        out.noticed.push(Noticed {
            key: Key::Check(check.id.clone(), result.id.clone()),
            if_there,
            if_not,
            after: out.repairs.len(),
            why: if there {
                "Chosen as the result of this check.".to_owned()
            } else {
                "The check gave another result.".to_owned()
            },
            record: record.to_owned(),
        });
    }
}

/// How the record of a result will count: chosen by a person, or measured
/// clearly outside.
pub(crate) fn likely(result: &CheckResult) -> (f64, f64) {
    if result.when.is_empty() {
        (1.0, 1.0 - CHOSEN)
    } else {
        (1.0 - meter::SLIP, meter::SLIP)
    }
}

/// The facts as they will be when this check gives the result at this place.
pub fn with_result(facts: &Facts, check: &BenchCheck, at: usize) -> Facts {
    let mut out = facts.clone();
    if let Some(result) = check.results.get(at) {
        enter(&mut out, check, at, likely(result), "");
    }
    out
}

/// A check done again: what it said before no longer counts.
fn clear(out: &mut Facts, check: &BenchCheck) {
    out.noticed
        .retain(|n| !matches!(&n.key, Key::Check(c, _) if *c == check.id));
    out.done.retain(|c| *c != check.id);
}

fn measured(book: &CodeBook, board: &str, item: &Item, out: &mut Facts) {
    let Some(check) = check_of(book, item) else {
        return;
    };
    let Some((_, limits)) = window(check, board) else {
        if check.measure.is_some() {
            let why = "What a good board reads depends on the board, which is not chosen.";
            out.silent.push((check.title.clone(), why.to_owned()));
        }
        return;
    };
    let quantity = check.measure.as_ref().map_or("", |m| m.quantity.as_str());
    let typed = Typing {
        quantity,
        ..Typing::of(|field| item.text(field))
    };
    match by_value(check, typed, limits) {
        Ok(list) if list.is_empty() => {}
        Ok(list) => {
            clear(out, check);
            // One that can be either tells nothing: the check is still to be done.
            if list.iter().any(|(_, p)| !UNCLEAR.contains(p)) {
                out.done.push(check.id.clone());
            }
            for (result, p) in list {
                let plain = p < NOT;
                out.noticed.push(Noticed {
                    key: Key::Check(check.id.clone(), result),
                    if_there: if plain { 0.0 } else { p },
                    if_not: 1.0 - p,
                    after: 0,
                    why: said(typed, p),
                    record: item.id.clone(),
                });
            }
        }
        Err(problem) => {
            let text = item.text("value").to_owned();
            out.unread.push((text, problem, item.id.clone()));
        }
    }
}

/// For each result that follows from the value, how probable it is.
pub fn by_value(
    check: &BenchCheck,
    typed: Typing,
    limits: Limits,
) -> Result<Vec<(String, f64)>, String> {
    let outside = meter::outside(typed, limits)?;
    let mut list = Vec::new();
    for result in check.results.iter().filter(|r| !r.shows.is_empty()) {
        let p = match result.when.as_str() {
            "below" => outside.below,
            "above" => outside.above,
            "outside" => (outside.below + outside.above).min(1.0 - meter::SLIP),
            _ => continue,
        };
        list.push((result.id.clone(), p.max(meter::SLIP)));
    }
    Ok(list)
}

fn said(typed: Typing, p: f64) -> String {
    let (percent, value) = (crate::plain::percent(p), typed.told());
    let mut text = [
        "Measured ",
        &value,
        ": ",
        &percent,
        " that the true value is there.",
    ]
    .concat();
    if typed.percent.is_empty() && typed.counts.is_empty() {
        text += " Without the meter's accuracy one step of its last digit is taken.";
    }
    if typed.quantity == "resistance" && typed.leads.trim().is_empty() {
        text += " ";
        text += LEADS_UNKNOWN;
    }
    text
}

/// Where to measure on this board, and the window. Nothing while the board is
/// not known and boards differ.
pub fn window(check: &BenchCheck, board: &str) -> Option<(String, Limits)> {
    let differ = check.measure.as_ref().is_some_and(|m| !m.boards.is_empty());
    (!board.is_empty() || !differ)
        .then(|| window_of(check, board))
        .flatten()
}

/// The same for a board by name; with an empty one what holds for all others.
pub fn window_of(check: &BenchCheck, board: &str) -> Option<(String, Limits)> {
    let measure = check.measure.as_ref()?;
    let own = measure.boards.get(board);
    let place = own.map(|w| w.place.as_str()).filter(|p| !p.is_empty());
    Some((
        place.unwrap_or(&measure.place).to_owned(),
        Limits {
            low: own.and_then(|w| w.low).or(measure.low),
            high: own.and_then(|w| w.high).or(measure.high),
        },
    ))
}
