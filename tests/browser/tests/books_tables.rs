//! Code tables in every way a person has them: copied from a page, as source,
//! in a file, typed; and what can be said against what the app makes of them.

#[path = "help/books.rs"]
mod books;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use books::{TABLE, codes, columns, copy, copy_html, role};
use browser_tests::{Outcome, Page, json};
use help::{allow_clipboard, phone, settle, tap};
use notebook::{fill, main_text, unfold};

/// What the table of the Marlow gives, whichever way it comes.
const ROWS: [&str; 7] = [
    "B020 charging supply dipped",
    "B021 charging supply too high",
    "K41? radio supply low, the last character counts tries",
    "N155 no answer from the keypad chip",
    "N156 no answer from the keypad chip",
    "H23? memory copy differs",
    "T903 too warm, shut off",
];
/// The same as a file of a spreadsheet, with the cell that was merged filled in.
const CSV: &str = "\u{feff}Mark;Wait;What it says;Where to look\r
B020;A101;charging supply dipped;\"D4; C31\"\r
B021;A101;charging supply too high;U2\r
K410-K41F;CD10;\"radio supply low, the last character counts tries\";U11, L6\r
N155, N156;E4FF;no answer from the keypad chip;U20\r
H23x;C733;memory copy differs;U8\r
T903;F020;too warm, shut off;R77\r
";
/// The same in Markdown.
const MARKDOWN: &str = "Gathered by the handset circle.

| Mark | Wait | What it says | Where to look |
|---|---|---|---|
| B020 | A101 | charging supply dipped | D4, C31 |
| B021 | A101 | charging supply too high | U2 |
| K410-K41F | CD10 | radio supply low, the last character counts tries | U11, L6 |
| N155, N156 | E4FF | no answer from the keypad chip | U20 |
| H23x | C733 | memory copy differs | U8 |
| T903 | F020 | too warm, shut off | R77 |
";
/// Two tables on one page: codes, and the names of the steps.
const TWO: &str = "<h3>Marks</h3><table><tr><th>Mark</th><th>Step</th><th>What it says</th></tr>
<tr><td>B020</td><td>A101</td><td>charging supply dipped</td></tr>
<tr><td>T903</td><td>F020</td><td>too warm, shut off</td></tr></table>
<h3>Steps, in the order of power-up</h3><table><tr><th>Step</th><th>Name</th></tr>
<tr><td>A101</td><td>charging</td></tr><tr><td>F020</td><td>warm-up</td></tr></table>";

async fn open(page: &mut Page) -> Outcome {
    allow_clipboard(page).await?;
    page.open("/make").await?;
    page.ready_offline().await?;
    page.server().stop();
    Ok(())
}

async fn paste_table(page: &Page) -> Outcome {
    tap(page, "button", "Paste the table").await?;
    settle(page).await
}

/// All codes that the tables give so far.
async fn taken(page: &Page) -> anyhow::Result<Vec<String>> {
    unfold(page, "Look at the codes").await?;
    let more = "const b = [...document.querySelectorAll('main button')].find((b) => b.innerText.startsWith('Show all'));
        b?.click()";
    page.run(more, &[]).await?;
    codes(page).await
}

/// Taps Start over and waits until nothing is left.
async fn start_over(page: &Page) -> Outcome {
    tap(page, "button", "Start over").await?;
    page.sees_no("From the tables").await
}

#[test]
fn a_copied_page_its_source_a_file_and_typed_rows_give_the_same() {
    let file = tempfile::Builder::new().suffix(".csv").tempfile().unwrap();
    std::fs::write(file.path(), CSV).unwrap();
    phone(async |page| {
        open(page).await?;
        copy_html(page, TABLE).await?;
        paste_table(page).await?;
        assert_eq!(taken(page).await?, ROWS, "copied from a page");
        page.shot("books-table-html").await?;
        start_over(page).await?;
        copy(page, TABLE).await?;
        paste_table(page).await?;
        assert_eq!(taken(page).await?, ROWS, "the source of the page");
        start_over(page).await?;
        page.choose_file("#table-file", file.path()).await?;
        page.sees("From the tables").await?;
        assert_eq!(taken(page).await?, ROWS, "a file");
        start_over(page).await?;
        page.paste_into("Code table", MARKDOWN).await?;
        tap(page, "button", "Read what is in the box").await?;
        page.sees("From the tables").await?;
        assert_eq!(taken(page).await?, ROWS, "typed");
        let empty = "return document.querySelector('#make-table').value === ''";
        page.wait_true("the box to be empty", empty).await?;
        start_over(page).await?;
        // Pasted into the box with the keys, or by a long press.
        copy_html(page, TABLE).await?;
        page.find("textbox", "Code table").await?.focus().await?;
        let paste = json!({ "type": "keyDown", "key": "v", "commands": ["paste"] });
        page.cdp("Input.dispatchKeyEvent", paste).await?;
        page.sees("From the tables").await?;
        assert_eq!(taken(page).await?, ROWS, "pasted into the box");
        page.wait_true("the box to be empty", empty).await
    });
}

#[test]
fn a_column_is_corrected_and_the_codes_follow() {
    phone(async |page| {
        open(page).await?;
        copy_html(page, TABLE).await?;
        paste_table(page).await?;
        let all = columns(page).await?;
        let is = |name: &str| all.iter().find(|(n, _)| n == name).map(|(_, r)| r.as_str());
        assert_eq!(is("The rows are"), Some("Codes"));
        assert_eq!(is("Mark"), Some("Code"));
        // Without a column of codes there are none, and it says what to do.
        fill(page, "Mark", "Leave it out").await?;
        page.sees("Say which column has the codes").await?;
        fill(page, "Mark", "Code").await?;
        assert_eq!(taken(page).await?, ROWS);
        fill(page, "Wait", "Note").await?;
        unfold(page, "Look at the codes").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("Step A101"), "{text}");
        fill(page, "Wait", "Power-up step").await?;
        unfold(page, "Look at the codes").await?;
        page.sees("Step A101").await?;
        // What was said stays when another paste comes in.
        fill(page, "Where to look", "Leave it out").await?;
        copy(page, MARKDOWN).await?;
        paste_table(page).await?;
        assert_eq!(role(page, "Where to look").await?, "Leave it out");
        Ok(())
    });
}

#[test]
fn one_of_two_tables_is_left_out_and_a_paste_comes_back() {
    phone(async |page| {
        open(page).await?;
        copy_html(page, TWO).await?;
        paste_table(page).await?;
        page.sees("From the tables: 2 codes, 2 steps").await?;
        page.shot("books-table-two").await?;
        let tick = |n: usize| {
            format!(
            "document.querySelectorAll('#make-table-part')[0].closest('section')
                .querySelectorAll('.note-box > label input[type=checkbox], .note-box label > input[type=checkbox]')[{n}].click()"
        )
        };
        page.run(&tick(1), &[]).await?;
        page.sees_no("2 codes, 2 steps").await?;
        page.sees("From the tables: 2 codes").await?;
        // It stays so after a reload.
        page.reload().await?;
        page.sees("From the tables: 2 codes").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("2 codes, 2 steps"), "{text}");
        page.run(&tick(1), &[]).await?;
        page.sees("From the tables: 2 codes, 2 steps").await?;
        tap(page, "button", "Take this paste out").await?;
        page.sees_no("From the tables").await?;
        tap(page, "button", "Undo").await?;
        page.sees("From the tables: 2 codes, 2 steps").await?;
        // The step names reach the book.
        tap(page, "button", "Make the book").await?;
        unfold(page, "Power-up steps").await?;
        page.sees("warm-up").await
    });
}

#[test]
fn two_tables_that_disagree_are_both_kept_and_it_is_said() {
    phone(async |page| {
        open(page).await?;
        copy(page, "Code\tMeaning\nB020\tcharging supply dipped\nB021\tcharging supply too high\nT903\ttoo warm, shut off\n").await?;
        paste_table(page).await?;
        copy(
            page,
            "Code\tMeaning\nB020\tbattery gone\nT903\ttoo warm, shut off\n",
        )
        .await?;
        paste_table(page).await?;
        page.sees("1 code is said to mean different things.")
            .await?;
        unfold(page, "What does not agree").await?;
        page.sees("B020: ").await?;
        page.shot("books-table-conflict").await?;
        let codes = taken(page).await?;
        for words in ["B020 charging supply dipped", "B020 battery gone"] {
            assert!(codes.iter().any(|c| c == words), "{words}: {codes:?}");
        }
        let same = codes.iter().filter(|c| c.starts_with("T903")).count();
        assert_eq!(same, 1, "{codes:?}");
        // The book itself has both too, where a code is looked up.
        tap(page, "button", "Make the book").await?;
        page.find("button", "Take this book off the device").await?;
        page.open("/books").await?;
        fill(page, "Code or word", "B020").await?;
        page.sees("charging supply dipped").await?;
        page.sees("battery gone").await
    });
}

#[test]
fn a_text_without_a_table_says_so_and_is_not_lost() {
    phone(async |page| {
        open(page).await?;
        let letter = "A greeting from the attic, dear friend, but I have no table for you today.";
        copy(page, letter).await?;
        paste_table(page).await?;
        page.sees("No table or list was found in this text.")
            .await?;
        unfold(page, "Not part of the table: 1 line").await?;
        page.sees("A greeting from the attic").await?;
        tap(page, "button", "Take this paste out").await?;
        copy(page, "  \n ").await?;
        paste_table(page).await?;
        settle(page).await?;
        let boxes = "return document.querySelectorAll('main .note-box').length === 0";
        page.wait_true("nothing for a blank paste", boxes).await
    });
}

#[test]
fn a_page_that_means_harm_is_only_text() {
    phone(async |page| {
        open(page).await?;
        page.run("window.alert = () => { window.harmed = true }", &[])
            .await?;
        let table = "<table><tr><th>Mark</th><th>What it says</th></tr>
            <tr><td>B020</td><td>dipped<img src='https://elsewhere.invalid/x.png' onerror='alert(1)'></td></tr>
            <tr><td>B021</td><td>high<script>alert(2)</script>&lt;script&gt;alert(3)&lt;/script&gt;</td></tr>
            <tr><td>B022</td><td><svg onload='alert(4)'></svg><iframe src='https://elsewhere.invalid/'></iframe>low</td></tr></table>";
        copy(page, table).await?;
        paste_table(page).await?;
        page.sees("From the tables: 3 codes").await?;
        let codes = taken(page).await?;
        assert_eq!(codes.first().map(String::as_str), Some("B020 dipped"));
        assert!(codes[1].contains("high<script>alert(3)"), "{codes:?}");
        settle(page).await?;
        let harmed = page.run("return [!!window.harmed, document.querySelectorAll('main img, main iframe').length]", &[]).await?;
        assert_eq!(harmed, json!([false, 0]));
        Ok(())
    });
}
