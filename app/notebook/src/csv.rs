//! Tables for a spreadsheet: measurements, and the events of the fault logs.
//!
//! The form is RFC 4180: commas, CRLF, quotes doubled, names in the first row,
//! in UTF-8 with a byte order mark, without which some spreadsheets take it for
//! another encoding.
//!
//! A cell that begins like a formula would be computed by the spreadsheet, and
//! the text of a log may come from anybody. Such a cell gets an apostrophe in
//! front, except a plain negative number. Source: OWASP, "CSV Injection", from
//! memory: `=`, `+`, `-`, `@`, tab, carriage return, line feed, and the
//! full-width forms. What this can't help: a spreadsheet that is set to another
//! separator, such as `;`, cuts a text there and sees a new cell begin.

use crate::kinds::{self, Field, Is};
use crate::measure::{self, Typed};
use crate::view::Item;
use reading::calendar::DateTime;
use reading::sorted;
use serde_json::{Map, Value};

/// What is written of an entry, as [`crate::history::keep`] keeps it: its name
/// there, and the name of the column.
const EVENT: &[(&str, &str)] = &[
    ("slot", "Slot"),
    ("seq", "Running number"),
    ("code", "Code"),
    ("step", "Power-up step"),
    ("time", "Time as written"),
    ("clock", "Clock"),
    ("utc", "Time in UTC"),
    ("local", "Local time"),
    ("rel", "Seconds since the start"),
    ("count", "Count"),
    ("sure", "Read for sure"),
    ("lost", "Entries missing here"),
];

/// All measurements, console by console. `items` are all there is of the
/// notebook, of any kind; those deleted are left out. `private`: also the
/// console's private fields, such as its serial number.
pub fn measurements(items: &[Item], private: bool) -> String {
    let mut table = Table::new(items, private);
    let fields = fields("measurement");
    // What the app made for itself is of no use in a spreadsheet.
    let show = |f: &&Field| (private || !f.private) && f.is != Is::Made;
    table.names(&["Console", "Job"]);
    for f in fields.iter().filter(show) {
        table.cell(f.label);
        if f.is == Is::Measured {
            table.names(&["Number", "Unit"]);
        }
    }
    table.private_names();
    table.end();
    for item in table.rows("measurement") {
        table.console_and_job(item);
        for f in fields.iter().filter(show) {
            table.cell(&said(item, f));
            if f.is == Is::Measured {
                let (number, unit) = parsed(item.text(f.name), item.text("quantity"));
                table.cell(&number);
                table.cell(&unit);
            }
        }
        table.private_cells(item);
        table.end();
    }
    table.out
}

/// All events of all readings, console by console. As [`measurements`].
pub fn events(items: &[Item], private: bool) -> String {
    let mut table = Table::new(items, private);
    table.names(&["Console", "Job"]);
    let day = fields("reading").iter().find(|f| f.name == "day");
    table.cell(day.map_or("Day", |f| f.label));
    for (_, name) in EVENT {
        table.cell(name);
    }
    table.private_names();
    table.end();
    for item in table.rows("reading") {
        let Some(Value::Array(entries)) = item.view.data.get("entries") else {
            continue;
        };
        for entry in entries.iter().filter_map(Value::as_object) {
            table.console_and_job(item);
            table.cell(item.text("day"));
            for (name, _) in EVENT {
                table.cell(&event(entry, name));
            }
            table.private_cells(item);
            table.end();
        }
    }
    table.out
}

/// One cell of an entry. Seconds since 1970 become date and time; an entry is
/// sure where it does not say otherwise.
fn event(entry: &Map<String, Value>, name: &str) -> String {
    let text = plain(entry, name);
    match name {
        "utc" | "local" => {
            let seconds = entry.get(name).and_then(Value::as_i64);
            let date = seconds.and_then(DateTime::at).map(|d| d.to_string());
            date.map_or(text, |d| d.replace('T', " "))
        }
        "sure" if entry.contains_key("lost") => String::new(),
        "sure" if text.is_empty() => "yes".to_owned(),
        _ => text,
    }
}

/// A text as a cell: guarded against being taken for a formula, and quoted where
/// needed.
pub fn cell(text: &str) -> String {
    let mut out = String::new();
    let formula = text.starts_with([
        '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ]);
    if formula && !negative(text) {
        out.push('\'');
    }
    out += text;
    if out.contains([',', '"', '\r', '\n', ';', '\t']) || out.trim() != out {
        out = "\"".to_owned() + &out.replace('"', "\"\"") + "\"";
    }
    out
}

/// Whether this is a plain negative number, such as -0.42.
fn negative(text: &str) -> bool {
    let Some(number) = text.strip_prefix('-') else {
        return false;
    };
    let (whole, part) = number.split_once(['.', ',']).unwrap_or((number, "0"));
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    digits(whole) && digits(part)
}

/// A value as it was typed, in its base unit: the number and the unit. Both
/// empty where there is no number.
fn parsed(value: &str, quantity: &str) -> (String, String) {
    match measure::parse(value, quantity) {
        Ok(Typed::Number(v)) => (v.number.to_string(), v.unit),
        _ => (String::new(), String::new()),
    }
}

/// A table being written.
struct Table<'a> {
    /// All items, by id.
    items: Vec<&'a Item>,
    private: bool,
    out: String,
    begun: bool,
}

impl<'a> Table<'a> {
    fn new(items: &'a [Item], private: bool) -> Self {
        let mut items: Vec<&Item> = items.iter().filter(|i| !i.view.gone).collect();
        sorted::sort_by(&mut items, |a, b| a.id.cmp(&b.id));
        Self {
            items,
            private,
            out: "\u{feff}".to_owned(),
            begun: false,
        }
    }

    /// The items of a kind, by console, day and when they were written.
    fn rows(&self, kind: &str) -> Vec<&'a Item> {
        let fits = |i: &&&Item| i.kind == kind;
        let mut rows: Vec<&Item> = self.items.iter().filter(fits).copied().collect();
        let key = |i: &'a Item| (self.name(i, "console"), i.text("console"), i.text("day"));
        sorted::sort_by(&mut rows, |a, b| {
            key(a).cmp(&key(b)).then(a.created.cmp(&b.created))
        });
        rows
    }

    /// The item that this one's field names by its id.
    fn linked(&self, item: &Item, field: &str) -> Option<&'a Item> {
        let id = item.text(field);
        let at = self
            .items
            .binary_search_by(|i| i.id.as_str().cmp(id))
            .ok()?;
        self.items.get(at).copied()
    }

    /// The name of the item that this one's field names by its id.
    fn name(&self, item: &Item, field: &str) -> &'a str {
        self.linked(item, field).map_or("", |i| i.text("name"))
    }

    fn console_and_job(&mut self, item: &Item) {
        self.cell(self.name(item, "console"));
        self.cell(self.name(item, "job"));
    }

    fn private_fields(&self) -> impl Iterator<Item = &'static Field> + use<> {
        let wanted = self.private;
        let fields = fields("console").iter();
        fields.filter(move |f| wanted && f.private)
    }

    fn private_names(&mut self) {
        for f in self.private_fields() {
            self.cell(f.label);
        }
    }

    fn private_cells(&mut self, item: &Item) {
        let console = self.linked(item, "console");
        for f in self.private_fields() {
            self.cell(&console.map(|c| said(c, f)).unwrap_or_default());
        }
    }

    fn names(&mut self, names: &[&str]) {
        for name in names {
            self.cell(name);
        }
    }

    fn cell(&mut self, text: &str) {
        if self.begun {
            self.out.push(',');
        }
        self.begun = true;
        self.out += &cell(text);
    }

    fn end(&mut self) {
        self.begun = false;
        self.out += "\r\n";
    }
}

fn fields(kind: &str) -> &'static [Field] {
    kinds::kind(kind).map_or(&[], |k| k.fields)
}

/// What an item's field says, in a person's words.
fn said(item: &Item, field: &Field) -> String {
    field.choice(&plain(&item.view.data, field.name)).to_owned()
}

/// A value as text: yes and no in words, nothing for what is not there.
fn plain(data: &Map<String, Value>, name: &str) -> String {
    match data.get(name) {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(s)) => s.clone(),
        Some(Value::Bool(yes)) => if *yes { "yes" } else { "no" }.to_owned(),
        Some(other) => other.to_string(),
    }
}
