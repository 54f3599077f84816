//! One choice of a few, as a row of radio buttons that look like one control.

use super::bits::{line, tag};
use crate::platform::dom::{Dom, El};
use leptos::prelude::*;

/// The row. `now` says which is chosen; `choose` is called with the new one.
pub fn segment(
    legend: &'static str,
    group: &'static str,
    options: &'static [&'static str],
    now: Signal<usize>,
    choose: impl Fn(usize) + 'static,
) -> Dom {
    row(
        legend,
        group,
        options.iter().map(|o| (*o).to_owned()).collect(),
        now,
        std::rc::Rc::new(choose),
    )
}

/// The same with options that are only known at run time.
pub fn row(
    legend: &'static str,
    group: &'static str,
    options: Vec<String>,
    now: Signal<usize>,
    choose: std::rc::Rc<dyn Fn(usize)>,
) -> Dom {
    let items: Vec<Dom> = options
        .into_iter()
        .enumerate()
        .map(|(n, label)| {
            let choose = choose.clone();
            let input = El::new("input")
                .attr("type", "radio")
                .attr("name", group)
                .live_prop("checked", move || (now.get() == n).into())
                .on("change", move |_| choose(n));
            El::new("label")
                .kid(input.done())
                .kid(line("span", "", label))
                .done()
        })
        .collect();
    tag(
        "fieldset",
        "segment",
        vec![line("legend", "", legend), tag("div", "segment-row", items)],
    )
}
