//! What is new since a reading, or since a day such as that of a repair.

use super::pulled::Pulled;
use super::told::many;
use super::types::{History, Lost};
use crate::dates;

/// What is new since some moment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Since {
    /// The last reading from before; without one, nothing tells what was in the
    /// log already.
    pub base: Option<usize>,
    /// The readings from after, oldest first.
    pub after: Vec<usize>,
    /// The events first seen in those, as places in [`History::events`]. Without
    /// a base, only those that the console's own clock puts after the day.
    pub events: Vec<usize>,
    /// How many of them are new in every way the readings can be laid over each
    /// other. Fewer than `events` where entries can't be told apart.
    pub sure: usize,
    /// How many may be new at most, as far as readings share entries; more than
    /// `events` where another overlap fitted better.
    pub most: usize,
    /// How many of them the console's own clock puts before the day.
    pub older_by_clock: usize,
    /// A reading is from the same day, and only the order of writing down says
    /// whether it was before or after.
    pub same_day: bool,
    /// All that in words.
    pub text: String,
}

impl History {
    /// What is new since a reading (its place in the list the history was made
    /// of).
    pub fn after_reading(&self, reading: usize) -> Since {
        let Some(at) = self.order.iter().position(|r| *r == reading) else {
            return Since {
                text: "That reading is not part of the history, so nothing can be compared with \
                       it."
                .to_owned(),
                ..Since::default()
            };
        };
        let mut since = self.behind(at);
        since.text = self.words(&since, "that reading");
        since
    }

    /// What is new since the reading before the newest.
    pub fn after_last(&self) -> Since {
        match self.order.len().checked_sub(2) {
            Some(at) => {
                let mut since = self.behind(at);
                since.text = self.words(&since, "the reading before");
                since
            }
            None => Since {
                text: "There is no reading to compare with.".to_owned(),
                ..Since::default()
            },
        }
    }

    /// What is new since a day, such as that of a repair. `readings` is the list
    /// the history was made of; `created` is when that repair was written down,
    /// milliseconds since 1970, and decides for readings of the same day.
    pub fn after_day(&self, readings: &[Pulled], day: &str, created: i64) -> Since {
        let Some(day) = dates::number(day) else {
            return Since {
                text: "Without a day nothing can be compared.".to_owned(),
                ..Since::default()
            };
        };
        let before: Vec<bool> = readings
            .iter()
            .map(|p| p.order_day() < day || p.order_day() == day && p.created < created)
            .collect();
        let from_before = |r: &usize| before.get(*r) == Some(&true);
        let first_after = self.order.iter().position(|r| !from_before(r));
        let first_after = first_after.unwrap_or(self.order.len());
        // By their entries readings may stand in another order than by their
        // days. What a reading from before shows is not new in any case, nor
        // what stands in front of it, if it is joined to the others.
        let mixed = self.order.iter().skip(first_after).any(from_before);
        let joined = |at: usize| {
            let join = at.checked_sub(1).and_then(|k| self.joins.get(k));
            at < first_after || join.is_some_and(|j| j.overlap > 0)
        };
        let base = (0..self.order.len())
            .rfind(|at| self.order.get(*at).is_some_and(from_before) && joined(*at));
        let day_of = |e: usize| {
            let (r, k) = self.events.get(e)?.at;
            let set = readings.get(r)?.entries.get(k)?.set_at()?;
            Some(set.div_euclid(86_400))
        };
        let mut since = match base {
            Some(at) => self.behind(at),
            None => Since {
                events: (0..self.events.len()).collect(),
                ..Since::default()
            },
        };
        since.after = self.order.clone();
        since.after.retain(|r| !from_before(r));
        let all = since.events.len();
        since.events.retain(|e| {
            let event = self.events.get(*e);
            event.is_some_and(|e| !e.readings.iter().any(from_before))
                && (since.base.is_some() || day_of(*e).is_some_and(|d| d > day))
        });
        since.sure = since.sure.min(since.events.len());
        since.most = since.most.saturating_sub(all - since.events.len());
        since.most = since.most.max(since.events.len());
        since.same_day = readings.iter().any(|p| p.order_day() == day);
        if since.base.is_some() {
            let older = |e: &&usize| day_of(**e).is_some_and(|d| d < day);
            since.older_by_clock = since.events.iter().filter(older).count();
        }
        since.text = if since.after.is_empty() {
            "No reading has been made since that day.".to_owned()
        } else if since.base.is_none() {
            "There is no reading from before that day, so what was in the log already can't be \
             told. By the console's own clock "
                .to_owned()
                + &many(
                    since.events.len() as u64,
                    "entry is from after it.",
                    "entries are from after it.",
                )
        } else {
            self.words(&since, "the last reading before that day")
        };
        if mixed {
            since.text += " By their entries the readings stand in another order than by their \
                           days, so this may be wrong.";
        }
        if since.older_by_clock > 0 {
            since.text += " By the console's own clock ";
            since.text += &many(since.older_by_clock as u64, "of them is", "of them are");
            since.text += " from before that day.";
        }
        if since.same_day {
            since.text += " A reading is from the same day; whether it was before or after is \
                           taken from the order in which the two were written down.";
        }
        since
    }

    /// What stands behind one of `order`.
    fn behind(&self, at: usize) -> Since {
        let end = self.ends.get(at).copied().unwrap_or_default();
        let first = self.events.partition_point(|e| (e.run, e.place) <= end);
        let joins = self.joins.get(at..).unwrap_or(&[]);
        let events: Vec<usize> = (first..self.events.len()).collect();
        let (mut maybe, mut more) = (0, 0);
        for join in joins {
            if let (Some(taken), Some(least), Some(most)) =
                (join.taken, join.possible.first(), join.possible.last())
            {
                maybe += taken.saturating_sub(*least);
                more += most.saturating_sub(taken);
            }
        }
        let count = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        Since {
            base: self.order.get(at).copied(),
            after: self.order.get(at + 1..).unwrap_or(&[]).to_vec(),
            sure: events.len().saturating_sub(count(maybe)),
            most: events.len().saturating_add(count(more)),
            events,
            ..Since::default()
        }
    }

    fn words(&self, since: &Since, what: &str) -> String {
        let n = since.events.len();
        if since.after.is_empty() {
            return "No reading has been made since ".to_owned() + what + ".";
        }
        let mut out = if n == 0 {
            "Nothing new since ".to_owned()
        } else {
            many(n as u64, "new entry since ", "new entries since ")
        };
        out += what;
        out += ".";
        if since.sure < n || since.most > n {
            out += " For certain ";
            out += &many(since.sure as u64, "is", "are");
            out += " new, and ";
            out += &since.most.to_string();
            out += " may be; entries that look the same can't be told apart.";
        }
        let base = since
            .base
            .and_then(|b| self.order.iter().position(|r| *r == b));
        let joins = self.joins.get(base.unwrap_or(0)..).unwrap_or(&[]);
        if joins
            .iter()
            .any(|j| j.lost != Lost::None || j.or_more.is_some())
        {
            out += " More may have been written that no reading shows.";
        }
        out
    }
}
