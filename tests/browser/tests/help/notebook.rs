//! The notebook as a person uses it: making consoles and records, filling in
//! forms; and what the database of this browser holds after it.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::{settle, tap};
use browser_tests::{Outcome, Page, Value, json};
use std::time::{Duration, Instant};

/// What a form says when all of it is on the device.
pub const SAVED: &str = "Saved on this device";

/// Finds a form's control by its label, and does to it what a person does: text
/// is put in the place of what was there, a choice is chosen by its words, a
/// box is ticked or not. Gives whether there is such a control, and whether its
/// text is still to be typed.
const FILL: &str = "const [label, value] = arguments;
    const tidy = (t) => (t ?? '').replace(/\\s+/g, ' ').trim();
    const all = [...document.querySelectorAll('main input, main select, main textarea')];
    const named = (e, fits) => [...(e.labels ?? [])].some((l) => fits(tidy(l.innerText)));
    const found = all.find((e) => named(e, (t) => t === label || t.startsWith(`${label} `)))
        ?? all.find((e) => named(e, (t) => t.includes(label)));
    if (!found) {
        // A board is chosen from cards below a heading of that name.
        const heads = [...document.querySelectorAll('main legend, main .field-box > *, main p, main span')];
        if (!heads.some((h) => tidy(h.innerText) === label)) return 'none';
        const radios = [...document.querySelectorAll('main input[type=radio]')];
        const radio = radios.find((r) => named(r, (t) => t.startsWith(value)));
        radio?.click();
        return radio ? 'done' : 'none';
    }
    found.scrollIntoView({ block: 'center', behavior: 'instant' });
    if (found.type === 'checkbox') {
        if (found.checked !== (value === 'yes')) found.click();
        return 'done';
    }
    if (found.tagName === 'SELECT') {
        const option = [...found.options].find((o) => tidy(o.text) === value)
            ?? [...found.options].find((o) => tidy(o.text).includes(value));
        if (!option) return `no choice; there are ${[...found.options].map((o) => o.text)}`;
        found.value = option.value;
        found.dispatchEvent(new Event('change', { bubbles: true }));
        return 'done';
    }
    if (found.type === 'date') {
        found.value = value;
        found.dispatchEvent(new Event('input', { bubbles: true }));
        return 'done';
    }
    found.focus();
    found.select();
    return 'type';";

/// Fills in a control of the form: a text, the words of a choice, a day as
/// `2026-03-12`, or `yes` and `no` for a box.
pub async fn fill(page: &Page, label: &str, value: &str) -> Outcome {
    let given = [json!(label), json!(value)];
    let start = Instant::now();
    let mut found = page.run(FILL, &given).await?;
    // The form may just be being drawn.
    while found == "none" && start.elapsed() < Duration::from_secs(20) {
        tokio::time::sleep(Duration::from_millis(50)).await;
        found = page.run(FILL, &given).await?;
    }
    match found.as_str() {
        Some("done") => Ok(()),
        Some("type") if value.is_empty() => {
            let erase = "document.activeElement.value = '';
                document.activeElement.dispatchEvent(new Event('input', { bubbles: true }))";
            page.run(erase, &[]).await.map(drop)
        }
        Some("type") => type_here(page, value).await,
        other => anyhow::bail!("{label:?} can't be filled in with {value:?}: {other:?}"),
    }
}

/// Types where the cursor is, line breaks and all.
pub async fn type_here(page: &Page, text: &str) -> Outcome {
    page.cdp("Input.insertText", json!({ "text": text }))
        .await
        .map(drop)
}

/// Waits until the form says that all of it is saved.
pub async fn saved(page: &Page) -> Outcome {
    page.sees(SAVED).await
}

/// Waits for that, and taps **Done**.
pub async fn done(page: &Page) -> Outcome {
    saved(page).await?;
    tap(page, "button", "Done").await?;
    page.wait_true(
        "the form to be gone",
        "return ![...document.querySelectorAll('main button')].some((b) => b.innerText.trim() === 'Done')",
    )
    .await
}

/// Makes a console with a nickname and of a family (its words, or empty), and
/// goes to its page. Gives its id.
pub async fn new_console(page: &Page, name: &str, family: &str) -> anyhow::Result<String> {
    page.open("/consoles").await?;
    tap(page, "button", "New console").await?;
    fill(page, "Nickname", name).await?;
    if !family.is_empty() {
        fill(page, "Family", family).await?;
    }
    done(page).await?;
    page.sees("About this console").await?;
    here(page).await
}

/// The id of the console that the address names.
pub async fn here(page: &Page) -> anyhow::Result<String> {
    let script = "return location.pathname.split('/')[2] ?? ''";
    let id = page.run(script, &[]).await?;
    Ok(id.as_str().unwrap_or_default().to_owned())
}

/// On a console's page: begins a record of this sort, by its words.
pub async fn add(page: &Page, fold: &str, what: &str) -> Outcome {
    tap(page, "button", fold).await?;
    tap(page, "link", what).await?;
    page.find("heading", &format!("New: {}", what.to_lowercase()))
        .await?;
    settle(page).await
}

/// The same with everything filled in, until the console's page is back.
pub async fn write(page: &Page, fold: &str, what: &str, fields: &[(&str, &str)]) -> Outcome {
    add(page, fold, what).await?;
    for (label, value) in fields {
        fill(page, label, value).await?;
    }
    done(page).await
}

/// The readable text of the main part of the page.
pub async fn main_text(page: &Page) -> anyhow::Result<String> {
    let script = "return document.querySelector('main').innerText";
    let text = page.run(script, &[]).await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Waits until the main part of the page says all of this.
pub async fn says(page: &Page, all: &[&str]) -> Outcome {
    for words in all {
        page.sees(words).await?;
    }
    Ok(())
}

/// Opens the folded part with this title, if it is not open.
pub async fn unfold(page: &Page, title: &str) -> Outcome {
    let script = format!(
        "const found = [...document.querySelectorAll('main details')]
            .find((d) => d.querySelector('summary').innerText.includes({}));
        if (found) found.open = true;
        return !!found",
        json!(title)
    );
    page.wait_true(&format!("the folded part {title:?}"), &script)
        .await
}

/// Today on the device's calendar.
pub async fn today(page: &Page) -> anyhow::Result<String> {
    let script = "const d = new Date(), two = (n) => String(n).padStart(2, '0');
        return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`";
    let day = page.run(script, &[]).await?;
    Ok(day.as_str().unwrap_or_default().to_owned())
}

/// The database, opened beside the app and closed again. `BODY` stands for what
/// is done with `db`; `wait` waits for a request.
const BESIDE: &str = "const wait = (r) => new Promise((done, failed) => {
        r.onsuccess = () => done(r.result);
        r.onerror = () => failed(r.error);
    });
    return (async () => {
        const names = (await indexedDB.databases()).map((d) => d.name);
        if (!names.includes('faultleaf')) return null;
        const db = await wait(indexedDB.open('faultleaf'));
        try { BODY } finally { db.close(); }
    })();";

/// Does something with the database beside the app.
pub async fn beside(page: &Page, body: &str, given: &[Value]) -> anyhow::Result<Value> {
    page.run(&BESIDE.replace("BODY", body), given).await
}

/// All records of the database as they are kept, in the order of their ids, and
/// all photos as base64 by id.
pub async fn all(page: &Page) -> anyhow::Result<Value> {
    let body = "const rows = await wait(db.transaction('records').objectStore('records').getAll());
        const store = () => db.transaction('photos').objectStore('photos');
        const ids = await wait(store().getAllKeys());
        const photos = {};
        for (const id of ids) {
            const bytes = new Uint8Array(await (await wait(store().get(id))).arrayBuffer());
            let text = '';
            for (const b of bytes) text += String.fromCharCode(b);
            photos[id] = btoa(text);
        }
        return { rows, photos };";
    beside(page, body, &[]).await
}

/// The records that are there, each as JSON, in the order of their ids.
pub async fn records(page: &Page) -> anyhow::Result<Vec<Value>> {
    let all = all(page).await?;
    let rows = all["rows"].as_array().cloned().unwrap_or_default();
    rows.iter()
        .map(|r| {
            Ok(serde_json::from_str(
                r["body"].as_str().unwrap_or_default(),
            )?)
        })
        .collect()
}

/// The newest version's fields of the only record of this kind.
pub async fn only(page: &Page, kind: &str) -> anyhow::Result<Value> {
    let all = records(page).await?;
    let own: Vec<&Value> = all.iter().filter(|r| r["kind"] == kind).collect();
    anyhow::ensure!(own.len() == 1, "{} records of kind {kind}", own.len());
    let versions = own[0]["versions"].as_array().cloned().unwrap_or_default();
    Ok(versions
        .last()
        .map(|v| v["data"].clone())
        .unwrap_or_default())
}

/// A PNG file of this size, drawn in the page, in a folder that has to be kept.
pub async fn png(page: &Page, wide: u32, high: u32) -> anyhow::Result<tempfile::NamedTempFile> {
    let draw = "const [wide, high] = arguments;
        const canvas = document.createElement('canvas');
        [canvas.width, canvas.height] = [wide, high];
        const pen = canvas.getContext('2d');
        for (let n = 0; n < 12; n++) {
            pen.fillStyle = `hsl(${n * 30} 60% 50%)`;
            pen.fillRect((n % 4) * wide / 4, Math.floor(n / 4) * high / 3, wide / 4, high / 3);
        }
        return canvas.toDataURL('image/png').split(',')[1];";
    let data = page.run(draw, &[json!(wide), json!(high)]).await?;
    let bytes = base64(data.as_str().unwrap_or_default())?;
    let file = tempfile::Builder::new().suffix(".png").tempfile()?;
    std::fs::write(file.path(), bytes)?;
    Ok(file)
}

/// The bytes of a base64 text (RFC 4648, section 4).
pub fn base64(text: &str) -> anyhow::Result<Vec<u8>> {
    let value = |c: u8| match c {
        b'A'..=b'Z' => Ok(c - b'A'),
        b'a'..=b'z' => Ok(c - b'a' + 26),
        b'0'..=b'9' => Ok(c - b'0' + 52),
        b'+' => Ok(62),
        b'/' => Ok(63),
        _ => Err(anyhow::anyhow!("{c} is not base64")),
    };
    let mut out = Vec::new();
    for group in text.trim_end_matches('=').as_bytes().chunks(4) {
        let mut bits = 0_u32;
        for c in group {
            bits = bits << 6 | u32::from(value(*c)?);
        }
        bits <<= 6 * (4 - group.len());
        out.extend(&bits.to_be_bytes()[1..group.len()]);
    }
    Ok(out)
}
