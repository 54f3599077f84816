//! A photo of a console's board: taken before and after its words, on a full
//! device, and by somebody who does not wait.

mod help;
#[path = "help/notebook.rs"]
mod notebook;

use browser_tests::{Outcome, Page, json};
use help::{phone, settle, tap};
use notebook::{add, all, done, fill, main_text, new_console, only, png, saved, says};

/// A console, and the form of a new photo of it.
async fn new_photo(page: &Page) -> Outcome {
    new_console(page, "Attic find", "").await?;
    add(page, "Add", "Photo").await
}

#[test]
fn what_was_written_before_the_photo_was_taken_stays() {
    phone(async |page| {
        new_photo(page).await?;
        fill(page, "Day", "2026-03-12").await?;
        fill(page, "What it shows", "Underside").await?;
        saved(page).await?;
        let picture = png(page, 64, 48).await?;
        page.choose_file("#photo-itself", picture.path()).await?;
        page.find("button", "Open photo").await?;
        saved(page).await?;
        fill(page, "What it shows", "Underside, before").await?;
        done(page).await?;
        says(page, &["Underside, before", "12 March"]).await?;
        page.find("button", "Open photo").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("Changed in two ways"), "{text}");
        let fields = only(page, "photo").await?;
        assert_eq!(
            (&fields["day"], &fields["caption"], &fields["wide"]),
            (
                &json!("2026-03-12"),
                &json!("Underside, before"),
                &json!(64)
            ),
            "{fields}"
        );
        Ok(())
    });
}

#[test]
fn to_put_the_words_back_does_not_take_the_photo_away() {
    phone(async |page| {
        new_photo(page).await?;
        let picture = png(page, 64, 48).await?;
        page.choose_file("#photo-itself", picture.path()).await?;
        page.find("button", "Open photo").await?;
        saved(page).await?;
        fill(page, "What it shows", "A slip of the hand").await?;
        saved(page).await?;
        tap(page, "button", "Back to how it was").await?;
        page.wait_true(
            "the empty caption",
            "return document.querySelector('main input[name=caption]').value === ''",
        )
        .await?;
        done(page).await?;
        page.find("button", "Open photo").await?;
        assert_eq!(only(page, "photo").await?["wide"], json!(64));
        Ok(())
    });
}

#[test]
fn a_photo_that_the_device_has_no_room_for_can_be_saved_again() {
    phone(async |page| {
        new_photo(page).await?;
        let picture = png(page, 64, 48).await?;
        // The browser's own answer to a full device.
        let full = "window.put = IDBObjectStore.prototype.put;
            IDBObjectStore.prototype.put = () => { throw new DOMException('the test', 'QuotaExceededError') }";
        page.run(full, &[]).await?;
        page.choose_file("#photo-itself", picture.path()).await?;
        page.sees("Not saved. There is no room left on this device.")
            .await?;
        assert!(
            all(page).await?["photos"]
                .as_object()
                .is_some_and(|p| p.is_empty())
        );
        page.run("IDBObjectStore.prototype.put = window.put", &[])
            .await?;
        tap(page, "button", "Try again").await?;
        page.find("button", "Open photo").await?;
        done(page).await?;
        page.find("button", "Open photo").await?;
        assert_eq!(
            all(page).await?["photos"].as_object().map(|p| p.len()),
            Some(1)
        );
        Ok(())
    });
}

#[test]
fn a_photo_is_kept_though_nobody_waits_for_it() {
    phone(async |page| {
        new_photo(page).await?;
        // Large, so that to make it smaller takes longer than the next tap.
        let picture = png(page, 4000, 3000).await?;
        page.choose_file("#photo-itself", picture.path()).await?;
        tap(page, "link", "Back to the console").await?;
        page.sees("About this console").await?;
        page.find("button", "Open photo").await?;
        settle(page).await?;
        let kept = all(page).await?;
        assert_eq!(kept["photos"].as_object().map(|p| p.len()), Some(1));
        Ok(())
    });
}
