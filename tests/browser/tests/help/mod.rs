//! What the tests of the read place share: the demonstration logs with their
//! expected readings, a paste through the real clipboard, and what the page
//! shows after it.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use browser_tests::{Outcome, Page, Value, json, on_desktop, on_phone};
use std::path::PathBuf;

/// A demonstration log and what a careful person reads in it.
pub struct Log {
    /// The file's name without its ending.
    pub name: String,
    /// The text, as the app decodes a file.
    pub text: String,
    /// The expected reading.
    pub expected: Value,
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-logs")
}

/// One demonstration log, by the number its name starts with.
pub fn log(number: &str) -> Log {
    let mut all = logs();
    all.retain(|l| l.name.starts_with(number));
    assert_eq!(all.len(), 1, "demonstration log {number}");
    all.remove(0)
}

/// All demonstration logs, by name.
pub fn logs() -> Vec<Log> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let Some(name) = name.strip_suffix(".expected.json") else {
            continue;
        };
        let expected = std::fs::read(&path).unwrap();
        let text = std::fs::read(folder().join(format!("{name}.txt"))).unwrap();
        out.push(Log {
            name: name.to_owned(),
            text: decode(&text),
            expected: serde_json::from_slice(&expected).unwrap(),
        });
    }
    out.sort_by(|a, b| a.name.cmp(&b.name));
    out
}

/// UTF-16 with its mark, else UTF-8 with marks for what isn't.
fn decode(bytes: &[u8]) -> String {
    let units = |make: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..]
            .chunks_exact(2)
            .map(|c| make([c[0], c[1]]))
            .collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xFF, 0xFE, ..] => units(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => units(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

impl Log {
    fn list(&self, key: &str) -> &[Value] {
        self.expected[key].as_array().map_or(&[], Vec::as_slice)
    }

    /// The codes of the entries, as they stand in the paste.
    pub fn codes(&self) -> Vec<String> {
        self.list("entries").iter().map(code).collect()
    }

    /// The same, newest first, where the log says it for every entry of one console.
    pub fn newest_first(&self) -> Option<Vec<String>> {
        let mut all = Vec::new();
        for e in self.list("entries") {
            if e["console"] != 1 {
                return None;
            }
            all.push((e["order"].as_u64()?, code(e)));
        }
        all.sort_by_key(|(order, _)| std::cmp::Reverse(*order));
        Some(all.into_iter().map(|(_, code)| code).collect())
    }

    /// The phrases the summary line must have, and numbers of nothing else.
    pub fn summary_has(&self) -> Vec<String> {
        let entries = self.list("entries");
        let n = entries.len();
        if n == 0 {
            return vec!["No log entries".to_owned()];
        }
        let consoles = entries.iter().filter_map(|e| e["console"].as_u64()).max();
        let mut first = many(n, "entry", "entries");
        if let Some(c) = consoles.filter(|c| *c > 1) {
            first = format!("{first} of {c} consoles");
        }
        let mut out = vec![first];
        let guesses: Vec<&Value> = entries
            .iter()
            .flat_map(|e| e["guesses"].as_array().unwrap())
            .collect();
        let open = guesses
            .iter()
            .filter(|g| g["confirmed_by"].is_null())
            .count();
        let check_wrong = entries
            .iter()
            .filter(|e| e["fields"]["check_ok"] == false)
            .count();
        let incomplete = entries.iter().filter(|e| e["complete"] == false).count();
        for (n, one, more) in [
            (open, "guess to confirm", "guesses to confirm"),
            (
                guesses.len() - open,
                "guess confirmed by the check field",
                "guesses confirmed by the check field",
            ),
            (
                check_wrong,
                "check field that does not fit",
                "check fields that do not fit",
            ),
            (incomplete, "incomplete", "incomplete"),
            (
                self.list("unreadable").len(),
                "line that can't be read for sure",
                "lines that can't be read for sure",
            ),
        ] {
            if n > 0 {
                out.push(many(n, one, more));
            }
        }
        out
    }
}

fn code(entry: &Value) -> String {
    entry["fields"]["code"]
        .as_str()
        .unwrap_or("no code")
        .to_owned()
}

fn many(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

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
