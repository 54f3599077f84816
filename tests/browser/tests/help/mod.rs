//! What the tests of the read place share: the demonstration logs with their
//! expected readings, a paste through the real clipboard, and what the page
//! shows after it.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use browser_tests::{Outcome, Page, Value, json, on_desktop, on_phone};

mod logs;

#[allow(unused_imports, reason = "as above")]
pub use logs::{Log, log, logs};

/// What the page shows of a reading.
#[derive(Debug)]
pub struct Shown {
    /// The line above everything.
    pub summary: String,
    /// The codes of the entries, from the top.
    pub codes: Vec<String>,
    /// The same in the other order.
    pub as_pasted: Vec<String>,
}

/// A test at phone size after which nothing may have left the site.
#[track_caller]
pub fn phone(test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    on_phone(async |page| {
        test(page).await?;
        stayed(page).await
    });
}

/// The same at desktop size.
#[track_caller]
pub fn desktop(test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    on_desktop(async |page| {
        test(page).await?;
        stayed(page).await
    });
}

async fn stayed(page: &mut Page) -> Outcome {
    let beyond = page.requests_beyond().await?;
    anyhow::ensure!(beyond.is_empty(), "left the site: {beyond:#?}");
    Ok(())
}

/// Lets the page use the clipboard, as a person does when the browser asks.
pub async fn allow_clipboard(page: &mut Page) -> Outcome {
    let origin = page.server().origin();
    let leave = json!({ "origin": origin, "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
    page.cdp("Browser.grantPermissions", leave).await?;
    Ok(())
}

/// Puts a text on the clipboard and taps **Paste**, then waits for the result.
pub async fn paste(page: &Page, text: &str) -> Outcome {
    mark_old(page).await?;
    page.run(
        "return navigator.clipboard.writeText(arguments[0])",
        &[json!(text)],
    )
    .await?;
    page.tap("button", "Paste").await?;
    result(page).await
}

/// Marks the result shown now, so that the next one can be told from it.
pub async fn mark_old(page: &Page) -> Outcome {
    page.run(
        "document.querySelectorAll('ol.paste').forEach((l) => { l.dataset.old = '1' })",
        &[],
    )
    .await
    .map(drop)
}

/// Taps what has this role and name after bringing it to the middle of the
/// screen, as a person scrolls before tapping.
pub async fn tap(page: &Page, role: &str, name: &str) -> Outcome {
    let found = page.find(role, name).await?;
    let middle = "arguments[0].scrollIntoView({ block: 'center', behavior: 'instant' })";
    // The element may be drawn anew in between; the tap itself looks again.
    drop(page.driver().execute(middle, vec![found.to_json()?]).await);
    page.tap(role, name).await
}

/// Waits for a result that is not marked as old, drawn to its end.
pub async fn result(page: &Page) -> Outcome {
    page.wait_true(
        "a new result",
        "return !!document.querySelector('ol.paste:not([data-old])')",
    )
    .await?;
    settle(page).await
}

/// Waits until what the app draws a frame later is drawn as well.
pub async fn settle(page: &Page) -> Outcome {
    let frames = "const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
        return frame().then(frame).then(frame)";
    page.run(frames, &[]).await.map(drop)
}

/// The summary line.
pub async fn summary(page: &Page) -> anyhow::Result<String> {
    let text = page
        .run("return document.querySelector('#summary').innerText", &[])
        .await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// The summary and the entries in both orders. It leaves them newest first.
pub async fn shown(page: &Page) -> anyhow::Result<Shown> {
    let script = "const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
        const codes = () => [...document.querySelectorAll('ol.entries > li .code')].map((c) => c.innerText);
        const turn = (n) => document.querySelectorAll('input[name=entry-order]')[n]?.click();
        const first = codes();
        turn(1);
        await frame(); // The list follows the choice a moment later.
        const second = codes();
        turn(0);
        await frame();
        return [first, second]";
    let both = page
        .run(&format!("return (async () => {{ {script} }})()"), &[])
        .await?;
    Ok(Shown {
        summary: summary(page).await?,
        codes: texts(&both[0]),
        as_pasted: texts(&both[1]),
    })
}

/// The texts in a list that a script gave.
pub fn texts(list: &Value) -> Vec<String> {
    let list = list.as_array().map_or(&[][..], Vec::as_slice);
    list.iter()
        .map(|t| t.as_str().unwrap_or_default().to_owned())
        .collect()
}

/// What differs between a log's expected reading and the page, or nothing.
pub fn differs(log: &Log, shown: &Shown) -> Option<String> {
    let mut wrong = Vec::new();
    if shown.as_pasted != log.codes() {
        wrong.push(format!("as pasted: expected {:?}", log.codes()));
    }
    if let Some(newest) = log.newest_first().filter(|n| *n != shown.codes) {
        wrong.push(format!("newest first: expected {newest:?}"));
    }
    // Both ways: nothing left out, and no count of something that isn't there.
    let wanted = log.summary_has();
    for phrase in &wanted {
        let there = shown.summary.split(", ").any(|p| p == phrase)
            || wanted.len() == 1 && shown.summary.starts_with(phrase);
        if !there {
            wrong.push(format!("summary: {phrase:?} is missing"));
        }
    }
    for word in [
        "guess to",
        "guesses to",
        "confirmed by",
        "incomplete",
        "can't be read",
        "does not fit",
        "do not fit",
    ] {
        if shown.summary.contains(word) && !wanted.iter().any(|w| w.contains(word)) {
            wrong.push(format!("summary: {word:?} should not be there"));
        }
    }
    (!wrong.is_empty()).then(|| format!("{}: {wrong:#?}\nshown: {shown:#?}", log.name))
}

/// Puts a demonstration log into the box and waits for its result.
pub async fn read_log(page: &mut Page, number: &str) -> Outcome {
    allow_clipboard(page).await?;
    page.open("/read").await?;
    paste(page, &log(number).text).await
}

/// Fingers on the screen, at these places: `touchStart`, `touchMove`, `touchEnd`.
pub async fn touch(page: &Page, kind: &str, at: &[(f64, f64)]) -> Outcome {
    let points: Vec<_> = at
        .iter()
        .enumerate()
        .map(|(id, (x, y))| json!({ "x": x, "y": y, "id": id }))
        .collect();
    let event = json!({ "type": kind, "touchPoints": points });
    page.cdp("Input.dispatchTouchEvent", event).await?;
    Ok(())
}
