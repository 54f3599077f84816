//! Doing a check: how, where, what to expect, and what came of it.

use super::case::{Case, trial_bar};
use super::{advice, home, names};
use crate::app::App;
use crate::consoles::{address, back};
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::storage;
use crate::route;
use crate::text;
use crate::widgets::bits::{
    bullets, button, icon, line, link, link_with, mark, nothing, pair, section, sentence, spoken,
    tag, title, with_code,
};
use codebook::model::{BenchCheck, CheckResult};
use diagnosis::facts::{by_value, window, window_of};
use diagnosis::key::Key;
use diagnosis::meter::Limits;
use diagnosis::next::Deed;
use diagnosis::price::check_price;
use leptos::prelude::event_target_value;
use notebook::measure::Typing;
use notebook::{Edit, measure};
use serde_json::json;
use std::rc::Rc;

/// The meter's accuracy as it was typed last.
const METER: &str = "faultleaf.meter";

/// The page.
pub fn page(app: App, case: Rc<Case>, id: &str) -> Dom {
    let to = back(&case.address(), "Back to the suspects");
    let found = case.book.model.checks.iter().find(|c| c.id == id);
    let Some(check) = found.cloned() else {
        return Dom::many(vec![
            to,
            title("No such check"),
            line("p", "", text::NO_CHECK),
        ]);
    };
    let price = check_price(&check, &case.chosen.weights);
    let how = check.how.iter().map(|step| tag("li", "", with_code(step)));
    Dom::many(vec![
        to,
        title(sentence(&check.title)),
        trial_bar(app, &case),
        line("p", "small", names::price(&price) + "."),
        risk(&check),
        section("how", "How", vec![tag("ol", "steps-all", how.collect())]),
        expected(&case, &check),
        came(app, &case, &check),
        means(&case, &check),
    ])
}

fn risk(check: &BenchCheck) -> Dom {
    let words = match check.risk.as_str() {
        "real" => text::CHECK_REAL,
        "small" => text::CHECK_SMALL,
        _ => return nothing(),
    };
    tag(
        "p",
        "caution",
        vec![
            icon("caution"),
            line("span", "", words),
            Dom::text(" "),
            link("", "/bench/cautions", vec![Dom::text("Cautions")]),
        ],
    )
}

/// Where, which range, and what a good board gives.
fn expected(case: &Case, check: &BenchCheck) -> Dom {
    let (Some(measured), Some((place, others))) = (&check.measure, window_of(check, &case.board))
    else {
        return nothing();
    };
    let reads = |limits| limits_words(limits, &measured.quantity);
    let good = if window(check, &case.board).is_some() {
        reads(others)
    } else {
        // One line for each board that differs, and one for all others.
        let each = measured.boards.keys();
        let each = each.filter_map(|b| Some(b.clone() + ": " + &reads(window_of(check, b)?.1)));
        let mut each: Vec<String> = each.collect();
        each.push("Other boards: ".to_owned() + &reads(others));
        each.join("; ")
    };
    let name = measure::QUANTITIES
        .iter()
        .find(|(q, _)| *q == measured.quantity);
    let mut rows = vec![
        pair("Measure", name.map_or("", |(_, n)| n)),
        pair("Where", place),
    ];
    if !measured.range.is_empty() {
        rows.push(pair("Meter's range", &measured.range));
    }
    rows.push(pair("A good board reads", good));
    tag("dl", "pairs", rows)
}

fn limits_words(limits: Limits, quantity: &str) -> String {
    let unit = measure::unit(quantity);
    let with = |n: f64| n.to_string() + " " + unit;
    match (limits.low, limits.high) {
        (Some(low), Some(high)) => low.to_string() + " to " + &with(high),
        (Some(low), None) => with(low) + " or more",
        (None, Some(high)) => with(high) + " or less",
        (None, None) => "the book does not say for this board".to_owned(),
    }
}

/// Entering the result.
fn came(app: App, case: &Rc<Case>, check: &BenchCheck) -> Dom {
    let mut parts = Vec::new();
    let limits = window(check, &case.board).map(|w| w.1);
    let measured = check.measure.is_some() && check.results.iter().any(|r| !r.when.is_empty());
    if let (true, Some(limits)) = (measured, limits) {
        parts.push(measuring(app, case, check, limits));
    } else if measured {
        parts.push(mark("warn", "info", text::WINDOW_NEEDS_BOARD));
        parts.push(home::boards_of(app, case));
    }
    let by_hand: Vec<&CheckResult> = check
        .results
        .iter()
        .filter(|r| !measured || (r.when.is_empty() && !r.shows.is_empty()))
        .collect();
    if measured && !by_hand.is_empty() {
        parts.push(line("p", "", text::OR_SEEN));
    }
    let given = |r: &CheckResult| {
        let key = Key::Check(check.id.clone(), r.id.clone());
        let found = case.facts.noticed.iter().find(|n| n.key == key);
        found.is_some_and(|n| n.if_there > n.if_not)
    };
    let mut given_now = by_hand.iter().filter(|r| given(r));
    if let Some(now) = given_now.next() {
        let words = "Noted so far: ".to_owned() + &now.says;
        parts.push(mark("", "check", words));
    }
    for result in by_hand {
        let (case, check, result_own) = (case.clone(), check.clone(), result.clone());
        parts.push(button("plain wide", "right", &result.says, move || {
            save_choice(app, &case, &check, &result_own);
        }));
    }
    if check.results.is_empty() {
        let id = device::random_id();
        let to = address(&case.console.id) + "/" + &id + "?kind=check&job=" + &case.job.id;
        parts.push(line("p", "", text::UNWEIGHED));
        parts.push(link_with("main", &to, "check", "Note what came of it"));
    }
    section("came", "What came of it?", vec![tag("div", "stack", parts)])
}

fn measuring(app: App, case: &Rc<Case>, check: &BenchCheck, limits: Limits) -> Dom {
    let kept = storage::object(METER);
    let own = |key: &str| {
        let text = kept.get(key).and_then(|v| v.as_str());
        State::new(text.unwrap_or_default().to_owned())
    };
    let value = State::new(String::new());
    let (percent, counts) = (own("percent"), own("counts"));
    // Not remembered: contacts and leads differ from day to day.
    let leads = State::new(String::new());
    let quantity = check
        .measure
        .as_ref()
        .map(|m| m.quantity.clone())
        .unwrap_or_default();
    let unit = measure::unit(&quantity);
    let resistance = quantity == "resistance";
    let told = {
        let (check, quantity) = (check.clone(), quantity.clone());
        move || {
            let (v, p, c, l) = (value.get(), percent.get(), counts.get(), leads.get());
            if v.trim().is_empty() {
                return nothing();
            }
            let typed = Typing {
                quantity: &quantity,
                value: &v,
                percent: &p,
                counts: &c,
                leads: &l,
            };
            match by_value(&check, typed, limits) {
                Ok(list) => {
                    let mut out = vec![line("p", "told", typed.told())];
                    if let Ok(Some(m)) = typed.meant()
                        && m.half > m.number.abs()
                        && m.number > 0.0
                        && !resistance
                    {
                        out.push(line("p", "small", text::ALL_DIGITS));
                    }
                    if resistance && l.trim().is_empty() {
                        out.push(line("p", "small", measure::LEADS_UNKNOWN));
                    }
                    for (id, p) in list {
                        let result = check.results.iter().find(|r| r.id == id);
                        let says = result.map_or("", |r| r.says.as_str());
                        let words = [says, " ", &names::sentence(p), "."].concat();
                        out.push(line("p", "told", words));
                    }
                    Dom::many(out)
                }
                Err(why) => line("p", "told bad-words", why),
            }
        }
    };
    let (case, check) = (case.clone(), check.clone());
    let save = button("main wide", "check", "Save this value", move || {
        let [v, p, c, l] = [value, percent, counts, leads].map(State::get_untracked);
        let typed = Typing {
            quantity: &quantity,
            value: &v,
            percent: &p,
            counts: &c,
            leads: &l,
        };
        if let Err(why) = typed.meant() {
            let empty = v.trim().is_empty();
            app.toasts.say(if empty { text::VALUE_FIRST } else { &why });
            return;
        }
        storage::set(METER, &json!({ "percent": p, "counts": c }));
        let place = window(&check, &case.board).map(|w| w.0).unwrap_or_default();
        let data = notebook::filled(&[
            ("console", &case.console.id),
            ("job", &case.job.id),
            ("day", &device::today()),
            ("quantity", &quantity),
            ("place", &place),
            ("value", &v),
            ("percent", &p),
            ("counts", &c),
            ("leads", &l),
            ("book", &case.book.model.id),
            ("check", &check.id),
        ]);
        save(
            app,
            &case,
            Edit::new(&device::random_id(), "measurement", data),
        );
    });
    tag(
        "div",
        "form",
        vec![
            field("Value, as the meter shows it", unit, "text", value),
            if resistance {
                Dom::many(vec![
                    field("Tips held together read", unit, "decimal", leads),
                    line("p", "small", text::LEADS_HELP),
                ])
            } else {
                nothing()
            },
            tag(
                "div",
                "two",
                vec![
                    field("Meter accuracy: % of reading", "%", "decimal", percent),
                    field("Meter accuracy: digits", "digits", "decimal", counts),
                ],
            ),
            line("p", "small", text::METER_HELP),
            spoken("", vec![Dom::live(told)]),
            save,
        ],
    )
}

/// A box for a number. What a meter shows may have a letter in it, such as 4k7.
fn field(label: &str, unit: &str, mode: &str, value: State<String>) -> Dom {
    let label = if label.split(' ').any(|word| word == unit) {
        label.to_owned()
    } else {
        [label, ", ", unit].concat()
    };
    let input = El::new("input")
        .attr("type", "text")
        .attr("autocomplete", "off")
        .attr("autocapitalize", "off")
        .attr("inputmode", mode)
        .live_prop("value", move || value.get().into())
        .on("input", move |e| value.set(event_target_value(&e)));
    tag(
        "label",
        "field",
        vec![line("span", "", label), input.done()],
    )
}

fn save_choice(app: App, case: &Rc<Case>, check: &BenchCheck, result: &CheckResult) {
    let verdict = if result.shows.is_empty() {
        "good"
    } else {
        "bad"
    };
    let data = notebook::filled(&[
        ("console", &case.console.id),
        ("job", &case.job.id),
        ("day", &device::today()),
        ("what", &sentence(&check.title)),
        ("result", verdict),
        ("book", &case.book.model.id),
        ("check", &check.id),
        ("answer", &result.id),
        ("says", &result.says),
    ]);
    save(app, case, Edit::new(&device::random_id(), "check", data));
}

/// Saves, and goes back to the suspects with a word on what changed.
fn save(app: App, case: &Rc<Case>, edit: Edit) {
    let case = case.clone();
    let moved = case.moved(&edit);
    leptos::task::spawn_local(async move {
        if app.notes.save(&[edit], &[]).await.is_ok() {
            app.toasts.say(&moved);
            route::go(app.route, &case.address());
        }
    });
}

/// What the results would change, and what the book says in words.
fn means(case: &Case, check: &BenchCheck) -> Dom {
    let worked = case.work(false);
    let at = case.book.model.checks.iter().position(|c| c.id == check.id);
    let choice = worked.options.choices.iter().find(|c| match c.deed {
        Deed::Check(own) => Some(own) == at,
        _ => false,
    });
    let mut parts = Vec::new();
    match choice {
        Some(choice) => parts.push(advice::then(case, &worked, choice)),
        None if case.facts.done.contains(&check.id) => {
            parts.push(mark("", "check", text::CHECK_DONE));
        }
        None => {}
    }
    if !check.tells.is_empty() {
        parts.push(line("p", "small", "In the book's words:"));
        parts.push(bullets(check.tells.clone()));
    }
    section("means", "What to expect of it", parts)
}
