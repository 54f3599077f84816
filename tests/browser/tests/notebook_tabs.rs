//! Two tabs on one notebook, and everything that can be wrong with the place it
//! is kept in: nothing is lost without a word.

#[path = "help/archive.rs"]
mod archive;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use archive::{backup, catch_files, unzip};
use browser_tests::{Outcome, Page, json};
use help::{phone, tap};
use notebook::{
    SAVED, all, beside, done, fill, main_text, new_console, saved, says, type_here, write,
};
use thirtyfour::WindowHandle;

const CLASH: &str = "Changed in two ways";
const ELSEWHERE: &str = "was changed in another tab while it was open here";

/// Opens a second tab, in front. Gives the handles of both.
async fn second_tab(page: &Page) -> anyhow::Result<[WindowHandle; 2]> {
    let first = page.driver().window().await?;
    let second = page.driver().new_tab().await?;
    page.driver().switch_to_window(second.clone()).await?;
    Ok([first, second])
}

async fn to(page: &Page, tab: &WindowHandle) -> Outcome {
    Ok(page.driver().switch_to_window(tab.clone()).await?)
}

/// A console with one note in it; gives the note's address.
async fn a_note(page: &Page, text: &str) -> anyhow::Result<String> {
    new_console(page, "Attic find", "").await?;
    write(page, "Add", "Note", &[("Note", text)]).await?;
    page.sees(text).await?;
    let script = "return document.querySelector('main a.record-link').getAttribute('href')";
    let path = page.run(script, &[]).await?;
    Ok(path.as_str().unwrap_or_default().to_owned())
}

/// The place of a console, from the address of one of its records.
fn console_of(note: &str) -> String {
    note.rsplit_once('/')
        .map(|(c, _)| c.to_owned())
        .unwrap_or_default()
}

#[test]
fn a_change_in_one_tab_shows_in_the_other() {
    phone(async |page| {
        let note = a_note(page, "First").await?;
        let [first, second] = second_tab(page).await?;
        page.open(&console_of(&note)).await?;
        page.sees("First").await?;
        to(page, &first).await?;
        page.open(&note).await?;
        fill(page, "Note", "Changed in the first tab").await?;
        saved(page).await?;
        to(page, &second).await?;
        page.sees("Changed in the first tab").await?;
        // And back: a form that is opened now has missed nothing, and says so.
        page.open(&note).await?;
        fill(page, "Note", "Changed in the second tab").await?;
        done(page).await?;
        to(page, &first).await?;
        page.sees(ELSEWHERE).await?;
        tap(page, "link", "Back to the console").await?;
        page.sees("Changed in the second tab").await?;
        tap(page, "link", "Changed in the second tab").await?;
        page.find("textbox", "Note").await?;
        help::settle(page).await?;
        let text = main_text(page).await?;
        assert!(!text.contains(ELSEWHERE) && !text.contains(CLASH), "{text}");
        Ok(())
    });
}

/// Both tabs open the note, and both write: into these fields, these texts.
async fn both_write(
    page: &Page,
    note: &str,
    what: [(&str, &str); 2],
) -> anyhow::Result<[WindowHandle; 2]> {
    page.open(note).await?;
    let [first, second] = second_tab(page).await?;
    page.open(note).await?;
    page.find("textbox", "Note").await?;
    to(page, &first).await?;
    page.find("textbox", "Note").await?;
    fill(page, what[0].0, what[0].1).await?;
    saved(page).await?;
    to(page, &second).await?;
    page.sees(ELSEWHERE).await?;
    fill(page, what[1].0, what[1].1).await?;
    saved(page).await?;
    Ok([first, second])
}

#[test]
fn two_texts_for_one_field_both_stay_and_one_is_chosen() {
    phone(async |page| {
        let note = a_note(page, "Before").await?;
        let texts = ["The fan is loud", "The fan is quiet"];
        let tabs = both_write(page, &note, [("Note", texts[0]), ("Note", texts[1])]).await?;
        // The first goes on typing into what it has: nothing of the other is lost.
        to(page, &tabs[0]).await?;
        page.sees(ELSEWHERE).await?;
        fill(page, "Note", "The fan is very loud").await?;
        saved(page).await?;
        for tab in &tabs {
            to(page, tab).await?;
            page.open(&console_of(&note)).await?;
            page.sees(CLASH).await?;
            page.open(&note).await?;
            page.sees("Which one is right?").await?;
            let shown = page
                .run(
                    "return [...document.querySelectorAll('.clash-value')].map((v) => v.innerText)",
                    &[],
                )
                .await?;
            let mut shown = help::texts(&shown);
            shown.sort();
            assert_eq!(shown, ["The fan is quiet", "The fan is very loud"]);
        }
        page.shot("notebook-clash-phone").await?;
        // Chosen in one tab, decided in both. The other text stays a former version.
        let keep = "const box = [...document.querySelectorAll('.clash')].find((c) => c.innerText.includes('quiet'));
            box.querySelector('button').click()";
        page.run(keep, &[]).await?;
        page.sees_no("Which one is right?").await?;
        for tab in &tabs {
            to(page, tab).await?;
            page.open(&note).await?;
            page.find("textbox", "Note").await?;
            let now = page.find("textbox", "Note").await?.prop("value").await?;
            assert_eq!(now.as_deref(), Some("The fan is quiet"));
            notebook::unfold(page, "Former versions").await?;
            let text = main_text(page).await?;
            assert!(
                !text.contains(CLASH) && text.contains("The fan is very loud"),
                "{text}"
            );
        }
        Ok(())
    });
}

#[test]
fn two_tabs_may_change_different_fields() {
    phone(async |page| {
        let note = a_note(page, "Before").await?;
        let tabs = both_write(page, &note, [("Day", "2026-03-12"), ("Note", "After")]).await?;
        for tab in &tabs {
            to(page, tab).await?;
            page.open(&console_of(&note)).await?;
            says(page, &["After", "12 March"]).await?;
            let text = main_text(page).await?;
            assert!(!text.contains(CLASH), "{text}");
        }
        Ok(())
    });
}

#[test]
fn without_storage_it_says_so_and_the_text_stays_on_the_page() {
    phone(async |page| {
        page.block_storage().await?;
        page.open("/consoles").await?;
        page.sees("This browser keeps nothing for this page, so there is no notebook.")
            .await?;
        tap(page, "button", "New console").await?;
        fill(page, "Nickname", "Attic find").await?;
        page.sees("Not saved. This browser keeps nothing").await?;
        page.shot("notebook-no-storage-phone").await?;
        let name = page
            .find("textbox", "Nickname")
            .await?
            .prop("value")
            .await?;
        assert_eq!(name.as_deref(), Some("Attic find"));
        // The other places still work.
        for path in ["/backup", "/consoles/deleted", "/read"] {
            page.open(path).await?;
        }
        Ok(())
    });
}

/// The origin's room for stored data: some bytes, or as much as usual.
async fn room(page: &mut Page, bytes: Option<u64>) -> Outcome {
    let mut what = json!({ "origin": page.server().origin() });
    if let (Some(bytes), Some(map)) = (bytes, what.as_object_mut()) {
        map.insert("quotaSize".to_owned(), json!(bytes));
    }
    page.cdp("Storage.overrideQuotaForOrigin", what)
        .await
        .map(drop)
}

/// A note on a device that has little room left. The browser remembers for a
/// while how much there is, so this comes before the first change.
async fn a_note_with_little_room(page: &mut Page, text: &str) -> anyhow::Result<String> {
    page.open("/").await?;
    page.ready_offline().await?;
    let used = "return navigator.storage.estimate().then((e) => e.usage)";
    let used = page.run(used, &[]).await?.as_u64().unwrap_or_default();
    room(page, Some(used + 200_000)).await?;
    let note = a_note(page, text).await?;
    page.open(&note).await?;
    page.find("textbox", "Note").await?;
    Ok(note)
}

/// Takes up the room that is left, to the last byte.
async fn fill_up(page: &Page) -> Outcome {
    let body = "let n = 0;
        for (const size of [100000, 10000, 1000, 100, 10]) {
            try {
                for (;;) {
                    const tx = db.transaction('facts', 'readwrite');
                    tx.objectStore('facts').put('x'.repeat(size), `ballast-${n}`);
                    await new Promise((done, failed) => { tx.oncomplete = done; tx.onabort = () => failed(tx.error); });
                    n++;
                }
            } catch (error) {
                if (error.name !== 'QuotaExceededError') throw error;
            }
        }
        return n;";
    let pieces = beside(page, body, &[]).await?;
    anyhow::ensure!(pieces.as_u64() > Some(0), "there was no room at all");
    Ok(())
}

/// Gives all the room back.
async fn make_room(page: &mut Page) -> Outcome {
    let body = "const facts = db.transaction('facts', 'readwrite').objectStore('facts');
        await wait(facts.delete(IDBKeyRange.bound('ballast-', 'ballast-~')))";
    beside(page, body, &[]).await?;
    room(page, None).await
}

#[test]
fn on_a_full_device_the_text_stays_and_is_saved_when_there_is_room() {
    phone(async |page| {
        a_note_with_little_room(page, "First").await?;
        fill_up(page).await?;
        fill(page, "Note", "Typed on a full device").await?;
        page.sees("Not saved. There is no room left on this device.")
            .await?;
        page.shot("notebook-full-phone").await?;
        // Done does not take the text away while it is nowhere else.
        tap(page, "button", "Done").await?;
        help::settle(page).await?;
        let now = page.find("textbox", "Note").await?.prop("value").await?;
        assert_eq!(now.as_deref(), Some("Typed on a full device"));
        let text = main_text(page).await?;
        assert!(!text.contains(SAVED), "{text}");
        make_room(page).await?;
        tap(page, "button", "Try again").await?;
        saved(page).await?;
        page.sees_no("There is no room left").await?;
        done(page).await?;
        page.sees("Typed on a full device").await
    });
}

#[test]
fn what_could_not_be_saved_before_the_page_was_left_is_saved_at_the_next_start() {
    phone(async |page| {
        let note = a_note_with_little_room(page, "First").await?;
        fill(page, "Note", "First, and saved").await?;
        saved(page).await?;
        fill_up(page).await?;
        type_here(page, ", and not saved").await?;
        page.sees("Not saved. There is no room left").await?;
        page.open("/about").await?;
        make_room(page).await?;
        // Something else is saved in between; it does not stand in the way.
        page.open("/consoles").await?;
        new_console(page, "Another one", "").await?;
        page.open(&console_of(&note)).await?;
        page.sees("First, and saved, and not saved").await?;
        let text = main_text(page).await?;
        assert!(!text.contains(CLASH), "{text}");
        Ok(())
    });
}

#[test]
fn what_is_typed_right_before_a_reload_is_there_after_it() {
    phone(async |page| {
        let note = a_note(page, "First").await?;
        page.open(&note).await?;
        fill(page, "Note", "First, and saved").await?;
        saved(page).await?;
        // The database does not get it any more: the page goes too fast.
        let deaf = "IDBDatabase.prototype.transaction = () => { throw new DOMException('the test', 'InvalidStateError') }";
        page.run(deaf, &[]).await?;
        type_here(page, ", and more").await?;
        page.reload().await?;
        page.open(&console_of(&note)).await?;
        page.sees("First, and saved, and more").await?;
        let text = main_text(page).await?;
        assert!(!text.contains(CLASH), "{text}");
        Ok(())
    });
}

#[test]
fn a_form_that_could_not_save_is_not_forgotten_when_another_one_saves() {
    phone(async |page| {
        a_note_with_little_room(page, "First").await?;
        fill_up(page).await?;
        fill(page, "Note", "Typed on a full device").await?;
        page.sees("Not saved. There is no room left").await?;
        // Away by a link, then another form is saved on the same page.
        tap(page, "link", "Back to the console").await?;
        page.sees("About this console").await?;
        make_room(page).await?;
        tap(page, "link", "Change").await?;
        fill(page, "Region or suffix", "EU").await?;
        done(page).await?;
        page.reload().await?;
        page.sees("Typed on a full device").await
    });
}

/// Keeps a hand on every connection that pages opened from now on make.
const HOLD: &str = "window.held = [];
    const open = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (...all) {
        const request = open.apply(this, all);
        request.addEventListener('success', () => window.held.push(request.result));
        return request;
    };";

#[test]
fn a_connection_that_the_browser_cut_is_made_again() {
    phone(async |page| {
        page.before_load(HOLD).await?;
        let note = a_note(page, "First").await?;
        page.open(&note).await?;
        fill(page, "Note", "Before the cut").await?;
        saved(page).await?;
        let cut = "window.held.forEach((d) => d.close()); return window.held.length";
        assert!(page.run(cut, &[]).await?.as_u64() > Some(0));
        fill(page, "Note", "After the cut").await?;
        done(page).await?;
        page.run(cut, &[]).await?;
        page.driver().back().await?;
        fill(page, "Note", "After two cuts").await?;
        done(page).await?;
        page.sees("After two cuts").await?;
        let text = main_text(page).await?;
        assert!(!text.contains(CLASH), "{text}");
        Ok(())
    });
}

/// Raises the version of the database, as a newer version of the app does.
const NEWER: &str = "return new Promise((done, failed) => {
    const request = indexedDB.open('faultleaf', 9);
    request.onupgradeneeded = () => {
        if (!request.result.objectStoreNames.contains('later')) request.result.createObjectStore('later');
    };
    request.onsuccess = () => { request.result.close(); done(true) };
    request.onerror = () => failed(request.error);
})";

#[test]
fn a_notebook_of_a_newer_app_is_not_touched() {
    phone(async |page| {
        let note = a_note(page, "First").await?;
        let before = all(page).await?;
        page.open(&note).await?;
        page.find("textbox", "Note").await?;
        let [first, _] = second_tab(page).await?;
        // No page of the app, but on its origin.
        page.go("/manifest.webmanifest").await?;
        page.run(NEWER, &[]).await?;
        // The tab that was open says so, and keeps what is typed.
        to(page, &first).await?;
        page.sees("newer version of the app").await?;
        fill(page, "Note", "Typed too late").await?;
        page.sees("Not saved. The notebook on this device was written by a newer version")
            .await?;
        page.shot("notebook-newer-phone").await?;
        let now = page.find("textbox", "Note").await?.prop("value").await?;
        assert_eq!(now.as_deref(), Some("Typed too late"));
        // So does one that is opened now.
        page.open("/consoles").await?;
        page.sees("was written by a newer version of the app")
            .await?;
        assert_eq!(all(page).await?, before);
        let version = "return indexedDB.databases().then((all) => all.find((d) => d.name === 'faultleaf').version)";
        assert_eq!(page.run(version, &[]).await?, json!(9));
        Ok(())
    });
}

#[test]
fn a_damaged_record_is_shown_kept_and_in_the_backup() {
    phone(async |page| {
        catch_files(page).await?;
        let console = new_console(page, "Attic find", "").await?;
        let body =
            "{\"id\":\"hurt\",\"kind\":\"note\",\"versions\":[{\"data\":{\"note\":\"half a sent";
        let row = json!({ "id": "hurt", "kind": "note", "console": console, "body": body });
        let put = "await wait(db.transaction('records', 'readwrite').objectStore('records').put(arguments[0]))";
        // The inner function has arguments of its own.
        let put = put.replace("arguments[0]", &row.to_string());
        beside(page, &put, &[]).await?;
        page.open(&format!("/consoles/{console}")).await?;
        page.sees("Some records are damaged and can't be read.")
            .await?;
        notebook::unfold(page, "hurt").await?;
        page.sees("half a sent").await?;
        page.shot("notebook-damaged-phone").await?;
        // Work goes on beside it.
        write(page, "Add", "Note", &[("Note", "Still works")]).await?;
        page.sees("Still works").await?;
        let zip = backup(page).await?;
        page.sees("Left out: 1").await?;
        let files = unzip(page, &zip).await?;
        assert_eq!(files["damaged/hurt.txt"], json!(body), "{files:#}");
        let rows = all(page).await?["rows"].clone();
        let kept = rows
            .as_array()
            .and_then(|r| r.iter().find(|r| r["id"] == "hurt"))
            .cloned();
        assert_eq!(kept, Some(row));
        Ok(())
    });
}

#[test]
fn a_console_whose_own_record_is_damaged_is_told_in_the_list() {
    phone(async |page| {
        let console = new_console(page, "Attic find", "").await?;
        write(page, "Add", "Note", &[("Note", "Still here")]).await?;
        let hurt = format!(
            "await wait(db.transaction('records', 'readwrite').objectStore('records').put({}))",
            json!({ "id": console, "kind": "console", "console": console, "body": "{" })
        );
        beside(page, &hurt, &[]).await?;
        page.open("/consoles").await?;
        page.sees("Some records are damaged and can't be read.")
            .await?;
        page.open(&format!("/consoles/{console}")).await?;
        page.sees("Some records are damaged and can't be read.")
            .await
    });
}
