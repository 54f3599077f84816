//! The timer of a step. It goes by the clock on the wall, so a locked screen, a
//! closed page or a reload doesn't stop it.

use super::run::Now;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{device, page, wake};
use crate::text;
use crate::widgets::bits::{button, line, mark, nothing, spoken, tag};
use leptos::prelude::*;

/// A time as minutes and seconds.
pub fn clock(ms: i64) -> String {
    // A second that has begun is shown as a whole one.
    let seconds = ms.saturating_add(999).max(0) / 1000;
    let two = |n: i64| {
        if n < 10 {
            "0".to_owned() + &n.to_string()
        } else {
            n.to_string()
        }
    };
    two(seconds / 60) + ":" + &two(seconds % 60)
}

/// The timer of the step at this place.
pub fn view(now: Now, at: usize, name: &str, seconds: u32) -> Dom {
    let tick = State::new(0_u32);
    let told = Kept::new(false);
    let left = move || {
        now.going
            .try_with_untracked(|g| g.run.left_ms(at, device::now_ms()))
            .flatten()
    };
    // One that ran out before this page was opened shakes nothing.
    told.set_value(left().is_some_and(|ms| ms <= 0));
    page::each_second(move || {
        tick.update(|n| *n = n.wrapping_add(1));
        if left().is_some_and(|ms| ms <= 0) && !told.get_value() {
            told.set_value(true);
            wake::shake();
        }
    });
    let back = page::while_here(move || {
        tick.try_update(|n| *n = n.wrapping_add(1));
    });
    on_cleanup(move || drop(back));
    let whole = clock(i64::from(seconds) * 1000);
    let name = name.to_owned();
    let heading = name.clone();
    let face = El::new("p")
        .class("timer-face")
        .attr("role", "timer")
        .attr("aria-live", "off")
        .kid(Dom::live(move || {
            tick.track();
            now.going.track();
            line("span", "", left().map_or_else(|| whole.clone(), clock))
        }));
    let buttons = move || {
        if now
            .going
            .with(|g| g.run.left_ms(at, device::now_ms()).is_some())
        {
            button("plain", "close", "Stop the timer", move || {
                now.change(|r| r.stop_timer(at));
            })
        } else {
            button("plain", "clock", "Start the timer", move || {
                told.set_value(false);
                now.change(|r| r.start_timer(at, device::now_ms()));
            })
        }
    };
    // Said once, not every second.
    let over = Memo::new(move |_| {
        tick.track();
        now.going.track();
        left().is_some_and(|ms| ms <= 0)
    });
    let said = move || {
        if over.get() {
            mark("good", "clock", name.clone() + ": the time is up.")
        } else {
            nothing()
        }
    };
    tag(
        "div",
        "timer",
        vec![
            line("h2", "", heading),
            face.done(),
            spoken("", vec![Dom::live(said)]),
            tag("div", "row", vec![Dom::live(buttons)]),
            line("p", "small", text::TIMER_NOTE),
        ],
    )
}
