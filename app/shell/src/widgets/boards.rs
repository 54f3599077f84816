//! Which board revision it is, with how to tell each apart.

use super::bits::{bullets, line, nothing, tag};
use crate::platform::dom::{Dom, El};
use codebook::model::Board;
use leptos::prelude::*;
use std::rc::Rc;

/// The chooser of one book. `now` is the chosen board's id, empty for none.
pub fn chooser(
    group: String,
    boards: &[Board],
    now: Signal<String>,
    choose: Rc<dyn Fn(String)>,
) -> Dom {
    let mut items = vec![item(
        group.clone(),
        String::new(),
        None,
        now,
        choose.clone(),
    )];
    for b in boards {
        items.push(item(
            group.clone(),
            b.id.clone(),
            Some(b),
            now,
            choose.clone(),
        ));
    }
    tag("div", "boards", items)
}

fn item(
    group: String,
    id: String,
    board: Option<&Board>,
    now: Signal<String>,
    choose: Rc<dyn Fn(String)>,
) -> Dom {
    let (title, tell) = match board {
        Some(b) => (
            tag(
                "span",
                "board-name",
                vec![line("b", "", &b.id), line("span", "", &b.name)],
            ),
            if b.tell.is_empty() {
                nothing()
            } else {
                bullets(b.tell.clone())
            },
        ),
        None => (line("span", "board-name", "I don't know yet"), nothing()),
    };
    let mine = id.clone();
    let input = El::new("input")
        .attr("type", "radio")
        .attr("name", &group)
        .live_prop("checked", move || now.with(|n| *n == mine).into())
        .on("change", move |_| choose(id.clone()));
    let label = El::new("label").kid(input.done()).kid(title).done();
    tag("div", "board", vec![label, tell])
}
