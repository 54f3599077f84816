//! The distinct codes: what each means on the chosen board, how often and when,
//! and what it does not prove.

use super::work::Seen;
use crate::app::App;
use crate::platform::dom::Dom;
use crate::widgets::bits::{
    count, fold, icon, line, mark, nothing, pair, section as part, tag, words,
};
use codebook::Found;
use reading::explain::{CAUTION, CodeRow};

/// The section.
pub fn section(app: App, seen: &Seen) -> Dom {
    let style = app.settings.get_untracked().clock();
    let rows: Vec<Dom> = seen.told.codes.iter().map(|row| item(row, style)).collect();
    part(
        "codes",
        "What the codes say",
        vec![
            tag(
                "p",
                "caution",
                vec![icon("caution"), line("span", "", CAUTION)],
            ),
            tag("ul", "codes", rows),
        ],
    )
}

fn item(row: &CodeRow, style: crate::platform::clock::Style) -> Dom {
    let mut found = row.found.iter();
    let first = found.next();
    let title = first.map_or_else(|| "not in the code book".to_owned(), |f| f.title.clone());
    let mut facts = vec![line("span", "", count(row.count, "time", "times"))];
    let when = super::when::span(row, style);
    if !when.is_empty() {
        facts.push(line("span", "", when));
    }
    if !row.steps.is_empty() {
        let word = if row.steps.len() == 1 {
            "at step "
        } else {
            "at steps "
        };
        facts.push(tag(
            "span",
            "",
            vec![words(word), line("b", "mono", steps(row))],
        ));
    }
    if row.untimed > 0 && row.untimed < row.count {
        facts.push(line(
            "span",
            "",
            row.untimed.to_string() + " without a date",
        ));
    }
    let mut parts = vec![
        tag(
            "div",
            "entry-top",
            vec![line("span", "code", &row.code), line("span", "what", title)],
        ),
        tag("div", "facts", facts),
    ];
    if let Some(f) = first {
        parts.extend(meaning(f));
    }
    if row.guessed {
        let words = "Some of these entries have this code by a guess.";
        parts.push(mark("warn", "guess", words));
    }
    let mut pairs = Vec::new();
    if !row.near.is_empty() {
        pairs.push(pair("Known codes close to it", row.near.join(", ")));
    }
    for p in &row.parts {
        pairs.push(pair(p.name.clone(), p.chars.clone() + ": " + &p.means));
    }
    if let Some(f) = first {
        if !f.rails.is_empty() {
            pairs.push(pair("Rails", f.rails.join(", ")));
        }
        if !f.parts.is_empty() {
            pairs.push(pair("Parts named", f.parts.join(", ")));
        }
    }
    if !pairs.is_empty() {
        parts.push(tag("dl", "pairs", pairs));
    }
    let others: Vec<Dom> = found.map(other).collect();
    if !others.is_empty() {
        let title = count(others.len(), "wider row fits too", "wider rows fit too");
        parts.push(fold(title, false, others));
    }
    tag("li", "code-row", parts)
}

fn steps(row: &CodeRow) -> String {
    row.steps
        .iter()
        .map(|(id, _)| id.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}

/// What the controller noticed, and what that does not prove.
pub fn meaning(f: &Found) -> Vec<Dom> {
    let mut out = Vec::new();
    if !f.meaning.is_empty() {
        out.push(line("p", "", &f.meaning));
    }
    if f.from_board {
        out.push(tag(
            "p",
            "mark good",
            vec![icon("board"), words("Wording for the chosen board")],
        ));
    }
    out.push(if f.not_proof.is_empty() {
        nothing()
    } else {
        tag(
            "p",
            "not-proof",
            vec![line("b", "", "Does not prove: "), words(&f.not_proof)],
        )
    });
    out
}

fn other(f: &Found) -> Dom {
    let mut parts = vec![tag(
        "p",
        "",
        vec![
            line("b", "mono", &f.pattern),
            words(" "),
            line("b", "", &f.title),
        ],
    )];
    parts.extend(meaning(f));
    tag("div", "other", parts)
}
