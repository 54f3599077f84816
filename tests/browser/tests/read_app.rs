//! The app around the reading: updates, blocked storage, code books from files.

mod help;
#[path = "help/version.rs"]
mod version;

use browser_tests::{Outcome, Page, site};
use help::{allow_clipboard, desktop, log, paste, phone, read_log, result, shown, summary};
use std::path::{Path, PathBuf};
use version::another_version;

const NOT_KEPT: &str = "This browser keeps nothing for this page.";

fn books() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../public/books")
}

#[test]
fn a_newer_version_can_wait_and_keeps_what_was_typed() {
    let other = tempfile::tempdir().unwrap();
    another_version(&site(), other.path());
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/read").await?;
        page.ready_offline().await?;
        paste(page, &log("02").text).await?;
        let (said, old) = (summary(page).await?, build(page).await?);
        page.server().switch(other.path());
        page.reload().await?;
        page.sees("A newer version is ready.").await?;
        let found = page.accessibility().await?;
        assert!(found.is_empty(), "{found:#?}");
        page.shot("update-phone").await?;
        page.tap("button", "Later").await?;
        page.sees_no("A newer version is ready.").await?;
        assert_eq!(build(page).await?, old);
        page.reload().await?;
        page.sees("A newer version is ready.").await?;
        result(page).await?;
        page.type_into("Fault log text", "and a last word").await?;
        page.tap("button", "Reload").await?;
        let new =
            format!("return document.querySelector('meta[name=build]')?.content === '{old}-next'");
        page.wait_true("the new version", &new).await?;
        page.started().await?;
        result(page).await?;
        assert_eq!(summary(page).await?, said);
        let value = page
            .find("textbox", "Fault log text")
            .await?
            .prop("value")
            .await?;
        assert!(value.unwrap_or_default().ends_with("and a last word"));
        page.sees_no("A newer version is ready.").await
    });
}

async fn build(page: &Page) -> anyhow::Result<String> {
    let id = page
        .run(
            "return document.querySelector('meta[name=build]').content",
            &[],
        )
        .await?;
    Ok(id.as_str().unwrap_or_default().to_owned())
}

#[test]
fn without_storage_it_says_so_and_reads() {
    phone(async |page| {
        page.block_storage().await?;
        page.note_events(&["faultleaf-offline-ready"]).await?;
        page.open("/read").await?;
        page.noted("faultleaf-offline-ready").await?;
        help::settle(page).await?;
        // The warning is worth more than the good news that comes after it.
        page.sees(NOT_KEPT).await?;
        page.shot("storage-blocked-read").await?;
        allow_clipboard(page).await?;
        paste(page, &log("04").text).await?;
        assert_eq!(help::differs(&log("04"), &shown(page).await?), None);
        help::tap(page, "link", "About").await?;
        page.sees("This browser blocks storage for this page.")
            .await?;
        let log = page.log().await?;
        let errors: Vec<_> = log.iter().filter(|l| l.starts_with("SEVERE")).collect();
        assert!(errors.is_empty(), "{errors:#?}");
        Ok(())
    });
}

#[test]
fn a_code_book_is_opened_from_a_file_and_used() {
    let folder = tempfile::tempdir().unwrap();
    let (file, broken) = (
        folder.path().join("own.json"),
        folder.path().join("broken.json"),
    );
    let text = std::fs::read_to_string(books().join("orrery.json")).unwrap();
    let text = text.replacen("larkfield-orrery", "own-orrery", 1).replacen(
        "Orrery (demo)",
        "Workshop Orrery",
        1,
    );
    std::fs::write(&file, &text).unwrap();
    std::fs::write(
        &broken,
        text.replacen("\"boards\"", "\"boards\": 7, \"planks\"", 1),
    )
    .unwrap();
    phone(async |page| open_books(page, &file, &broken).await);
}

async fn open_books(page: &mut Page, file: &Path, broken: &Path) -> Outcome {
    page.open("/books").await?;
    page.find("button", "Open a file").await?;
    page.choose_file("#book-file", broken).await?;
    page.sees("This was not taken as a book.").await?;
    page.wait_true(
        "the problems",
        "return document.querySelectorAll('.problems li').length > 0",
    )
    .await?;
    page.shot("book-broken").await?;
    let found = page.accessibility().await?;
    assert!(found.is_empty(), "{found:#?}");
    let shelf = "return document.querySelectorAll('.shelf > li').length === 3";
    page.wait_true("nothing of the broken book", shelf).await?;
    page.choose_file("#book-file", file).await?;
    // It is looked at before it is taken.
    page.find("heading", "Workshop Orrery").await?;
    page.wait_true(
        "the page where it is looked at",
        "return location.pathname === '/received'",
    )
    .await?;
    help::tap(page, "button", "Put it on this device").await?;
    page.sees("The book is in use").await?;
    page.find("heading", "Workshop Orrery").await?;
    page.wait_true(
        "its address",
        "return location.pathname === '/books/own-orrery'",
    )
    .await?;
    assert_eq!(page.overhang().await?, 0);
    // It stays, and it reads.
    page.reload().await?;
    page.find("heading", "Workshop Orrery").await?;
    read_log(page, "02").await?;
    assert_eq!(shown(page).await?.as_pasted, log("02").codes());
    page.sees("Workshop Orrery").await
}

#[test]
fn a_file_that_is_no_book_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("note.json");
    std::fs::write(&file, b"\xFF\x00 just a note").unwrap();
    desktop(async |page| {
        page.open("/books").await?;
        page.find("button", "Open a file").await?;
        page.choose_file("#book-file", &file).await?;
        page.sees("This was not taken as a book.").await
    });
}

#[test]
fn the_reading_is_copied_as_text_and_for_a_forum() {
    phone(async |page| {
        read_log(page, "02").await?;
        for (button, sign) in [
            ("Copy as text", "44D0"),
            ("Copy for a forum (BBCode)", "[/"),
        ] {
            page.run("return navigator.clipboard.writeText('before')", &[])
                .await?;
            help::tap(page, "button", button).await?;
            let copied = format!(
                "return navigator.clipboard.readText().then((t) => t.length > 200 && t.includes('{sign}'))"
            );
            page.wait_true(button, &copied).await?;
            page.sees("Copied").await?;
        }
        Ok(())
    });
}
