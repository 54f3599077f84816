//! A tiny set of files of our own (`tests/small`): what the crate does, tested
//! apart from what the data says. Each file is then broken in one place, and the
//! schema or the loader must tell.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{Basis, Care, Run};
use serde_json::{Value, json};

const SMALL: [(&str, &str); 7] = [
    ("sources", include_str!("small/sources.json")),
    ("hazards", include_str!("small/hazards.json")),
    ("tags", include_str!("small/tags.json")),
    ("kit", include_str!("small/kit.json")),
    ("works", include_str!("small/works.json")),
    ("steps 1", include_str!("small/1-first.json")),
    ("steps 2", include_str!("small/2-second.json")),
];

fn care() -> Care {
    Care::load(&SMALL).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn schema() -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(include_str!("../data/care.schema.json")).unwrap();
    jsonschema::validator_for(&schema).unwrap()
}

/// Steps, hazards, kit by their ids.
fn ids(care: &Care, works: &[&str], tags: &[&str]) -> (String, String, String, (u32, u32)) {
    let list = care.compose(works, tags);
    let join = |all: Vec<String>| all.join(" ");
    let steps = list.steps.iter().map(|n| care.steps[*n].id.clone());
    let hazards = list.hazards.iter().map(|n| care.hazards[*n].id.clone());
    let kit = list
        .kit
        .iter()
        .map(|(n, k)| format!("{}:{k}", care.kit[*n].id));
    let mut kit: Vec<String> = kit.collect();
    kit.sort();
    (
        join(steps.collect()),
        join(hazards.collect()),
        join(kit),
        list.minutes,
    )
}

#[test]
fn small_checklists_come_out_as_worked_out_by_hand() {
    let care = care();
    let says = |works: &[&str], tags: &[&str], expected: (&str, &str, &str, (u32, u32))| {
        let (steps, hazards, kit, minutes) = ids(&care, works, tags);
        let found = (steps.as_str(), hazards.as_str(), kit.as_str(), minutes);
        assert_eq!(found, expected, "{works:?} with {tags:?}");
    };
    // A tool: the most that one asks for. What is used up: the sum of all.
    let one = ("a b", "h1 h2 h3", "k-stock:1 k-tool:2 k-used:7", (4, 7));
    says(&["w1"], &[], one);
    says(
        &["w2"],
        &[],
        ("a d", "h2", "k-stock:1 k-tool:2 k-used:4", (8, 9)),
    );
    says(
        &["w1"],
        &["t3"],
        ("a b c", "h1 h2 h3", "k-stock:1 k-tool:2 k-used:7", (4, 8)),
    );
    says(
        &["w2"],
        &["t3"],
        ("a", "h2", "k-stock:1 k-tool:2 k-used:4", (1, 2)),
    );
    let both = (
        "a b c d",
        "h1 h2 h3",
        "k-stock:1 k-tool:2 k-used:10",
        (11, 15),
    );
    says(&["w2", "w1"], &[], both);
    let list = care.compose(&["w2", "w1"], &[]);
    assert_eq!(list.works, ["w1", "w2"]);
    assert_eq!(list.tags, ["t1", "t2"]);
    assert_eq!(list.not, ["It cures nothing."], "said once");
    assert_eq!(list.ends, ["Here.", "And there."]);
}

#[test]
fn a_run_says_where_each_step_is_from_and_how_much_stands_behind_it() {
    let care = care();
    let run = Run::start(&care, &care.compose(&["w1"], &[]), 5);
    assert_eq!(
        run.list[0].from,
        "A guide, page 2; A standard (from memory)"
    );
    assert_eq!(run.list[1].from, "common practice, no source");
    assert_eq!((run.version, run.started, run.list.len()), (3, 5, 2));
    assert_eq!(run.list[0].phase, "First phase");
    let words = care.source_words(&care.steps[0].from);
    assert_eq!(words[0].basis, Basis::Seen);
    assert_eq!(words[1].basis, Basis::Memory);
}

#[test]
fn words_point_to_works_as_whole_words_in_any_case() {
    let care = care();
    let ids =
        |text: &str| -> Vec<String> { care.propose(text).iter().map(|w| w.id.clone()).collect() };
    assert_eq!(ids("OPEN fuse."), ["w1", "w2"]);
    assert_eq!(ids("the Fuse is open"), ["w2"]);
    assert_eq!(ids("Part"), ["w1"]);
    assert!(ids("parts refused").is_empty());
}

/// Who must tell of a fault.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Told {
    /// By the schema: the loader takes only what it knows.
    Schema,
    /// By the loader: the schema sees one file at a time.
    Loader(&'static str),
    /// By both.
    Both(&'static str),
}

/// One place of a file changed, or taken out with `null`.
fn broken(file: usize, place: &str, value: &Value) -> [(&'static str, String); 7] {
    let mut files = SMALL.map(|(name, text)| (name, text.to_owned()));
    let mut all: Value = serde_json::from_str(SMALL[file].1).unwrap();
    let (parent, key) = place.rsplit_once('/').unwrap();
    let parent = all.pointer_mut(parent).unwrap();
    match (parent, value) {
        (Value::Object(map), Value::Null) => assert!(map.remove(key).is_some(), "{place}"),
        (Value::Object(map), value) => drop(map.insert(key.to_owned(), value.clone())),
        (Value::Array(list), value) => list[key.parse::<usize>().unwrap()] = value.clone(),
        _ => panic!("{place}"),
    }
    files[file].1 = all.to_string();
    files
}

#[test]
fn each_fault_is_told_by_the_schema_or_the_loader() {
    use Told::{Both, Loader, Schema};
    let validator = schema();
    for (name, text) in SMALL {
        assert!(
            validator.is_valid(&serde_json::from_str(text).unwrap()),
            "{name}"
        );
    }
    let no_source = Both("neither a source nor the mark");
    let gone = json!(null);
    let faults = [
        // Nothing without a source or the mark.
        (1, "/hazards/0/from", gone.clone(), no_source),
        (4, "/works/0/from", json!([]), no_source),
        (5, "/steps/1/from", json!([]), no_source),
        (5, "/steps/1/from", json!(["s9"]), Loader("names s9")),
        (
            4,
            "/works/1/from",
            json!(["common", "x"]),
            Loader("names x"),
        ),
        // Nothing that is not there.
        (2, "/tags/0/hazards", json!(["h9"]), Loader("names h9")),
        (2, "/tags/0/implies", json!(["t9"]), Loader("names t9")),
        (4, "/works/0/involves", json!(["t9"]), Loader("names t9")),
        (4, "/works/0/kit", json!([["k9", 1]]), Loader("names k9")),
        (5, "/steps/0/kit", json!([["k9", 1]]), Loader("names k9")),
        (5, "/steps/1/hazards", json!(["h9"]), Loader("names h9")),
        (5, "/steps/1/when", json!(["x"]), Loader("names x")),
        (6, "/steps/0/also", json!(["x"]), Loader("names x")),
        (6, "/steps/1/unless", json!(["x"]), Loader("names x")),
        (5, "/steps/0/guards", json!(["x"]), Loader("names x")),
        (5, "/steps/0/guards", json!(["phase:x"]), Loader("names x")),
        // Nothing twice.
        (0, "/sources/1/id", json!("s1"), Loader("is there twice")),
        (1, "/hazards/1/id", json!("h1"), Loader("is there twice")),
        (2, "/tags/1/id", json!("t1"), Loader("is there twice")),
        (3, "/kit/1/id", json!("k-tool"), Loader("is there twice")),
        (4, "/works/1/id", json!("w1"), Loader("is there twice")),
        (6, "/steps/1/id", json!("a"), Loader("is there twice")),
        (6, "/phase", json!("p1"), Loader("is there twice")),
        // Hold points.
        (5, "/steps/0/hold", json!("Wait."), Both("begins with")),
        (
            5,
            "/steps/0/hold",
            gone.clone(),
            Both("firm without being a hold point"),
        ),
        (
            5,
            "/steps/0/hold",
            gone.clone(),
            Both("guards something without"),
        ),
        (5, "/steps/0/firm", json!(false), Schema),
        (5, "/steps/0/guards", json!([]), Schema),
        // Words, numbers, kinds.
        (5, "/steps/1/do", json!("  "), Both("has no do")),
        (5, "/steps/1/why", gone.clone(), Both("has no why")),
        (5, "/name", gone.clone(), Both("has no name")),
        (4, "/works/0/not", json!(["", "x"]), Schema),
        (4, "/works/0/not", json!([1]), Both("no text")),
        (4, "/works/0/ends", json!("x"), Both("is no list")),
        (3, "/kit/0/kind", json!("toy"), Both("kind is none of")),
        (
            0,
            "/sources/0/basis",
            json!("felt"),
            Both("neither seen nor"),
        ),
        (0, "/version", json!(0), Schema),
        (0, "/version", json!("3"), Both("no whole number")),
        (5, "/steps/1/minutes", json!([2]), Both("no whole number")),
        (
            5,
            "/steps/1/minutes",
            json!([2, 1]),
            Loader("run backwards"),
        ),
        (
            5,
            "/steps/1/minutes",
            json!([-1, 1]),
            Both("no whole number"),
        ),
        (5, "/steps/0/kit", json!([["k-tool", 0]]), Schema),
        (5, "/steps/0/kit", json!("k-tool"), Schema),
        (5, "/steps/0/timer/seconds", json!(0), Schema),
        (
            5,
            "/steps/0/timer/seconds",
            json!(1.5),
            Both("no whole number"),
        ),
        (5, "/steps/0/timer/name", gone.clone(), Both("has no name")),
        (5, "/steps/0/sum", json!("charge"), Schema),
        (5, "/steps/1/when", json!([]), Loader("never applies")),
        // A misspelt key says nothing, so it must not pass.
        (5, "/steps/1/holds", json!("Do not go on until x."), Schema),
        (1, "/hazards/0/todo", json!(["x"]), Schema),
        (2, "/tags/0/asks", json!(true), Schema),
        (3, "/kit/0/units", json!("x"), Schema),
        (4, "/works/0/involve", json!(["t1"]), Schema),
        (0, "/sources/0/page", json!("2"), Schema),
        (5, "/stepps", json!([]), Schema),
        (5, "/phase", gone, Schema),
    ];
    for (file, place, value, told) in faults {
        let files = broken(file, place, &value);
        let by_schema = !validator.is_valid(&serde_json::from_str(&files[file].1).unwrap());
        let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (*n, t.as_str())).collect();
        let loaded = Care::load(&files);
        let what = format!("{} {place} = {value}", SMALL[file].0);
        assert_eq!(by_schema, !matches!(told, Loader(_)), "schema: {what}");
        if let Loader(message) | Both(message) = told {
            let problems = loaded.unwrap_err();
            let found = problems.iter().any(|p| p.message.contains(message));
            assert!(found, "{what}: {problems:#?}");
            assert!(problems.iter().all(|p| !p.file.is_empty()), "{what}");
        }
    }
}
