//! Why a suspect stands where it stands: every number asked, and answered.

use super::case::{Case, Worked, trial_bar};
use super::names;
use crate::app::App;
use crate::consoles::back;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{
    bullets, count, fold_named, line, link, nothing, pair, section, sentence, tag, title,
};
use diagnosis::key::Key;
use diagnosis::model::Basis;
use diagnosis::plain;
use diagnosis::prior::{OPINION_MOST, Outcome, Row, outside_the_book, priors};
use diagnosis::suspects::{Of, Reason, Suspect};
use std::rc::Rc;

/// The page of the suspect at this place in the model.
pub fn page(app: App, case: Rc<Case>, at: &str) -> Dom {
    let worked = case.work(true);
    let at: usize = at.parse().unwrap_or(usize::MAX);
    let to = back(&case.address(), "Back to the suspects");
    let Some(s) = worked.answer.suspects.iter().find(|s| s.at == at) else {
        return Dom::many(vec![
            to,
            title("No such suspect"),
            line("p", "", text::NO_SUSPECT),
        ]);
    };
    let cause = s.cause.and_then(|c| case.book.model.causes.get(c));
    let about = cause.map_or(text::NONE_MEANS, |c| c.about.as_str());
    let parts = cause.map(|c| c.parts.join(", ")).unwrap_or_default();
    Dom::many(vec![
        to,
        title(names::suspect(&case, s.cause)),
        trial_bar(app, &case),
        names::how_probable(s),
        line("p", "", about),
        if parts.is_empty() {
            nothing()
        } else {
            line("p", "small", "Parts: ".to_owned() + &parts)
        },
        before(&case, s),
        reasons(&case, &worked, s),
        range(&worked, s),
        alike(&case, &worked, s),
        repairs(&case, s),
    ])
}

/// The share before anything was known.
fn before(case: &Case, s: &Suspect) -> Dom {
    let mut parts = vec![line(
        "p",
        "",
        names::sentence(s.base)
            + if case.board.is_empty() {
                text::BASE_FAMILY
            } else {
                text::BASE_MEANS
            },
    )];
    match case.priors.rows.get(s.at) {
        Some(row) => {
            parts.push(tag("dl", "pairs", counts(case, row)));
            parts.push(line("p", "small", text::POOL_MEANS));
            parts.push(line("p", "", "How it would move:"));
            parts.push(bullets(moves(case, s)));
        }
        None => {
            let said = names::often(&case.priors.unlisted);
            let words = [
                "By the book and your closed jobs: ",
                &said,
                ". ",
                text::UNLISTED_MEANS,
            ];
            let words = words.concat();
            parts.push(line("p", "small", words));
            let own = outside_the_book(&case.book.model, &case.outcomes);
            if own.of > 0.0 {
                let of = [&names::cost(own.cases), " of ", &names::cost(own.of)].concat();
                let row = pair("Your closed jobs of this family", of);
                parts.push(tag("dl", "pairs", vec![row]));
            }
        }
    }
    section("before", "Before anything is known", parts)
}

fn counts(case: &Case, row: &Row) -> Vec<Dom> {
    let number = |n: f64| names::cost(n);
    let of = |c: diagnosis::pool::Count| {
        if c.of > 0.0 {
            [&number(c.cases), " of ", &number(c.of)].concat()
        } else {
            "none".to_owned()
        }
    };
    let opinion = if case.chosen.opinion {
        let seen = case
            .book
            .model
            .causes
            .get(row.cause)
            .and_then(|c| c.seen.get(&case.board));
        let limited = if seen.is_some_and(|s| f64::from(s.of) > OPINION_MOST) {
            ["; counts as ", &of(row.opinion)].concat()
        } else {
            String::new()
        };
        row.said.clone() + &limited
    } else {
        "switched off".to_owned()
    };
    vec![
        pair("The book's author, for this board", opinion),
        pair("Your closed jobs of this board", of(row.own)),
        pair(
            if case.board.is_empty() {
                "All boards of the family"
            } else {
                "The other boards of the family"
            },
            of(row.others),
        ),
        pair("Share together", plain::percent(row.share)),
    ]
}

/// What one, three and ten more such outcomes would make of it.
fn moves(case: &Case, s: &Suspect) -> Vec<String> {
    let Some(cause) = s.cause.and_then(|c| case.book.model.causes.get(c)) else {
        return Vec::new();
    };
    let with = |n: usize| {
        let mut all = case.outcomes.clone();
        for _ in 0..n {
            all.push(Outcome {
                board: case.board.clone(),
                causes: vec![cause.id.clone()],
            });
        }
        let priors = priors(&case.book.model, &case.board, &all, case.chosen.opinion);
        priors.rows.get(s.at).map(|r| r.share).unwrap_or_default()
    };
    [1, 3, 10]
        .iter()
        .map(|n| {
            let jobs = if *n == 1 {
                "If the next closed job shows this: ".to_owned()
            } else {
                ["If the next ", &n.to_string(), " closed jobs show this: "].concat()
            };
            jobs + &plain::percent(with(*n))
        })
        .collect()
}

fn reasons(case: &Case, worked: &Worked, s: &Suspect) -> Dom {
    let all = worked.answer.reasons(s.at);
    if all.is_empty() {
        return nothing();
    }
    let row = |r: &Reason| {
        let name = match r.of {
            Of::Noticed(at) => {
                let noticed = worked.facts.noticed.get(at)?;
                names::found(case, &noticed.key, noticed.if_there > noticed.if_not)
            }
            Of::Repair(at) => names::in_vain(case, worked.facts.repairs.get(at)?),
        };
        let mut words = sentence(&plain::weight(r.weight)) + ". Without it: ";
        words += &plain::percent(r.without);
        words += ".";
        Some(tag(
            "li",
            "",
            vec![
                line("b", "", name),
                line("p", "", words),
                line("p", "small", link_words(case, s, r)),
            ],
        ))
    };
    let (mut some, mut rest, mut passed) = (Vec::new(), Vec::new(), 0);
    for r in &all {
        if r.weight.abs() >= 1.0 {
            some.extend(row(r));
        } else if is_passed(worked, r) {
            passed += 1;
        } else {
            rest.extend(row(r));
        }
    }
    if passed > 0 {
        let words = count(passed, "step", "steps") + " that power-up got past";
        rest.push(tag("li", "", vec![line("b", "", words)]));
    }
    let quiet = if rest.is_empty() {
        nothing()
    } else {
        let head = count(rest.len(), "finding says", "findings say");
        let head = head + " next to nothing about it";
        fold_named("quiet", head, vec![tag("ul", "reasons", rest)])
    };
    let together = plain::decibans(plain::odds(s.now) / plain::odds(s.base));
    let [base, now] = [s.base, s.now].map(plain::percent);
    let together = [
        "All together: from ",
        &base,
        " to ",
        &now,
        "; it ",
        &plain::weight(together),
        ".",
    ];
    section(
        "reasons",
        "What speaks for and against it",
        vec![
            line("p", "", together.concat()),
            line("p", "small", text::WEIGHT_MEANS),
            tag("ul", "reasons", some),
            quiet,
        ],
    )
}

/// Whether it is a step that power-up got past.
fn is_passed(worked: &Worked, r: &Reason) -> bool {
    let Of::Noticed(at) = r.of else {
        return false;
    };
    let found = worked.facts.noticed.get(at);
    found.is_some_and(|n| matches!(n.key, Key::Step(_)) && n.if_there <= n.if_not)
}

/// What the book says about a finding, or a repair, and this suspect.
fn link_words(case: &Case, s: &Suspect, r: &Reason) -> String {
    if let Of::Repair(at) = r.of {
        let id = case.facts.repairs.get(at).map_or("", String::as_str);
        let cause = s.cause.and_then(|c| case.book.model.causes.get(c));
        if cause.is_some_and(|c| c.repairs.iter().any(|r| r == id)) {
            let share = plain::percent(diagnosis::suspects::mends(&case.book.model, id));
            return [
                "The repair is for it, and mends it in ",
                &share,
                " of cases.",
            ]
            .concat();
        }
        return text::OTHER_REPAIR.to_owned();
    }
    match &r.link {
        Some((often, Basis::Said)) => {
            "With it alone, the book says, this is seen: ".to_owned() + &names::often(often) + "."
        }
        Some((often, Basis::Listed)) => {
            let words = names::often(often);
            [
                "The book lists it and does not say how often; taken as ",
                &words,
                ".",
            ]
            .concat()
        }
        Some((often, Basis::Anything)) => {
            let share = plain::percent(often.share);
            [
                "A fault that is not in the book may show anything: taken as ",
                &share,
                ".",
            ]
            .concat()
        }
        None if r.weight >= 1.0 => text::NO_LINK_FOR.to_owned(),
        None if r.weight <= -1.0 => text::NO_LINK_AGAINST.to_owned(),
        None => text::NO_LINK.to_owned(),
    }
}

fn range(worked: &Worked, s: &Suspect) -> Dom {
    if worked.answer.draws == 0 {
        return section(
            "range",
            "How surely it is known",
            vec![line("p", "", text::NO_RANGE)],
        );
    }
    let words = [
        &names::nine_in_ten(s.low, s.high).replacen("9 times", "It lies 9 times", 1),
        ". ",
        &worked.answer.draws.to_string(),
        text::RANGE_MEANS,
    ];
    section(
        "range",
        "How surely it is known",
        vec![line("p", "", words.concat())],
    )
}

fn alike(case: &Case, worked: &Worked, s: &Suspect) -> Dom {
    let reach = case.within_reach(&worked.facts);
    let question = case.question(&reach);
    let all = worked.answer.alike(&question, s.at);
    let rows: Vec<Dom> = all
        .iter()
        .map(|a| {
            let name = names::at(case, worked, a.at);
            let now = worked.answer.suspects.iter().find(|s| s.at == a.at);
            let now = names::sentence(now.map(|s| s.now).unwrap_or_default());
            let mut kids = vec![line("b", "", name), line("p", "", now + ".")];
            if a.same {
                kids.push(line("p", "", text::SAME_ALONE));
            }
            let check = a
                .check
                .and_then(|(c, db)| Some((case.book.model.checks.get(c)?, db)));
            match check {
                Some((check, db)) => {
                    let to = [&case.address(), "/check/", &check.id].concat();
                    let name = sentence(&check.title);
                    let n = (db.round() as i64).to_string();
                    let tail = [", by ", &n, " decibans on average."].concat();
                    kids.push(tag(
                        "p",
                        "",
                        vec![
                            Dom::text("Told apart best by: "),
                            link("", &to, vec![Dom::text(&name)]),
                            Dom::text(&tail),
                        ],
                    ));
                }
                None => kids.push(line("p", "", text::NOT_APART)),
            }
            tag("li", "", kids)
        })
        .collect();
    if rows.is_empty() {
        return section(
            "alike",
            "What else looks the same",
            vec![line("p", "", text::NONE_ALIKE)],
        );
    }
    section(
        "alike",
        "What else looks the same",
        vec![
            line("p", "small", text::ALIKE_LEAD),
            tag("ul", "reasons", rows),
        ],
    )
}

fn repairs(case: &Case, s: &Suspect) -> Dom {
    let Some(cause) = s.cause.and_then(|c| case.book.model.causes.get(c)) else {
        return nothing();
    };
    let all = case
        .book
        .model
        .repairs
        .iter()
        .filter(|r| cause.repairs.contains(&r.id));
    let rows: Vec<Dom> = all
        .map(|r| {
            let price = diagnosis::price::repair_price(r, &case.chosen.weights);
            let mends = diagnosis::suspects::mends(&case.book.model, &r.id);
            let said = if r.mends.is_empty() {
                "nothing, taken as nearly always"
            } else {
                &r.mends
            };
            let words = [
                names::price(&price),
                "; how often it mends it, by the book: ".to_owned(),
                said.to_owned(),
                " (".to_owned(),
                plain::percent(mends),
                ").".to_owned(),
            ];
            tag(
                "li",
                "",
                vec![
                    line("b", "", sentence(&r.title)),
                    line("p", "", &r.about),
                    line("p", "small", words.concat()),
                    bullets(r.hazards.clone()),
                ],
            )
        })
        .collect();
    if rows.is_empty() {
        return nothing();
    }
    section("repairs", "Repairs", vec![tag("ul", "reasons", rows)])
}
