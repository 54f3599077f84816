//! One record: its form, what else may be done with it, and its former
//! versions.

use super::form::{Form, Saving};
use super::{address, back, facts, field, photo, versions};
use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::platform::{device, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, link_with, mark, nothing, spoken, tag, title};
use leptos::prelude::*;
use notebook::kinds::{self, Kind};
use notebook::{Data, Item, Record, dates};
use serde_json::json;
use std::rc::Rc;

/// Days until the first look at a repaired console, if nothing else is said.
const FIRST_LOOK: i64 = 7;

/// The record, if it is there, and its console.
type Found = Rc<(Option<Record>, Item)>;

/// The page. It is read once: what others change while it is open is told, and
/// kept beside what is typed here.
pub fn page(app: App, console: String, id: String, kind: String, job: String) -> Dom {
    let found: State<Option<Found>> = State::new(None);
    let (console_id, record_id) = (console.clone(), id.clone());
    leptos::task::spawn_local(async move {
        let record = app.notes.record(&record_id).await;
        let console = app.notes.record(&console_id).await;
        let console = console.as_ref().map(Item::of).unwrap_or_default();
        found.try_set(Some(Rc::new((record, console))));
    });
    Dom::live(move || {
        let Some(found) = found.get() else {
            return line("p", "small", text::LOADING);
        };
        let (record, home) = (&found.0, &found.1);
        let kind = record.as_ref().map_or(kind.as_str(), |r| &r.kind);
        match kinds::kind(kind) {
            Some(kind) => drawn(app, &console, &id, kind, &job, record.as_ref(), home),
            None => unknown(&console, record.as_ref()),
        }
    })
}

fn unknown(console: &str, record: Option<&Record>) -> Dom {
    let words = if record.is_some() {
        text::KIND_UNKNOWN
    } else {
        text::RECORD_LOST
    };
    Dom::many(vec![
        back(&address(console), "Back to the console"),
        title("Record"),
        line("p", "", words),
        record.map_or_else(nothing, |r| line("pre", "log-pre", r.to_json().to_string())),
    ])
}

fn fresh(console: &str, kind: &'static Kind, job: &str) -> Data {
    let mut data = Data::new();
    let mut put = |name: &str, value: &str| {
        if !value.is_empty() {
            data.insert(name.to_owned(), json!(value));
        }
    };
    if kind.name != "console" {
        put("console", console);
        put("job", job);
    }
    let today = device::today();
    match kind.name {
        "console" => put("got", &today),
        "follow-up" => {
            let later = dates::number(&today).and_then(|d| dates::written(d + FIRST_LOOK));
            put("day", &later.unwrap_or_default());
        }
        _ => put("day", &today),
    }
    if kind.name == "job" {
        put("stage", "open");
    }
    data
}

fn drawn(
    app: App,
    console: &str,
    id: &str,
    kind: &'static Kind,
    job: &str,
    record: Option<&Record>,
    home: &Item,
) -> Dom {
    let view = record.map(Record::view);
    let gone = view.as_ref().is_some_and(|v| v.gone);
    let data = view.map_or_else(|| fresh(console, kind, job), |v| v.data);
    let book = home.text("book").to_owned();
    let form = Form::open(app.notes, id, kind.name, record, data);
    let to = address(console);
    let away = to.clone();
    let heading = if record.is_none() {
        "New: ".to_owned() + &kind.title.to_lowercase()
    } else {
        kind.title.to_owned()
    };
    if gone {
        let mine = id.to_owned();
        return Dom::many(vec![
            back(&to, "Back to the console"),
            title(heading),
            line("p", "", text::RECORD_GONE),
            button("main", "undo", "Bring it back", move || {
                app.notes.bring_back(mine.clone());
                route::go(app.route, &away);
            }),
        ]);
    }
    let own = id.to_owned();
    let fields = move || {
        form.redraw.track();
        let mut all = Vec::new();
        if kind.name == "photo" {
            all.push(of_photo(app, form, &own));
        }
        all.extend(
            kind.fields
                .iter()
                .map(|f| field::field(app, form, f, &book)),
        );
        if !book.is_empty() {
            all.push(unweighed(form, kind));
        }
        tag("div", "form", all)
    };
    let done = to.clone();
    let row = vec![
        button("main", "check", "Done", move || {
            let done = done.clone();
            form.finish(Rc::new(move || route::go(app.route, &done)));
        }),
        Dom::live(move || {
            if form.differs() {
                button("plain", "undo", "Back to how it was", move || {
                    form.back_to_first()
                })
            } else {
                nothing()
            }
        }),
    ];
    let mut parts = vec![
        back(&to, "Back to the console"),
        title(heading),
        Dom::live(move || {
            if form.other.get() {
                notice(text::CHANGED_ELSEWHERE)
            } else {
                nothing()
            }
        }),
        facts::clashes(app, record),
        jobs(app, form, console, kind),
        Dom::live(fields),
        saved(form),
        tag("div", "row", row),
    ];
    if let Some(record) = record {
        parts.push(facts::of_reading(app, record));
        parts.push(facts::of_run(record));
        parts.push(crate::suspects::of_record(record));
        parts.push(more(app, console, record, kind));
        parts.push(versions::section(app, record));
    }
    Dom::many(parts)
}

/// What is written here by hand names nothing of the code book, so no diagnosis
/// counts it. Where it would count.
fn unweighed(form: Form, kind: &'static Kind) -> Dom {
    let weighed = matches!(kind.name, "measurement" | "check" | "repair");
    if !weighed || !form.text("book").is_empty() {
        return nothing();
    }
    let (console, job) = (form.text("console"), form.text("job"));
    let way = if job.is_empty() {
        nothing()
    } else {
        let to = ["/suspects/", &console, "/", &job, "/next"].concat();
        link_with("plain", &to, "scales", text::NEXT_TITLE)
    };
    Dom::many(vec![
        line("p", "small", text::NOT_WEIGHED),
        tag("div", "row", vec![way]),
    ])
}

fn notice(words: &str) -> Dom {
    mark("warn", "info", words)
}

/// How far saving is. It is read out by screen readers.
pub fn saved(form: Form) -> Dom {
    let words = move || match form.state.get() {
        Saving::Fresh => line("p", "small", text::SAVES_ITSELF),
        Saving::Changed => line("p", "small", "Saving\u{2026}"),
        Saving::Saved => mark("good", "check", "Saved on this device"),
        Saving::Failed(why) => Dom::many(vec![
            mark("bad", "bad", "Not saved. ".to_owned() + &why),
            button("plain", "undo", "Try again", move || form.save()),
        ]),
    };
    spoken("saved", vec![Dom::live(words)])
}

/// The photo itself, on the page of a photo's record.
fn of_photo(app: App, form: Form, id: &str) -> Dom {
    if form.value("bytes").is_some() && !form.holds_file() {
        return photo::thumb(app, id.to_owned(), form.text("caption"));
    }
    let wrong = State::new(String::new());
    let chosen = move |file: web_sys::File| {
        wrong.set(String::new());
        // Should the page be left meanwhile, the photo is saved with what was
        // there when it was taken.
        let mut edit = form.edit();
        leptos::task::spawn_local(async move {
            match crate::platform::picture::take_in(&file).await {
                Ok(taken) => {
                    let fields = photo::data(&taken).await;
                    if form.is_open() {
                        form.attach(fields, taken.blob);
                        return;
                    }
                    for (name, value) in fields {
                        edit.data.entry(name).or_insert(value);
                    }
                    let photo = (edit.id.clone(), taken.blob);
                    drop(app.notes.save(&[edit], &[photo]).await);
                }
                Err(refused) => {
                    wrong.try_set(refused.words().to_owned());
                }
            }
        });
    };
    let input = crate::platform::files::input("photo-itself", "image/*", "Photo", chosen);
    Dom::many(vec![
        button("main", "photo", "Take or choose a photo", || {
            page::tap("photo-itself")
        }),
        spoken(
            "",
            vec![Dom::live(move || line("p", "bad-words", wrong.get()))],
        ),
        input,
    ])
}

/// Which job of the console a record belongs to.
fn jobs(app: App, form: Form, console: &str, kind: &'static Kind) -> Dom {
    if matches!(kind.name, "console" | "job") {
        return nothing();
    }
    let console = console.to_owned();
    super::loaded(app, super::Want::Console(console), move |page| {
        let items = page.items();
        let now = form.text("job");
        let mut options = vec![field::option("", "None of them", now.is_empty())];
        for job in items.iter().filter(|i| i.kind == "job") {
            options.push(field::option(&job.id, &facts::name(job), job.id == now));
        }
        if options.len() < 2 {
            return nothing();
        }
        let select = crate::platform::dom::El::new("select")
            .attr("name", "job")
            .kids(options)
            .on("change", move |event| {
                form.set("job", json!(event_target_value(&event)))
            });
        tag(
            "label",
            "field",
            vec![line("span", "", "Job"), select.done()],
        )
    })
}

/// What else may be done with a record.
fn more(app: App, console: &str, record: &Record, kind: &'static Kind) -> Dom {
    let id = record.id.clone();
    let to = if kind.name == "console" {
        "/consoles".to_owned()
    } else {
        address(console)
    };
    let mut row = Vec::new();
    if kind.name == "job" {
        let tell = address(console) + "/" + &id + "/tell";
        row.push(link_with("plain", &tell, "share", "Tell others"));
        let split = address(console) + "/" + &id + "/split";
        row.push(link_with("plain", &split, "cut", "Split off a job"));
    }
    row.push(button("plain", "bin", "Delete", move || {
        app.notes.delete(id.clone(), text::DELETED);
        route::go(app.route, &to);
    }));
    tag("div", "row", row)
}
