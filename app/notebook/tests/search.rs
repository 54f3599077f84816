//! Search over everything that is kept.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]

use notebook::search::{Found, Index, fold};
use notebook::timeline::Named;
use notebook::{Item, View};
use proptest::prelude::*;
use serde_json::{Value, json};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

fn item(id: &str, kind: &str, changed: i64, fields: Value) -> Item {
    let Value::Object(data) = fields else {
        panic!("not an object")
    };
    Item {
        id: id.to_owned(),
        kind: kind.to_owned(),
        created: 0,
        changed,
        view: View {
            data,
            ..View::default()
        },
    }
}

fn names(what: Named, id: &str) -> Option<String> {
    match (what, id) {
        (Named::Symptom, "s1") => Some("Fan at full speed".to_owned()),
        (Named::Book, "b1") => Some("Orrery".to_owned()),
        (Named::Board, "r1") => Some("LW-47".to_owned()),
        _ => None,
    }
}

fn index(items: &[Item]) -> Index {
    let mut index = Index::default();
    for item in items {
        index.put(item, &names);
    }
    index
}

fn ids(found: &Found) -> Vec<&str> {
    found.hits.iter().map(|h| h.id.as_str()).collect()
}

/// One record of each kind with a word in every field; each is found by it.
#[test]
fn every_text_field_is_searched_and_ids_are_not() {
    let index = index(&[
        item(
            "k1",
            "console",
            1,
            json!({"name": "attic find", "book": "b1", "board": "r1", "region": "north", "from": "flea market", "price": "12 crowns", "serial": "SN-7741", "got": "2026-03-12", "photo": "p-hidden", "note": "scratched lid"}),
        ),
        item(
            "k2",
            "job",
            2,
            json!({"console": "k1", "name": "stops early", "stage": "parts", "cause": "cracked joint"}),
        ),
        item(
            "k3",
            "symptom",
            3,
            json!({"console": "k1", "job": "k2", "symptoms": ["s1", "odd-one"], "lamp": "amber"}),
        ),
        item(
            "k4",
            "reading",
            4,
            json!({"console": "k1", "summary": "6 entries", "text": "slot 07  step 0A  code 44D0", "entries": [{"code": "51C7", "step": "0A"}, {"lost": 2}, {"fields": {"code": "AMBER 14"}}]}),
        ),
        item(
            "k5",
            "measurement",
            5,
            json!({"console": "k1", "quantity": "resistance", "place": "V_CORE coil", "value": "0.42", "meter": "yellow one", "condition": "off"}),
        ),
        item(
            "k6",
            "repair",
            6,
            json!({"console": "k1", "what": "Replaced coil", "parts": "L7 1 µH", "before": "p-hidden"}),
        ),
        item(
            "k7",
            "follow-up",
            7,
            json!({"console": "k1", "found": "same-fault", "note": "sigh"}),
        ),
        item(
            "k8",
            "newer-kind",
            8,
            json!({"console": "k1", "colour": "mauve", "n": 3}),
        ),
    ]);
    for (query, expected) in [
        ("attic", &["k1"][..]),
        ("orrery", &["k1"]),
        ("lw-47", &["k1"]),
        ("flea", &["k1"]),
        ("7741", &["k1"]),
        ("2026-03", &["k1"]),
        ("scratched", &["k1"]),
        ("waiting for parts", &["k2"]),
        ("CRACKED", &["k2"]),
        ("full speed", &["k3"]),
        ("odd-one", &["k3"]),
        ("amber", &["k4", "k3"]),
        ("44d0", &["k4"]),
        ("51c7", &["k4"]),
        ("amber 14", &["k4"]),
        ("resistance 0.42", &["k5"]),
        ("yellow", &["k5"]),
        ("coil", &["k6", "k5"]),
        ("1 uh", &["k6"]),
        ("1 \u{3BC}H", &["k6"]),
        ("same fault", &["k7"]),
        ("mauve", &["k8"]),
        ("coil replaced", &["k6"]),
        ("coil market", &[]),
        ("p-hidden", &[]),
        ("k1", &[]),
        ("same-fault", &[]),
        ("", &[]),
        ("  \t ", &[]),
    ] {
        let found = index.find(query, 50);
        assert_eq!(ids(&found), expected, "{query:?}");
        assert_eq!(found.total, expected.len(), "{query:?}");
    }
}

#[test]
fn nicknames_come_first_then_what_was_changed_last() {
    let index = index(&[
        item(
            "a",
            "note",
            90,
            json!({"console": "d", "note": "blue stripe looked at"}),
        ),
        item("b", "console", 10, json!({"name": "Blue stripe"})),
        item("c", "note", 95, json!({"note": "stripe, blue"})),
        item(
            "d",
            "console",
            20,
            json!({"name": "attic", "note": "has a blue stripe"}),
        ),
        item("e", "console", 5, json!({"name": "another blue stripe"})),
    ]);
    assert_eq!(
        ids(&index.find("stripe blue", 50)),
        ["b", "e", "c", "a", "d"]
    );
    let few = index.find("stripe blue", 2);
    assert_eq!((ids(&few), few.total), (vec!["b", "e"], 5));
    assert_eq!(index.find("stripe", 0).total, 5);
    assert_eq!(index.find("stripe", 0).hits, []);
}

#[test]
fn a_record_put_again_or_deleted_is_no_longer_found_by_what_it_said() {
    let mut index = index(&[
        item("b", "note", 1, json!({"note": "first"})),
        item("a", "note", 1, json!({"note": "other"})),
        item("c", "note", 1, json!({"note": "third"})),
    ]);
    index.put(&item("b", "note", 2, json!({"note": "second"})), &names);
    assert_eq!(index.len(), 3);
    assert_eq!(index.find("first", 9).total, 0);
    assert_eq!(ids(&index.find("second", 9)), ["b"]);
    let mut gone = item("b", "note", 3, json!({"note": "second"}));
    gone.view.gone = true;
    index.put(&gone, &names);
    assert_eq!(index.find("second", 9).total, 0);
    index.remove("a");
    index.remove("a");
    index.remove("zz");
    assert_eq!(index.len(), 1);
    assert_eq!(ids(&index.find("third", 9)), ["c"]);
}

#[test]
fn a_hit_shows_the_place_as_it_is_written() {
    let long = "x".repeat(30) + " Gehäuse geöffnet " + &"y".repeat(70);
    let index = index(&[
        item("a", "note", 1, json!({"note": long, "console": "k"})),
        item(
            "b",
            "repair",
            1,
            json!({"what": "Größe Æ", "parts": "C12\nL7 1 µH, Café"}),
        ),
        item("c", "note", 1, json!({"note": "plain small text"})),
    ]);
    let hit = index.find("GEOFFNET", 9).hits.remove(0);
    assert_eq!(hit.matched, "geöffnet");
    assert_eq!(hit.before, format!("…{} Gehäuse ", "x".repeat(15)));
    assert_eq!(hit.after, format!(" {}…", "y".repeat(59)));
    assert_eq!((hit.kind.as_str(), hit.console.as_str()), ("note", "k"));
    let place = |query: &str| {
        let hit = index.find(query, 9).hits.remove(0);
        (hit.before, hit.matched, hit.after)
    };
    let is = |a: &str, b: &str, c: &str| (a.to_owned(), b.to_owned(), c.to_owned());
    assert_eq!(place("uh"), is("L7 1 ", "µH", ", Café"));
    assert_eq!(place("cafe"), is("L7 1 µH, ", "Café", ""));
    // Half of a letter that folds to two shows the whole of it.
    assert_eq!(place("gros"), is("", "Größ", "e Æ"));
    assert_eq!(place("ae"), is("Größe ", "Æ", ""));
    assert_eq!(place("small plain"), is("plain ", "small", " text"));
}

/// Letters with marks written as one character and as two are the same.
#[test]
fn marks_written_behind_their_letter_fold_away_too() {
    let index = index(&[item("a", "note", 1, json!({"note": "Cafe\u{301} noir"}))]);
    let hit = index.find("café", 9).hits.remove(0);
    assert_eq!(
        (hit.matched.as_str(), hit.after.as_str()),
        ("Cafe\u{301}", " noir")
    );
}

/// Signs outside the table whose small letter is in it.
#[test]
fn signs_that_are_letters_in_disguise_fold_like_the_letters() {
    for (sign, plain) in [
        ("\u{212B}", "a"),
        ("\u{1E9E}", "ss"),
        ("\u{212A}", "k"),
        ("\u{39C}", "u"),
        ("\u{130}", "i"),
    ] {
        assert_eq!(fold(sign), plain);
    }
}

/// The Unicode decomposition (UAX 15, by the crate unicode-normalization) is the
/// outside measure for all of Latin-1 Supplement's letters and Latin Extended-A.
/// Letters that it does not take apart have to be in this list.
#[test]
fn letters_fold_as_the_unicode_decomposition_says() {
    let own = [
        ('Æ', "ae"),
        ('æ', "ae"),
        ('Ð', "d"),
        ('ð', "d"),
        ('×', "x"),
        ('÷', "x"),
        ('Ø', "o"),
        ('ø', "o"),
        ('Þ', "th"),
        ('þ', "th"),
        ('ß', "ss"),
        ('Đ', "d"),
        ('đ', "d"),
        ('Ħ', "h"),
        ('ħ', "h"),
        ('ı', "i"),
        ('ĸ', "k"),
        ('Ł', "l"),
        ('ł', "l"),
        ('Ŋ', "n"),
        ('ŋ', "n"),
        ('Œ', "oe"),
        ('œ', "oe"),
        ('Ŧ', "t"),
        ('ŧ', "t"),
    ];
    for c in '\u{C0}'..='\u{17F}' {
        let expected = match own.iter().find(|o| o.0 == c) {
            Some(o) => o.1.to_owned(),
            None => c
                .to_string()
                .nfkd()
                .filter(|c| !is_combining_mark(*c))
                .collect::<String>()
                .to_lowercase()
                // U+0149 and U+013F come with a mark of their own.
                .replace(['\u{2BC}', '\u{B7}'], ""),
        };
        assert_eq!(fold(&c.to_string()), expected, "U+{:04X} {c}", c as u32);
    }
}

fn text() -> impl Strategy<Value = String> {
    // Few letters, so that words are found; some that fold to none, one or two.
    "[abcABC äÄßæÆµ\u{3BC}\u{39C}\u{301}\u{200B}İ\n-]{0,24}"
}

proptest! {
    #[test]
    fn folding_twice_changes_nothing_more(text in "\\PC{0,40}|[\\u{C0}-\\u{17F}]{0,20}") {
        let once = fold(&text);
        prop_assert_eq!(fold(&once), once);
    }

    /// A plain search that folds everything anew is the measure; the index may
    /// pass over nothing that it finds, also after changes in any order.
    #[test]
    fn the_index_finds_what_a_plain_search_finds(
        puts in prop::collection::vec((0..20_u32, text(), 0..50_i64, any::<bool>()), 0..40),
        query in text(),
        most in 0..8_usize,
    ) {
        let mut index = Index::default();
        let mut kept: std::collections::BTreeMap<String, (String, i64)> = Default::default();
        for (id, text, changed, drop) in puts {
            let id = format!("r{id}");
            if drop {
                index.remove(&id);
                kept.remove(&id);
            } else {
                index.put(&item(&id, "note", changed, json!({"note": text})), &names);
                kept.insert(id, (text, changed));
            }
        }
        prop_assert_eq!(index.len(), kept.len());
        let folded = fold(&query);
        let words: Vec<&str> = folded.split_whitespace().collect();
        let mut expected: Vec<(i64, &String)> = kept
            .iter()
            .filter(|(_, (text, _))| !words.is_empty() && words.iter().all(|w| fold(text).contains(w)))
            .map(|(id, (_, changed))| (*changed, id))
            .collect();
        expected.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
        let found = index.find(&query, most);
        prop_assert_eq!(found.total, expected.len());
        let expected: Vec<&str> = expected.iter().take(most).map(|e| e.1.as_str()).collect();
        prop_assert_eq!(ids(&found), expected);
        for hit in &found.hits {
            // What is shown as matched folds to something that holds the word.
            prop_assert!(fold(&hit.matched).contains(words[0]), "{:?}", hit);
        }
    }

    #[test]
    fn any_text_can_be_put_and_looked_for(text in "\\PC{0,80}", query in "\\PC{0,10}") {
        let index = index(&[item("a", "console", 1, json!({"name": text, "note": text}))]);
        let _ = index.find(&query, 5);
        let word = fold(&text);
        if let Some(word) = word.split_whitespace().next() {
            prop_assert_eq!(index.find(word, 5).total, 1);
        }
    }
}
