//! The backup: out, gone, in again, and equal; two devices that changed the same
//! things; and files that are no backup, or are made to do harm.

#[path = "help/archive.rs"]
mod archive;
mod help;
#[path = "help/notebook.rs"]
mod notebook;

use archive::{
    Entry, backup, bomb, catch_files, caught, look_into, read_in, stored, unzip, wipe, zip,
};
use browser_tests::{Outcome, Page, Value, json};
use help::{phone, tap};
use notebook::{
    add, all, beside, done, fill, main_text, new_console, png, records, says, unfold, write,
};

/// A record as it is kept, with one version.
fn record(id: &str, kind: &str, data: Value) -> Value {
    json!({ "id": id, "kind": kind, "created": 1_770_000_000_000_i64, "versions": [
        { "rev": 1, "by": "test.1", "at": 1_770_000_000_000_i64, "data": data }] })
}

/// Puts a record into the database beside the app.
async fn put(page: &Page, console: &str, record: &Value) -> Outcome {
    let row = json!({ "id": record["id"], "kind": record["kind"], "console": console,
        "body": record.to_string() });
    let body = format!(
        "await wait(db.transaction('records', 'readwrite').objectStore('records').put({row}))"
    );
    beside(page, &body, &[]).await.map(drop)
}

/// A notebook with a bit of everything. Gives the console's id.
async fn a_notebook(page: &Page) -> anyhow::Result<String> {
    let away = new_console(page, "Put away", "").await?;
    tap(page, "link", "Change").await?;
    fill(page, "Put away", "yes").await?;
    done(page).await?;
    let console = new_console(
        page,
        "Attic \u{201c}find\u{201d} <b>\u{fc}\u{4f60}</b>",
        "Orrery",
    )
    .await?;
    assert_ne!(away, console);
    write(
        page,
        "Add",
        "Job",
        &[("What is wrong", "Stops after two seconds")],
    )
    .await?;
    let value = [
        ("What is measured", "Resistance"),
        ("Value", "0.42"),
        ("Where", "C12"),
    ];
    write(page, "Add to this job", "Measurement", &value).await?;
    write(
        page,
        "Add",
        "Note",
        &[("Note", "Version one\nwith two lines")],
    )
    .await?;
    tap(page, "link", "Version one").await?;
    fill(page, "Note", "Version two").await?;
    done(page).await?;
    write(page, "Add", "Note", &[("Note", "To be deleted")]).await?;
    tap(page, "link", "To be deleted").await?;
    page.find("textbox", "Note").await?;
    tap(page, "button", "Delete").await?;
    page.sees_no("To be deleted").await?;
    let picture = png(page, 64, 48).await?;
    add(page, "Add", "Photo").await?;
    page.choose_file("#photo-itself", picture.path()).await?;
    page.find("button", "Open photo").await?;
    fill(page, "What it shows", "Underside").await?;
    done(page).await?;
    // What a newer app may have written.
    let data =
        json!({ "console": console, "day": "2026-03-12", "tempo": { "deep": [1, 2.5, null] } });
    put(page, &console, &record("later-1", "metronome", data)).await?;
    Ok(console)
}

/// The same with the bodies of the rows taken apart: a record that somebody else
/// wrote may have its parts in another order.
fn apart(mut all: Value) -> Value {
    for row in all["rows"].as_array_mut().into_iter().flatten() {
        let body = row["body"].as_str().unwrap_or_default();
        row["body"] = serde_json::from_str(body).unwrap();
    }
    all
}

/// How many rows and photos there are.
fn counts(all: &Value) -> (usize, usize) {
    let rows = all["rows"].as_array().map_or(0, Vec::len);
    (
        rows,
        all["photos"].as_object().map_or(0, serde_json::Map::len),
    )
}

#[test]
fn a_backup_read_in_again_after_everything_is_lost_is_equal() {
    phone(async |page| {
        catch_files(page).await?;
        a_notebook(page).await?;
        let before = all(page).await?;
        assert_eq!(counts(&before), (8, 1), "{before:#}");
        let file = backup(page).await?;
        page.sees("2 consoles, 1 photo").await?;
        page.shot("backup-made-phone").await?;
        wipe(page).await?;
        let (said, _file) = look_into(page, &file).await?;
        for words in [
            "Nothing has been written yet.",
            "Records: 8 new",
            "Photos: 1 new",
            "Attic",
        ] {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        page.shot("backup-dry-run-phone").await?;
        // The look alone wrote nothing.
        assert_eq!(counts(&all(page).await?), (0, 0));
        tap(page, "button", "Read it in").await?;
        page.sees("Read in.").await?;
        assert_eq!(apart(all(page).await?), apart(before));
        // A second time there is nothing to do.
        let (said, _file) = look_into(page, &file).await?;
        assert!(
            said.contains("There is nothing to read in.") && said.contains("8 the same"),
            "{said}"
        );
        tap(page, "link", "All consoles").await?;
        tap(page, "link", "Attic").await?;
        says(page, &["Version two", "Underside", "Resistance, C12"]).await?;
        page.find("button", "Open photo").await.map(drop)
    });
}

/// The page of the note with this text, from its console's.
async fn open_note(page: &Page, console: &str, text: &str) -> Outcome {
    page.open(&format!("/consoles/{console}")).await?;
    tap(page, "link", text).await?;
    page.find("textbox", "Note").await.map(drop)
}

async fn change_note(page: &Page, console: &str, text: &str, to: &str) -> Outcome {
    open_note(page, console, text).await?;
    fill(page, "Note", to).await?;
    done(page).await
}

async fn delete_note(page: &Page, console: &str, text: &str) -> Outcome {
    open_note(page, console, text).await?;
    tap(page, "button", "Delete").await?;
    page.sees("It can be brought back for 90 days.").await
}

async fn change_console(page: &Page, console: &str, label: &str, to: &str) -> Outcome {
    page.open(&format!("/consoles/{console}")).await?;
    tap(page, "link", "Change").await?;
    fill(page, label, to).await?;
    done(page).await
}

#[test]
fn two_devices_that_changed_the_same_things_become_equal() {
    phone(async |page| {
        catch_files(page).await?;
        let console = new_console(page, "Attic find", "").await?;
        for text in [
            "Both change this",
            "One deletes this",
            "One deletes, one changes",
        ] {
            write(page, "Add", "Note", &[("Note", text)]).await?;
        }
        let base = backup(page).await?;
        // On A.
        change_note(page, &console, "Both change this", "Said on A").await?;
        delete_note(page, &console, "One deletes this").await?;
        delete_note(page, &console, "One deletes, one changes").await?;
        change_console(page, &console, "Region or suffix", "EU").await?;
        write(page, "Add", "Note", &[("Note", "Only on A")]).await?;
        let a = backup(page).await?;
        // On B.
        wipe(page).await?;
        read_in(page, &base).await?;
        change_note(page, &console, "Both change this", "Said on B").await?;
        change_note(page, &console, "One deletes, one changes", "Changed on B").await?;
        change_console(page, &console, "Where from", "A market").await?;
        write(page, "Add", "Note", &[("Note", "Only on B")]).await?;
        let b = backup(page).await?;
        let before = all(page).await?;
        // A into B.
        let (said, _file) = look_into(page, &a).await?;
        for words in [
            "1 field was changed in two ways",
            "Here: Said on B",
            "In the backup: Said on A",
            "1 new",
            "3 changed in both",
        ] {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        page.shot("backup-clash-phone").await?;
        assert_eq!(all(page).await?, before, "the look wrote something");
        tap(page, "button", "Read it in").await?;
        page.sees("Read in.").await?;
        let on_b = all(page).await?;
        all_of_both(page, &console).await?;
        // B into A.
        wipe(page).await?;
        read_in(page, &a).await?;
        let said = read_in(page, &b).await?;
        assert!(
            said.contains("Here: Said on A") && said.contains("In the backup: Said on B"),
            "{said}"
        );
        assert_eq!(all(page).await?, on_b);
        all_of_both(page, &console).await
    });
}

/// Everything of both devices is shown, and what can't both be true is asked.
async fn all_of_both(page: &Page, console: &str) -> Outcome {
    page.open(&format!("/consoles/{console}")).await?;
    says(
        page,
        &[
            "Only on A",
            "Only on B",
            "Changed on B",
            "Changed in two ways",
        ],
    )
    .await?;
    let text = main_text(page).await?;
    assert!(!text.contains("One deletes this"), "{text}");
    unfold(page, "About this console").await?;
    says(page, &["EU", "A market"]).await?;
    tap(page, "link", "Said on").await?;
    says(page, &["Said on A", "Said on B", "Which one is right?"]).await?;
    open_note(page, console, "Changed on B").await?;
    page.sees("It was deleted in one place and changed in another.")
        .await
}

/// A small sound backup, with these files beside it.
fn sound(beside: Vec<Entry>) -> Vec<u8> {
    let data = json!({ "name": "<img src=x onerror=\"window.hurt = 1\"><script>window.hurt = 1</script>" });
    let own = record("c1", "console", data);
    let note = record(
        "n1",
        "note",
        json!({ "console": "c1", "note": "Arrived whole" }),
    );
    let list = format!("[\n{own},\n{note}\n]\n");
    let about = json!({ "format": 1, "app": "test", "made": 1_770_000_000_000_i64 });
    let mut all = vec![
        stored("notebook.json", about.to_string()),
        stored("consoles/hostile-c1/records.json", list),
    ];
    all.extend(beside);
    zip(&all)
}

#[test]
fn what_is_no_backup_is_refused_and_nothing_changes() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        let before = all(page).await?;
        let noise: Vec<u8> = (0..30_000_000_u32)
            .map(|n| u8::try_from(n.wrapping_mul(2_654_435_761) >> 24).unwrap())
            .collect();
        let mut headless = b"PK\x03\x04".to_vec();
        headless.extend(&noise[..5000]);
        let all_kinds = [
            ("nothing at all", Vec::new()),
            ("a text", b"This is no backup.".to_vec()),
            (
                "an archive of something else",
                zip(&[stored("holiday.txt", "sun")]),
            ),
            ("an empty archive", zip(&[])),
            ("30 MB of noise", noise),
            ("the begin of an archive", headless),
        ];
        for (what, file) in all_kinds {
            let (said, _file) = look_into(page, &file).await?;
            println!("{what}: {said}");
            assert!(!said.contains("What would happen"), "{what}: {said}");
            assert!(said.contains("no backup of a notebook"), "{what}: {said}");
            assert_eq!(all(page).await?, before, "{what}");
        }
        page.shot("backup-refused-phone").await?;
        Ok(())
    });
}

#[test]
fn of_a_hostile_file_the_sound_part_is_read_and_the_rest_is_listed() {
    phone(async |page| {
        let deep = format!("[{}{}]", "[".repeat(200_000), "]".repeat(200_000));
        let beside = vec![
            stored("../../outside.txt", "out"),
            stored("consoles/x-deep/records.json", deep),
            stored(
                "consoles/x-half/records.json",
                "[{\"id\":\"h1\",\"kind\":\"note\",\"versi",
            ),
            stored("photos/n1.jpg", "<script>window.hurt = 1</script>"),
            bomb("consoles/x-bomb/records.json", 300_000, 1000),
            bomb("consoles/x-honest/records.json", 300_000, 258 * 300_000 + 1),
        ];
        let file = sound(beside);
        let (said, _file) = look_into(page, &file).await?;
        println!("{said}");
        for words in [
            "Records: 2 new",
            "../../outside.txt",
            "The name could leave its folder.",
            "consoles/x-deep/records.json",
            "consoles/x-half/records.json",
            "consoles/x-bomb/records.json",
            "consoles/x-honest/records.json",
            "The file would unpack to more than 64 MiB.",
            "It unpacks to more than it says.",
            "This is no JPEG picture.",
            // The nickname is a text, and nothing else.
            "<img src=x onerror=",
        ] {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        assert!(!said.contains("Photos"), "{said}");
        page.shot("backup-hostile-phone").await?;
        assert_eq!(counts(&all(page).await?), (0, 0));
        tap(page, "button", "Read it in").await?;
        page.sees("Read in.").await?;
        assert_eq!(counts(&all(page).await?), (2, 0));
        for path in [
            "/consoles",
            "/consoles/c1",
            "/consoles/c1/c1",
            "/consoles/c1/sheet",
        ] {
            page.open(path).await?;
            page.sees("<img src=x onerror=").await.or_else(|e| {
                // In a form it is the value of a field.
                if path.ends_with("c1/c1") {
                    Ok(())
                } else {
                    Err(e)
                }
            })?;
            let hurt = "return window.hurt === undefined && !document.querySelector('main img[src=x], main script')";
            assert_eq!(page.run(hurt, &[]).await?, true, "{path}");
        }
        page.sees("Arrived whole").await
    });
}

#[test]
fn a_file_that_goes_away_after_the_look_is_told() {
    phone(async |page| {
        let (said, chosen) = look_into(page, &sound(Vec::new())).await?;
        assert!(said.contains("Records: 2 new"), "{said}");
        drop(chosen);
        tap(page, "button", "Read it in").await?;
        page.sees("The file could not be read.").await?;
        let text = main_text(page).await?;
        assert!(!text.contains("Read in."), "{text}");
        assert_eq!(counts(&all(page).await?), (0, 0));
        Ok(())
    });
}

#[test]
fn of_a_damaged_backup_is_read_what_can_be_read() {
    phone(async |page| {
        catch_files(page).await?;
        let console = a_notebook(page).await?;
        let whole = backup(page).await?;
        let rows = records(page).await?;
        // Cut off in the middle, as by a download that ended too early.
        let cut = &whole[..whole.len() * 7 / 10];
        // One byte of the photo turned over.
        let mut hurt = whole.clone();
        let photo = hurt
            .windows(4)
            .position(|w| w == [0xFF, 0xD8, 0xFF, 0xE0])
            .unwrap();
        hurt[photo + 60] ^= 0xFF;
        for (what, file, words) in [
            ("cut", cut, "were searched for one by one"),
            ("hurt", &hurt[..], "Left out: 1"),
        ] {
            wipe(page).await?;
            let said = read_in(page, file).await?;
            println!("{what}: {said}");
            assert!(said.contains(words), "{what}: {said}");
            let now = records(page).await?;
            assert!(
                !now.is_empty() && now.iter().all(|r| rows.contains(r)),
                "{what}: {now:#?}"
            );
            if what == "hurt" {
                assert_eq!(now, rows);
                page.open(&format!("/consoles/{console}")).await?;
                page.sees("The photo is not on this device.").await?;
                page.shot("notebook-photo-missing-phone").await?;
            }
        }
        // With the whole file the missing parts come as well.
        read_in(page, &whole).await?;
        assert_eq!(records(page).await?, rows);
        assert_eq!(counts(&all(page).await?), (8, 1));
        Ok(())
    });
}

#[test]
fn what_a_newer_app_wrote_is_kept_and_backed_up_again() {
    phone(async |page| {
        catch_files(page).await?;
        let mut note = record(
            "n1",
            "note",
            json!({ "console": "c1", "note": "From the future", "mood": ["good"] }),
        );
        note["colour"] = json!("green");
        note["versions"][0]["weather"] = json!({ "rain": true });
        let own = record("c1", "console", json!({ "name": "Attic find" }));
        let other = record("m1", "metronome", json!({ "console": "c1", "beat": 120 }));
        let list = format!("[{own},{note},{other}]");
        let about =
            json!({ "format": 99, "app": "9.9.9", "made": 1_770_000_000_000_i64, "more": 1 });
        let file = zip(&[
            stored("notebook.json", about.to_string()),
            stored("consoles/attic-find-c1/records.json", list),
            stored("videos/v1.bin", "moving"),
        ]);
        let said = read_in(page, &file).await?;
        for words in [
            "A newer version of this app made the backup.",
            "Records: 3 new",
            "Files that this app does not know",
        ] {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        // The note is changed by this app; what it does not know stays.
        change_note(page, "c1", "From the future", "Changed today").await?;
        page.open("/consoles/c1").await?;
        page.sees("Changed today").await?;
        page.open("/consoles/c1/m1").await?;
        page.sees("A newer version of the app wrote this record.")
            .await?;
        let files = unzip(page, &backup(page).await?).await?;
        let list: Vec<Value> = serde_json::from_str(
            files["consoles/attic-find-c1/records.json"]
                .as_str()
                .unwrap_or_default(),
        )?;
        let found = |id: &str| {
            list.iter()
                .find(|r| r["id"] == id)
                .cloned()
                .unwrap_or_default()
        };
        assert_eq!(found("m1"), other);
        let changed = found("n1");
        assert_eq!(changed["colour"], "green");
        assert_eq!(changed["versions"][0], note["versions"][0]);
        assert_eq!(
            changed["versions"][1]["data"]["mood"],
            json!(["good"]),
            "{changed:#}"
        );
        assert_eq!(changed["versions"][1]["data"]["note"], "Changed today");
        Ok(())
    });
}

#[test]
fn tables_for_a_spreadsheet_have_no_formulas() {
    phone(async |page| {
        catch_files(page).await?;
        new_console(page, "=HYPERLINK(\"http://x\")", "").await?;
        let value = [
            ("What is measured", "Voltage"),
            ("Value", "-0.42"),
            ("Where", "+3V3, to ground"),
            ("Note", "@SUM(A1)"),
        ];
        write(page, "Add", "Measurement", &value).await?;
        page.open("/backup").await?;
        tap(page, "button", "Measurements (CSV)").await?;
        let (name, bytes) = caught(page).await?;
        assert_eq!(name, "measurements.csv");
        let text = String::from_utf8(bytes)?;
        let table = text.strip_prefix('\u{feff}').unwrap_or_default();
        assert!(
            !table.is_empty() && !table.contains('\u{feff}'),
            "one mark, and at the begin: {text:?}"
        );
        for cell in [
            "\"'=HYPERLINK(\"\"http://x\"\")\"",
            "\"'+3V3, to ground\"",
            "'@SUM(A1)",
            ",-0.42,",
        ] {
            assert!(table.contains(cell), "{cell} is not in {table}");
        }
        saved_nothing_else(page).await
    });
}

async fn saved_nothing_else(page: &Page) -> Outcome {
    let left = page.run("return window.caught.length", &[]).await?;
    anyhow::ensure!(left == 0, "{left} more files were saved");
    Ok(())
}

/// A photo that the browser does not give is named in the backup's list, not
/// passed over.
#[test]
fn a_photo_that_can_not_be_read_is_told() {
    phone(async |page| {
        catch_files(page).await?;
        new_console(page, "Attic find", "").await?;
        let picture = png(page, 64, 48).await?;
        add(page, "Add", "Photo").await?;
        page.choose_file("#photo-itself", picture.path()).await?;
        page.find("button", "Open photo").await?;
        fill(page, "What it shows", "Underside").await?;
        done(page).await?;
        page.open("/backup").await?;
        let lost = "const get = IDBObjectStore.prototype.get;
            IDBObjectStore.prototype.get = function (key) {
                return get.call(this, this.name === 'photos' ? 'no such photo' : key);
            }";
        page.run(lost, &[]).await?;
        tap(page, "button", "Make a backup").await?;
        says(page, &["The file is ready.", "Left out: 1"]).await?;
        page.sees("The photo's file could not be read.").await
    });
}
