//! Diagnoses kept with a job, and shown again.

use super::case::{Case, Worked};
use super::names;
use crate::consoles::address;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{bullets, fold, line, link_with, mark, nothing, pair, sentence, tag};
use diagnosis::frozen::Frozen;
use diagnosis::plain;
use notebook::{Edit, Item, Record, dates, kinds};

/// The record of a diagnosis as it stands.
pub fn record(case: &Case, worked: &Worked) -> Edit {
    let context = (
        case.board.as_str(),
        case.chosen.opinion,
        case.outcomes.len(),
    );
    let state = diagnosis::frozen::freeze(
        &case.book.model,
        context,
        |n| names::found(case, &n.key, n.if_there > n.if_not),
        &worked.answer,
        &worked.facts,
        &worked.options,
    );
    let first = state.suspects.first();
    let summary = first.map_or_else(String::new, |s| {
        [&sentence(&s.title), ", ", &plain::share(s.now)].concat()
    });
    let summary = [&summary, "; next: ", &state.advice].concat();
    let mut data = notebook::filled(&[
        ("console", &case.console.id),
        ("job", &case.job.id),
        ("day", &device::today()),
        ("summary", &summary),
        ("book", &state.book),
        ("version", &state.version),
        ("board", &state.board),
    ]);
    data.insert("state".to_owned(), state.to_json());
    Edit::new(&device::random_id(), kinds::DIAGNOSIS, data)
}

/// The diagnoses kept with this job.
pub fn list(case: &Case) -> Dom {
    let own = case.items.iter().filter(|i| i.kind == kinds::DIAGNOSIS);
    let rows: Vec<Dom> = own
        .map(|i| {
            let to = address(&case.console.id) + "/" + &i.id;
            let day = dates::words(i.text("day"), &device::today());
            let words = day + ": " + i.text("summary");
            tag("li", "", vec![link_with("plain", &to, "scales", &words)])
        })
        .collect();
    if rows.is_empty() {
        nothing()
    } else {
        tag("ul", "plain-list", rows)
    }
}

/// The page of a diagnosis' record.
pub fn of_record(record: &Record) -> Dom {
    if record.kind != kinds::DIAGNOSIS {
        return nothing();
    }
    let item = Item::of(record);
    let state = item.view.data.get("state");
    let Some(frozen) = state.and_then(Frozen::from_json) else {
        return mark("bad", "bad", text::DIAGNOSIS_DAMAGED);
    };
    let row = |s: &diagnosis::frozen::Then| {
        let words = [
            names::sentence(s.now),
            ", ".to_owned(),
            names::between(s.low, s.high),
            "; before: ".to_owned(),
            plain::percent(s.base),
        ];
        pair(sentence(&s.title), words.concat())
    };
    let (first, rest) = frozen.suspects.split_at(frozen.suspects.len().min(5));
    let noticed = frozen.noticed.iter().map(|n| {
        let name = if n.name.is_empty() { &n.key } else { &n.name };
        let why = vec![line("b", "", name), Dom::text(" "), Dom::text(&n.why)];
        tag("li", "", why)
    });
    let repairs = if frozen.repairs.is_empty() {
        nothing()
    } else {
        let all = frozen.repairs.iter().map(|r| sentence(r));
        Dom::many(vec![line("p", "", text::REPAIRED_BEFORE), bullets(all)])
    };
    let opinion = if frozen.opinion { "with" } else { "without" };
    let basis = [
        "Book ",
        &frozen.book,
        " ",
        &frozen.version,
        ", board ",
        if frozen.board.is_empty() {
            "not known"
        } else {
            &frozen.board
        },
        ", ",
        opinion,
        " the author's opinion, ",
        &frozen.outcomes.to_string(),
        " outcomes of the notebook. Advice: ",
        &frozen.advice,
        ".",
    ];
    tag(
        "section",
        "",
        vec![
            line("p", "", text::AS_IT_WAS),
            tag("dl", "pairs", first.iter().map(row).collect()),
            fold(
                "The other suspects",
                false,
                vec![tag("dl", "pairs", rest.iter().map(row).collect())],
            ),
            fold(
                "What was known",
                false,
                vec![tag("ul", "bullets", noticed.collect())],
            ),
            repairs,
            line("p", "small", basis.concat()),
        ],
    )
}
