//! The page of the store's tests, and calling what it offers.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use browser_tests::{Outcome, Page, Value, json, on_desktop};
use packager::places::Places;
use std::path::PathBuf;

fn folder() -> PathBuf {
    let named = std::env::var_os("FAULTLEAF_SUITE").map(PathBuf::from);
    let folder = named.unwrap_or_else(|| Places::here().suite());
    assert!(
        folder.join("suite_bg.wasm").is_file(),
        "the page of the store's tests is not in {}; run `cargo run -p packager -- suite` first",
        folder.display()
    );
    folder
}

/// A test on the page of the store's tests.
#[track_caller]
pub fn on_suite(test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    let folder = folder();
    on_desktop(async |page| {
        page.server().switch(&folder);
        open(page).await?;
        test(page).await?;
        // Such as a promise that was refused and nobody looked.
        let log = page.log().await?;
        let uncaught = log.iter().filter(|line| line.contains("Uncaught"));
        anyhow::ensure!(uncaught.count() == 0, "the browser says: {log:#?}");
        Ok(())
    });
}

/// Opens the page, in the tab that is in front.
pub async fn open(page: &Page) -> Outcome {
    page.go("/").await?;
    page.wait_true("the suite", "return !!window.suite").await
}

/// Runs a script that may wait, and gives what it returns, or what it throws.
pub async fn run(page: &Page, script: &str) -> anyhow::Result<Result<Value, String>> {
    let whole = format!(
        "const done = arguments[arguments.length - 1];
        (async () => {{ {script} }})().then(
            (v) => done({{ right: v === undefined ? null : v }}), (e) => done({{ wrong: String(e) }}))"
    );
    let answer = page.driver().execute_async(&whole, Vec::new()).await?;
    let answer = answer.json();
    Ok(match answer.get("wrong").and_then(Value::as_str) {
        Some(wrong) => Err(wrong.to_owned()),
        None => Ok(answer.get("right").cloned().unwrap_or_default()),
    })
}

/// The same where nothing may be thrown.
pub async fn right(page: &Page, script: &str) -> anyhow::Result<Value> {
    run(page, script)
        .await?
        .map_err(|e| anyhow::anyhow!("{e}, thrown by {script}"))
}

/// The same where a fault with this name must be thrown.
pub async fn wrong(page: &Page, script: &str, fault: &str) -> Outcome {
    let answer = run(page, script).await?;
    anyhow::ensure!(
        answer == Err(fault.to_owned()),
        "{answer:?} instead of {fault}, from {script}"
    );
    Ok(())
}

/// A hand on the database `faultleaf`, as `name` in later scripts.
pub async fn hand(page: &Page, name: &str, newer: bool) -> Outcome {
    let script = format!("window.{name} = new suite.Hand('faultleaf', {newer})");
    right(page, &script).await.map(drop)
}

/// The rows that a hand finds, as `id|kind|console|body`.
pub async fn rows(page: &Page, name: &str) -> anyhow::Result<Vec<String>> {
    list(page, &format!("return await {name}.rows()")).await
}

/// What a hand's person was told.
pub async fn events(page: &Page, name: &str) -> anyhow::Result<Vec<String>> {
    list(page, &format!("return {name}.events()")).await
}

/// The list of texts that a script gives.
pub async fn list(page: &Page, script: &str) -> anyhow::Result<Vec<String>> {
    let found = right(page, script).await?;
    Ok(serde_json::from_value(found)?)
}

/// The origin's room for stored data: some bytes, or as much as usual.
pub async fn room(page: &mut Page, bytes: Option<u64>) -> Outcome {
    let mut what = json!({ "origin": page.server().origin() });
    if let (Some(bytes), Some(map)) = (bytes, what.as_object_mut()) {
        map.insert("quotaSize".to_owned(), json!(bytes));
    }
    page.cdp("Storage.overrideQuotaForOrigin", what)
        .await
        .map(drop)
}
