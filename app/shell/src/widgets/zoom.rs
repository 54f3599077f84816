//! A picture in a box: moved by dragging, zoomed by pinching, by the wheel or
//! by buttons, turned by a button. All of it works with keys and with single
//! taps too, as not everyone can drag.

use super::bits::button;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, MouseEvent, PointerEvent, WheelEvent};

/// How far one arrow key moves the picture, in CSS pixels.
const STEP: f64 = 40.0;
/// The smallest and the largest zoom; 1 is the whole picture in the box.
const LEAST: f64 = 0.5;
const MOST: f64 = 12.0;

/// Where the picture is drawn: how far its middle is from the middle of the
/// box in CSS pixels, how much it is enlarged, and how many degrees it is turned.
#[derive(Clone, Copy, PartialEq)]
struct Pose {
    x: f64,
    y: f64,
    zoom: f64,
    turn: i32,
}

impl Default for Pose {
    fn default() -> Self {
        FIT
    }
}

const FIT: Pose = Pose {
    x: 0.0,
    y: 0.0,
    zoom: 1.0,
    turn: 0,
};

/// A finger on the picture: which one, and where.
type Finger = (i32, (f64, f64));

/// How a picture is looked at just now.
#[derive(Clone, Copy)]
pub struct Zoom {
    pose: State<Pose>,
    fingers: Kept<Vec<Finger>>,
}

impl Zoom {
    /// The whole picture.
    pub fn new() -> Self {
        Self {
            pose: State::new(FIT),
            fingers: Kept::new(Vec::new()),
        }
    }

    /// Back to the whole picture. No finger counts as lying on it any more.
    pub fn fit(self) {
        self.fingers.set_value(Vec::new());
        self.pose.set(FIT);
    }

    /// The box with the picture. `name` is what a screen reader says of it.
    pub fn frame(self, address: &str, name: &str) -> Dom {
        let name = name.trim_end_matches('.').to_owned();
        let name = name + ". Arrow keys move it, plus and minus zoom.";
        let picture = El::new("img")
            .attr("src", address)
            .attr("alt", "")
            .attr("draggable", "false")
            .live_style("transform", move || style(self.pose.get()));
        let frame = El::new("div")
            .class("photo-box")
            .attr("tabindex", "0")
            .attr("role", "img")
            .attr("aria-label", &name);
        let (down, drag, wheel) = (
            frame.node().clone(),
            frame.node().clone(),
            frame.node().clone(),
        );
        let up = move |ev: &PointerEvent| {
            self.fingers
                .update_value(|f| f.retain(|(id, _)| *id != ev.pointer_id()));
        };
        frame
            .on("pointerdown", move |e| self.down(&down, e.unchecked_ref()))
            .on("pointermove", move |e| self.drag(&drag, e.unchecked_ref()))
            .on("pointerup", move |e| up(e.unchecked_ref()))
            .on("pointercancel", move |e| up(e.unchecked_ref()))
            .on("keydown", move |e| self.key(e.unchecked_ref()))
            .on("wheel", move |e| self.wheel(&wheel, e.unchecked_ref()))
            .kid(picture.done())
            .done()
    }

    /// Buttons that zoom and turn.
    pub fn zoom_tools(self) -> Vec<Dom> {
        let by = |picture, name, by| {
            button("plain", picture, name, move || {
                self.pose.update(|p| zoom(p, by, (0.0, 0.0)))
            })
        };
        vec![
            by("plus", "Closer", 1.4),
            by("minus", "Wider", 1.0 / 1.4),
            button("plain", "fit", "Fit", move || self.fit()),
            button("plain", "turn", "Turn", move || {
                self.pose.update(|p| p.turn = (p.turn + 90) % 360)
            }),
        ]
    }

    /// Buttons that move: each brings its side of the picture into view.
    pub fn move_tools(self) -> Vec<Dom> {
        let by = |picture, name, x: f64, y: f64| {
            button("plain", picture, name, move || {
                self.pose.update(|p| shift(p, x, y))
            })
        };
        vec![
            by("left", "Left", 80.0, 0.0),
            by("right", "Right", -80.0, 0.0),
            by("up", "Up", 0.0, 60.0),
            by("down", "Down", 0.0, -60.0),
        ]
    }

    /// A key pressed in the box or near it. One that was used already is left alone.
    pub fn key(self, ev: &KeyboardEvent) {
        if ev.default_prevented() {
            return;
        }
        let mut hit = true;
        self.pose.update(|p| match ev.key().as_str() {
            "ArrowLeft" => shift(p, STEP, 0.0),
            "ArrowRight" => shift(p, -STEP, 0.0),
            "ArrowUp" => shift(p, 0.0, STEP),
            "ArrowDown" => shift(p, 0.0, -STEP),
            "+" => zoom(p, 1.25, (0.0, 0.0)),
            "-" => zoom(p, 0.8, (0.0, 0.0)),
            _ => hit = false,
        });
        if hit {
            ev.prevent_default();
        }
    }

    fn wheel(self, frame: &Element, ev: &WheelEvent) {
        ev.prevent_default();
        let by = if ev.delta_y() < 0.0 { 1.15 } else { 1.0 / 1.15 };
        self.pose.update(|p| zoom(p, by, from_middle(frame, ev)));
    }

    fn down(self, frame: &Element, ev: &PointerEvent) {
        drop(frame.set_pointer_capture(ev.pointer_id()));
        self.fingers
            .update_value(|f| f.push((ev.pointer_id(), from_middle(frame, ev))));
    }

    /// One finger moves the picture. Two zoom it about the point between them,
    /// which stays under them.
    fn drag(self, frame: &Element, ev: &PointerEvent) {
        let now = from_middle(frame, ev);
        let (mut before, mut other) = (None, None);
        self.fingers.update_value(|f| {
            for (id, at) in f.iter_mut() {
                if *id == ev.pointer_id() {
                    before = Some(std::mem::replace(at, now));
                } else {
                    other = Some(*at);
                }
            }
        });
        let Some(before) = before else { return };
        let moved = (now.0 - before.0, now.1 - before.1);
        self.pose.update(|p| match other {
            None => shift(p, moved.0, moved.1),
            Some(o) => {
                let far = |a: (f64, f64)| (a.0 - o.0).hypot(a.1 - o.1);
                let was = far(before);
                if was > 1.0 {
                    let between = ((before.0 + o.0) / 2.0, (before.1 + o.1) / 2.0);
                    zoom(p, far(now) / was, between);
                }
                shift(p, moved.0 / 2.0, moved.1 / 2.0);
            }
        });
    }
}

fn style(p: Pose) -> String {
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
}

/// Where something happened, seen from the middle of the box.
fn from_middle(frame: &Element, ev: &MouseEvent) -> (f64, f64) {
    let r = frame.get_bounding_client_rect();
    (
        f64::from(ev.client_x()) - r.left() - r.width() / 2.0,
        f64::from(ev.client_y()) - r.top() - r.height() / 2.0,
    )
}

fn shift(p: &mut Pose, x: f64, y: f64) {
    p.x += x;
    p.y += y;
}

/// Zooms about a point of the box, which stays where it is.
fn zoom(p: &mut Pose, by: f64, about: (f64, f64)) {
    let next = (p.zoom * by).clamp(LEAST, MOST);
    let real = next / p.zoom;
    p.x = about.0 + (p.x - about.0) * real;
    p.y = about.1 + (p.y - about.1) * real;
    p.zoom = next;
}
