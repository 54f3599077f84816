//! A checklist from the job to the record: chosen, walked through, interrupted,
//! skipped in part, ended, found again, printed.

#[path = "help/archive.rs"]
mod archive;
#[path = "help/bench.rs"]
mod bench;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use archive::{backup, catch_files, read_in, wipe};
use bench::{begin, choose, gone_on, holds, place, shown, step_on, timer, to_hold, to_timer};
use browser_tests::{Outcome, Page, json};
use help::{phone, settle, tap};
use notebook::{main_text, new_console, png, records, says, unfold, write};

/// A console with a job whose words point to a fuse.
async fn a_job(page: &Page) -> anyhow::Result<String> {
    let console = new_console(page, "Attic find", "Orrery").await?;
    let job = [("What is wrong", "No lamp, fuse F2 is open")];
    write(page, "Add", "Job", &job).await?;
    Ok(console)
}

/// Presses a key where nothing of the page has the focus.
async fn press(page: &Page, key: &str, code: u32) -> Outcome {
    page.run(
        "document.querySelector('#step-text').focus({ preventScroll: true })",
        &[],
    )
    .await?;
    for kind in ["rawKeyDown", "keyUp"] {
        let event = json!({ "type": kind, "key": key, "windowsVirtualKeyCode": code });
        page.cdp("Input.dispatchKeyEvent", event).await?;
    }
    settle(page).await
}

#[test]
fn a_checklist_from_the_job_to_its_timeline() {
    phone(async |page| {
        let console = a_job(page).await?;
        tap(page, "link", "Begin a checklist").await?;
        page.sees("No lamp, fuse F2 is open").await?;
        // The words of the job propose the work.
        tap(page, "button", "Replace a fuse").await?;
        says(
            page,
            &[
                "hold points",
                "our own estimate",
                "A new fuse does not cure what blew the old one.",
                "A mains supply stays closed.",
            ],
        )
        .await?;
        unfold(page, "All steps").await?;
        let text = main_text(page).await?;
        // Every step of the list says where it is from.
        let count = |words: &str| text.matches(words).count();
        assert!(count("From: ") > 40, "{text}");
        tap(page, "button", "Start").await?;
        shown(page, 1).await?;
        let (_, total) = place(page).await?;
        assert!(total > 40);
        // By the space bar.
        press(page, " ", 32).await?;
        shown(page, 2).await?;
        // One is skipped, and that wants a reason.
        unfold(page, "Skip this step").await?;
        tap(page, "button", "I have no tool for it").await?;
        shown(page, 3).await?;
        // A hold point is passed by no tap and by no key.
        to_hold(page).await?;
        let (hold, _) = place(page).await?;
        press(page, " ", 32).await?;
        press(page, "ArrowRight", 39).await?;
        tap(page, "button", "Hold point").await?;
        settle(page).await?;
        assert!(holds(page).await? && place(page).await?.0 == hold);
        page.shot("bench-hold").await?;
        step_on(page).await?;
        // A note and a photo on a step.
        let (noted, _) = place(page).await?;
        unfold(page, "Note or photo").await?;
        page.paste_into("Note on this step", "Reads 0.04 V").await?;
        let picture = png(page, 64, 48).await?;
        page.choose_file("#step-photo", picture.path()).await?;
        page.find("button", "Open photo").await?;
        // To the end.
        while page
            .run("return location.pathname.endsWith('/all')", &[])
            .await?
            != json!(true)
        {
            step_on(page).await?;
        }
        let told = format!("{} steps done, 1 skipped", total - 1);
        says(
            page,
            &[&told, "Skipped: I have no tool for it", "Reads 0.04 V"],
        )
        .await?;
        assert!(!main_text(page).await?.contains("still open"));
        tap(page, "button", "End the checklist").await?;
        page.sees("Ended, and kept with its steps").await?;
        // Found again in the job's timeline, with what was skipped and why.
        tap(page, "link", "Back to the console").await?;
        let in_list = format!("{} done, 1 skipped.", total - 1);
        says(page, &["Replace a fuse", &in_list, "I have no tool for it"]).await?;
        page.find("button", "Open photo").await?;
        page.shot("bench-timeline").await?;
        tap(page, "link", "Replace a fuse").await?;
        tap(page, "link", "Open the checklist").await?;
        page.sees(&told).await?;
        // On the console's sheet, too.
        page.open(&format!("/consoles/{console}/sheet")).await?;
        says(
            page,
            &["Checklist, ", "Reads 0.04 V", "I have no tool for it"],
        )
        .await?;
        // The record: of the job, with the words as they were shown.
        let all = records(page).await?;
        let run = all.iter().find(|r| r["kind"] == "run").unwrap();
        let newest = run["versions"].as_array().and_then(|v| v.last()).unwrap();
        let data = &newest["data"];
        assert_eq!(data["console"], json!(console));
        assert!(data["job"].is_string());
        let list = data["state"]["list"].as_array().unwrap();
        assert_eq!(list.len(), total);
        assert!(list[noted - 1]["photos"][0].is_string());
        assert_eq!(list[noted - 1]["note"], "Reads 0.04 V");
        assert!(
            list.iter()
                .all(|l| l["do"].is_string() && l["from"].is_string())
        );
        // Fewer versions than steps: the session writes over its own.
        let versions = run["versions"].as_array().map_or(0, Vec::len);
        assert!(versions <= 3, "{versions} versions");
        let kept = "return localStorage.getItem('faultleaf.runs')";
        let kept = page.run(kept, &[]).await?;
        assert!(kept.is_null() || kept == json!("{}"), "{kept}");
        Ok(())
    });
}

#[test]
fn an_interrupted_checklist_goes_on_at_its_step() {
    phone(async |page| {
        page.open("/bench").await?;
        page.ready_offline().await?;
        page.server().stop();
        begin(page, &["Replace a lithium cell"]).await?;
        step_on(page).await?;
        step_on(page).await?;
        step_on(page).await?;
        let at = place(page).await?;
        assert_eq!(at.0, 4);
        page.reload().await?;
        shown(page, 4).await?;
        // Left by another place, and found again on the bench.
        tap(page, "link", "Read").await?;
        tap(page, "link", "Bench").await?;
        page.sees("Under way").await?;
        tap(page, "link", "Replace a lithium cell").await?;
        shown(page, 4).await?;
        // Back shows what was done, and loses nothing.
        tap(page, "button", "Back").await?;
        shown(page, 3).await?;
        page.sees("Done, ").await?;
        tap(page, "button", "Next").await?;
        shown(page, 4).await?;
        // Not saved by a hold point yet: it is in the notebook because the page
        // was left.
        let script = "return location.pathname.split('/').at(-1)";
        let id = page.run(script, &[]).await?;
        let all = records(page).await?;
        let run = all.iter().find(|r| r["id"] == id).unwrap();
        let newest = run["versions"].as_array().and_then(|v| v.last()).unwrap();
        assert!(newest["data"]["done"].as_u64() >= Some(3), "{newest:#}");
        Ok(())
    });
}

#[test]
fn a_killed_browser_loses_no_tap() {
    phone(async |page| {
        begin(page, &["Renew thermal paste"]).await?;
        for _ in 0..3 {
            step_on(page).await?;
        }
        let script = "return location.pathname";
        let path = page.run(script, &[]).await?;
        // Three taps are in the notebook a moment later.
        let start = std::time::Instant::now();
        while records(page).await?[0]["versions"][0]["data"]["done"] != json!(3) {
            anyhow::ensure!(start.elapsed().as_secs() < 10, "the taps are not kept");
        }
        page.kill_browser().await?;
        page.open(path.as_str().unwrap_or_default()).await?;
        shown(page, 4).await
    });
}

#[test]
fn a_timer_runs_on_while_the_phone_is_locked() {
    phone(async |page| {
        page.before_load(
            "window.shaken = 0; navigator.vibrate = () => { window.shaken++; return true };
            const real = Date.now; window.ahead = Number(sessionStorage.getItem('ahead') ?? 0);
            Date.now = () => real() + window.ahead;",
        )
        .await?;
        begin(page, &["Replace a fuse"]).await?;
        to_timer(page).await?;
        assert_eq!(timer(page).await?, 600);
        tap(page, "button", "Start the timer").await?;
        page.wait_true(
            "the timer to run",
            "return document.querySelector('.timer-face').innerText < '09:59'",
        )
        .await?;
        page.shot("bench-timer").await?;
        // A minute and a half later, with the page reloaded.
        page.run("sessionStorage.setItem('ahead', 90000)", &[])
            .await?;
        page.reload().await?;
        page.find("button", "Stop the timer").await?;
        let left = timer(page).await?;
        assert!((490..=510).contains(&left), "{left} s left");
        // The screen is locked: the page is hidden, its clocks stand still, and
        // the time runs out meanwhile.
        page.run("window.ahead = 700000", &[]).await?;
        page.sees("Wait for the charge: the time is up.").await?;
        assert_eq!(timer(page).await?, 0);
        let said = "return document.querySelector('.timer [role=status]').innerText";
        assert!(
            page.run(said, &[])
                .await?
                .as_str()
                .is_some_and(|t| t.contains("time is up"))
        );
        assert_eq!(page.run("return window.shaken", &[]).await?, json!(1));
        // Opened again afterwards it is still up, and shakes no more.
        page.run("sessionStorage.setItem('ahead', 900000)", &[])
            .await?;
        page.reload().await?;
        page.sees("the time is up.").await?;
        assert_eq!(page.run("return window.shaken", &[]).await?, json!(0));
        tap(page, "button", "Stop the timer").await?;
        page.find("button", "Start the timer").await?;
        assert!(!main_text(page).await?.contains("You were away"));
        // The next morning something else comes first.
        page.run("sessionStorage.setItem('ahead', 40000000)", &[])
            .await?;
        page.reload().await?;
        page.sees("You were away for hours.").await
    });
}

/// The lock of a page that grants or refuses it; counts how often it was asked.
fn lock(grant: bool) -> String {
    format!(
        "window.asked = 0; window.released = 0;
        Object.defineProperty(navigator, 'wakeLock', {{ value: {{ request: (what) => {{
            window.asked++;
            return {grant} && what === 'screen'
                ? Promise.resolve({{ release: () => {{ window.released++; return Promise.resolve() }} }})
                : Promise.reject(new DOMException('no', 'NotAllowedError'));
        }} }} }})"
    )
}

#[test]
fn the_screen_stays_on_or_it_is_said() {
    phone(async |page| {
        page.before_load(&lock(true)).await?;
        begin(page, &["Replace a fuse"]).await?;
        page.sees("The screen stays on while this page is open.")
            .await?;
        // The browser lets go when the page is hidden; it is asked again.
        page.run("document.dispatchEvent(new Event('visibilitychange'))", &[])
            .await?;
        page.wait_true("the lock again", "return window.asked === 2")
            .await?;
        tap(page, "link", "All steps").await?;
        page.wait_true("the lock to be given back", "return window.released > 0")
            .await
    });
    phone(async |page| {
        page.before_load(&lock(false)).await?;
        begin(page, &["Replace a fuse"]).await?;
        page.sees("the browser refused to keep it on").await
    });
    phone(async |page| {
        page.before_load("Object.defineProperty(navigator, 'wakeLock', { value: undefined })")
            .await?;
        begin(page, &["Replace a fuse"]).await?;
        page.sees("this browser can't keep it on").await
    });
}

/// How many pages the print of this page has on this paper (inches), by the
/// browser's own PDF.
async fn printed(page: &Page, wide: f64, high: f64) -> anyhow::Result<(usize, Vec<u8>)> {
    let paper = json!({ "paperWidth": wide, "paperHeight": high, "printBackground": true });
    let pdf = page.cdp("Page.printToPDF", paper).await?;
    let bytes = notebook::base64(pdf["data"].as_str().unwrap_or_default())?;
    let text = String::from_utf8_lossy(&bytes).replace("/Type /Pages", "");
    Ok((text.matches("/Type /Page").count(), bytes))
}

#[test]
fn every_checklist_fits_on_two_pages_of_paper() {
    phone(async |page| {
        page.open("/bench/new").await?;
        page.find("heading", "Kinds of work").await?;
        let names = "return [...document.querySelectorAll('#works ~ .ticks label span span:first-child')].map((s) => s.innerText)";
        let names = help::texts(&page.run(names, &[]).await?);
        assert_eq!(names.len(), 12, "{names:?}");
        for name in &names {
            choose(page, &[name]).await?;
            for (wide, high) in [(8.27, 11.69), (8.5, 11.0)] {
                let (pages, pdf) = printed(page, wide, high).await?;
                assert!(
                    (1..=2).contains(&pages),
                    "{name}: {pages} pages of {wide} x {high}"
                );
                assert!(pdf.len() > 10_000, "{name}: nothing on paper");
            }
            tap(page, "checkbox", name).await?;
        }
        // Two at once may take more, and print all the same.
        choose(page, &["Replace a fuse", "Clean corrosion"]).await?;
        let (pages, _) = printed(page, 8.27, 11.69).await?;
        assert!((1..=2).contains(&pages), "{pages}");
        // On paper there are boxes and blanks, and none of the buttons.
        page.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" }))
            .await?;
        let seen = "const on = (e) => e.getBoundingClientRect().height > 0;
            return [document.querySelectorAll('.paper-row').length,
                [...document.querySelectorAll('.paper-row .blank')].filter(on).length,
                [...document.querySelectorAll('main button, nav')].filter(on).length,
                [...document.querySelectorAll('.paper b')].filter((b) => b.innerText.startsWith('HOLD')).length]";
        let found = page.run(seen, &[]).await?;
        assert_eq!(found[0], found[1], "{found}");
        assert!(
            found[0].as_u64() > Some(40) && found[3].as_u64() > Some(8),
            "{found}"
        );
        assert_eq!(found[2], 0, "{found}");
        Ok(())
    });
}

#[test]
fn a_half_done_checklist_prints_what_was_done() {
    phone(async |page| {
        begin(page, &["Renew thermal paste"]).await?;
        step_on(page).await?;
        unfold(page, "Skip this step").await?;
        tap(page, "button", "Done before").await?;
        shown(page, 3).await?;
        tap(page, "link", "On paper").await?;
        page.sees("Checklist: Renew thermal paste").await?;
        let script = "const rows = [...document.querySelectorAll('.paper-row')];
            return rows.slice(0, 3).map((r) => [r.querySelector('.paper-sign').innerText, r.innerText.includes('Skipped: Done before'), !!r.querySelector('.blank')])";
        let rows = page.run(script, &[]).await?;
        assert_eq!(
            rows,
            json!([
                ["\u{2611}", false, false],
                ["\u{2013}", true, false],
                ["\u{2610}", false, true]
            ])
        );
        let (pages, _) = printed(page, 8.27, 11.69).await?;
        assert!((1..=2).contains(&pages), "{pages}");
        Ok(())
    });
}

#[test]
fn a_run_comes_through_the_backup() {
    phone(async |page| {
        catch_files(page).await?;
        begin(page, &["Renew thermal paste"]).await?;
        to_hold(page).await?;
        step_on(page).await?;
        let (at, _) = place(page).await?;
        let path = page.run("return location.pathname", &[]).await?;
        let file = backup(page).await?;
        wipe(page).await?;
        read_in(page, &file).await?;
        page.open(path.as_str().unwrap_or_default()).await?;
        shown(page, at).await
    });
}

#[test]
fn without_any_storage_a_checklist_works_for_the_visit() {
    phone(async |page| {
        page.block_storage().await?;
        begin(page, &["Replace a fuse"]).await?;
        page.sees("This checklist is lost when you close the page.")
            .await?;
        step_on(page).await?;
        shown(page, 2).await?;
        tap(page, "link", "All steps").await?;
        page.sees("1 step done").await?;
        tap(page, "link", "Go on").await?;
        shown(page, 2).await
    });
}

#[test]
fn a_deleted_checklist_does_not_come_back() {
    phone(async |page| {
        a_job(page).await?;
        tap(page, "link", "Begin a checklist").await?;
        choose(page, &["Renew thermal paste"]).await?;
        tap(page, "button", "Start").await?;
        shown(page, 1).await?;
        step_on(page).await?;
        let path = page.run("return location.pathname", &[]).await?;
        tap(page, "link", "All steps").await?;
        tap(page, "link", "Back to the console").await?;
        tap(page, "link", "Renew thermal paste").await?;
        tap(page, "button", "Delete").await?;
        page.sees("It can be brought back for 90 days.").await?;
        page.open(path.as_str().unwrap_or_default()).await?;
        page.sees("There is no checklist at this address").await?;
        page.open("/bench").await?;
        page.sees("All cautions").await?;
        page.sees_no("Opening the notebook").await?;
        assert!(!main_text(page).await?.contains("Renew thermal paste"));
        Ok(())
    });
}

#[test]
fn cautions_are_at_hand_where_heat_is_near() {
    phone(async |page| {
        help::read_log(page, "01").await?;
        says(
            page,
            &[
                "the book also names work with heat",
                "has not been shown to be repaired",
            ],
        )
        .await?;
        tap(page, "link", "Cautions").await?;
        page.find("heading", "Mains voltage").await?;
        let text = main_text(page).await?;
        // Each caution has its source or the mark.
        let heads = "return document.querySelectorAll('main section h2').length";
        let heads = page.run(heads, &[]).await?.as_u64().unwrap_or_default();
        assert!(heads > 25, "{heads}");
        assert_eq!(text.matches("From: ").count() as u64, heads);
        // A hazard named in a list leads to its caution.
        tap(page, "link", "Lithium cells").await?;
        let top = "const h = document.querySelector('#caution-lithium').getBoundingClientRect();
            return h.top >= -2 && h.top < 300 && document.activeElement.id === 'caution-lithium'";
        page.wait_true("the caution to be in sight", top).await?;
        // Codes without work with heat say nothing of heat; the ways are there.
        let cold = help::log("01").text;
        let cold = cold.replace("44D0", "1100").replace("5E91", "E100");
        page.open("/read").await?;
        help::paste(page, &cold).await?;
        page.find("link", "Before you open it: a checklist").await?;
        assert!(!main_text(page).await?.contains("work with heat"));
        Ok(())
    });
}

#[test]
fn the_sums_for_stored_charge() {
    phone(async |page| {
        page.open("/bench/charge").await?;
        // The first values of the page are a row of the check values: 12 V down
        // to 1 V through 100 ohms from 2200 microfarads.
        says(page, &["158 mJ", "220 ms", "547 ms", "120 mA", "1.44 W"]).await?;
        for (label, text) in [
            ("Voltage now", "400"),
            ("Capacitance", "220"),
            ("Resistor", "100000"),
            ("Down to", "60"),
        ] {
            notebook::fill(page, label, text).await?;
        }
        says(
            page,
            &[
                "17.6 J",
                "22 s",
                "41.7 s",
                "4 mA",
                "1.6 W",
                "Do not work on it.",
            ],
        )
        .await?;
        notebook::fill(page, "Down to", "500").await?;
        page.sees("The target must be below the voltage now.")
            .await?;
        notebook::fill(page, "Down to", "low").await?;
        page.sees("Each field wants a number").await?;
        Ok(())
    });
}

/// Two tabs on one checklist: the one that went further is shown after both.
#[test]
fn two_tabs_do_not_undo_each_other() {
    phone(async |page| {
        begin(page, &["Renew thermal paste"]).await?;
        let path = page.run("return location.pathname", &[]).await?;
        let path = path.as_str().unwrap_or_default().to_owned();
        let first = page.driver().window().await?;
        let second = page.driver().new_tab().await?;
        page.driver().switch_to_window(second).await?;
        page.open(&path).await?;
        shown(page, 1).await?;
        step_on(page).await?;
        step_on(page).await?;
        shown(page, 3).await?;
        // The first tab takes up what the other one did when it comes back to
        // the front.
        page.driver().switch_to_window(first).await?;
        page.run("document.dispatchEvent(new Event('visibilitychange'))", &[])
            .await?;
        shown(page, 3).await?;
        tap(page, "button", "Done, next").await?;
        gone_on(page, 3).await?;
        page.reload().await?;
        shown(page, 4).await
    });
}
