//! The columns of a table: what each is taken for, and the choice to correct it.

use super::state::Make;
use crate::consoles::option;
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{line, mark, sentence, tag};
use leptos::prelude::event_target_value;
use tables::{Column, Role, What};

/// What people call what a column holds.
pub fn name(role: Role, what: What) -> &'static str {
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
pub fn about(what: What) -> &'static str {
    match what {
        What::Codes => "Codes",
        What::Steps => "Power-up steps",
        What::Rails => "Rails",
        What::Boards => "Boards",
    }
}

/// An id of an element: its kind, and the numbers of paste, table and column.
pub fn place(kind: &str, at: &[usize]) -> String {
    let mut id = kind.to_owned();
    for n in at {
        id = id + "-" + &n.to_string();
    }
    id
}

pub fn column(make: Make, at: [usize; 3], col: &Column, what: What) -> Dom {
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

pub fn cut(text: &str) -> String {
    let one: String = text.chars().take(40).collect();
    if one.len() < text.len() {
        one + "\u{2026}"
    } else {
        one
    }
}
