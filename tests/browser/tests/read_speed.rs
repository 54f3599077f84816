//! How long a paste takes on a slow phone, and that a very long one leaves the
//! page alive.

mod help;

use browser_tests::{Page, json};
use help::{phone, result, settle, shown, summary};
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
    // An empty box before each, so that the summary line surely changes.
    page.run(PUT, &[json!("")]).await?;
    page.wait_true(
        "an empty page",
        "return document.querySelector('#summary').textContent === ''",
    )
    .await?;
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

/// Notes the longest time between two frames, and where the long ones were.
const FRAMES: &str = "window.longest = 0;
    window.frames_over = [];
    let before = performance.now();
    const frame = (now) => {
        const wait = now - before;
        window.longest = Math.max(window.longest, wait);
        if (wait > 100) window.frames_over.push([Math.round(wait), document.querySelector('progress')?.value ?? null]);
        before = now;
        requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);";

/// Puts a text into the box the way `MEASURE` does, and waits for nothing.
const PUT: &str = "const box = document.querySelector('#log-text');
    box.value = arguments[0];
    box.dispatchEvent(new InputEvent('input', { bubbles: true, inputType: 'insertFromPaste' }));";

/// Notes every percentage that the page shows, and taps **Cancel** when the
/// second argument says so. In the page, as the reading may be quick.
const WATCH: &str = "const [cancel] = arguments;
    window.percents = [];
    new MutationObserver(() => {
        const bar = document.querySelector('progress');
        if (!bar) return;
        const percent = Number(bar.getAttribute('value'));
        if (window.percents.at(-1) !== percent) window.percents.push(percent);
        if (cancel && percent > 0) {
            [...document.querySelectorAll('.progress button')].find((b) => b.innerText === 'Cancel').click();
        }
    }).observe(document.querySelector('main'), { childList: true, subtree: true, attributes: true });";

#[test]
fn a_very_long_paste_can_be_stopped() {
    phone(async |page| {
        page.open("/read").await?;
        page.run(PUT, &[json!(post(12))]).await?;
        result(page).await?;
        let short = summary(page).await?;
        let long = post(20_000);
        page.run(WATCH, &[json!(true)]).await?;
        page.run(PUT, &[json!(long)]).await?;
        page.sees("Reading stopped.").await?;
        let shown = page.run("return window.percents", &[]).await?;
        assert!(
            shown
                .as_array()
                .is_some_and(|p| p.iter().all(|p| p.as_f64() < Some(100.0))),
            "{shown}"
        );
        page.wait_true(
            "the progress to go",
            "return !document.querySelector('progress')",
        )
        .await?;
        settle(page).await?;
        page.shot("stopped-phone").await?;
        // What the earlier text said must not stand below this one.
        assert_ne!(
            summary(page).await?,
            short,
            "the result of another text is still shown"
        );
        // The text is still there; a shorter one is read again.
        let length = page
            .run(
                "return document.querySelector('#log-text').value.length",
                &[],
            )
            .await?;
        assert_eq!(length.as_u64(), Some(long.len() as u64));
        page.run(PUT, &[json!(post(12))]).await?;
        page.sees(&short).await
    });
}

#[test]
fn a_very_long_paste_is_read_while_the_page_stays_alive() {
    phone(async |page| {
        page.open("/read").await?;
        page.run(FRAMES, &[]).await?;
        page.run(WATCH, &[json!(false)]).await?;
        page.run(PUT, &[json!(post(20_000))]).await?;
        let whole =
            "return document.querySelector('#summary').textContent.startsWith('19994 entries')";
        page.wait_true("the result", whole).await?;
        result(page).await?;
        let percents = page.run("return window.percents", &[]).await?;
        assert!(
            percents.as_array().is_some_and(|p| p.len() > 5),
            "progress was seen at {percents}"
        );
        let frames = page.run("return window.frames_over", &[]).await?;
        println!("20,000 lines: waits between two frames over 100 ms, as [ms, progress]: {frames}");
        let longest = page.run("return window.longest", &[]).await?;
        let longest = longest.as_f64().unwrap_or(f64::MAX);
        // Generous, for slow machines. That it is read in slices shows above.
        assert!(
            longest > 0.0 && longest < 3000.0,
            "no frame for {longest} ms"
        );
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
