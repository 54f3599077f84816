//! Teaching a line: the log, what its parts are taken for, and the taps that
//! correct it.

use super::state::Make;
use crate::app::App;
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::platform::{clipboard, files, page};
use crate::text;
use crate::widgets::bits::{
    button, count, fold_named, line, mark, nothing, section, sentence, spoken, tag, words,
};
use leptos::prelude::event_target_value;
use teaching::{Epoch, Hints, Kind, Part, Proposal, Role, Why};

/// Lines that are not read which are shown.
const MISSED: usize = 30;

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

/// The part of the page.
pub fn view(app: App) -> Dom {
    let make = app.make;
    let area = El::new("textarea")
        .attr("id", "make-log")
        .class("log")
        .attr("rows", "4")
        .attr("placeholder", "Paste or type here")
        .attr("autocapitalize", "off")
        .attr("autocomplete", "off")
        .attr("spellcheck", "false")
        .attr("aria-label", "Log")
        .live_prop("value", move || make.log.get().into())
        .on("input", move |event| make.typed(event_target_value(&event)));
    let from_read = Dom::live(move || {
        let text = app.work.text.get();
        if text.trim().is_empty() || make.log.with(|l| *l == text) {
            return nothing();
        }
        button("plain", "read", "Take the text from Read", move || {
            make.put_log(app.work.text.get_untracked())
        })
    });
    let row = vec![
        button("main", "paste", "Paste the log", move || paste(app)),
        button("plain", "open", "Open a file", || page::tap("log-file")),
        files::input(
            "log-file",
            ".txt,.log,text/*",
            "File with a log",
            move |file| {
                leptos::task::spawn_local(async move {
                    match files::bytes(&file).await {
                        Some(bytes) => make.put_log(files::text(&bytes)),
                        None => app.toasts.say("The file could not be read."),
                    }
                });
            },
        ),
        from_read,
    ];
    let result = Dom::live(move || match make.taught.get() {
        None => nothing(),
        Some(told) => match &*told {
            Ok(p) => proposal(make, p),
            Err(why) => nothing_found(make, why),
        },
    });
    section(
        "make-log-part",
        "A log of it",
        vec![
            line("p", "small", text::MAKE_LOG),
            area.done(),
            tag("div", "row", row),
            spoken("", vec![result]),
        ],
    )
}

fn paste(app: App) {
    leptos::task::spawn_local(async move {
        match clipboard::read().await {
            Some(text) if text.trim().is_empty() => app.toasts.say(text::PASTE_EMPTY),
            Some(text) => app.make.put_log(text),
            None => {
                app.toasts.say(text::PASTE_REFUSED);
                page::focus("#make-log");
            }
        }
    });
}

fn nothing_found(make: Make, why: &Why) -> Dom {
    let kind = make.hints.with_untracked(|h| h.kind);
    Dom::many(vec![
        mark("warn", "info", &why.what),
        line("p", "", &why.todo),
        tag("div", "row", kinds(make, kind.unwrap_or(Kind::Text))),
    ])
}

/// The other kind of layout, and the way back to the start.
fn kinds(make: Make, now: Kind) -> Vec<Dom> {
    let (kind, words) = match now {
        Kind::Text => (Kind::Bytes, "It is a dump of bytes"),
        Kind::Bytes => (Kind::Text, "It is lines of text"),
    };
    vec![
        button("plain", "turn", words, move || {
            make.say(|h| {
                *h = Hints {
                    kind: Some(kind),
                    ..Hints::default()
                }
            })
        }),
        button(
            "plain",
            "undo",
            "Forget what I said of the parts",
            move || make.say(|h| *h = Hints::default()),
        ),
    ]
}

fn proposal(make: Make, p: &Proposal) -> Dom {
    let read = p.read.to_string() + " of " + &count(p.of, "entry reads", "entries read");
    let (kind, picture) = if p.read == p.of {
        ("good", "check")
    } else {
        ("warn", "info")
    };
    let mut out = vec![mark(kind, picture, read), example(p)];
    if p.kind == Kind::Bytes {
        out.push(record(make, p));
    }
    let (same, rest): (Vec<_>, Vec<_>) = p
        .parts
        .iter()
        .enumerate()
        .partition(|(_, part)| part.role == Role::Same && part.doubt.is_empty());
    let list = rest.into_iter().map(|(n, part)| item(make, p, n, part));
    out.push(tag("ul", "teach", list.collect()));
    if !same.is_empty() {
        let title = "Always the same: ".to_owned() + &count(same.len(), "part", "parts");
        let list = same.into_iter().map(|(n, part)| item(make, p, n, part));
        out.push(fold_named(
            "teach-same",
            title,
            vec![tag("ul", "teach", list.collect())],
        ));
    }
    out.push(times(make, p));
    if let Some(check) = &p.check {
        let told = sentence(&check.words)
            + ". It agrees in "
            + &check.agrees.to_string()
            + " of "
            + &check.of.to_string()
            + ".";
        out.push(mark("good", "check", told));
        if !check.doubt.is_empty() {
            out.push(mark("warn", "guess", sentence(&check.doubt)));
        }
    }
    out.extend(p.doubts.iter().map(|d| mark("warn", "guess", sentence(d))));
    out.push(missed(p));
    out.push(others(make, p));
    Dom::many(out)
}

/// The example with its parts set off; each part's number leads to its row.
fn example(p: &Proposal) -> Dom {
    let mut at = 0;
    let mut out = Vec::new();
    for (n, part) in p.parts.iter().enumerate() {
        let (from, to) = part.span;
        out.push(words(p.example.get(at..from).unwrap_or("")));
        let class = match (part.role, part.doubt.is_empty()) {
            (Role::Same | Role::Skip, _) => "part dull",
            (_, true) => "part",
            (_, false) => "part doubted",
        };
        let number = (n + 1).to_string();
        let text = p.example.get(from..to).unwrap_or("");
        out.push(tag(
            "span",
            class,
            vec![words(text), line("sub", "", number)],
        ));
        at = to;
    }
    out.push(words(p.example.get(at..).unwrap_or("")));
    tag("p", "log-pre mono", out)
}

fn item(make: Make, p: &Proposal, n: usize, part: &Part) -> Dom {
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
fn more(make: Make, p: &Proposal, n: usize, part: &Part) -> Vec<Dom> {
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

fn turn(list: &mut Vec<(usize, bool)>, place: usize, to: bool) {
    list.retain(|(at, _)| *at != place);
    list.push((place, to));
}

/// The hints with places are of another example; what was said goes.
fn anew(h: &Hints) -> Hints {
    Hints {
        kind: h.kind,
        record: h.record,
        skip: h.skip,
        entry: h.entry,
        ..Hints::default()
    }
}

fn record(make: Make, p: &Proposal) -> Dom {
    let now = p.record.unwrap_or(0);
    let mut sizes = vec![now];
    sizes.extend(p.records.iter().copied().filter(|r| *r != now).take(8));
    let options = sizes
        .iter()
        .map(|r| option(&r.to_string(), &count(*r, "byte", "bytes"), *r == now));
    let select = El::new("select")
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
        .attr("inputmode", "numeric")
        .attr("value", &p.skip.to_string())
        .on("change", move |event| {
            let skip = event_target_value(&event).trim().parse().ok();
            make.say(|h| {
                h.skip = skip;
                *h = anew(h);
            });
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
fn times(make: Make, p: &Proposal) -> Dom {
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
fn moment(time: &str) -> String {
    time.replace('T', " ").replace('Z', " UTC")
}

fn missed(p: &Proposal) -> Dom {
    let all: Vec<_> = p.lines.iter().filter(|l| l.misses).collect();
    if all.is_empty() {
        return nothing();
    }
    let items = all.iter().take(MISSED).map(|l| {
        let words = "Line ".to_owned() + &l.line.to_string() + ": " + &l.why;
        line("li", "", words)
    });
    let title = "Not read as written: ".to_owned() + &count(all.len(), "line", "lines");
    fold_named(
        "teach-missed",
        title,
        vec![tag("ul", "bullets", items.collect())],
    )
}

/// Other lines that may be the entries, and the other kind of layout.
fn others(make: Make, p: &Proposal) -> Dom {
    let mut parts = Vec::new();
    for (n, text, times) in p.others.iter().take(6) {
        let (n, label) = (*n, text.trim().to_owned());
        let like = count(*times, "line", "lines") + " like this";
        parts.push(line("p", "small", like));
        parts.push(button("plain mono", "", label, move || {
            make.say(|h| {
                *h = Hints {
                    entry: Some(n),
                    ..Hints::default()
                }
            })
        }));
    }
    parts.push(tag("div", "row", kinds(make, p.kind)));
    fold_named("teach-others", "These are not the entries?", parts)
}
