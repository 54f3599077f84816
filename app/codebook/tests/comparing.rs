//! Two states of a book: what differs, and the newer made from the older.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use codebook::compare::{Change, apply, clashes, compare, words};
use proptest::prelude::*;
use serde_json::{Value, json};

const GOOD: &str = include_str!("good-book.json");

fn good() -> Value {
    serde_json::from_str(GOOD).unwrap()
}

fn demo(name: &str) -> Value {
    let root = env!("CARGO_MANIFEST_DIR");
    let path = format!("{root}/../../public/books/{name}.json");
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

fn list<'v>(doc: &'v mut Value, name: &str) -> &'v mut Vec<Value> {
    doc[name].as_array_mut().unwrap()
}

fn told(all: &[Change]) -> Vec<String> {
    all.iter()
        .map(|c| format!("{}|{}|{}", c.section, c.key, words(c).join("; ")))
        .collect()
}

#[test]
fn what_differs_is_told_row_by_row_in_the_order_of_the_newer() {
    let old = good();
    let mut new = good();
    new["name"] = "Other".into();
    new["maker"] = "Somebody".into();
    new["service_port"]["baud"] = 115_200.into();
    new["service_port"]["pads"][0]["is"] = "transmit".into();
    let codes = list(&mut new, "codes");
    codes[0]["title"] = "core rail low".into();
    codes[0]["boards"]["TB-1"]["parts"] = json!(["U3", "U4"]);
    codes[0].as_object_mut().unwrap().remove("not_proof");
    codes.remove(2);
    codes.insert(0, json!({"code": "7001", "title": "new", "parts": ["U1"]}));
    list(&mut new, "steps").swap(0, 1);
    new["layouts"][0]["line"][1]["width"] = json!([1, 2]);
    assert_eq!(
        told(&compare(&old, &new)),
        [
            "|name|name: Test family \u{2192} Other",
            "|maker|maker: Somebody",
            "|service_port|service port, pads, 1, is: ground \u{2192} transmit; service port, baud: 57600 \u{2192} 115200",
            "layouts|line|line, 2, width: 2 \u{2192} 1, 2",
            "codes|7001|code: 7001; title: new; parts: U1",
            "codes|44D0|title: core rail late \u{2192} core rail low; boards, TB-1, parts: U3 \u{2192} U3, U4; does not prove: It does not prove that the regulator is broken.",
            "codes|4???|code: 4???; title: power trouble",
            "steps|0B|moved to place 1",
        ]
    );
    assert_eq!(apply(&old, &compare(&old, &new), ""), new);
    assert_eq!(compare(&old, &old), []);
}

#[test]
fn rows_are_known_by_code_and_layouts_by_id_or_by_title_and_twins_are_counted() {
    let old = json!({});
    let new = json!({
        "codes": [
            {"code": "1000", "title": "a"},
            {"code": "1000", "title": "b", "layouts": ["x", "y"]},
            {"code": "1000", "title": "c"},
            {"code": "1000", "title": "d"},
        ],
        "sources": [{"title": "A page"}, {"note": "none"}],
        "checks": [{"id": "ohms", "title": "t"}],
        "own": ["a", "a", 7, null, [1]],
    });
    let keys: Vec<String> = compare(&old, &new).into_iter().map(|c| c.key).collect();
    assert_eq!(
        keys,
        [
            "A page",
            "{\"note\":\"none\"}",
            "1000",
            "1000 (x, y)",
            "1000 #2",
            "1000 #3",
            "ohms",
            "\"a\"",
            "\"a\" #2",
            "7",
            "null",
            "[1]"
        ]
    );
}

/// Only as many rows are told as moved as have to be.
#[test]
fn one_row_that_moves_is_one_row_moved() {
    let old = demo("orrery");
    for (from, to) in [(0, 9), (9, 0), (3, 5), (11, 2)] {
        let mut new = old.clone();
        let steps = list(&mut new, "steps");
        let step = steps.remove(from);
        steps.insert(to, step);
        let all = compare(&old, &new);
        assert_eq!(all.len(), 1, "{from} to {to}: {:?}", told(&all));
        assert!(all[0].moved && !all[0].is_more_than_a_move());
        assert_eq!(all[0].place, to);
        assert_eq!(apply(&old, &all, "x"), new);
    }
}

#[test]
fn a_row_finds_its_place_also_where_only_some_changes_are_taken() {
    let ids = |doc: &Value| -> String {
        let all = doc["steps"].as_array().unwrap();
        all.iter().map(|s| s["id"].as_str().unwrap()).collect()
    };
    let steps = |text: &str| -> Value {
        let all: Vec<Value> = text.chars().map(|c| json!({"id": c.to_string()})).collect();
        json!({ "steps": all })
    };
    for (old, new, take, onto, result) in [
        ("ace", "abcde", "bd", "ace", "abcde"),
        ("ace", "abcde", "d", "ace", "acde"),
        ("ace", "abcde", "bd", "xaycze", "xabycdze"),
        ("ace", "abcde", "bd", "xyz", "xbydz"),
        ("abc", "xabc", "x", "abc", "xabc"),
        ("abc", "abcxy", "xy", "abcd", "abcxyd"),
        ("abc", "abcxy", "y", "abcd", "abcyd"),
        ("abcd", "bcda", "a", "abcd", "bcda"),
        ("abcd", "abd", "c", "abcd", "abd"),
        ("abcd", "abd", "c", "abd", "abd"),
        // Nothing in common: behind what is there.
        ("abc", "xyz", "xyz", "abc", "abcxyz"),
        ("", "xyz", "xz", "", "xz"),
        ("", "xyz", "xz", "ab", "xzab"),
    ] {
        let mut all = compare(&steps(old), &steps(new));
        all.retain(|c| take.contains(&c.key));
        let got = apply(&steps(onto), &all, "");
        assert_eq!(ids(&got), result, "{old} to {new}, {take} onto {onto}");
        assert_eq!(apply(&got, &all, ""), got, "{old} to {new}, twice");
    }
}

#[test]
fn what_is_not_touched_stays_with_unknown_keys_and_all() {
    let mut mine = good();
    mine["later"] = json!({"a": [1]});
    mine["codes"][1]["mood"] = "blue".into();
    list(&mut mine, "codes").push(json!({"code": "9001", "title": "mine"}));
    let mut theirs = good();
    theirs["codes"][0]["title"] = "theirs".into();
    theirs["codes"][0]["glow"] = true.into();
    let got = apply(&mine, &compare(&good(), &theirs), "from a friend");
    let mut expected = mine.clone();
    expected["codes"][0]["title"] = "theirs".into();
    expected["codes"][0]["glow"] = true.into();
    expected["codes"][0]["source"] = "from a friend".into();
    assert_eq!(got, expected);
}

#[test]
fn a_move_alone_brings_no_words_and_no_row_back() {
    let mut theirs = good();
    list(&mut theirs, "steps").swap(0, 1);
    let moves = compare(&good(), &theirs);
    let mut mine = good();
    mine["steps"][0]["name"] = "my words".into();
    mine["steps"][1]["name"] = "mine too".into();
    let got = apply(&mine, &moves, "friend");
    assert_eq!(got["steps"], json!([mine["steps"][1], mine["steps"][0]]));
    list(&mut mine, "steps").clear();
    assert_eq!(apply(&mine, &moves, "friend"), mine);
}

#[test]
fn rows_say_where_they_come_from_if_they_can_and_do_not_yet() {
    let row = |source: Value| json!({"id": "x", "code": "x", "source": source});
    let sections = [
        ("codes", true),
        ("steps", true),
        ("rails", true),
        ("boards", true),
        ("symptoms", true),
        ("causes", true),
        ("checks", true),
        ("repairs", true),
        ("cautions", false),
        ("layouts", false),
        ("sources", false),
        ("code_parts", false),
        ("other", false),
    ];
    for (section, may) in sections {
        for (said, kept) in [
            (json!(""), false),
            (json!("  "), false),
            (Value::Null, false),
            (json!("a page"), true),
            (json!(7), true),
        ] {
            let new = json!({ section: [row(said.clone())] });
            let got = apply(&json!({}), &compare(&json!({}), &new), "friend");
            let expected = if may && !kept { json!("friend") } else { said };
            assert_eq!(got[section][0]["source"], expected, "{section}");
            assert_eq!(apply(&json!({}), &compare(&json!({}), &new), ""), new);
        }
    }
    // The format has the key where it is filled in, and nowhere is it unknown.
    let schema: Value = serde_json::from_str(codebook::schema::TEXT).unwrap();
    for (section, may) in sections {
        let items = &schema["properties"][section]["items"]["$ref"];
        let name = items
            .as_str()
            .and_then(|r| r.rsplit('/').next())
            .unwrap_or("");
        let has = schema["$defs"][name]["properties"].get("source").is_some();
        assert!(has || !may, "{section}");
    }
}

#[test]
fn merged_rows_load_and_their_source_is_read() {
    let mut theirs = good();
    list(&mut theirs, "steps").push(json!({"id": "0C", "name": "late step"}));
    list(&mut theirs, "boards").push(json!({"id": "TB-2", "name": "second board"}));
    let got = apply(&good(), &compare(&good(), &theirs), "from a friend's 1.2.0");
    let book = Book::load(got.to_string().as_bytes()).unwrap();
    assert_eq!(book.notes, []);
    assert_eq!(book.model.steps[2].source, "from a friend's 1.2.0");
    assert_eq!(book.model.boards[1].source, "from a friend's 1.2.0");
    assert_eq!(book.model.steps[0].source, "");
}

#[test]
fn clashes_are_what_both_changed_in_different_ways() {
    let base = good();
    let (mut mine, mut theirs) = (good(), good());
    mine["codes"][0]["title"] = "mine".into();
    theirs["codes"][0]["title"] = "theirs".into();
    mine["codes"][1]["title"] = "same".into();
    theirs["codes"][1]["title"] = "same".into();
    theirs["codes"][2]["title"] = "only theirs".into();
    mine["version"] = "1.0.1".into();
    theirs["version"] = "1.1.0".into();
    list(&mut mine, "steps").remove(0);
    theirs["steps"][0]["name"] = "theirs".into();
    theirs["rails"][0]["name"] = "theirs".into();
    list(&mut mine, "symptoms").push(json!({"id": "new", "title": "mine"}));
    list(&mut theirs, "symptoms").push(json!({"id": "new", "title": "theirs"}));
    let keys: Vec<String> = clashes(&base, &mine, &theirs)
        .into_iter()
        .map(|c| c.key)
        .collect();
    assert_eq!(keys, ["version", "44D0", "0A", "new"]);
    assert_eq!(clashes(&base, &base, &theirs), []);
    assert_eq!(clashes(&base, &mine, &base), []);
    assert_eq!(clashes(&base, &mine, &mine), []);
    // Two who only put rows in another order do not disturb each other.
    let (mut a, mut b) = (good(), good());
    list(&mut a, "steps").swap(0, 1);
    b["codes"][3]["title"] = "b".into();
    list(&mut b, "codes").swap(0, 1);
    assert_eq!(clashes(&base, &a, &b), []);
    assert_eq!(clashes(&base, &json!(7), &b).len(), 2);
    assert_eq!(clashes(&base, &json!(7), &json!(7)), []);
}

/// Shapes that no book has: drafts are compared while they are damaged.
#[test]
fn damaged_documents_are_compared_too() {
    let all = [
        json!(null),
        json!(7),
        json!("x"),
        json!([]),
        json!([1]),
        json!({}),
        json!({"codes": null}),
        json!({"codes": "x"}),
        json!({"codes": {}}),
        json!({"codes": []}),
        json!({"codes": [1, 1, null, [], {}]}),
        json!({"codes": [{}, {}, {"code": 7}, {"code": "7"}]}),
        json!({"codes": [{"code": "a"}, {"code": "a"}, {"code": "a #2"}, {"code": "a"}]}),
        json!({"codes": [{"code": "a #2"}, {"code": "a"}, {"code": "a"}]}),
        json!({"codes": [{"code": "a", "layouts": 7}, {"code": "a", "layouts": [7, "x"]}, {"code": "a (x)"}]}),
        json!({"": 1}),
        json!({"": [1, 2], "*": [3]}),
        json!({"__proto__": [{"id": "__proto__"}], "constructor": {}}),
        json!({"steps": [], "codes": [{"code": "b"}]}),
    ];
    for old in &all {
        for new in &all {
            let changes = compare(old, new);
            assert_eq!(&apply(old, &changes, ""), new, "{old} to {new}");
            assert_eq!(changes.is_empty(), old == new, "{old} to {new}");
            for change in &changes {
                let _ = words(change);
                for third in &all {
                    let _ = apply(third, std::slice::from_ref(change), "s");
                    let _ = clashes(third, old, new);
                }
            }
        }
    }
}

#[test]
fn words_have_an_end() {
    let mut row = json!({});
    for i in 0..500 {
        row[format!("k{i}")] = "long ".repeat(1000).into();
    }
    row["deep"] = json!([[[[[[[[[[1]]]]]]]]]]);
    row["k0"] = "a\nb\u{1}\u{202E}".into();
    let change = &compare(&json!({}), &json!({"codes": [row]}))[0];
    let all = words(change);
    assert_eq!(all.len(), 41);
    assert_eq!(all[40], "and 461 more");
    assert!(!all.iter().any(|w| w.contains('\u{202E}')));
    assert!(
        all.iter()
            .all(|w| w.chars().count() < 200 && !w.contains('\n')),
        "{all:?}"
    );
}

/// 20,000 rows in any order: no pair of rows is compared with each other.
#[test]
fn the_largest_table_is_compared_at_once() {
    let row = |n: usize| json!({"code": format!("{n:05X}"), "title": "x"});
    let old: Vec<Value> = (0..20_000).map(row).collect();
    let mut new: Vec<Value> = (0..20_000).map(|n| row(n * 7919 % 20_000)).collect();
    new.truncate(19_000);
    new.extend((0..3000).map(|_| json!({"code": "twin", "title": "t"})));
    let (old, new) = (json!({"codes": old}), json!({"codes": new}));
    let all = compare(&old, &new);
    assert_eq!(apply(&old, &all, ""), new);
    let twins: Vec<Value> = (0..20_000)
        .map(|n| json!({"code": "a", "title": n}))
        .collect();
    let twins = json!({"codes": twins});
    assert_eq!(apply(&twins, &compare(&twins, &old), ""), old);
    assert_eq!(apply(&old, &compare(&old, &twins), ""), twins);
}

/// Something done to a document: a section, two places in it, what to do.
type Deed = (usize, prop::sample::Index, prop::sample::Index, u8);

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    proptest::collection::vec(
        (
            0..16_usize,
            any::<prop::sample::Index>(),
            any::<prop::sample::Index>(),
            any::<u8>(),
        ),
        0..14,
    )
}

fn do_it(doc: &mut Value, (section, a, b, what): &Deed) {
    const NAMES: [&str; 16] = [
        "codes",
        "codes",
        "codes",
        "steps",
        "steps",
        "boards",
        "rails",
        "layouts",
        "causes",
        "checks",
        "symptoms",
        "sources",
        "code_parts",
        "own",
        "name",
        "service_port",
    ];
    let name = NAMES[*section];
    let n = i64::from(*what);
    match &mut doc[name] {
        Value::Array(rows) => {
            let at = (!rows.is_empty()).then(|| a.index(rows.len()));
            let to = b.index(rows.len() + 1);
            match (what % 9, at) {
                (0, Some(at)) => drop(rows.remove(at)),
                (1, Some(at)) => {
                    let row = rows.remove(at);
                    rows.insert(to.min(rows.len()), row);
                }
                (2, Some(at)) => rows.insert(to, rows[at].clone()),
                (3, Some(at)) if rows[at].is_object() => rows[at]["title"] = n.into(),
                (4, Some(at)) if rows[at].is_object() => rows[at]["code"] = format!("{n:X}").into(),
                (5, Some(at)) => rows[at] = n.into(),
                (6, _) => rows.insert(to, json!({"code": format!("{:X}", n % 4), "id": if n % 5 == 0 { json!("x") } else { Value::Null }})),
                (7, _) => rows.reverse(),
                _ if n % 31 == 8 => doc[name] = n.into(),
                _ if n % 31 == 17 => rows.clear(),
                _ if n % 31 == 26 => drop(doc.as_object_mut().unwrap().remove(name)),
                _ => {}
            }
        }
        Value::Null => doc[name] = json!([{"id": n}]),
        other => *other = n.into(),
    }
}

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        (0..3_i32).prop_map(Value::from),
        "[ab]{0,2}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 30, 5, |inner| {
        let key = prop_oneof![
            Just("codes"),
            Just("id"),
            Just("code"),
            Just("layouts"),
            Just(""),
            Just("steps")
        ];
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
            proptest::collection::vec((key, inner), 0..5).prop_map(|m| Value::Object(
                m.into_iter().map(|(k, v)| (k.to_owned(), v)).collect()
            )),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn the_newer_is_made_from_the_older(first in deeds(), second in deeds()) {
        let mut old = good();
        first.iter().for_each(|d| do_it(&mut old, d));
        let mut new = old.clone();
        second.iter().for_each(|d| do_it(&mut new, d));
        let all = compare(&old, &new);
        prop_assert_eq!(apply(&old, &all, ""), new.clone());
        prop_assert_eq!(all.is_empty(), old == new);
        // And back.
        prop_assert_eq!(apply(&new, &compare(&new, &old), ""), old.clone());
        // A change says what was, or that nothing was.
        for c in &all {
            prop_assert!(c.before.is_some() || c.after.is_some());
            prop_assert!(c.moved || c.before != c.after);
            prop_assert!(!words(c).is_empty() || c.before == c.after);
        }
    }

    /// Any part of the changes: the rows that no change speaks of all stay.
    #[test]
    fn a_part_of_the_changes_loses_no_other_row(first in deeds(), second in deeds(), third in deeds(), which in any::<u64>()) {
        let mut old = good();
        first.iter().for_each(|d| do_it(&mut old, d));
        let (mut new, mut mine) = (old.clone(), old.clone());
        second.iter().for_each(|d| do_it(&mut new, d));
        third.iter().for_each(|d| do_it(&mut mine, d));
        let mut all = compare(&old, &new);
        let mut n = 0;
        all.retain(|_| { n += 1; which >> (n % 64) & 1 == 1 });
        let got = apply(&mine, &all, "");
        for (name, value) in mine.as_object().unwrap() {
            let touched: Vec<&Change> = all.iter().filter(|c| c.section == *name || c.key == *name).collect();
            if touched.is_empty() {
                prop_assert_eq!(&got[name], value);
            } else if let (Some(rows), Some(now)) = (value.as_array(), got[name].as_array()) {
                let out = touched.iter().filter(|c| c.after.is_none()).count();
                if !touched.iter().any(|c| c.section.is_empty()) {
                    prop_assert!(now.len() + out >= rows.len(), "{}: {} to {}", name, value, got[name]);
                }
            }
        }
        // Twice does no more than once, but for rows of the same name.
        let twins = compare(&json!({}), &mine).iter().chain(&all).any(|c| c.key.contains(" #"));
        if !twins {
            prop_assert_eq!(apply(&got, &all, ""), got.clone());
        }
    }

    #[test]
    fn any_two_documents_are_compared(old in any_json(), new in any_json(), other in any_json()) {
        let all = compare(&old, &new);
        prop_assert_eq!(apply(&old, &all, ""), new.clone());
        let _ = apply(&other, &all, "s");
        let _ = clashes(&other, &old, &new);
        for c in &all {
            let _ = words(c);
        }
    }
}
