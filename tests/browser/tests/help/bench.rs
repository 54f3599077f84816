//! A checklist as a person works through it.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::{settle, tap};
use browser_tests::{Outcome, Page, json};

/// Chooses kinds of work on the page for that.
pub async fn choose(page: &Page, works: &[&str]) -> Outcome {
    page.find("heading", "Kinds of work").await?;
    for work in works {
        tap(page, "checkbox", work).await?;
    }
    page.find("button", "Start").await.map(drop)
}

/// Begins a checklist that belongs to no console.
pub async fn begin(page: &Page, works: &[&str]) -> Outcome {
    page.open("/bench/new").await?;
    choose(page, works).await?;
    tap(page, "button", "Start").await?;
    shown(page, 1).await
}

/// Waits until the step with this number is shown.
pub async fn shown(page: &Page, number: usize) -> Outcome {
    page.sees(&format!("step {number} of ")).await?;
    settle(page).await
}

/// The number of the step that is shown, and how many there are; waits until
/// the page of a step is there.
pub async fn place(page: &Page) -> anyhow::Result<(usize, usize)> {
    page.wait_true("a step", "return !!document.querySelector('.step-place')")
        .await?;
    let script = "const all = document.querySelector('.step-place').innerText.match(/step (\\d+) of (\\d+)/);
        return [Number(all[1]), Number(all[2])]";
    let found = page.run(script, &[]).await?;
    let n = |at: usize| usize::try_from(found[at].as_u64().unwrap_or_default());
    Ok((n(0)?, n(1)?))
}

/// Whether the step shown is a hold point that stands open.
pub async fn holds(page: &Page) -> anyhow::Result<bool> {
    Ok(page
        .run("return !!document.querySelector('#hold-tick')", &[])
        .await?
        == json!(true))
}

/// Does the step that is shown: by its button, or by what a hold point asks.
/// Waits until another one, or the page of all steps, is there.
pub async fn step_on(page: &Page) -> Outcome {
    let (before, _) = place(page).await?;
    if holds(page).await? {
        tap(page, "checkbox", "I have checked this myself").await?;
        tap(page, "button", "It holds. Go on").await?;
    } else {
        tap(page, "button", "Done, next").await?;
    }
    gone_on(page, before).await
}

/// Waits until this step is no longer the one that is shown.
pub async fn gone_on(page: &Page, before: usize) -> Outcome {
    let script = format!(
        "const place = document.querySelector('.step-place');
        return !place || !place.innerText.includes('step {before} of ')"
    );
    page.wait_true("another step", &script).await?;
    settle(page).await
}

/// Goes on until a hold point is shown.
pub async fn to_hold(page: &Page) -> Outcome {
    for _ in 0..40 {
        if holds(page).await? {
            return Ok(());
        }
        step_on(page).await?;
    }
    anyhow::bail!("no hold point in 40 steps")
}

/// Goes on until a timer is shown.
pub async fn to_timer(page: &Page) -> Outcome {
    for _ in 0..40 {
        let found = "return !!document.querySelector('.timer')";
        if page.run(found, &[]).await? == json!(true) {
            return Ok(());
        }
        step_on(page).await?;
    }
    anyhow::bail!("no timer in 40 steps")
}

/// What the timer shows, in seconds.
pub async fn timer(page: &Page) -> anyhow::Result<u64> {
    let script =
        "const [m, s] = document.querySelector('.timer-face').innerText.split(':').map(Number);
        return m * 60 + s";
    Ok(page.run(script, &[]).await?.as_u64().unwrap_or(u64::MAX))
}
