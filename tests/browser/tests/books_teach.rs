//! Teaching a line: what the app takes the parts of a log for, and everything a
//! person can say against it by tapping.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use books::{CODES, PARTS, POST, looked_at, more, parts, press, put_log, role};
use browser_tests::{Outcome, Page};
use help::{allow_clipboard, phone, settle, shown, tap};
use notebook::{fill, main_text, unfold};

/// Step and code without anything between them, and a time. All invented.
const GLUED: &str = "ev 07A417 t 1190412207
ev 07A417 t 1190412391
ev 09B020 t 1190498822
ev 02C903 t 1190690011
ev 07A418 t 1191011873
ev 09B021 t 1191338040
ev 07A41C t 1192007745
ev 02C911 t 1193005512
";
/// Records of 10 bytes: A5, a counter, the step, the code (highest byte first),
/// the time in seconds since 1970, all bytes before it xored. All invented.
const DUMP: &str = "0000: A5 03 07 A4 17 46 F5 9F 3F 01 A5 04 07 A4 17 46
0010: F7 1D BE 07 A5 05 09 B0 20 46 F8 F9 0A 74 A5 06
0020: 02 C9 03 46 FB 6F 01 B8 A5 07 07 A4 18 46 FD 85
0030: 01 26 A5 08 09 B0 21 46 FF 78 E8 1C A5 09 07 A4
0040: 1C 47 01 88 94 49 A5 0A 02 C9 11 47 03 F1 E3 23
0050: A5 0B 07 A4 17 47 05 BA 33 D1 A5 0C 09 B0 20 47
0060: 07 1F 62 0D A5 0D 07 A4 17 47 09 97 CE 0B A5 0E
0070: 02 C9 03 47 0C 28 D5 D5
";

async fn open(page: &mut Page) -> Outcome {
    allow_clipboard(page).await?;
    page.open("/make").await?;
    page.ready_offline().await?;
    page.server().stop();
    Ok(())
}

/// Makes the book and reads the log with it, which goes into the box of Read.
/// Gives the codes, and all that the page says.
async fn made(page: &Page, name: &str, log: &str) -> anyhow::Result<(Vec<String>, String)> {
    fill(page, "What people call the console", name).await?;
    tap(page, "button", "Make the book").await?;
    page.find("heading", name).await?;
    tap(page, "link", "Read").await?;
    page.find("textbox", "Fault log text").await?;
    help::paste(page, log).await?;
    Ok((shown(page).await?.as_pasted, main_text(page).await?))
}

#[test]
fn a_part_is_cut_in_two_joined_and_cut_again() {
    phone(async |page| {
        open(page).await?;
        put_log(page, GLUED).await?;
        page.sees("8 of 8 entries read").await?;
        let before = parts(page).await?;
        assert!(before.iter().any(|(p, _)| p == "2: 07A417"), "{before:?}");
        press(page, "2: 07A417", "A417").await?;
        page.sees("3: A417").await?;
        page.sees("8 of 8 entries read").await?;
        press(page, "3: A417", "Join with the part before").await?;
        page.sees("2: 07A417").await?;
        press(page, "2: 07A417", "A417").await?;
        page.sees("3: A417").await?;
        fill(page, "2: 07", "Power-up step").await?;
        fill(page, "3: A417", "Code").await?;
        page.shot("books-teach-cut").await?;
        let (codes, text) = made(page, "Glued", GLUED).await?;
        let all = "A417 A417 B020 C903 A418 B021 A41C C911";
        assert_eq!(codes.join(" "), all);
        assert!(
            text.contains("step 07") && text.contains("step 02"),
            "{text}"
        );
        Ok(())
    });
}

#[test]
fn the_beginning_of_counting_is_chosen() {
    phone(async |page| {
        open(page).await?;
        put_log(page, POST).await?;
        for (part, role) in PARTS {
            fill(page, part, role).await?;
        }
        tap(page, "radio", "Seconds since 1980").await?;
        settle(page).await?;
        let on = "const on = [...document.querySelectorAll('input[name=make-epoch]')].filter((i) => i.checked);
            return on.length === 1 && on[0].labels[0].innerText.includes('1980')";
        page.wait_true("the other epoch", on).await?;
        let (codes, text) = made(page, "Marlow", POST).await?;
        assert_eq!(codes, CODES);
        // 1190412207 seconds after 1980-01-06, or after 1980-01-01, as the app
        // calls the one that was chosen: both are in September 2017.
        assert!(
            text.contains("Sep 2017") && !text.contains("Sep 2007"),
            "{text}"
        );
        Ok(())
    });
}

#[test]
fn bytes_are_read_with_the_length_that_one_says() {
    phone(async |page| {
        open(page).await?;
        put_log(page, DUMP).await?;
        page.sees("12 of 12 entries read").await?;
        assert_eq!(role(page, "One entry has").await?, "10 bytes");
        // Twice the length is half the entries, and never a wrong word on them.
        fill(page, "One entry has", "20 bytes").await?;
        page.sees("of 6 entries read").await?;
        assert_eq!(role(page, "One entry has").await?, "20 bytes");
        fill(page, "One entry has", "10 bytes").await?;
        page.sees("12 of 12 entries read").await?;
        // A byte more in front: the parts begin elsewhere.
        fill(page, "Bytes before the first", "1").await?;
        key_enter(page).await?;
        let moved = "return document.querySelector('main .log-pre').innerText.startsWith('03')";
        page.wait_true("the entry to begin one byte later", moved)
            .await?;
        fill(page, "Bytes before the first", "0").await?;
        key_enter(page).await?;
        let back = "return document.querySelector('main .log-pre').innerText.startsWith('A5')";
        page.wait_true("the entry to begin with the first byte", back)
            .await?;
        fill(page, "4: A4 17", "Code").await?;
        page.shot("books-teach-bytes").await?;
        let (codes, text) = made(page, "Tenfold", DUMP).await?;
        let all = "A417 A417 B020 C903 A418 B021 A41C C911 A417 B020 A417 C903";
        assert_eq!(codes.join(" "), all);
        // 46 F5 9F 3F is 1190502207, and `date` says when that was.
        assert!(text.contains("22 Sep 2007, 23:03:27 UTC"), "{text}");
        Ok(())
    });
}

async fn key_enter(page: &Page) -> Outcome {
    page.driver()
        .active_element()
        .await?
        .send_keys("\u{e007}")
        .await?;
    settle(page).await
}

#[test]
fn which_byte_is_the_highest_is_turned_and_turned_back() {
    phone(async |page| {
        open(page).await?;
        put_log(page, DUMP).await?;
        more(page, "4: A4 17").await?;
        let [high, low] = ["Highest byte first", "Lowest byte first"];
        let text = main_text(page).await?;
        let (now, other) = if text.contains(low) {
            (low, high)
        } else {
            (high, low)
        };
        press(page, "4: A4 17", now).await?;
        press(page, "4: A4 17", other).await?;
        press(page, "4: A4 17", now).await
    });
}

#[test]
fn what_was_said_is_still_said_after_a_reload() {
    phone(async |page| {
        open(page).await?;
        put_log(page, POST).await?;
        for (part, role) in PARTS {
            fill(page, part, role).await?;
        }
        more(page, "8: 0371").await?;
        fill(page, "Call it", "cell volts").await?;
        key_enter(page).await?;
        tap(page, "radio", "Seconds since 1980").await?;
        press(page, "2: 118", "18").await?;
        page.sees("3: 18").await?;
        books::copy_html(page, books::TABLE).await?;
        tap(page, "button", "Paste the table").await?;
        page.sees("From the tables: 7 codes").await?;
        fill(page, "Where to look", "Note").await?;
        fill(page, "What people call the console", "Half done").await?;
        let (log, table) = (parts(page).await?, books::columns(page).await?);
        for _ in 0..2 {
            page.reload().await?;
            looked_at(page, POST).await?;
            assert_eq!(parts(page).await?, log);
            assert_eq!(books::columns(page).await?, table);
            let name = page.find("textbox", "What people call").await?;
            assert_eq!(name.prop("value").await?.as_deref(), Some("Half done"));
            let epoch = "return [...document.querySelectorAll('input[name=make-epoch]')]
                .find((i) => i.checked)?.labels[0].innerText.includes('1980')";
            page.wait_true("the epoch", epoch).await?;
            let called = "return [...document.querySelectorAll('main .teach input[type=text]')]
                .some((i) => i.value.includes('cell'))";
            page.wait_true("the name of a part", called).await?;
        }
        // And after another page of the app.
        tap(page, "link", "About").await?;
        page.find("heading", "About").await?;
        page.open("/make").await?;
        looked_at(page, POST).await?;
        assert_eq!(parts(page).await?, log);
        tap(page, "button", "Start over").await?;
        page.sees_no("entries read").await?;
        page.reload().await?;
        let empty = "return document.querySelector('#make-log').value === ''
            && document.querySelector('#make-name').value === ''";
        page.wait_true("an empty page", empty).await?;
        Ok(())
    });
}

#[test]
fn what_was_said_can_be_forgotten() {
    phone(async |page| {
        open(page).await?;
        put_log(page, POST).await?;
        let before = parts(page).await?;
        fill(page, "6: K417", "Ignore it").await?;
        fill(page, "12: ", books::KEEP).await?;
        assert_ne!(parts(page).await?, before);
        unfold(page, "These are not the entries?").await?;
        tap(page, "button", "Forget what I said").await?;
        settle(page).await?;
        assert_eq!(parts(page).await?, before);
        Ok(())
    });
}

#[test]
fn another_kind_can_be_said_and_taken_back() {
    phone(async |page| {
        open(page).await?;
        put_log(page, POST).await?;
        let before = parts(page).await?;
        unfold(page, "These are not the entries?").await?;
        tap(page, "button", "It is a dump of bytes").await?;
        settle(page).await?;
        // Whatever it makes of it, there is a way back.
        if !main_text(page).await?.contains("It is lines of text") {
            unfold(page, "These are not the entries?").await?;
        }
        tap(page, "button", "It is lines of text").await?;
        settle(page).await?;
        assert_eq!(parts(page).await?, before);
        Ok(())
    });
}

#[test]
fn a_line_can_be_typed_and_what_is_not_read_is_listed() {
    phone(async |page| {
        open(page).await?;
        page.type_into("Log", "leaf 118; wait CD10; mark K417")
            .await?;
        page.sees("1 of 1 entry reads").await?;
        page.paste_into("Log", "\nleaf 119; wait CD10; mark K418\nleaf 12")
            .await?;
        page.sees("2 of ").await?;
        put_log(page, POST).await?;
        unfold(page, "Not read as written: 1 line").await?;
        // Counted from the top of the post.
        page.sees("Line 13: ").await?;
        // Words that are no log at all.
        tap(page, "button", "Start over").await?;
        put_log(page, "Good evening.").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("entries read"), "{text}");
        Ok(())
    });
}
