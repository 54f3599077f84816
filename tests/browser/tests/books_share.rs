//! Books that go from one person to another: as text for a forum and as a file,
//! looked at before anything is taken; harmful ones; and the backup.

#[path = "help/archive.rs"]
mod archive;
#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use archive::{backup, catch_files, caught, read_in, wipe};
use books::{CODES, POST, copy, make_marlow};
use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, paste, phone, settle, shown, tap};
use notebook::{fill, main_text, saved, says, unfold};

const HOME: &str = "/books/larkfield-orrery";

async fn copied(page: &Page) -> anyhow::Result<String> {
    let text = page
        .run("return navigator.clipboard.readText()", &[])
        .await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Copies the book for a forum from its page, and gives the text.
async fn for_a_forum(page: &Page, home: &str) -> anyhow::Result<String> {
    page.open(home).await?;
    copy(page, "before").await?;
    unfold(page, "Keep a copy, or pass it on").await?;
    tap(page, "button", "Copy the book for a forum").await?;
    let there = "return navigator.clipboard.readText().then((t) => t !== 'before')";
    page.wait_true("the copy", there).await?;
    copied(page).await
}

/// Waits until the app has made its database.
async fn notebook_there(page: &Page) -> Outcome {
    let there = "return indexedDB.databases().then((d) => d.some((d) => d.name === 'faultleaf'))";
    page.wait_true("the database", there).await?;
    settle(page).await
}

/// Changes the title of a row of the book, and puts the book to use.
async fn retitle(page: &Page, home: &str, row: usize, words: &str) -> Outcome {
    page.open(&format!("{home}/edit/codes/{row}")).await?;
    fill(page, "In a few words", words).await?;
    saved(page).await?;
    page.open(&format!("{home}/edit")).await?;
    tap(page, "button", "Put it to use").await?;
    page.find("link", "Former versions").await?;
    page.sees("The book is in use.").await
}

/// Ticks the change with these words and no other.
async fn tick_only(page: &Page, words: &str) -> Outcome {
    tap(page, "button", "Tick none").await?;
    settle(page).await?;
    let script = "const all = [...document.querySelectorAll('main li.record')];
        const found = all.find((l) => l.innerText.includes(arguments[0]));
        found?.querySelector('input').click();
        return !!found && document.querySelectorAll('main li.record input:checked').length === 1";
    let one = page.run(script, &[json!(words)]).await?;
    anyhow::ensure!(one == true, "no single change with {words:?}");
    Ok(())
}

#[test]
fn one_row_of_a_post_is_taken_and_all_else_stays() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/books").await?;
        page.ready_offline().await?;
        page.server().stop();
        // The other person's book: two rows in other words.
        retitle(page, HOME, 18, "their words for 44D0").await?;
        retitle(page, HOME, 3, "their words for 1100").await?;
        let post = for_a_forum(page, HOME).await?;
        assert!(post.contains("(begin code book)"), "{post:.300}");
        // One's own has a third row in own words.
        tap(page, "button", "Go back to the demonstration book").await?;
        page.sees("Your books").await?;
        retitle(page, HOME, 0, "my words for 0040").await?;
        page.open("/books").await?;
        let quoted = format!("Hello all, here it is:\n\n{post}\nRegards\n");
        copy(page, &quoted).await?;
        tap(page, "button", "Paste its text").await?;
        says(
            page,
            &[
                "This is what the book would bring.",
                "their words for 44D0",
                "their words for 1100",
            ],
        )
        .await?;
        page.shot("books-received").await?;
        tick_only(page, "their words for 44D0").await?;
        tap(page, "button", "Take what is ticked").await?;
        page.sees("The book is in use").await?;
        fill(page, "Find a code", "their words").await?;
        let codes = books::codes(page).await?;
        assert_eq!(codes, ["44D0 their words for 44D0"]);
        fill(page, "Find a code", "0040").await?;
        page.sees("my words for 0040").await?;
        fill(page, "Find a code", "1100").await?;
        page.sees("standby rail low").await?;
        // Where the row is from is in the book.
        page.open(&format!("{HOME}/edit/codes/18")).await?;
        page.find("heading", "44D0").await?;
        let source = "return document.querySelector('main .form > * [name=source], main .form [name=source]').value";
        let source = page.run(source, &[]).await?;
        let source = source.as_str().unwrap_or_default();
        assert!(
            source.contains("from Orrery (demo) 1.1.2, taken in on 2"),
            "{source}"
        );
        Ok(())
    });
}

#[test]
fn the_whole_of_a_book_is_taken_and_then_it_is_the_same() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/books").await?;
        retitle(page, HOME, 18, "their words for 44D0").await?;
        let post = for_a_forum(page, HOME).await?;
        tap(page, "button", "Go back to the demonstration book").await?;
        page.sees("Your books").await?;
        for last in [false, true] {
            page.open("/books").await?;
            // This time put into the box, all at once.
            page.paste_into("Text of a code book", &post).await?;
            page.sees("This is what the book would bring.").await?;
            if last {
                page.sees("You have this book already, exactly as it is.")
                    .await?;
                return Ok(());
            }
            page.sees("You have version 1.1.0 of this book.").await?;
            assert!(!main_text(page).await?.contains("check sum"));
            tap(page, "button", "Take all of it in place of mine").await?;
            page.sees("The book is in use").await?;
        }
        Ok(())
    });
}

#[test]
fn a_post_that_was_changed_on_the_way_says_so() {
    phone(async |page| {
        allow_clipboard(page).await?;
        let post = for_a_forum(page, HOME).await?;
        page.open("/books").await?;
        let other = post.replacen("dipped", "dippad", 1);
        assert_ne!(other, post);
        copy(page, &other).await?;
        tap(page, "button", "Paste its text").await?;
        page.sees("its check sum is not right").await?;
        page.sees("dippad").await?;
        // Looked at and left: nothing has changed.
        page.open("/books").await?;
        fill(page, "Code or word", "1100").await?;
        page.sees("standby rail low").await?;
        // Half of it is no book.
        let half: String = post.chars().take(post.len() / 2).collect();
        copy(page, &half).await?;
        tap(page, "button", "Paste its text").await?;
        page.sees("This was not taken as a book.").await
    });
}

#[test]
fn a_post_pasted_into_read_is_known_as_a_book() {
    phone(async |page| {
        allow_clipboard(page).await?;
        make_marlow(page, "Marlow handset").await?;
        let post = for_a_forum(page, "/books/marlow-handset").await?;
        wipe(page).await?;
        page.open("/read").await?;
        paste(page, &post).await?;
        tap(page, "button", "This is a code book. Look at it").await?;
        page.find("heading", "Marlow handset").await?;
        tap(page, "button", "Put it on this device").await?;
        page.sees("The book is in use").await?;
        page.open("/read").await?;
        paste(page, POST).await?;
        assert_eq!(shown(page).await?.as_pasted, CODES);
        Ok(())
    });
}

#[test]
fn a_book_goes_through_a_file_and_through_the_backup() {
    phone(async |page| {
        allow_clipboard(page).await?;
        catch_files(page).await?;
        make_marlow(page, "Marlow handset").await?;
        unfold(page, "Keep a copy, or pass it on").await?;
        tap(page, "button", "Save the file").await?;
        let (name, bytes) = caught(page).await?;
        assert_eq!(name, "marlow-handset-0.1.0.json");
        let zip = backup(page).await?;
        wipe(page).await?;
        page.open("/books").await?;
        page.sees("Orrery").await?;
        assert!(!main_text(page).await?.contains("Marlow"));
        notebook_there(page).await?;
        read_in(page, &zip).await?;
        page.open("/books").await?;
        page.find("link", "Marlow handset").await?;
        page.open("/read").await?;
        paste(page, POST).await?;
        assert_eq!(shown(page).await?.as_pasted, CODES);
        wipe(page).await?;
        page.open("/books").await?;
        page.find("button", "Open a file").await?;
        let file = tempfile::Builder::new().suffix(".json").tempfile()?;
        std::fs::write(file.path(), bytes)?;
        page.choose_file("#book-file", file.path()).await?;
        tap(page, "button", "Put it on this device").await?;
        page.sees("The book is in use").await?;
        page.open("/read").await?;
        paste(page, POST).await?;
        assert_eq!(shown(page).await?.as_pasted, CODES);
        Ok(())
    });
}

/// Texts that are no book, or one made to do harm: what each is, and itself.
fn hostile(good: &str) -> Vec<(&'static str, String)> {
    let nested = |n: usize| "[".repeat(n);
    vec![
        ("cut off", good.chars().take(good.len() / 2).collect()),
        (
            "deep",
            format!("{{\"format\": 1, \"codes\": {}", nested(200_000)),
        ),
        (
            "deep and closed",
            format!(
                "{{\"format\": 1, \"codes\": {}{}}}",
                nested(100_000),
                "]".repeat(100_000)
            ),
        ),
        (
            "junk of 5 MB",
            "junk, 0123456789 abcdefgh.\n".repeat(200_000),
        ),
        (
            "one line of 5 MB",
            format!("{{\"format\": 1, \"name\": \"{}\"}}", "x".repeat(5_000_000)),
        ),
        ("a list", format!("[{}1]", "1,".repeat(400))),
        (
            "bytes",
            (0..4000_u32)
                .map(|n| char::from_u32(n % 0x24F).unwrap_or('\u{fffd}'))
                .collect(),
        ),
        (
            "another format",
            good.replacen("\"format\": 1", "\"format\": 99", 1),
        ),
    ]
}

#[test]
fn harmful_texts_are_refused_and_nothing_is_lost() {
    phone(async |page| {
        page.open("/books").await?;
        let good = page
            .run(
                "return fetch('/books/orrery.json').then((r) => r.text())",
                &[],
            )
            .await?;
        let good = good.as_str().unwrap_or_default().to_owned();
        for (what, text) in hostile(&good) {
            page.open("/books").await?;
            page.find("button", "Open a file").await?;
            let file = tempfile::Builder::new().suffix(".json").tempfile()?;
            std::fs::write(file.path(), &text)?;
            page.choose_file("#book-file", file.path()).await?;
            page.sees("This was not taken as a book.")
                .await
                .map_err(|e| e.context(what))?;
            let said = "return document.querySelectorAll('.problems li p').length > 0
                && [...document.querySelectorAll('.problems li p')][0].innerText.length > 10";
            page.wait_true(what, said).await?;
            page.sees("Orrery (demo)").await?;
        }
        page.shot("books-refused").await?;
        // A typed letter goes on being possible after it.
        fill(page, "Code or word", "44D0").await?;
        page.sees("graphics rail low").await
    });
}

#[test]
fn a_book_full_of_markup_is_only_shown() {
    phone(async |page| {
        page.before_load(
            "window.alert = window.confirm = window.prompt = () => { window.harmed = true }",
        )
        .await?;
        page.open("/books").await?;
        let good = page
            .run(
                "return fetch('/books/orrery.json').then((r) => r.json())",
                &[],
            )
            .await?;
        let bad = "<img src=https://elsewhere.invalid/x onerror=alert(1)><script>alert(2)</script>[url=javascript:alert(3)]x[/url]";
        let mut book = good;
        book["id"] = json!("bad-book");
        for key in ["name", "about", "licence", "maker"] {
            book[key] = json!(format!("{key} {bad}"));
        }
        for row in book["codes"].as_array_mut().into_iter().flatten() {
            row["title"] = json!(bad);
            row["meaning"] = json!(bad);
        }
        for section in ["steps", "boards", "rails"] {
            for row in book[section].as_array_mut().into_iter().flatten() {
                row["name"] = json!(bad);
            }
        }
        book["sources"] = json!([{ "title": bad, "note": bad, "url": "javascript:alert(4)" }]);
        let file = tempfile::Builder::new().suffix(".json").tempfile()?;
        std::fs::write(file.path(), book.to_string())?;
        page.find("button", "Open a file").await?;
        page.choose_file("#book-file", file.path()).await?;
        page.sees("onerror=alert(1)").await?;
        tap(page, "button", "Put it on this device").await?;
        page.sees("The book is in use").await?;
        for rest in [
            "",
            "/edit",
            "/edit/codes",
            "/edit/codes/0",
            "/edit/about",
            "/edit/sources/0",
            "/versions",
        ] {
            page.open(&format!("/books/bad-book{rest}")).await?;
            settle(page).await?;
            page.run(
                "document.querySelectorAll('main details').forEach((d) => { d.open = true })",
                &[],
            )
            .await?;
            settle(page).await?;
            let harm = "return [!!window.harmed, document.querySelectorAll('main img, main script, main iframe').length,
                [...document.querySelectorAll('main a')].filter((a) => a.protocol === 'javascript:').length]";
            assert_eq!(page.run(harm, &[]).await?, json!([false, 0, 0]), "{rest}");
            assert_eq!(page.overhang().await?, 0, "{rest}");
        }
        Ok(())
    });
}
