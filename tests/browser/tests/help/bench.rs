//! The bench as a person uses it: choosing works, starting a checklist, and
//! walking through it; and what this device and the notebook hold of it.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::{settle, tap};
use browser_tests::{Outcome, Page, Value, json};
use std::time::{Duration, Instant};

/// What the foot says at a step that is done by a tap.
pub const NEXT: &str = "Done, next";
/// What it says at a hold point.
pub const HOLD: &str = "Hold point";
/// The box of a hold point.
pub const TICK: &str = "I have checked this myself, just now";
/// The button that goes on from there.
pub const HOLDS: &str = "It holds. Go on";
/// The kinds of work, as they are called on the page, in its order.
pub const WORKS: [&str; 12] = [
    "Pull the log over the service port",
    "Swap a capacitor bank for single parts",
    "Replace a fuse",
    "Replace a shorted regulator or switch",
    "Replace a connector or video port",
    "Replace a flash chip",
    "Replace a lithium cell",
    "Renew thermal paste and pads",
    "Clean corrosion",
    "Reflow or reball",
    "Swap a large chip",
    "Undo somebody's earlier work",
];
/// The one that the tests use most: it is short and has timers and hold points.
pub const FUSE: &str = "Replace a fuse";

/// The step that is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Step {
    /// Its place, from one.
    pub at: usize,
    /// How many there are.
    pub of: usize,
    /// What its phase is called.
    pub phase: String,
    /// What to do.
    pub text: String,
    /// Whether it is a hold point.
    pub hold: bool,
    /// Whether it has a timer.
    pub timer: bool,
    /// What the last button by the thumb says.
    pub foot: String,
}

/// The step that is shown, once one is.
pub async fn step(page: &Page) -> anyhow::Result<Step> {
    page.wait_true("a step", "return !!document.querySelector('#step-text')")
        .await?;
    let script = "const text = (s) => document.querySelector(s)?.innerText.trim() ?? '';
        const feet = document.querySelectorAll('.run-foot button');
        return [text('.step-place'), text('#step-text'), !!document.querySelector('.hold'),
            !!document.querySelector('.timer'), feet[feet.length - 1]?.innerText.trim() ?? '']";
    let found = page.run(script, &[]).await?;
    let text = |n: usize| found[n].as_str().unwrap_or_default().to_owned();
    let place = text(0);
    let (phase, place) = place
        .split_once(" \u{b7} step ")
        .ok_or_else(|| anyhow::anyhow!("the place is told as {place:?}"))?;
    let (at, of) = place
        .split_once(" of ")
        .ok_or_else(|| anyhow::anyhow!("the place is told as {place:?}"))?;
    Ok(Step {
        at: at.parse()?,
        of: of.parse()?,
        phase: phase.to_owned(),
        text: text(1),
        hold: found[2] == true,
        timer: found[3] == true,
        foot: text(4),
    })
}

/// Ticks a kind of work, or something else that is true, by its name. Gives the
/// tick a moment to be drawn.
pub async fn choose(page: &Page, name: &str) -> Outcome {
    let script = "const tidy = (t) => t.replace(/\\s+/g, ' ').trim();
        const all = [...document.querySelectorAll('main .ticks label')];
        const found = all.find((l) => tidy(l.innerText || l.textContent).startsWith(arguments[0]));
        if (!found) return false;
        found.closest('details')?.setAttribute('open', '');
        found.scrollIntoView({ block: 'center', behavior: 'instant' });
        found.querySelector('input').click();
        return true";
    let start = Instant::now();
    while page.run(script, &[json!(name)]).await? != true {
        anyhow::ensure!(start.elapsed() < Duration::from_secs(20), "no work {name:?}");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    settle(page).await
}

/// Starts a checklist for these kinds of work, without a console. Gives its
/// address.
pub async fn start(page: &Page, works: &[&str]) -> anyhow::Result<String> {
    page.open("/bench/new").await?;
    for work in works {
        choose(page, work).await?;
    }
    begin(page).await
}

/// Taps **Start**, and waits for the first step. Gives the checklist's address.
pub async fn begin(page: &Page) -> anyhow::Result<String> {
    tap(page, "button", "Start").await?;
    step(page).await?;
    here(page).await
}

/// The path of the page.
pub async fn here(page: &Page) -> anyhow::Result<String> {
    let path = page.run("return location.pathname", &[]).await?;
    Ok(path.as_str().unwrap_or_default().to_owned())
}

/// The id in a checklist's address.
pub fn id_of(address: &str) -> &str {
    address.split('/').nth(3).unwrap_or_default()
}

/// Does something that leads to another step, and gives that one.
pub async fn moved(
    page: &Page,
    act: impl AsyncFnOnce(&Page) -> Outcome,
) -> anyhow::Result<Step> {
    let before = step(page).await?;
    act(page).await?;
    let other = format!(
        "const text = document.querySelector('#step-text')?.innerText.trim();
        return text === undefined ? /all$/.test(location.pathname) : text !== {}",
        json!(before.text)
    );
    page.wait_true(&format!("a step after {:?}", before.text), &other)
        .await?;
    if here(page).await?.ends_with("/all") {
        return Ok(Step::default());
    }
    settle(page).await?;
    step(page).await
}

/// Marks the step as done by a tap; at a hold point ticks the box and goes on.
/// Gives the next step, an empty one after the last.
pub async fn pass(page: &Page) -> anyhow::Result<Step> {
    let now = step(page).await?;
    moved(page, async |page| {
        if now.hold {
            tick(page).await?;
            tap(page, "button", HOLDS).await
        } else {
            tap(page, "button", NEXT).await
        }
    })
    .await
}

/// Ticks the box of a hold point.
pub async fn tick(page: &Page) -> Outcome {
    page.find("checkbox", TICK).await?;
    let script = "const box = document.querySelector('#hold-tick');
        box.scrollIntoView({ block: 'center', behavior: 'instant' });
        if (!box.checked) box.closest('label').click();
        return box.checked";
    anyhow::ensure!(page.run(script, &[]).await? == true, "the box stays empty");
    Ok(())
}

/// Goes on by taps until a step fits. Gives it.
pub async fn walk(page: &Page, fits: impl Fn(&Step) -> bool) -> anyhow::Result<Step> {
    let mut now = step(page).await?;
    while !fits(&now) {
        now = pass(page).await?;
        anyhow::ensure!(now.of > 0, "no such step");
    }
    Ok(now)
}

/// Goes on by taps to the end of the list. Gives the steps that were passed.
pub async fn walk_on(page: &Page) -> anyhow::Result<Vec<Step>> {
    let mut all = vec![step(page).await?];
    loop {
        let next = pass(page).await?;
        if next.of == 0 {
            return Ok(all);
        }
        all.push(next);
    }
}

/// Presses a key with the focus on the words of the step, as it is after each.
pub async fn press(page: &Page, key: &str) -> Outcome {
    let focused = "return document.activeElement?.id === 'step-text'";
    page.wait_true("the focus on the step", focused).await?;
    Ok(page.driver().active_element().await?.send_keys(key).await?)
}

/// A checklist as this device keeps it beside the notebook; null if it doesn't.
pub async fn kept(page: &Page, address: &str) -> anyhow::Result<Value> {
    let script = "return JSON.parse(localStorage.getItem('faultleaf.runs') ?? '{}')[arguments[0]] ?? null";
    page.run(script, &[json!(id_of(address))]).await
}

/// Waits until the notebook holds everything of this checklist that the device
/// holds beside it, and gives its record's fields.
pub async fn written(page: &Page, address: &str) -> anyhow::Result<Value> {
    let script = "const own = JSON.parse(localStorage.getItem('faultleaf.runs') ?? '{}')[arguments[0]];
        return !own || own.saved === own.state.turn";
    let start = Instant::now();
    while page.run(script, &[json!(id_of(address))]).await? != true {
        anyhow::ensure!(
            start.elapsed() < Duration::from_secs(20),
            "the notebook has not got it"
        );
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    super::notebook::only(page, "run").await
}

/// A note on the step that is shown.
pub async fn note(page: &Page, words: &str) -> Outcome {
    super::notebook::unfold(page, "Note or photo").await?;
    super::notebook::fill(page, "Note on this step", words).await
}

/// Skips the step that is shown for a reason of one's own. Gives the next one.
pub async fn skip(page: &Page, why: &str) -> anyhow::Result<Step> {
    moved(page, async |page| {
        super::notebook::unfold(page, "Skip this step").await?;
        super::notebook::fill(page, "Another reason", why).await?;
        tap(page, "button", "Skip it for this reason").await
    })
    .await
}

/// What a page of all steps shows: for each step the words behind its mark
/// (`Done: `, `Skipped: `, `Open: `) and all of its line.
pub async fn lines(page: &Page) -> anyhow::Result<Vec<String>> {
    page.wait_true(
        "the list of steps",
        "return document.querySelectorAll('.run-steps li').length > 0",
    )
    .await?;
    let script = "return [...document.querySelectorAll('.run-steps li')]
        .map((l) => l.textContent.replace(/\\s+/g, ' ').trim())";
    Ok(super::help::texts(&page.run(script, &[]).await?))
}
