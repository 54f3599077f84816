//! A closed job, and what was seen of it since.

use super::{BACK, Days, GIVEN_UP, Look, NO_FAULT, NOT_REPAIRED, REPAIRED, count};
use crate::dates;
use crate::timeline::{label, put};
use crate::view::Item;

/// A closed job.
pub(super) struct Ended {
    /// Its state.
    pub look: Look,
    /// The day it was closed, as a number; the day it was written if unknown.
    pub closed: i64,
    /// When it was written, milliseconds since 1970.
    pub created: i64,
    /// The fault or another was seen later: on this day, if that is known.
    pub back: Option<i64>,
    /// The first day to look again that nobody kept.
    pub due: Option<i64>,
}

impl Ended {
    /// The order of closed jobs.
    pub fn key(&self) -> (i64, i64) {
        (self.closed, self.created)
    }
}

pub(super) fn ended(job: &Item, follow_ups: &[&Item], today: Days) -> Ended {
    let closed = job.text("closed");
    let written = job.created.div_euclid(86_400_000);
    let closed_number = dates::number(closed).unwrap_or(written);
    let outcome = job.text("outcome");
    let mut end = Ended {
        look: Look {
            icon: "check",
            words: match label(job, "outcome") {
                "" => "Closed without an outcome".to_owned(),
                outcome => outcome.to_owned(),
            },
            rank: match outcome {
                "repaired" | "partly" => REPAIRED,
                "given-up" => GIVEN_UP,
                "no-fault" => NO_FAULT,
                _ => NOT_REPAIRED,
            },
        },
        closed: closed_number,
        created: job.created,
        back: None,
        due: None,
    };
    if matches!(outcome, "repaired" | "partly" | "no-fault") {
        later(&mut end, job, follow_ups, today);
        return end;
    }
    end.look.icon = "bad";
    if outcome != "given-up" && dates::number(closed).is_some() {
        put(&mut end.look.words, &[", closed ", &today.words(closed)]);
    }
    end
}

/// What later looks at a job showed.
fn later(end: &mut Ended, job: &Item, follow_ups: &[&Item], today: Days) {
    let closed = job.text("closed");
    // The last look that says something.
    let mut seen: Option<&Item> = None;
    let mut lost = false;
    let mut last_look: Option<i64> = None;
    let own = || {
        follow_ups
            .iter()
            .filter(|f| !f.view.gone && f.text("job") == job.id)
    };
    for &item in own() {
        let found = item.text("found");
        last_look = last_look.max(dates::number(item.text("done")));
        lost |= found == "unknown";
        // What was seen before the job was closed led to that closing: the job was
        // opened again meanwhile.
        let early = dates::between(closed, item.text("done")).is_some_and(|d| d < 0);
        if !early
            && matches!(found, "holds" | "same-fault" | "other-fault")
            && seen.is_none_or(|s| moment(s) <= moment(item))
        {
            seen = Some(item);
        }
    }
    let found = seen.map_or("", |s| s.text("found"));
    let done = seen.map_or("", |s| s.text("done"));
    let days = dates::between(closed, done);
    if matches!(found, "same-fault" | "other-fault") {
        let same = found == "same-fault";
        end.back = Some(dates::number(done).unwrap_or(i64::MAX));
        end.look = Look {
            icon: "bad",
            words: if same {
                "Back: the same fault"
            } else {
                "Back: another fault"
            }
            .to_owned(),
            rank: BACK,
        };
        if let Some(days) = days {
            put(&mut end.look.words, &[" after ", &count(days)]);
        } else if dates::number(done).is_some() {
            put(&mut end.look.words, &[" on ", &today.words(done)]);
        }
        return;
    }
    let words = &mut end.look.words;
    let known = dates::number(closed).is_some();
    let on = today.words(closed);
    let whole = job.text("outcome") == "repaired";
    if let Some(days) = days.filter(|_| found == "holds" && done == today.today) {
        if whole {
            words.clear();
            put(words, &["Holding"]);
        } else {
            put(words, &[", holding"]);
        }
        put(words, &[" since ", &on, ", ", &count(days)]);
    } else {
        if known {
            put(words, &[if whole { " " } else { ", closed " }, &on]);
        }
        if found != "holds" {
            if dates::between(closed, today.today).is_some_and(|d| d > 0) {
                put(words, &[", not looked at since"]);
            }
        } else if dates::number(done).is_some() {
            put(words, &[". Last seen working ", &today.words(done)]);
            if let Some(days) = days {
                put(words, &[" (", &count(days), ")"]);
            }
        } else {
            put(words, &[". Seen working later, on a day not written down"]);
        }
    }
    if lost {
        put(words, &[". Can't be told any more"]);
        return;
    }
    for item in own() {
        let kept = !item.text("done").is_empty() || !item.text("found").is_empty();
        if let Some(day) = dates::number(item.text("day"))
            && !kept
            && last_look.is_none_or(|l| l < day)
        {
            end.due = Some(end.due.map_or(day, |d| d.min(day)));
        }
    }
}

/// The order of looks: by the day, the later written last. A look without a day
/// was made on the day it was last changed, or before.
fn moment(item: &Item) -> (i64, i64, &str) {
    (
        dates::number(item.text("done")).unwrap_or(item.changed.div_euclid(86_400_000)),
        item.created,
        &item.id,
    )
}
