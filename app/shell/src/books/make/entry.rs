//! What is said of the entry as a whole: its length in bytes, and what its times
//! count from.

use super::state::Make;
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{count, fold_named, line, nothing, sentence, tag};
use leptos::prelude::event_target_value;
use teaching::{Epoch, Hints, Proposal};

/// The hints with places are of another example; what was said goes.
pub fn anew(h: &Hints) -> Hints {
    Hints {
        kind: h.kind,
        record: h.record,
        skip: h.skip,
        entry: h.entry,
        ..Hints::default()
    }
}

pub fn record(make: Make, p: &Proposal) -> Dom {
    let now = p.record.unwrap_or(0);
    let mut sizes = vec![now];
    sizes.extend(p.records.iter().copied().filter(|r| *r != now).take(8));
    let options = sizes
        .iter()
        .map(|r| option(&r.to_string(), &count(*r, "byte", "bytes"), *r == now));
    let select = El::new("select")
        .attr("id", "record-length")
        .kids(options.collect())
        .on("change", move |event| {
            let size = event_target_value(&event).parse().ok();
            make.say(|h| {
                h.record = size;
                *h = anew(h);
            });
        });
    let head = El::new("input")
        .attr("type", "text")
        .attr("id", "record-skip")
        .attr("inputmode", "numeric")
        .attr("value", &p.skip.to_string())
        .on("change", move |event| {
            // An emptied field says nothing yet.
            if let Ok(skip) = event_target_value(&event).trim().parse() {
                make.say(|h| {
                    h.skip = Some(skip);
                    *h = anew(h);
                });
            }
        });
    tag(
        "div",
        "row",
        vec![
            tag(
                "label",
                "field",
                vec![line("span", "", "One entry has"), select.done()],
            ),
            tag(
                "label",
                "field",
                vec![line("span", "", "Bytes before the first"), head.done()],
            ),
        ],
    )
}

/// What the times would be, under each common beginning of counting.
pub fn times(make: Make, p: &Proposal) -> Dom {
    if p.times.is_empty() {
        return nothing();
    }
    let item = |(n, t): (usize, &Epoch)| {
        let input = El::new("input")
            .attr("type", "radio")
            .attr("name", "make-epoch")
            .attr("id", &("epoch-".to_owned() + &n.to_string()))
            .on("change", move |_| make.say(|h| h.epoch = Some(n)));
        let input = if p.epoch == Some(n) {
            input.attr("checked", "")
        } else {
            input
        };
        let range = match (t.first.is_empty(), t.first == t.last) {
            (true, _) => String::new(),
            (_, true) => moment(&t.first) + ". ",
            _ => moment(&t.first) + " to " + &moment(&t.last) + ". ",
        };
        ticked(input, &sentence(&t.name), &(range + &sentence(&t.why)))
    };
    let shown = |(n, t): &(usize, &Epoch)| t.fits || p.epoch == Some(*n);
    let (fit, unfit): (Vec<_>, Vec<_>) = p.times.iter().enumerate().partition(shown);
    let mut parts = vec![line("legend", "", "The times count")];
    parts.extend(fit.into_iter().map(item));
    let unfit: Vec<Dom> = unfit.into_iter().map(item).collect();
    if !unfit.is_empty() {
        parts.push(fold_named("teach-unfit", "Ways that can't be", unfit));
    }
    El::new("fieldset").class("plainset").kids(parts).done()
}

/// A time as people write it, of one in the way of RFC 3339.
pub fn moment(time: &str) -> String {
    time.replace('T', " ").replace('Z', " UTC")
}
