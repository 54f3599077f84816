//! A reading as text to hand on: plain, or with BBCode for a forum.
//!
//! Pasted text goes into a report only after [`tame`]: no line ends, no control
//! characters, and in BBCode no opening bracket, so that nothing in it can pass
//! for a tag of ours.

use crate::explain::{
    CAUTION, CodeRow, Counts, Explained, GENERAL_NOT_PROOF, StepRow, field_text, many, when,
};
use crate::result::{Entry, Reading};

/// Entries listed at most; the newest ones.
const MOST_ENTRIES: usize = 200;
/// Unreadable lines listed at most.
const MOST_UNREADABLE: usize = 50;

/// The report as plain text.
#[must_use]
pub fn plain(reading: &Reading, explained: &Explained) -> String {
    Report {
        out: String::new(),
        bbcode: false,
    }
    .write(reading, explained)
}

/// The report with BBCode.
#[must_use]
pub fn bbcode(reading: &Reading, explained: &Explained) -> String {
    Report {
        out: String::new(),
        bbcode: true,
    }
    .write(reading, explained)
}

/// Text from a paste or a book made harmless: one line, nothing invisible, not
/// too long, and in BBCode no `[`.
fn tame(text: &str, bbcode: bool) -> String {
    let mut out = String::new();
    let mut chars = text.trim().chars();
    for c in chars.by_ref().take(400) {
        match c {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => out.push(' '),
            // A full-width bracket reads the same, to people and to this app.
            '[' if bbcode => out.push('［'),
            c if c.is_control() || crate::fold::is_zero_width(c) => {}
            c => out.push(c),
        }
    }
    if chars.next().is_some() {
        out.push('…');
    }
    out
}

struct Report {
    out: String,
    bbcode: bool,
}

impl Report {
    fn write(mut self, reading: &Reading, explained: &Explained) -> String {
        self.heading("Fault log reading");
        self.line(&capital(&explained.summary));
        self.about(reading, explained);
        self.entries(reading, explained);
        self.codes(&explained.codes);
        self.steps(&explained.steps);
        self.unreadable(reading);
        self.left_out(&explained.counts, reading);
        self.out.push('\n');
        self.line(CAUTION);
        self.out
    }

    /// Adds a line of our own words; what is not ours must be tamed before.
    fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn heading(&mut self, text: &str) {
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        if self.bbcode {
            self.line(&format!("[b]{text}[/b]"));
        } else {
            self.line(text);
            self.line(&"-".repeat(text.chars().count()));
        }
    }

    fn tag(&mut self, tag: &str) {
        if self.bbcode {
            self.line(tag);
        }
    }

    fn tame(&self, text: &str) -> String {
        tame(text, self.bbcode)
    }

    fn about(&mut self, reading: &Reading, explained: &Explained) {
        for book in &explained.books {
            let (name, version) = (self.tame(&book.name), self.tame(&book.version));
            let board = match &book.board {
                Some(board) => format!("meanings for board {}", self.tame(board)),
                None => "no board chosen, so meanings are the general ones".to_owned(),
            };
            self.line(&format!("Code book: {name} {version}, {board}."));
        }
        let shown: Vec<usize> = explained.timeline.iter().map(|t| t.console).collect();
        for console in reading
            .consoles
            .iter()
            .filter(|c| shown.contains(&c.number))
        {
            let whose = match (&console.name, reading.consoles.len()) {
                (Some(name), _) => format!("Console {} ({})", console.number, self.tame(name)),
                (None, 1) => "Order".to_owned(),
                (None, _) => format!("Console {}", console.number),
            };
            self.line(
                &match (console.order_from.as_str(), console.entries.len()) {
                    (_, 0 | 1) => continue,
                    ("", _) => {
                        format!("{whose}: not known which entry is older; listed as pasted.")
                    }
                    (from, _) => format!("{whose}: known from the {from}."),
                },
            );
        }
        if !explained.clock.is_empty() {
            self.line(&explained.clock);
        }
        for note in &reading.notes {
            let note = self.tame(note);
            self.line(&format!("Note: {note}"));
        }
    }

    fn entries(&mut self, reading: &Reading, explained: &Explained) {
        let all = &explained.timeline;
        if all.is_empty() {
            return;
        }
        self.heading("Entries, newest first");
        self.tag("[code]");
        let several = all
            .iter()
            .any(|t| Some(t.console) != all.first().map(|f| f.console));
        let mut console = 0;
        // Consoles in their order, each with its newest entry first.
        let mut points: Vec<_> = all.iter().collect();
        crate::sorted::sort_by_key(&mut points, |t| (t.console, std::cmp::Reverse(t.order)));
        for point in points.iter().take(MOST_ENTRIES) {
            let Some(entry) = reading.entries.get(point.entry) else {
                continue;
            };
            if several && console != point.console {
                console = point.console;
                self.line(&format!("console {console}"));
            }
            self.entry(entry);
        }
        if let Some(more) = points.len().checked_sub(MOST_ENTRIES).filter(|n| *n > 0) {
            self.line(&format!("... and {more} more, not listed here"));
        }
        self.tag("[/code]");
    }

    fn entry(&mut self, entry: &Entry) {
        let mut words: Vec<String> = Vec::new();
        for name in ["slot", "seq", "step", "code"] {
            if let Some(text) = field_text(entry, name) {
                words.push(format!("{name} {}", self.tame(&text)));
            }
        }
        words.push(when(entry).to_string());
        for (name, value) in &entry.fields {
            let own = ["slot", "seq", "step", "code", "check", "check_ok", "clock"];
            if own.contains(&name.as_str()) || name.starts_with("time_") || value.is_null() {
                continue;
            }
            if let Some(text) = field_text(entry, name).filter(|t| !t.is_empty()) {
                words.push(format!("{name} {}", self.tame(&text)));
            }
        }
        let mut signs = String::new();
        if entry.fields.get("check_ok") == Some(&serde_json::Value::Bool(false)) {
            signs.push_str("  (check does not fit)");
        }
        if !entry.complete {
            signs.push_str("  (incomplete)");
        }
        let mark = if entry.guess { '?' } else { ' ' };
        self.line(&format!(
            "{mark}{:>3}. {}{signs}",
            entry.order,
            words.join("  ")
        ));
        for guess in &entry.guesses {
            let sure = match guess.confirmed_by.as_deref() {
                Some("check") => "confirmed by the check field".to_owned(),
                Some(other) => format!("confirmed by {}", self.tame(other)),
                None => "a guess, please confirm".to_owned(),
            };
            let (from, to, why) = (
                self.tame(&guess.from),
                self.tame(&guess.to),
                self.tame(&guess.why),
            );
            self.line(&format!(
                "       \"{from}\" read as \"{to}\": {why} ({sure})"
            ));
        }
    }

    fn codes(&mut self, codes: &[CodeRow]) {
        if codes.is_empty() {
            return;
        }
        self.heading("What the codes say");
        for row in codes {
            self.code(row);
        }
    }

    fn code(&mut self, row: &CodeRow) {
        let code = self.tame(&row.code);
        let mut head = if self.bbcode {
            format!("[b]{code}[/b]")
        } else {
            code
        };
        head.push_str(&match row.count {
            1 => ", once".to_owned(),
            n => format!(", {n} times"),
        });
        match (&row.first, &row.last) {
            (Some(first), Some(last)) if first != last => {
                head.push_str(&format!(", first {first}, last {last}"));
            }
            (Some(only), _) => head.push_str(&format!(", {only}")),
            _ => {}
        }
        if row.untimed > 0 && row.first.is_some() {
            head.push_str(&format!(", {} without a date", row.untimed));
        }
        if row.guessed {
            head.push_str(", in part by a guess");
        }
        self.line(&head);
        if row.found.is_empty() {
            self.line("  The book does not know this code.");
            self.line(&format!("  {GENERAL_NOT_PROOF}"));
        }
        for found in &row.found {
            let pattern = match found.wildcards {
                0 => String::new(),
                _ => format!(" (all codes like {})", self.tame(&found.pattern)),
            };
            let board = if found.from_board {
                " (as on this board)"
            } else {
                ""
            };
            let title = capital(&self.tame(&found.title));
            self.line(&format!("  {title}{pattern}{board}"));
            for text in [&found.meaning, &found.not_proof]
                .into_iter()
                .filter(|t| !t.is_empty())
            {
                let text = self.tame(text);
                self.line(&format!("  {text}"));
            }
            for (name, list) in [("Rails", &found.rails), ("Parts watched", &found.parts)] {
                if !list.is_empty() {
                    let list = self.tame(&list.join(", "));
                    self.line(&format!("  {name}: {list}"));
                }
            }
        }
        for part in &row.parts {
            let (name, chars, means) = (
                self.tame(&part.name),
                self.tame(&part.chars),
                self.tame(&part.means),
            );
            self.line(&format!("  {} {chars}: {means}", capital(&name)));
        }
        if !row.near.is_empty() {
            let near = self.tame(&row.near.join(", "));
            self.line(&format!("  Known codes one character away: {near}"));
        }
    }

    fn steps(&mut self, steps: &[StepRow]) {
        let stopped: Vec<&StepRow> = steps.iter().filter(|s| s.stopped_here > 0).collect();
        if stopped.is_empty() {
            return;
        }
        self.heading("Where power-up stopped");
        for step in stopped {
            let id = self.tame(&step.id);
            let name = match step.known {
                true => self.tame(&step.name),
                false => "not in the book".to_owned(),
            };
            let newest = if step.newest_here {
                ", the newest entry among them"
            } else {
                ""
            };
            let n = many(step.stopped_here, "entry", "entries");
            self.line(&format!("Step {id} ({name}): {n}{newest}"));
        }
    }

    fn unreadable(&mut self, reading: &Reading) {
        if reading.unreadable.is_empty() {
            return;
        }
        self.heading("Can't be read for sure");
        self.tag("[code]");
        for one in reading.unreadable.iter().take(MOST_UNREADABLE) {
            let (raw, why) = (self.tame(&one.raw), self.tame(&one.why));
            self.line(&format!("line {}: {raw}", one.line));
            let choices = match one.choices.len() {
                0 => String::new(),
                _ => format!("; may be {}", self.tame(&one.choices.join(" or "))),
            };
            self.line(&format!("       {why}{choices}"));
        }
        if let Some(more) = reading
            .unreadable
            .len()
            .checked_sub(MOST_UNREADABLE)
            .filter(|n| *n > 0)
        {
            self.line(&format!("... and {more} more, not listed here"));
        }
        self.tag("[/code]");
    }

    fn left_out(&mut self, counts: &Counts, reading: &Reading) {
        let mut parts = Vec::new();
        for (n, one, more) in [
            (
                counts.ignored,
                "line that is no log entry",
                "lines that are no log entries",
            ),
            (counts.empty, "unused slot", "unused slots"),
            (
                counts.duplicate,
                "line that repeats a record",
                "lines that repeat a record",
            ),
        ] {
            if n > 0 {
                parts.push(many(n, one, more));
            }
        }
        self.out.push('\n');
        if !parts.is_empty() {
            self.line(&format!("Left out: {}.", parts.join(", ")));
        }
        let mut codes: Vec<&str> = reading.mentions.iter().map(|m| m.code.as_str()).collect();
        crate::sorted::sort(&mut codes);
        codes.dedup();
        if !codes.is_empty() {
            let list = self.tame(&codes.join(", "));
            self.line(&format!(
                "Only talked about, not counted as entries: {list}."
            ));
        }
    }
}

/// The text with its first letter large.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => std::iter::once(first.to_ascii_uppercase())
            .chain(chars)
            .collect(),
        None => String::new(),
    }
}

#[cfg(test)]
#[path = "report_tests.rs"]
mod tests;
