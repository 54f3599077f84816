//! Typing into a text box from buttons: at the caret, without taking the focus
//! away from it.

use web_sys::HtmlTextAreaElement;

/// Puts text where the caret is, over what is selected. Gives the new value.
pub fn insert(area: &HtmlTextAreaElement, text: &str) -> String {
    let (from, to) = range(area);
    drop(area.set_range_text_with_start_and_end(text, from, to));
    place(area, from + units(text));
    area.value()
}

/// Takes out what is selected, or the character before the caret.
pub fn delete_back(area: &HtmlTextAreaElement) -> String {
    let (from, to) = range(area);
    let from = if from == to {
        from.saturating_sub(1)
    } else {
        from
    };
    drop(area.set_range_text_with_start_and_end("", from, to));
    place(area, from);
    area.value()
}

/// The line the caret is in: where it begins, in bytes, and its text.
pub fn line(area: &HtmlTextAreaElement) -> (usize, String) {
    let text = area.value();
    let (_, at) = range(area);
    let (mut seen, mut start) = (0, 0);
    for line in text.split('\n') {
        seen += units(line) + 1;
        if seen > at {
            return (start, line.to_owned());
        }
        start += line.len() + 1;
    }
    (text.len(), String::new())
}

/// Selects a stretch given in bytes and scrolls it into view.
pub fn select(area: &HtmlTextAreaElement, from: usize, to: usize) {
    let text = area.value();
    let at = |n: usize| text.get(..n).map_or(0, units);
    drop(area.focus());
    drop(area.set_selection_range(at(from), at(to)));
}

fn range(area: &HtmlTextAreaElement) -> (u32, u32) {
    let end = units(&area.value());
    let from = area.selection_start().ok().flatten().unwrap_or(end);
    let to = area.selection_end().ok().flatten().unwrap_or(end);
    (from, to)
}

fn place(area: &HtmlTextAreaElement, at: u32) {
    drop(area.set_selection_range(at, at));
}

/// Length as the browser counts it, in UTF-16 units.
fn units(text: &str) -> u32 {
    u32::try_from(text.encode_utf16().count()).unwrap_or(u32::MAX)
}
