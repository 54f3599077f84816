//! The demonstration notebook, telling others, and deleting a whole console.

mod help;
#[path = "help/notebook.rs"]
mod notebook;

use help::{allow_clipboard, log, paste, phone, tap};
use notebook::{all, done, fill, main_text, new_console, records, says, unfold, write};

#[test]
fn the_demonstration_comes_and_goes_offline_without_touching_ones_own() {
    phone(async |page| {
        page.open("/consoles").await?;
        page.ready_offline().await?;
        page.server().stop();
        tap(page, "button", "Load the demonstration").await?;
        page.find("link", "attic find").await?;
        let demo = records(page).await?;
        assert!(
            demo.len() > 15
                && demo
                    .iter()
                    .all(|r| r["id"].as_str().is_some_and(|i| i.starts_with("demo-")))
        );
        new_console(page, "My own", "").await?;
        write(page, "Add", "Note", &[("Note", "Mine")]).await?;
        let own = |all: Vec<_>| -> Vec<browser_tests::Value> {
            all.into_iter()
                .filter(|r: &browser_tests::Value| {
                    !r["id"].as_str().unwrap_or_default().starts_with("demo-")
                })
                .collect()
        };
        let mine = own(records(page).await?);
        assert_eq!(mine.len(), 2);
        // Something of one's own in a console of the demonstration.
        page.open("/consoles").await?;
        tap(page, "link", "attic find").await?;
        write(
            page,
            "Add",
            "Note",
            &[("Note", "Mine in the demonstration")],
        )
        .await?;
        page.open("/consoles").await?;
        tap(page, "button", "Take the demonstration away").await?;
        page.sees_no("Some of these consoles are invented").await?;
        let left = records(page).await?;
        for record in &mine {
            assert!(left.contains(record), "{record}");
        }
        assert_eq!(left.len(), 3, "{left:#?}");
        // The added note is deleted like anything else.
        page.open("/consoles/deleted").await?;
        page.sees("Mine in the demonstration").await
    });
}

#[test]
fn a_job_told_to_others_leaves_private_things_out_and_says_so() {
    phone(async |page| {
        allow_clipboard(page).await?;
        new_console(page, "My secret name", "Orrery").await?;
        tap(page, "link", "Change").await?;
        fill(page, "Serial number", "S-778899").await?;
        fill(page, "Price paid", "41.50").await?;
        fill(page, "Where from", "A neighbour").await?;
        done(page).await?;
        write(
            page,
            "Add",
            "Job",
            &[("What is wrong", "Stops after two seconds")],
        )
        .await?;
        let value = [
            ("What is measured", "Resistance"),
            ("Value", "0.42"),
            ("Where", "C12"),
        ];
        write(page, "Add to this job", "Measurement", &value).await?;
        tap(page, "link", "Tell others").await?;
        says(page, &["Left out: ", "Stops after two seconds", "C12"]).await?;
        page.shot("notebook-tell-phone").await?;
        for (form, mark) in [("Plain text", ""), ("BBCode", "[b]"), ("Markdown", "#")] {
            tap(page, "radio", form).await?;
            page.wait_true(
                form,
                &format!("return document.querySelector('pre').innerText.includes('{mark}')"),
            )
            .await?;
            tap(page, "button", "Copy").await?;
            page.sees("Copied").await?;
            let told = page
                .run("return navigator.clipboard.readText()", &[])
                .await?;
            let told = told.as_str().unwrap_or_default();
            assert!(
                told.contains("Stops after two seconds") && told.contains("0.42"),
                "{told}"
            );
            for private in ["S-778899", "41.50", "neighbour", "secret"] {
                assert!(!told.contains(private), "{form}: {told}");
            }
        }
        Ok(())
    });
}

#[test]
fn a_deleted_console_comes_back_with_everything() {
    phone(async |page| {
        let console = new_console(page, "Attic find", "").await?;
        write(page, "Add", "Job", &[("What is wrong", "Dead")]).await?;
        write(page, "Add to this job", "Note", &[("Note", "Kept with it")]).await?;
        let before = all(page).await?["rows"].as_array().map(Vec::len);
        tap(page, "link", "Change").await?;
        page.find("textbox", "Nickname").await?;
        tap(page, "button", "Delete").await?;
        page.sees("It can be brought back for 90 days.").await?;
        page.sees("The notebook is empty.").await?;
        page.open(&format!("/consoles/{console}")).await?;
        page.sees("This console is deleted.").await?;
        page.open("/consoles/deleted").await?;
        tap(page, "button", "Bring it back").await?;
        page.sees("Nothing was deleted.").await?;
        page.open("/consoles").await?;
        tap(page, "link", "Attic find").await?;
        says(page, &["Dead", "Kept with it"]).await?;
        assert_eq!(all(page).await?["rows"].as_array().map(Vec::len), before);
        Ok(())
    });
}

#[test]
fn a_reading_of_a_put_away_console_can_still_be_saved_elsewhere() {
    phone(async |page| {
        allow_clipboard(page).await?;
        new_console(page, "Shelf three", "").await?;
        tap(page, "link", "Change").await?;
        fill(page, "Put away", "yes").await?;
        done(page).await?;
        new_console(page, "Attic find", "").await?;
        page.open("/read").await?;
        paste(page, &log("01").text).await?;
        tap(page, "button", "Save to a console").await?;
        page.find("button", "Attic find").await?;
        let list = page
            .run(
                "return document.querySelector('dialog:modal').innerText",
                &[],
            )
            .await?;
        assert!(!list.to_string().contains("Shelf three"), "{list}");
        page.shot("notebook-save-phone").await?;
        tap(page, "button", "Attic find").await?;
        page.sees("Saved to \u{201c}Attic find\u{201d}.").await?;
        tap(page, "link", "Open it").await?;
        page.sees("9 entries").await?;
        // The whole log is kept as it was pasted.
        unfold(page, "About this console").await?;
        let kept = records(page).await?;
        let reading = kept.iter().find(|r| r["kind"] == "reading").unwrap();
        assert_eq!(
            reading["versions"][0]["data"]["text"],
            log("01").text.as_str()
        );
        let text = main_text(page).await?;
        assert!(text.contains("Everything so far"), "{text}");
        Ok(())
    });
}

#[test]
fn without_storage_a_reading_is_not_said_to_be_saved() {
    phone(async |page| {
        page.block_storage().await?;
        allow_clipboard(page).await?;
        page.open("/read").await?;
        paste(page, &log("01").text).await?;
        tap(page, "button", "Save to a console").await?;
        tap(page, "button", "New console").await?;
        page.sees("This browser keeps nothing for this page, so there is no notebook.")
            .await?;
        let text = main_text(page).await?;
        assert!(!text.contains("Saved to"), "{text}");
        Ok(())
    });
}
