//! Changing a code book: forms for its parts, what is wrong said where it is,
//! undo, the unfinished text beside the book in use, former versions.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, log, paste, phone, settle, shown, tap, texts};
use notebook::{fill, main_text, saved, says, unfold};

const HOME: &str = "/books/larkfield-orrery";
/// The row of the demonstration book for the code 44D0, counted from 0.
const ROW: &str = "/books/larkfield-orrery/edit/codes/18";
const OLD: &str = "graphics rail low";
const NEW: &str = "graphics rail sags under load";
const TITLE: &str = "In a few words";
const IN_ORDER: &str = "The book is in order.";

async fn edit(page: &Page, place: &str) -> Outcome {
    page.open(place).await?;
    page.sees_no("Opening").await?;
    settle(page).await
}

/// Changes the title of 44D0 and waits until that is saved.
async fn retitle(page: &Page, words: &str) -> Outcome {
    edit(page, ROW).await?;
    fill(page, TITLE, words).await?;
    saved(page).await
}

async fn put_to_use(page: &Page) -> Outcome {
    edit(page, &format!("{HOME}/edit")).await?;
    tap(page, "button", "Put it to use").await?;
    page.find("button", "Go back to the demonstration book")
        .await
        .map(drop)
}

/// What Read says 44D0 means.
async fn meaning(page: &Page) -> anyhow::Result<String> {
    page.open("/read").await?;
    paste(page, &log("01").text).await?;
    let script = "const all = [...document.querySelectorAll('ol.entries > li')];
        return all.find((l) => l.querySelector('.code').innerText === '44D0').innerText";
    let text = page.run(script, &[]).await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

#[test]
fn changes_wait_beside_the_book_until_they_are_put_to_use() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open(HOME).await?;
        page.ready_offline().await?;
        page.server().stop();
        tap(page, "link", "Change it").await?;
        page.sees(IN_ORDER).await?;
        page.sees("It is as the book in use.").await?;
        tap(page, "link", "Codes: ").await?;
        fill(page, "Find", "44D0").await?;
        tap(page, "link", "44D0 graphics rail low").await?;
        fill(page, TITLE, NEW).await?;
        saved(page).await?;
        page.shot("books-edit-row").await?;
        // Read goes on with the book in use.
        assert!(meaning(page).await?.contains(OLD));
        edit(page, &format!("{HOME}/edit")).await?;
        unfold(page, "What is changed: 1").await?;
        page.sees(NEW).await?;
        page.shot("books-edit-main").await?;
        tap(page, "button", "Put it to use").await?;
        page.find("button", "Go back to the demonstration book")
            .await?;
        unfold(page, "About this book").await?;
        page.sees("1.1.1").await?;
        let now = meaning(page).await?;
        assert!(now.contains(NEW) && !now.contains(OLD), "{now}");
        assert_eq!(shown(page).await?.as_pasted, log("01").codes());
        // And after the next start of the app.
        page.reload().await?;
        assert!(meaning(page).await?.contains(NEW));
        Ok(())
    });
}

#[test]
fn a_cause_a_step_the_port_and_a_board_are_changed() {
    phone(async |page| {
        edit(page, &format!("{HOME}/edit/causes")).await?;
        tap(page, "button", "Add one").await?;
        fill(page, TITLE, "Solder under the graphics chip").await?;
        fill(page, "no picture", "yes").await?;
        fill(page, "Codes often seen", "44D0\n44D?").await?;
        saved(page).await?;
        // A step moves; the row that is shown moves with it.
        edit(page, &format!("{HOME}/edit/steps/1")).await?;
        tap(page, "button", "Move down").await?;
        page.wait_true(
            "the row in its new place",
            "return location.pathname.endsWith('/steps/2')",
        )
        .await?;
        page.find("heading", "01 button and inputs").await?;
        saved(page).await?;
        edit(page, &format!("{HOME}/edit/port")).await?;
        fill(page, "Bits per second", "115200").await?;
        saved(page).await?;
        edit(page, ROW).await?;
        unfold(page, "LW-47").await?;
        let script = "const fold = [...document.querySelectorAll('main details')]
            .find((d) => d.querySelector('summary').innerText.includes('LW-47'));
            const input = fold.querySelector('[name=title]');
            input.scrollIntoView({ block: 'center' });
            input.focus()";
        page.run(script, &[]).await?;
        notebook::type_here(page, "seen on no other board").await?;
        saved(page).await?;
        put_to_use(page).await?;
        unfold(page, "Causes").await?;
        unfold(page, "Power-up steps").await?;
        unfold(page, "Service port").await?;
        says(
            page,
            &[
                "Solder under the graphics chip",
                "Codes often seen: 44D0, 44D?",
                "115200",
            ],
        )
        .await?;
        let text = main_text(page).await?;
        let at = |words: &str| {
            text.find(words)
                .unwrap_or_else(|| panic!("{words:?} in {text}"))
        };
        assert!(at("02 main supply") < at("01 button and inputs"), "{text}");
        // The meaning on the board, where that board is chosen.
        tap(page, "radio", "LW-47").await?;
        fill(page, "Find a code", "44D0").await?;
        page.sees("seen on no other board").await
    });
}

#[test]
fn what_is_wrong_is_said_at_the_field_and_leads_there() {
    phone(async |page| {
        edit(page, ROW).await?;
        fill(page, "Code", "").await?;
        let at_field = "return [...document.querySelectorAll('main .form .wrong')].some((w) => w.innerText.length > 10)";
        page.wait_true("the word at the field", at_field).await?;
        edit(page, &format!("{HOME}/edit")).await?;
        page.sees("1 thing to mend").await?;
        page.shot("books-edit-wrong").await?;
        tap(page, "button", "Put it to use").await?;
        page.sees("The book can't be used yet. What to mend is listed.")
            .await?;
        let focus = "return document.activeElement?.id === 'problems'";
        page.wait_true("the list to be gone to", focus).await?;
        tap(page, "link", "Codes: graphics rail low").await?;
        page.wait_true("its row", &format!("return location.pathname === '{ROW}'"))
            .await?;
        fill(page, "Code", "44D0").await?;
        page.wait_true(
            "no word at the field",
            "return !document.querySelector('main .form .wrong p')",
        )
        .await?;
        tap(page, "link", "Codes").await?;
        tap(page, "link", "All parts").await?;
        page.sees(IN_ORDER).await?;
        // Everything that uses a step is wrong once the step is gone; undo.
        edit(page, &format!("{HOME}/edit/steps/10")).await?;
        tap(page, "button", "Take it out").await?;
        tap(page, "link", "All parts").await?;
        page.sees("things to mend").await?;
        tap(page, "button", "Undo").await?;
        page.sees(IN_ORDER).await
    });
}

#[test]
fn each_change_is_undone_by_itself() {
    phone(async |page| {
        edit(page, ROW).await?;
        let title = async |page: &Page| -> anyhow::Result<String> {
            settle(page).await?;
            let script = "return document.querySelector('main .form [name=title]').value";
            Ok(page
                .run(script, &[])
                .await?
                .as_str()
                .unwrap_or_default()
                .to_owned())
        };
        fill(page, TITLE, "one").await?;
        fill(page, "Meaning, in full", "two").await?;
        fill(page, TITLE, "three").await?;
        saved(page).await?;
        for now in ["one", "one", OLD] {
            tap(page, "button", "Undo").await?;
            settle(page).await?;
            assert_eq!(title(page).await?, now);
        }
        let none = "return ![...document.querySelectorAll('main button')].some((b) => b.innerText === 'Undo')";
        page.wait_true("nothing left to undo", none).await?;
        edit(page, &format!("{HOME}/edit")).await?;
        page.sees("It is as the book in use.").await
    });
}

#[test]
fn the_draft_is_there_later_and_dropped_with_a_way_back() {
    phone(async |page| {
        retitle(page, NEW).await?;
        // Typed and left at once: nothing of it is lost either.
        fill(page, TITLE, "graphics rail sags, seen twice").await?;
        page.reload().await?;
        let script = "return document.querySelector('main .form [name=title]')?.value === 'graphics rail sags, seen twice'";
        page.wait_true("the draft", script).await?;
        edit(page, &format!("{HOME}/edit")).await?;
        tap(page, "button", "Drop the changes").await?;
        page.sees("It is as the book in use.").await?;
        tap(page, "button", "Undo").await?;
        page.find("button", "Put it to use").await?;
        unfold(page, "What is changed: 1").await?;
        page.sees("graphics rail sags, seen twice").await?;
        tap(page, "button", "Drop the changes").await?;
        page.sees("It is as the book in use.").await?;
        page.reload().await?;
        page.sees("It is as the book in use.").await
    });
}

#[test]
fn former_versions_come_back_and_the_demonstration_too() {
    phone(async |page| {
        allow_clipboard(page).await?;
        retitle(page, "first words").await?;
        put_to_use(page).await?;
        retitle(page, "second words").await?;
        put_to_use(page).await?;
        tap(page, "link", "Former versions").await?;
        page.sees("Version 1.1.2").await?;
        unfold(page, "change").await?;
        says(page, &["Version 1.1.1", "In use now", "second words"]).await?;
        page.shot("books-versions").await?;
        tap(page, "button", "Bring this back").await?;
        page.find("button", "Go back to the demonstration book")
            .await?;
        assert!(meaning(page).await?.contains("first words"));
        page.open(&format!("{HOME}/versions")).await?;
        page.sees("Version 1.1.2").await?;
        let three = "return [...document.querySelectorAll('main li.record > b')]
            .filter((b) => b.textContent.startsWith('Version ')).length === 3";
        page.wait_true("the versions and the one brought back", three)
            .await?;
        page.open(HOME).await?;
        tap(page, "button", "Go back to the demonstration book").await?;
        page.sees("Your books").await?;
        tap(page, "button", "Undo").await?;
        let own = "const book = [...document.querySelectorAll('.shelf li')].find((l) => l.innerText.includes('Orrery'));
            return !!book && book.innerText.includes('version 1.1.1')";
        page.wait_true("one's own book to be back", own).await?;
        assert!(meaning(page).await?.contains("first words"));
        page.open(HOME).await?;
        tap(page, "button", "Go back to the demonstration book").await?;
        page.sees("Your books").await?;
        page.open(HOME).await?;
        let there =
            "return document.querySelector('main')?.innerText.includes('Go back to the') === false";
        page.sees("Invented demonstration data").await?;
        page.wait_true("the demonstration book to be back", there)
            .await?;
        assert!(meaning(page).await?.contains(OLD));
        Ok(())
    });
}

#[test]
fn two_tabs_lose_nothing_of_a_draft_without_a_word() {
    phone(async |page| {
        edit(page, ROW).await?;
        let first = page.driver().window().await?;
        let second = page.driver().new_tab().await?;
        page.driver().switch_to_window(second.clone()).await?;
        edit(page, "/books/larkfield-orrery/edit/codes/0").await?;
        page.driver().switch_to_window(first.clone()).await?;
        fill(page, TITLE, "words of tab one").await?;
        saved(page).await?;
        page.driver().switch_to_window(second).await?;
        settle(page).await?;
        fill(page, TITLE, "words of tab two").await?;
        saved(page).await?;
        let warned = main_text(page).await?.contains("another tab");
        let mut there = Vec::new();
        for place in [
            ROW,
            "/books/larkfield-orrery/edit/codes/0",
            "/books/larkfield-orrery/edit",
        ] {
            edit(page, place).await?;
            let values = "return [...document.querySelectorAll('main .form [name=title]')].map((i) => i.value)
                .concat([document.querySelector('main').innerText])";
            there.extend(texts(&page.run(values, &[]).await?));
        }
        let has = |words: &str| there.iter().any(|t| t.contains(words));
        assert!(
            warned || has("words of tab one") && has("words of tab two"),
            "one of two drafts is gone: {}",
            json!(there)
        );
        Ok(())
    });
}
