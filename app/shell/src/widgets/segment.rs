//! One choice of a few, as a row of radio buttons that look like one control.

use leptos::prelude::*;

/// The row. `now` says which is chosen; `choose` is called with the new one.
pub fn segment(
    legend: &'static str,
    group: &'static str,
    options: &'static [&'static str],
    now: Signal<usize>,
    choose: impl Fn(usize) + 'static,
) -> AnyView {
    row(legend, group, options.iter().map(|o| (*o).to_owned()).collect(), now, std::rc::Rc::new(choose))
}

/// The same with options that are only known at run time.
pub fn row(
    legend: &'static str,
    group: &'static str,
    options: Vec<String>,
    now: Signal<usize>,
    choose: std::rc::Rc<dyn Fn(usize)>,
) -> AnyView {
    let items: Vec<AnyView> = options
        .into_iter()
        .enumerate()
        .map(|(n, label)| {
            let choose = choose.clone();
            view! {
                <label>
                    <input type="radio" name=group prop:checked=move || now.get() == n
                        on:change=move |_| choose(n) />
                    <span>{label}</span>
                </label>
            }
            .into_any()
        })
        .collect();
    view! {
        <fieldset class="segment">
            <legend>{legend}</legend>
            <div class="segment-row">{items}</div>
        </fieldset>
    }
    .into_any()
}
