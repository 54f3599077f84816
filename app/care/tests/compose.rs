//! Checklists from every kind of work, every pair of them, and all of it at
//! once.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{Care, Checklist};
use std::collections::BTreeSet;

fn care() -> Care {
    Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// Every kind of work alone, every pair, all; each without and with all tags.
fn cases(care: &Care) -> Vec<(Vec<&str>, Vec<&str>)> {
    let works: Vec<&str> = care.works.iter().map(|w| w.id.as_str()).collect();
    let tags: Vec<&str> = care.tags.iter().map(|t| t.id.as_str()).collect();
    let mut all: Vec<Vec<&str>> = works.iter().map(|w| vec![*w]).collect();
    for (n, one) in works.iter().enumerate() {
        for other in &works[n + 1..] {
            all.push(vec![one, other]);
        }
    }
    all.push(works.clone());
    let with_tags = all.iter().map(|w| (w.clone(), tags.clone()));
    let one_tag = works
        .iter()
        .flat_map(|w| tags.iter().map(|t| (vec![*w], vec![*t])));
    let mut cases: Vec<_> = with_tags.chain(one_tag).collect();
    cases.extend(all.iter().map(|w| (w.clone(), Vec::new())));
    assert!(cases.len() > 12 + 66 + 1);
    cases
}

/// What is wrong with a checklist, in words.
fn wrong(care: &Care, works: &[&str], tags: &[&str], list: &Checklist) -> Vec<String> {
    let mut wrong = Vec::new();
    let steps: Vec<&care::Step> = list.steps.iter().map(|n| &care.steps[*n]).collect();
    let ids: BTreeSet<&str> = steps.iter().map(|s| s.id.as_str()).collect();
    if ids.len() != steps.len() {
        wrong.push("a step comes twice".to_owned());
    }
    if !steps.is_sorted_by_key(|s| s.phase) {
        wrong.push("phases are mixed up".to_owned());
    }
    // The hazards are those of what is involved, of what comes with it, and of
    // the steps: found here in another way than in the crate.
    let mut involved: BTreeSet<&str> = tags.iter().copied().collect();
    for work in care.works.iter().filter(|w| works.contains(&w.id.as_str())) {
        involved.extend(work.involves.iter().map(String::as_str));
    }
    loop {
        let before = involved.len();
        for tag in &care.tags {
            if involved.contains(tag.id.as_str()) {
                involved.extend(tag.implies.iter().map(String::as_str));
            }
        }
        if involved.len() == before {
            break;
        }
    }
    let of_tags = care
        .tags
        .iter()
        .filter(|t| involved.contains(t.id.as_str()));
    let mut hazards: BTreeSet<&str> = of_tags
        .flat_map(|t| t.hazards.iter().map(String::as_str))
        .collect();
    for step in &steps {
        hazards.extend(step.hazards.iter().map(String::as_str));
    }
    let listed: BTreeSet<&str> = list
        .hazards
        .iter()
        .map(|n| care.hazards[*n].id.as_str())
        .collect();
    if listed != hazards || listed.len() != list.hazards.len() {
        wrong.push(format!(
            "hazards: {:?}",
            listed.symmetric_difference(&hazards)
        ));
    }
    // What a step is for is there, and no more.
    let there = |name: &String| works.contains(&name.as_str()) || involved.contains(name.as_str());
    for step in &care.steps {
        let wanted = step.when.iter().any(there)
            && step.also.iter().all(there)
            && !step.unless.iter().any(there);
        if wanted != ids.contains(step.id.as_str()) {
            wrong.push(format!("{}: wanted is {wanted}", step.id));
        }
    }
    // A hold point stands before all that it guards.
    for (at, step) in steps.iter().enumerate().filter(|(_, s)| s.hold.is_some()) {
        for guarded in &step.guards {
            let first = steps
                .iter()
                .position(|s| match guarded.strip_prefix("phase:") {
                    Some(phase) => care.phases[s.phase].id == phase,
                    None => s.id == *guarded,
                });
            if first.is_some_and(|f| f <= at) {
                wrong.push(format!("{} comes after {guarded}", step.id));
            }
        }
    }
    // The kit: counted here step by step.
    for (n, number) in &list.kit {
        let kit = &care.kit[*n];
        let own = care.works.iter().filter(|w| list.works.contains(&w.id));
        let needs: Vec<u32> = own
            .flat_map(|w| &w.kit)
            .chain(steps.iter().flat_map(|s| &s.kit))
            .filter(|(id, _)| *id == kit.id)
            .map(|(_, n)| *n)
            .collect();
        let expected = if kit.kind == "used" {
            needs.iter().sum()
        } else {
            needs.iter().copied().max().unwrap_or(0)
        };
        if *number != expected {
            wrong.push(format!("{}: {number} instead of {expected}", kit.id));
        }
    }
    let needed: BTreeSet<&str> = steps
        .iter()
        .flat_map(|s| s.kit.iter().map(|(id, _)| id.as_str()))
        .collect();
    let kit: BTreeSet<&str> = list
        .kit
        .iter()
        .map(|(n, _)| care.kit[*n].id.as_str())
        .collect();
    if !needed.is_subset(&kit) || kit.len() != list.kit.len() {
        wrong.push(format!("kit: {:?}", needed.symmetric_difference(&kit)));
    }
    let low: u32 = steps.iter().map(|s| s.minutes.0).sum();
    let high: u32 = steps.iter().map(|s| s.minutes.1).sum();
    if list.minutes != (low, high) {
        wrong.push(format!("minutes: {:?}", list.minutes));
    }
    wrong
}

#[test]
fn every_work_every_pair_and_all_of_it_give_a_sound_checklist() {
    let care = care();
    for (works, tags) in cases(&care) {
        let list = care.compose(&works, &tags);
        let wrong = wrong(&care, &works, &tags, &list);
        assert!(wrong.is_empty(), "{works:?} with {tags:?}: {wrong:#?}");
    }
}

/// Common practice, no source: what a careful technician never leaves out.
#[test]
fn each_checklist_stops_before_power_before_heat_and_before_the_first_touch() {
    let care = care();
    let phase = |id: &str| care.phases.iter().position(|p| p.id == id).unwrap();
    for (works, tags) in cases(&care) {
        let list = care.compose(&works, &tags);
        let steps: Vec<&care::Step> = list.steps.iter().map(|n| &care.steps[*n]).collect();
        let at = |id: &str| steps.iter().position(|s| s.id == id);
        let hold_before = |id: &str, before: usize| {
            let found = at(id);
            assert!(
                found.is_some_and(|f| f < before && steps[f].hold.is_some()),
                "{works:?} with {tags:?}: {id} is no hold point before step {before}"
            );
        };
        let first = |test: &dyn Fn(&care::Step) -> bool| steps.iter().position(|s| test(s));
        // 0 V is proven before anything of the board is touched.
        let touch = first(&|s| s.phase > phase("opening")).unwrap();
        hold_before("o-zero", touch);
        hold_before("o-mains", touch);
        // No cell is on the board when it gets warm, and the solder is known.
        let heat = ["iron", "air", "preheat", "chip"];
        if list.tags.iter().any(|t| heat.contains(&t.as_str())) {
            let work = first(&|s| s.phase == phase("work")).unwrap();
            hold_before("h-cell-out", work);
            hold_before("h-alloy", work);
            assert!(at("w-cool").is_some(), "{works:?}");
            // And it does not come back before the heat is over.
            for cell in ["b-cell", "ce-in"] {
                if let Some(back) = at(cell) {
                    assert!(steps[back].phase == phase("power"), "{works:?}: {cell}");
                }
            }
        }
        // A rail is fed only when no cell is on the board.
        if let Some(feed) = at("i-feed") {
            hold_before("h-cell-out", feed);
        }
        // A built-in mains supply: its earth is proven before power.
        if list.tags.iter().any(|t| t == "mains")
            && let Some(on) = first(&|s| s.phase == phase("first"))
        {
            hold_before("b-earth", on);
        }
        // The log is read again when the board is off.
        if let (Some(off), Some(log)) = (at("a-off"), at("a-log")) {
            assert!(off < log, "{works:?} with {tags:?}");
        }
        // Each repair: rails before power, and a hand at the switch.
        if works.iter().any(|w| *w != "pull-log") {
            let on = first(&|s| s.phase == phase("first")).unwrap();
            hold_before("b-rails", on);
            hold_before("b-hand", on);
            // After the last power of the day: plug out and 0 V once more.
            hold_before("a-off", first(&|s| s.phase == phase("clean")).unwrap());
        }
        if list.tags.iter().any(|t| t == "port") {
            hold_before("p-level", at("p-wire").unwrap());
            hold_before("p-short", at("p-power").unwrap());
            hold_before("p-off", first(&|s| s.phase > phase("port")).unwrap());
        }
        // Hands are washed last of all on that day.
        let last = steps.iter().rposition(|s| s.phase == phase("clean"));
        assert_eq!(at("c-hands"), last);
        // Cleaner only when the hot tools are cold.
        if let Some(clean) = at("b-clean") {
            hold_before("b-iron-off", clean);
        }
    }
}

#[test]
fn unknown_names_are_passed_over_and_the_order_of_names_is_nothing() {
    let care = care();
    assert_eq!(
        care.compose(&["no such work"], &["no such tag"]),
        Checklist::default()
    );
    assert_eq!(
        care.compose(&["fuse", "reflow"], &["cell", "port"]),
        care.compose(&["reflow", "x", "fuse", "fuse"], &["port", "cell", "y"])
    );
}

#[test]
fn a_checklist_can_be_walked_in_an_evening() {
    let care = care();
    for work in &care.works {
        let list = care.compose(&[&work.id], &[]);
        let n = list.steps.len();
        println!("{:10} {n} steps, {:?} minutes", work.id, list.minutes);
        assert!((20..=70).contains(&n), "{}: {n} steps", work.id);
        assert!(!list.ends.is_empty() && !list.not.is_empty(), "{}", work.id);
        assert!(!list.kit.is_empty() && list.minutes.0 > 0, "{}", work.id);
    }
}
