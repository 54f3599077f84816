//! All cautions: what can hurt, what to do, and where that is from.

use super::parts;
use crate::consoles;
use crate::platform::dom::{Dom, El};
use crate::platform::page;
use crate::text;
use crate::widgets::bits::{bullets, line, link, mark, tag, title, words};
use care::{Basis, Care, Hazard};

/// The page.
pub fn page() -> Dom {
    let Some(care) = super::care() else {
        return line("p", "", text::CARE_LOST);
    };
    let list = care.hazards.iter().map(|h| {
        tag(
            "li",
            "",
            vec![link("", &parts::caution(h), vec![words(&h.name)])],
        )
    });
    page::to_named();
    Dom::many(vec![
        consoles::back("/bench", "Back to the bench"),
        title("Cautions"),
        mark("warn", "caution", text::CARE_LIMITS),
        line("p", "", text::CAUTIONS_LEAD),
        tag("ul", "bullets caution-list", list.collect()),
        Dom::many(care.hazards.iter().map(|h| hazard(care, h)).collect()),
        sources(care),
    ])
}

fn hazard(care: &Care, hazard: &Hazard) -> Dom {
    let id = "caution-".to_owned() + &hazard.id;
    let head = El::new("h2")
        .attr("id", &id)
        .attr("tabindex", "-1")
        .text(&hazard.name);
    El::new("section")
        .attr("aria-labelledby", &id)
        .kids(vec![
            head.done(),
            line("p", "", &hazard.what),
            bullets(hazard.todo.iter().cloned()),
            parts::from(&care.sources_line(&hazard.from)),
        ])
        .done()
}

fn sources(care: &Care) -> Dom {
    let rows = care.sources.iter().map(|s| {
        let mut text = s.title.clone();
        if !s.place.is_empty() {
            text = text + ", " + &s.place;
        }
        text.push_str(match s.basis {
            Basis::Seen => ". Its text was seen.",
            Basis::Memory => ". Named from memory; its text was not at hand.",
            Basis::Common => ".",
        });
        text
    });
    Dom::many(vec![
        line("h2", "", "Sources"),
        line("p", "", text::SOURCES_LEAD),
        bullets(rows),
    ])
}
