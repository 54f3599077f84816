//! One field of a form, by what is in it.

use super::form::Form;
use super::photo;
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{line, nothing, tag};
use crate::widgets::boards;
use diagnosis::prior::NOT_LISTED;
use leptos::prelude::*;
use notebook::kinds::{Field, Is};
use notebook::measure;
use serde_json::Value;
use std::rc::Rc;

/// The field. `book` is the id of the console's code book.
pub fn field(app: App, form: Form, f: &'static Field, book: &str) -> Dom {
    match f.is {
        Is::Made | Is::Ref(_) | Is::Log => nothing(),
        Is::Line => input(form, f, "text", "", ""),
        Is::Lines => lines(form, f),
        Is::Day => input(form, f, "date", "", ""),
        Is::Number(unit) => input(form, f, "text", "decimal", unit),
        Is::Measured => Dom::many(vec![input(form, f, "text", "", ""), meaning(form)]),
        Is::Choice(list) => choice(form, f, list),
        Is::Flag => flag(form, f),
        Is::Book => choice_of(form, f, books(app)),
        Is::Board => board(app, form, f),
        Is::Symptoms | Is::Causes => listed(app, form, f, book),
        Is::Photo => photo::field(app, form, f),
    }
}

fn set(form: Form, name: &'static str) -> impl Fn(web_sys::Event) {
    move |event| form.set(name, Value::String(event_target_value(&event)))
}

fn input(form: Form, f: &'static Field, kind: &str, mode: &str, unit: &str) -> Dom {
    let input = El::new("input")
        .attr("type", kind)
        .attr("name", f.name)
        .attr("autocomplete", "off")
        .attr("value", &form.text(f.name))
        .on("input", set(form, f.name));
    let input = if mode.is_empty() {
        input
    } else {
        input.attr("inputmode", mode)
    };
    let label = if unit.is_empty() || f.label.contains(unit) {
        f.label.to_owned()
    } else {
        f.label.to_owned() + " (" + unit + ")"
    };
    labelled(f, &label, input)
}

fn labelled(f: &'static Field, label: &str, control: El) -> Dom {
    let help_id = "help-".to_owned() + f.name;
    let (control, help) = if f.help.is_empty() {
        (control, nothing())
    } else {
        let help = El::new("span").class("small").attr("id", &help_id);
        (
            control.attr("aria-describedby", &help_id),
            help.text(f.help).done(),
        )
    };
    let box_ = tag(
        "label",
        "field",
        vec![line("span", "", label), control.done()],
    );
    tag("div", "field-box", vec![box_, help])
}

fn lines(form: Form, f: &'static Field) -> Dom {
    let text = form.text(f.name);
    let rows = text.lines().count().clamp(2, 12).to_string();
    let area = El::new("textarea")
        .attr("name", f.name)
        .attr("rows", &rows)
        .text(&text)
        .on("input", set(form, f.name));
    labelled(f, f.label, area)
}

fn choice(form: Form, f: &'static Field, list: &[(&str, &str)]) -> Dom {
    let own = |(value, label): &(&str, &str)| ((*value).to_owned(), (*label).to_owned());
    choice_of(form, f, list.iter().map(own).collect())
}

fn choice_of(form: Form, f: &'static Field, list: Vec<(String, String)>) -> Dom {
    let now = form.text(f.name);
    let mut options = vec![option("", text::NOT_SAID, now.is_empty())];
    // A value that no list has (a newer app's, a book that is not here) stays.
    if !now.is_empty() && !list.iter().any(|(v, _)| *v == now) {
        options.push(option(&now, &now, true));
    }
    for (value, label) in &list {
        options.push(option(value, label, *value == now));
    }
    let redraws = f.is == Is::Book;
    let change = set(form, f.name);
    let select = El::new("select")
        .attr("name", f.name)
        .kids(options)
        .on("change", move |event| {
            change(event);
            if redraws {
                form.redraw.update(|r| *r = r.wrapping_add(1));
            }
        });
    labelled(f, f.label, select)
}

/// One choice of a list to choose from.
pub fn option(value: &str, label: &str, chosen: bool) -> Dom {
    let option = El::new("option").attr("value", value).text(label);
    if chosen {
        option.attr("selected", "").done()
    } else {
        option.done()
    }
}

fn flag(form: Form, f: &'static Field) -> Dom {
    let input = El::new("input")
        .attr("type", "checkbox")
        .attr("name", f.name);
    let input = if form.value(f.name) == Some(Value::Bool(true)) {
        input.attr("checked", "")
    } else {
        input
    };
    let input = input.on("change", move |event| {
        form.set(f.name, Value::Bool(event_target_checked(&event)));
    });
    ticked(input, f.label, f.help)
}

/// A box to tick, with its words behind it.
pub fn ticked(input: El, label: &str, help: &str) -> Dom {
    let words = tag(
        "span",
        "",
        vec![line("span", "", label), line("span", "small block", help)],
    );
    tag("label", "tick", vec![input.done(), words])
}

fn books(app: App) -> Vec<(String, String)> {
    app.shelf.held.with(|all| {
        let pair =
            |h: &crate::books::shelf::Held| (h.book.model.id.clone(), h.book.model.name.clone());
        all.iter().map(pair).collect()
    })
}

fn board(app: App, form: Form, f: &'static Field) -> Dom {
    let held = app.shelf.find(&form.text("book"));
    let Some(held) = held.filter(|h| !h.book.model.boards.is_empty()) else {
        return input(form, f, "text", "", "");
    };
    let now = State::new(form.text(f.name));
    let choose = Rc::new(move |id: String| {
        now.set(id.clone());
        form.set(f.name, Value::String(id));
    });
    let chooser = boards::chooser(
        "board".to_owned(),
        &held.book.model.boards,
        Signal::derive(move || now.get()),
        choose,
    );
    let legend = line("legend", "", f.label);
    let help = line("p", "small", f.help);
    El::new("fieldset")
        .class("plainset")
        .kids(vec![legend, help, chooser])
        .done()
}

/// Boxes to tick: the symptoms or the causes of the book.
fn listed(app: App, form: Form, f: &'static Field, book: &str) -> Dom {
    let causes = f.is == Is::Causes;
    let Some(held) = app.shelf.find(book) else {
        let words = if causes {
            text::NO_CAUSES
        } else {
            text::NO_SYMPTOMS
        };
        return line("p", "small", words);
    };
    let model = &held.book.model;
    let mut all: Vec<(&str, &str)> = Vec::new();
    if causes {
        all.extend(model.causes.iter().map(|c| (&*c.id, &*c.title)));
        all.push((NOT_LISTED, diagnosis::frozen::NONE));
    } else {
        all.extend(model.symptoms.iter().map(|s| (&*s.id, &*s.title)));
    }
    let chosen = move || -> Vec<String> {
        let list = form.value(f.name);
        let list = list
            .as_ref()
            .and_then(Value::as_array)
            .cloned()
            .unwrap_or_default();
        list.iter()
            .filter_map(|v| v.as_str().map(str::to_owned))
            .collect()
    };
    let now = chosen();
    let mut boxes = vec![line("legend", "", f.label)];
    if !f.help.is_empty() {
        boxes.push(line("p", "small", f.help));
    }
    for (id, title) in all {
        let id = id.to_owned();
        let input = El::new("input").attr("type", "checkbox").attr("value", &id);
        let input = if now.contains(&id) {
            input.attr("checked", "")
        } else {
            input
        };
        let input = input.on("change", move |event| {
            let mut all = chosen();
            all.retain(|s| *s != id);
            if event_target_checked(&event) {
                all.push(id.clone());
            }
            form.set(f.name, all.into());
        });
        boxes.push(ticked(input, title, ""));
    }
    El::new("fieldset").class("plainset").kids(boxes).done()
}

/// What a measured value means, as it is typed.
fn meaning(form: Form) -> Dom {
    let words = move || {
        form.typed.track();
        let [quantity, value, percent, counts, leads] =
            ["quantity", "value", "percent", "counts", "leads"].map(|n| form.text(n));
        if value.trim().is_empty() {
            return nothing();
        }
        let (class, told) = match measure::parse(&value, &quantity) {
            Ok(_) => {
                let typed = measure::Typing {
                    quantity: &quantity,
                    value: &value,
                    percent: &percent,
                    counts: &counts,
                    leads: &leads,
                };
                match typed.meant() {
                    Ok(_) => ("told", typed.told()),
                    Err(why) => ("told bad-words", why),
                }
            }
            Err(why) => ("told bad-words", why),
        };
        let advice = measure::advice(&quantity, &value, &percent, &counts);
        Dom::many(vec![
            line("p", class, told),
            advice.map_or_else(nothing, |a| line("p", "small", a)),
        ])
    };
    crate::widgets::bits::spoken("", vec![Dom::live(words)])
}
