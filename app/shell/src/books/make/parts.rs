//! The parts of an entry: what each is taken for, why, and the taps that correct
//! it.

use super::state::Make;
use crate::consoles::option;
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{button, fold_named, line, mark, nothing, sentence, tag};
use leptos::prelude::event_target_value;
use teaching::{Kind, Part, Proposal, Role};

/// What people call a role.
pub fn name(role: Role) -> &'static str {
    match role {
        Role::Code => "Code",
        Role::Step => "Power-up step",
        Role::Time => "Time",
        Role::Slot => "Slot, its place in the log",
        Role::Seq => "Running number, just a counter",
        Role::Count => "How often",
        Role::Check => "Check field",
        Role::Same => "Always the same",
        Role::Keep => "Show it as it is",
        Role::Skip => "Ignore it",
    }
}

pub fn item(make: Make, p: &Proposal, n: usize, part: &Part) -> Dom {
    let place = part.span.0;
    let label = (n + 1).to_string() + ": " + &part.text;
    let mut roles = part.can.clone();
    if !roles.contains(&part.role) {
        roles.insert(0, part.role);
    }
    let options = roles.iter().enumerate();
    let options = options.map(|(i, r)| option(&i.to_string(), name(*r), *r == part.role));
    let own = roles.clone();
    let told = part.role;
    let tell = move |role| {
        make.say(|h| {
            h.roles.retain(|(at, _)| *at != place);
            h.roles.push((place, role));
        });
    };
    let select = El::new("select")
        .attr("id", &("part-".to_owned() + &place.to_string()))
        .kids(options.collect())
        .on("change", move |event| {
            let chosen = event_target_value(&event).parse::<usize>().ok();
            if let Some(role) = chosen.and_then(|i| own.get(i).copied()) {
                tell(role);
            }
        });
    let mut parts = vec![tag(
        "label",
        "field",
        vec![line("span", "mono", label), select.done()],
    )];
    if !part.doubt.is_empty() {
        let asked = p.ask == Some(n);
        let words = if asked {
            "Please look at this one. "
        } else {
            ""
        }
        .to_owned();
        let doubt = mark("warn", "guess", words + &sentence(&part.doubt) + ".");
        let right = if part.told {
            nothing()
        } else {
            button("plain", "check", "It is right", move || tell(told))
        };
        parts.push(tag("div", "doubt-row", vec![doubt, right]));
    }
    let id = "more-".to_owned() + &place.to_string();
    parts.push(fold_named(&id, "More", more(make, p, n, part)));
    tag("li", "teach-part", parts)
}

/// Why it is taken for what it is, its values, and the rarer corrections.
pub fn more(make: Make, p: &Proposal, n: usize, part: &Part) -> Vec<Dom> {
    let place = part.span.0;
    let why = match part.why.as_str() {
        "" => nothing(),
        why => line("p", "small", sentence(why) + "."),
    };
    let mut out = vec![why];
    if !part.sample.is_empty() {
        out.push(line("p", "small mono", part.sample.join("  ")));
    }
    if part.role == Role::Keep {
        let label = line("span", "", "Call it");
        let input = El::new("input")
            .attr("type", "text")
            .attr("id", &("name-".to_owned() + &place.to_string()))
            .attr("value", &part.name)
            .on("change", move |event| {
                let name = event_target_value(&event);
                make.say(|h| {
                    h.names.retain(|(at, _)| *at != place);
                    h.names.push((place, name));
                });
            });
        out.push(tag("label", "field", vec![label, input.done()]));
    }
    let mut row = Vec::new();
    if let Some(little) = part.little {
        let words = if little {
            "Highest byte first"
        } else {
            "Lowest byte first"
        };
        row.push(button("plain", "turn", words, move || {
            make.say(|h| turn(&mut h.little, place, !little))
        }));
    }
    if let Some(decimal) = part.decimal {
        let words = if decimal {
            "Read as hex"
        } else {
            "Read as a decimal number"
        };
        row.push(button("plain", "turn", words, move || {
            make.say(|h| turn(&mut h.decimal, place, !decimal))
        }));
    }
    if n > 0 {
        row.push(button(
            "plain",
            "minus",
            "Join with the part before",
            move || {
                make.say(|h| {
                    h.breaks.retain(|b| *b != place);
                    h.joins.push(place);
                })
            },
        ));
    }
    out.push(tag("div", "row", row));
    let (from, to) = part.span;
    let step = if p.kind == Kind::Bytes { 3 } else { 1 };
    let cuts: Vec<usize> = (from..to).skip(step).step_by(step).take(24).collect();
    if !cuts.is_empty() {
        out.push(line("p", "small", "Cut it before:"));
        let cuts = cuts.into_iter().filter_map(|at| {
            let rest = p.example.get(at..to)?.to_owned();
            Some(button("plain mono", "cut", rest, move || {
                make.say(|h| {
                    h.joins.retain(|j| *j != at);
                    h.breaks.push(at);
                })
            }))
        });
        out.push(tag("div", "row", cuts.collect()));
    }
    out
}

pub fn turn(list: &mut Vec<(usize, bool)>, place: usize, to: bool) {
    list.retain(|(at, _)| *at != place);
    list.push((place, to));
}
