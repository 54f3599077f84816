//! The controls of a form: a text, a number, a choice, boxes to tick.

use super::labels;
use super::state::Editing;
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{line, nothing, sentence, tag, with_code};
use codebook::often::WORDS;
use leptos::prelude::{event_target_checked, event_target_value};
use serde_json::Value;

/// A control under its label, with a line of help.
fn labelled(key: &str, about: &str, control: El) -> Dom {
    let label = line("span", "", labels::label(key));
    let help = if about.is_empty() {
        nothing()
    } else {
        tag("span", "small block", with_code(about))
    };
    tag("label", "field", vec![label, control.done(), help])
}

/// A text of one line or several.
pub fn typed(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let value = ed.text(place);
    let long = labels::long(key) || value.len() > 60;
    let el = if long {
        El::new("textarea").attr("rows", "3").text(&value)
    } else {
        El::new("input").attr("type", "text").attr("value", &value)
    };
    let own = place.to_owned();
    let named = place.rsplit_once('/').map(|(p, _)| p.to_owned());
    let renames = matches!(key, "title" | "text")
        && place.matches('/').count() == 3
        && !place.starts_with("/codes/")
        && !place.starts_with("/sources/");
    let el = el
        .attr("autocomplete", "off")
        .attr("name", key)
        .on("input", move |event| {
            let now = event_target_value(&event);
            if let (true, Some(row)) = (renames, &named) {
                rename(ed, row, &ed.text(&own), &now);
            }
            ed.set(&own, now.into());
        })
        .on("change", move |_| ed.pause());
    labelled(key, about, el)
}

/// A row without a short name gets one from its title, and keeps it when others
/// may already speak of it.
fn rename(ed: Editing, row: &str, before: &str, now: &str) {
    let place = row.to_owned() + "/id";
    let id = ed.text(&place);
    if id.is_empty() || id == short(before) {
        ed.set(&place, short(now).into());
    }
}

/// A title as a short name: lower-case letters, digits and single hyphens.
pub fn short(title: &str) -> String {
    let mut out = String::new();
    for c in title.chars().take(60) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// A number.
pub fn number(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let now = ed.at(place);
    let shown = if now.is_number() {
        now.to_string()
    } else {
        String::new()
    };
    let own = place.to_owned();
    let el = El::new("input")
        .attr("type", "text")
        .attr("inputmode", "decimal")
        .attr("autocomplete", "off")
        .attr("name", key)
        .attr("value", &shown)
        .on("input", move |event| {
            let text = event_target_value(&event).trim().replace(',', ".");
            // What is no number stays as it is, and the check says so.
            let value = serde_json::from_str(&text).ok().filter(Value::is_number);
            ed.set(&own, value.unwrap_or_else(|| text.into()));
        });
    labelled(key, about, el)
}

/// A list of texts, one a line.
pub fn lines(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let now = texts(&ed.at(place));
    let rows = now.len().clamp(2, 10).to_string();
    let own = place.to_owned();
    let el = El::new("textarea")
        .attr("rows", &rows)
        .attr("name", key)
        .text(&now.join("\n"))
        .on("input", move |event| {
            let text = event_target_value(&event);
            let all = text.lines().map(str::trim).filter(|l| !l.is_empty());
            ed.set(&own, all.map(Value::from).collect::<Vec<_>>().into());
        })
        .on("change", move |_| ed.pause());
    labelled(key, about, el)
}

/// The texts of a list.
fn texts(list: &Value) -> Vec<String> {
    let all = list.as_array().into_iter().flatten();
    all.filter_map(|v| v.as_str().map(str::to_owned)).collect()
}

/// Words that are shown as they are kept.
pub fn plain(words: &[&str]) -> Vec<(String, String)> {
    words
        .iter()
        .map(|w| ((*w).to_owned(), (*w).to_owned()))
        .collect()
}

/// The rows of a section that others can name.
pub fn named(ed: Editing, section: &str) -> Vec<(String, String)> {
    ed.with(|doc| {
        let rows = doc.get(section).and_then(Value::as_array);
        let rows = rows.into_iter().flatten();
        rows.filter_map(|r| {
            let id = r.get("id")?.as_str()?.to_owned();
            Some((id, labels::row_name(r)))
        })
        .collect()
    })
}

/// One of a list.
pub fn choice(
    ed: Editing,
    key: &str,
    place: &str,
    list: Vec<(String, String)>,
    about: &str,
) -> Dom {
    let now = ed.text(place);
    let mut options = vec![option("", text::NOT_SAID, now.is_empty())];
    if !now.is_empty() && !list.iter().any(|(v, _)| *v == now) {
        options.push(option(&now, &now, true));
    }
    options.extend(list.iter().map(|(v, l)| option(v, l, *v == now)));
    let own = place.to_owned();
    // What else is in the row depends on it.
    let redraws = key == "kind";
    let el = El::new("select")
        .attr("name", key)
        .kids(options)
        .on("change", move |event| {
            ed.set(&own, event_target_value(&event).into());
            if redraws {
                ed.redraw.notify();
            }
        });
    labelled(key, about, el)
}

/// How often something happens: one of the book's words, each with its number,
/// or a count.
pub fn how_often(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let now = State::new(ed.text(place));
    let worded = |text: &str| WORDS.iter().any(|(word, _)| *word == text);
    let mut options = vec![
        option("", text::NOT_SAID, false),
        option("count", "Counted", false),
    ];
    for (word, share) in WORDS {
        let percent = diagnosis::plain::percent(share);
        let label = [sentence(word).as_str(), ", ", &percent].concat();
        options.push(option(word, &label, false));
    }
    let shown = move || {
        let text = now.get();
        if text.is_empty() || worded(&text) {
            text
        } else {
            "count".to_owned()
        }
    };
    let (own, typed) = (place.to_owned(), place.to_owned());
    let select = El::new("select")
        .attr("name", key)
        .kids(options)
        .live_prop("value", move || shown().into())
        .on("change", move |event| {
            let chosen = event_target_value(&event);
            let value = if chosen == "count" {
                text::COUNT_FIRST.to_owned()
            } else {
                chosen
            };
            now.set(value.clone());
            ed.set(&own, value.into());
        });
    let counted = move || {
        let text = now.get_untracked();
        if shown() != "count" {
            return nothing();
        }
        let typed = typed.clone();
        let input = El::new("input")
            .attr("type", "text")
            .attr("autocomplete", "off")
            .attr("value", &text)
            .on("input", move |event| {
                ed.set(&typed, event_target_value(&event).into());
            });
        tag(
            "label",
            "field",
            vec![line("span", "", text::COUNTED), input.done()],
        )
    };
    Dom::many(vec![labelled(key, about, select), Dom::live(counted)])
}

/// Yes or no.
pub fn flag(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let input = El::new("input").attr("type", "checkbox").attr("name", key);
    let input = if ed.at(place) == Value::Bool(true) {
        input.attr("checked", "")
    } else {
        input
    };
    let own = place.to_owned();
    let input = input.on("change", move |event| {
        let yes = event_target_checked(&event);
        ed.set(&own, if yes { true.into() } else { Value::Null });
    });
    ticked(input, labels::label(key), about)
}

/// Rows of another section to tick.
pub fn ticks(ed: Editing, key: &str, place: &str, section: &str, about: &str) -> Dom {
    let now = texts(&ed.at(place));
    let mut list = named(ed, section);
    for id in &now {
        if !list.iter().any(|(v, _)| v == id) {
            list.push((id.clone(), id.clone()));
        }
    }
    if list.is_empty() {
        return nothing();
    }
    let mut boxes = vec![
        line("legend", "", labels::label(key)),
        tag("p", "small", with_code(about)),
    ];
    for (id, name) in list {
        let own = place.to_owned();
        let input = El::new("input").attr("type", "checkbox");
        let input = if now.contains(&id) {
            input.attr("checked", "")
        } else {
            input
        };
        let input = input.on("change", move |event| {
            let mut all = texts(&ed.at(&own));
            all.retain(|i| *i != id);
            if event_target_checked(&event) {
                all.push(id.clone());
            }
            ed.set(&own, all.into());
        });
        boxes.push(ticked(input, &name, ""));
    }
    El::new("fieldset").class("plainset").kids(boxes).done()
}
