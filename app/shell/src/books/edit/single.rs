//! The parts of a book that are no lists: its name and licence, its service port.

use super::field;
use super::rows::{back, undo};
use super::state::Editing;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{button, line, tag, title};
use codebook::schema::ROOT;
use serde_json::{Map, Value};

/// The page for the book's name, version and licence.
pub fn about(ed: Editing) -> Dom {
    Dom::many(vec![
        back(ed, "", "All parts"),
        title("About the book"),
        line(
            "p",
            "small",
            "Id: ".to_owned() + &ed.id.get_value() + ". " + text::ID_STAYS,
        ),
        tag("div", "form", field::fields(ed, &ROOT, "", 0)),
        crate::consoles::saved(ed.form),
        tag("div", "row", vec![undo(ed)]),
    ])
}

/// The page for the service port.
pub fn port(ed: Editing) -> Dom {
    let body = if ed.at("/service_port").is_object() {
        let of = ROOT.pointer("/properties/service_port");
        let of = of.unwrap_or(&Value::Null);
        let mut all = field::fields(ed, of, "/service_port", 1);
        all.push(button(
            "plain",
            "bin",
            "Take the service port out",
            move || {
                ed.pause();
                ed.set("/service_port", Value::Null);
                ed.redraw.notify();
            },
        ));
        all
    } else {
        vec![button(
            "main",
            "plus",
            "Describe the service port",
            move || {
                let mut port = Map::new();
                for (key, value) in [
                    ("pads", Value::Array(Vec::new())),
                    ("framing", "8N1".into()),
                ] {
                    port.insert(key.to_owned(), value);
                }
                ed.set("/service_port", port.into());
                ed.redraw.notify();
            },
        )]
    };
    Dom::many(vec![
        back(ed, "", "All parts"),
        title("Service port"),
        tag("div", "form", body),
        crate::consoles::saved(ed.form),
        tag("div", "row", vec![undo(ed)]),
    ])
}
