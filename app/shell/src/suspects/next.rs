//! All that can be done next, on one scale.

use super::case::{Case, Worked, trial_bar};
use super::{advice, names};
use crate::app::App;
use crate::consoles::back;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{
    button, count, fold, fold_later, fold_named, line, link_with, nothing, section, sentence, tag,
    title,
};
use codebook::model::BenchCheck;
use diagnosis::next::{Choice, Deed, applies, reached};
use std::rc::Rc;

/// The page.
pub fn page(app: App, case: Rc<Case>) -> Dom {
    let worked = case.work(false);
    let row = |c: &Choice| {
        let own = if matches!(c.deed, Deed::Stop) {
            nothing()
        } else {
            line("p", "small", names::price(&c.price))
        };
        let mut parts = vec![line("b", "deed", names::deed(&case, &c.deed)), own];
        parts.push(advice::why(&case, &worked, c));
        if let Deed::Check(at) = c.deed
            && let Some(check) = case.book.model.checks.get(at)
        {
            let to = [&case.address(), "/check/", &check.id].concat();
            let pair = (case.book.model.id.clone(), check.id.clone());
            let not = button("plain", "close", "I can't do this", move || {
                crate::platform::page::keep_place();
                app.chosen.update(|c| {
                    if !c.cannot.contains(&pair) {
                        c.cannot.push(pair.clone());
                    }
                });
            });
            parts.push(tag(
                "div",
                "row",
                vec![link_with("plain", &to, "check", "Do this check"), not],
            ));
        }
        if let Deed::Repair(at) = c.deed {
            let both = [true, false].map(|works| advice::repaired(app, &case, at, works));
            parts.push(tag("div", "row", both.into()));
        }
        tag("li", "option", parts)
    };
    let all = &worked.options.choices;
    let first = all.iter().filter(|c| !c.waits).map(row).collect();
    let later: Vec<Dom> = all.iter().filter(|c| c.waits).map(row).collect();
    let waits = if later.is_empty() {
        nothing()
    } else {
        let head = count(later.len(), "check can wait", "checks can wait");
        fold_named(
            "waits",
            head,
            vec![
                line("p", "small", text::WAITS_LEAD),
                tag("ul", "options", later),
            ],
        )
    };
    Dom::many(vec![
        back(&case.address(), "Back to the suspects"),
        title(text::NEXT_TITLE),
        line("p", "lead", text::NEXT_LEAD),
        trial_bar(app, &case),
        tag("ul", "options", first),
        waits,
        repairs(app, &case, &worked),
        done(&case),
        too_early(&case, &worked),
        unweighed(&case, &worked.options.unweighed),
        cannot(app, &case),
        section(
            "costs",
            "What counts how much",
            vec![
                line("p", "small", text::WEIGHTS_LEAD),
                tag(
                    "div",
                    "row",
                    vec![link_with(
                        "plain",
                        "/suspects/weights",
                        "edit",
                        "What things cost you",
                    )],
                ),
            ],
        ),
    ])
}

/// Suspects at least so probable have their repairs listed.
const PROBABLE: f64 = 0.05;

/// Repairs of the suspects that lead, advised or not: to note what was done.
fn repairs(app: App, case: &Rc<Case>, worked: &Rc<Worked>) -> Dom {
    let model = &case.book.model;
    let advised = |at: usize| {
        worked
            .options
            .choices
            .iter()
            .any(|c| c.deed == Deed::Repair(at))
    };
    let made = |id: &String| case.facts.repairs.contains(id);
    let mut all: Vec<usize> = Vec::new();
    for s in worked.answer.suspects.iter().filter(|s| s.now >= PROBABLE) {
        let cause = s.cause.and_then(|c| model.causes.get(c));
        for id in cause.into_iter().flat_map(|c| &c.repairs) {
            let at = model.repairs.iter().position(|r| r.id == *id);
            all.extend(at.filter(|at| !all.contains(at) && !advised(*at) && !made(id)));
        }
    }
    if all.is_empty() {
        return nothing();
    }
    let head = count(all.len(), "more repair", "more repairs");
    let case = case.clone();
    fold_later("more-repairs", head, move || {
        let rows = all.iter().filter_map(|at| {
            let repair = case.book.model.repairs.get(*at)?;
            let price = diagnosis::price::repair_price(repair, &case.chosen.weights);
            let both = [true, false].map(|works| advice::repaired(app, &case, *at, works));
            let own = line("p", "small", names::price(&price));
            let name = line("b", "deed", names::deed(&case, &Deed::Repair(*at)));
            Some(tag(
                "li",
                "option",
                vec![name, own, tag("div", "row", both.into())],
            ))
        });
        let list = tag("ul", "options", rows.collect());
        vec![line("p", "small", text::REPAIRS_LEAD), list]
    })
}

/// Checks that were done, to do them again.
fn done(case: &Case) -> Dom {
    let all = case.book.model.checks.iter();
    let own = all.filter(|c| case.facts.done.contains(&c.id));
    checks(case, own, ["check done", "checks done"], text::CHECKS_DONE)
}

/// Checks that need a console that gets further.
fn too_early(case: &Case, worked: &Worked) -> Dom {
    let model = &case.book.model;
    let all = model.checks.iter().filter(|c| applies(c, &case.board));
    let own = all.filter(|c| !reached(model, c, &worked.facts));
    let head = ["check can't be done yet", "checks can't be done yet"];
    checks(case, own, head, text::TOO_EARLY)
}

/// Checks that the book does not say enough about.
fn unweighed(case: &Case, list: &[usize]) -> Dom {
    let own = list.iter().filter_map(|at| case.book.model.checks.get(*at));
    let head = ["check can't be weighed", "checks can't be weighed"];
    checks(case, own, head, text::UNWEIGHED)
}

/// A folded list of checks.
fn checks<'c>(
    case: &Case,
    list: impl Iterator<Item = &'c BenchCheck>,
    head: [&str; 2],
    about: &'static str,
) -> Dom {
    let base = case.address();
    let rows = list.map(|c| {
        let to = [&base, "/check/", &c.id].concat();
        let name = sentence(&c.title);
        tag("li", "", vec![link_with("plain", &to, "check", &name)])
    });
    let rows: Vec<Dom> = rows.collect();
    if rows.is_empty() {
        return nothing();
    }
    let [one, many] = head;
    let head = count(rows.len(), one, many);
    let about = line("p", "small", about);
    fold(head, false, vec![about, tag("ul", "plain-list", rows)])
}

/// Checks that the person can't do.
fn cannot(app: App, case: &Case) -> Dom {
    let id = case.book.model.id.clone();
    let own: Vec<String> = case.chosen.cannot(&id).collect();
    let checks = case.book.model.checks.iter();
    let rows = checks
        .filter(|c| own.contains(&c.id) && applies(c, &case.board))
        .map(|c| {
            let pair = (id.clone(), c.id.clone());
            let name = sentence(&c.title);
            let back = button("plain", "undo", "I can do it", move || {
                app.chosen.update(|c| c.cannot.retain(|p| *p != pair));
            });
            tag("li", "", vec![line("span", "", name), Dom::text(" "), back])
        });
    let rows: Vec<Dom> = rows.collect();
    if rows.is_empty() {
        return nothing();
    }
    let head = count(
        rows.len(),
        "check left out, as you can't do it",
        "checks left out, as you can't do them",
    );
    fold(head, false, vec![tag("ul", "plain-list", rows)])
}
