//! The memory of this process passes the suite that every store has to pass,
//! and stores with a fault do not.
#![cfg(feature = "suite")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

#[path = "suite/faulty.rs"]
mod faulty;
#[path = "suite/wait.rs"]
mod wait;

use faulty::{Faulty, Flaw};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use wait::{slow, wait};

/// All that is wrong with a store.
fn wrong(flaw: Option<Flaw>) -> Vec<String> {
    let all: RefCell<BTreeMap<String, Rc<notebook::Memory>>> = RefCell::default();
    let open = |name: &str| {
        let memory = Rc::clone(all.borrow_mut().entry(name.to_owned()).or_default());
        std::future::ready(Faulty { memory, flaw })
    };
    let bytes = async |photo: Vec<u8>| {
        slow().await;
        photo
    };
    let all = wait(notebook::suite::run(open, <[u8]>::to_vec, bytes));
    assert!(all.len() >= 15);
    let wrong = all.into_iter().filter(|(_, outcome)| outcome.is_err());
    wrong.map(|(name, _)| name).collect()
}

#[test]
fn the_memory_passes_the_suite() {
    assert_eq!(wrong(None), [""; 0]);
}

#[test]
fn the_suite_finds_every_flaw() {
    for (flaw, name) in [
        (
            Flaw::PrefixKind,
            "rows are found by kind and by console, exactly",
        ),
        (Flaw::PageStartsAt, "paging gives each row once"),
        (Flaw::KindUnsorted, "rows come in the order of their ids"),
        (Flaw::WritesWhenRefused, "a refused change writes nothing"),
        (
            Flaw::ReadsBeforeItWaits,
            "changes at the same time each see the other's rows",
        ),
        (
            Flaw::WritesInTwo,
            "who reads during a change sees all of it or nothing",
        ),
        (
            Flaw::CutsAtZero,
            "odd and long texts come back as they were put",
        ),
        (
            Flaw::KeepsPhotos,
            "photos are kept, replaced, listed and dropped",
        ),
        (
            Flaw::SkipsMissing,
            "a change sees the rows in the order they were asked for",
        ),
        (
            Flaw::ForgetsFacts,
            "a store that is opened again has everything",
        ),
    ] {
        let found = wrong(Some(flaw));
        assert!(found.iter().any(|f| f == name), "{flaw:?}: {found:?}");
    }
}
