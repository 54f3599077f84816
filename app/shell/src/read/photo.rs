//! A photo of a screen or a page, beside the text box it is typed from. It is
//! moved by dragging, zoomed by pinching or by buttons, and never kept.

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::{files, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, tag};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Blob, PointerEvent, WheelEvent};

/// Where the photo is drawn.
#[derive(Clone, Copy, PartialEq)]
struct Pose {
    x: f64,
    y: f64,
    zoom: f64,
    turn: i32,
}

/// A finger on the photo: which one, and where.
type Finger = (i32, (f64, f64));

const FIT: Pose = Pose {
    x: 0.0,
    y: 0.0,
    zoom: 1.0,
    turn: 0,
};

/// Shows a picture and goes to it.
pub fn open(app: App, blob: &Blob) {
    let old = app.work.photo.get_untracked();
    if let Some(old) = old {
        files::release(&old);
    }
    app.work.photo.set(files::address(blob));
    app.work.own_keys.set(true);
}

/// The photo with its buttons, or the button that asks for one.
pub fn panel(app: App) -> Dom {
    let pose = RwSignal::new(FIT);
    let body = move || match app.work.photo.get() {
        Some(address) => frame(address, pose),
        None => tag(
            "div",
            "",
            vec![
                line("p", "", text::PHOTO_FIRST),
                buttons(app, "Choose or take a photo"),
            ],
        ),
    };
    let input = files::input("photo-file", "image/*", "Photo file", move |file| {
        pose.set(FIT);
        open(app, &file);
    });
    let section = El::new("section")
        .class("photo")
        .attr("aria-label", "Photo");
    section.kid(Dom::live(body)).kid(input).done()
}

/// Another photo, or none. Below the text box once there is a photo, where it
/// is not in the way.
pub fn buttons(app: App, label: &'static str) -> Dom {
    tag(
        "div",
        "row",
        vec![
            button("plain", "photo", label, || page::tap("photo-file")),
            button("plain", "close", "Close photo", move || close(app)),
        ],
    )
}

fn close(app: App) {
    if let Some(old) = app.work.photo.get_untracked() {
        files::release(&old);
    }
    app.work.photo.set(None);
    app.work.own_keys.set(false);
    page::replace("/read");
    route::sync(app.route);
}

fn frame(address: String, pose: RwSignal<Pose>) -> Dom {
    let fingers = StoredValue::new(Vec::<Finger>::new());
    let frame = El::new("div")
        .class("photo-box")
        .attr("tabindex", "0")
        .attr("role", "img")
        .attr(
            "aria-label",
            "Photo of the log. Arrow keys move it, plus and minus zoom.",
        );
    let node = frame.node().clone();
    let transform = move || {
        let p = pose.get();
        let n = |v: f64| v.to_string();
        [
            "translate(",
            &n(p.x),
            "px,",
            &n(p.y),
            "px) scale(",
            &n(p.zoom),
            ") rotate(",
            &p.turn.to_string(),
            "deg)",
        ]
        .concat()
    };
    let down = move |ev: PointerEvent| {
        drop(node.set_pointer_capture(ev.pointer_id()));
        fingers.update_value(|f| {
            f.push((ev.pointer_id(), at(&ev)));
        });
    };
    let up = move |ev: PointerEvent| {
        fingers.update_value(|f| {
            f.retain(|(id, _)| *id != ev.pointer_id());
        });
    };
    let drag = move |ev: PointerEvent| {
        let now = at(&ev);
        let (before, other) = fingers.with_value(|f| {
            let find = |own: bool| {
                f.iter()
                    .find(|(id, _)| (*id == ev.pointer_id()) == own)
                    .map(|(_, p)| *p)
            };
            (find(true), find(false))
        });
        let Some(before) = before else { return };
        fingers.update_value(|f| {
            for finger in f.iter_mut().filter(|(id, _)| *id == ev.pointer_id()) {
                finger.1 = now;
            }
        });
        pose.update(|p| match other {
            None => {
                p.x += now.0 - before.0;
                p.y += now.1 - before.1;
            }
            Some(o) => {
                let (was, is) = (far(before, o), far(now, o));
                if was > 1.0 {
                    zoom(p, is / was);
                }
                p.x += (now.0 - before.0) / 2.0;
                p.y += (now.1 - before.1) / 2.0;
            }
        });
    };
    let keys = move |ev: web_sys::KeyboardEvent| {
        let step = 40.0;
        let mut hit = true;
        pose.update(|p| match ev.key().as_str() {
            "ArrowLeft" => p.x += step,
            "ArrowRight" => p.x -= step,
            "ArrowUp" => p.y += step,
            "ArrowDown" => p.y -= step,
            "+" => zoom(p, 1.25),
            "-" => zoom(p, 0.8),
            _ => hit = false,
        });
        if hit {
            ev.prevent_default();
        }
    };
    let tools = vec![
        button("plain", "plus", "Closer", move || {
            pose.update(|p| zoom(p, 1.4))
        }),
        button("plain", "minus", "Wider", move || {
            pose.update(|p| zoom(p, 1.0 / 1.4))
        }),
        button("plain", "fit", "Fit", move || pose.set(FIT)),
        button("plain", "turn", "Turn", move || {
            pose.update(|p| p.turn = (p.turn + 90) % 360)
        }),
        button("plain", "left", "Left", move || {
            pose.update(|p| p.x += 80.0)
        }),
        button("plain", "right", "Right", move || {
            pose.update(|p| p.x -= 80.0)
        }),
        button("plain", "up", "Up", move || pose.update(|p| p.y += 60.0)),
        button("plain", "down", "Down", move || {
            pose.update(|p| p.y -= 60.0)
        }),
    ];
    let wheel = move |ev: WheelEvent| {
        ev.prevent_default();
        pose.update(|p| zoom(p, if ev.delta_y() < 0.0 { 1.15 } else { 1.0 / 1.15 }));
    };
    let picture = El::new("img")
        .attr("src", &address)
        .attr("alt", "")
        .attr("draggable", "false");
    let frame = frame
        .on("pointerdown", move |e| down(e.unchecked_into()))
        .on("pointermove", move |e| drag(e.unchecked_into()))
        .on("pointerup", move |e| up(e.unchecked_into()))
        .on("pointercancel", move |e| up(e.unchecked_into()))
        .on("keydown", move |e| keys(e.unchecked_into()))
        .on("wheel", move |e| wheel(e.unchecked_into()))
        .kid(picture.live_style("transform", transform).done());
    Dom::many(vec![frame.done(), tag("div", "tools", tools)])
}

fn at(ev: &PointerEvent) -> (f64, f64) {
    (f64::from(ev.client_x()), f64::from(ev.client_y()))
}

fn far(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Zooms about the middle of the box.
fn zoom(p: &mut Pose, by: f64) {
    let next = (p.zoom * by).clamp(0.5, 12.0);
    let real = next / p.zoom;
    p.x *= real;
    p.y *= real;
    p.zoom = next;
}
