//! The smallest parts: an element, a text, an icon, a button.

use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use leptos::prelude::event_target_value;

/// An element by name, with a class and children.
#[inline(never)]
pub fn tag(name: &'static str, class: &'static str, children: Vec<Dom>) -> Dom {
    let el = El::new(name);
    let el = if class.is_empty() {
        el
    } else {
        el.class(class)
    };
    el.kids(children).done()
}

/// An element with nothing but text in it.
pub fn line(name: &'static str, class: &'static str, text: impl AsRef<str>) -> Dom {
    with_text(name, class, text.as_ref())
}

#[inline(never)]
fn with_text(name: &'static str, class: &'static str, text: &str) -> Dom {
    let el = El::new(name).text(text);
    if class.is_empty() {
        el.done()
    } else {
        el.class(class).done()
    }
}

/// Text.
pub fn words(text: impl AsRef<str>) -> Dom {
    Dom::text(text.as_ref())
}

/// Nothing.
pub fn nothing() -> Dom {
    Dom::default()
}

/// Text for screen readers only.
pub fn unseen(text: impl AsRef<str>) -> Dom {
    line("span", "unseen", text)
}

/// A picture from the sprite in the page. Always beside a word that says the
/// same, so screen readers skip it.
pub fn icon(name: &str) -> Dom {
    let href = "#i-".to_owned() + name;
    let drawn = El::svg("use").attr("href", &href).done();
    El::svg("svg")
        .class("icon")
        .attr("aria-hidden", "true")
        .attr("focusable", "false")
        .kid(drawn)
        .done()
}

/// A button with an icon and a word.
pub fn button(
    class: &'static str,
    picture: &'static str,
    label: impl AsRef<str>,
    act: impl Fn() + 'static,
) -> Dom {
    boxed(class, picture, label.as_ref(), Box::new(act))
}

fn boxed(class: &'static str, picture: &'static str, label: &str, act: Box<dyn Fn()>) -> Dom {
    let picture = if picture.is_empty() {
        nothing()
    } else {
        icon(picture)
    };
    let button = El::new("button")
        .attr("type", "button")
        .class(class)
        .on("click", move |_| act());
    button.kid(picture).kid(line("span", "", label)).done()
}

/// A part of a page that can be folded.
pub fn fold(summary: impl AsRef<str>, open: bool, children: Vec<Dom>) -> Dom {
    let el = El::new("details");
    let el = if open { el.attr("open", "") } else { el };
    folded(el, summary.as_ref(), children)
}

/// The same with an id, so that it stays as it is when the part of the page
/// around it is drawn anew (see `page::keep_place`).
pub fn fold_named(id: &str, summary: impl AsRef<str>, children: Vec<Dom>) -> Dom {
    folded(
        El::new("details").attr("id", id),
        summary.as_ref(),
        children,
    )
}

/// The same with content that is drawn only once it is unfolded: for what is
/// long and seldom looked at.
pub fn fold_later(
    id: &str,
    summary: impl AsRef<str>,
    draw: impl Fn() -> Vec<Dom> + 'static,
) -> Dom {
    // One that stands open now is opened again after this (`page::keep_place`).
    let opened = State::new(crate::platform::page::unfolded(id));
    let el = El::new("details").attr("id", id).on("toggle", move |_| {
        if !opened.get_untracked() {
            opened.set(true);
        }
    });
    let content = Dom::live(move || {
        if opened.get() {
            Dom::many(draw())
        } else {
            nothing()
        }
    });
    folded(el, summary.as_ref(), vec![content])
}

#[inline(never)]
fn folded(el: El, summary: &str, children: Vec<Dom>) -> Dom {
    el.class("fold")
        .kid(line("summary", "", summary))
        .kid(tag("div", "fold-in", children))
        .done()
}

/// A name and what it stands for, as a row of a list of such.
pub fn pair(name: impl AsRef<str>, value: impl AsRef<str>) -> Dom {
    tag(
        "div",
        "pair",
        vec![
            line("dt", "", name),
            tag("dd", "", with_code(value.as_ref())),
        ],
    )
}

/// A list with one text an item.
pub fn bullets(items: impl IntoIterator<Item = String>) -> Dom {
    tag(
        "ul",
        "bullets",
        items
            .into_iter()
            .map(|i| tag("li", "", with_code(&i)))
            .collect(),
    )
}

/// A text of a book, where what stands between backticks is to be typed or read
/// as it is.
pub fn with_code(text: &str) -> Vec<Dom> {
    let mut code = false;
    let mut out = Vec::new();
    for piece in text.split('`') {
        if !piece.is_empty() {
            out.push(if code {
                line("code", "mono", piece)
            } else {
                words(piece)
            });
        }
        code = !code;
    }
    out
}

/// A heading that the focus can be moved to.
pub fn title(text: impl AsRef<str>) -> Dom {
    El::new("h1")
        .attr("tabindex", "-1")
        .text(text.as_ref())
        .done()
}

/// A link to a place in the app.
pub fn link(class: &'static str, to: &str, children: Vec<Dom>) -> Dom {
    let el = El::new("a").attr("href", to);
    let el = if class.is_empty() {
        el
    } else {
        el.class(class)
    };
    el.kids(children).done()
}

/// A link with an icon and a word.
#[inline(never)]
pub fn link_with(class: &'static str, to: &str, picture: &str, label: &str) -> Dom {
    link(class, to, vec![icon(picture), line("span", "", label)])
}

/// How something stands, by icon and word: `good`, `warn` or `bad`.
pub fn mark(kind: &str, picture: &str, text: impl AsRef<str>) -> Dom {
    marked(kind, picture, text.as_ref())
}

#[inline(never)]
fn marked(kind: &str, picture: &str, text: &str) -> Dom {
    El::new("p")
        .class(&("mark ".to_owned() + kind))
        .kid(icon(picture))
        .kid(line("span", "", text))
        .done()
}

/// Shows a list to its end, where it is longer than what is drawn of it.
#[inline(never)]
pub fn show_all(total: usize, limit: State<usize>) -> Dom {
    if total <= limit.get() {
        return nothing();
    }
    let label = "Show all ".to_owned() + &total.to_string();
    button("plain", "", label, move || limit.set(usize::MAX))
}

/// A part of a page under a heading of its own. The heading's id names it.
pub fn section(id: &'static str, heading: &str, children: Vec<Dom>) -> Dom {
    let head = El::new("h2")
        .attr("id", id)
        .attr("tabindex", "-1")
        .text(heading)
        .done();
    El::new("section")
        .attr("aria-labelledby", id)
        .kid(head)
        .kids(children)
        .done()
}

/// A place where messages appear that screen readers should read out. It is
/// there before the message is.
pub fn spoken(class: &'static str, children: Vec<Dom>) -> Dom {
    let el = El::new("div")
        .attr("role", "status")
        .attr("aria-live", "polite");
    let el = if class.is_empty() {
        el
    } else {
        el.class(class)
    };
    el.kids(children).done()
}

/// A one-line field for codes and other log text.
pub fn field(label: &'static str, kind: &'static str, value: State<String>) -> Dom {
    let input = El::new("input")
        .class("mono")
        .attr("type", kind)
        .attr("autocapitalize", "off")
        .attr("autocomplete", "off")
        .attr("spellcheck", "false")
        .live_prop("value", move || value.get().into())
        .on("input", move |event| value.set(event_target_value(&event)));
    tag(
        "label",
        "field",
        vec![line("span", "", label), input.done()],
    )
}

/// A number with its word: `1 entry`, `2 entries`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    n.to_string() + " " + if n == 1 { one } else { many }
}

/// A text with a capital letter in front: what the crates say is made to stand
/// inside a sentence too.
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}
