//! A checklist where something is wrong: another tab, a tab that dies, a page
//! that is frozen, a device that keeps nothing or only a part. Nothing that was
//! done is lost without a word.

#[path = "help/bench.rs"]
mod bench;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use bench::{begin, gone_on, place, shown, step_on, timer, to_timer};
use browser_tests::{Outcome, Page, Value, json};
use help::{phone, settle, tap};
use notebook::{main_text, new_console, only, records, says, unfold, write};
use std::time::{Duration, Instant};
use thirtyfour::WindowHandle;

const PASTE: &str = "Renew thermal paste";
const KEPT: &str = "faultleaf.runs";

async fn here(page: &Page) -> anyhow::Result<String> {
    let path = page.run("return location.pathname", &[]).await?;
    Ok(path.as_str().unwrap_or_default().to_owned())
}

/// Goes on by this many steps.
async fn steps(page: &Page, n: usize) -> Outcome {
    for _ in 0..n {
        step_on(page).await?;
    }
    Ok(())
}

/// Opens a page in a second tab, which is in front then, after this script ran
/// in it. Gives both tabs.
async fn second_tab(page: &Page, script: &str, path: &str) -> anyhow::Result<[WindowHandle; 2]> {
    let first = page.driver().window().await?;
    let second = page.driver().new_tab().await?;
    page.driver().switch_to_window(second.clone()).await?;
    page.before_load(script).await?;
    page.open(path).await?;
    Ok([first, second])
}

async fn to(page: &Page, tab: &WindowHandle) -> Outcome {
    Ok(page.driver().switch_to_window(tab.clone()).await?)
}

/// What the notebook says of a field of the only checklist, once it says this.
async fn in_notebook(page: &Page, field: &str, value: Value) -> Outcome {
    let start = Instant::now();
    loop {
        let found = only(page, "run").await.unwrap_or_default()[field].clone();
        if found == value {
            return Ok(());
        }
        anyhow::ensure!(
            start.elapsed() < Duration::from_secs(10),
            "{field} is {found} in the notebook, not {value}"
        );
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
}

/// The same, and it stays so for a second.
async fn stays_in_notebook(page: &Page, field: &str, value: Value) -> Outcome {
    in_notebook(page, field, value.clone()).await?;
    tokio::time::sleep(Duration::from_secs(1)).await;
    in_notebook(page, field, value).await
}

#[test]
fn a_tab_that_dies_with_the_tap_has_kept_it() {
    phone(async |page| {
        begin(page, &[PASTE]).await?;
        step_on(page).await?;
        let path = here(page).await?;
        let work = async |page: &mut Page| {
            page.open(&path).await?;
            shown(page, 2).await?;
            unfold(page, "Note or photo").await?;
            page.paste_into("Note on this step", "Bag is torn").await?;
            // The tap, and in the same moment the tab hangs. It can save nothing
            // on its way out. It begins later, so that the driver is done by then.
            let script = "setTimeout(() => {
                [...document.querySelectorAll('.run-foot button')].at(-1).click();
                for (;;) {}
            }, 200)";
            page.run(script, &[]).await.map(drop)
        };
        page.in_killed_tab(work).await?;
        page.open(&path).await?;
        shown(page, 3).await?;
        tap(page, "link", "All steps").await?;
        says(page, &["2 steps done", "Bag is torn"]).await
    });
}

/// Both tabs are in sight all the time, as two windows on a large screen are:
/// nothing tells the one that the other went on.
const IN_SIGHT: &str = "document.addEventListener('visibilitychange',
    (e) => e.stopImmediatePropagation(), true);";

#[test]
fn a_tab_beside_the_other_does_not_undo_it() {
    phone(async |page| {
        page.before_load(IN_SIGHT).await?;
        begin(page, &[PASTE]).await?;
        let path = here(page).await?;
        let [first, second] = second_tab(page, IN_SIGHT, &path).await?;
        steps(page, 2).await?;
        unfold(page, "Note or photo").await?;
        page.paste_into("Note on this step", "From the second")
            .await?;
        to(page, &first).await?;
        assert_eq!(place(page).await?.0, 1);
        tap(page, "button", "Done, next").await?;
        page.sees("This checklist went on in another tab.").await?;
        shown(page, 3).await?;
        unfold(page, "Note or photo").await?;
        let note = "return document.querySelector('#note textarea').value";
        assert_eq!(page.run(note, &[]).await?, "From the second");
        step_on(page).await?;
        // And the other way round.
        to(page, &second).await?;
        tap(page, "button", "Done, next").await?;
        page.sees("This checklist went on in another tab.").await?;
        shown(page, 4).await?;
        stays_in_notebook(page, "done", json!(3)).await?;
        let notes = only(page, "run").await?["notes"].clone();
        assert!(
            notes
                .as_str()
                .is_some_and(|n| n.contains("From the second")),
            "{notes}"
        );
        Ok(())
    });
}

#[test]
fn a_tab_that_was_left_behind_does_not_undo_an_ended_checklist() {
    phone(async |page| {
        page.before_load(IN_SIGHT).await?;
        begin(page, &[PASTE]).await?;
        let path = here(page).await?;
        let [first, _second] = second_tab(page, IN_SIGHT, &path).await?;
        steps(page, 3).await?;
        tap(page, "link", "All steps").await?;
        tap(page, "button", "End it here").await?;
        page.sees("Ended, and kept").await?;
        // Once the notebook has all of it, the small storage lets go of it.
        let gone = format!("return !(localStorage.getItem('{KEPT}') ?? '').includes('state')");
        page.wait_true("the end to be kept", &gone).await?;
        to(page, &first).await?;
        tap(page, "button", "Done, next").await?;
        settle(page).await?;
        tokio::time::sleep(Duration::from_secs(1)).await;
        page.open(&format!("{path}/all")).await?;
        page.find("link", "On paper").await?;
        let text = main_text(page).await?;
        assert!(
            text.contains("3 steps done") || text.contains("4 steps done"),
            "{text}"
        );
        Ok(())
    });
}

#[test]
fn it_is_said_when_the_checklist_was_deleted_meanwhile() {
    phone(async |page| {
        page.before_load(IN_SIGHT).await?;
        let console = new_console(page, "Attic find", "").await?;
        write(page, "Add", "Job", &[("What is wrong", "Loud")]).await?;
        tap(page, "link", "Begin a checklist").await?;
        bench::choose(page, &[PASTE]).await?;
        tap(page, "button", "Start").await?;
        shown(page, 1).await?;
        step_on(page).await?;
        let path = here(page).await?;
        let id = path.rsplit('/').next().unwrap_or_default().to_owned();
        let [first, _second] =
            second_tab(page, IN_SIGHT, &format!("/consoles/{console}/{id}")).await?;
        tap(page, "button", "Delete").await?;
        page.sees("It can be brought back for 90 days.").await?;
        to(page, &first).await?;
        tap(page, "button", "Done, next").await?;
        page.wait_true(
            "a word on it",
            "return /deleted|is lost when you close/.test(document.body.innerText)",
        )
        .await
    });
}

#[test]
fn what_the_notebook_has_is_not_undone_by_an_older_copy_of_the_device() {
    phone(async |page| {
        begin(page, &[PASTE]).await?;
        steps(page, 2).await?;
        in_notebook(page, "done", json!(2)).await?;
        let path = here(page).await?;
        // A browser that is killed has written its small storage some seconds
        // before; the notebook is on the disk at once.
        let copy = format!(
            "const all = JSON.parse(localStorage.getItem('{KEPT}'));
            for (const one of Object.values(all)) one.saved--;
            return JSON.stringify(all)"
        );
        let old = page.run(&copy, &[]).await?;
        steps(page, 2).await?;
        in_notebook(page, "done", json!(4)).await?;
        page.go("/books/orrery.json").await?;
        let put = format!("localStorage.setItem('{KEPT}', arguments[0])");
        page.run(&put, &[old]).await?;
        page.open(&path).await?;
        shown(page, 5).await?;
        stays_in_notebook(page, "done", json!(4)).await?;
        page.open("/bench").await?;
        page.sees("4 steps done").await
    });
}

/// The database can't be had, but the rest of the storage can.
const NO_DATABASE: &str = "Object.defineProperty(window, 'indexedDB', {
    get() { throw new DOMException('blocked by the test', 'SecurityError'); },
});";

#[test]
fn without_a_database_a_checklist_is_kept_all_the_same() {
    phone(async |page| {
        page.before_load(NO_DATABASE).await?;
        begin(page, &[PASTE]).await?;
        steps(page, 2).await?;
        // It is on the device, so nobody is told that it is lost; but that the
        // notebook has nothing of it must be said.
        page.sees("notebook").await?;
        assert!(!page.text().await?.contains("is lost when you close"));
        page.reload().await?;
        shown(page, 3).await?;
        page.open("/bench").await?;
        page.sees("2 steps done").await?;
        tap(page, "link", PASTE).await?;
        shown(page, 3).await
    });
}

/// A device whose small storage is full from a moment on.
const FULL: &str = "const real = Storage.prototype.setItem;
    Storage.prototype.setItem = function (key, value) {
        if (key === 'faultleaf.runs' && sessionStorage.full) {
            throw new DOMException('the test', 'QuotaExceededError');
        }
        return real.call(this, key, value);
    };";

#[test]
fn with_a_full_small_storage_the_notebook_keeps_the_checklist() {
    phone(async |page| {
        page.before_load(FULL).await?;
        begin(page, &[PASTE]).await?;
        steps(page, 2).await?;
        in_notebook(page, "done", json!(2)).await?;
        page.run("sessionStorage.full = '1'", &[]).await?;
        steps(page, 3).await?;
        in_notebook(page, "done", json!(5)).await?;
        assert!(!page.text().await?.contains("is lost when you close"));
        let path = here(page).await?;
        page.reload().await?;
        shown(page, 6).await?;
        page.open(&format!("{path}/all")).await?;
        page.sees("5 steps done").await?;
        stays_in_notebook(page, "done", json!(5)).await
    });
}

#[test]
fn damaged_storage_and_records_do_no_harm() {
    phone(async |page| {
        begin(page, &[PASTE]).await?;
        in_notebook(page, "done", json!(0)).await?;
        let broken = [
            "no json",
            "[]",
            "7",
            "{\"a\":7}",
            "{\"a\":{\"state\":{}}}",
            "{\"a\":{\"state\":{\"list\":[],\"turn\":1}}}",
            "{\"a\":{\"state\":{\"list\":[{}],\"at\":9e99,\"turn\":-4,\"started\":\"x\"},\"saved\":1e40}}",
        ];
        for text in broken {
            page.go("/books/orrery.json").await?;
            let put = format!("localStorage.setItem('{KEPT}', arguments[0])");
            page.run(&put, &[json!(text)]).await?;
            page.open("/bench").await?;
            page.sees("All cautions").await?;
            page.find("link", PASTE).await?;
            page.open("/bench/run/a").await?;
            settle(page).await?;
            assert!(!main_text(page).await?.trim().is_empty(), "{text}");
            begin(page, &["Replace a fuse"]).await?;
            step_on(page).await?;
            page.reload().await?;
            shown(page, 2).await?;
        }
        // A record whose list is damaged: the rest of the notebook goes on.
        let spoil =
            "const rows = await wait(db.transaction('records').objectStore('records').getAll());
            const row = rows.find((r) => r.kind === 'run');
            const body = JSON.parse(row.body);
            for (const v of body.versions) v.data.state = 'torn';
            row.body = JSON.stringify(body);
            await wait(db.transaction('records', 'readwrite').objectStore('records').put(row));
            localStorage.clear();
            return row.id";
        let id = notebook::beside(page, spoil, &[]).await?;
        page.open("/bench").await?;
        page.sees("All cautions").await?;
        page.sees_no("Opening the notebook").await?;
        page.open(&format!("/bench/run/{}", id.as_str().unwrap_or_default()))
            .await?;
        page.sees("There is no checklist at this address").await
    });
}

#[test]
fn a_frozen_page_and_a_clock_that_was_set_back() {
    phone(async |page| {
        page.before_load(
            "const real = Date.now; window.ahead = 0; Date.now = () => real() + window.ahead;",
        )
        .await?;
        begin(page, &["Replace a fuse"]).await?;
        to_timer(page).await?;
        tap(page, "button", "Start the timer").await?;
        page.find("button", "Stop the timer").await?;
        let before = timer(page).await?;
        let frozen = Instant::now();
        page.cdp("Page.setWebLifecycleState", json!({ "state": "frozen" }))
            .await?;
        tokio::time::sleep(Duration::from_secs(5)).await;
        page.cdp("Page.setWebLifecycleState", json!({ "state": "active" }))
            .await?;
        let script = format!(
            "const [m, s] = document.querySelector('.timer-face').innerText.split(':').map(Number);
            return m * 60 + s <= {} - 4",
            before
        );
        page.wait_true("the time that went by while frozen", &script)
            .await?;
        let left = timer(page).await?;
        let went = frozen.elapsed().as_secs();
        assert!(before - left <= went + 2, "{before} to {left} in {went} s");
        // An hour back: it does not wait for an hour and ten minutes.
        page.run("window.ahead = -3600000", &[]).await?;
        page.wait_true(
            "the whole time again",
            "return document.querySelector('.timer-face').innerText === '10:00'",
        )
        .await
    });
}

#[test]
fn behind_a_hold_point_that_is_never_skipped_nothing_can_be_marked() {
    phone(async |page| {
        begin(page, &["Replace a fuse"]).await?;
        step_on(page).await?;
        tap(page, "link", "All steps").await?;
        page.sees("1 step done").await?;
        let last = "const all = document.querySelectorAll('.run-step');
            all[all.length - 1].click(); return all.length";
        let of = page.run(last, &[]).await?.as_u64().unwrap_or_default();
        shown(page, usize::try_from(of)?).await?;
        page.sees("Nothing behind it can be marked.").await?;
        assert!(!main_text(page).await?.contains("Skip this step"));
        page.shot("bench-behind-a-hold").await?;
        // The key leads to the hold point, as the button does.
        page.run("document.querySelector('#step-text').focus()", &[])
            .await?;
        page.driver().active_element().await?.send_keys(" ").await?;
        gone_on(page, usize::try_from(of)?).await?;
        page.find("checkbox", "I have checked this myself").await?;
        let (hold, _) = place(page).await?;
        assert!(hold < usize::try_from(of)?);
        tap(page, "link", "All steps").await?;
        page.sees("1 step done").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("skipped"), "{text}");
        stays_in_notebook(page, "done", json!(1)).await
    });
}

#[test]
fn an_ended_checklist_that_goes_on_is_no_longer_ended() {
    phone(async |page| {
        begin(page, &[PASTE]).await?;
        step_on(page).await?;
        let path = here(page).await?;
        tap(page, "link", "All steps").await?;
        tap(page, "button", "End it here").await?;
        page.sees("Ended, and kept").await?;
        let day = notebook::today(page).await?;
        in_notebook(page, "ended", json!(day)).await?;
        // To look at a step of it changes nothing of what is kept.
        let before = only(page, "run").await?["state"]["turn"].clone();
        tap(page, "button", "Go on after all").await?;
        tap(page, "link", "Go on").await?;
        shown(page, 2).await?;
        step_on(page).await?;
        in_notebook(page, "done", json!(2)).await?;
        let data = only(page, "run").await?;
        assert!(data["state"]["turn"].as_u64() > before.as_u64());
        assert_eq!(
            data["ended"],
            Value::Null,
            "the record still says that it ended"
        );
        page.reload().await?;
        shown(page, 3).await?;
        page.open("/bench").await?;
        page.sees("Under way").await?;
        assert!(!main_text(page).await?.contains("Ended"));
        assert_eq!(here(page).await?, "/bench");
        page.open(&path).await?;
        shown(page, 3).await
    });
}

#[test]
fn two_checklists_under_way_are_kept_apart() {
    phone(async |page| {
        begin(page, &[PASTE]).await?;
        steps(page, 2).await?;
        begin(page, &["Replace a fuse"]).await?;
        steps(page, 1).await?;
        page.open("/bench").await?;
        says(page, &["Under way", "2 steps done", "1 step done"]).await?;
        tap(page, "link", PASTE).await?;
        shown(page, 3).await?;
        tap(page, "link", "Bench").await?;
        tap(page, "link", "Replace a fuse").await?;
        shown(page, 2).await?;
        let runs = records(page).await?;
        assert_eq!(runs.iter().filter(|r| r["kind"] == "run").count(), 2);
        Ok(())
    });
}
