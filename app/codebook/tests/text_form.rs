//! A book as text for a forum, through everything that is done to a post on its
//! way, and back.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use codebook::text_form::{Taken, is_book, read, write};
use proptest::prelude::*;
use serde_json::{Value, json};

const GOOD: &str = include_str!("good-book.json");

/// A book with everything in its texts that could be mangled.
fn nasty() -> Value {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    doc["about"] = [
        "[b]bold[/b] [url=x]y[/url] <script>alert(1)</script> &amp; &lt; a < b > c",
        "**stress** __more__ _one_ `code` ~~gone~~ # head | cell | \\ \\\\ \\n \"quoted\" 'so' ''it''",
        "  two  blanks   three ",
        "\n- list\n1. first\n+ plus\n> quote\n=====\n--- a -- b - c\n",
        ":) ;-) :D 8) (c) (R) (tm) ... ,, // == %% http://example.invalid/x?y=1&z=2 a@b www.x",
        "\u{201C}curly\u{201D} \u{2018}so\u{2019} \u{2013} \u{2014} \u{2026} \u{A0} \u{AB}x\u{BB} é 漢字 \u{1F600} \u{202E}turned\u{200B}",
        "(begin code book) (end code book: 3 characters, sum 00000000) (Begin Code Book)",
        "tab\there \u{1}\u{7F} end\r\nline",
    ]
    .join(" \u{2022} ")
    .into();
    doc["codes"][0]["meaning"] = "漢".repeat(300).into();
    doc["codes"][1]["meaning"] = "x".repeat(300).into();
    doc["codes"][2]["meaning"] = ("\"\\\n".repeat(90) + "end").into();
    doc["_mine"] = json!({"a b": [[], [[1.5, -0.25, 1e300]], {}, null, true], "": "", "漢": "-", "n": 18_446_744_073_709_551_615_u64});
    doc
}

fn load(doc: &Value) -> Book {
    Book::load(doc.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:?}"))
}

/// The three books of the tree, the test book, and the nasty one.
fn books() -> Vec<Book> {
    let mut out: Vec<Book> = ["orrery", "halyard", "tamsin"]
        .iter()
        .map(|name| {
            let root = env!("CARGO_MANIFEST_DIR");
            let path = format!("{root}/../../public/books/{name}.json");
            Book::load(&std::fs::read(path).unwrap()).unwrap()
        })
        .collect();
    out.push(load(&serde_json::from_str(GOOD).unwrap()));
    out.push(load(&nasty()));
    out
}

#[track_caller]
fn comes_back(what: &str, book: &Book, text: &str) {
    let taken = read(text).unwrap_or_else(|e| panic!("{what}: {e}"));
    assert_eq!(taken.note, "", "{what}");
    let doc: Value = serde_json::from_str(&taken.json).unwrap();
    assert_eq!(&doc, book.doc(), "{what}");
    assert!(is_book(text), "{what}");
}

#[test]
fn the_text_is_short_lines_of_ascii_between_the_marks() {
    for book in books() {
        let text = write(&book);
        let (head, rest) = text.split_once("\n(begin code book)\n").unwrap();
        let (body, end) = rest.split_once("\n(end code book: ").unwrap();
        assert_eq!(head.lines().count(), 4, "{head}");
        assert!(head.lines().all(|l| l.chars().count() <= 260));
        assert!(body.is_ascii());
        for line in body.lines() {
            assert!((1..=76).contains(&line.len()), "{line}");
            assert_eq!(line.trim(), line);
            // No list, heading, quote or rule at the start of a line, no HTML.
            assert!(
                !line.starts_with(['#', '>', '*', '|', '=', '~', '`', '+', '!']),
                "{line}"
            );
            assert!(!line.starts_with("- ") && !line.starts_with("--"), "{line}");
            assert!(
                !line.contains(['<', '>', '&', '`', '~', '*', '@']),
                "{line}"
            );
            assert!(
                !line.contains("  ") && !line.contains("--") && !line.contains("[["),
                "{line}"
            );
            assert!(!line.contains("\\\"") && !line.contains("\\\\"), "{line}");
        }
        assert!(
            end.ends_with(")\n") && !end.trim_end().contains('\n'),
            "{end}"
        );
    }
}

/// The sum is that of Python 3's `zlib.crc32` over `json.dumps` with sorted keys
/// and no blanks.
#[test]
fn a_text_looks_like_this() {
    let book = load(&json!({
        "format": 1, "id": "lamp-box", "version": "1.0.0", "name": "Lamp box [early]",
        "licence": "CC0-1.0", "layouts": [],
        "codes": [{"code": "44D0", "title": "core rail late & \"low\"", "meaning": "é"}]
    }));
    assert_eq!(
        write(&book),
        "Code book for the Faultleaf app: Lamp box (early), version 1.0.0 (lamp-box)\n\
         Licence: CC0-1.0. 1 code.\n\
         To use it: copy this whole text, from the first line to the last,\n\
         and paste it under Books in the app.\n\
         (begin code book)\n\
         { \"format\": 1, \"id\": \"lamp-box\", \"version\": \"1.0.0\", \"name\": \"Lamp box\n\
         \\u005Bearly\\u005D\", \"licence\": \"CC0-1.0\", \"layouts\": [ ], \"codes\": [ {\n\
         \"code\": \"44D0\", \"title\": \"core rail late \\u0026 \\u0022low\\u0022\", \"meaning\":\n\
         \"\\u00E9\" } ] }\n\
         (end code book: 202 characters, sum 223DB15F)\n"
    );
}

/// What forums, mail and people do to a post.
#[allow(clippy::type_complexity, reason = "a table")]
fn manglings() -> Vec<(&'static str, fn(&str) -> String)> {
    fn per_line(t: &str, f: impl Fn(&str) -> String) -> String {
        t.lines().map(|l| f(l) + "\n").collect()
    }
    fn entities(t: &str) -> String {
        t.replace('&', "&amp;")
            .replace('"', "&quot;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
            .replace('\'', "&#39;")
    }
    vec![
        ("nothing", |t| t.to_owned()),
        ("quoted", |t| per_line(t, |l| "> ".to_owned() + l)),
        ("quoted three times", |t| {
            per_line(t, |l| ">> > ".to_owned() + l)
        }),
        ("leading blanks", |t| per_line(t, |l| "    ".to_owned() + l)),
        ("tabs and trailing blanks", |t| {
            per_line(t, |l| "\t".to_owned() + l + "  ")
        }),
        ("CRLF", |t| t.replace('\n', "\r\n")),
        ("CR", |t| t.replace('\n', "\r")),
        ("empty lines between", |t| t.replace('\n', "\n\n")),
        ("BBCode around", |t| {
            "Here:\n[quote=\"x\"][code]\n".to_owned() + t + "[/code][/quote]\nthanks {all}\n"
        }),
        ("Markdown around", |t| {
            "Here:\n```json\n".to_owned() + t + "```\nthanks\n"
        }),
        ("smart quotes", |t| {
            let mut open = false;
            t.chars()
                .map(|c| match c {
                    '"' => {
                        open = !open;
                        if open { '\u{201C}' } else { '\u{201D}' }
                    }
                    '\'' => '\u{2019}',
                    c => c,
                })
                .collect()
        }),
        ("low and guillemet quotes", |t| {
            let mut n = 0;
            t.chars()
                .map(|c| {
                    n += usize::from(c == '"');
                    if c == '"' {
                        ['\u{AB}', '\u{BB}', '\u{201E}', '\u{201C}'][n % 4]
                    } else {
                        c
                    }
                })
                .collect()
        }),
        ("smart dots and dashes", |t| {
            t.replace("...", "\u{2026}")
                .replace(" - ", " \u{2013} ")
                .replace("--", "\u{2014}")
        }),
        ("non-breaking blanks", |t| t.replace(' ', "\u{A0}")),
        ("entities", entities),
        ("entities twice", |t| entities(&entities(t))),
        ("hex entities", |t| {
            t.replace('"', "&#x22;").replace(' ', "&nbsp;")
        }),
        ("HTML", |t| {
            "<div class=\"post\"><p>".to_owned()
                + &entities(t).replace('\n', "<br />\n")
                + "</p></div>"
        }),
        ("HTML in one line", |t| {
            "<pre>".to_owned() + &entities(t).replace('\n', "<br>") + "</pre>"
        }),
        ("a break for long words", |t| t.replace('e', "e\u{200B}")),
        ("soft hyphens and marks", |t| {
            t.replace("code", "co\u{AD}de\u{200E}") + "\u{FEFF}"
        }),
        ("one line", |t| t.replace('\n', " ")),
        ("wrapped at 40", |t| wrap(t, 40, "")),
        ("wrapped at 40 and quoted", |t| wrap(t, 40, "> ")),
        ("a mark spoken of before", |t| {
            "Copy from (begin code book) on:\n".to_owned() + t
        }),
        ("byte order mark", |t| "\u{FEFF}".to_owned() + t),
        ("small letters in the marks", |t| {
            t.replace("(begin code", "(BEGIN Code")
                .replace("(end", "(End")
        }),
        ("backslashes of Markdown", |t| {
            t.replace("\\[", "[")
                .replace("\\_", "_")
                .replace("\\\"", "\"")
                .replace("\\\\", "\\")
        }),
        ("links made of words", |t| {
            t.replace("www.x", "<a href=\"http://www.x\" rel=nofollow>www.x</a>")
        }),
    ]
}

/// Wraps as mail programs do: at blanks, long words stay whole.
fn wrap(text: &str, width: usize, before: &str) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let mut at = 0;
        out.push_str(before);
        for word in line.split(' ') {
            if at > 0 && at + word.len() > width {
                out.push('\n');
                out.push_str(before);
                at = 0;
            } else if at > 0 {
                out.push(' ');
                at += 1;
            }
            out.push_str(word);
            at += word.len();
        }
        out.push('\n');
    }
    out
}

#[test]
fn a_book_survives_what_is_done_to_a_post() {
    for book in books() {
        let text = write(&book);
        for (what, mangle) in manglings() {
            comes_back(what, &book, &mangle(&text));
        }
    }
}

#[test]
fn two_manglings_at_once_do_no_harm_either() {
    let book = load(&nasty());
    let text = write(&book);
    for (a, first) in manglings() {
        for (b, second) in manglings() {
            // Escaped three times is beyond what is undone.
            let entities = [a, b]
                .iter()
                .filter(|n| n.contains("ntities") || n.contains("HTML"))
                .count();
            let twice = [a, b].contains(&"entities twice");
            if entities == 2 && (twice || a.contains("HTML") || b.contains("HTML")) {
                continue;
            }
            // A tag put in before escaping is no tag any more, nor is one with
            // quote marks in it.
            let tags = a.contains("links") || a.contains("HTML");
            let escaped = entities > usize::from(a.contains("HTML"));
            if tags && (escaped || b.contains("and quoted") || a == b) {
                continue;
            }
            comes_back(&format!("{a}, then {b}"), &book, &second(&first(&text)));
        }
    }
}

#[test]
fn plain_json_is_taken_with_anything_around_it() {
    let book = load(&serde_json::from_str(GOOD).unwrap());
    let file = book.to_json();
    for text in [
        file.clone(),
        "\u{FEFF}".to_owned() + &file,
        "  \r\n".to_owned() + &file.replace('\n', "\r\n"),
        "My book:\n[code]\n".to_owned() + &file + "[/code]\nbye",
        "```json\n".to_owned() + &file + "```",
    ] {
        let taken = read(&text).unwrap();
        assert_eq!(taken.note, "");
        assert_eq!(Book::load(taken.json.as_bytes()).unwrap().model, book.model);
    }
    // As it was, to the letter: what is in it twice is told by loading.
    assert_eq!(read(&file).unwrap().json, file);
    for text in [
        file.replace('"', "\u{201D}"),
        "> ".to_owned() + &file.replace('"', "&quot;").replace('\n', "<br>"),
        file.replace(' ', "\u{A0}"),
    ] {
        let taken = read(&text).unwrap();
        assert!(taken.note.contains("set right"), "{}", taken.note);
        assert_eq!(Book::load(taken.json.as_bytes()).unwrap().model, book.model);
    }
    // Nearly right: loading says what is wrong, and where.
    let broken = file.replacen(',', "", 1);
    assert_eq!(
        read(&broken).unwrap(),
        Taken {
            json: broken.clone(),
            note: String::new()
        }
    );
    assert!(
        Book::load(broken.as_bytes()).unwrap_err()[0]
            .message
            .contains("line")
    );
}

#[test]
fn what_was_changed_is_told_and_taken_with_care() {
    let book = load(&nasty());
    let text = write(&book);
    let changed = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        read(&text.replacen(from, to, 1))
    };
    let note = |t: Result<Taken, String>| t.unwrap().note;
    assert!(note(changed("\"44D0\"", "\"44DO\"")).contains("changed on the way"));
    assert!(note(changed("44D0", "")).contains("changed on the way"));
    assert!(note(changed("core rail late", "core raillate")).contains("changed on the way"));
    assert!(note(changed("sum ", "sum 0")).contains("changed on the way"));
    assert!(note(read(&(text.clone() + &text))).contains("another book"));
    let end = text.find("(end code book").unwrap();
    let without = &text[..end];
    assert!(note(read(without)).contains("ends the book is missing"));
    assert!(note(read(&(without.to_owned() + "\nthanks a lot"))).contains("is missing"));
    let half = &text[..text.len() / 2];
    assert!(
        read(half)
            .unwrap_err()
            .contains("The end of the book is missing")
    );
    let why = changed("\"codes\": [", "\"codes\": ").unwrap_err();
    assert!(
        why.contains("can't be read") && why.contains("characters"),
        "{why}"
    );
    let lines: Vec<&str> = text.lines().collect();
    let gap: String = [&lines[..9], &lines[12..]].concat().join("\n");
    assert!(read(&gap).is_err() || !read(&gap).unwrap().note.is_empty());
}

#[test]
fn a_text_without_a_book_is_said_to_be_none() {
    for text in [
        "",
        "hello",
        "{",
        "}{",
        "slot 07 step 0A code 44D0",
        "(end code book: 3)",
    ] {
        assert!(read(text).unwrap_err().contains("no code book"), "{text}");
        assert!(!is_book(text), "{text}");
    }
    for text in [
        "(begin code book)",
        "(begin code book)(end code book:",
        "(begin code book) {} ",
    ] {
        let _ = read(text);
    }
    assert!(
        read(&" ".repeat(40 << 20))
            .unwrap_err()
            .contains("too long")
    );
}

/// Lines that only end, escapes that never do: all in one pass.
#[test]
fn long_hostile_texts_are_read_in_time_that_grows_with_their_length() {
    let begin = "(begin code book)".to_owned();
    for part in [
        "a\n",
        "\\u0\n",
        "&",
        "&a;",
        "<",
        "<a",
        "<a>",
        "{",
        "[",
        "(begin code book)",
        "\\",
        "\u{201C}",
        ">\n> ",
    ] {
        let text = begin.clone() + &part.repeat((2 << 20) / part.len());
        let _ = read(&text);
        let _ = read(&text[17..]);
        let _ = read(&(text + "(end code book: 1)"));
    }
}

fn any_doc() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        (-1e6..1e6).prop_map(Value::from),
        any::<String>().prop_map(Value::from),
        "[ -~]{0,120}".prop_map(Value::from),
        "[a-z '\"\\\\._:;)(<>&*#-]{0,60}".prop_map(Value::from),
        "[A-Z]{70,200}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 40, 6, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            proptest::collection::btree_map(any::<String>(), inner, 0..6)
                .prop_map(|m| Value::Object(m.into_iter().collect())),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_contents_survive_every_mangling(extra in any_doc(), title in any::<String>(), which in any::<prop::sample::Index>()) {
        let mut doc: Value = serde_json::from_str(GOOD).unwrap();
        doc["_extra"] = extra;
        doc["name"] = ("x".to_owned() + &title).into();
        // Through text once: a number has only so many digits.
        let doc: Value = serde_json::from_str(&doc.to_string()).unwrap();
        let book = load(&doc);
        let all = manglings();
        let (what, mangle) = &all[which.index(all.len())];
        let taken = read(&mangle(&write(&book)));
        prop_assert!(taken.is_ok(), "{}: {:?} {}", what, taken, mangle(&write(&book)));
        let taken = taken.unwrap();
        let back: Value = serde_json::from_str(&taken.json).unwrap();
        prop_assert_eq!(&back, &doc, "{}", what);
        prop_assert_eq!(taken.note, "", "{}", what);
    }

    #[test]
    fn any_text_is_read_without_harm(text: String, begin: bool, end: bool) {
        let text = if begin { "(begin code book)".to_owned() + &text } else { text };
        let text = if end { text + "(end code book: 12 characters, sum 00000000)" } else { text };
        let _ = read(&text);
        let _ = is_book(&text);
    }

    /// One place of a post is changed: the book is the same, or it is told.
    #[test]
    fn a_change_anywhere_is_told_or_undone(at in any::<prop::sample::Index>(), with in any::<char>(), cut in 0..3_usize) {
        let book = load(&nasty());
        let mut text: Vec<char> = write(&book).chars().collect();
        let at = at.index(text.len());
        text.splice(at..(at + cut).min(text.len()), [with]);
        let text: String = text.into_iter().collect();
        if let Ok(taken) = read(&text) {
            let doc: Result<Value, _> = serde_json::from_str(&taken.json);
            prop_assert!(doc.is_ok_and(|d| d == *book.doc()) || !taken.note.is_empty());
        }
    }
}
