//! What findings, suspects and deeds are called, and numbers in a row.

use super::case::{Case, Worked};
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{self, line, tag};
use codebook::often::Often;
use diagnosis::frozen;
use diagnosis::key::Key;
use diagnosis::next::Deed;
use diagnosis::plain;
use diagnosis::price::Price;
use diagnosis::suspects::Suspect;

/// A finding that is there or not, in a few words.
pub fn found(case: &Case, key: &Key, there: bool) -> String {
    let name = finding(case, key);
    match key {
        _ if there => name,
        Key::Step(_) => name.replacen(STOPS, "Power-up got past step ", 1),
        _ => "Not there: ".to_owned() + &name,
    }
}

const STOPS: &str = "Power-up stops at step ";

/// A finding in a few words.
pub fn finding(case: &Case, key: &Key) -> String {
    let book = &case.book.model;
    match key {
        Key::Code(code) => {
            let found = case.book.lookup(code, None, Some(&case.board));
            let title = found.into_iter().next().map(|f| f.title);
            let title = title.filter(|t| !t.is_empty());
            "Code ".to_owned() + code + &title.map(|t| ": ".to_owned() + &t).unwrap_or_default()
        }
        Key::Step(step) => {
            let found = book.steps.iter().find(|s| s.id == *step);
            let name = found.map_or("", |s| s.name.as_str());
            [STOPS, step, ", ", name].concat()
        }
        Key::Symptom(id) => {
            let found = book.symptoms.iter().find(|s| s.id == *id);
            found.map_or_else(|| id.clone(), |s| bits::sentence(&s.title))
        }
        Key::Check(check, result) => {
            let found = book.checks.iter().find(|c| c.id == *check);
            let title = found.map_or(check.as_str(), |c| c.title.as_str());
            let says = found.and_then(|c| c.results.iter().find(|r| r.id == *result));
            let says = says.map_or(result.as_str(), |r| r.says.as_str());
            [&bits::sentence(title), ": ", says].concat()
        }
    }
}

/// A repair that did not help.
pub fn in_vain(case: &Case, repair: &str) -> String {
    "Done, still dead: ".to_owned() + &frozen::repair(&case.book.model, repair)
}

/// A suspect's name.
pub fn suspect(case: &Case, cause: Option<usize>) -> String {
    bits::sentence(&frozen::title(&case.book.model, cause))
}

/// The same within a sentence, by its place in the model.
pub fn at_small(case: &Case, worked: &Worked, at: usize) -> String {
    let cause = worked.answer.model.causes.get(at).copied();
    frozen::title(&case.book.model, cause)
}

/// A suspect's name, by its place in the model.
pub fn at(case: &Case, worked: &Worked, at: usize) -> String {
    suspect(case, worked.answer.model.causes.get(at).copied())
}

/// What is to be done.
pub fn deed(case: &Case, deed: &Deed) -> String {
    bits::sentence(&frozen::deed(&case.book.model, deed))
}

/// The same within a sentence.
pub fn deed_small(case: &Case, deed: &Deed) -> String {
    frozen::deed(&case.book.model, deed)
}

/// A number of money or of weighed cost, short.
pub fn cost(n: f64) -> String {
    if n < 10.0 && (n - n.round()).abs() >= 0.05 {
        let tenths = (n * 10.0).round() as i64;
        (tenths / 10).to_string() + "." + &(tenths % 10).to_string()
    } else {
        (n.round() as i64).to_string()
    }
}

/// A price and what it is made of.
pub fn price(price: &Price) -> String {
    let minutes = (price.minutes.round() as i64).to_string();
    let mut text = minutes + " minutes";
    if price.money > 0.0 {
        text = text + ", " + &cost(price.money) + " for parts";
    }
    if price.risk > 0.0 {
        text = text + ", a risk that counts as " + &cost(price.risk);
    } else {
        text += ", no risk counted";
    }
    text
}

/// How often, with its number.
pub fn often(often: &Often) -> String {
    let counted = if often.counted.is_finite() {
        (often.counted.round() as i64).to_string()
    } else {
        return Often::word(often.share).to_owned() + ", without a doubt";
    };
    [
        Often::word(often.share),
        " (",
        &plain::percent(often.share),
        ", counts as ",
        &counted,
        " consoles)",
    ]
    .concat()
}

/// How probable a suspect is: in words, a bar with the range, and the range.
pub fn how_probable(suspect: &Suspect) -> Dom {
    let words = sentence(suspect.now);
    let range = nine_in_ten(suspect.low, suspect.high);
    Dom::many(vec![
        tag(
            "p",
            "sus-words",
            vec![line("b", "", words), line("span", "small", range)],
        ),
        bar(suspect.now, suspect.low, suspect.high),
    ])
}

/// Where it lies in nine draws of ten.
pub fn nine_in_ten(low: f64, high: f64) -> String {
    if low == high {
        // Nothing was drawn.
        return String::new();
    }
    "9 times in 10 ".to_owned() + &between(low, high)
}

/// "between 40 and 75 %", or "under 1 %".
pub fn between(low: f64, high: f64) -> String {
    let range = plain::range(low, high);
    let (low, high) = range.split_once(" to ").unwrap_or(("", ""));
    if high.is_empty() {
        range
    } else {
        ["between ", low, " and ", high].concat()
    }
}

/// "About 3 in 5 (62 %)".
pub fn sentence(p: f64) -> String {
    let words = bits::sentence(&plain::share(p));
    if (0.005..=0.995).contains(&p) {
        words + " (" + &plain::percent(p) + ")"
    } else {
        words
    }
}

/// A bar for the eye; the words beside it say the same.
fn bar(now: f64, low: f64, high: f64) -> Dom {
    let part = |class: &'static str, from: f64, to: f64| {
        let percent = |p: f64| ((p * 1000.0).round() / 10.0).to_string() + "%";
        let (left, width) = (percent(from), percent(to - from));
        El::new("span")
            .class(class)
            .live_style("left", move || left.clone())
            .live_style("width", move || width.clone())
            .done()
    };
    El::new("span")
        .class("sus-bar")
        .attr("aria-hidden", "true")
        .kid(part("sus-now", 0.0, now))
        .kid(part("sus-range", low, high))
        .done()
}
