//! A code without any log: what it means in all books, by touch and by keys.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/looks.rs"]
mod looks;
#[path = "help/notebook.rs"]
mod notebook;

use books::codes;
use browser_tests::{Outcome, Page};
use help::{phone, settle};
use looks::{key, tab_to};
use notebook::{fill, main_text};

/// What is found for these words: the rows, and all that the part says.
async fn found(page: &Page, words: &str) -> anyhow::Result<(Vec<String>, String)> {
    fill(page, "Code or word", words).await?;
    settle(page).await?;
    let part = "return document.querySelector('#look-up').closest('section').innerText";
    let text = page.run(part, &[]).await?;
    let text = text.as_str().unwrap_or_default().to_owned();
    Ok((codes(page).await?, text))
}

async fn open(page: &mut Page) -> Outcome {
    page.open("/books").await?;
    page.ready_offline().await?;
    page.server().stop();
    page.sees("Tamsin (demo)").await
}

#[test]
fn exact_in_any_writing_by_a_pattern_and_with_gaps() {
    phone(async |page| {
        open(page).await?;
        for words in ["44D0", "44d0", "0x44d0", "0X44D0", " 44D0 "] {
            let (rows, text) = found(page, words).await?;
            assert_eq!(
                rows.first().map(String::as_str),
                Some("44D0 graphics rail low"),
                "{words:?}: {text}"
            );
            assert!(!text.contains("close to it"), "{words:?}: {text}");
            // Where it is from, and what it doesn't prove.
            assert!(
                text.contains("Orrery (demo)") && text.contains("graphics chip"),
                "{text}"
            );
        }
        // 44D7 has no row of its own; the row for any try fits.
        let (rows, text) = found(page, "44D7").await?;
        assert_eq!(
            rows.first().map(String::as_str),
            Some("44D? graphics rail low, any try"),
            "{text}"
        );
        assert!(text.contains("A row for several codes"), "{text}");
        let (rows, text) = found(page, "44?0").await?;
        assert!(rows.iter().any(|r| r.starts_with("44D0 ")), "{text}");
        assert!(rows.iter().any(|r| r.starts_with("4400 ")), "{text}");
        let (rows, _) = found(page, "amber 14").await?;
        assert!(
            rows.first().is_some_and(|r| r.starts_with("AMBER 14 ")),
            "{rows:?}"
        );
        Ok(())
    });
}

#[test]
fn a_slip_is_near_a_word_is_found_and_nothing_is_said() {
    phone(async |page| {
        open(page).await?;
        // O for 0, which is the slip that people make most.
        let (rows, text) = found(page, "44DO").await?;
        assert!(rows.iter().any(|r| r.starts_with("44D0 ")), "{text}");
        assert!(text.contains("Not 44DO, but close to it"), "{text}");
        page.shot("books-near").await?;
        let (rows, text) = found(page, "graphics rail").await?;
        assert!(rows.iter().any(|r| r == "44D0 graphics rail low"), "{text}");
        let (rows, text) = found(page, "qqqqqqqqqqqq").await?;
        assert!(
            rows.is_empty() && text.contains("Nothing like it is in any book."),
            "{text}"
        );
        let (rows, text) = found(page, "   ").await?;
        assert!(
            rows.is_empty() && !text.contains("Nothing like it"),
            "{text}"
        );
        // Long and odd texts are looked up like any other.
        for words in [
            "?".repeat(40),
            "x".repeat(5000),
            "<b>\u{202e}\u{0}'\"\\".to_owned(),
        ] {
            found(page, &words).await?;
        }
        let (rows, _) = found(page, "44D0").await?;
        assert!(!rows.is_empty());
        Ok(())
    });
}

#[test]
fn it_goes_by_keys_alone() {
    phone(async |page| {
        open(page).await?;
        tab_to(page, "Code or word").await?;
        key(page, "44d0").await?;
        page.sees("graphics rail low").await?;
        // The typed text stays, and so does the cursor.
        let value = page.driver().active_element().await?.prop("value").await?;
        assert_eq!(value.as_deref(), Some("44d0"));
        tab_to(page, "Orrery (demo)").await?;
        key(page, "\u{e007}").await?;
        page.find("heading", "Orrery (demo)").await?;
        assert!(main_text(page).await?.contains("Change it"));
        Ok(())
    });
}
