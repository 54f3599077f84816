//! How long large tables and long logs take on a slow phone. The figures are
//! printed; no test fails for a slow machine, only for one that does not end.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use books::copy;
use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, phone};
use std::fmt::Write;

/// Rows of the table.
const ROWS: usize = 10_000;
/// Lines of the log; more are not looked at.
const LINES: usize = 400;
/// How many times slower than this machine the processor is made.
const SLOWER: f64 = 4.0;
/// What is asked for, in milliseconds.
const TARGET: f64 = 1000.0;
/// What no phone may take.
const LIMIT: f64 = 10_000.0;

/// A row of the table; all of it invented.
fn row(n: usize) -> [String; 4] {
    let what = ["rail low", "rail dipped", "no answer", "too warm"][n % 4];
    [
        format!("{:04X}", 0x1000 + n),
        format!("{:02X}", n % 19),
        format!("{what} at place {}", n / 4),
        format!("U{}, C{}", n % 40, n % 300),
    ]
}

fn html() -> String {
    let mut out =
        String::from("<table><tr><th>Code</th><th>Step</th><th>Meaning</th><th>Parts</th></tr>");
    for n in 0..ROWS {
        let cells = row(n).join("</td><td>");
        _ = write!(out, "<tr><td>{cells}</td></tr>");
    }
    out + "</table>"
}

fn csv() -> String {
    let mut out = String::from("Code;Step;Meaning;Parts\n");
    for n in 0..ROWS {
        out += &(row(n).join(";") + "\n");
    }
    out
}

fn log() -> String {
    let mut out = String::new();
    let mut time = 1_190_412_207_u64;
    for n in 0..LINES {
        time += 600 + (n as u64 * 7919) % 80_000;
        let [code, step, ..] = row(n * 37 % 97);
        let body = format!("leaf {n:04} wait {step} mark {code} at {time:08X}");
        let sum = body.bytes().fold(0_u8, |x, b| x ^ b);
        _ = writeln!(out, "{body} sum {sum:02X}");
    }
    out
}

/// A paste into the box as the browser makes one, without the wait for the real
/// clipboard; until what it gives is on the screen. `window.took` has it.
const PASTE: &str = "const [selector, kind, text, seen] = arguments;
    const data = new DataTransfer();
    data.setData(kind, text);
    const box = document.querySelector(selector);
    const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
    return (async () => {
        await frame();
        const from = performance.now();
        const event = new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true });
        if (box.dispatchEvent(event)) {
            box.value = text;
            box.dispatchEvent(new Event('input', { bubbles: true }));
        }
        while (!document.querySelector('main').innerText.includes(seen)) {
            if (performance.now() - from > 60000) return 60000;
            await frame();
        }
        return performance.now() - from;
    })()";

async fn timed(page: &Page, what: &str, given: [&str; 4]) -> anyhow::Result<f64> {
    let given = given.map(|g| json!(g));
    let took = page.run(PASTE, &given).await?;
    told(what, took.as_f64().unwrap_or(LIMIT * 2.0))
}

fn told(what: &str, took: f64) -> anyhow::Result<f64> {
    let met = if took < TARGET { "met" } else { "missed" };
    println!("{what}: {took:.0} ms (target {TARGET:.0} ms, {met})");
    anyhow::ensure!(took < LIMIT, "{what} took {took:.0} ms");
    Ok(took)
}

async fn over(page: &Page) -> Outcome {
    help::tap(page, "button", "Start over").await?;
    page.sees_no("From the tables").await
}

#[test]
fn ten_thousand_rows_on_a_slow_phone() {
    let file = tempfile::Builder::new().suffix(".csv").tempfile().unwrap();
    std::fs::write(file.path(), csv()).unwrap();
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/make").await?;
        page.ready_offline().await?;
        page.slow_down(SLOWER).await?;
        println!("{ROWS} rows, processor {SLOWER} times slower, phone size:");
        let seen = format!("From the tables: {ROWS} codes");
        for turn in 1..=3 {
            let what = format!("HTML clipboard, from the paste to the result, turn {turn}");
            timed(page, &what, ["#make-table", "text/html", &html(), &seen]).await?;
            over(page).await?;
            let what = format!("CSV text, turn {turn}");
            timed(page, &what, ["#make-table", "text/plain", &csv(), &seen]).await?;
            over(page).await?;
        }
        // A file goes the same way, with its reading before; the driver's own
        // time is in this figure.
        let from = std::time::Instant::now();
        page.choose_file("#table-file", file.path()).await?;
        page.sees(&seen).await?;
        told(
            "CSV file, with the driver's time",
            from.elapsed().as_secs_f64() * 1000.0,
        )?;
        // And the book of it.
        let from = std::time::Instant::now();
        help::tap(page, "button", "Make the book").await?;
        page.sees("10000 codes").await?;
        told(
            "The book made and shown, with the driver's time",
            from.elapsed().as_secs_f64() * 1000.0,
        )?;
        page.open("/books").await?;
        page.find("textbox", "Code or word").await?;
        page.sees("10000 codes").await?;
        let took = "const box = document.querySelector('#look-up').closest('section').querySelector('input');
            box.value = '1FFF';
            const from = performance.now();
            box.dispatchEvent(new Event('input', { bubbles: true }));
            const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
            return (async () => {
                while (!document.querySelector('main .code-row')) await frame();
                return performance.now() - from;
            })()";
        let took = page.run(took, &[]).await?;
        told(
            "A code looked up in it",
            took.as_f64().unwrap_or(LIMIT * 2.0),
        )?;
        Ok(())
    });
}

#[test]
fn a_log_of_400_lines_is_taught_on_a_slow_phone() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/make").await?;
        page.ready_offline().await?;
        page.slow_down(SLOWER).await?;
        println!("{LINES} lines, processor {SLOWER} times slower, phone size:");
        copy(page, &log()).await?;
        let paste = "const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
            const read = () => document.querySelector('main').innerText.includes('400 of 400 entries read');
            return (async () => {
                const from = performance.now();
                [...document.querySelectorAll('main button')].find((b) => b.innerText.includes('Paste the log')).click();
                while (!read()) {
                    if (performance.now() - from > 60000) return 60000;
                    await frame();
                }
                return performance.now() - from;
            })()";
        let took = page.run(paste, &[]).await?;
        told(
            "The log, from the tap to the proposal",
            took.as_f64().unwrap_or(LIMIT * 2.0),
        )?;
        let part = books::parts(page).await?;
        println!("its parts: {part:?}");
        let choose = "const select = [...document.querySelectorAll('main .teach select')][0];
            const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
            return (async () => {
                const from = performance.now();
                select.dispatchEvent(new Event('change', { bubbles: true }));
                await frame();
                return performance.now() - from;
            })()";
        let took = page.run(choose, &[]).await?;
        told("One correction", took.as_f64().unwrap_or(LIMIT * 2.0))?;
        Ok(())
    });
}
