//! Parts that several pages of the bench show.

use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{bullets, icon, line, link, nothing, tag, words};
use care::{Care, Checklist, Hazard};

/// The kinds of work, in words.
pub fn names(care: &Care, list: &Checklist) -> String {
    let chosen = care.works.iter().filter(|w| list.works.contains(&w.id));
    let names: Vec<&str> = chosen.map(|w| w.name.as_str()).collect();
    names.join("; ")
}

/// A time in minutes from low to high.
pub fn minutes((low, high): (u32, u32)) -> String {
    let words = |m: u32| {
        if m < 120 {
            m.to_string()
        } else {
            let (hours, rest) = (m / 60, m % 60);
            let rest = if rest < 15 {
                ""
            } else if rest < 45 {
                "\u{bd}"
            } else {
                "\u{be}"
            };
            hours.to_string() + rest + " h"
        }
    };
    if high < 120 {
        words(low) + " to " + &words(high) + " minutes"
    } else {
        let low = if low < 120 {
            low.to_string() + " min"
        } else {
            words(low)
        };
        low + " to " + &words(high)
    }
}

/// A line that says where something is from.
pub fn from(words: &str) -> Dom {
    line("p", "source", "From: ".to_owned() + words)
}

/// The hazards of a checklist, each leading to its caution.
pub fn hazards(care: &Care, list: &Checklist) -> Dom {
    let all = list.hazards.iter().filter_map(|n| care.hazards.get(*n));
    let rows = all.map(|h| {
        let to = caution(h);
        let name = link("", &to, vec![words(&h.name)]);
        let text = tag("p", "", vec![name, words(". "), words(&h.what)]);
        tag("li", "", vec![text])
    });
    tag("ul", "bullets", rows.collect())
}

/// The address of a caution.
pub fn caution(hazard: &Hazard) -> String {
    "/bench/cautions#caution-".to_owned() + &hazard.id
}

/// What one needs, with how many of each.
pub fn kit(care: &Care, list: &Checklist) -> Dom {
    let group = |kinds: &[&str], head: &str| {
        let mut rows = Vec::new();
        for (n, number) in &list.kit {
            let Some(thing) = care
                .kit
                .get(*n)
                .filter(|k| kinds.contains(&k.kind.as_str()))
            else {
                continue;
            };
            let mut text = thing.name.clone();
            if *number > 1 || !thing.unit.is_empty() {
                let ending = if *number > 1 && !thing.unit.is_empty() {
                    "s"
                } else {
                    ""
                };
                text = text + ", " + &number.to_string() + " " + &thing.unit + ending;
            }
            if !thing.note.is_empty() {
                text = text + ". " + &thing.note;
            }
            rows.push(text);
        }
        if rows.is_empty() {
            nothing()
        } else {
            Dom::many(vec![line("h3", "", head), bullets(rows)])
        }
    };
    Dom::many(vec![
        group(&["protection"], "For you and the room"),
        group(&["tool"], "Tools"),
        group(&["stock", "used"], "Used up"),
    ])
}

/// All steps of a checklist with their sources, phase by phase.
pub fn steps(care: &Care, list: &Checklist) -> Dom {
    let mut out = Vec::new();
    for (n, phase) in care.phases.iter().enumerate() {
        let own = list.steps.iter().filter_map(|s| care.steps.get(*s));
        let rows: Vec<Dom> = own
            .filter(|s| s.phase == n)
            .map(|s| {
                let mut kids = vec![line("p", "", &s.text), line("p", "small", &s.why)];
                if let Some(hold) = &s.hold {
                    kids.push(held(hold));
                }
                kids.push(from(&care.sources_line(&s.from)));
                tag("li", "", kids)
            })
            .collect();
        if !rows.is_empty() {
            out.push(line("h3", "", &phase.name));
            out.push(tag("ol", "steps-all", rows));
        }
    }
    Dom::many(out)
}

/// A hold point's words.
pub fn held(words: &str) -> Dom {
    tag("p", "hold", vec![icon("stop"), line("b", "", words)])
}

/// A number field with its unit behind it.
pub fn number(label: &str, unit: &str, value: crate::platform::state::State<String>) -> Dom {
    let input = El::new("input")
        .attr("type", "text")
        .attr("inputmode", "decimal")
        .attr("autocomplete", "off")
        .live_prop("value", move || value.get().into())
        .on("input", move |e| {
            value.set(leptos::prelude::event_target_value(&e));
        });
    let label = label.to_owned() + ", " + unit;
    tag(
        "label",
        "field",
        vec![line("span", "", label), input.done()],
    )
}
