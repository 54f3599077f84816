//! The state of a console at one look.
//!
//! A count of days is only given where both its ends were written down. A
//! console that was repaired holds until the last day it was *seen* to work; what
//! came after that nobody knows, and it is not counted.

mod ended;

use crate::dates;
use crate::timeline::{cat, label, put};
use crate::view::Item;
use ended::{Ended, ended};

/// The state of a console.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// Its icon.
    pub icon: &'static str,
    /// Its state in a few words.
    pub words: String,
    /// How much it wants doing, 0 the most.
    pub rank: u8,
}

/// Stages that are not closed, the most urgent first, with their icons.
const OPEN: [(&str, &str); 5] = [
    ("open", "bench"),
    ("testing", "bench"),
    ("apart", "bench"),
    ("parts", "clock"),
    ("waiting", "info"),
];

const BACK: u8 = 0;
const DUE: u8 = 1;
const FIRST_OPEN: u8 = 2;
const REPAIRED: u8 = 8;
const NOT_REPAIRED: u8 = 9;
const NO_FAULT: u8 = 10;
const GIVEN_UP: u8 = 11;
const NO_JOB: u8 = 12;

/// The state of a console with these jobs. Deleted records do not count, and
/// follow-ups count for the job they name. `today` is a day.
pub fn look(jobs: &[&Item], follow_ups: &[&Item], today: &str) -> Look {
    look_on(jobs, follow_ups, Days { today, near: today })
}

/// The day the state is told for.
#[derive(Clone, Copy)]
pub(crate) struct Days<'a> {
    /// Today.
    pub today: &'a str,
    /// Days of the same year as this one are written without a year.
    pub near: &'a str,
}

impl Days<'_> {
    #[inline(never)]
    fn words(self, day: &str) -> String {
        dates::words(day, self.near)
    }
}

pub(crate) fn look_on(jobs: &[&Item], follow_ups: &[&Item], today: Days) -> Look {
    let mut open: Option<Look> = None;
    let mut more: usize = 0;
    let mut closed: Vec<Ended> = Vec::new();
    for job in jobs.iter().filter(|j| !j.view.gone) {
        if is_closed(job) {
            closed.push(ended(job, follow_ups, today));
            continue;
        }
        let own = at_work(job, today);
        match &open {
            Some(first) => {
                more += 1;
                if own.rank < first.rank {
                    open = Some(own);
                }
            }
            None => open = Some(own),
        }
    }
    if let Some(mut look) = open {
        if more > 0 {
            let jobs = if more == 1 { " job" } else { " jobs" };
            put(&mut look.words, &[", +", &more.to_string(), jobs]);
        }
        return look;
    }
    last(closed, today).unwrap_or(Look {
        icon: "console",
        words: "No job yet".to_owned(),
        rank: NO_JOB,
    })
}

/// Whether a job is done with: it says so, or has a closing day and outcome and
/// says nothing of its stage.
fn is_closed(job: &Item) -> bool {
    match job.text("stage") {
        "closed" => true,
        "" => !job.text("outcome").is_empty(),
        _ => false,
    }
}

fn at_work(job: &Item, today: Days) -> Look {
    let stage = job.text("stage");
    let place = OPEN.iter().position(|(s, _)| *s == stage);
    let (rank, icon) = match place.and_then(|p| Some((u8::try_from(p).ok()?, OPEN.get(p)?))) {
        Some((place, (_, icon))) => (FIRST_OPEN + place, *icon),
        // A newer app's stage, or none.
        None => (FIRST_OPEN, "bench"),
    };
    let mut words = match label(job, "stage") {
        "" => "Job open".to_owned(),
        stage => stage.to_owned(),
    };
    let begun = job.text("day");
    if let Some(days) = dates::between(begun, today.today) {
        put(&mut words, &[", begun ", &ago(days, begun, today)]);
    }
    Look { icon, words, rank }
}

/// `today`, `yesterday`, `5 days ago`. A day that is still to come, as after a
/// clock was set back, is named instead.
fn ago(days: i64, day: &str, today: Days) -> String {
    match days {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        2.. => cat(&[&count(days), " ago"]),
        _ => today.words(day),
    }
}

#[inline(never)]
fn count(days: i64) -> String {
    cat(&[&days.to_string(), if days == 1 { " day" } else { " days" }])
}

/// The state of a console whose jobs are all closed.
fn last(closed: Vec<Ended>, today: Days) -> Option<Look> {
    let mut newest = closed.first()?.key();
    for end in &closed {
        newest = newest.max(end.key());
    }
    let mut due: Option<i64> = None;
    let mut back: Option<&Ended> = None;
    for end in &closed {
        if let Some(day) = end.due {
            due = Some(due.map_or(day, |d: i64| d.min(day)));
        }
        // A fault seen before the last job was closed is that job's matter.
        let own = end.key() == newest;
        if end
            .back
            .is_some_and(|day| own || (day > newest.0 && day != i64::MAX))
        {
            back = Some(end);
        }
    }
    if let Some(end) = back {
        return Some(end.look.clone());
    }
    let mut look = closed.into_iter().find(|e| e.key() == newest)?.look;
    let late = due.and_then(|d| dates::number(today.today)?.checked_sub(d));
    if let Some(late) = late.filter(|l| *l >= 0) {
        look.icon = "clock";
        look.rank = DUE;
        put(&mut look.words, &[". Look again "]);
        match late {
            0 => put(&mut look.words, &["is due today"]),
            1 => put(&mut look.words, &["was due yesterday"]),
            _ => put(&mut look.words, &["was due ", &count(late), " ago"]),
        }
    }
    Some(look)
}
