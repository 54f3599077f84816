//! A checklist that somebody works through.
//!
//! It keeps the words as they were shown, so that a print in years says what was
//! read then, whatever the data says by that time. No clock is read here: the
//! time is passed in, in milliseconds since 1970, so timers run on by the clock
//! on the wall.

mod json;

use crate::compose::Checklist;
use crate::data::{Care, Timer};

/// A line of it: one step, with its words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// The step's id.
    pub id: String,
    /// What its phase is called.
    pub phase: String,
    /// What to do.
    pub text: String,
    /// Why.
    pub why: String,
    /// Where that is from.
    pub from: String,
    /// A hold point's words.
    pub hold: Option<String>,
    /// It is never skipped.
    pub firm: bool,
    /// A timer.
    pub timer: Option<Timer>,
}

/// How a step stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Mark {
    /// Nothing was said of it.
    #[default]
    Open,
    /// Done, at this time.
    Done(i64),
    /// Skipped at this time, and why.
    Skipped(i64, String),
}

impl Mark {
    /// Whether nothing was said of it.
    pub fn is_open(&self) -> bool {
        *self == Self::Open
    }

    /// When it was marked.
    pub fn at_ms(&self) -> Option<i64> {
        match self {
            Self::Open => None,
            Self::Done(at) | Self::Skipped(at, _) => Some(*at),
        }
    }
}

/// How many steps stand how.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Steps done.
    pub done: usize,
    /// Steps skipped.
    pub skipped: usize,
    /// Steps open.
    pub open: usize,
    /// Hold points among the open ones.
    pub holds_open: usize,
}

/// A checklist under way or ended.
///
/// All lists beside `list` are as long as it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Run {
    /// The version of the data it was made from.
    pub version: u32,
    /// The kinds of work.
    pub works: Vec<String>,
    /// What the job involves.
    pub tags: Vec<String>,
    /// The steps.
    pub list: Vec<Line>,
    /// How each stands.
    pub marks: Vec<Mark>,
    /// A note on each; may be empty.
    pub notes: Vec<String>,
    /// Photos of each: ids of records.
    pub photos: Vec<Vec<String>>,
    /// When the timer of each ends, if it was started.
    pub timers: Vec<Option<i64>>,
    /// The step that is shown.
    pub at: usize,
    /// When it was begun.
    pub started: i64,
    /// When it was ended, in full or in part.
    pub ended: Option<i64>,
    /// Goes up with each change.
    pub turn: u32,
}

impl Run {
    /// Begins a checklist.
    pub fn start(care: &Care, checklist: &Checklist, now_ms: i64) -> Self {
        let steps = checklist.steps.iter();
        let list: Vec<Line> = steps
            .filter_map(|n| care.steps.get(*n))
            .map(|step| {
                let phase = care.phases.get(step.phase);
                Line {
                    id: step.id.clone(),
                    phase: phase.map(|p| p.name.clone()).unwrap_or_default(),
                    text: step.text.clone(),
                    why: step.why.clone(),
                    from: care.sources_line(&step.from),
                    hold: step.hold.clone(),
                    firm: step.firm,
                    timer: step.timer.clone(),
                }
            })
            .collect();
        let mut run = Self {
            version: care.version,
            works: checklist.works.clone(),
            tags: checklist.tags.clone(),
            list,
            started: now_ms,
            turn: 1,
            ..Self::default()
        };
        run.even_out();
        run
    }

    /// Makes all lists as long as that of the steps, and the place one of them.
    fn even_out(&mut self) {
        let n = self.list.len();
        self.marks.resize(n, Mark::Open);
        self.notes.resize(n, String::new());
        self.photos.resize(n, Vec::new());
        self.timers.resize(n, None);
        self.at = self.at.min(n.saturating_sub(1));
    }

    fn changed(&mut self) {
        self.turn = self.turn.saturating_add(1);
    }

    /// How the step at this place stands. One that is not there is open.
    pub fn mark(&self, at: usize) -> Mark {
        self.marks.get(at).cloned().unwrap_or_default()
    }

    /// Why the step at this place was skipped, if it was.
    pub fn skipped(&self, at: usize) -> Option<&str> {
        match self.marks.get(at) {
            Some(Mark::Skipped(_, why)) => Some(why),
            _ => None,
        }
    }

    /// Whether the step shown is a hold point that nobody confirmed yet.
    pub fn holds(&self) -> bool {
        let hold = self.list.get(self.at).is_some_and(|l| l.hold.is_some());
        hold && !matches!(self.mark(self.at), Mark::Done(_))
    }

    /// The first hold point before the step shown that is never skipped and not
    /// done yet. Nothing behind it is marked, whichever way one came there.
    pub fn barrier(&self) -> Option<usize> {
        let before = self.list.iter().zip(&self.marks).take(self.at);
        let open = |(line, mark): (&Line, &Mark)| line.firm && !matches!(mark, Mark::Done(_));
        before.into_iter().position(open)
    }

    fn put(&mut self, mark: Mark) {
        if let Some(place) = self.marks.get_mut(self.at) {
            *place = mark;
            self.next();
        }
        self.changed();
    }

    /// To the next open step; where none follows, to the first open one; where
    /// none is left, to the last.
    fn next(&mut self) {
        let open = |(n, mark): (usize, &Mark)| mark.is_open().then_some(n);
        let all = || self.marks.iter().enumerate();
        let after = all().skip(self.at.saturating_add(1)).find_map(open);
        let last = self.list.len().saturating_sub(1);
        self.at = after.or_else(|| all().find_map(open)).unwrap_or(last);
    }

    /// The step shown is done, and the next open one is shown. A hold point
    /// stays as it is: that takes [`Run::confirm`]. A step that is marked
    /// already keeps its mark.
    pub fn done(&mut self, now_ms: i64) {
        if self.holds() || self.barrier().is_some() {
            return;
        }
        match self.mark(self.at) {
            Mark::Done(_) => self.forward(),
            _ => self.put(Mark::Done(now_ms)),
        }
    }

    /// The hold point shown holds.
    pub fn confirm(&mut self, now_ms: i64) {
        let hold = self.list.get(self.at).is_some_and(|l| l.hold.is_some());
        if hold && matches!(self.mark(self.at), Mark::Done(_)) {
            self.forward();
        } else if hold && self.barrier().is_none() {
            self.put(Mark::Done(now_ms));
        }
    }

    /// The step shown is skipped.
    ///
    /// # Errors
    /// Without a reason, for a hold point that is never skipped, and behind one
    /// of those that is open. Nothing is changed then.
    pub fn skip(&mut self, why: &str, now_ms: i64) -> Result<(), &'static str> {
        let why = why.trim();
        if why.is_empty() {
            return Err("A skipped step wants a reason.");
        }
        if self.list.get(self.at).is_some_and(|l| l.firm) {
            return Err("This one is never skipped.");
        }
        if matches!(self.mark(self.at), Mark::Done(_)) {
            return Err("This one is done already.");
        }
        if self.barrier().is_some() {
            return Err("A hold point before this one is open.");
        }
        self.put(Mark::Skipped(now_ms, why.to_owned()));
        Ok(())
    }

    /// Shows the next open step. Marks stay.
    pub fn forward(&mut self) {
        self.next();
        self.changed();
    }

    /// Shows the step before. Marks stay.
    pub fn back(&mut self) {
        self.go(self.at.saturating_sub(1));
    }

    /// Shows the step at this place, or the last one.
    pub fn go(&mut self, at: usize) {
        self.at = at.min(self.list.len().saturating_sub(1));
        self.changed();
    }

    /// Puts a note on a step.
    pub fn note(&mut self, at: usize, text: &str) {
        if let Some(note) = self.notes.get_mut(at) {
            text.clone_into(note);
            self.changed();
        }
    }

    /// Adds a photo to a step.
    pub fn photo(&mut self, at: usize, id: &str) {
        if let Some(all) = self.photos.get_mut(at)
            && !all.iter().any(|known| known == id)
        {
            all.push(id.to_owned());
            self.changed();
        }
    }

    /// Starts the timer of a step, anew if it runs.
    pub fn start_timer(&mut self, at: usize, now_ms: i64) {
        let seconds = self.list.get(at).and_then(|l| l.timer.as_ref());
        let ms = seconds.map(|t| i64::from(t.seconds).saturating_mul(1000));
        if let (Some(ms), Some(place)) = (ms, self.timers.get_mut(at)) {
            *place = Some(now_ms.saturating_add(ms));
            self.changed();
        }
    }

    /// Stops the timer of a step.
    pub fn stop_timer(&mut self, at: usize) {
        if let Some(place) = self.timers.get_mut(at) {
            *place = None;
            self.changed();
        }
    }

    /// How long the timer of a step still runs, in milliseconds: zero when the
    /// time is up, `None` when it was not started.
    pub fn left_ms(&self, at: usize, now_ms: i64) -> Option<i64> {
        let ends = (*self.timers.get(at)?)?;
        let whole = self.list.get(at)?.timer.as_ref()?.seconds;
        let most = i64::from(whole).saturating_mul(1000);
        // A clock that was set back must not make it longer than it is.
        Some(ends.saturating_sub(now_ms).clamp(0, most))
    }

    /// How many steps stand how.
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for (line, mark) in self.list.iter().zip(&self.marks) {
            match mark {
                Mark::Done(_) => counts.done += 1,
                Mark::Skipped(..) => counts.skipped += 1,
                Mark::Open => {
                    counts.open += 1;
                    counts.holds_open += usize::from(line.hold.is_some());
                }
            }
        }
        counts
    }

    /// Whether somebody comes back after more than four hours in the middle of
    /// it. Who was away does not know what others plugged in meanwhile. (The four
    /// hours: our own choice.)
    pub fn was_away(&self, now_ms: i64) -> bool {
        const AWAY_MS: i64 = 4 * 3_600_000;
        let last = self.marks.iter().filter_map(Mark::at_ms).max();
        let some_open = self.marks.iter().any(Mark::is_open);
        some_open && last.is_some_and(|last| now_ms.saturating_sub(last) > AWAY_MS)
    }

    /// Ends it, in full or in part.
    pub fn end(&mut self, now_ms: i64) {
        self.ended = Some(now_ms);
        self.changed();
    }

    /// Goes on with an ended one.
    pub fn reopen(&mut self) {
        self.ended = None;
        self.changed();
    }
}
