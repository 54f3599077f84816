//! A big notebook, put into the app's database by a script in the page, and
//! times measured in the page from an act to the frame that shows what came of
//! it.

use browser_tests::{Outcome, Page, Value, json};
use std::time::Duration;

const FILL: &str = include_str!("many.js");

/// In every page from its start on: waiting for something to be there, and for
/// the frame after it. `cold` is when the list of consoles was drawn, from the
/// start of the navigation on.
const WATCH: &str = "
    window.framed = () => new Promise((done) => requestAnimationFrame(() => {
        const port = new MessageChannel();
        port.port1.onmessage = () => done(performance.now());
        port.port2.postMessage(0);
    }));
    window.there = (is) => new Promise((done) => {
        if (is()) return done();
        const watch = new MutationObserver(() => {
            if (!is()) return;
            watch.disconnect();
            done();
        });
        watch.observe(document, { childList: true, subtree: true, characterData: true, attributes: true });
    });
    window.took = async (act, is) => {
        const from = performance.now();
        act();
        await there(is);
        return await framed() - from;
    };
    window.listed = () => !!document.querySelector('main ul.consoles li.record');
    window.cold = there(listed).then(framed);
    window.says = (words) => document.querySelector('main')?.textContent.includes(words);
    window.press = (name) => [...document.querySelectorAll('main button')].find((b) => b.textContent.trim() === name).click();
";

/// How big the notebook is.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Consoles, with two jobs each.
    pub consoles: u32,
    /// Readings of 24 to 64 entries.
    pub readings: u32,
    /// Photos of some 150 KB.
    pub photos: u32,
    /// Records in all.
    pub records: u32,
}

/// Opens the app and fills its notebook. Gives what the script tells of it.
pub async fn fill(page: &mut Page, size: Size) -> anyhow::Result<Value> {
    page.before_load(WATCH).await?;
    let patience = Duration::from_secs(110);
    page.driver().set_script_timeout(patience).await?;
    page.open("/consoles").await?;
    page.sees("The notebook is empty").await?;
    page.ready_offline().await?;
    let sizes = [size.consoles, size.readings, size.photos, size.records];
    page.run(FILL, &sizes.map(|n| json!(n))).await
}

/// Milliseconds that a script in the page gives.
pub async fn ms(page: &Page, script: &str) -> anyhow::Result<f64> {
    let took = page.run(script, &[]).await?;
    took.as_f64()
        .ok_or_else(|| anyhow::anyhow!("no time was measured: {took}"))
}

/// Takes everything out of the database.
pub async fn empty(page: &Page) -> Outcome {
    let script = "return new Promise((done, failed) => {
        const asked = indexedDB.open('faultleaf');
        asked.onsuccess = () => {
            const names = [...asked.result.objectStoreNames];
            const tx = asked.result.transaction(names, 'readwrite');
            names.forEach((name) => tx.objectStore(name).clear());
            tx.onabort = () => failed(tx.error);
            tx.oncomplete = () => { asked.result.close(); done(); };
        };
    })";
    page.run(script, &[]).await.map(drop)
}

/// How many records and photos the database holds.
pub async fn held(page: &Page) -> anyhow::Result<(u64, u64)> {
    let script = "return new Promise((done, failed) => {
        const asked = indexedDB.open('faultleaf');
        asked.onsuccess = () => {
            const tx = asked.result.transaction(['records', 'photos']);
            const counts = ['records', 'photos'].map((name) => tx.objectStore(name).count());
            tx.onabort = () => failed(tx.error);
            tx.oncomplete = () => { asked.result.close(); done(counts.map((c) => c.result)); };
        };
    })";
    let found = page.run(script, &[]).await?;
    let count = |at: usize| found[at].as_u64().unwrap_or_default();
    Ok((count(0), count(1)))
}

/// Prints times as their middle and their worst.
pub fn told(what: &str, times: &[f64], target: f64) {
    let mut times = times.to_vec();
    times.sort_by(f64::total_cmp);
    let (low, high) = (times.len().saturating_sub(1) / 2, times.len() / 2);
    let (Some(worst), Some(low), Some(high)) = (times.last(), times.get(low), times.get(high))
    else {
        return;
    };
    let middle = low.midpoint(*high);
    let (unit, by, digits) = if target >= 5000.0 {
        ("s", 1000.0, 1)
    } else {
        ("ms", 1.0, 0)
    };
    println!(
        "{what}: middle {:.digits$} {unit}, worst {:.digits$} {unit} of {} (target {:.0} {unit})",
        middle / by,
        worst / by,
        times.len(),
        target / by
    );
}
