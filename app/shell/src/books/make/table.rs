//! Code tables: pasted, opened or shared, each column with what it is taken for.

use super::super::read_file;
use super::columns::{about, column, place};
use super::state::{Make, Pasted, WHATS};
use super::taken::{grid, left, taken};
use crate::app::App;
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{clipboard, files, markup, page};
use crate::text;
use crate::widgets::bits::{
    button, count, fold_named, line, mark, nothing, section, sentence, spoken, tag,
};
use leptos::prelude::{event_target_checked, event_target_value};
use tables::{Form, Plan, Sheet};
use wasm_bindgen::JsCast;

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
            move |file| {
                read_file(app, file, move |raw| {
                    take(app, &raw, markup::looks_like(&raw));
                });
            },
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
