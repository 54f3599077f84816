//! Code books where the browser keeps nothing, and those that an earlier version
//! of the app kept in another place.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use books::{CODES, POST, make_marlow};
use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, paste, phone, settle, shown, tap};
use notebook::{fill, main_text};

/// The database can't be had, but the rest of the storage can.
const NO_DATABASE: &str = "Object.defineProperty(window, 'indexedDB', {
    get() { throw new DOMException('blocked by the test', 'SecurityError'); },
});";
const SESSION: &str = "This book is open until you close the page.";

/// Makes a book, and reads with it without leaving the page's session.
async fn made_and_read(page: &mut Page) -> Outcome {
    allow_clipboard(page).await?;
    make_marlow(page, "Marlow handset").await?;
    // It is said where one is now, or in the list.
    let said = main_text(page).await?.contains("until you close the page");
    page.shot("books-not-kept").await?;
    tap(page, "link", "Books").await?;
    page.find("link", "Marlow handset").await?;
    page.sees(SESSION).await?;
    tap(page, "link", "Read").await?;
    page.find("textbox", "Fault log text").await?;
    paste(page, POST).await?;
    assert_eq!(shown(page).await?.as_pasted, CODES);
    anyhow::ensure!(said, "the page after making says nothing of not being kept");
    Ok(())
}

#[test]
fn without_a_database_a_book_is_made_for_this_visit_and_it_is_said() {
    phone(async |page| {
        page.before_load(NO_DATABASE).await?;
        made_and_read(page).await?;
        // What was put together is still there, so it is quickly made again.
        page.open("/make").await?;
        books::looked_at(page, POST).await?;
        page.sees("From the tables: 7 codes").await
    });
}

#[test]
fn without_any_storage_a_book_is_made_all_the_same() {
    phone(async |page| {
        page.block_storage().await?;
        made_and_read(page).await
    });
}

#[test]
fn a_received_book_and_a_draft_are_not_lost_without_a_word_either() {
    phone(async |page| {
        page.before_load(NO_DATABASE).await?;
        page.open("/books/larkfield-orrery/edit/codes/18").await?;
        fill(page, "In a few words", "graphics rail sags").await?;
        page.sees("Not saved.").await?;
        tap(page, "link", "Codes").await?;
        tap(page, "link", "All parts").await?;
        tap(page, "button", "Put it to use").await?;
        page.find("button", "Go back to the demonstration book")
            .await?;
        tap(page, "link", "All books").await?;
        page.sees(SESSION).await?;
        fill(page, "Code or word", "44D0").await?;
        page.sees("graphics rail sags").await
    });
}

#[test]
fn books_of_an_earlier_version_are_taken_into_the_notebook() {
    phone(async |page| {
        page.open("/books").await?;
        page.sees("Orrery").await?;
        let keep = "return fetch('/books/orrery.json').then((r) => r.text()).then((text) => {
            const own = text.replace('larkfield-orrery', 'own-orrery').replace('Orrery (demo)', 'Workshop Orrery');
            localStorage.setItem('faultleaf.books', JSON.stringify([own, 'no book', 7]));
            return own.length;
        })";
        assert!(page.run(keep, &[]).await?.as_u64() > Some(10_000));
        page.reload().await?;
        page.find("link", "Workshop Orrery").await?;
        // What is no book stays where it is: a later version may know it.
        let moved = "return localStorage.getItem('faultleaf.books') === '[\"no book\",7]'";
        page.wait_true("the book to leave its former place", moved)
            .await?;
        let kinds: Vec<_> = notebook::records(page).await?;
        let own = kinds.iter().filter(|r| r["kind"] == "book").count();
        assert_eq!(own, 1);
        page.reload().await?;
        page.find("link", "Workshop Orrery").await?;
        settle(page).await?;
        let named = "return [...document.querySelectorAll('.shelf a')].map((a) => a.innerText.trim()).length";
        assert_eq!(page.run(named, &[]).await?, json!(4));
        assert!(!main_text(page).await?.contains(SESSION));
        Ok(())
    });
}
