//! The notebook's place in a real browser: the suite that every store must
//! pass, and what goes wrong with databases on real devices.

#[path = "help/hand.rs"]
mod hand;

use hand::{events, hand, list, on_suite, open, right, room, rows, wrong};
use std::time::{Duration, Instant};

const SAVE_A: &str = "await a.save(['1', '2'], 'first', [])";
const FIRST: [&str; 2] = ["1|note|c|first", "2|note|c|first"];

#[test]
fn the_browser_passes_the_suite_of_all_stores() {
    on_suite(async |page| {
        let cases = list(page, "return await suite.run()").await?;
        for case in &cases {
            println!("{case}");
        }
        assert!(!cases.is_empty());
        let failed: Vec<_> = cases.iter().filter(|c| !c.ends_with(": ok")).collect();
        assert!(failed.is_empty(), "{failed:#?}");
        Ok(())
    });
}

#[test]
fn a_newer_app_in_another_tab_ends_saving_here_and_says_so() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        let first = page.driver().window().await?;
        let other = page.driver().new_tab().await?;
        page.driver().switch_to_window(other).await?;
        open(page).await?;
        hand(page, "b", true).await?;
        assert_eq!(rows(page, "b").await?, FIRST, "all is kept");
        right(page, "await b.save(['3'], 'newer', [])").await?;
        assert!(
            events(page, "b").await?.is_empty(),
            "nobody is in the way of the upgrade"
        );
        page.driver().switch_to_window(first).await?;
        assert_eq!(events(page, "a").await?, ["NewerElsewhere"]);
        wrong(page, SAVE_A, "Newer").await?;
        wrong(page, "return await a.rows()", "Newer").await
    });
}

#[test]
fn an_upgrade_that_another_tab_blocks_is_told_and_goes_on_when_it_is_closed() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        // A page of an app that does not give way.
        let hold = "window.held = await new Promise((good, bad) => {
            const r = indexedDB.open('faultleaf', 1); r.onsuccess = () => good(r.result); r.onerror = bad; })";
        right(page, hold).await?;
        hand(page, "b", true).await?;
        let start = Instant::now();
        wrong(page, "await b.rows()", "Blocked").await?;
        let waited = start.elapsed();
        assert!(
            waited > Duration::from_secs(3) && waited < Duration::from_secs(7),
            "{waited:?}"
        );
        wrong(page, "await b.save(['9'], 'lost', [])", "Blocked").await?;
        assert_eq!(events(page, "b").await?, ["Blocked"]);
        right(page, "held.close()").await?;
        page.wait_true("the way to be free", "return b.events().length === 2")
            .await?;
        assert_eq!(events(page, "b").await?, ["Blocked", "Unblocked"]);
        assert_eq!(rows(page, "b").await?, FIRST);
        Ok(())
    });
}

/// Makes `IDBDatabase.transaction` throw so many times.
const CUT: &str = "const real = IDBDatabase.prototype.transaction; window.cuts = 0;
    window.cut = (times) => { IDBDatabase.prototype.transaction = function (...all) {
        if (times-- > 0) { window.cuts++; throw new DOMException('The connection is closing.', 'InvalidStateError'); }
        return real.apply(this, all); } };";

#[test]
fn a_connection_lost_once_is_opened_again_unseen() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, CUT).await?;
        right(page, "cut(1)").await?;
        right(page, SAVE_A).await?;
        right(page, "cut(1)").await?;
        assert_eq!(rows(page, "a").await?, FIRST);
        right(page, "cut(1); await a.probe()").await?;
        assert_eq!(right(page, "return cuts").await?, 3);
        right(page, "cut(2)").await?;
        wrong(page, "await a.save(['1'], 'second', [])", "Lost").await?;
        assert_eq!(right(page, "return cuts").await?, 5);
        assert_eq!(rows(page, "a").await?, FIRST);
        Ok(())
    });
}

#[test]
fn a_server_lost_in_the_middle_of_a_change_is_tried_again() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        // What WebKit says after the page was in the background.
        let lose = "const real = IDBObjectStore.prototype.get; window.lost = 0;
            window.lose = (times) => { IDBObjectStore.prototype.get = function (...all) {
                const request = real.apply(this, all);
                if (times-- > 0) {
                    window.lost++;
                    const text = 'Connection to Indexed Database server lost. Refresh the page to try again';
                    Object.defineProperty(request, 'error', { value: new DOMException(text, 'UnknownError') });
                    this.transaction.abort();
                }
                return request; } };";
        right(page, lose).await?;
        right(page, "lose(1); await a.save(['1'], 'second', ['2'])").await?;
        assert_eq!(rows(page, "a").await?, ["1|note|c|second"]);
        right(page, "lose(2)").await?;
        wrong(page, "await a.save(['1'], 'third', [])", "Lost").await?;
        assert_eq!(right(page, "return lost").await?, 3);
        assert_eq!(rows(page, "a").await?, ["1|note|c|second"]);
        Ok(())
    });
}

#[test]
fn a_connection_the_browser_closes_is_opened_again() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        let what =
            browser_tests::json!({ "origin": page.server().origin(), "storageTypes": "indexeddb" });
        page.cdp("Storage.clearDataForOrigin", what).await?;
        right(page, "await a.probe()").await?;
        assert!(
            rows(page, "a").await?.is_empty(),
            "the test itself must work"
        );
        right(page, SAVE_A).await?;
        assert_eq!(rows(page, "a").await?, FIRST);
        assert!(events(page, "a").await?.is_empty());
        Ok(())
    });
}

#[test]
fn a_full_device_refuses_a_change_as_a_whole_and_keeps_the_rest() {
    on_suite(async |page| {
        // Before the first change: the browser remembers for a while how much
        // room there was.
        room(page, Some(1_000_000)).await?;
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        let large = "await a.save(['1', '9'], 'x'.repeat(3e6), ['2'])";
        wrong(page, large, "Full").await?;
        assert_eq!(rows(page, "a").await?, FIRST);
        assert_eq!(right(page, "return await a.photo()").await?, "first");
        room(page, None).await?;
        right(page, large).await?;
        assert_eq!(rows(page, "a").await?.len(), 2);
        Ok(())
    });
}

#[test]
fn a_change_that_breaks_in_the_middle_is_taken_back() {
    on_suite(async |page| {
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        let break_third = "const real = IDBObjectStore.prototype.put; let n = 0;
            IDBObjectStore.prototype.put = function (...all) {
                if (++n === 3) throw new DOMException('no', 'DataError');
                return real.apply(this, all); }";
        right(page, break_third).await?;
        let change = "await a.save(['1', '2', '3'], 'second', [])";
        wrong(page, change, "DataError: no").await?;
        assert_eq!(rows(page, "a").await?, FIRST);
        right(page, change).await?;
        assert_eq!(rows(page, "a").await?.len(), 3);
        Ok(())
    });
}

#[test]
fn a_browser_that_keeps_nothing_says_so() {
    on_suite(async |page| {
        page.block_storage().await?;
        open(page).await?;
        hand(page, "a", false).await?;
        wrong(page, SAVE_A, "Forbidden").await?;
        right(
            page,
            "Object.defineProperty(window, 'indexedDB', { value: undefined, configurable: true })",
        )
        .await?;
        wrong(page, "await a.rows()", "Forbidden").await?;
        Ok(())
    });
}

/// Makes an older database, as another version of the app and other hands left
/// it: without one index, with a store and a field of its own, with damage.
const OLDER: &str = "await new Promise((good, bad) => {
    const r = indexedDB.open('faultleaf', 1);
    r.onupgradeneeded = () => {
        const records = r.result.createObjectStore('records', { keyPath: 'id' });
        records.createIndex('kind', 'kind'); records.createIndex('console', 'console');
        r.result.createObjectStore('photos'); r.result.createObjectStore('facts');
        r.result.createObjectStore('theirs').put('kept', 'key');
        records.put({ id: '1', kind: 'note', console: 'c', body: 'old', theirs: 'kept' });
        records.put({ id: '2', kind: 7, console: null, body: ['no', 'text'] });
        records.put({ id: '3', kind: 'note' });
    };
    r.onsuccess = () => { r.result.close(); good(); }; r.onerror = bad; })";

/// Looks into the database past the app.
const LOOK: &str = "const db = await new Promise((good, bad) => {
        const r = indexedDB.open('faultleaf'); r.onsuccess = () => good(r.result); r.onerror = bad; });
    const get = (store, key) => new Promise((good, bad) => {
        const r = db.transaction(store).objectStore(store).get(key); r.onsuccess = () => good(r.result); r.onerror = bad; });
    const found = [db.version, (await get('records', '1')).theirs, await get('theirs', 'key'), [...db.objectStoreNames].join(),
        [...db.transaction('records').objectStore('records').indexNames].join()].join(' ');
    db.close(); return found;";

#[test]
fn an_older_database_is_upgraded_with_all_that_is_in_it() {
    on_suite(async |page| {
        right(page, OLDER).await?;
        hand(page, "a", false).await?;
        right(page, "await a.save(['1'], 'new', [])").await?;
        let same = right(page, LOOK).await?;
        assert_eq!(same, "1 kept kept facts,photos,records,theirs console,kind");
        hand(page, "b", true).await?;
        let found = rows(page, "b").await?;
        assert_eq!(found, ["1|note|c|new", "2|||", "3|note||"]);
        right(page, "await b.save(['1'], 'newer', [])").await?;
        let newer = right(page, LOOK).await?;
        assert_eq!(
            newer,
            "2 kept kept facts,photos,places,records,theirs console,kind,place"
        );
        assert_eq!(events(page, "a").await?, ["NewerElsewhere"]);
        Ok(())
    });
}

#[test]
fn a_damaged_row_is_still_a_row() {
    on_suite(async |page| {
        right(page, OLDER).await?;
        hand(page, "a", false).await?;
        assert_eq!(rows(page, "a").await?, ["1|note|c|old", "2|||", "3|note||"]);
        let notes = list(page, "return await a.of_kind('note')").await?;
        assert_eq!(notes, ["1|note|c|old", "3|note||"]);
        Ok(())
    });
}

#[test]
fn every_change_asks_for_the_disk_and_for_one_transaction() {
    on_suite(async |page| {
        let note = "window.begun = []; const real = IDBDatabase.prototype.transaction;
            IDBDatabase.prototype.transaction = function (stores, mode, how) {
                begun.push([...stores].join() + ' ' + mode + ' ' + how.durability);
                const tx = real.call(this, stores, mode, how);
                begun.push(tx.durability); return tx; }";
        right(page, note).await?;
        hand(page, "a", false).await?;
        right(page, SAVE_A).await?;
        let begun = list(page, "return begun").await?;
        assert_eq!(begun, ["records,photos readwrite strict", "strict"]);
        Ok(())
    });
}

#[test]
fn wiping_leaves_nothing_and_other_tabs_go_on() {
    on_suite(async |page| {
        right(page, OLDER).await?;
        hand(page, "a", false).await?;
        hand(page, "b", false).await?;
        right(page, "await b.save(['1'], 'x', [])").await?;
        right(page, "await a.wipe()").await?;
        assert!(rows(page, "b").await?.is_empty());
        assert_eq!(
            right(page, "return await a.photo()").await?,
            browser_tests::Value::Null
        );
        right(page, SAVE_A.replace("a.save", "b.save").as_str()).await?;
        assert_eq!(rows(page, "a").await?, FIRST);
        Ok(())
    });
}

#[test]
fn tabs_hear_each_other_and_the_device_tells_its_room() {
    on_suite(async |page| {
        right(page, "window.heard = []; suite.hear((w) => heard.push(w))").await?;
        let first = page.driver().window().await?;
        let other = page.driver().new_tab().await?;
        page.driver().switch_to_window(other).await?;
        open(page).await?;
        right(page, "suite.say('changed 7')").await?;
        page.driver().switch_to_window(first).await?;
        page.wait_true("the word", "return heard.join() === 'changed 7'")
            .await?;
        let device = list(page, "return await suite.device()").await?;
        println!("persist, persisted, estimate: {}", device.join(", "));
        let yes = |word: &String| word == "true" || word == "false";
        assert!(yes(&device[0]) && yes(&device[1]), "{device:?}");
        let (used, quota) = device[2].split_once(" of ").expect("two numbers");
        let (used, quota): (f64, f64) = (used.parse()?, quota.parse()?);
        assert!(used < quota && quota > 1e6, "{device:?}");
        let bare = "Object.defineProperty(navigator, 'storage', { value: undefined }); window.BroadcastChannel = undefined;
            suite.say('x'); suite.hear(() => {}); return await suite.device()";
        assert_eq!(list(page, bare).await?, ["none", "none", "none"]);
        Ok(())
    });
}
