//! Which board revision it is, with how to tell each apart.

use super::bits::{bullets, line, nothing, tag};
use codebook::model::Board;
use leptos::prelude::*;
use std::rc::Rc;

/// The chooser of one book. `now` is the chosen board's id, empty for none.
pub fn chooser(
    group: String,
    boards: &[Board],
    now: Signal<String>,
    choose: Rc<dyn Fn(String)>,
) -> AnyView {
    let mut items = vec![item(group.clone(), String::new(), None, now, choose.clone())];
    for b in boards {
        items.push(item(group.clone(), b.id.clone(), Some(b), now, choose.clone()));
    }
    tag("div", "boards", items)
}

fn item(
    group: String,
    id: String,
    board: Option<&Board>,
    now: Signal<String>,
    choose: Rc<dyn Fn(String)>,
) -> AnyView {
    let (title, tell) = match board {
        Some(b) => (
            tag("span", "board-name", vec![line("b", "", b.id.clone()), line("span", "", b.name.clone())]),
            if b.tell.is_empty() { nothing() } else { bullets(b.tell.clone()) },
        ),
        None => (line("span", "board-name", "I don't know yet"), nothing()),
    };
    let mine = id.clone();
    view! {
        <div class="board">
            <label>
                <input type="radio" name=group prop:checked=move || now.with(|n| *n == mine)
                    on:change=move |_| choose(id.clone()) />
                {title}
            </label>
            {tell}
        </div>
    }
    .into_any()
}
