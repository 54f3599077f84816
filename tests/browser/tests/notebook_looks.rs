//! The notebook for everyone: the accessibility checker on all its pages, large
//! text, narrow screens, long names, keys only, paper.

#[path = "help/archive.rs"]
mod archive;
mod help;
#[path = "help/looks.rs"]
mod looks;
#[path = "help/notebook.rs"]
mod notebook;

use archive::{look_into, read_in, stored, zip};
use browser_tests::{Outcome, Page, json};
use help::{phone, settle, tap};
use looks::{fine, fits, key, tab_to, unfold_all};
use notebook::{done, fill, new_console, saved, says, write};

const FINISHED: &str = "attic find";

async fn demo(page: &Page) -> Outcome {
    page.open("/consoles").await?;
    tap(page, "button", "Load the demonstration").await?;
    page.find("link", FINISHED).await.map(drop)
}

/// The pages of the finished demonstration console, and those beside it.
async fn pages(page: &Page) -> anyhow::Result<Vec<String>> {
    tap(page, "link", FINISHED).await?;
    page.sees("About this console").await?;
    let script = "return [location.pathname,
        ...[...document.querySelectorAll('main a.record-link, main .job h2 a, main .add-grid a')]
            .map((a) => a.getAttribute('href'))]";
    let list = page.run(script, &[]).await?;
    let mut all: Vec<String> = list
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|v| v.as_str().map(str::to_owned))
        .collect();
    let console = all[0].clone();
    let job = "return document.querySelector('main .job h2 a').getAttribute('href')";
    let job = page.run(job, &[]).await?;
    all.extend(["log", "sheet"].map(|p| format!("{console}/{p}")));
    for part in ["tell", "split"] {
        all.push(format!("{}/{part}", job.as_str().unwrap_or_default()));
    }
    all.extend(["/consoles", "/consoles/deleted", "/backup"].map(str::to_owned));
    Ok(all)
}

/// Opens a page and waits until it is drawn. None of them may be one that says
/// that there is nothing.
async fn show(page: &Page, path: &str) -> Outcome {
    page.open(path).await?;
    page.sees_no("Opening the notebook").await?;
    settle(page).await?;
    let text = page.text().await?;
    anyhow::ensure!(
        !text.contains("There is no such record") && !text.contains("Nothing here"),
        "{path} leads nowhere"
    );
    Ok(())
}

#[test]
fn every_page_of_the_notebook_in_light_and_dark() {
    phone(async |page| {
        page.open("/consoles").await?;
        fine(page, "the empty notebook").await?;
        page.shot("notebook-empty").await?;
        demo(page).await?;
        let all = pages(page).await?;
        assert!(all.len() > 15, "{all:?}");
        for theme in ["light", "dark"] {
            page.prefers("prefers-color-scheme", theme).await?;
            for (n, path) in all.iter().enumerate() {
                show(page, path).await?;
                fine(page, &format!("{path}, {theme}")).await?;
                page.shot(&format!("notebook-{theme}-{n:02}")).await?;
            }
        }
        Ok(())
    });
}

#[test]
fn large_text_and_a_narrow_screen_hide_nothing() {
    phone(async |page| {
        demo(page).await?;
        let all = pages(page).await?;
        for (n, path) in all.iter().enumerate() {
            show(page, path).await?;
            // Each load of a page begins with the usual size again.
            page.text_size(2.0).await?;
            unfold_all(page).await?;
            let size = "return parseFloat(getComputedStyle(document.querySelector('main p, main h1')).fontSize) >= 28";
            anyhow::ensure!(page.run(size, &[]).await? == true, "{path} is not large");
            fits(page, &format!("{path} at 200 %")).await?;
            page.shot(&format!("notebook-large-{n:02}")).await?;
        }
        let narrow = json!({ "width": 320, "height": 640, "deviceScaleFactor": 2, "mobile": true });
        page.cdp("Emulation.setDeviceMetricsOverride", narrow)
            .await?;
        for path in &all {
            show(page, path).await?;
            unfold_all(page).await?;
            fits(page, &format!("{path} at 320 px")).await?;
        }
        Ok(())
    });
}

#[test]
fn long_words_do_not_make_the_page_wider() {
    phone(async |page| {
        let name = "Gehäusedeckelschraube".repeat(10);
        new_console(page, &name, "Orrery (demo)").await?;
        fine(page, "a long nickname").await?;
        page.reload().await?;
        write(page, "Add", "Job", &[("What is wrong", &name)]).await?;
        let note = format!("{}\n{}", "x".repeat(400), "<b>not bold</b> ".repeat(20));
        write(page, "Add to this job", "Note", &[("Note", &note)]).await?;
        says(page, &["<b>not bold</b>"]).await?;
        fine(page, "a long note").await?;
        page.shot("notebook-long").await?;
        tap(page, "link", "Sheet to print").await?;
        page.sees("Print or save as PDF").await?;
        fits(page, "the sheet").await?;
        page.open("/consoles").await?;
        page.find("link", &name).await?;
        fine(page, "the list").await
    });
}

/// A backup of a console and a note, which somebody called `by` changed last,
/// with a file in it that is to be refused.
fn changed_by(by: &str, long: &str) -> Vec<u8> {
    let version = |rev: u32, by: &str, data| {
        let seen = if rev > 1 {
            json!([[1, "base", 0]])
        } else {
            json!([])
        };
        json!({ "rev": rev, "by": by, "seen": seen, "at": 1_770_000_000_000_i64, "data": data })
    };
    let console = json!({ "id": "c1", "kind": "console", "created": 1_770_000_000_000_i64,
        "versions": [version(1, "base", json!({ "name": long }))] });
    let note = |text: &str| json!({ "console": "c1", "note": text });
    let note = json!({ "id": "n1", "kind": "note", "created": 1_770_000_000_000_i64,
        "versions": [version(1, "base", note("Before")), version(2, by, note(&format!("{by} {long}")))] });
    zip(&[
        stored(
            "notebook.json",
            json!({ "format": 9, "made": 1_770_000_000_000_i64 }).to_string(),
        ),
        stored("consoles/x-c1/records.json", format!("[{console},{note}]")),
        stored(&format!("../{long}.txt"), "out"),
    ])
}

#[test]
fn a_backup_to_look_into_and_a_choice_between_two_texts() {
    phone(async |page| {
        let long = "Gehäusedeckelschraube".repeat(6);
        read_in(page, &changed_by("here", &long)).await?;
        let (said, _file) = look_into(page, &changed_by("there", &long)).await?;
        assert!(said.contains("1 field was changed in two ways"), "{said}");
        for theme in ["light", "dark"] {
            page.prefers("prefers-color-scheme", theme).await?;
            settle(page).await?;
            fine(page, &format!("a look into a backup, {theme}")).await?;
            page.shot(&format!("notebook-look-into-{theme}")).await?;
        }
        tap(page, "button", "Read it in").await?;
        page.sees("Read in.").await?;
        fine(page, "a backup that was read in").await?;
        for path in ["/consoles/c1", "/consoles/c1/n1"] {
            page.open(path).await?;
            page.sees("hanged in two ways").await?;
            for theme in ["light", "dark"] {
                page.prefers("prefers-color-scheme", theme).await?;
                settle(page).await?;
                fine(page, &format!("two texts on {path}, {theme}")).await?;
            }
            page.text_size(2.0).await?;
            fits(page, &format!("two texts on {path} at 200 %")).await?;
        }
        page.text_size(1.0).await?;
        tap(page, "button", "Delete").await?;
        page.sees("It can be brought back for 90 days.").await?;
        fine(page, "the word that it is deleted").await?;
        page.open("/consoles/deleted").await?;
        page.find("button", "Bring it back").await?;
        fine(page, "something deleted").await
    });
}

#[test]
fn a_console_and_a_job_by_keys_only() {
    phone(async |page| {
        page.open("/consoles").await?;
        page.find("button", "New console").await?;
        tab_to(page, "New console").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "New: console").await?;
        tab_to(page, "Nickname").await?;
        key(page, "Shelf three").await?;
        saved(page).await?;
        tab_to(page, "Done").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "Shelf three").await?;
        tab_to(page, "Add").await?;
        key(page, "\u{e007}").await?;
        tab_to(page, "Job").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "New: job").await?;
        tab_to(page, "What is wrong").await?;
        key(page, "Dead").await?;
        saved(page).await?;
        tab_to(page, "Done").await?;
        key(page, "\u{e007}").await?;
        says(page, &["Dead", "On the bench"]).await
    });
}

#[test]
fn the_sheet_is_paper_without_buttons() {
    phone(async |page| {
        demo(page).await?;
        tap(page, "link", FINISHED).await?;
        tap(page, "link", "Sheet to print").await?;
        says(page, &["Printed", "Left out: "]).await?;
        page.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" }))
            .await?;
        let script = "const seen = (e) => e.getClientRects().length > 0;
            return [...document.querySelectorAll('button, nav, input, .back')].filter(seen)
                .map((e) => e.innerText || e.tagName)";
        let seen = page.run(script, &[]).await?;
        // A photo may be on paper; it is a button on the screen.
        assert_eq!(seen, json!([]));
        page.shot("notebook-paper").await?;
        Ok(())
    });
}

/// One pass through a form in the dark, for the screenshots.
#[test]
fn a_form_tells_what_a_value_means() {
    phone(async |page| {
        new_console(page, "Blue stripe", "Orrery (demo)").await?;
        notebook::add(page, "Add", "Measurement").await?;
        fill(page, "What is measured", "Resistance").await?;
        fill(page, "Value", "4.2.1").await?;
        page.wait_true(
            "a word on the value",
            "return document.querySelector('.told.bad-words')?.innerText.length > 10",
        )
        .await?;
        fine(page, "a value that is none").await?;
        fill(page, "Value", "4k7").await?;
        says(page, &["4.7 k\u{3a9}"]).await?;
        page.shot("notebook-value").await?;
        done(page).await
    });
}
