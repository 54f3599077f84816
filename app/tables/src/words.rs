//! What the words in the head of a column say about it.

use crate::plan::Role;
use crate::seek::{cut, find_from, has};

/// What a head says.
pub(crate) struct Said {
    /// The role.
    pub role: Role,
    /// The words that say so.
    pub by: &'static str,
    /// Whether they are all of the head.
    pub whole: bool,
    /// The board, when the head says "... on LW-52" or names one alone.
    pub board: String,
}

use Role::{
    At, Board, Code, Ignore, Layout, Meaning, NotProof, Note, Part, Port, Rail, Source, Step, Tell,
    Title, Volts,
};

/// Words and what they stand for. English, as most tables have them.
const WORDS: &[(&str, Role)] = &[
    ("code", Code),
    ("codes", Code),
    ("error", Code),
    ("errors", Code),
    ("fault", Code),
    ("err", Code),
    ("hex", Code),
    ("error code", Code),
    ("fault code", Code),
    ("hex code", Code),
    ("error no", Code),
    ("error number", Code),
    ("code as the log writes it", Code),
    ("as the log writes it", Code),
    ("step", Step),
    ("steps", Step),
    ("stage", Step),
    ("phase", Step),
    ("power up step", Step),
    ("title", Title),
    ("name", Title),
    ("short", Title),
    ("summary", Title),
    ("short text", Title),
    ("feeds", Title),
    ("headline", Title),
    ("meaning", Meaning),
    ("meanings", Meaning),
    ("means", Meaning),
    ("what it means", Meaning),
    ("description", Meaning),
    ("desc", Meaning),
    ("explanation", Meaning),
    ("details", Meaning),
    ("detail", Meaning),
    ("definition", Meaning),
    ("text", Meaning),
    ("message", Meaning),
    ("about", Meaning),
    ("what happens", Meaning),
    ("what failed", Meaning),
    ("problem", Meaning),
    ("trouble", Meaning),
    ("diagnosis", Meaning),
    ("does not prove", NotProof),
    ("not proof", NotProof),
    ("not prove", NotProof),
    ("no proof of", NotProof),
    ("what it does not prove", NotProof),
    ("does not mean", NotProof),
    ("rail", Rail),
    ("rails", Rail),
    ("power rail", Rail),
    ("voltage rail", Rail),
    ("supply rail", Rail),
    ("supply", Rail),
    ("net", Rail),
    ("part", Part),
    ("parts", Part),
    ("component", Part),
    ("components", Part),
    ("chip", Part),
    ("chips", Part),
    ("ic", Part),
    ("designator", Part),
    ("part number", Part),
    ("part no", Part),
    ("board", Board),
    ("boards", Board),
    ("board revision", Board),
    ("revision", Board),
    ("revisions", Board),
    ("rev", Board),
    ("pcb", Board),
    ("mainboard", Board),
    ("motherboard", Board),
    ("model", Board),
    ("variant", Board),
    ("note", Note),
    ("notes", Note),
    ("remark", Note),
    ("remarks", Note),
    ("comment", Note),
    ("comments", Note),
    ("cause", Note),
    ("causes", Note),
    ("likely cause", Note),
    ("fix", Note),
    ("solution", Note),
    ("remedy", Note),
    ("action", Note),
    ("what to do", Note),
    ("what to check", Note),
    ("hint", Note),
    ("tip", Note),
    ("severity", Note),
    ("source", Source),
    ("sources", Source),
    ("reference", Source),
    ("ref", Source),
    ("origin", Source),
    ("credit", Source),
    ("reported by", Source),
    ("link", Source),
    ("volts", Volts),
    ("volt", Volts),
    ("voltage", Volts),
    ("v", Volts),
    ("nominal", Volts),
    ("nominal voltage", Volts),
    ("at", At),
    ("measure at", At),
    ("measured at", At),
    ("where to measure", At),
    ("where", At),
    ("test point", At),
    ("test points", At),
    ("tp", At),
    ("how to tell", Tell),
    ("tell", Tell),
    ("signs", Tell),
    ("marking", Tell),
    ("markings", Tell),
    ("known by", Tell),
    ("service port", Port),
    ("port", Port),
    ("pads", Port),
    ("layout", Layout),
    ("layouts", Layout),
    ("log line", Layout),
    ("dec", Ignore),
    ("decimal", Ignore),
    ("count", Ignore),
    ("hits", Ignore),
    ("date", Ignore),
    ("picture", Ignore),
    ("photo", Ignore),
];

/// Words that name a part of a code; only with cells that look like one.
const WEAK: [&str; 19] = [
    "type",
    "class",
    "kind",
    "letter",
    "family",
    "subclass",
    "offset",
    "operation",
    "group",
    "value",
    "id",
    "number",
    "no",
    "status",
    "event",
    "subsystem",
    "first",
    "range",
    "prefix",
];

/// Whether the head may name a part of a code.
pub(crate) fn may_be_code(head: &str) -> bool {
    let (words, _) = plain(head);
    words.split(' ').any(|w| WEAK.contains(&w)) || words.is_empty()
}

/// Whether the head promises codes as they stand.
pub(crate) fn is_verbatim(head: &str) -> bool {
    has(&plain(head).0, "as the log writes it")
}

/// What the head says.
pub(crate) fn said(head: &str) -> Option<Said> {
    let trimmed = head.trim();
    if trimmed.is_empty() || trimmed.len() > 120 {
        return None;
    }
    let (front, board) = split_board(trimmed);
    let (words, main) = plain(front);
    if words.is_empty() && !board.is_empty() {
        return Some(Said {
            role: Meaning,
            by: "",
            whole: false,
            board: board.to_owned(),
        });
    }
    let mut best: Option<(usize, usize, &'static str, Role)> = None;
    for &(phrase, role) in WORDS {
        // The last word of an English name tells what the thing is; words after
        // "of" or "in" only add to it.
        let Some(end) = ends_at(words.get(..main).unwrap_or(""), phrase) else {
            continue;
        };
        if best.is_none_or(|(e, len, ..)| (end, phrase.len()) > (e, len)) {
            best = Some((end, phrase.len(), phrase, role));
        }
    }
    let (_, len, by, role) = best?;
    let board = if matches!(role, Title | Meaning | NotProof | Part) {
        board.to_owned()
    } else {
        String::new()
    };
    Some(Said {
        role,
        by,
        whole: len == words.len(),
        board,
    })
}

/// Lower-case words with single spaces, and where the main part ends.
fn plain(head: &str) -> (String, usize) {
    let mut words = String::new();
    let mut main = None;
    for word in head
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
    {
        if matches!(word, "of" | "in" | "for" | "by" | "with") && main.is_none() && word != head {
            main = Some(words.len());
        }
        if !words.is_empty() {
            words.push(' ');
        }
        words.push_str(&word.to_ascii_lowercase());
    }
    let main = main.filter(|&m| m > 0).unwrap_or(words.len());
    (words, main)
}

/// Where the phrase ends in the words, last place first.
fn ends_at(words: &str, phrase: &str) -> Option<usize> {
    let mut found = None;
    let mut from = 0;
    while let Some(at) = find_from(words, phrase, from) {
        let end = at + phrase.len();
        let before = at == 0 || words.as_bytes().get(at - 1) == Some(&b' ');
        let after = matches!(words.as_bytes().get(end), None | Some(b' '));
        if before && after {
            found = Some(end);
        }
        from = at + 1;
    }
    found
}

/// `meaning on LW-52`, `meaning (LW-52)`, `LW-52`: the words and the board.
fn split_board(head: &str) -> (&str, &str) {
    if let Some((front, board)) = cut(head, " on ")
        && !matches!(
            board.to_ascii_lowercase().trim(),
            "board" | "the board" | "this board" | "pcb" | "log" | "screen"
        )
        && !front.to_ascii_lowercase().starts_with("where")
    {
        return (front, board.trim());
    }
    if let Some((front, board)) = head.strip_suffix(')').and_then(|h| h.split_once('('))
        && is_board(board.trim())
    {
        return (front, board.trim());
    }
    if is_board(head) {
        return ("", head);
    }
    let last = head.rsplit(' ').next().unwrap_or("");
    if is_board(last) {
        let front = head.get(..head.len() - last.len()).unwrap_or("");
        return (front.trim_end_matches([' ', ':', ',', '-', '–']), last);
    }
    (head, "")
}

/// Letters, perhaps a dash, and a number: `LW-52`, `TM-1`.
pub(crate) fn is_board(text: &str) -> bool {
    let letters = text.bytes().take_while(u8::is_ascii_uppercase).count();
    let rest = text.get(letters..).unwrap_or("");
    let Some(rest) = rest.strip_prefix('-') else {
        return false;
    };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let after = rest.get(digits..).unwrap_or("");
    (1..=4).contains(&letters)
        && (1..=4).contains(&digits)
        && after.len() <= 2
        && after.bytes().all(|b| b.is_ascii_alphanumeric())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_say_what_a_column_is() {
        for (head, role) in [
            ("Error code", Code),
            ("CODE (hex)", Code),
            ("Code description", Meaning),
            ("Power-up step", Step),
            ("What it means", Meaning),
            ("Likely cause", Note),
            ("Does not prove", NotProof),
            ("Part no.", Part),
            ("Board revision", Board),
            ("Where to measure", At),
            ("Voltage", Volts),
            ("Name of the rail", Title),
        ] {
            assert_eq!(said(head).map(|s| s.role), Some(role), "{head}");
        }
        assert!(said("colour").is_none());
        for (head, role, board) in [
            ("Meaning on LW-52", Meaning, "LW-52"),
            ("LW-41", Meaning, "LW-41"),
            ("Parts (HB-5)", Part, "HB-5"),
            ("Meaning LW-47", Meaning, "LW-47"),
            ("Meaning on rev B 2", Meaning, "rev B 2"),
        ] {
            let said = said(head).map(|s| (s.role, s.board));
            assert_eq!(said, Some((role, board.to_owned())), "{head}");
        }
    }
}
