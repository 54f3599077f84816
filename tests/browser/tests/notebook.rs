//! A new user's first job in the notebook, from the log to the outcome, without
//! a connection and with a tab that dies in between.

mod help;
#[path = "help/notebook.rs"]
mod notebook;

use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, log, paste, phone, settle, tap, texts};
use notebook::{
    add, all, done, fill, here, main_text, only, png, records, saved, says, today, type_here,
    unfold, write,
};

const JOB: &str = "Add to this job";

/// The two entries that the second log has beside the first.
const NEW: [&str; 2] = [
    "slot 09  step 0B  code 6190  clock 24760000  seen 01",
    "slot 10  step 0F  code B110  clock 24760A00  seen 02",
];

/// Log 01 as it is pulled some days later, with two more entries in the ring.
/// The layout is that of `demo-logs/make/orrery.py`.
fn later_log() -> String {
    let mut text = log("01").text.replace("next slot 09", "next slot 11");
    for (slot, entry) in ["09", "10"].iter().zip(NEW) {
        let unused = format!("slot {slot}  empty");
        assert!(text.contains(&unused), "log 01 has changed");
        text = text.replace(&unused, entry);
    }
    text
}

/// The codes of the list below the heading that begins with this.
async fn codes_below(page: &Page, heading: &str) -> anyhow::Result<Vec<String>> {
    let script = "const all = [...document.querySelectorAll('main h2')];
        const own = all.find((h) => h.innerText.startsWith(arguments[0]))?.parentElement;
        return [...(own?.querySelectorAll('ol.entries .code') ?? [])].map((c) => c.innerText)";
    Ok(texts(&page.run(script, &[json!(heading)]).await?))
}

/// Reads a text and saves it with the two taps that this takes. Then opens the
/// console it was saved to.
async fn save_log(page: &Page, text: &str, to: &str) -> Outcome {
    paste(page, text).await?;
    tap(page, "button", "Save to a console").await?;
    tap(page, "button", to).await?;
    page.sees("Saved to \u{201c}").await?;
    tap(page, "link", "Open it").await?;
    page.sees("About this console").await
}

/// Everything the first part of the job adds to it.
async fn first_findings(page: &Page) -> Outcome {
    write(
        page,
        "Add",
        "Job",
        &[("What is wrong", "Stops after two seconds")],
    )
    .await?;
    says(
        page,
        &["Stops after two seconds", "On the bench, begun today"],
    )
    .await?;
    // What was there before the job is put into it.
    tap(page, "button", "Put all of this into").await?;
    page.sees_no("Put all of this into").await?;
    add(page, JOB, "Symptom").await?;
    let first = page
        .run(
            "const box = document.querySelector('fieldset input[type=checkbox]');
            box.closest('label').scrollIntoView({ block: 'center', behavior: 'instant' });
            box.click();
            return box.closest('label').innerText.trim()",
            &[],
        )
        .await?;
    for (label, value) in [
        ("Lamp", "red, three short"),
        ("Beeps", "two, then one"),
        ("Time from the button until it stops", "2.5"),
    ] {
        fill(page, label, value).await?;
    }
    done(page).await?;
    let first = first.as_str().unwrap_or_default().to_owned();
    assert!(!first.is_empty(), "the book has no symptoms");
    let more = "lamp red, three short, beeps two, then one, stops after 2.5 s";
    says(page, &[&first, more]).await
}

async fn measure(page: &Page) -> Outcome {
    add(page, JOB, "Measurement").await?;
    for (label, value) in [
        ("What is measured", "Resistance"),
        ("Where", "V_CORE coil to ground"),
        ("Value", "0.42"),
        ("Meter accuracy: % of reading", "0.8"),
        ("Meter accuracy: digits", "3"),
        ("Board", "Off, unplugged"),
    ] {
        fill(page, label, value).await?;
    }
    // 0.8 % of 0.42 is 0.0034, and three times the last digit (0.01) is 0.03:
    // together 0.0334, rounded up to two figures.
    page.sees("\u{b1} 0.034").await?;
    page.shot("notebook-measurement-phone").await?;
    done(page).await?;
    says(
        page,
        &[
            "Resistance, V_CORE coil to ground",
            "\u{b1} 0.034",
            "board off",
        ],
    )
    .await
}

async fn photograph(page: &Page) -> Outcome {
    let picture = png(page, 120, 90).await?;
    add(page, JOB, "Photo").await?;
    fill(page, "What it shows", "The board from above").await?;
    page.choose_file("#photo-itself", picture.path()).await?;
    page.find("button", "Open photo").await?;
    saved(page).await?;
    done(page).await?;
    page.sees("The board from above").await?;
    tap(page, "button", "Open photo").await?;
    page.wait_true(
        "the photo over the screen",
        "const i = document.querySelector('dialog:modal img');
        return !!i && i.complete && i.naturalWidth === 120 && i.naturalHeight === 90",
    )
    .await?;
    page.tap("button", "Close").await?;
    page.wait_true(
        "the viewer to close",
        "return !document.querySelector('dialog:modal')",
    )
    .await?;
    let kept = all(page).await?;
    let photos = kept["photos"].as_object().cloned().unwrap_or_default();
    assert_eq!(photos.len(), 1, "{:?}", photos.keys());
    let fields = only(page, "photo").await?;
    assert_eq!(
        (&fields["caption"], &fields["wide"], &fields["high"]),
        (&json!("The board from above"), &json!(120), &json!(90)),
        "{fields}"
    );
    Ok(())
}

async fn repair(page: &Page) -> Outcome {
    add(page, JOB, "Repair").await?;
    fill(
        page,
        "What was done",
        "Two capacitors of the core rail changed",
    )
    .await?;
    fill(
        page,
        "Parts",
        "C12, 470 \u{b5}F 6.3 V\nC14, 470 \u{b5}F 6.3 V",
    )
    .await?;
    fill(page, "Cost", "3.80").await?;
    done(page).await?;
    let parts = "C12, 470 \u{b5}F 6.3 V; C14, 470 \u{b5}F 6.3 V";
    says(page, &["Two capacitors of the core rail changed", parts]).await
}

async fn second_log(page: &Page) -> Outcome {
    let home = here(page).await?;
    page.open("/read").await?;
    save_log(page, &later_log(), "Attic find").await?;
    assert_eq!(here(page).await?, home, "saved to another console");
    page.sees("2 new entries since the reading before.").await?;
    page.shot("notebook-console-phone").await?;
    tap(page, "link", "See the log history").await?;
    page.sees("Since the last reading").await?;
    let new = codes_below(page, "Since the last reading").await?;
    assert_eq!(new, ["B110", "6190"]);
    // Both were written down on the day of the repair, in this order.
    assert_eq!(codes_below(page, "Since the last repair").await?, new);
    says(page, &["The whole log: 11 entries, newest first"]).await?;
    page.shot("notebook-log-phone").await?;
    tap(page, "link", "Back to the console").await?;
    page.sees("About this console").await
}

async fn close_the_job(page: &Page) -> Outcome {
    let day = today(page).await?;
    tap(page, "link", "Change, close").await?;
    for (label, value) in [
        ("Where it stands", "Closed"),
        ("Outcome", "Repaired"),
        ("Closed on", &day),
        ("Cause", "Two dried-out capacitors of the core rail"),
    ] {
        fill(page, label, value).await?;
    }
    done(page).await?;
    page.sees("Cause: Two dried-out capacitors of the core rail")
        .await?;
    write(
        page,
        JOB,
        "Look again",
        &[("Looked on", &day), ("What it showed", "Still works")],
    )
    .await?;
    page.sees("Holding since").await
}

/// Begins a note in another tab, which dies while it is being typed. `saved`
/// was acknowledged; `older` was typed half a second before the end.
async fn killed_while_typing(page: &mut Page, saved_text: &str, older: &str) -> Outcome {
    let console = here(page).await?;
    let work = async |page: &mut Page| {
        page.open(&format!("/consoles/{console}")).await?;
        add(page, JOB, "Note").await?;
        fill(page, "Note", saved_text).await?;
        saved(page).await?;
        // Half a second after the last letter the tab runs in circles, and is
        // killed. It has no chance to save anything on its way out.
        let stop = "document.activeElement.addEventListener('input', () => setTimeout(() => { for (;;) {} }, 500), { once: true })";
        page.run(stop, &[]).await?;
        type_here(page, older).await
    };
    page.in_killed_tab(work).await
}

#[test]
fn a_first_job_without_a_connection_and_with_a_tab_that_dies() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/read").await?;
        page.ready_offline().await?;
        page.server().stop();
        save_log(page, &log("01").text, "New console").await?;
        page.sees("No job yet").await?;
        tap(page, "link", "Change").await?;
        fill(page, "Nickname", "Attic find").await?;
        fill(page, "Family", "Orrery").await?;
        fill(page, "Board revision", "LW-41").await?;
        done(page).await?;
        page.sees("Attic find").await?;
        first_findings(page).await?;
        measure(page).await?;
        photograph(page).await?;
        repair(page).await?;
        second_log(page).await?;
        killed_while_typing(page, "Fan noise since the", " repair").await?;
        page.reload().await?;
        page.sees("Fan noise since the repair").await?;
        close_the_job(page).await?;
        all_is_there(page).await
    });
}

/// Everything that was saved is on the pages and in the database.
async fn all_is_there(page: &Page) -> Outcome {
    page.reload().await?;
    says(
        page,
        &[
            "Stops after two seconds",
            "Repaired, closed",
            "lamp red, three short",
            "Resistance, V_CORE coil to ground",
            "The board from above",
            "Two capacitors of the core rail changed",
            "Fan noise since the repair",
            "Looked on",
        ],
    )
    .await?;
    page.find("button", "Open photo").await?;
    unfold(page, "About this console").await?;
    says(page, &["LW-41"]).await?;
    page.shot("notebook-finished-phone").await?;
    let kinds: Vec<String> = records(page)
        .await?
        .iter()
        .map(|r| r["kind"].as_str().unwrap_or_default().to_owned())
        .collect();
    let mut kinds = kinds;
    kinds.sort();
    let wanted = [
        "console",
        "follow-up",
        "job",
        "measurement",
        "note",
        "photo",
        "reading",
        "reading",
        "repair",
        "symptom",
    ];
    assert_eq!(kinds, wanted);
    tap(page, "link", "All consoles").await?;
    page.sees("Attic find").await?;
    settle(page).await?;
    let list = main_text(page).await?;
    assert!(list.contains("Holding since"), "{list}");
    page.shot("notebook-list-phone").await?;
    Ok(())
}
