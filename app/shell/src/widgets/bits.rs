//! The smallest parts: an element, a text, an icon, a button.

use leptos::html;
use leptos::prelude::*;

/// An element by name, with a class and children.
pub fn tag(name: &'static str, class: &'static str, children: Vec<AnyView>) -> AnyView {
    if class.is_empty() {
        html::custom(name).child(children).into_any()
    } else {
        html::custom(name).class(class).child(children).into_any()
    }
}

/// An element with nothing but text in it.
pub fn line(name: &'static str, class: &'static str, text: impl Into<String>) -> AnyView {
    tag(name, class, vec![words(text)])
}

/// Text.
pub fn words(text: impl Into<String>) -> AnyView {
    let text: String = text.into();
    text.into_any()
}

/// Nothing.
pub fn nothing() -> AnyView {
    ().into_any()
}

/// Text for screen readers only.
pub fn unseen(text: impl Into<String>) -> AnyView {
    line("span", "unseen", text)
}

/// A picture from the sprite in the page. Always beside a word that says the
/// same, so screen readers skip it.
pub fn icon(name: &str) -> AnyView {
    let href = "#i-".to_owned() + name;
    view! { <svg class="icon" aria-hidden="true" focusable="false"><use href=href></use></svg> }
        .into_any()
}

/// A button with an icon and a word.
pub fn button(
    class: &'static str,
    picture: &'static str,
    label: impl Into<String>,
    act: impl Fn() + 'static,
) -> AnyView {
    boxed(class, picture, label.into(), Box::new(act))
}

fn boxed(class: &'static str, picture: &'static str, label: String, act: Box<dyn Fn()>) -> AnyView {
    let picture = if picture.is_empty() { nothing() } else { icon(picture) };
    view! {
        <button type="button" class=class on:click=move |_| act()>
            {picture}<span>{label}</span>
        </button>
    }
    .into_any()
}

/// A part of a page that can be folded.
pub fn fold(summary: impl Into<String>, open: bool, children: Vec<AnyView>) -> AnyView {
    let summary: String = summary.into();
    view! {
        <details class="fold" open=open>
            <summary>{summary}</summary>
            <div class="fold-in">{children}</div>
        </details>
    }
    .into_any()
}

/// A name and what it stands for, as a row of a list of such.
pub fn pair(name: impl Into<String>, value: impl Into<String>) -> AnyView {
    let value: String = value.into();
    tag("div", "pair", vec![line("dt", "", name), tag("dd", "", with_code(&value))])
}

/// A list with one text an item.
pub fn bullets(items: impl IntoIterator<Item = String>) -> AnyView {
    tag("ul", "bullets", items.into_iter().map(|i| tag("li", "", with_code(&i))).collect())
}

/// A text of a book, where what stands between backticks is to be typed or read
/// as it is.
pub fn with_code(text: &str) -> Vec<AnyView> {
    let mut code = false;
    let mut out = Vec::new();
    for piece in text.split('`') {
        if !piece.is_empty() {
            out.push(if code { line("code", "mono", piece) } else { words(piece) });
        }
        code = !code;
    }
    out
}

/// A number with its word: `1 entry`, `2 entries`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    n.to_string() + " " + if n == 1 { one } else { many }
}

/// A text with a capital letter in front: what the crates say is made to stand
/// inside a sentence too.
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + chars.as_str())
}
