//! The bench for everyone: the accessibility checker on all its pages, large
//! text, a narrow screen, long texts, keys only.

#[path = "help/bench.rs"]
mod bench;
mod help;
#[path = "help/looks.rs"]
mod looks;
#[path = "help/notebook.rs"]
mod notebook;

use bench::{begin, choose, holds, shown, step_on, to_hold, to_timer};
use browser_tests::{Outcome, Page, json};
use help::{phone, settle, tap};
use looks::{AsyncLook, fine, fits, key, tab_to, unfold_all};
use notebook::{new_console, says, unfold, write};

const NO_STORAGE_WORDS: &str = "Opening the notebook";

/// Brings the bench into all its states, one after the other, and has each
/// looked at.
async fn all_pages(page: &Page, look: &mut dyn AsyncLook) -> Outcome {
    page.open("/bench").await?;
    page.sees_no(NO_STORAGE_WORDS).await?;
    look.look(page, "the bench").await?;
    for path in ["cautions", "charge"] {
        page.open(&format!("/bench/{path}")).await?;
        settle(page).await?;
        look.look(page, path).await?;
    }
    page.open("/bench/run/none").await?;
    page.sees("There is no checklist at this address").await?;
    look.look(page, "no checklist").await?;
    page.open("/bench/new").await?;
    page.find("heading", "Kinds of work").await?;
    look.look(page, "nothing chosen").await?;
    choose(page, &["Replace a fuse", "Reflow or reball"]).await?;
    look.look(page, "a choice").await?;
    begin(page, &["Replace a fuse"]).await?;
    look.look(page, "a step").await?;
    page.reload().await?;
    to_timer(page).await?;
    tap(page, "button", "Start the timer").await?;
    look.look(page, "a timer").await?;
    page.reload().await?;
    to_hold(page).await?;
    look.look(page, "a hold point").await?;
    page.reload().await?;
    settle(page).await?;
    tap(page, "checkbox", "I have checked this myself").await?;
    look.look(page, "a hold point that is ticked").await?;
    page.reload().await?;
    settle(page).await?;
    // What keeps a person alive is never skipped.
    unfold(page, "Skip this step").await?;
    page.sees("This one is never skipped.").await?;
    look.look(page, "a hold point that is never skipped")
        .await?;
    page.reload().await?;
    settle(page).await?;
    while holds(page).await? {
        step_on(page).await?;
    }
    unfold(page, "Skip this step").await?;
    tap(page, "button", "Done before").await?;
    settle(page).await?;
    tap(page, "button", "Back").await?;
    page.sees("Skipped: Done before").await?;
    look.look(page, "a skipped step").await?;
    page.reload().await?;
    settle(page).await?;
    for part in ["All steps", "On paper"] {
        tap(page, "link", part).await?;
        settle(page).await?;
        look.look(page, part).await?;
    }
    tap(page, "link", "All steps").await?;
    tap(page, "button", "End it here").await?;
    page.sees("Ended, and kept").await?;
    look.look(page, "an ended checklist").await?;
    page.open("/bench").await?;
    page.sees("Ended").await?;
    look.look(page, "the bench with a checklist").await
}

#[test]
fn every_page_of_the_bench_in_light_and_dark() {
    phone(async |page| {
        let mut n = 0;
        let mut look = async |page: &Page, what: &str| {
            n += 1;
            for theme in ["light", "dark"] {
                page.prefers("prefers-color-scheme", theme).await?;
                settle(page).await?;
                fine(page, &format!("{what}, {theme}")).await?;
                page.shot(&format!("bench-{theme}-{n:02}")).await?;
            }
            Ok(())
        };
        all_pages(page, &mut look).await
    });
}

#[test]
fn large_text_and_a_narrow_screen_hide_nothing_of_the_bench() {
    phone(async |page| {
        let mut n = 0;
        let mut look = async |page: &Page, what: &str| {
            n += 1;
            unfold_all(page).await?;
            page.text_size(2.0).await?;
            settle(page).await?;
            fits(page, &format!("{what} at 200 %")).await?;
            page.shot(&format!("bench-large-{n:02}")).await?;
            page.text_size(1.0).await?;
            let narrow =
                json!({ "width": 320, "height": 640, "deviceScaleFactor": 2, "mobile": true });
            page.cdp("Emulation.setDeviceMetricsOverride", narrow)
                .await?;
            settle(page).await?;
            fits(page, &format!("{what} at 320 px")).await?;
            let phone =
                json!({ "width": 390, "height": 844, "deviceScaleFactor": 2, "mobile": true });
            page.cdp("Emulation.setDeviceMetricsOverride", phone)
                .await?;
            settle(page).await
        };
        all_pages(page, &mut look).await
    });
}

#[test]
fn long_words_do_not_make_the_bench_wider() {
    phone(async |page| {
        let long = "Gehäusedeckelschraube".repeat(8);
        new_console(page, &long, "").await?;
        write(page, "Add", "Job", &[("What is wrong", &long)]).await?;
        tap(page, "link", "Begin a checklist").await?;
        choose(page, &["Renew thermal paste"]).await?;
        fine(page, "a long job").await?;
        tap(page, "button", "Start").await?;
        shown(page, 1).await?;
        unfold(page, "Note or photo").await?;
        page.paste_into("Note on this step", &"x".repeat(600))
            .await?;
        unfold(page, "Skip this step").await?;
        notebook::fill(page, "Another reason", &long).await?;
        fine(page, "a long note").await?;
        tap(page, "button", "Skip it for this reason").await?;
        shown(page, 2).await?;
        tap(page, "link", "All steps").await?;
        page.sees("Skipped: Geh").await?;
        fine(page, "long reasons").await?;
        tap(page, "link", "On paper").await?;
        page.sees("Print or save as PDF").await?;
        fits(page, "on paper").await
    });
}

#[test]
fn a_checklist_by_keys_only() {
    phone(async |page| {
        page.open("/bench").await?;
        page.find("link", "Begin a checklist").await?;
        tab_to(page, "Begin a checklist").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "Kinds of work").await?;
        tab_to(page, "Renew thermal paste").await?;
        key(page, " ").await?;
        page.find("button", "Start").await?;
        tab_to(page, "Start").await?;
        key(page, "\u{e007}").await?;
        shown(page, 1).await?;
        // The focus is on the step's text, so that a screen reader reads it; the
        // space bar goes on from there.
        let focus = "return document.activeElement.id";
        page.wait_true(
            "the focus on the step",
            "return document.activeElement.id === 'step-text'",
        )
        .await?;
        key(page, " ").await?;
        shown(page, 2).await?;
        tab_to(page, "Skip this step").await?;
        key(page, "\u{e007}").await?;
        tab_to(page, "Done before").await?;
        key(page, "\u{e007}").await?;
        shown(page, 3).await?;
        for n in 4..=5 {
            page.wait_true(
                "the focus on the step",
                "return document.activeElement.id === 'step-text'",
            )
            .await?;
            key(page, " ").await?;
            shown(page, n).await?;
        }
        loop {
            // A key that comes before the focus would tick the box at once.
            page.wait_true(
                "the focus on a step or a box",
                "return ['step-text', 'hold-tick'].includes(document.activeElement.id)",
            )
            .await?;
            if page.run(focus, &[]).await? == json!("hold-tick") {
                break;
            }
            // At a hold point the key leads to its box.
            key(page, " ").await?;
            settle(page).await?;
            settle(page).await?;
        }
        key(page, " ").await?;
        tab_to(page, "It holds. Go on").await?;
        key(page, "\u{e007}").await?;
        page.wait_true(
            "the next step",
            "return document.activeElement.id === 'step-text'",
        )
        .await?;
        tab_to(page, "All steps").await?;
        key(page, "\u{e007}").await?;
        says(page, &["1 skipped", "Skipped: Done before"]).await?;
        // And one step more, by the list.
        tab_to(page, "Go on").await?;
        key(page, "\u{e007}").await?;
        step_on(page).await
    });
}
