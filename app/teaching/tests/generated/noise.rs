//! What people put around a log: talk, quote marks, stamps, a slip.

use super::chance::Chance;
use super::truth::Case;

const TALK: [&str; 14] = [
    "Hello, this is what my console says since Sunday.",
    "Any idea what that means?",
    "I changed the paste 2 weeks ago and it ran for 3 hours.",
    "No. Measure the rail first, it should be 1.1 V.",
    "sorry for the bad photo",
    "It does that only when cold, below 15 degrees or so.",
    "board says rev 3 on the corner",
    "",
    "then it went on like this:",
    "the fan turns, no picture",
    "I have a meter and an iron, nothing else.",
    "pulled it again after 10 minutes",
    "thanks in advance",
    "+1, same here",
];
const NAMES: [&str; 4] = ["kettle", "moss", "tin roof", "ada"];

/// Puts the paste together and notes the line of each entry. Line by line, text
/// in front of an entry is no part of it.
pub fn paste(c: &mut Chance, case: &mut Case, head: Option<String>, empties: Vec<String>) {
    let mut lines: Vec<String> = Vec::new();
    let talk = c.percent(55);
    let quote = if c.percent(20) { "> " } else { "" };
    let chat = quote.is_empty() && c.percent(12) && case.worded;
    let stamp = quote.is_empty() && !chat && c.percent(10);
    let bullets = quote.is_empty() && !chat && !stamp && c.percent(6);
    let say = |c: &mut Chance, lines: &mut Vec<String>| {
        let text = TALK[(c.next() % TALK.len() as u64) as usize];
        lines.push(text.to_owned());
    };
    if talk {
        for _ in 0..c.within(1, 3) {
            say(c, &mut lines);
        }
    }
    let fence = c.percent(15);
    if fence {
        lines.push("[code]".into());
    }
    if c.percent(25) {
        let n = case.entries.len();
        lines.push(format!("{quote}fault log, {n} entries"));
    }
    if let Some(h) = head {
        lines.push(format!("{quote}{h}"));
    }
    let mut clock = 36_000_u64;
    let n = case.entries.len();
    let slip = (n > 3 && c.percent(30)).then(|| c.within(1, n as u64 - 1) as usize);
    let name = NAMES[(c.next() % 4) as usize];
    for i in 0..n {
        if talk && i > 0 && c.percent(4) {
            say(c, &mut lines);
        }
        clock += c.within(1, 3);
        let (h, m, s) = (clock / 3600, clock / 60 % 60, clock % 60);
        let front = if chat {
            format!("[{h:02}:{m:02}] {name}: ")
        } else if stamp {
            format!("[{h:02}:{m:02}:{s:02}.{:03}] ", c.within(0, 999))
        } else if bullets {
            "- ".into()
        } else {
            quote.to_owned()
        };
        let e = &mut case.entries[i];
        let mut text = e.text.clone();
        if slip == Some(i) {
            e.clean = !spoil(c, &mut text, &e.spans);
            e.text.clone_from(&text);
        }
        let tail = if c.percent(3) && case.worded {
            "   <- this one"
        } else {
            ""
        };
        lines.push(format!("{front}{text}{tail}"));
        e.line = lines.len();
    }
    for e in empties {
        let front = if chat || stamp { "" } else { quote };
        lines.push(format!("{front}{e}"));
    }
    if fence {
        lines.push("[/code]".into());
    }
    if talk && c.percent(60) {
        say(c, &mut lines);
    }
    case.paste = lines.join(if c.percent(15) { "\r\n" } else { "\n" });
}

/// Writes one character of a value as one that looks like it.
fn spoil(c: &mut Chance, text: &mut String, spans: &[(usize, usize)]) -> bool {
    let span = spans[(c.next() % spans.len() as u64) as usize];
    for at in span.0..span.1 {
        let other = match &text[at..=at] {
            "0" => "O",
            "1" => "l",
            "5" => "S",
            "8" => "B",
            "B" => "8",
            _ => continue,
        };
        text.replace_range(at..=at, other);
        return true;
    }
    false
}
