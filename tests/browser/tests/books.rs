//! A console that no book knows: a new user with a log and a code table makes a
//! working book, on a phone without a connection.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use books::{CODES, PARTS, POST, Steps, TABLE, copy, copy_html, role};
use browser_tests::{Outcome, Page};
use help::{allow_clipboard, phone, result, shown, tap};
use notebook::main_text;
use std::time::Duration;

/// The first visit: the app is on the phone, and the connection goes.
async fn first_visit(page: &mut Page) -> Outcome {
    allow_clipboard(page).await?;
    page.open("/").await?;
    page.ready_offline().await?;
    page.server().stop();
    Ok(())
}

/// What is expected of the log once the book is there.
async fn explained(page: &Page) -> Outcome {
    result(page).await?;
    let shown = shown(page).await?;
    assert_eq!(shown.as_pasted, CODES);
    assert!(
        shown.summary.starts_with("12 entries") && shown.summary.contains("step CD10"),
        "{}",
        shown.summary
    );
    // The wrong character is a guess that the check field, which the app found
    // by itself, agrees with.
    assert!(
        shown
            .summary
            .contains("1 guess confirmed by the check field"),
        "{}",
        shown.summary
    );
    let text = main_text(page).await?;
    for words in [
        "radio supply low, the last character counts tries",
        "no answer from the keypad chip",
        "memory copy differs",
        // 1190412207 seconds after 1970, as `date -u -d @1190412207` has it.
        "21 Sep 2007, 22:03:27 UTC",
        "119133821g read as 1191338219",
        "C31",
        "Marlow handset",
    ] {
        assert!(text.contains(words), "{words:?} is not in\n{text}");
    }
    Ok(())
}

#[test]
fn a_new_user_makes_a_working_book_with_few_taps() {
    phone(async |page| {
        first_visit(page).await?;
        copy(page, POST).await?;
        let mut steps = Steps::start();
        steps.tap(page, "button", "Paste").await?;
        page.sees("No code book fits").await?;
        steps.sees("no code book fits");
        steps.tap(page, "button", "Make a code book").await?;
        page.sees("11 of 12 entries read").await?;
        steps.sees("11 of 12 entries read");
        page.shot("books-made-1").await?;
        // Two of the three are wrong at first; to correct one may mend another.
        for (part, right) in PARTS {
            if role(page, part).await? == right {
                continue;
            }
            steps.choose(page, part, right).await?;
            page.sees("11 of 12 entries read").await?;
            assert_eq!(role(page, part).await?, right, "{part}");
        }
        assert!(steps.taps > 2, "nothing was corrected");
        page.sees("It agrees in 1").await?;
        copy_html(page, TABLE).await?;
        steps.tap(page, "button", "Paste the table").await?;
        page.sees("From the tables: 7 codes").await?;
        // The head says nothing, and the values look like parts of a board.
        if role(page, "Wait").await? != "Power-up step" {
            steps.choose(page, "Wait", "Power-up step").await?;
        }
        let all = "The tables know 9 of the 9 different codes of the log.";
        page.sees(all).await?;
        steps.sees(all);
        page.shot("books-made-2").await?;
        let name = "What people call the console";
        steps.type_into(page, name, "Marlow handset").await?;
        steps.tap(page, "button", "Make the book").await?;
        page.find("heading", "Marlow handset").await?;
        page.sees("Step A101 · parts D4, C31").await?;
        steps.sees("its page, with 7 codes");
        page.shot("books-made-3").await?;
        steps.tap(page, "link", "Read").await?;
        explained(page).await?;
        let took = steps.took();
        steps.sees("12 entries, explained");
        page.shot("books-made-4").await?;
        steps.print(took);
        assert!(steps.taps < 25, "{} taps", steps.taps);
        assert!(took < Duration::from_secs(60), "{took:?}");
        // It is there the next time as well, and nothing is left half done.
        page.reload().await?;
        explained(page).await?;
        page.open("/books").await?;
        page.find("link", "Marlow handset").await?;
        page.open("/make").await?;
        page.sees("A code table").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("entries read"), "{text}");
        Ok(())
    });
}

#[test]
fn a_table_without_a_log_is_a_book_too() {
    phone(async |page| {
        first_visit(page).await?;
        copy(page, "code;meaning\nZ101;lamp dark\nZ102;lamp too bright\n").await?;
        page.open("/read").await?;
        tap(page, "button", "Paste").await?;
        tap(page, "button", "It is a code table").await?;
        page.sees("From the tables: 2 codes").await?;
        tap(page, "button", "Make the book").await?;
        page.find("heading", "My console").await?;
        page.open("/books").await?;
        page.find("link", "My console").await?;
        notebook::fill(page, "Code or word", "z102").await?;
        page.sees("lamp too bright").await
    });
}

#[test]
fn nothing_makes_no_book_and_two_of_a_name_are_two() {
    phone(async |page| {
        first_visit(page).await?;
        page.open("/make").await?;
        tap(page, "button", "Make the book").await?;
        page.sees("There is nothing to make a book of yet.").await?;
        for id in ["marlow-handset", "marlow-handset-2"] {
            books::make_marlow(page, "Marlow handset").await?;
            let there = format!("return location.pathname === '/books/{id}'");
            page.wait_true(id, &there).await?;
        }
        page.open("/books").await?;
        let both = "return [...document.querySelectorAll('.shelf a')]
            .filter((a) => a.innerText.includes('Marlow')).length === 2";
        page.wait_true("both books", both).await
    });
}
