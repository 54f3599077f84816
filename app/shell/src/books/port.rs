//! The service port of a family: pads, level, speed.

use crate::platform::dom::Dom;
use crate::widgets::bits::{bullets, line, nothing, pair, tag};
use codebook::model::CodeBook;

/// All about the port, or nothing when the book says nothing.
pub fn view(book: &CodeBook) -> Dom {
    let Some(port) = &book.service_port else {
        return nothing();
    };
    let mut parts = Vec::new();
    parts.push(tag(
        "dl",
        "pairs",
        vec![
            pair("Logic level", port.logic_volts.to_string() + " V"),
            pair("Speed", port.baud.to_string() + " baud, " + &port.framing),
            if port.supply.is_empty() {
                nothing()
            } else {
                pair("Must be powered", &port.supply)
            },
        ],
    ));
    let mut pads = Vec::new();
    for p in &port.pads {
        let note = if p.note.is_empty() {
            String::new()
        } else {
            ". ".to_owned() + &p.note
        };
        pads.push(pair(p.id.clone(), p.is.clone() + &note));
    }
    parts.push(line("h4", "", "Pads"));
    parts.push(tag("dl", "pairs", pads));
    let mut notes = port.notes.clone();
    for b in &book.boards {
        if !b.port_note.is_empty() {
            notes.push(b.id.clone() + ": " + &b.port_note);
        }
    }
    if !notes.is_empty() {
        parts.push(bullets(notes));
    }
    tag("div", "port", parts)
}
