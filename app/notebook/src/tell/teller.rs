//! The parts of a job, each under its heading.

use super::codes;
use super::mark::Page;
use crate::timeline::{Named, Names, add, cat, condition, day, label, line, one_line};
use crate::view::Item;
use crate::{dates, look, measure};

/// Tells the parts of a job, one after the other.
pub(super) struct Teller<'a> {
    pub page: Page,
    pub items: Vec<&'a Item>,
    pub names: Names<'a>,
    pub today: &'a str,
}

impl<'a> Teller<'a> {
    /// The records of a kind, oldest first.
    fn of(&self, kind: &str) -> Vec<&'a Item> {
        self.items
            .iter()
            .copied()
            .filter(|i| i.kind == kind)
            .collect()
    }

    pub fn top(&mut self, nickname: bool, console: &Item, job: &Item) {
        let mut title = String::new();
        add(&mut title, "", job.text("name"));
        if title.is_empty() {
            "A job".clone_into(&mut title);
        }
        self.page.heading(&title);
        let mut about = String::new();
        if nickname {
            add(&mut about, ", ", console.text("name"));
        }
        let book = console.text("book");
        let name = (self.names)(Named::Book, book);
        add(&mut about, ", ", &name.unwrap_or_else(|| book.to_owned()));
        let board = console.text("board");
        if !board.is_empty() {
            let name = (self.names)(Named::Board, board);
            let name = name.unwrap_or_else(|| board.to_owned());
            add(&mut about, ", ", &cat(&["board ", &name]));
        }
        add(&mut about, ", ", console.text("region"));
        self.page.pair("Console: ", &about);
        self.page.pair("Begun on ", &written(job.text("day")));
        self.page.pair("", job.text("note"));
    }

    /// One item of a list for a record: its day, its two lines and these fields.
    fn record(&mut self, item: &Item, more: &[&str]) {
        let (title, detail) = line(item, self.names, "");
        let mut text = title;
        add(&mut text, ": ", &detail);
        for field in more {
            let value = one_line(item.text(field));
            // Some lists have the note in their second line already.
            if !value.is_empty() && !text.ends_with(&value) {
                add(&mut text, ". ", &value);
            }
        }
        self.entry(item, &text);
    }

    fn entry(&mut self, item: &Item, text: &str) {
        let day = day(item).unwrap_or_default();
        self.page.item(&cat(&[&written(&day), ": "]), text);
    }

    pub fn section(&mut self, kind: &str, title: &str, more: &[&str]) {
        let items = self.of(kind);
        if items.is_empty() {
            return;
        }
        self.page.heading(title);
        for item in items {
            self.record(item, more);
        }
    }

    pub fn seen(&mut self) {
        self.section("symptom", "What was seen and heard", &["note"]);
    }

    pub fn logs(&mut self) {
        let items = self.of("reading");
        if items.is_empty() {
            return;
        }
        self.page.heading("Fault log");
        for item in items {
            let mut text = item.text("summary").to_owned();
            add(&mut text, ". ", &one_line(item.text("note")));
            self.entry(item, if text.is_empty() { "a reading" } else { &text });
            self.page.code(&codes::lines(item));
        }
    }

    pub fn measured(&mut self) {
        let items = self.of("measurement");
        if items.is_empty() {
            return;
        }
        self.page.heading("Measurements");
        for item in items {
            let text = |field| item.text(field);
            let mut all = label(item, "quantity").to_owned();
            add(&mut all, ", ", text("place"));
            let value = measure::Typing::of(|f| item.text(f)).told();
            add(&mut all, ": ", &value);
            add(&mut all, ", ", condition(item));
            if !text("meter").trim().is_empty() {
                add(&mut all, ", ", &cat(&["meter ", text("meter").trim()]));
            }
            add(&mut all, ". ", &one_line(text("note")));
            self.entry(item, &all);
        }
    }

    pub fn repairs(&mut self, job: &Item) {
        let items = self.of("repair");
        if items.is_empty() {
            return;
        }
        let in_vain = matches!(job.text("outcome"), "not-repaired" | "given-up");
        self.page.heading(if in_vain {
            "What was tried and did not help"
        } else {
            "What was done"
        });
        let seen = self.of("symptom");
        for item in items {
            let mut text = item.text("what").to_owned();
            add(&mut text, ". Parts: ", &one_line(item.text("parts")));
            add(&mut text, ". Cost: ", item.text("cost"));
            add(&mut text, ". ", &one_line(item.text("note")));
            // Not "it did not help": the symptom may be another one.
            let (done, mut again) = (item.text("day"), "");
            for symptom in &seen {
                let day = symptom.text("day");
                if again.is_empty() && dates::between(done, day).is_some_and(|d| d > 0) {
                    again = day;
                }
            }
            if !again.is_empty() {
                add(
                    &mut text,
                    ". ",
                    &cat(&["A symptom was noted after this, on ", &written(again)]),
                );
            }
            self.entry(item, &text);
        }
    }

    pub fn notes(&mut self) {
        let items = self.of("note");
        if items.is_empty() {
            return;
        }
        self.page.heading("Notes");
        for item in items {
            self.entry(item, item.text("note"));
        }
    }

    pub fn photos(&mut self) {
        let mut list = String::new();
        for item in self.of("photo") {
            let caption = item.text("caption").trim();
            add(
                &mut list,
                "; ",
                if caption.is_empty() {
                    "one without a caption"
                } else {
                    caption
                },
            );
        }
        if !list.is_empty() {
            self.page.heading("Photos, not in this text");
            self.page.para("", &list);
        }
    }

    pub fn end(&mut self, job: &Item) {
        let looks = self.of("follow-up");
        self.page.heading("Outcome");
        let today = look::Days {
            today: self.today,
            near: "",
        };
        self.page
            .pair("", &look::look_on(&[job], &looks, today).words);
        self.page.pair("Cause: ", job.text("cause"));
        for item in looks {
            if !item.text("done").is_empty() || !item.text("found").is_empty() {
                let (title, note) = line(item, self.names, "");
                let mut text = title;
                add(&mut text, ". ", &note);
                self.page.item("", &text);
            }
        }
    }
}

/// A day in words with its year: a report is read in other years too.
fn written(day: &str) -> String {
    dates::words(day, "")
}
