//! How long the notebook takes with 200 consoles, 20,000 records and 500 photos
//! on a slow phone. The figures are printed; no test fails for a slow machine.

mod help;
#[path = "help/many.rs"]
mod many;

use browser_tests::{Outcome, Page, json};
use help::phone;
use many::{Size, empty, fill, held, ms, told};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// The size that the targets are given for.
const FULL: Size = Size {
    consoles: 200,
    readings: 400,
    photos: 500,
    records: 20_000,
};
/// How many times slower than this machine the processor is made.
const SLOWER: f64 = 4.0;

#[test]
fn a_notebook_of_years_on_a_slow_phone() {
    phone(async |page| {
        let about = fill(page, FULL).await?;
        println!("the notebook: {about}");
        page.slow_down(SLOWER).await?;
        println!("processor {SLOWER} times slower, phone size:");
        pages(page).await?;
        search(page).await?;
        let folder = tempfile::tempdir()?;
        let backup = backup(page, folder.path()).await?;
        import(page, &backup).await
    });
}

/// The list of consoles and the page of one, with 100 records.
async fn pages(page: &Page) -> Outcome {
    let (mut cold, mut list, mut one) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..3 {
        page.reload().await?;
        cold.push(ms(page, "return window.cold").await?);
    }
    for n in 0..7 {
        pause(page).await?;
        let open = format!(
            "const all = document.querySelectorAll('main ul.consoles a.record-link');
            return took(() => all[{n}].click(), () => !!document.querySelector('main .job ul.records li'))"
        );
        one.push(ms(page, &open).await?);
        let away = "document.querySelector('nav.places a[href=\"/read\"]').click();
            return there(() => !!document.querySelector('#log-text')).then(framed)";
        page.run(away, &[]).await?;
        pause(page).await?;
        let back = "return took(() => document.querySelector('nav.places a[href=\"/consoles\"]').click(), listed)";
        list.push(ms(page, back).await?);
    }
    told("Consoles list on screen, app open", &list, 300.0);
    told("Consoles list on screen, page loaded anew", &cold, 300.0);
    told("console page with 100 records", &one, 300.0);
    Ok(())
}

/// What a person takes at least to look, so that work left over from the page
/// before is done: the photos of a list come after its words.
async fn pause(page: &Page) -> Outcome {
    let wait = "return new Promise((done) => setTimeout(done, 700))";
    page.run(wait, &[]).await.map(drop)
}

/// Notes for each key in the search box the time from the key to the frame that
/// shows what was found, by the time the browser gave the key; and what the line
/// above the hits says, with the time since the box was gone to.
const KEYS: &str = "
    window.keys = [];
    window.said = [];
    const box = document.querySelector('#find');
    let pressed = 0;
    box.addEventListener('keydown', (event) => { pressed = event.timeStamp; });
    // Before the app's own handler: what that changes must be seen.
    document.addEventListener('input', async () => {
        const from = pressed;
        await new Promise((done) => {
            const watch = new MutationObserver(() => { watch.disconnect(); done(); });
            watch.observe(document.querySelector('main'), { childList: true, subtree: true });
        });
        keys.push(await framed() - from);
    }, { capture: true });
    box.addEventListener('focus', () => {
        const from = performance.now();
        let last = '';
        new MutationObserver(() => {
            const words = document.querySelector('main [aria-live] p.small')?.textContent ?? '';
            if (words && words !== last) said.push([Math.round(performance.now() - from), words]);
            last = words;
        }).observe(document.querySelector('main'), { childList: true, subtree: true, characterData: true });
    }, { once: true });";

async fn search(page: &Page) -> Outcome {
    let (mut first, mut during, mut whole) = (Vec::new(), Vec::new(), Vec::new());
    let (mut ready, mut emptied) = (Vec::new(), Vec::new());
    for _ in 0..2 {
        page.reload().await?;
        page.run("return window.cold", &[]).await?;
        page.run(KEYS, &[]).await?;
        let input = page.find("textbox", "Find a name").await?;
        for key in ["s", "o", "l", "d"] {
            input.send_keys(key).await?;
        }
        let done = "said.find(([, words]) => !/reading/i.test(words))";
        let what = format!("return !!{done} && keys.length === 4");
        page.wait_true("the index", &what).await?;
        whole.push(ms(page, &format!("return {done}[0]")).await?);
        first.push(ms(page, "return keys.shift()").await?);
        for _ in 0..3 {
            during.push(ms(page, "return keys.shift()").await?);
        }
        let (back, more) = (["\u{e003}"; 3], ["h", "o", "r", "t", " ", "f", "a", "n"]);
        for key in back.iter().chain(&more) {
            input.send_keys(*key).await?;
            page.wait_true("the key", "return keys.length > 0").await?;
            ready.push(ms(page, "return keys.pop()").await?);
        }
        page.sees("the first 40 are shown").await?;
        let empty = "const box = document.querySelector('#find');
            box.value = '';
            return took(() => box.dispatchEvent(new Event('input', { bubbles: true })), () => document.querySelector('main .look'))";
        emptied.push(ms(page, empty).await?);
    }
    told("search, key to result, index ready", &ready, 100.0);
    told("search, first key, index not begun", &first, 100.0);
    told("search, keys while the index is made", &during, 100.0);
    told("search, until the index is whole", &whole, 5000.0);
    told("search box emptied, list back on screen", &emptied, 300.0);
    Ok(())
}

/// Notes every value of the progress bar with the time.
const BAR: &str = "
    window.bar = [];
    window.watch?.disconnect();
    window.watch = new MutationObserver(() => {
        const bar = document.querySelector('main progress');
        if (!bar) return;
        const part = bar.value / bar.max;
        if (window.bar.at(-1)?.[1] !== part) window.bar.push([Math.round(performance.now()), part]);
    });
    window.watch.observe(document.querySelector('main'), { childList: true, subtree: true, attributes: true });";

/// The bar has moved, only forwards, and not to its end at once.
async fn moved(page: &Page) -> anyhow::Result<String> {
    let bar = page.run("return window.bar", &[]).await?;
    let steps: Vec<(f64, f64)> = bar
        .as_array()
        .into_iter()
        .flatten()
        .map(|s| (s[0].as_f64().unwrap_or(-1.0), s[1].as_f64().unwrap_or(-1.0)))
        .collect();
    assert!(steps.len() > 10, "the bar stood still: {bar}");
    let forwards = steps.windows(2).all(|w| w[0].1 < w[1].1);
    assert!(forwards, "the bar went back: {bar}");
    let longest = steps
        .windows(2)
        .map(|w| w[1].0 - w[0].0)
        .fold(0.0, f64::max);
    Ok(format!(
        "{} steps of the bar, the longest {longest:.0} ms",
        steps.len()
    ))
}

async fn backup(page: &Page, folder: &Path) -> anyhow::Result<PathBuf> {
    page.open("/backup").await?;
    let make = "return took(() => press('Make a backup'), () => bar.length > 1 && says('The file is ready.'))";
    let mut times = Vec::new();
    for _ in 0..2 {
        page.run(BAR, &[]).await?;
        times.push(ms(page, make).await?);
        println!("    backup: {}", moved(page).await?);
    }
    told("backup", &times, 10_000.0);
    let to = json!({ "behavior": "allow", "downloadPath": folder });
    page.cdp("Browser.setDownloadBehavior", to).await?;
    page.tap("button", "Save the file").await?;
    let file = downloaded(folder).await?;
    page.run("press('Make a backup')", &[]).await?;
    stop(page, "Stopped. Nothing was changed.").await?;
    assert_eq!(held(page).await?, (FULL.records.into(), FULL.photos.into()));
    Ok(file)
}

async fn downloaded(folder: &Path) -> anyhow::Result<PathBuf> {
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(60) {
        for file in std::fs::read_dir(folder)?.flatten() {
            if file.path().extension().is_some_and(|e| e == "zip") {
                println!(
                    "saved: {:.1} MB after {:.1} s",
                    file.metadata()?.len() as f64 / 1e6,
                    start.elapsed().as_secs_f64()
                );
                return Ok(file.path());
            }
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    anyhow::bail!("no file was saved")
}

/// Taps **Stop** when a part is done.
async fn stop(page: &Page, words: &str) -> Outcome {
    let part = "return there(() => document.querySelector('main progress')?.value > 0.15)";
    page.run(part, &[]).await?;
    page.tap("button", "Stop").await?;
    page.sees(words).await?;
    let gone = "return !document.querySelector('main progress')";
    page.wait_true("the bar to go", gone).await
}

async fn dry(page: &Page, file: &Path) -> anyhow::Result<f64> {
    page.run(BAR, &[]).await?;
    let watch = "document.querySelector('#backup-file').addEventListener('change', () => {
        const from = performance.now();
        window.dry = there(() => bar.length > 1 && says('What would happen')).then(framed).then((now) => now - from);
    }, { capture: true, once: true })";
    page.run(watch, &[]).await?;
    page.choose_file("#backup-file", file).await?;
    ms(page, "return window.dry").await
}

async fn import(page: &Page, file: &Path) -> Outcome {
    let all = (u64::from(FULL.records), u64::from(FULL.photos));
    let read =
        "return took(() => press('Read it in'), () => bar.length > 1 && says('To the consoles'))";
    let (mut looks, mut reads) = (Vec::new(), Vec::new());
    empty(page).await?;
    looks.push(dry(page, file).await?);
    page.run("press('Read it in')", &[]).await?;
    stop(page, "Stopped. What was read in so far stays").await?;
    let part = held(page).await?;
    assert!(part.0 > 0 && part < all, "stopped at {part:?}");
    // What was read in is known when the file is looked at again.
    dry(page, file).await?;
    // How far it came before the tap on Stop is a matter of the machine.
    let (new, same) = (all.0 - part.0, part.0);
    let counts = [(new, "new"), (same, "the same")].map(|(n, word)| format!("{n} {word}"));
    let counts: Vec<_> = counts
        .iter()
        .filter(|t| !t.starts_with("0 "))
        .cloned()
        .collect();
    page.sees(&format!("Records: {}", counts.join(", ")))
        .await?;
    for _ in 0..2 {
        empty(page).await?;
        looks.push(dry(page, file).await?);
        println!("    looking: {}", moved(page).await?);
        page.sees("Records: 20000 new").await?;
        page.sees("Photos: 500 new").await?;
        page.run(BAR, &[]).await?;
        reads.push(ms(page, read).await?);
        println!("    reading in: {}", moved(page).await?);
        assert_eq!(held(page).await?, all);
    }
    told("import, what would happen", &looks, 20_000.0);
    told("import, reading it in", &reads, 20_000.0);
    Ok(())
}
