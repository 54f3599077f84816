//! How a step stands, and what the person adds to it: why it was skipped, a
//! note, a photo.

use super::run::Now;
use crate::consoles::photo;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{clock, device, files, page, picture};
use crate::text;
use crate::widgets::bits::{button, fold_named, line, mark, nothing, spoken, tag};
use leptos::prelude::*;

/// How the step stands, if it is not open.
pub fn stands(now: Now, at: usize) -> Dom {
    let style = now.app.settings.with(|s| s.clock());
    now.going.with(|g| {
        let found = g.run.mark(at);
        if let Some(why) = g.run.skipped(at) {
            let said = mark("warn", "cut", "Skipped: ".to_owned() + why);
            let hold = g.run.list.get(at).is_some_and(|l| l.hold.is_some());
            let after_all = if hold {
                nothing()
            } else {
                button("plain", "check", "Done after all", move || {
                    now.change(|r| r.done(device::now_ms()));
                })
            };
            return Dom::many(vec![said, after_all]);
        }
        match found.at_ms() {
            Some(ms) => mark(
                "good",
                "check",
                "Done, ".to_owned() + &clock::moment(ms, style),
            ),
            None => nothing(),
        }
    })
}

/// Skipping, a note, a photo.
pub fn more(now: Now, at: usize) -> Dom {
    Dom::many(vec![
        fold_named("skip", "Skip this step", vec![skip(now, at)]),
        fold_named(
            "note",
            "Note or photo",
            vec![note(now, at), photos(now, at)],
        ),
    ])
}

/// Reasons that are offered.
const WHYS: [&str; 4] = [
    "Does not apply here",
    "Done before",
    "I have no tool for it",
    "I will do it later",
];

fn skip(now: Now, at: usize) -> Dom {
    let why = State::new(String::new());
    let skip_for = move |words: String| {
        now.change(|r| {
            // An empty reason is not offered.
            let _ = r.skip(&words, device::now_ms());
        });
    };
    let mut row = Vec::new();
    for words in WHYS {
        row.push(button("plain", "cut", words, move || {
            skip_for(words.to_owned())
        }));
    }
    let input = El::new("input")
        .attr("type", "text")
        .live_prop("value", move || why.get().into())
        .on("input", move |e| why.set(event_target_value(&e)));
    let own = tag(
        "label",
        "field",
        vec![line("span", "", "Another reason"), input.done()],
    );
    let go = Dom::live(move || {
        if why.with(|w| w.trim().is_empty()) {
            nothing()
        } else {
            button("plain", "cut", "Skip it for this reason", move || {
                skip_for(why.get_untracked())
            })
        }
    });
    let (hold, firm) = now.going.with_untracked(|g| {
        let line = g.run.list.get(at);
        line.map_or((false, false), |l| (l.hold.is_some(), l.firm))
    });
    if firm {
        return mark("warn", "stop", text::SKIP_NEVER);
    }
    let warn = if hold {
        mark("warn", "stop", text::SKIP_HOLD)
    } else {
        nothing()
    };
    Dom::many(vec![
        warn,
        line("p", "", text::SKIP_LEAD),
        tag("div", "stack", row),
        own,
        go,
    ])
}

fn note(now: Now, at: usize) -> Dom {
    let first = now
        .going
        .with_untracked(|g| g.run.notes.get(at).cloned().unwrap_or_default());
    let area = El::new("textarea")
        .attr("rows", "3")
        .live_prop("value", move || first.clone().into())
        .on("input", move |e| {
            let words = event_target_value(&e);
            now.change(|r| r.note(at, &words));
        });
    tag(
        "label",
        "field",
        vec![line("span", "", "Note on this step"), area.done()],
    )
}

fn photos(now: Now, at: usize) -> Dom {
    let wrong = State::new(String::new());
    let busy = State::new(false);
    let chosen = move |file: web_sys::File| {
        busy.set(true);
        wrong.set(String::new());
        leptos::task::spawn_local(async move {
            let done = take(now, at, &file).await;
            busy.try_set(false);
            if let Err(why) = done {
                wrong.try_set(why);
            }
        });
    };
    let input = files::input("step-photo", "image/*", "Photo of this step", chosen);
    let take_one = Dom::live(move || {
        let words = if busy.get() {
            text::PHOTO_WORKING
        } else {
            "Take or choose a photo"
        };
        button("plain", "photo", words, || page::tap("step-photo"))
    });
    let thumbs = Dom::live(move || {
        let ids = now
            .going
            .with(|g| g.run.photos.get(at).cloned().unwrap_or_default());
        let all = ids
            .into_iter()
            .map(|id| photo::thumb(now.app, id, "Photo of this step".to_owned()));
        tag("div", "thumbs", all.collect())
    });
    let said = spoken(
        "",
        vec![Dom::live(move || {
            let why = wrong.get();
            if why.is_empty() {
                nothing()
            } else {
                line("p", "bad-words", why)
            }
        })],
    );
    Dom::many(vec![thumbs, tag("div", "row", vec![take_one]), said, input])
}

/// The photo is a record of the job like any other, and is named in the list.
async fn take(now: Now, at: usize, file: &web_sys::Blob) -> Result<(), String> {
    let taken = picture::take_in(file)
        .await
        .map_err(|r| r.words().to_owned())?;
    let (console, job, words) = now
        .going
        .try_with_untracked(|g| {
            let words = g.run.list.get(at).map(|l| l.text.clone());
            (g.console.clone(), g.job.clone(), words.unwrap_or_default())
        })
        .unwrap_or_default();
    let id = device::random_id();
    let mut edit = photo::edit(&taken, &id, &console, &job).await;
    edit.data.insert("caption".to_owned(), words.into());
    now.app
        .notes
        .save(&[edit], &[(id.clone(), taken.blob)])
        .await?;
    now.change(|r| r.photo(at, &id));
    Ok(())
}
