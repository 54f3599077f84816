//! The list of steps only grows.

use super::{RETIRED, STEPS, Step, version};

/// What has been shipped, version by version. Only add lines at the end.
const SHIPPED: [&str; 5] = [
    "1: store records by id",
    "1: records by kind",
    "1: records by console",
    "1: store photos",
    "1: store facts",
];

fn shown((version, step): &(u32, Step)) -> String {
    match step {
        Step::Store(name, Some(key)) => format!("{version}: store {name} by {key}"),
        Step::Store(name, None) => format!("{version}: store {name}"),
        Step::Index(store, field) => format!("{version}: {store} by {field}"),
    }
}

#[test]
fn shipped_steps_stay_as_they_are() {
    let now: Vec<String> = STEPS.iter().map(shown).collect();
    assert_eq!(
        now, SHIPPED,
        "a shipped step was changed, or a new one is not in the copy yet"
    );
}

#[test]
fn versions_go_up_one_by_one() {
    let mut last = 1;
    for (version, step) in STEPS {
        assert!(
            *version == last || *version == last + 1,
            "{step:?} is out of order"
        );
        last = *version;
    }
    assert_eq!(version(STEPS), last);
    assert_eq!(STEPS.first().map(|s| s.0), Some(1));
}

#[test]
fn an_index_comes_after_its_store_and_nothing_comes_twice() {
    let mut names = Vec::new();
    for (_, step) in STEPS {
        match step {
            Step::Store(name, _) => {
                assert!(!names.contains(&(*name, "")), "{name} twice");
                names.push((*name, ""));
            }
            Step::Index(store, field) => {
                assert!(names.contains(&(*store, "")), "{store} is not there yet");
                assert!(!names.contains(&(*store, *field)), "{field} twice");
                names.push((*store, *field));
            }
        }
    }
}

#[test]
fn retired_names_do_not_come_back() {
    for (_, step) in STEPS {
        let (Step::Store(name, _) | Step::Index(_, name)) = step;
        assert!(!RETIRED.contains(name), "{name} was used before");
    }
}
