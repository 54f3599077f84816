//! At the bench: one step at a time, in large type, for a hand with flux on it.

use super::kept::{self, Going};
use super::{marks, paper, parts, timer, whole};
use crate::app::App;
use crate::consoles;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::wake::{self, Awake};
use crate::platform::{device, page};
use crate::text;
use crate::widgets::bits::{button, icon, line, link_with, mark, nothing, spoken, tag, title};
use leptos::prelude::*;

/// The checklist under way, as its pages share it.
#[derive(Clone, Copy)]
pub struct Now {
    /// The app.
    pub app: App,
    /// The checklist.
    pub going: State<Going>,
    /// Goes up when another step is shown.
    pub step: State<u32>,
}

impl Now {
    /// Changes the checklist, and keeps it.
    pub fn change(self, change: impl FnOnce(&mut care::Run)) {
        if self.catch_up() || self.gone() {
            return;
        }
        let mut at = 0;
        self.going.update(|g| {
            at = g.run.at;
            change(&mut g.run);
        });
        let moved = self.going.try_with_untracked(|g| {
            kept::keep(self.app, g);
            g.run.at != at
        });
        if moved == Some(true) {
            self.step.update(|n| *n = n.wrapping_add(1));
            page::to_top();
            page::focus("#step-text");
        }
    }

    /// Takes up what another tab did. Nothing is done on top of what is no longer
    /// so; the person sees it first. Gives whether there was something.
    fn catch_up(self) -> bool {
        let found = self
            .going
            .try_with_untracked(|g| kept::further(&g.id, g.run.turn))
            .flatten();
        let Some(found) = found else { return false };
        self.going.set(found);
        self.step.update(|n| *n = n.wrapping_add(1));
        self.app.toasts.say(text::RUN_ELSEWHERE);
        true
    }

    /// Whether it was ended or deleted elsewhere meanwhile: then the small storage
    /// has let go of it. It is looked up in the notebook, and what stands there is
    /// shown.
    fn gone(self) -> bool {
        let found = self.going.try_with_untracked(|g| {
            (g.run.ended.is_none() && !kept::is_here(&g.id)).then(|| g.id.clone())
        });
        let Some(id) = found.flatten() else {
            return false;
        };
        leptos::task::spawn_local(async move {
            match kept::open(self.app, &id).await {
                Some(going) => {
                    kept::take_up(&going);
                    self.going.set(going);
                    self.step.update(|n| *n = n.wrapping_add(1));
                    self.app.toasts.say(text::RUN_ELSEWHERE);
                }
                None => {
                    self.app.toasts.stay(text::RUN_DELETED);
                    crate::route::go(self.app.route, "/bench");
                }
            }
        });
        true
    }
}

/// A page of a checklist: `part` is empty for the step, else what is shown of it.
pub fn page(app: App, id: String, part: String) -> Dom {
    let found: State<Option<Option<Now>>> = State::new(None);
    let own = Owner::current();
    leptos::task::spawn_local(async move {
        let going = kept::open(app, &id).await;
        if let Some(going) = going.as_ref().filter(|g| !kept::is_here(&g.id)) {
            kept::take_up(going);
        }
        let make = || {
            going.map(|going| Now {
                app,
                going: State::new(going),
                step: State::new(0),
            })
        };
        let now = own.and_then(|o| o.with(make));
        found.try_set(Some(now));
    });
    let body = Dom::live(move || match found.get() {
        None => line("p", "small", text::LOADING),
        Some(None) => Dom::many(vec![
            consoles::back("/bench", "Back to the bench"),
            title("Checklist"),
            line("p", "", text::RUN_LOST),
        ]),
        Some(Some(now)) => match part.as_str() {
            "all" => whole::page(now),
            "paper" => paper::page(now),
            _ => step_page(now),
        },
    });
    Dom::many(vec![consoles::trouble(app), body])
}

fn step_page(now: Now) -> Dom {
    let awake = wake::keep_on();
    // A screen reader begins with the step; keys go on from there.
    page::focus("#step-text");
    let back = page::while_here(move || {
        now.catch_up();
    });
    let keys = page::while_keys(move |key| match key {
        " " | "Enter" | "ArrowRight" => {
            go_on(now);
            true
        }
        "ArrowLeft" => {
            now.change(|r| r.back());
            true
        }
        _ => false,
    });
    on_cleanup(move || drop((keys, back)));
    let shown = move || {
        now.step.track();
        if now.going.with(|g| g.run.list.is_empty()) {
            return nothing();
        }
        step(now)
    };
    tag(
        "div",
        "bench-run",
        vec![
            Dom::live(shown),
            line("p", "small", text::RUN_LEAVE),
            wake_line(awake),
            foot(now),
        ],
    )
}

/// Marks a plain step as done. A hold point asks for more.
fn go_on(now: Now) {
    let (open, holds) = now
        .going
        .with_untracked(|g| (g.run.mark(g.run.at).is_open(), g.run.holds()));
    let barrier = now.going.with_untracked(|g| g.run.barrier());
    if !open {
        now.change(care::Run::forward);
    } else if let Some(first) = barrier {
        now.change(move |r| r.go(first));
    } else if holds {
        page::focus("#hold-tick");
        return;
    } else {
        now.change(|r| r.done(device::now_ms()));
    }
    finished(now);
}

/// After the last step the page of all steps tells how it went.
fn finished(now: Now) {
    let (over, address) = now
        .going
        .try_with_untracked(|g| (g.run.counts().open == 0, g.address()))
        .unwrap_or_default();
    if over {
        crate::route::go(now.app.route, &(address + "/all"));
    }
}

fn step(now: Now) -> Dom {
    let Some((at, total, line_now, address)) = now.going.try_with_untracked(|g| {
        let line = g.run.list.get(g.run.at).cloned();
        (g.run.at, g.run.list.len(), line, g.address())
    }) else {
        return nothing();
    };
    let Some(step) = line_now else {
        return nothing();
    };
    let place =
        step.phase.clone() + " \u{b7} step " + &(at + 1).to_string() + " of " + &total.to_string();
    let bar = El::new("progress")
        .attr("max", &total.to_string())
        .attr("value", &at.to_string())
        .attr("aria-label", "Steps before this one");
    let text = El::new("h1")
        .attr("id", "step-text")
        .attr("tabindex", "-1")
        .class("step-text")
        .text(&step.text);
    let hold = step.hold.clone();
    let away = now
        .going
        .with_untracked(|g| g.run.was_away(device::now_ms()));
    let mut parts = vec![
        line("p", "step-place", place),
        bar.done(),
        if away {
            mark("bad", "stop", text::RUN_AWAY)
        } else {
            nothing()
        },
        text.done(),
        line("p", "step-why", "Why: ".to_owned() + &step.why),
        Dom::live(move || marks::stands(now, at)),
    ];
    if let Some(t) = &step.timer {
        parts.push(timer::view(now, at, &t.name, t.seconds));
    }
    if super::care().is_some_and(|c| c.steps.iter().any(|s| s.id == step.id && s.sum.is_some())) {
        parts.push(link_with(
            "plain",
            "/bench/charge",
            "meter",
            "Work out the charge",
        ));
    }
    let barrier = now.going.with_untracked(|g| g.run.barrier());
    if barrier.is_some() {
        parts.push(mark("bad", "stop", text::RUN_BARRIER));
    }
    parts.push(match hold.filter(|_| barrier.is_none()) {
        Some(words) => Dom::live(move || hold_box(now, at, &words)),
        None => nothing(),
    });
    parts.push(parts::from(&step.from));
    if barrier.is_none() {
        parts.push(marks::more(now, at));
    }
    parts.push(tag(
        "div",
        "row",
        vec![
            link_with("plain", &(address.clone() + "/all"), "list", "All steps"),
            link_with("plain", "/bench/cautions", "caution", "Cautions"),
            link_with("plain", &(address + "/paper"), "print", "On paper"),
        ],
    ));
    Dom::many(parts)
}

/// A hold point: a deliberate act is asked before it goes on.
fn hold_box(now: Now, at: usize, words: &str) -> Dom {
    if now
        .going
        .with(|g| matches!(g.run.mark(at), care::Mark::Done(_)))
    {
        return parts::held(words);
    }
    let sure = State::new(false);
    let tick = El::new("input")
        .attr("type", "checkbox")
        .attr("id", "hold-tick")
        .on("change", move |e| sure.set(event_target_checked(&e)));
    let tick = consoles::ticked(tick, text::HOLD_TICK, text::HOLD_TICK_HELP);
    let go = move || {
        if sure.get() {
            button("main wide big", "check", "It holds. Go on", move || {
                now.change(|r| r.confirm(device::now_ms()));
                finished(now);
            })
        } else {
            line("p", "small", "Tick the box first.")
        }
    };
    tag(
        "div",
        "hold-box",
        vec![parts::held(words), tick, Dom::live(go)],
    )
}

/// The two buttons by the thumb.
fn foot(now: Now) -> Dom {
    let go = move || {
        let (first, open, holds, barrier) = now.going.with(|g| {
            let r = &g.run;
            let open = r.mark(r.at).is_open();
            (r.at == 0, open, r.holds(), r.barrier().is_some())
        });
        let back = if first {
            nothing()
        } else {
            button("plain big", "left", "Back", move || {
                now.change(|r| r.back());
            })
        };
        let next = if !open {
            button("main big grow", "right", "Next", move || go_on(now))
        } else if barrier {
            button("main big grow", "stop", "To the hold point", move || {
                go_on(now)
            })
        } else if holds {
            button("plain big grow", "stop", "Hold point", move || {
                page::focus("#hold-tick");
            })
        } else {
            button("main big grow", "check", "Done, next", move || go_on(now))
        };
        Dom::many(vec![back, next])
    };
    tag("div", "run-foot", vec![Dom::live(go)])
}

fn wake_line(awake: State<Awake>) -> Dom {
    spoken(
        "",
        vec![Dom::live(move || match awake.get() {
            Awake::Asked => nothing(),
            Awake::On => tag(
                "p",
                "small",
                vec![
                    icon("eye"),
                    line("span", "", " ".to_owned() + text::WAKE_ON),
                ],
            ),
            Awake::Refused => line("p", "small", text::WAKE_REFUSED),
            Awake::Unknown => line("p", "small", text::WAKE_UNKNOWN),
        })],
    )
}
