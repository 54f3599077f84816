//! Code tables: pasted, opened or shared, each column with what it is taken for.

use super::state::{Make, Pasted, WHATS};
use crate::app::App;
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{clipboard, files, markup, page};
use crate::text;
use crate::widgets::bits::{
    bullets, button, count, fold, fold_named, line, mark, nothing, section, sentence, show_all,
    spoken, tag,
};
use leptos::prelude::{event_target_checked, event_target_value};
use std::rc::Rc;
use tables::{Column, Form, Plan, Role, Sheet, Taken, What};
use wasm_bindgen::JsCast;

/// Rows of a result drawn at once.
const FIRST: usize = 6;

/// What people call what a column holds.
fn name(role: Role, what: What) -> &'static str {
    match role {
        Role::Code => "Code",
        Role::Step => "Power-up step",
        Role::Title if what == What::Codes => "Meaning, short",
        Role::Title => "Name",
        Role::Meaning if what == What::Codes => "Meaning, long",
        Role::Meaning => "In full",
        Role::NotProof => "What it does not prove",
        Role::Rail => "Rail",
        Role::Part => "Parts",
        Role::Board => "Board",
        Role::Note => "Note",
        Role::Source => "Where it comes from",
        Role::Volts => "Voltage",
        Role::At => "Where to measure",
        Role::Tell => "How to tell it",
        Role::Port => "Where the service port is",
        Role::Layout => "Only in this log",
        Role::Ignore => "Leave it out",
    }
}

/// What people call what the rows are about.
fn about(what: What) -> &'static str {
    match what {
        What::Codes => "Codes",
        What::Steps => "Power-up steps",
        What::Rails => "Rails",
        What::Boards => "Boards",
    }
}

/// The part of the page.
pub fn view(app: App) -> Dom {
    let make = app.make;
    let typed = State::new(String::new());
    let area = El::new("textarea")
        .attr("id", "make-table")
        .attr("rows", "3")
        .attr("placeholder", "Paste or type here")
        .attr("autocapitalize", "off")
        .attr("spellcheck", "false")
        .attr("aria-label", "Code table")
        .live_prop("value", move || typed.get().into())
        .on("input", move |event| typed.set(event_target_value(&event)))
        .on("paste", move |event| {
            let data = event.dyn_ref::<web_sys::ClipboardEvent>();
            if let Some((raw, html)) = data.and_then(clipboard::rich_in) {
                event.prevent_default();
                take(app, &raw, html);
            }
        });
    let read = Dom::live(move || {
        if typed.with(|t| t.trim().is_empty()) {
            return nothing();
        }
        button("plain", "check", "Read what is in the box", move || {
            let raw = typed.get_untracked();
            typed.set(String::new());
            take(app, &raw, markup::looks_like(&raw));
        })
    });
    let row = vec![
        button("main", "paste", "Paste the table", move || paste(app)),
        button("plain", "open", "Open a file", || page::tap("table-file")),
        read,
        files::input(
            "table-file",
            ".html,.htm,.csv,.tsv,.txt,.md,text/*",
            "File with a table",
            move |file| open(app, file),
        ),
    ];
    let list = Dom::live(move || {
        let all = make.pasted.get();
        let items = all.iter().enumerate();
        Dom::many(items.map(|(n, p)| pasted(app, n, p)).collect())
    });
    let result = Dom::live(move || make.taken.get().map_or_else(nothing, |t| taken(&t)));
    section(
        "make-table-part",
        "A code table",
        vec![
            line("p", "small", text::MAKE_TABLE),
            area.done(),
            tag("div", "row", row),
            list,
            spoken("", vec![result]),
        ],
    )
}

fn take(app: App, raw: &str, html: bool) {
    if raw.trim().is_empty() {
        app.toasts.say(text::PASTE_EMPTY);
        return;
    }
    if app.make.add_table(raw, html) == 0 {
        app.toasts.say(text::MAKE_NO_TABLE);
    }
}

fn paste(app: App) {
    leptos::task::spawn_local(async move {
        match clipboard::read_rich().await {
            Some((raw, html)) => take(app, &raw, html),
            None => {
                app.toasts.say(text::PASTE_REFUSED);
                page::focus("#make-table");
            }
        }
    });
}

fn open(app: App, file: web_sys::File) {
    leptos::task::spawn_local(async move {
        match files::bytes(&file).await {
            Some(bytes) => {
                let raw = files::text(&bytes);
                take(app, &raw, markup::looks_like(&raw));
            }
            None => app.toasts.say("The file could not be read."),
        }
    });
}

fn form(form: Form) -> &'static str {
    match form {
        Form::Html => "from a web page",
        Form::Markdown => "with bars",
        Form::Wiki | Form::Bars => "wiki markup",
        Form::BbCode => "BBCode",
        Form::Separated('\t') => "cells with tabs between",
        Form::Separated(_) => "separated cells",
        Form::Columns => "aligned columns",
        Form::List => "a list",
        Form::Nothing => "no table",
    }
}

fn pasted(app: App, n: usize, p: &Pasted) -> Dom {
    let make = app.make;
    let mut parts = Vec::new();
    for (s, (sheet, plan)) in p.sheets.iter().zip(&p.plans).enumerate() {
        if sheet.rows.is_empty() {
            parts.push(mark("warn", "info", text::MAKE_NO_TABLE));
            parts.push(left(&sheet.left));
            continue;
        }
        let used = p.used.get(s) == Some(&true);
        parts.push(table(make, n, s, sheet, plan, used));
    }
    if p.too_large() {
        parts.push(mark("warn", "info", text::MAKE_TOO_LARGE));
    }
    parts.push(button("plain", "bin", "Take this paste out", move || {
        if let Some(gone) = make.drop_table(n) {
            app.toasts
                .undoable("Taken out", move || make.put_back(n, gone.clone()));
        }
    }));
    tag("div", "note-box", parts)
}

fn table(make: Make, n: usize, s: usize, sheet: &Sheet, plan: &Plan, used: bool) -> Dom {
    let title = if sheet.title.is_empty() {
        "Table"
    } else {
        sheet.title.as_str()
    };
    let what = count(sheet.rows.len(), "row", "rows") + ", " + form(sheet.form);
    let input = El::new("input")
        .attr("type", "checkbox")
        .attr("id", &place("use", &[n, s]));
    let input = if used {
        input.attr("checked", "")
    } else {
        input
    };
    let input = input.on("change", move |event| {
        make.using(n, s, event_target_checked(&event))
    });
    let mut parts = vec![ticked(input, title, &what)];
    if !used {
        return Dom::many(parts);
    }
    let options = WHATS.iter().enumerate();
    let options = options.map(|(i, w)| option(&i.to_string(), about(*w), *w == plan.what));
    let select = El::new("select")
        .attr("id", &place("rows", &[n, s]))
        .kids(options.collect())
        .on("change", move |event| {
            let chosen = event_target_value(&event).parse::<usize>().ok();
            if let Some(what) = chosen.and_then(|i| WHATS.get(i)) {
                make.about(n, s, *what);
            }
        });
    let label = line("span", "", "The rows are");
    parts.push(tag("label", "field", vec![label, select.done()]));
    let columns = plan.columns.iter().enumerate();
    let columns = columns.map(|(c, col)| column(make, [n, s, c], col, plan.what));
    parts.push(tag("ul", "teach", columns.collect()));
    parts.extend(
        plan.doubts
            .iter()
            .map(|d| mark("warn", "guess", sentence(d))),
    );
    let seen = "The table as it was read";
    parts.push(fold_named(&place("seen", &[n, s]), seen, vec![grid(sheet)]));
    parts.push(left(&sheet.left));
    Dom::many(parts)
}

/// An id of an element: its kind, and the numbers of paste, table and column.
fn place(kind: &str, at: &[usize]) -> String {
    let mut id = kind.to_owned();
    for n in at {
        id = id + "-" + &n.to_string();
    }
    id
}

fn column(make: Make, at: [usize; 3], col: &Column, what: What) -> Dom {
    let head = if col.head.is_empty() {
        "Column ".to_owned() + &(at[2] + 1).to_string()
    } else {
        col.head.clone()
    };
    let mut roles = what.roles().to_vec();
    if !roles.contains(&col.role) {
        roles.insert(0, col.role);
    }
    let options = roles.iter().enumerate();
    let options = options.map(|(i, r)| option(&i.to_string(), name(*r, what), *r == col.role));
    let own = roles.clone();
    let select = El::new("select")
        .attr("id", &place("column", &at))
        .kids(options.collect())
        .on("change", move |event| {
            let chosen = event_target_value(&event).parse::<usize>().ok();
            if let Some(role) = chosen.and_then(|i| own.get(i).copied()) {
                make.column(at[0], at[1], at[2], role);
            }
        });
    let board = if col.board.is_empty() {
        String::new()
    } else {
        " (board ".to_owned() + &col.board + ")"
    };
    let sample = col.sample.iter().take(3).map(|s| cut(s));
    let sample: Vec<String> = sample.collect();
    let mut parts = vec![
        tag(
            "label",
            "field",
            vec![line("span", "", head + &board), select.done()],
        ),
        line("p", "small mono", sample.join(" · ")),
    ];
    if !col.sure {
        parts.push(mark("warn", "guess", sentence(&col.why) + "."));
    }
    tag("li", "teach-part", parts)
}

fn cut(text: &str) -> String {
    let one: String = text.chars().take(40).collect();
    if one.len() < text.len() {
        one + "\u{2026}"
    } else {
        one
    }
}

/// The table as it was laid out, for those who want to compare.
fn grid(sheet: &Sheet) -> Dom {
    let row = |name: &'static str, cells: Vec<String>| {
        let cells = cells.iter().map(|c| line(name, "", c)).collect();
        tag("tr", "", cells)
    };
    let mut rows = Vec::new();
    if !sheet.head.is_empty() {
        rows.push(row("th", sheet.head.clone()));
    }
    for r in sheet.rows.iter().take(100) {
        rows.push(row("td", r.cells.iter().map(|c| c.text.clone()).collect()));
    }
    let table = tag("table", "", vec![tag("tbody", "", rows)]);
    let wide = El::new("div").class("wide").attr("tabindex", "0");
    let wide = wide
        .attr("role", "group")
        .attr("aria-label", "Table")
        .kid(table)
        .done();
    if sheet.rows.len() > 100 {
        return Dom::many(vec![
            wide,
            line("p", "small", "The first 100 rows are shown."),
        ]);
    }
    wide
}

fn left(all: &[tables::Left]) -> Dom {
    if all.is_empty() {
        return nothing();
    }
    let items = all.iter().take(50).map(|l| {
        "Line ".to_owned() + &l.line.to_string() + ": " + &cut(&l.text) + " (" + &l.why + ")"
    });
    let title = "Not part of the table: ".to_owned() + &count(all.len(), "line", "lines");
    fold(title, false, vec![bullets(items)])
}

/// What all tables give together.
fn taken(t: &Rc<Taken>) -> Dom {
    let p = &t.piece;
    let counts = [
        (p.codes.len(), "code", "codes"),
        (p.steps.len(), "step", "steps"),
        (p.rails.len(), "rail", "rails"),
        (p.boards.len(), "board", "boards"),
    ];
    let counts = counts.into_iter().filter(|c| c.0 > 0);
    let counts: Vec<String> = counts.map(|(n, one, many)| count(n, one, many)).collect();
    if counts.is_empty() {
        return mark("warn", "info", text::MAKE_NOTHING_TAKEN);
    }
    let mut parts = vec![mark(
        "good",
        "check",
        "From the tables: ".to_owned() + &counts.join(", "),
    )];
    let limit = State::new(FIRST);
    let held = t.clone();
    let rows = move || {
        let codes = &held.piece.codes;
        let items = codes.iter().take(limit.get()).map(|c| {
            let top = vec![
                line("span", "code", &c.code),
                line("span", "what", &c.title),
            ];
            let mut parts = vec![tag("div", "entry-top", top)];
            if !c.meaning.is_empty() {
                parts.push(line("p", "", &c.meaning));
            }
            let step = c.step.as_ref().map(|s| "Step ".to_owned() + s + " · ");
            parts.push(line("p", "small", step.unwrap_or_default() + &c.source));
            tag("li", "code-row", parts)
        });
        let list = tag("ul", "codes", items.collect());
        Dom::many(vec![list, show_all(codes.len(), limit)])
    };
    if !p.codes.is_empty() {
        parts.push(fold_named(
            "taken-codes",
            "Look at the codes",
            vec![Dom::live(rows)],
        ));
    }
    if !t.conflicts.is_empty() {
        let n = count(t.conflicts.len(), "code is said", "codes are said");
        parts.push(mark(
            "warn",
            "guess",
            n + " to mean different things. All of it is kept, with its place.",
        ));
        let items = t.conflicts.iter().take(50);
        let items = items.map(|c| c.code.clone() + ": " + &c.differs.join("; "));
        parts.push(fold_named(
            "taken-conflicts",
            "What does not agree",
            vec![bullets(items)],
        ));
    }
    let notes = t.rows.iter().filter(|r| !r.notes.is_empty());
    let notes: Vec<String> = notes
        .take(100)
        .map(|r| {
            "Row ".to_owned()
                + &r.line.to_string()
                + ", "
                + &r.became.join(", ")
                + ": "
                + &r.notes.join("; ")
        })
        .collect();
    if !notes.is_empty() {
        parts.push(fold_named(
            "taken-notes",
            "What was done on the way",
            vec![bullets(notes)],
        ));
    }
    if !t.left.is_empty() {
        let items = t.left.iter().take(50).map(|(_, l)| {
            "Row ".to_owned() + &l.line.to_string() + ": " + &cut(&l.text) + " (" + &l.why + ")"
        });
        let title = "Left out: ".to_owned() + &count(t.left.len(), "row", "rows");
        parts.push(fold_named("taken-left", title, vec![bullets(items)]));
    }
    Dom::many(parts)
}
