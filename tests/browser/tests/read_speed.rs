//! How long a paste takes on a slow phone, and that a very long one leaves the
//! page alive.

mod help;

use browser_tests::{Page, json};
use help::{mark_old, phone, result, settle, shown, summary};
use std::fmt::Write;

/// A forum post of 60 lines: some talk, a header, entries with a few slips.
fn post(lines: usize) -> String {
    let mut out =
        String::from("Hi all, my Orrery stops at the fan sound. Here is the log:\n[code]\n");
    out.push_str("fault log: 24 slots, next slot 07\n");
    for n in 0..lines.saturating_sub(6) {
        let step = ["0A", "OA", "12", "08"][n % 4];
        let code = ["44D0", "44D0", "E100", "B300"][n % 4];
        let time = 0x2C8F_10B0 + n * 331;
        let slot = n % 24;
        writeln!(
            out,
            "slot {slot:02}  step {step}  code {code}  clock {time:08X}  seen 01"
        )
        .unwrap();
    }
    out.push_str("end of log\n[/code]\nThanks for any hint.\n");
    out
}

/// Puts text into the box as a paste does, and measures from the input event
/// to the frame after the summary stands there.
const MEASURE: &str = "
    const [text] = arguments;
    const box = document.querySelector('#log-text');
    const line = document.querySelector('#summary');
    box.focus();
    box.select();
    return new Promise((done) => {
        let from = 0;
        const watch = new MutationObserver(() => {
            if (!line.textContent) return;
            watch.disconnect();
            requestAnimationFrame(() => {
                const port = new MessageChannel();
                port.port1.onmessage = () => done(performance.now() - from);
                port.port2.postMessage(0);
            });
        });
        watch.observe(line, { childList: true, characterData: true, subtree: true });
        box.value = text;
        from = performance.now();
        box.dispatchEvent(new InputEvent('input', { bubbles: true, inputType: 'insertFromPaste', data: text }));
    });";

async fn measured(page: &Page, text: &str) -> anyhow::Result<f64> {
    mark_old(page).await?;
    let took = page.run(MEASURE, &[json!(text)]).await?;
    result(page).await?;
    took.as_f64()
        .ok_or_else(|| anyhow::anyhow!("no time was measured: {took}"))
}

#[test]
fn a_paste_of_sixty_lines_on_a_slow_phone() {
    phone(async |page| {
        let text = post(60);
        assert_eq!(text.lines().count(), 60);
        page.open("/read").await?;
        page.ready_offline().await?;
        page.slow_down(4.0).await?;
        page.reload().await?;
        let first = measured(page, &text).await?;
        assert!(
            summary(page).await?.starts_with("54 entries, 14 guesses"),
            "{}",
            summary(page).await?
        );
        let mut warm = Vec::new();
        for n in 0..5 {
            // Another text each time, so that nothing is the same as before.
            let text = text
                .replace("Hi all", &format!("Hi all {n}"))
                .replace("seen 01", &format!("seen 0{}", n + 2));
            warm.push(measured(page, &text).await?);
        }
        warm.sort_by(f64::total_cmp);
        page.slow_down(1.0).await?;
        let quick = measured(page, &text).await?;
        println!(
            "paste to screen, 60 lines, processor 4 times slower: first {first:.0} ms, then {:.0} to {:.0} ms (middle {:.0} ms); at full speed {quick:.0} ms",
            warm[0], warm[4], warm[2]
        );
        Ok(())
    });
}

/// Notes the longest time between two frames, until asked.
const FRAMES: &str = "window.longest = 0;
    let before = performance.now();
    const frame = (now) => { window.longest = Math.max(window.longest, now - before); before = now; requestAnimationFrame(frame); };
    requestAnimationFrame(frame);";

/// Puts a text into the box the way `MEASURE` does, and waits for nothing.
const PUT: &str = "const box = document.querySelector('#log-text');
    box.value = arguments[0];
    box.dispatchEvent(new InputEvent('input', { bubbles: true, inputType: 'insertFromPaste' }));";

#[test]
fn a_very_long_paste_shows_progress_and_can_be_stopped() {
    phone(async |page| {
        page.open("/read").await?;
        page.run(PUT, &[json!(post(12))]).await?;
        result(page).await?;
        let short = summary(page).await?;
        let long = post(20_000);
        page.slow_down(4.0).await?;
        page.run(PUT, &[json!(long)]).await?;
        page.sees("Reading a long text: ").await?;
        page.shot("progress-phone").await?;
        page.tap("button", "Cancel").await?;
        page.sees("Reading stopped.").await?;
        page.wait_true(
            "the progress to go",
            "return !document.querySelector('progress')",
        )
        .await?;
        settle(page).await?;
        // What the earlier text said must not stand below this one.
        assert_ne!(
            summary(page).await?,
            short,
            "the result of another text is still shown"
        );
        page.slow_down(1.0).await?;
        // The text is still there and can be worked on.
        let length = page
            .run(
                "return document.querySelector('#log-text').value.length",
                &[],
            )
            .await?;
        assert_eq!(length.as_u64(), Some(long.len() as u64));
        Ok(())
    });
}

#[test]
fn a_very_long_paste_is_read_while_the_page_stays_alive() {
    phone(async |page| {
        page.open("/read").await?;
        page.run(FRAMES, &[]).await?;
        page.run(PUT, &[json!(post(20_000))]).await?;
        page.sees("Reading a long text: ").await?;
        // While it is read, the page answers: another place opens and comes back.
        page.tap("link", "Books").await?;
        page.sees("A code book says").await?;
        page.tap("link", "Read").await?;
        let whole = "return document.querySelector('#summary')?.textContent.startsWith('19994 entries') === true";
        page.wait_true("the result", whole).await?;
        settle(page).await?;
        let longest = page.run("return window.longest", &[]).await?;
        let longest = longest.as_f64().unwrap_or(f64::MAX);
        println!("20,000 lines: the longest wait between two frames was {longest:.0} ms");
        assert!(longest > 0.0, "no frame was seen");
        let drawn = shown(page).await?;
        assert!(
            drawn.codes.len() < 200,
            "{} entries drawn at once",
            drawn.codes.len()
        );
        page.find("button", "Show all 19994").await?;
        page.find("button", "Show more of 20000 lines").await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}
