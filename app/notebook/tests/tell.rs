//! A job told to others.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]

use notebook::tell::{Form, Telling, Told, job, rows};
use notebook::timeline::Named;
use notebook::{Item, View};
use proptest::prelude::*;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde_json::{Value, json};

fn item(id: &str, kind: &str, fields: Value) -> Item {
    let Value::Object(data) = fields else {
        panic!("not an object")
    };
    Item {
        id: id.to_owned(),
        kind: kind.to_owned(),
        // 2026-03-01
        created: 1_772_323_200_000,
        changed: 1_772_323_200_000,
        view: View {
            data,
            ..View::default()
        },
    }
}

fn names(what: Named, id: &str) -> Option<String> {
    match (what, id) {
        (Named::Symptom, "s1") => Some("Stops after two seconds".to_owned()),
        (Named::Book, "b1") => Some("Orrery".to_owned()),
        (Named::Board, "r1") => Some("LW-47".to_owned()),
        _ => None,
    }
}

fn console() -> Item {
    item(
        "c",
        "console",
        json!({"name": "attic find", "book": "b1", "board": "r1", "region": "north",
            "from": "SECRET market", "price": "SECRET 12", "serial": "SECRET-7741",
            "note": "SECRET note", "got": "2020-02-02"}),
    )
}

fn the_job() -> Item {
    item(
        "j",
        "job",
        json!({"console": "c", "name": "Stops early", "day": "2026-03-01", "stage": "closed",
            "outcome": "repaired", "closed": "2026-03-12", "cause": "Cracked joint at L7",
            "note": "Bought as broken."}),
    )
}

fn records() -> Vec<Item> {
    let of = |id: &str, kind: &str, mut fields: Value| {
        fields["job"] = json!("j");
        item(id, kind, fields)
    };
    vec![
        of(
            "9",
            "follow-up",
            json!({"day": "2026-04-12", "done": "2026-04-13", "found": "holds", "note": "An hour of play."}),
        ),
        of(
            "8",
            "photo",
            json!({"day": "2026-03-10", "caption": "Coil side"}),
        ),
        of(
            "7",
            "repair",
            json!({"day": "2026-03-10", "what": "Replaced the coil", "parts": "L7, 1 µH\nC12", "cost": "2.10", "note": "Board preheated."}),
        ),
        of(
            "6",
            "repair",
            json!({"day": "2026-03-03", "what": "Cleaned the port"}),
        ),
        of(
            "5",
            "check",
            json!({"day": "2026-03-02", "what": "Fan turns", "result": "good", "note": "By hand."}),
        ),
        of(
            "4",
            "measurement",
            json!({"day": "2026-03-02", "quantity": "resistance", "place": "V_CORE coil to ground", "value": "0.42", "percent": "0.8", "counts": "3", "condition": "off", "meter": "yellow one"}),
        ),
        of(
            "3",
            "reading",
            json!({"day": "2026-03-02", "summary": "4 entries", "note": "Cold start.", "text": "RAW LOG",
            "entries": [{"code": "44D0", "step": "0A", "count": 3}, {"lost": 2}, {"code": "51C7", "step": "0B", "sure": false}, {"code": "44D0", "step": "0A"}]}),
        ),
        of(
            "2",
            "symptom",
            json!({"day": "2026-03-01", "symptoms": ["s1"], "lamp": "red", "seconds": "2.1"}),
        ),
        of(
            "1",
            "symptom",
            json!({"day": "2026-03-04", "symptoms": ["s1"], "note": "As before."}),
        ),
        of(
            "0",
            "note",
            json!({"day": "2026-03-05", "note": "First thought.\nSecond thought."}),
        ),
        item("x", "note", json!({"job": "other", "note": "ANOTHER JOB"})),
        Item {
            view: View {
                gone: true,
                ..of("y", "note", json!({"note": "DELETED"})).view
            },
            ..of("y", "note", json!({}))
        },
    ]
}

fn told(form: Form, nickname: bool, records: &[Item]) -> Told {
    let how = Telling {
        form,
        nickname,
        today: "2026-11-24",
    };
    job(how, &console(), &the_job(), records, &names)
}

const PLAIN: &str = "\
Stops early
-----------
Console: Orrery, board LW-47, north
Begun on 1 March 2026
Bought as broken.

What was seen and heard
-----------------------
- 1 March 2026: Stops after two seconds: lamp red, stops after 2.1 s
- 4 March 2026: Stops after two seconds: As before.

Fault log
---------
- 2 March 2026: 4 entries. Cold start.
    44D0  step 0A  2 entries, seen 4 times
    51C7  step 0B  1 entry, 1 by a guess
    2 entries missing or not readable

Measurements
------------
- 2 March 2026: Resistance, V_CORE coil to ground: 0.42 Ω ± 0.034 Ω (0.386 to 0.454 Ω), board off, meter yellow one

Checks
------
- 2 March 2026: Fan turns: As it should be. By hand.

What was done
-------------
- 3 March 2026: Cleaned the port. A symptom was noted after this, on 4 March 2026
- 10 March 2026: Replaced the coil. Parts: L7, 1 µH; C12. Cost: 2.10. Board preheated.

Notes
-----
- 5 March 2026: First thought.
  Second thought.

Photos, not in this text
------------------------
Coil side

Outcome
-------
Repaired 12 March 2026. Last seen working 13 April 2026 (32 days)
Cause: Cracked joint at L7
- Looked on 13 April 2026: still works. An hour of play.

Left out: nickname, where from, price paid, serial number.
";

#[test]
fn a_job_is_told_in_plain_text() {
    let told = told(Form::Plain, false, &records());
    assert_eq!(told.text, PLAIN);
    assert_eq!(
        told.left_out,
        ["Nickname", "Where from", "Price paid", "Serial number"]
    );
}

#[test]
fn private_fields_stay_out_in_every_form_and_are_told_as_left_out() {
    for form in [Form::Plain, Form::BbCode, Form::Markdown] {
        let without = told(form, false, &records());
        for word in ["SECRET", "attic", "ANOTHER", "DELETED", "RAW LOG"] {
            assert!(!without.text.contains(word), "{word} in {form:?}");
        }
        assert!(
            without
                .text
                .trim_end()
                .ends_with("Left out: nickname, where from, price paid, serial number.")
        );
        let with = told(form, true, &records());
        assert!(with.text.contains("Console: attic find, Orrery"));
        assert!(!with.text.contains("SECRET"));
        assert_eq!(with.left_out.len(), 3);
    }
    let bare = item("c", "console", json!({"name": " ", "serial": ""}));
    let how = Telling {
        form: Form::Plain,
        nickname: false,
        today: "",
    };
    let told = job(how, &bare, &item("j", "job", json!({})), &[], &names);
    assert_eq!(told.text, "A job\n-----\n\nOutcome\n-------\nJob open\n");
    assert_eq!(told.left_out, Vec::<String>::new());
}

#[test]
fn what_did_not_help_is_told_so_only_when_the_job_says_so() {
    for (outcome, heading) in [
        ("repaired", "What was done"),
        ("partly", "What was done"),
        ("", "What was done"),
        ("not-repaired", "What was tried and did not help"),
        ("given-up", "What was tried and did not help"),
    ] {
        let own = item("j", "job", json!({"stage": "closed", "outcome": outcome}));
        let how = Telling {
            form: Form::Plain,
            nickname: false,
            today: "2026-11-24",
        };
        let text = job(how, &console(), &own, &records(), &names).text;
        assert!(
            text.contains(&format!("\n{heading}\n---")),
            "{outcome}: {text}"
        );
    }
}

#[test]
fn bbcode_has_its_tags_and_no_others() {
    let mut all = records();
    let hostile = "[/code][url=http://x]click[/url][b]";
    all.push(item("h", "note", json!({"job": "j", "note": hostile})));
    all.push(item(
        "g",
        "reading",
        json!({"job": "j", "summary": hostile, "entries": [{"code": hostile, "step": "[code]"}]}),
    ));
    let text = told(Form::BbCode, false, &all).text;
    let tags: Vec<&str> = text
        .match_indices('[')
        .map(|(at, _)| &text[at..=at + text[at..].find(']').unwrap()])
        .collect();
    assert!(
        tags.iter()
            .all(|t| ["[b]", "[/b]", "[code]", "[/code]"].contains(t)),
        "{tags:?}"
    );
    // Each opened, then closed.
    for pair in tags.chunks(2) {
        assert_eq!(pair[0].replace('[', "[/"), pair[1]);
    }
    assert!(text.contains("［/code]［url=http://x]click［/url]［b]"));
    assert!(text.contains("[code]\n44D0  step 0A  2 entries, seen 4 times\n"));
}

/// Markdown as another hand's reader takes it (pulldown-cmark, with the
/// extensions forums have): its text, and the tags it saw.
fn rendered(markdown: &str) -> (String, Vec<String>) {
    let (mut text, mut tags) = (String::new(), Vec::new());
    for event in Parser::new_ext(
        markdown,
        Options::all() & !Options::ENABLE_SMART_PUNCTUATION,
    ) {
        match event {
            Event::Text(t) => text += &t,
            Event::SoftBreak | Event::HardBreak => text.push('\n'),
            Event::End(
                TagEnd::Heading(_) | TagEnd::Paragraph | TagEnd::Item | TagEnd::CodeBlock,
            ) => text.push('\n'),
            Event::Start(Tag::CodeBlock(_)) => {
                text.push('\n');
                tags.push("code".to_owned());
            }
            Event::Start(tag) => tags.push(match tag {
                Tag::Heading { .. } => "heading".to_owned(),
                Tag::Paragraph => "paragraph".to_owned(),
                Tag::List(None) => "list".to_owned(),
                Tag::Item => "item".to_owned(),
                other => format!("{other:?}"),
            }),
            Event::End(_) => {}
            other => tags.push(format!("{other:?}")),
        }
    }
    (text, tags)
}

const OURS: [&str; 5] = ["heading", "paragraph", "list", "item", "code"];

#[test]
fn markdown_reads_back_as_the_plain_text() {
    let (text, tags) = rendered(&told(Form::Markdown, false, &records()).text);
    assert!(tags.iter().all(|t| OURS.contains(&t.as_str())), "{tags:?}");
    // Without rules below headings, bullets, blank lines and indents.
    let words = |text: &str| -> Vec<String> {
        text.lines()
            .map(|l| l.trim().trim_start_matches("- ").to_owned())
            .filter(|l| !l.is_empty() && !l.chars().all(|c| c == '-'))
            .collect()
    };
    assert_eq!(
        words(&text),
        words(&told(Form::Plain, false, &records()).text)
    );
}

const HOSTILE: [&str; 30] = [
    "*a* _b_ **c** __d__ ~~e~~ ^f^",
    "`code` ``two``",
    "```",
    "~~~\nx",
    "<b>x</b><script>alert(1)</script>",
    "<!-- x -->",
    "[a](http://x) ![i](y) [r]: z",
    "[^1] [^1]: note",
    "# head",
    "a\n# b",
    "a\n===",
    "a\n---",
    "- item",
    "a\n- b\n+ c\n* d",
    "1. one\n2) two",
    "a\n12. b",
    "> quote",
    "a\n> b",
    "| a | b |\n|---|---|\n| c | d |",
    "&lt; &amp; &#65;",
    "\\* \\\\",
    "ends with \\",
    "ends with \\\n",
    "    four spaces",
    "a\n\n    b\n\n\nc",
    "a  \nb",
    "$x$ $$y$$",
    "\u{202E}turned",
    ": a\n: b",
    "+++\nx\n+++\n---\ny: z\n---",
];

/// CommonMark 0.31, 2.4 (from memory): a backslash makes a mark a plain
/// character. A note is what people type, so it has to come out as it was.
#[test]
fn a_persons_text_comes_out_of_markdown_as_it_was_typed() {
    for hostile in HOSTILE {
        check(hostile);
    }
}

fn check(hostile: &str) {
    let own = item(
        "j",
        "job",
        json!({"name": hostile, "note": hostile, "cause": hostile}),
    );
    let all = [
        item(
            "a",
            "note",
            json!({"job": "j", "day": "2026-03-05", "note": hostile}),
        ),
        item(
            "b",
            "reading",
            json!({"job": "j", "day": "2026-03-05", "summary": hostile, "entries": [{"code": hostile}]}),
        ),
        item(
            "c",
            "photo",
            json!({"job": "j", "day": "2026-03-05", "caption": hostile}),
        ),
        item(
            "d",
            "repair",
            json!({"job": "j", "day": "2026-03-05", "what": hostile, "parts": hostile, "cost": hostile}),
        ),
    ];
    let how = Telling {
        form: Form::Markdown,
        nickname: true,
        today: "2026-11-24",
    };
    let told = job(
        how,
        &item("c", "console", json!({"name": hostile})),
        &own,
        &all,
        &names,
    );
    let (text, tags) = rendered(&told.text);
    assert!(
        tags.iter().all(|t| OURS.contains(&t.as_str())),
        "{hostile:?}: {tags:?}\n{}",
        told.text
    );
    let squeezed = |text: &str| -> String {
        text.replace('\u{202E}', "")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let (all, one) = (squeezed(&text), squeezed(hostile));
    for before in ["", "Cause: ", "5 March 2026: "] {
        assert!(
            all.contains(&(before.to_owned() + &one)),
            "{hostile:?}\n{}\n{text}",
            told.text
        );
    }
    // Line by line too: a line that was typed is a line that is shown.
    let typed: Vec<&str> = hostile
        .trim()
        .lines()
        .map(|l| l.trim_start_matches('\u{202E}').trim())
        .filter(|l| !l.is_empty())
        .collect();
    let shown: Vec<&str> = text
        .lines()
        .map(str::trim)
        .filter(|l| !l.is_empty())
        .collect();
    let at = shown
        .iter()
        .position(|l| squeezed(l) == squeezed(&("Cause: ".to_owned() + typed[0])));
    let at = at.unwrap_or_else(|| panic!("{hostile:?}\n{text}"));
    for (n, line) in typed.iter().enumerate().skip(1) {
        assert_eq!(
            squeezed(shown[at + n]),
            squeezed(line),
            "{hostile:?}\n{}",
            told.text
        );
    }
}

#[test]
fn a_record_is_given_row_by_row_with_choices_in_words() {
    let of = |item: &Item| -> Vec<(String, String, bool)> {
        rows(item, &names, "2026-11-24")
            .into_iter()
            .map(|r| (r.label.to_owned(), r.value, r.private))
            .collect()
    };
    let row = |a: &str, b: &str, c: bool| (a.to_owned(), b.to_owned(), c);
    let mut own = console();
    own.view.data.insert("archived".into(), true.into());
    own.view.data.insert("photo".into(), "p1".into());
    own.view.data.insert("a-newer-field".into(), "x".into());
    assert_eq!(
        of(&own),
        [
            row("Nickname", "attic find", false),
            row("Family", "Orrery", false),
            row("Board revision", "LW-47", false),
            row("Region or suffix", "north", false),
            row("Where from", "SECRET market", true),
            row("Price paid", "SECRET 12", true),
            row("Serial number", "SECRET-7741", true),
            row("Got it on", "2 February 2020", false),
            row("Note", "SECRET note", false),
            row("Put away", "Yes", false),
        ]
    );
    let all = records();
    let by = |id: &str| all.iter().find(|i| i.id == id).unwrap();
    assert_eq!(
        of(by("4")),
        [
            row("Day", "2 March", false),
            row("What is measured", "Resistance", false),
            row("Where", "V_CORE coil to ground", false),
            row("Value", "0.42 Ω ± 0.034 Ω (0.386 to 0.454 Ω)", false),
            row("Meter accuracy: % of reading", "0.8 %", false),
            row("Meter accuracy: digits", "3 digits", false),
            row("Meter and range", "yellow one", false),
            row("Board", "Off, unplugged, proved empty", false),
        ]
    );
    assert_eq!(
        of(by("2")),
        [
            row("Day", "1 March", false),
            row("What is seen or heard", "Stops after two seconds", false),
            row("Lamp", "red", false),
            row("Time from the button until it stops", "2.1 s", false),
        ]
    );
    let reading = item(
        "r",
        "reading",
        json!({"text": "slot 07\n", "book": "b1", "board": "r1", "ring": 24, "doubts": 2, "summary": "1 entry", "entries": []}),
    );
    assert_eq!(
        of(&reading),
        [
            row("The log as it was pasted", "slot 07", false),
            row("Code book", "Orrery", false),
            row("Board revision", "LW-47", false),
            row("In short", "1 entry", false),
            row("Guesses and lines that can't be read", "2", false),
        ]
    );
    assert_eq!(of(&item("n", "newer", json!({"note": "x"}))), []);
    assert_eq!(
        of(&item(
            "f",
            "console",
            json!({"archived": "true", "name": 3})
        )),
        []
    );
}

proptest! {
    #[test]
    fn any_text_comes_out_of_markdown_as_it_was_typed(
        text in "[-#*_`~<>&|!\\[\\]\\\\()+=.0-9ab:$^{} \n]{0,24}",
    ) {
        // A day in words before a note needs something to stand before.
        prop_assume!(!text.trim().is_empty());
        check(&text);
    }

    #[test]
    fn any_text_leaves_bbcode_with_our_tags_only(text in "(\\[|\\]|/|b|code|\n|\\PC){0,20}") {
        let all = [item("a", "note", json!({"job": "j", "note": text})),
            item("b", "reading", json!({"job": "j", "entries": [{"code": text}]}))];
        let own = item("j", "job", json!({"name": text}));
        let how = Telling { form: Form::BbCode, nickname: false, today: "" };
        let told = job(how, &console(), &own, &all, &names).text;
        prop_assert_eq!(told.matches('[').count(), 2 * 4 + 2, "{}", told);
        prop_assert_eq!(told.matches("[b]").count(), 4);
    }
}
