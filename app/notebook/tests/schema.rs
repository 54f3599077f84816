//! The table of kinds only grows: people have its names in notebooks and
//! backups for years. `kinds.snap` is the table as it was last recorded; an
//! addition is recorded with `UPDATE_SNAPSHOT=1`, and nothing lets one take a
//! name away, change what it holds or use a retired one again.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at once")]

use notebook::kinds::{FORMAT, Field, Is, KINDS, Kind, RETIRED};
use std::collections::{BTreeMap, BTreeSet};

const SNAPSHOT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/kinds.snap");

/// What a field holds, in a word.
fn content(is: Is) -> String {
    match is {
        Is::Line => "line".to_owned(),
        Is::Lines => "lines".to_owned(),
        Is::Log => "log".to_owned(),
        Is::Day => "day".to_owned(),
        Is::Number(unit) => format!("number in {unit}"),
        Is::Measured => "measured".to_owned(),
        Is::Choice(_) => "choice".to_owned(),
        Is::Symptoms => "symptoms".to_owned(),
        Is::Causes => "causes".to_owned(),
        Is::Book => "book".to_owned(),
        Is::Board => "board".to_owned(),
        Is::Photo => "photo".to_owned(),
        Is::Ref(kind) => format!("id of a {kind}"),
        Is::Flag => "flag".to_owned(),
        Is::Made => "made".to_owned(),
    }
}

/// The table as text: a line for each kind, field, choice and retired name.
fn written(format: u32, kinds: &[Kind], retired: &[&str]) -> String {
    let mut text = format!("format {format}\n");
    for kind in kinds {
        text += &format!("{} kind\n", kind.name);
        for field in kind.fields {
            let name = format!("{}.{}", kind.name, field.name);
            let private = if field.private { ", private" } else { "" };
            text += &format!("{name} {}{private}\n", content(field.is));
            if let Is::Choice(choices) = field.is {
                for (value, _) in choices {
                    text += &format!("{name}.{value} choice of it\n");
                }
            }
        }
    }
    for name in retired {
        text += &format!("retired {name}\n");
    }
    text
}

/// A table read back.
struct Table<'a> {
    format: u32,
    names: BTreeMap<&'a str, &'a str>,
    retired: BTreeSet<&'a str>,
}

fn table(text: &str) -> Table<'_> {
    let mut table = Table {
        format: 0,
        names: BTreeMap::new(),
        retired: BTreeSet::new(),
    };
    for line in text.lines() {
        match line.split_once(' ').unwrap() {
            ("format", number) => table.format = number.parse().unwrap(),
            ("retired", name) => {
                table.retired.insert(name);
            }
            (name, content) => {
                table.names.insert(name, content);
            }
        }
    }
    table
}

/// What must never be done between the old table and the new.
fn objections(old: &str, new: &str) -> Vec<String> {
    let (old, new) = (table(old), table(new));
    let mut all = Vec::new();
    for (name, was) in &old.names {
        match new.names.get(name) {
            None if new.retired.contains(name) => {}
            None => all.push(format!("{name} is taken away and not in RETIRED")),
            // To make a field private takes nothing from anybody.
            Some(is) if *is == format!("{was}, private") => {}
            Some(is) if is != was => all.push(format!("{name} held {was}, now {is}")),
            Some(_) => {}
        }
    }
    for name in old.retired.difference(&new.retired) {
        all.push(format!("{name} is no longer in RETIRED"));
    }
    for name in &new.retired {
        let below = format!("{name}.");
        if new.names.keys().any(|n| n == name || n.starts_with(&below)) {
            all.push(format!("{name} is retired and used again"));
        }
    }
    let added = new.names.keys().any(|n| !old.names.contains_key(n));
    if new.format < old.format || added && new.format == old.format {
        all.push("FORMAT has to go up with every addition".to_owned());
    }
    all
}

#[test]
fn the_table_only_grows() {
    let new = written(FORMAT, KINDS, RETIRED);
    let update = std::env::var_os("UPDATE_SNAPSHOT").is_some();
    let Ok(old) = std::fs::read_to_string(SNAPSHOT) else {
        assert!(update, "tests/kinds.snap is missing");
        std::fs::write(SNAPSHOT, new).unwrap();
        return;
    };
    let objections = objections(&old, &new);
    assert!(objections.is_empty(), "{objections:#?}");
    if old != new {
        assert!(
            update,
            "the table has grown: run this test once with UPDATE_SNAPSHOT=1 and commit kinds.snap"
        );
        std::fs::write(SNAPSHOT, new).unwrap();
    }
}

const CHOICES: &[(&str, &str)] = &[("open", "Open"), ("closed", "Closed")];

fn one(name: &'static str, is: Is, private: bool) -> Field {
    Field {
        name,
        label: "",
        help: "",
        is,
        private,
    }
}

/// A small table, from fields.
fn small(format: u32, fields: Vec<Field>, retired: &[&str]) -> String {
    let kind = Kind {
        name: "job",
        title: "",
        icon: "",
        fields: Box::leak(fields.into_boxed_slice()),
    };
    written(format, &[kind], retired)
}

#[test]
fn what_people_have_in_their_notebooks_can_not_be_taken_away() {
    let stage = || one("stage", Is::Choice(CHOICES), false);
    let price = || one("price", Is::Line, true);
    let old = small(1, vec![stage(), price()], &["job.colour"]);
    let fewer = one("stage", Is::Choice(&[("open", "Open")]), false);
    for (new, wrong) in [
        (
            small(2, vec![price()], &["job.colour"]),
            "job.stage is taken away",
        ),
        (
            small(2, vec![fewer, price()], &["job.colour"]),
            "job.stage.closed is taken away",
        ),
        (
            small(
                2,
                vec![stage(), one("price", Is::Day, true)],
                &["job.colour"],
            ),
            "job.price held",
        ),
        (
            small(
                2,
                vec![stage(), one("price", Is::Line, false)],
                &["job.colour"],
            ),
            "job.price held",
        ),
        (
            small(2, vec![stage(), price()], &[]),
            "job.colour is no longer",
        ),
        (
            small(
                2,
                vec![stage(), price(), one("colour", Is::Line, false)],
                &["job.colour"],
            ),
            "job.colour is retired and used",
        ),
        (
            small(2, vec![stage(), price()], &["job.colour", "job.price"]),
            "job.price is retired and used",
        ),
        (
            small(
                1,
                vec![stage(), price(), one("new", Is::Line, false)],
                &["job.colour"],
            ),
            "FORMAT",
        ),
        (small(0, vec![stage(), price()], &["job.colour"]), "FORMAT"),
        (written(2, &[], &["job.colour"]), "job is taken away"),
    ] {
        let all = objections(&old, &new);
        assert!(all.iter().any(|o| o.starts_with(wrong)), "{wrong}: {all:?}");
    }
    let number = |unit| small(1, vec![one("x", Is::Number(unit), false)], &[]);
    assert_eq!(objections(&number("s"), &number("ms")).len(), 1);
}

#[test]
fn the_table_may_grow_and_names_may_be_retired() {
    let note = || one("note", Is::Lines, false);
    let old = small(1, vec![note(), one("price", Is::Line, false)], &[]);
    let new = small(
        2,
        vec![
            note(),
            one("price", Is::Line, true),
            one("stage", Is::Choice(CHOICES), false),
        ],
        &[],
    );
    assert_eq!(objections(&old, &new), [""; 0]);
    assert_eq!(
        objections(&old, &small(1, vec![note()], &["job.price"])),
        [""; 0]
    );
    assert_eq!(objections(&old, &old), [""; 0]);
}

/// Names go into files and rows: small letters and dashes.
fn plain(name: &str) -> bool {
    !name.is_empty() && name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
}

#[test]
fn no_name_is_there_twice() {
    let mut kinds = BTreeSet::new();
    for kind in KINDS {
        assert!(kinds.insert(kind.name), "{}", kind.name);
        assert!(plain(kind.name), "{}", kind.name);
        // These two stand in every record beside the fields of its kind.
        let mut fields = BTreeSet::from(["console", "job"]);
        for field in kind.fields {
            let name = format!("{}.{}", kind.name, field.name);
            assert!(fields.insert(field.name), "{name}");
            assert!(plain(field.name), "{name}");
            if let Is::Choice(choices) = field.is {
                let mut values = BTreeSet::new();
                let mut labels = BTreeSet::new();
                for (value, label) in choices {
                    assert!(values.insert(value) && plain(value), "{name}: {value}");
                    assert!(labels.insert(label) && !label.is_empty(), "{name}: {label}");
                }
            }
            if let Is::Ref(kind) = field.is {
                assert!(notebook::kinds::kind(kind).is_some(), "{name}: {kind}");
            }
        }
    }
}

#[test]
fn labels_are_there_and_help_is_a_short_sentence() {
    for kind in KINDS {
        assert!(!kind.title.is_empty() && !kind.icon.is_empty());
        let mut labels = BTreeSet::new();
        for field in kind.fields {
            let name = format!("{}.{}", kind.name, field.name);
            assert!(!field.label.is_empty() && field.label.len() <= 45, "{name}");
            assert!(
                labels.insert(field.label),
                "two fields called {}",
                field.label
            );
            assert!(
                !field.label.ends_with('.') && !field.label.contains('!'),
                "{name}"
            );
            if field.help.is_empty() {
                continue;
            }
            assert!(
                field.help.ends_with('.') && !field.help.contains('!'),
                "{name}"
            );
            assert!(field.help.starts_with(char::is_uppercase), "{name}");
            assert!(field.help.chars().count() <= 80, "{name}: {}", field.help);
        }
    }
}

#[test]
fn what_could_tell_who_the_owner_is_is_private() {
    let console = notebook::kinds::kind("console").unwrap();
    for name in ["from", "price", "serial"] {
        assert!(console.field(name).unwrap().private, "{name}");
    }
}
