//! The codes of a kept reading, for a report.

use crate::timeline::{cat, put};
use crate::view::Item;
use reading::sorted;
use serde_json::Value;

struct Code<'a> {
    code: &'a str,
    step: &'a str,
    entries: u64,
    seen: u64,
    guesses: u64,
}

/// A line for each code and step, the most frequent first, and one for entries
/// that can't be read.
pub(super) fn lines(item: &Item) -> Vec<String> {
    let mut codes: Vec<Code> = Vec::new();
    let mut lost: u64 = 0;
    let entries = item.view.data.get("entries").and_then(Value::as_array);
    for entry in entries.into_iter().flatten() {
        let text = |name| entry.get(name).and_then(Value::as_str).unwrap_or("");
        let number = |name| entry.get(name).and_then(Value::as_u64);
        if let Some(n) = number("lost") {
            lost = lost.saturating_add(n);
            continue;
        }
        let (code, step) = (text("code"), text("step"));
        let at = codes.iter().position(|c| c.code == code && c.step == step);
        let at = at.unwrap_or_else(|| {
            codes.push(Code {
                code,
                step,
                entries: 0,
                seen: 0,
                guesses: 0,
            });
            codes.len() - 1
        });
        if let Some(row) = codes.get_mut(at) {
            row.entries += 1;
            row.seen = row.seen.saturating_add(number("count").unwrap_or(1).max(1));
            row.guesses += u64::from(entry.get("sure") == Some(&Value::Bool(false)));
        }
    }
    sorted::sort_by(&mut codes, |a, b| b.entries.cmp(&a.entries));
    let mut lines: Vec<String> = codes.iter().map(Code::line).collect();
    if lost > 0 {
        lines.push(cat(&[&many(lost), " missing or not readable"]));
    }
    lines
}

impl Code<'_> {
    fn line(&self) -> String {
        let mut line = if self.code.is_empty() {
            "no code".to_owned()
        } else {
            self.code.to_owned()
        };
        if !self.step.is_empty() {
            put(&mut line, &["  step ", self.step]);
        }
        put(&mut line, &["  ", &many(self.entries)]);
        if self.seen > self.entries {
            put(&mut line, &[", seen ", &self.seen.to_string(), " times"]);
        }
        if self.guesses > 0 {
            put(&mut line, &[", ", &self.guesses.to_string(), " by a guess"]);
        }
        line
    }
}

fn many(n: u64) -> String {
    cat(&[&n.to_string(), if n == 1 { " entry" } else { " entries" }])
}
