//! What will be done: the kinds of work are tapped, and the checklist, the kit,
//! the time and the limits follow at once.

use super::kept::{self, Going};
use super::{paper, parts};
use crate::app::App;
use crate::consoles::{self, ticked};
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{device, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{
    bullets, button, count, fold, line, mark, nothing, section, tag, title,
};
use care::{Care, Checklist, Run};
use leptos::prelude::*;
use notebook::Item;
use std::rc::Rc;

/// What is chosen so far.
#[derive(Clone, Copy)]
struct Choice {
    works: State<Vec<String>>,
    tags: State<Vec<String>>,
    /// The console and the job it is for.
    home: State<(String, String)>,
}

impl Choice {
    fn list(self, care: &Care) -> Checklist {
        let (works, tags) = (self.works.get(), self.tags.get());
        let works: Vec<&str> = works.iter().map(String::as_str).collect();
        let tags: Vec<&str> = tags.iter().map(String::as_str).collect();
        care.compose(&works, &tags)
    }
}

/// The page, for a console and a job if one came from there. What the notebook
/// says is read once and first, or it would push the list away under a finger.
pub fn page(app: App, console: String, job: String) -> Dom {
    let found: State<Option<Rc<Vec<Item>>>> = State::new(None);
    leptos::task::spawn_local(async move {
        let mut items = Vec::new();
        for kind in ["console", "job", "repair"] {
            // Without a notebook a checklist works all the same.
            if let Ok(page) = app.notes.quiet_kind(kind).await {
                items.extend(page.items());
            }
        }
        found.try_set(Some(Rc::new(items)));
    });
    Dom::live(move || match (super::care(), found.get()) {
        (None, _) => line("p", "", text::CARE_LOST),
        (_, None) => line("p", "small", text::LOADING),
        (Some(care), Some(items)) => drawn(app, care, &items, &console, &job),
    })
}

fn drawn(app: App, care: &'static Care, items: &[Item], console: &str, job: &str) -> Dom {
    let home = (console.to_owned(), job.to_owned());
    let choice = Choice {
        works: State::new(Vec::new()),
        tags: State::new(Vec::new()),
        home: State::new(home.clone()),
    };
    let (back, words, belongs) = if console.is_empty() {
        let list = belongs(choice, items);
        ("/bench".to_owned(), "Back to the bench", list)
    } else {
        let line = for_whom(items, &home);
        (consoles::address(console), "Back to the console", line)
    };
    let top = tag(
        "div",
        "no-print",
        vec![
            consoles::back(&back, words),
            title("What will you do?"),
            line("p", "", text::CHOOSE_LEAD),
            proposals(care, choice, items, job),
            belongs,
            works(care, choice),
            also(care, choice),
        ],
    );
    Dom::many(vec![top, Dom::live(move || result(app, care, choice))])
}

/// A box to tick that puts an id into a list or takes it out.
fn toggle(list: State<Vec<String>>, id: &str, name: &str, about: &str) -> Dom {
    let (own, id) = (id.to_owned(), id.to_owned());
    let input = El::new("input")
        .attr("type", "checkbox")
        .live_prop("checked", move || list.with(|l| l.contains(&own)).into())
        .on("change", move |e| {
            let on = event_target_checked(&e);
            list.update(|l| {
                l.retain(|known| *known != id);
                if on {
                    l.push(id.clone());
                }
            });
        });
    ticked(input, name, about)
}

fn works(care: &'static Care, choice: Choice) -> Dom {
    let list = care.works.iter();
    let all = list.map(|w| toggle(choice.works, &w.id, &w.name, &w.about));
    section(
        "works",
        "Kinds of work",
        vec![tag("div", "ticks", all.collect())],
    )
}

fn also(care: &'static Care, choice: Choice) -> Dom {
    let asked = care.tags.iter().filter(|t| t.ask);
    let all = asked.map(|t| toggle(choice.tags, &t.id, &t.name, ""));
    fold(
        "Also true here",
        false,
        vec![
            line("p", "small", text::CHOOSE_ALSO),
            tag("div", "ticks", all.collect()),
        ],
    )
}

/// What the words of the job point to.
fn proposals(care: &'static Care, choice: Choice, items: &[Item], job: &str) -> Dom {
    let mut words = String::new();
    let own = |i: &&Item| i.id == job || !job.is_empty() && i.text("job") == job;
    for item in items.iter().filter(own) {
        for field in ["name", "cause", "what", "parts", "note"] {
            words = words + " " + item.text(field);
        }
    }
    let found = care.propose(&words);
    if found.is_empty() {
        return nothing();
    }
    let buttons = found.into_iter().map(|work| {
        let id = work.id.clone();
        button("plain", "plus", &work.name, move || {
            choice.works.update(|w| {
                if !w.contains(&id) {
                    w.push(id.clone());
                }
            });
        })
    });
    let buttons = tag("div", "row", buttons.collect());
    tag(
        "div",
        "note-box",
        vec![line("p", "", text::CHOOSE_PROPOSED), buttons],
    )
}

fn name_of(items: &[Item], id: &str) -> String {
    let found = items.iter().find(|i| i.id == id);
    found.map_or_else(String::new, |i| i.text("name").to_owned())
}

fn for_whom(items: &[Item], (console, job): &(String, String)) -> Dom {
    let names = [name_of(items, console), name_of(items, job)];
    let names: Vec<String> = names.into_iter().filter(|n| !n.is_empty()).collect();
    line(
        "p",
        "small for-whom",
        "For: ".to_owned() + &names.join(", "),
    )
}

/// A list of the jobs that are open, to choose one.
fn belongs(choice: Choice, items: &[Item]) -> Dom {
    let mut options = vec![(String::new(), String::new(), "No console".to_owned())];
    for console in items.iter().filter(|i| i.kind == "console") {
        let jobs = items.iter().filter(|j| {
            j.kind == "job" && j.text("console") == console.id && j.text("stage") != "closed"
        });
        let mut any = false;
        for job in jobs {
            any = true;
            let name = console.text("name").to_owned() + ": " + job.text("name");
            options.push((console.id.clone(), job.id.clone(), name));
        }
        if !any {
            options.push((
                console.id.clone(),
                String::new(),
                console.text("name").to_owned(),
            ));
        }
    }
    if options.len() == 1 {
        return nothing();
    }
    let now = choice.home.get_untracked();
    let mut select = El::new("select");
    for (n, (console, job, name)) in options.iter().enumerate() {
        let chosen = (console, job) == (&now.0, &now.1);
        select = select.kid(consoles::option(&n.to_string(), name, chosen));
    }
    let options = Kept::new(options);
    let select = select.on("change", move |e| {
        let n: usize = event_target_value(&e).parse().unwrap_or_default();
        let found = options.with_value(|o| o.get(n).cloned());
        if let Some((console, job, _)) = found {
            choice.home.set((console, job));
        }
    });
    tag(
        "label",
        "field",
        vec![
            line("span", "", "For which console and job?"),
            select.done(),
        ],
    )
}

/// The checklist, and what to do with it.
fn result(app: App, care: &'static Care, choice: Choice) -> Dom {
    let list = choice.list(care);
    if list.works.is_empty() {
        return line("p", "small no-print", "Nothing is chosen yet.");
    }
    let name = parts::names(care, &list);
    let run = Run::start(care, &list, device::now_ms());
    let drawn = run.clone();
    let begin = {
        let name = name.clone();
        move || {
            let (console, job) = choice.home.get_untracked();
            let going = Going::new(&console, &job, &name, run.clone());
            kept::keep(app, &going);
            route::go(app.route, &going.address());
        }
    };
    let holds = drawn.list.iter().filter(|l| l.hold.is_some()).count();
    let words = count(list.steps.len(), "step", "steps")
        + ", "
        + &count(holds, "hold point", "hold points")
        + ". About "
        + &parts::minutes(list.minutes)
        + ", waiting included (our own estimate).";
    let shown = section(
        "list",
        "The checklist",
        vec![
            line("p", "summary", words),
            mark("warn", "caution", text::CARE_LIMITS),
            tag(
                "div",
                "row",
                vec![
                    button("main", "right", "Start", begin),
                    button("plain", "print", "Print with blanks", page::print),
                ],
            ),
            limits("What this does not cure or prove", &list.not),
            limits("Where this advice ends", &list.ends),
            fold("What can hurt", false, vec![parts::hazards(care, &list)]),
            fold("What you need", true, vec![parts::kit(care, &list)]),
            fold("All steps", false, vec![parts::steps(care, &list)]),
        ],
    );
    Dom::many(vec![
        tag("div", "no-print", vec![shown]),
        paper::sheet(care, &drawn, &name, ""),
    ])
}

fn limits(head: &str, texts: &[String]) -> Dom {
    if texts.is_empty() {
        return nothing();
    }
    Dom::many(vec![line("h3", "", head), bullets(texts.iter().cloned())])
}
