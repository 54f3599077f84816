//! Books made to do harm: too large, too deep, too twisted, out of range. Each is
//! refused with the place, or does none. (What reading with such books costs is
//! tested and measured in the crate `reading`.)

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::compare::{apply, compare};
use codebook::{Book, MAX_BYTES, text_form};
use serde_json::{Value, json};

const GOOD: &str = include_str!("good-book.json");

fn good() -> Value {
    serde_json::from_str(GOOD).unwrap()
}

fn load(doc: &Value) -> Result<Book, Vec<String>> {
    Book::load(doc.to_string().as_bytes()).map_err(|p| p.iter().map(ToString::to_string).collect())
}

fn repeat(n: usize, make: impl Fn(usize) -> Value) -> Value {
    (0..n).map(make).collect()
}

/// A list that may be so long and no longer.
type Limit = (&'static str, usize, fn(&mut Value, usize), &'static str);

/// What is limited: the most, how to make so many, and what is said of one more.
const LIMITS: &[Limit] = &[
    (
        "layouts",
        32,
        |d, n| {
            let one = d["layouts"][0].clone();
            for i in 2..n {
                let mut one = one.clone();
                one["id"] = format!("l-{i}").into();
                d["layouts"].as_array_mut().unwrap().push(one);
            }
        },
        "layouts: has 33 items",
    ),
    (
        "codes",
        20_000,
        |d, n| {
            d["codes"] = repeat(n, |i| json!({"code": format!("{i:05X}"), "title": "x"}));
        },
        "codes: has 20001 items",
    ),
    (
        "codes with ?",
        2_000,
        |d, n| {
            d["codes"] = repeat(n, |i| json!({"code": format!("{i:05X}?"), "title": "x"}));
        },
        "codes: has 2001 rows with `?`",
    ),
    (
        "code_parts",
        16,
        |d, n| {
            d["code_parts"] = repeat(
                n,
                |_| json!({"name": "x", "from": 1, "to": 1, "values": [{"is": "1", "means": "x"}]}),
            );
        },
        "code_parts: has 17 items",
    ),
    (
        "steps",
        1_000,
        |d, n| {
            let at = d["steps"].as_array().unwrap().len();
            let more = repeat(n - at, |i| json!({"id": format!("S{i}"), "name": "x"}));
            d["steps"]
                .as_array_mut()
                .unwrap()
                .extend(more.as_array().unwrap().clone());
        },
        "steps: has 1001 items",
    ),
    (
        "sources",
        1_000,
        |d, n| d["sources"] = repeat(n, |_| json!({"title": "x"})),
        "sources: has 1001 items",
    ),
    (
        "symptoms",
        1_000,
        |d, n| {
            let more = repeat(n - 1, |i| json!({"id": format!("s-{i}"), "title": "x"}));
            d["symptoms"]
                .as_array_mut()
                .unwrap()
                .extend(more.as_array().unwrap().clone());
        },
        "symptoms: has 1001 items",
    ),
    (
        "a text",
        8_000,
        |d, n| d["about"] = "漢".repeat(n).into(),
        "about: is longer than 8000 characters",
    ),
    (
        "parts of a row",
        1_000,
        |d, n| d["codes"][0]["parts"] = repeat(n, |i| i.to_string().into()),
        "codes[0].parts: has 1001 items",
    ),
    (
        "headers",
        16,
        |d, n| {
            d["layouts"][1]["headers"] =
                repeat(n, |i| json!({"id": format!("h-{i}"), "line": ["x"]}));
        },
        "layouts[1].headers: has 17 items",
    ),
    (
        "empty",
        16,
        |d, n| {
            d["layouts"][0]["empty"] = repeat(n, |_| json!(["x"]));
        },
        "layouts[0].empty: has 17 items",
    ),
    (
        "a fixed text",
        200,
        |d, n| d["layouts"][0]["line"][0] = "x".repeat(n).into(),
        "layouts[0].line[0]: is longer than 200 characters",
    ),
    (
        "fields",
        100,
        |d, n| {
            let fields = d["layouts"][1]["fields"].as_array_mut().unwrap();
            for i in fields.len()..n {
                fields.push(json!({"field": format!("f{i}"), "at": 0}));
            }
        },
        "layouts[1].fields: has 101 items",
    ),
    (
        "derived",
        16,
        |d, n| {
            d["layouts"][0]["derived"] =
                repeat(n, |i| json!({"field": format!("d{i}"), "join": ["x"]}));
        },
        "layouts[0].derived: has 17 items",
    ),
    (
        "join",
        16,
        |d, n| {
            d["layouts"][0]["derived"][0]["join"] = repeat(n, |_| "x".into());
        },
        "layouts[0].derived[0].join: has 17 items",
    ),
    (
        "words",
        256,
        |d, n| {
            d["layouts"][1]["fields"][5]["words"] =
                repeat(n, |i| json!({"text": format!("w{i}"), "value": i}));
        },
        "layouts[1].fields[5].words: has 257 items",
    ),
    (
        "a word",
        64,
        |d, n| {
            d["layouts"][1]["fields"][5]["words"][0]["text"] = "w".repeat(n).into();
        },
        "layouts[1].fields[5].words[0].text: is longer than 64 characters",
    ),
    (
        "absent",
        64,
        |d, n| {
            d["layouts"][1]["fields"][3]["time"]["absent"] =
                repeat(n, |i| format!("{i:08X}").into());
        },
        "layouts[1].fields[3].time.absent: has 65 items",
    ),
    (
        "missing",
        64,
        |d, n| {
            d["layouts"][1]["fields"][1]["missing"] = repeat(n, |i| format!("{i:02X}").into());
        },
        "layouts[1].fields[1].missing: has 65 items",
    ),
    (
        "names of flags",
        4_000,
        |d, n| {
            let rest = n - 7 * 500;
            d["layouts"][1]["fields"][1]["flags"] = repeat(
                8,
                |i| json!({"bit": i, "name": "f".repeat(if i == 0 { rest } else { 500 })}),
            );
        },
        "layouts[1]: has flags with names of 4001 characters",
    ),
    (
        "covered bytes",
        1_024,
        |d, n| {
            let mut one = d["layouts"][1].clone();
            one["length"] = 256.into();
            one["header"] = Value::Null;
            d["layouts"] = repeat(5, |i| {
                let mut one = one.clone();
                one["id"] = format!("l-{i}").into();
                one["check"]["over"]["bytes"] = json!([0, if i < 4 { 250 } else { n - 1000 }]);
                one
            });
            d["codes"] = json!([]);
        },
        "layouts: have check fields over 1025 bytes",
    ),
];

#[test]
fn every_limit_is_where_it_is_said_to_be() {
    for (name, most, make, told) in LIMITS {
        let mut doc = good();
        make(&mut doc, *most);
        if let Err(p) = load(&doc) {
            panic!("{name}: {most} are allowed, but {:?}", &p[..p.len().min(3)]);
        }
        let mut doc = good();
        make(&mut doc, most + 1);
        let problems = load(&doc)
            .err()
            .unwrap_or_else(|| panic!("{name}: one more than {most} loads"));
        assert_eq!(
            problems.len(),
            1,
            "{name}: {:?}",
            &problems[..problems.len().min(3)]
        );
        assert!(problems[0].starts_with(told), "{name}: {}", problems[0]);
    }
}

/// The page of the format says the same numbers.
#[test]
fn the_limits_stand_on_the_formats_page() {
    let page = include_str!("../FORMAT.md");
    let table = page
        .split_once("## Limits")
        .unwrap()
        .1
        .split_once("\n## ")
        .unwrap()
        .0;
    for (name, most, ..) in LIMITS {
        let number = if *most < 1000 {
            most.to_string()
        } else {
            format!("{},{:03}", most / 1000, most % 1000)
        };
        assert!(table.contains(&number), "{name}: {number}");
    }
}

#[test]
fn nesting_ends_in_one_problem_at_any_depth() {
    for depth in [120, 126, 128, 200, 10_000, 1_000_000] {
        for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
            let deep = open.repeat(depth) + "1" + &close.repeat(depth);
            let text = GOOD.replacen("{", &format!("{{\"_deep\": {deep}, "), 1);
            match Book::load(text.as_bytes()) {
                Ok(book) => {
                    assert!(depth < 128);
                    // What loads can be written, compared and posted.
                    assert!(Book::load(book.to_json().as_bytes()).is_ok());
                    let all = compare(&json!({}), book.doc());
                    assert_eq!(&apply(&json!({}), &all, "x")["_deep"], &book.doc()["_deep"]);
                    assert!(text_form::read(&text_form::write(&book)).is_ok());
                }
                Err(p) => {
                    assert!(depth > 120 && p.len() == 1, "{depth}: {p:?}");
                    assert!(p[0].to_string().len() < 500);
                }
            }
        }
    }
}

/// Each level once asked about all below it: sixteen seconds for one book, and
/// minutes in a debug build. There is no clock here; a test that seems to hang is
/// the sign.
#[test]
fn a_long_list_far_down_is_written_in_one_pass() {
    let deep = "[".repeat(120) + &"1,".repeat(1_000_000) + "1" + &"]".repeat(120);
    let text = GOOD.replacen("{", &format!("{{\"_deep\": {deep}, "), 1);
    let book = Book::load(text.as_bytes()).unwrap();
    let out: Value = serde_json::from_str(&book.to_json()).unwrap();
    assert_eq!(&out, book.doc());
}

#[test]
fn a_file_of_nothing_but_mistakes_gives_a_list_that_ends() {
    let head = r#"{"format":1,"id":"x","version":"1","name":"x","licence":"x","layouts":[],"#;
    let fill = |part: &str| part.repeat((MAX_BYTES - 200) / part.len());
    for body in [
        format!("\"codes\":[{}{{}}]", fill("{},")),
        format!("\"codes\":[{}1]", fill("1,")),
        format!("\"causes\":[{}1]", fill("[],")),
        format!("\"service_port\":{{\"pads\":[{}1]}}", fill("{},")),
    ] {
        let text = head.to_owned() + &body + "}";
        assert!(text.len() <= MAX_BYTES);
        let problems = Book::load(text.as_bytes()).unwrap_err();
        assert!(problems.len() <= 1001);
        let size: usize = problems.iter().map(|p| p.to_string().len()).sum();
        assert!(size < 1_000_000, "{size}");
    }
    // Keys that nobody knows are kept; the list of notes about them ends too.
    let keys: String = (0..200_000).map(|i| format!("\"k{i}\":1,")).collect();
    let book = Book::load((head.to_owned() + &keys + "\"codes\":[]}").as_bytes()).unwrap();
    assert_eq!(book.notes.len(), 1000);
    assert_eq!(book.doc().as_object().unwrap().len(), 200_007);
}

#[test]
fn a_key_that_stands_twice_is_refused_wherever_it_is() {
    for (from, to) in [
        (
            "\"title\": \"core rail late\"",
            "\"title\": \"a\", \"title\": \"b\"",
        ),
        ("\"id\": \"line\"", "\"id\": \"line\", \"id\": \"line\""),
        (
            "\"boards\": { \"TB-1\": \"often\" }",
            "\"boards\": { \"TB-1\": \"often\", \"TB-1\": \"never\" }",
        ),
        (
            "\"format\": 1",
            "\"_x\": {\"a\": 1, \"\\u0061\": 2}, \"format\": 1",
        ),
    ] {
        let text = GOOD.replacen(from, to, 1);
        assert_ne!(text, GOOD, "{from}");
        let problems = Book::load(text.as_bytes()).unwrap_err();
        assert!(
            problems[0].message.contains("is there twice"),
            "{to}: {problems:?}"
        );
    }
}

/// Names that are something special in a script are only names here.
#[test]
fn names_of_script_objects_are_plain_names() {
    for name in [
        "__proto__",
        "constructor",
        "toString",
        "hasOwnProperty",
        "..",
        "NaN",
        "null",
    ] {
        let upper = name.to_uppercase();
        let mut doc = good();
        doc["steps"][1]["id"] = upper.clone().into();
        doc["boards"][0]["id"] = name.into();
        doc["codes"][0]["boards"] = json!({ name: {"title": "here"} });
        doc["causes"][0]["boards"] = json!({ name: "often" });
        doc[name] = json!({ name: name });
        let book = load(&doc).unwrap_or_else(|p| panic!("{name}: {p:?}"));
        let found = &book.lookup("44D0", None, Some(name))[0];
        assert_eq!((found.title.as_str(), found.from_board), ("here", true));
        let saved: Value = serde_json::from_str(&book.to_json()).unwrap();
        assert_eq!(saved, doc);
        assert_eq!(apply(&json!({}), &compare(&json!({}), &doc), ""), doc);
        assert_eq!(text_form::read(&text_form::write(&book)).unwrap().note, "");
        // Ids that go into addresses and file names are slugs.
        let mut doc = good();
        doc["id"] = name.into();
        doc["symptoms"][0]["id"] = name.into();
        if name != "constructor" && name != "null" {
            assert!(load(&doc).unwrap_err().len() >= 2, "{name}");
        }
    }
    for id in [
        "../x",
        "a/b",
        "a b",
        "a\u{0}",
        "-",
        "a--b",
        "A",
        "é",
        "%2e",
        &"x".repeat(65),
    ] {
        let mut doc = good();
        doc["id"] = (*id).into();
        assert!(
            load(&doc).unwrap_err()[0].starts_with("id: must be"),
            "{id}"
        );
    }
}

#[test]
fn characters_that_do_not_show_are_noted_in_texts_and_refused_in_codes_and_ids() {
    for c in [
        '\u{0}', '\u{7}', '\u{1B}', '\u{7F}', '\u{85}', '\u{AD}', '\u{200B}', '\u{202E}',
        '\u{2066}', '\u{FEFF}',
    ] {
        let mut doc = good();
        doc["codes"][0]["title"] = format!("core{c} rail").into();
        doc["_mine"] = format!("{c}").into();
        let book = load(&doc).unwrap_or_else(|p| panic!("{c:?}: {p:?}"));
        let notes: Vec<String> = book.notes.iter().map(ToString::to_string).collect();
        assert_eq!(notes.len(), 1, "{c:?}: {notes:?}");
        assert!(
            notes[0].starts_with("codes[0].title: has characters that do not show"),
            "{notes:?}"
        );
        assert_eq!(book.model.codes[0].title, format!("core{c} rail"));
        for place in [
            "/codes/0/code",
            "/steps/1/id",
            "/rails/0/id",
            "/boards/0/id",
            "/code_parts/0/values/0/is",
        ] {
            let mut doc = good();
            let old = doc.pointer(place).unwrap().as_str().unwrap().to_owned();
            let (head, tail) = old.split_at(1);
            *doc.pointer_mut(place).unwrap() = format!("{head}{c}{tail}").into();
            let problems = load(&doc).unwrap_err();
            assert!(
                problems
                    .iter()
                    .any(|p| p.contains("do not show") || p.contains("space at either end")),
                "{c:?} in {place}: {problems:?}"
            );
            // A message shows what it can, and nothing else.
            assert!(problems.iter().all(|p| !p.contains(c)), "{problems:?}");
        }
    }
    // What other scripts and pictures need.
    let mut doc = good();
    doc["about"] = "می\u{200C}خواهم \u{1F469}\u{200D}\u{1F527} \u{2764}\u{FE0F}\nline\ttab".into();
    assert_eq!(load(&doc).unwrap().notes, []);
}

#[test]
fn numbers_out_of_range_are_refused_or_held() {
    for (place, text, told) in [
        ("/format", "1e0", "must be a whole number"),
        ("/format", "18446744073709551616", "must be a whole number"),
        ("/format", "-1", "must be at least 0"),
        (
            "/service_port/baud",
            "4294967296",
            "must be at most 4294967295",
        ),
        ("/service_port/baud", "-1", "must be at least 0"),
        ("/service_port/logic_volts", "1e308", "must be above 0"),
        ("/service_port/logic_volts", "-0.0", "must be above 0"),
        ("/repairs/0/difficulty", "256", "must be at most 255"),
        ("/repairs/0/minutes", "-1e308", "must not be negative"),
        ("/layouts/0/line/1/width", "0", "must be 1 to 1024"),
        ("/layouts/0/line/1/width", "[5, 4]", "must be the smallest"),
        ("/layouts/0/check/seed", "-1", "must be at least 0"),
        ("/layouts/1/length", "257", "must be 2 to 256"),
        ("/layouts/1/fields/0/at", "4294967295", "go past the end"),
        ("/layouts/1/fields/0/size", "4294967295", "must be 1 to 8"),
        ("/layouts/1/check/bits", "65", "must be 3 to 64"),
    ] {
        let mut doc = good();
        *doc.pointer_mut(place).unwrap() = serde_json::from_str(text).unwrap_or(Value::Null);
        let number = "@number@";
        *doc.pointer_mut(place).unwrap() = number.into();
        let text = doc.to_string().replace("\"@number@\"", text);
        let problems = Book::load(text.as_bytes()).unwrap_err();
        assert!(
            problems.iter().any(|p| p.message.contains(told)),
            "{place}: {problems:?}"
        );
    }
    // Words for numbers that are none are no JSON; too large ones neither.
    for word in [
        "NaN",
        "Infinity",
        "-Infinity",
        "0x10",
        "1e999",
        "01",
        "1.",
        "+1",
        ".5",
    ] {
        let text = GOOD.replacen("\"format\": 1", &format!("\"format\": {word}"), 1);
        assert!(
            Book::load(text.as_bytes()).unwrap_err()[0]
                .message
                .contains("JSON"),
            "{word}"
        );
    }
    // As text they are text, and no number.
    let mut doc = good();
    doc["service_port"]["logic_volts"] = "NaN".into();
    assert!(load(&doc).unwrap_err()[0].contains("must be a number"));
}

#[test]
fn a_byte_order_mark_and_other_encodings_are_told_apart() {
    let with = format!("\u{FEFF}{GOOD}");
    assert!(Book::load(with.as_bytes()).is_ok());
    assert!(Book::load(format!("\u{FEFF}{with}").as_bytes()).is_err());
    assert_eq!(text_form::read(&with).unwrap().note, "");
    let utf16: Vec<u8> = with.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(Book::load(&utf16).unwrap_err()[0].message.contains("UTF-8"));
    let mut latin = GOOD.as_bytes().to_vec();
    latin.insert(20, 0xE9);
    assert!(Book::load(&latin).unwrap_err()[0].message.contains("UTF-8"));
}

/// A book is data: nothing in it is an address that is gone to, a path that is
/// opened or a word that is run. There is no key for such a thing.
#[test]
fn the_format_has_no_key_for_anything_that_could_be_fetched_or_run() {
    let schema: Value = serde_json::from_str(codebook::schema::TEXT).unwrap();
    let mut keys = Vec::new();
    let defs = schema["$defs"].as_object().unwrap().values();
    for def in defs.chain([&schema]) {
        keys.extend(
            def["properties"]
                .as_object()
                .into_iter()
                .flatten()
                .map(|(k, _)| k.clone()),
        );
    }
    assert!(keys.len() > 100);
    for word in [
        "url", "href", "src", "link", "file", "path", "script", "code_url", "image", "include",
        "regex", "html", "style",
    ] {
        assert!(!keys.iter().any(|k| k == word), "{word}");
    }
}
