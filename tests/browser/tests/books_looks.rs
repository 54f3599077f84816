//! The pages of code books for everyone: the accessibility checker, light and
//! dark, large text, narrow screens, long names, keys only.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/looks.rs"]
mod looks;
#[path = "help/notebook.rs"]
mod notebook;

use books::{KEEP, PARTS, POST, TABLE, copy, copy_html, make_marlow, put_log, role};
use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, paste, phone, settle, shown, tap};
use looks::{fine, fits, key, tab_to, unfold_all};
use notebook::{fill, saved};

/// A page, and words that are on it once it is drawn.
const PAGES: [(&str, &str); 12] = [
    ("/books", "Tamsin (demo)"),
    ("/make", "These are not the entries?"),
    ("/books/marlow-handset", "radio supply low"),
    ("/books/marlow-handset/add", "Add to the book"),
    ("/books/marlow-handset/versions", "In use now"),
    ("/books/marlow-handset/edit", "1 thing to mend"),
    ("/books/marlow-handset/edit/about", "Licence"),
    ("/books/marlow-handset/edit/layouts/0", "taught log line"),
    ("/books/larkfield-orrery/edit/codes", "44D0"),
    ("/books/larkfield-orrery/edit/codes/18", "On single boards"),
    ("/books/larkfield-orrery/edit/port", "Bits per second"),
    ("/books/larkfield-orrery/edit/checks/0", "Minutes"),
];

/// A made book, a draft of it with a mistake, and a page for making that is
/// half done.
async fn everything(page: &Page, name: &str) -> Outcome {
    make_marlow(page, name).await?;
    page.run("return 0", &[]).await?;
    let home = page.run("return location.pathname", &[]).await?;
    let home = home.as_str().unwrap_or_default();
    page.open(&format!("{home}/edit/codes/0")).await?;
    fill(page, "Code", "").await?;
    saved(page).await?;
    page.open("/make").await?;
    put_log(page, POST).await?;
    copy_html(page, TABLE).await?;
    tap(page, "button", "Paste the table").await?;
    page.sees("From the tables").await?;
    copy(page, "code;meaning\nB020;battery gone\nB020;another word\n").await?;
    tap(page, "button", "Paste the table").await?;
    page.sees("mean different things").await
}

async fn show(page: &Page, path: &str, words: &str) -> Outcome {
    page.open(path).await?;
    page.sees(words)
        .await
        .map_err(|e| e.context(path.to_owned()))?;
    settle(page).await
}

/// Opens the page of a received book, which differs from the one on the device.
async fn received(page: &Page) -> Outcome {
    let text = page
        .run(
            "return fetch('/books/orrery.json').then((r) => r.text())",
            &[],
        )
        .await?;
    let text = text.as_str().unwrap_or_default();
    let text = text
        .replace("rail low", "rail too low by far")
        .replacen("1.1.0", "1.2.0", 1);
    page.open("/books").await?;
    page.paste_into("Text of a code book", &text).await?;
    page.sees("Take what is ticked").await?;
    settle(page).await
}

#[test]
fn every_page_of_the_books_in_light_and_dark() {
    phone(async |page| {
        allow_clipboard(page).await?;
        everything(page, "Marlow handset").await?;
        for theme in ["light", "dark"] {
            page.prefers("prefers-color-scheme", theme).await?;
            for (n, (path, words)) in PAGES.iter().enumerate() {
                show(page, path, words).await?;
                fine(page, &format!("{path}, {theme}")).await?;
                page.shot(&format!("books-{theme}-{n:02}")).await?;
            }
            received(page).await?;
            fine(page, &format!("a received book, {theme}")).await?;
            page.shot(&format!("books-{theme}-received")).await?;
            page.open("/books").await?;
            page.paste_into("Text of a code book", &"no book at all ".repeat(20))
                .await?;
            page.sees("This was not taken as a book.").await?;
            fine(page, &format!("a refused book, {theme}")).await?;
            for words in ["44D7", "44DO", "rail"] {
                fill(page, "Code or word", words).await?;
                settle(page).await?;
                fine(page, &format!("{words} looked up, {theme}")).await?;
            }
        }
        Ok(())
    });
}

#[test]
fn large_text_and_a_narrow_screen_hide_nothing_of_a_book() {
    phone(async |page| {
        allow_clipboard(page).await?;
        everything(page, "Marlow handset").await?;
        for (n, (path, words)) in PAGES.iter().enumerate() {
            show(page, path, words).await?;
            page.text_size(2.0).await?;
            unfold_all(page).await?;
            fits(page, &format!("{path} at 200 %")).await?;
            page.shot(&format!("books-large-{n:02}")).await?;
        }
        received(page).await?;
        page.text_size(2.0).await?;
        unfold_all(page).await?;
        fits(page, "a received book at 200 %").await?;
        let narrow = json!({ "width": 320, "height": 640, "deviceScaleFactor": 2, "mobile": true });
        page.cdp("Emulation.setDeviceMetricsOverride", narrow)
            .await?;
        for (path, words) in &PAGES {
            show(page, path, words).await?;
            unfold_all(page).await?;
            fits(page, &format!("{path} at 320 px")).await?;
        }
        received(page).await?;
        unfold_all(page).await?;
        fits(page, "a received book at 320 px").await
    });
}

#[test]
fn long_words_do_not_make_a_book_wider() {
    phone(async |page| {
        allow_clipboard(page).await?;
        let long = "Gehäusedeckelschraube".repeat(8);
        make_marlow(page, &long).await?;
        let home = page.run("return location.pathname", &[]).await?;
        let home = home.as_str().unwrap_or_default().to_owned();
        fine(page, "the book's page").await?;
        page.open(&format!("{home}/edit/codes/0")).await?;
        for label in ["In a few words", "Meaning, in full", "Parts, one a line"] {
            fill(page, label, &long).await?;
        }
        saved(page).await?;
        fine(page, "a row").await?;
        page.open(&format!("{home}/edit")).await?;
        page.find("button", "Put it to use").await?;
        fine(page, "the changes").await?;
        page.open(&format!("{home}/edit/codes")).await?;
        page.find("link", &long).await?;
        fine(page, "the rows").await?;
        page.open("/books").await?;
        page.find("link", &long).await?;
        fill(page, "Code or word", "K417").await?;
        page.find("link", &long).await?;
        fine(page, "the list").await?;
        page.open("/make").await?;
        let wide = format!("leaf 1 wait {long} mark {}\n", "K".repeat(300));
        put_log(page, &wide.repeat(3)).await?;
        copy(
            page,
            &format!("code;{long};meaning\nK1;{long};{long}\nK2;{long};{long}\n"),
        )
        .await?;
        tap(page, "button", "Paste the table").await?;
        settle(page).await?;
        page.shot("books-long").await?;
        fine(page, "a long line and a wide table").await
    });
}

/// Chooses with the arrow keys in the list that has the focus.
async fn arrow_to(page: &Page, words: &str) -> Outcome {
    let at = "return document.activeElement.selectedOptions?.[0]?.text ?? 'no list'";
    for arrow in ["\u{e013}", "\u{e015}"] {
        for _ in 0..14 {
            if page.run(at, &[]).await? == words {
                return Ok(());
            }
            key(page, arrow).await?;
            settle(page).await?;
        }
    }
    anyhow::bail!(
        "the arrows do not lead to {words:?}; now {}",
        page.run(at, &[]).await?
    )
}

/// The focus is still on what it was on, after the page was drawn anew.
async fn focus_stays(page: &Page, what: &str) -> Outcome {
    settle(page).await?;
    let lost = page
        .run("return document.activeElement === document.body", &[])
        .await?;
    anyhow::ensure!(lost == false, "the focus is lost after {what}");
    Ok(())
}

#[test]
fn a_book_is_made_by_keys_only() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/read").await?;
        copy(page, POST).await?;
        tab_to(page, "Paste").await?;
        key(page, "\u{e007}").await?;
        page.sees("No code book fits").await?;
        tab_to(page, "Make a code book").await?;
        key(page, "\u{e007}").await?;
        page.sees("entries read").await?;
        for (part, right) in PARTS {
            if role(page, part).await? == right {
                continue;
            }
            tab_to(page, part).await?;
            // The first letters choose, as in any list.
            arrow_or_type(page, right).await?;
            assert_eq!(role(page, part).await?, right, "{part}");
            focus_stays(page, part).await?;
        }
        assert_eq!(role(page, "8: 0371").await?, KEEP);
        copy_html(page, TABLE).await?;
        tab_to(page, "Paste the table").await?;
        key(page, "\u{e007}").await?;
        page.sees("From the tables: 7 codes").await?;
        tab_to(page, "What people call the console").await?;
        key(page, "Marlow handset").await?;
        tab_to(page, "Make the book").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "Marlow handset").await?;
        page.open("/read").await?;
        paste(page, POST).await?;
        assert_eq!(shown(page).await?.as_pasted, books::CODES);
        Ok(())
    });
}

/// Types the words of a choice into a closed list; where that passes over
/// others, the arrows go the rest of the way.
async fn arrow_or_type(page: &Page, words: &str) -> Outcome {
    key(page, words).await?;
    settle(page).await?;
    let on_list = page
        .run("return document.activeElement.tagName === 'SELECT'", &[])
        .await?;
    if on_list == true {
        return arrow_to(page, words).await;
    }
    Ok(())
}
