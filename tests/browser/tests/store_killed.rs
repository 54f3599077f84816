//! A tab or the whole browser dies in the middle of a save: at every single
//! step of it. Afterwards the notebook holds all of the save or nothing of it,
//! and all of it when the save was acknowledged.

#[path = "help/hand.rs"]
mod hand;

use browser_tests::{Outcome, Page, Value};
use hand::{hand, on_suite, open, right, rows};
use std::time::{Duration, Instant};

/// Stops the page for ever at one step of the save, counted from one, after it
/// told the server. A page that waits in a request to the server could still be
/// ended in order; one that runs in circles can only be killed. It begins a
/// little later, so that the driver is done with this script by then.
const STOP: &str = "let n = 0;
    const step = (name) => {
        if (++n !== at) return;
        const told = new XMLHttpRequest();
        told.open('GET', `/stopped?${at}-${name}`, false);
        told.send();
        for (;;) {}
    };
    const watch = (kind, method) => {
        const real = kind.prototype[method];
        kind.prototype[method] = function (...all) {
            step(`before-${method}`);
            const made = real.apply(this, all);
            step(`after-${method}`);
            if (method === 'get') made.addEventListener('success', () => step('got'));
            if (method === 'transaction') made.addEventListener('complete', () => step('complete'));
            return made;
        };
    };
    watch(IDBDatabase, 'transaction'); watch(IDBObjectStore, 'get'); watch(IDBObjectStore, 'put');
    watch(IDBObjectStore, 'delete'); watch(IDBTransaction, 'commit');
    setTimeout(async () => { await a.save(['1', '2', '3'], 'second', ['old']); step('acknowledged'); step('end'); }, 200);";

const BEFORE: [&str; 3] = ["1|note|c|first", "2|note|c|first", "old|note|c|first"];
const AFTER: [&str; 3] = ["1|note|c|second", "2|note|c|second", "3|note|c|second"];

/// Puts the notebook into the state before, then stops the page at a step.
/// Gives the name of the step.
async fn stop_at(page: &mut Page, at: usize) -> anyhow::Result<String> {
    open(page).await?;
    hand(page, "a", false).await?;
    right(
        page,
        "await a.wipe(); await a.save(['1', '2', 'old'], 'first', [])",
    )
    .await?;
    right(page, &format!("const at = {at}; {STOP}")).await?;
    let start = Instant::now();
    loop {
        let told = format!("GET /stopped?{at}-");
        let asked = page.server().asked();
        if let Some(name) = asked.iter().rev().find_map(|a| a.strip_prefix(&told)) {
            return Ok(name.to_owned());
        }
        anyhow::ensure!(start.elapsed() < Duration::from_secs(10), "no step {at}");
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

/// Whether the save is there; an error when there is a part of it.
async fn saved(page: &Page) -> anyhow::Result<bool> {
    open(page).await?;
    hand(page, "a", false).await?;
    let rows = rows(page, "a").await?;
    let photo = right(page, "return await a.photo()").await?;
    let whole = |state: &[&str], text: &str| rows == state && photo == Value::from(text);
    let (before, after) = (whole(&BEFORE, "first"), whole(&AFTER, "second"));
    anyhow::ensure!(
        before != after,
        "half a save: {rows:?} with the photo {photo}"
    );
    Ok(after)
}

fn check(first: usize, steps: &[(String, bool)]) -> Outcome {
    for (n, (name, saved)) in steps.iter().enumerate() {
        let there = if *saved { "all of it" } else { "nothing of it" };
        println!("killed at step {} ({name}): {there}", first + n);
    }
    // Nothing is acknowledged before the browser says that it is on the disk.
    let at = |wanted: &str| steps.iter().position(|(name, _)| name == wanted);
    assert!(at("complete").is_some() && at("complete") < at("acknowledged"));
    for (name, saved) in steps {
        match name.as_str() {
            "complete" | "acknowledged" | "end" => assert!(saved, "lost at {name}"),
            // Where the browser was already asked to commit, both may be.
            "after-commit" => {}
            _ => assert!(!saved, "written too early, at {name}"),
        }
    }
    Ok(())
}

#[test]
fn a_tab_killed_at_any_step_of_a_save_leaves_all_of_it_or_nothing() {
    on_suite(async |page| {
        let mut steps = Vec::new();
        loop {
            let at = steps.len() + 1;
            let stop = async |page: &mut Page| stop_at(page, at).await;
            let name = page.in_killed_tab(stop).await?;
            let saved = saved(page).await?;
            let last = name == "end";
            steps.push((name, saved));
            if last {
                break;
            }
        }
        check(1, &steps)?;
        // One transaction, three reads, four writes, one removal, the commit.
        assert!(steps.len() > 20, "{}", steps.len());
        Ok(())
    });
}

#[test]
fn a_browser_killed_around_the_commit_keeps_what_was_acknowledged() {
    on_suite(async |page| {
        let mut steps = Vec::new();
        let first = 20;
        loop {
            let name = stop_at(page, first + steps.len()).await?;
            page.kill_browser().await?;
            let saved = saved(page).await?;
            let last = name == "end";
            steps.push((name, saved));
            if last {
                break;
            }
        }
        check(first, &steps)?;
        assert!(steps.iter().any(|(name, _)| name == "before-commit"));
        Ok(())
    });
}
