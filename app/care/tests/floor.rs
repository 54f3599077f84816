//! What must not fall out of the data unseen. Common practice, no source: a list
//! by hand, so that a careless edit of the data fails here and not at a bench.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{Care, Step};

fn care() -> Care {
    Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn step<'a>(care: &'a Care, id: &str) -> &'a Step {
    let found = care.steps.iter().find(|s| s.id == id);
    found.unwrap_or_else(|| panic!("{id} is gone"))
}

#[test]
fn proof_of_0_v_mains_earth_and_cells_are_firm_holds() {
    let care = care();
    for id in [
        "o-mains",
        "un-mains",
        "co-mains",
        "o-zero",
        "o-cell",
        "p-off",
        "h-cell-out",
        "b-earth",
        "a-off",
    ] {
        let step = step(&care, id);
        assert!(step.hold.is_some() && step.firm, "{id}");
    }
}

/// A hold point that guards nothing can be moved behind what it is for, and no
/// test of the order would tell.
#[test]
fn each_hold_point_guards_something() {
    let care = care();
    for step in care.steps.iter().filter(|s| s.hold.is_some()) {
        assert!(!step.guards.is_empty(), "{}", step.id);
    }
    // Some that the order of the files alone would not keep.
    for (id, guarded) in [
        ("o-zero", "phase:work"),
        ("p-level", "p-wire"),
        ("p-short", "p-power"),
        ("p-live", "p-power"),
        ("p-off", "phase:heat"),
        ("i-limit", "i-feed"),
        ("h-cell-out", "h-warm"),
        ("h-cell-out", "i-feed"),
        ("fl-read", "fl-fit"),
        ("fl-read", "fl-write"),
        ("b-iron-off", "b-clean"),
        ("b-rails", "phase:first"),
        ("b-hand", "phase:first"),
        ("a-off", "phase:clean"),
    ] {
        let guards = &step(&care, id).guards;
        assert!(guards.iter().any(|g| g == guarded), "{id}: {guards:?}");
    }
}

/// No tag is only a word: it brings a step, a hazard, or more of them.
#[test]
fn each_tag_is_used_by_a_step_or_brings_a_hazard() {
    let care = care();
    for tag in &care.tags {
        let names = |s: &Step| {
            [&s.when, &s.also, &s.unless]
                .into_iter()
                .any(|l| l.contains(&tag.id))
        };
        let used = care.steps.iter().any(names) || !tag.hazards.is_empty();
        assert!(used, "{}", tag.id);
        let in_work = care.works.iter().any(|w| w.involves.contains(&tag.id));
        let implied = care.tags.iter().any(|t| t.implies.contains(&tag.id));
        assert!(tag.ask || in_work || implied, "{} can't come up", tag.id);
    }
}

#[test]
fn what_a_tag_stands_for_brings_its_hazards() {
    let care = care();
    for (tag, hazards) in [
        (
            "opening",
            &["stored-charge", "esd", "children", "kitchen"][..],
        ),
        ("port", &["logic-level", "back-power", "grounding", "live"]),
        ("mains", &["mains"]),
        ("cell", &["lithium", "children"]),
        ("iron", &["burn", "fume", "fire", "lead"]),
        ("air", &["burn", "fume", "fire", "plastic-heat", "ceilings"]),
        ("preheat", &["burn", "warp", "ceilings"]),
        ("low-melt", &["low-melt", "alloy-mix"]),
        ("polymer", &["caps-heat"]),
        ("solvent", &["solvent", "fire"]),
        ("old-part", &["moisture"]),
        ("cutting", &["eyes"]),
        ("optical", &["laser"]),
    ] {
        // Of the tag itself and of what comes with it, not of its steps.
        let list = care.compose(&[], &[tag]);
        let own = care.tags.iter().filter(|t| list.tags.contains(&t.id));
        let own: Vec<&String> = own.flat_map(|t| &t.hazards).collect();
        for hazard in hazards {
            let listed = own.iter().any(|h| *h == hazard);
            assert!(listed, "{tag} does not bring {hazard}");
        }
    }
}

#[test]
fn works_that_take_an_iron_say_so() {
    let care = care();
    let ids: Vec<&str> = care.works.iter().map(|w| w.id.as_str()).collect();
    for id in [
        "cap-bank",
        "fuse",
        "regulator",
        "connector",
        "flash",
        "new-cell",
        "reflow",
        "big-chip",
        "undo",
    ] {
        let work = care.works.iter().find(|w| w.id == id);
        let work = work.unwrap_or_else(|| panic!("{id} is gone: {ids:?}"));
        assert!(work.involves.iter().any(|t| t == "iron"), "{id}");
    }
}
