//! The data files: by their schema, by the loader, and whole.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{COMMON, Care, FILES};
use serde_json::Value;
use std::collections::BTreeSet;

fn care() -> Care {
    Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// Against JSON Schema 2020-12, with a library of its own (`jsonschema`).
#[test]
fn each_file_follows_the_schema() {
    let schema: Value = serde_json::from_str(include_str!("../data/care.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for (name, text) in FILES {
        let file: Value = serde_json::from_str(text).unwrap();
        let wrong: Vec<String> = validator
            .iter_errors(&file)
            .map(|e| format!("{}: {e}", e.instance_path))
            .collect();
        assert!(wrong.is_empty(), "{name}: {wrong:#?}");
    }
}

#[test]
fn every_item_names_a_source_or_the_mark() {
    let care = care();
    let all = care.hazards.iter().map(|h| (&h.id, &h.from));
    let all = all.chain(care.steps.iter().map(|s| (&s.id, &s.from)));
    let all = all.chain(care.works.iter().map(|w| (&w.id, &w.from)));
    for (id, from) in all {
        assert!(!from.is_empty(), "{id}");
        let words = care.source_words(from);
        assert_eq!(words.len(), from.len(), "{id}");
        for (name, words) in from.iter().zip(words) {
            let said = words.text == "common practice, no source";
            assert_eq!(name == COMMON, said, "{id}: {name}");
        }
    }
    // No source is only decoration.
    for source in &care.sources {
        let used = care.hazards.iter().any(|h| h.from.contains(&source.id))
            || care.steps.iter().any(|s| s.from.contains(&source.id));
        assert!(used, "{} is named by nothing", source.id);
    }
}

/// The small set of files that the next test breaks in one place each.
const SMALL: [(&str, &str); 5] = [
    (
        "sources.json",
        r#"{"version":3,"sources":[{"id":"s1","title":"A guide","basis":"seen"}]}"#,
    ),
    (
        "hazards.json",
        r#"{"hazards":[{"id":"h1","name":"N","what":"W","do":["D"],"from":["s1"]}]}"#,
    ),
    (
        "tags.json",
        r#"{"tags":[{"id":"t1","name":"T","ask":true,"hazards":["h1"],"implies":[]}]}"#,
    ),
    (
        "works.json",
        r#"{"works":[{"id":"w1","name":"N","about":"A","involves":["t1"],"not":[],"ends":[],"words":["w"],"from":["common"]}]}"#,
    ),
    (
        "steps.json",
        r#"{"phase":"p1","name":"P","steps":[{"id":"a","when":["t1"],"do":"D","why":"W","from":["common"],"minutes":[1,2],"hold":"Do not go on until x.","guards":["b"]},{"id":"b","when":["w1"],"do":"D","why":"W","from":["s1"],"minutes":[1,2]}]}"#,
    ),
];

#[test]
fn what_is_wrong_with_a_file_is_told_with_its_place() {
    assert_eq!(Care::load(&SMALL).unwrap().version, 3);
    let breaks = [
        (
            1,
            r#","from":["s1"]"#,
            "",
            "h1",
            "neither a source nor the mark",
        ),
        (
            1,
            r#""from":["s1"]"#,
            r#""from":["s9"]"#,
            "h1",
            "names s9, which is not there",
        ),
        (
            4,
            r#""from":["common"],"#,
            "",
            "a",
            "neither a source nor the mark",
        ),
        (
            4,
            r#""guards":["b"]"#,
            r#""guards":["c"]"#,
            "a",
            "names c, which is not there",
        ),
        (
            4,
            r#""guards":["b"]"#,
            r#""guards":["phase:z"]"#,
            "a",
            "names z, which is not there",
        ),
        (
            4,
            r#""when":["w1"]"#,
            r#""when":["w2"]"#,
            "b",
            "names w2, which is not there",
        ),
        (4, r#""when":["w1"]"#, r#""when":[]"#, "b", "never applies"),
        (4, r#""id":"b""#, r#""id":"a""#, "a", "is there twice"),
        (4, "Do not go on until x.", "Wait.", "a", "begins with"),
        (
            4,
            r#""hold":"Do not go on until x.","#,
            "",
            "a",
            "without being a hold point",
        ),
        (
            4,
            r#""minutes":[1,2],"hold""#,
            r#""minutes":[3,2],"hold""#,
            "a",
            "run backwards",
        ),
        (
            2,
            r#""hazards":["h1"]"#,
            r#""hazards":["h2"]"#,
            "t1",
            "names h2, which is not there",
        ),
        (
            3,
            r#""involves":["t1"]"#,
            r#""involves":["t2"]"#,
            "w1",
            "names t2, which is not there",
        ),
        (
            0,
            r#""basis":"seen""#,
            r#""basis":"felt""#,
            "s1",
            "neither seen nor memory",
        ),
        (0, "{", "", "", "is no JSON"),
    ];
    for (file, from, to, place, message) in breaks {
        let mut files = SMALL.map(|(name, text)| (name, text.to_owned()));
        assert!(files[file].1.contains(from), "{from}");
        files[file].1 = files[file].1.replacen(from, to, 1);
        let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (*n, t.as_str())).collect();
        let problems = Care::load(&files).unwrap_err();
        let told = problems
            .iter()
            .any(|p| p.place == place && p.message.contains(message));
        assert!(told, "{from} -> {to}: {problems:#?}");
    }
}

#[test]
fn nothing_is_there_for_nothing() {
    let care = care();
    let works: Vec<&str> = care.works.iter().map(|w| w.id.as_str()).collect();
    let tags: Vec<&str> = care.tags.iter().map(|t| t.id.as_str()).collect();
    // Each step comes with some kind of work and some of the tags.
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    for work in &works {
        seen.extend(care.compose(&[work], &[]).steps);
        for tag in &tags {
            seen.extend(care.compose(&[work], &[tag]).steps);
        }
    }
    for (n, step) in care.steps.iter().enumerate() {
        assert!(seen.contains(&n), "{} never comes", step.id);
    }
    for hazard in &care.hazards {
        let used = care.tags.iter().any(|t| t.hazards.contains(&hazard.id))
            || care.steps.iter().any(|s| s.hazards.contains(&hazard.id));
        assert!(used, "{} belongs to nothing", hazard.id);
    }
    for kit in &care.kit {
        let in_step = |s: &care::Step| s.kit.iter().any(|(id, _)| *id == kit.id);
        assert!(care.steps.iter().any(in_step), "{} is for nothing", kit.id);
    }
    // A tag that can be tapped changes something.
    for tag in care.tags.iter().filter(|t| t.ask) {
        let names = |s: &care::Step| s.when.contains(&tag.id) || s.also.contains(&tag.id);
        let used = care.steps.iter().any(names) || !tag.hazards.is_empty();
        assert!(used, "{} does nothing", tag.id);
    }
}

/// What the project set out to cover: a list by hand, so that nothing falls out
/// of the data unseen.
#[test]
fn all_hazards_that_were_asked_for_are_there() {
    let care = care();
    for id in [
        "mains",
        "stored-charge",
        "lithium",
        "esd",
        "burn",
        "plastic-heat",
        "caps-heat",
        "warp",
        "ceilings",
        "lead",
        "alloy-mix",
        "low-melt",
        "fume",
        "solvent",
        "eyes",
        "kitchen",
        "children",
        "logic-level",
        "back-power",
        "grounding",
        "pads",
        "wires",
        "first-power",
        "moisture",
        "disposal",
    ] {
        let found = care.hazards.iter().find(|h| h.id == id);
        let hazard = found.unwrap_or_else(|| panic!("{id} is missing"));
        assert!(!hazard.todo.is_empty(), "{id} says nothing to do");
    }
    assert_eq!(care.works.len(), 12);
}

#[test]
fn words_of_a_job_point_to_kinds_of_work() {
    let care = care();
    let ids =
        |text: &str| -> Vec<String> { care.propose(text).iter().map(|w| w.id.clone()).collect() };
    assert_eq!(
        ids("Swap the CAPACITORS beside the chip"),
        ["cap-bank", "big-chip"]
    );
    assert_eq!(ids("fuse F4 is open"), ["fuse"]);
    assert_eq!(ids("Pull the log, by the service port"), ["pull-log"]);
    assert_eq!(ids("no picture, HDMI port bent"), ["connector"]);
    assert!(
        ids("refused to start, confused").is_empty(),
        "whole words only"
    );
    assert!(ids("").is_empty());
}
