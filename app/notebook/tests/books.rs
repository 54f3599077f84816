//! Code books of one's own as records: searched by name only, kept whole by the
//! backup, which also has them as files of their own, and merged as any record.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing)]

mod backup_help;

use backup_help::*;
use notebook::backup::names::{self, Is};
use notebook::backup::plan::Counts;
use notebook::kinds::{self, KINDS, book_of, book_record};
use notebook::search::Index;
use notebook::timeline::{Named, line, order};
use notebook::{Data, Item, Keeper, Memory, Store};
use serde_json::{Value, json};

/// A book's text of some 300 kB, with everything in it that JSON has to escape.
fn long_text() -> String {
    let rows: Vec<Value> = (0..6000)
        .map(|n| json!({"code": format!("{n:04X}"), "title": format!("rail \"{n}\" low\t\\ é 漢")}))
        .collect();
    let text = json!({"format": 1, "id": "my-lamp-box", "codes": rows}).to_string();
    assert!(text.len() > 300_000, "{}", text.len());
    text
}

fn fields(name: &str, text: &str, draft: &str) -> String {
    let all = [
        ("name", name),
        ("book", "my-lamp-box"),
        ("text", text),
        ("draft", draft),
    ];
    let data: Data = notebook::filled(&all);
    Value::Object(data).to_string()
}

fn put(k: &Keeper<Memory>, id: &str, name: &str, text: &str, draft: &str, now: i64) {
    save(k, id, kinds::BOOK, &fields(name, text, draft), now);
}

fn paths(bytes: &[u8]) -> Vec<String> {
    let end = bytes.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
    let mut out = Vec::new();
    let mut at = end;
    while bytes[at..].starts_with(b"PK\x01\x02") {
        let n = |o: usize| usize::from(u16::from_le_bytes([bytes[at + o], bytes[at + o + 1]]));
        let name = &bytes[at + 46..at + 46 + n(28)];
        out.push(String::from_utf8(name.to_vec()).unwrap());
        at += 46 + n(28) + n(30) + n(32);
    }
    out
}

#[test]
fn a_long_book_comes_back_from_the_backup_to_the_letter() {
    let k = notebook();
    let (id, text) = (book_record("my-lamp-box"), long_text());
    assert_eq!(id, "book-my-lamp-box");
    assert_eq!(book_of(&id), Some("my-lamp-box"));
    put(&k, &id, "Lamp box", &text, "", NOW);
    put(&k, &id, "Lamp box", &text, "{\"draft\": 1}", NOW + 1);
    let bytes = backup(&k.store);

    let other = keeper("d2-a");
    let got = read(&bytes, &other, false).unwrap();
    assert_eq!(got.plan.refused.list, []);
    assert_eq!(got.plan.notes, Vec::<String>::new());
    assert_eq!((got.plan.total.new, got.plan.books.new), (10, 1));
    read(&bytes, &other, true).unwrap();
    let here = record(&other, &id);
    assert_eq!(here, record(&k, &id));
    assert_eq!(here.view().text("text"), text);
    assert_eq!(here.versions().len(), 2);
    assert_eq!(backup(&other.store), bytes);

    let got = read(&bytes, &other, false).unwrap();
    let same = Counts {
        same: 1,
        ..Counts::default()
    };
    assert_eq!(got.plan.books, same);
}

#[test]
fn each_book_is_in_the_backup_as_a_file_that_opens_as_a_book() {
    let k = notebook();
    put(&k, "book-a", "A", "{\"a\": 1}", "{\"a\": 2}", NOW);
    put(&k, "book-begun", "B", "", "{\"b\": 1}", NOW);
    put(&k, "book-gone", "C", "{\"c\": 1}", "", NOW);
    put(&k, "book-empty", "D", "", "", NOW);
    // No id that this app gives.
    put(&k, "odd", "E", "{\"e\": 1}", "", NOW);
    delete(&k, "book-gone", NOW + 1);
    let bytes = backup(&k.store);
    let all = paths(&bytes);
    let books: Vec<&String> = all.iter().filter(|p| p.starts_with("books/")).collect();
    assert_eq!(books, ["books/a.json", "books/begun.json"]);

    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).unwrap();
    let mut read_file = |name: &str| {
        let mut text = String::new();
        std::io::Read::read_to_string(&mut zip.by_name(name).unwrap(), &mut text).unwrap();
        text
    };
    assert_eq!(read_file("books/a.json"), "{\"a\": 1}");
    assert_eq!(read_file("books/begun.json"), "{\"b\": 1}");
    let about: Value = serde_json::from_str(&read_file("notebook.json")).unwrap();
    assert_eq!(about["counts"]["books"], 2);
    assert_eq!(about["format"], notebook::kinds::FORMAT);
    let readme = read_file("README.txt");
    assert!(
        readme.contains("\nbooks: 2\n") && readme.contains("- books:"),
        "{readme}"
    );

    // The copies are neither read in nor called unknown.
    let got = read(&bytes, &keeper("d2-a"), true).unwrap();
    assert_eq!(got.plan.notes, Vec::<String>::new());
    assert_eq!(got.plan.books.new, 5);
    assert_eq!(names::is("books/a.json"), Is::Nothing);
    for other in [
        "books/a.txt",
        "books/a b.json",
        "books/a/b.json",
        "books/.json",
    ] {
        assert_eq!(names::is(other), Is::Unknown, "{other}");
    }
}

/// The file as version 1 of the table made it: no books, and no count of them.
#[test]
fn a_backup_of_the_first_format_is_read_as_before() {
    let list = br#"[
{"created":5,"id":"c9","kind":"console","versions":[{"at":5,"by":"z","data":{"name":"old one"},"rev":1}]},
{"created":5,"id":"n9","kind":"note","versions":[{"at":5,"by":"z","data":{"console":"c9","note":"kept"},"rev":1}]}
]
"#;
    let about = br#"{"format": 1, "app": "0.1.0", "made": 1773304200000, "counts": {"consoles":1,"damaged":0,"photos":0,"records":2}, "consoles": []}"#;
    let bytes = archive(&[
        ("consoles/old-one-c9/records.json", list, true),
        ("notebook.json", about, true),
        ("README.txt", b"words", true),
    ]);
    let k = keeper("d1-a");
    let got = read(&bytes, &k, true).unwrap();
    assert_eq!(got.plan.notes, Vec::<String>::new());
    assert_eq!(got.plan.refused.list, []);
    assert_eq!((got.plan.about.format, got.plan.total.new), (1, 2));
    assert_eq!(record(&k, "n9").view().text("note"), "kept");
}

#[test]
fn a_book_is_found_by_its_name_and_not_by_what_is_in_it() {
    let k = notebook();
    let draft = "{\"title\": \"quokka\"}";
    put(
        &k,
        "book-x",
        "Lamp box",
        &(long_text() + " wombat"),
        draft,
        NOW,
    );
    let mut index = Index::default();
    for row in run(k.store.rows_after("", u32::MAX)).unwrap() {
        let item = Item::of(&row.record(&mut Vec::new()).unwrap());
        index.put(&item, &|_, _| None);
    }
    let found = index.find("lamp", 9);
    assert_eq!(found.total, 1);
    let hit = &found.hits[0];
    assert_eq!((hit.id.as_str(), hit.kind.as_str()), ("book-x", "book"));
    assert_eq!(hit.console, "");
    for inside in ["wombat", "quokka", "1388", "rail", "my-lamp-box"] {
        assert_eq!(index.find(inside, 9).total, 0, "{inside}");
    }
    assert!(index.bytes() < 10_000, "{}", index.bytes());
}

#[test]
fn a_book_has_its_two_lines_and_its_place_in_a_list() {
    let k = keeper("d1-a");
    put(&k, "book-a", "Lamp box", "{}", "", NOW);
    put(&k, "book-b", "", "{}", "{ }", NOW + 1);
    let mut items: Vec<Item> = ["book-a", "book-b"]
        .iter()
        .map(|id| Item::of(&record(&k, id)))
        .collect();
    order(&mut items);
    let lines: Vec<(String, String)> = items
        .iter()
        .map(|i| line(i, &|_, _| None, "2026-11-25"))
        .collect();
    let text = |s: &str| s.to_owned();
    assert_eq!(
        lines,
        [
            (
                text("Code book"),
                text("my-lamp-box, changes not yet in use")
            ),
            (text("Lamp box"), text("my-lamp-box")),
        ]
    );
    // What is written of a book's fields for people is short.
    let names = |what: Named, _: &str| (what == Named::Book).then(|| "?".to_owned());
    let rows = notebook::tell::rows(&items[1], &names, "2026-11-25");
    assert!(rows.iter().all(|r| r.value.len() < 40), "{rows:?}");
    let at_a_console = KINDS.iter().filter(|k| !k.of_console());
    let kinds: Vec<&str> = at_a_console.map(|k| k.name).collect();
    assert_eq!(kinds, ["console", "book"]);
}

/// Two devices make a book of the same id without knowing of each other.
#[test]
fn two_devices_with_the_same_book_end_with_both_texts() {
    let (a, b) = (keeper("d1-a"), keeper("d2-a"));
    let (ours, theirs) = (long_text(), long_text().replace("rail", "clock"));
    put(&a, "book-x", "Lamp box", &ours, "", NOW);
    put(&b, "book-x", "Lamp box", &theirs, "", NOW + 1);
    let (from_a, from_b) = (backup(&a.store), backup(&b.store));
    let got = read(&from_b, &a, false).unwrap();
    assert_eq!(got.plan.books.both, 1);
    let clash = &got.plan.clashes[0];
    assert_eq!(
        (clash.kind.as_str(), clash.field.as_str()),
        ("book", "text")
    );
    // Not 300 kB on the screen.
    assert!(clash.here.len() < 1000 && clash.here.contains("bytes in all"));
    read(&from_b, &a, true).unwrap();
    read(&from_a, &b, true).unwrap();
    let (a, b) = (record(&a, "book-x"), record(&b, "book-x"));
    assert_eq!(a, b);
    let view = a.view();
    assert_eq!(view.clashes.len(), 1);
    let mut texts = vec![view.text("text"), view.clashes[0].1[0].as_str().unwrap()];
    texts.sort_unstable();
    assert_eq!(texts, [theirs.as_str(), ours.as_str()]);
}
