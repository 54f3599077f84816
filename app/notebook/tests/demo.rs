//! The demonstration notebook (`public/demo-notebook.json`) is sound, says only
//! what the table of kinds and the books know, and its readings are what the app
//! would have kept of the same pastes.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at once"
)]

#[path = "../examples/demo/fill.rs"]
mod fill;

use codebook::Book;
use notebook::history::{Pulled, history};
use notebook::kinds::{self, Is};
use notebook::{Item, Record, dates};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::rc::Rc;

/// The day the demonstration was written.
const TODAY: &str = "2026-11-25";

fn file() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../public/demo-notebook.json");
    std::fs::read_to_string(path).unwrap()
}

fn records() -> Vec<Record> {
    let list: Vec<Value> = serde_json::from_str(&file()).unwrap();
    let mut trouble = Vec::new();
    let read = list
        .into_iter()
        .map(|r| Record::from_json(r, &mut trouble).unwrap())
        .collect();
    assert!(trouble.is_empty(), "{trouble:?}");
    read
}

fn items() -> BTreeMap<String, Item> {
    let all: BTreeMap<String, Item> = records()
        .iter()
        .map(|r| (r.id.clone(), Item::of(r)))
        .collect();
    assert_eq!(all.len(), records().len(), "an id is there twice");
    all
}

/// The console with this nickname.
fn console<'a>(all: &'a BTreeMap<String, Item>, name: &str) -> &'a Item {
    let found = all
        .values()
        .find(|i| i.kind == "console" && i.text("name") == name);
    found.unwrap_or_else(|| panic!("no {name}"))
}

/// The records of a kind, of a console or job, in the order they were written.
fn of<'a>(all: &'a BTreeMap<String, Item>, kind: &str, owner: &str) -> Vec<&'a Item> {
    all.values()
        .filter(|i| i.kind == kind && (i.text("console") == owner || i.text("job") == owner))
        .collect()
}

#[test]
fn its_records_are_sound_and_marked_as_of_the_demonstration() {
    for record in records() {
        assert!(record.id.starts_with("demo-"), "{}", record.id);
        assert_eq!(record.heads().len(), 1);
        assert!(!record.gone() && record.extra.is_empty());
        for version in record.versions() {
            assert_eq!(version.key.by, "demo.1");
            assert!(version.extra.is_empty());
            assert!(version.at >= record.created);
            let day = dates::written(version.at.div_euclid(86_400_000)).unwrap();
            assert!(day.starts_with("2026-") && day.as_str() <= TODAY, "{day}");
        }
    }
}

#[test]
fn it_is_small() {
    assert!(file().len() < 24_000, "{}", file().len());
}

#[test]
fn the_readings_are_what_the_app_keeps_of_their_texts() {
    assert_eq!(fill::filled(&file()).unwrap(), file());
}

/// Whether a value is one that the form for this field could have written.
fn fits(is: Is, value: &Value, book: Option<&Rc<Book>>, board: &str) -> bool {
    let text = value.as_str().unwrap_or("");
    match is {
        Is::Line => !text.is_empty() && !text.contains('\n'),
        Is::Lines | Is::Log => !text.is_empty(),
        Is::Day => dates::number(text).is_some(),
        Is::Number(_) => text.parse::<f64>().is_ok(),
        Is::Measured => notebook::measure::parse(text, "").is_ok(),
        Is::Choice(list) => list.iter().any(|(v, _)| *v == text),
        Is::Symptoms => {
            let ids = value.as_array().unwrap();
            let known = &book.unwrap().model.symptoms;
            !ids.is_empty() && ids.iter().all(|i| known.iter().any(|s| *i == *s.id))
        }
        Is::Causes => {
            let ids = value.as_array().unwrap();
            let known = &book.unwrap().model.causes;
            !ids.is_empty() && ids.iter().all(|i| known.iter().any(|c| *i == *c.id))
        }
        Is::Book => book.is_some(),
        Is::Board => book.is_some_and(|b| b.model.boards.iter().any(|b| b.id == board)),
        Is::Photo | Is::Ref(_) => false,
        Is::Flag => *value == Value::Bool(true),
        Is::Made => true,
    }
}

#[test]
fn all_its_fields_are_in_the_table_and_fit() {
    let all = items();
    let books = fill::books().unwrap();
    for record in records() {
        let kind = kinds::kind(&record.kind).unwrap();
        let item = &all[&record.id];
        let owner = if record.kind == "console" {
            item
        } else {
            &all[item.text("console")]
        };
        assert_eq!(owner.kind, "console");
        let book = books.iter().find(|b| b.model.id == owner.text("book"));
        assert!(book.is_some(), "{}", owner.text("book"));
        for version in record.versions() {
            for (name, value) in &version.data {
                let what = format!("{}: {name} {value}", record.id);
                match name.as_str() {
                    "console" => assert_ne!(record.kind, "console", "{what}"),
                    "job" => {
                        let job = &all[value.as_str().unwrap()];
                        assert_eq!(job.kind, "job", "{what}");
                        assert_eq!(job.text("console"), owner.id, "{what}");
                    }
                    _ => {
                        let field = kind.field(name).unwrap_or_else(|| panic!("{what}"));
                        assert!(fits(field.is, value, book, owner.text("board")), "{what}");
                    }
                }
            }
        }
    }
}

#[test]
fn each_console_says_that_it_is_invented() {
    let all = items();
    let consoles: Vec<&Item> = all.values().filter(|i| i.kind == "console").collect();
    assert_eq!(consoles.len(), 4);
    for console in consoles {
        assert!(console.text("note").starts_with("Invented"));
        assert_eq!(console.text("serial"), "");
    }
}

#[test]
fn the_attic_find_is_finished_and_its_second_reading_shows_what_is_new() {
    let all = items();
    let own = console(&all, "attic find");
    let jobs = of(&all, "job", &own.id);
    assert_eq!(jobs.len(), 1);
    assert_eq!(
        (jobs[0].text("stage"), jobs[0].text("outcome")),
        ("closed", "repaired")
    );
    for kind in ["symptom", "measurement", "check", "repair", "follow-up"] {
        assert!(!of(&all, kind, &jobs[0].id).is_empty(), "{kind}");
    }
    assert!(
        of(&all, "repair", &jobs[0].id)
            .iter()
            .all(|r| !r.text("cost").is_empty())
    );
    let looked: Vec<&Item> = of(&all, "follow-up", &jobs[0].id)
        .into_iter()
        .filter(|f| !f.text("done").is_empty())
        .collect();
    assert!(looked.len() > 2 && looked.iter().all(|f| f.text("found") == "holds"));
    let readings: Vec<Pulled> = of(&all, "reading", &own.id)
        .into_iter()
        .map(Pulled::of)
        .collect();
    assert_eq!(readings.len(), 2);
    let told = history(&readings);
    assert!(told.apart.is_empty());
    assert_eq!((told.joins.len(), told.joins[0].overlap), (1, 21));
    let new: Vec<&str> = told.joins[0]
        .new
        .iter()
        .map(|e| {
            let (reading, entry) = told.events[*e].at;
            readings[reading].entries[entry].code.as_str()
        })
        .collect();
    // Nothing of the fault that was repaired.
    assert_eq!(new, ["0040", "B110", "0040"]);
}

#[test]
fn one_waits_for_parts_one_came_back_and_one_is_fresh() {
    let all = items();
    let jobs = |name: &str| of(&all, "job", &console(&all, name).id);
    let waits = jobs("the swap-meet one");
    assert_eq!((waits.len(), waits[0].text("stage")), (1, "parts"));
    let back = jobs("blue stripe");
    let stages: Vec<&str> = back.iter().map(|j| j.text("stage")).collect();
    assert_eq!(stages, ["closed", "open"]);
    let looks = of(&all, "follow-up", &back[0].id);
    assert!(looks.iter().any(|f| f.text("found") == "same-fault"
        && dates::between(back[0].text("closed"), f.text("done")).unwrap() > 21
        && f.text("done") <= back[1].text("day")));
    assert!(jobs("the quiet one").is_empty());
}
