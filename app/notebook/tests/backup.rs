//! The backup: made, read back, and compared with what is kept.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing)]

mod backup_help;

use backup_help::*;
use notebook::backup::FILE_LIMIT;
use notebook::backup::plan::{Clash, Counts};
use notebook::backup::write::{Layout, Made};
use notebook::{Keeper, Memory, Record, Row, Store};

fn everything(k: &Keeper<Memory>) -> (Vec<Row>, Vec<(String, Vec<u8>)>) {
    let rows = run(k.store.rows_after("", u32::MAX)).unwrap();
    let photos = run(k.store.photo_ids())
        .unwrap()
        .into_iter()
        .map(|id| {
            let photo = run(k.store.photo(&id)).unwrap().unwrap();
            (id, photo)
        })
        .collect();
    (rows, photos)
}

fn quiet(got: &Got) {
    assert_eq!(got.plan.refused.list, []);
    assert_eq!(got.plan.notes, Vec::<String>::new());
}

#[test]
fn a_backup_read_where_it_was_made_changes_nothing() {
    let k = notebook();
    let got = read(&backup(&k.store), &k, false).unwrap();
    quiet(&got);
    let same = Counts {
        same: 9,
        ..Counts::default()
    };
    assert_eq!(got.plan.total, same);
    assert_eq!((got.plan.photos.same, got.plan.photos.new), (1, 0));
    let names: Vec<(&str, &str, u32)> = got
        .plan
        .parts
        .iter()
        .map(|p| (p.console.as_str(), p.name.as_str(), p.counts.same))
        .collect();
    assert_eq!(
        names,
        [
            ("c1", "attic find", 5),
            ("c2", "blue stripe \u{2013} \u{e9}t\u{e9}", 3),
            ("", "", 1)
        ]
    );
    assert_eq!(got.plan.about.device, "kitchen phone");
    assert_eq!(got.plan.about.made, NOW);
}

#[test]
fn an_empty_device_gets_everything_back_and_the_dry_run_writes_nothing() {
    let k = notebook();
    let bytes = backup(&k.store);
    let other = keeper("d2-a");
    let got = read(&bytes, &other, false).unwrap();
    quiet(&got);
    let new = Counts {
        new: 9,
        ..Counts::default()
    };
    assert_eq!(got.plan.total, new);
    assert_eq!(got.plan.photos.new, 1);
    assert_eq!(everything(&other), (Vec::new(), Vec::new()));

    read(&bytes, &other, true).unwrap();
    assert_eq!(everything(&other), everything(&k));
    // Made again from there, the file is the same to the byte.
    assert_eq!(backup(&other.store), bytes);
}

#[test]
fn the_file_is_laid_out_so_that_a_person_finds_their_way() {
    let k = notebook();
    let archive = open(&backup(&k.store)).unwrap();
    let paths: Vec<&str> = archive
        .files
        .iter()
        .map(|f| f.entry.path.as_str())
        .collect();
    assert_eq!(
        paths,
        [
            "notebook.json",
            "consoles/attic-find-c1/records.json",
            "consoles/blue-stripe-t-c2/records.json",
            "other/records.json",
            "photos/p1.jpg"
        ]
    );
    let bytes = backup(&k.store);
    let list = unpack(&bytes, &archive.files[1]).unwrap();
    let list: Vec<serde_json::Value> = serde_json::from_slice(&list).unwrap();
    for value in list {
        let id = value["id"].as_str().unwrap();
        assert_eq!(value, record(&k, id).to_json());
    }
    let about = unpack(&bytes, &archive.files[0]).unwrap();
    let about: serde_json::Value = serde_json::from_slice(&about).unwrap();
    assert_eq!(about["format"], notebook::kinds::FORMAT);
    assert_eq!(about["made_utc"], "2026-03-12 08:30:00");
    assert_eq!(about["counts"]["records"], 9);
    assert_eq!(about["consoles"][0]["folder"], "consoles/attic-find-c1");
}

#[test]
fn the_readme_has_date_device_and_true_counts() {
    let mut layout = Layout::new(Made {
        app: "0.1.0".to_owned(),
        device: "bench tablet".to_owned(),
        by: "d1".to_owned(),
        at: NOW,
    });
    let k = notebook();
    let rows = run(k.store.of_console("c1")).unwrap();
    layout.console("c1", &rows);
    layout.photo("p1").unwrap();
    let readme = layout.last()[1].clone();
    assert_eq!(readme.path, "README.txt");
    let text = String::from_utf8(readme.bytes).unwrap();
    for part in [
        "2026-03-12 08:30:00",
        "bench tablet",
        "\nconsoles: 1\n",
        "\nrecords: 5\n",
        "\nphotos: 1\n",
        "\ndamaged: 0\n",
    ] {
        assert!(text.contains(part), "{part} is not in {text}");
    }
}

#[test]
fn states_are_told_apart_and_both_sides_end_equal() {
    let a = notebook();
    let b = keeper("d2-a");
    read(&backup(&a.store), &b, true).unwrap();
    // There only, here only, both without and with a clash.
    save(
        &a,
        "c2",
        "console",
        r#"{"name":"renamed there"}"#,
        NOW + 100,
    );
    save(
        &a,
        "new1",
        "note",
        r#"{"console":"c1","note":"there"}"#,
        NOW + 100,
    );
    save(&b, "n1", "note", r#"{"note":"changed here"}"#, NOW + 100);
    save(
        &a,
        "j1",
        "job",
        r#"{"console":"c1","name":"stops after two seconds","stage":"apart","cause":"dry joint"}"#,
        NOW + 100,
    );
    save(
        &b,
        "j1",
        "job",
        r#"{"console":"c1","name":"stops after two seconds","stage":"testing"}"#,
        NOW + 101,
    );
    save(
        &a,
        "x1",
        "from-a-newer-app",
        r#"{"console":"c2","glow":1}"#,
        NOW + 100,
    );
    save(
        &b,
        "x1",
        "from-a-newer-app",
        r#"{"console":"c2","glow":2}"#,
        NOW + 101,
    );
    delete(&a, "r1", NOW + 100);
    delete(&b, "m1", NOW + 100);
    let of_a = backup(&a.store);
    let of_b = backup(&b.store);

    let got = read(&of_a, &b, false).unwrap();
    quiet(&got);
    assert_eq!(
        got.plan.total,
        Counts {
            new: 1,
            same: 3,
            there: 2,
            here: 2,
            both: 2,
            deletes: 1,
            returns: 0
        }
    );
    assert_eq!(
        got.plan.clashes,
        [Clash {
            id: "x1".to_owned(),
            kind: "from-a-newer-app".to_owned(),
            console: "c2".to_owned(),
            field: "glow".to_owned(),
            here: "2".to_owned(),
            there: "1".to_owned(),
        }]
    );
    read(&of_a, &b, true).unwrap();
    read(&of_b, &a, true).unwrap();
    assert_eq!(everything(&a), everything(&b));
    assert_eq!(record(&a, "x1").view().clashes.len(), 1);
    assert!(record(&a, "r1").gone() && record(&a, "m1").gone());
    // The second reading finds nothing left to do on either side.
    let again = read(&of_a, &b, false).unwrap();
    assert_eq!(
        (
            again.plan.total.new,
            again.plan.total.there,
            again.plan.total.both
        ),
        (0, 0, 0)
    );
}

#[test]
fn a_record_deleted_long_ago_is_not_brought_back_by_an_old_backup() {
    let a = notebook();
    let old = backup(&a.store);
    delete(&a, "n1", NOW + 10);
    let mut emptied = record(&a, "n1");
    emptied.empty_out();
    let b = keeper("d2-a");
    run(b.merge(&[emptied.clone()], &[])).unwrap();
    let got = read(&old, &b, true).unwrap();
    assert_eq!(got.plan.refused.list, []);
    assert_eq!(got.plan.total.here, 1);
    assert_eq!(record(&b, "n1"), emptied);
    // And a device that still has its text takes over that it is gone.
    let c = keeper("d3-a");
    read(&old, &c, true).unwrap();
    let got = read(&backup(&b.store), &c, true).unwrap();
    assert_eq!(got.plan.refused.list, []);
    assert_eq!((got.plan.total.there, got.plan.total.deletes), (1, 1));
    assert_eq!(record(&c, "n1"), emptied);
}

/// Old pages of the notebook are the only witness of what was done. A file that
/// carries the same version with another text would replace them unseen.
#[test]
fn a_version_that_says_something_else_under_the_same_name_is_refused() {
    let k = notebook();
    let mut honest = record(&k, "n1").to_json();
    let forge = |change: &dyn Fn(&mut serde_json::Value)| {
        let mut value = record(&k, "n1").to_json();
        change(&mut value["versions"][0]);
        value.to_string()
    };
    let cases = [
        forge(&|v| v["data"]["note"] = "zz forged".into()),
        forge(&|v| v["data"] = serde_json::json!({})),
        forge(&|v| v["gone"] = true.into()),
        forge(&|v| v["at"] = 1.into()),
    ];
    for case in cases {
        let got = read_list(&k, &("[".to_owned() + &case + "]"));
        assert!(
            got.plan.refused.list[0].why.contains("says something else"),
            "{case}"
        );
        assert_eq!(record(&k, "n1").to_json(), honest);
    }
    honest["versions"][0]["n"] = 1.into();
    honest["versions"][0]["data"]["note"] = "saved later".into();
    let got = read_list(&k, &("[".to_owned() + &honest.to_string() + "]"));
    assert_eq!((got.plan.refused.count(), got.plan.total.there), (0, 1));
}

#[test]
fn a_record_of_another_kind_under_the_same_id_is_refused() {
    let k = notebook();
    let before = record(&k, "n1");
    let job = GOOD.replacen("good", "n1", 1).replacen("note", "job", 1);
    let got = read_list(&k, &("[".to_owned() + &job + "]"));
    assert!(got.plan.refused.list[0].why.contains("another kind"));
    assert_eq!(record(&k, "n1"), before);
}

/// A backup with this list of records, read into the notebook for good.
fn read_list(k: &Keeper<Memory>, list: &str) -> Got {
    read_bytes(k, list.as_bytes())
}

fn read_bytes(k: &Keeper<Memory>, list: &[u8]) -> Got {
    read(&archive(&[("other/records.json", list, true)]), k, true).unwrap()
}

const GOOD: &str = r#"{"id":"good","kind":"note","created":5,"versions":[{"rev":1,"by":"z","at":5,"data":{"note":"<b>bold</b> =1+1"}}]}"#;

fn with(id: &str, change: &str, to: &str) -> Vec<u8> {
    GOOD.replacen("good", id, 1)
        .replacen(change, to, 1)
        .into_bytes()
}

/// Bad elements of a list, each between two good ones: what it is, its text, and
/// a part of the reason.
fn hostile() -> Vec<(&'static str, Vec<u8>, &'static str)> {
    let deep = |n: usize| {
        let note = "[".repeat(n) + &"]".repeat(n);
        with("b", r#""<b>bold</b> =1+1""#, &note)
    };
    let mut not_utf8 = with("b", "bold", "bo\u{1}ld");
    not_utf8
        .iter_mut()
        .for_each(|b| *b = if *b == 1 { 0xFF } else { *b });
    let many: Vec<String> = (1..=5001)
        .map(|n| format!(r#"{{"rev":{n},"by":"z","data":{{}}}}"#))
        .collect();
    let many = with(
        "b",
        r#"[{"rev""#,
        &("[".to_owned() + &many.join(",") + r#",{"rev""#),
    );
    vec![
        ("up", with("../../b", "", ""), "id has characters"),
        ("slash", with("a/b", "", ""), "id has characters"),
        ("control", with("a\\u0000b", "", ""), "id has characters"),
        ("html id", with("<img src=x>", "", ""), "id has characters"),
        ("1 MB id", with(&"x".repeat(1 << 20), "", ""), "80"),
        ("no id", with("", "", ""), "no id"),
        ("number id", with("b", r#""b""#, "7"), "no id"),
        ("same id", with("good", "bold", "other"), "first one counts"),
        (
            "html kind",
            with("b", "note", "<script>"),
            "kind has characters",
        ),
        ("no kind", with("b", r#""kind":"note","#, ""), "no kind"),
        (
            "no versions",
            with("b", "versions", "version"),
            "no list of versions",
        ),
        (
            "empty versions",
            with(
                "b",
                r#"[{"rev":1,"by":"z","at":5,"data":{"note":"<b>bold</b> =1+1"}}]"#,
                "[]",
            ),
            "no version",
        ),
        (
            "data is text",
            with("b", r#"{"note":"<b>bold</b> =1+1"}"#, r#""x""#),
            "no version",
        ),
        ("rev 0", with("b", r#""rev":1"#, r#""rev":0"#), "no version"),
        (
            "rev below 0",
            with("b", r#""rev":1"#, r#""rev":-1"#),
            "no version",
        ),
        (
            "rev a fraction",
            with("b", r#""rev":1"#, r#""rev":1.5"#),
            "no version",
        ),
        (
            "rev at the end",
            with("b", r#""rev":1"#, r#""rev":18446744073709551615"#),
            "out of range",
        ),
        (
            "n at the end",
            with("b", r#""rev":1"#, r#""rev":1,"n":18446744073709551615"#),
            "out of range",
        ),
        (
            "at far away",
            with("b", r#""at":5"#, r#""at":9223372036854775807"#),
            "out of range",
        ),
        (
            "created far away",
            with("b", r#""created":5"#, r#""created":-9223372036854775808"#),
            "out of range",
        ),
        ("1e999", with("b", r#""at":5"#, r#""at":1e999"#), "not JSON"),
        ("deep", deep(130), "not JSON"),
        ("very deep", deep(1_000_000), "not JSON"),
        ("not UTF-8", not_utf8, "UTF-8"),
        ("half a pair", with("b", "bold", "\\ud800"), "not JSON"),
        ("bare word", b"hello".to_vec(), "not JSON"),
        ("number", b"5".to_vec(), "not a record"),
        ("null", b"null".to_vec(), "not a record"),
        ("list", b"[1,[2,{}]]".to_vec(), "not a record"),
        ("text", br#""a,b]\"}""#.to_vec(), "not a record"),
        ("5001 versions", many, "more versions"),
    ]
}

#[test]
fn hostile_records_are_listed_and_those_beside_them_read() {
    for (what, bad, why) in hostile() {
        let k = keeper("d1-a");
        let mut list = b"\xEF\xBB\xBF [\r\n".to_vec();
        list.extend(GOOD.as_bytes());
        list.extend(b",");
        list.extend(&bad);
        list.extend(b" ,\n");
        list.extend(with("last", "", ""));
        list.extend(b"]\n");
        let got = read_bytes(&k, &list);
        let ids: Vec<&str> = got.records.iter().map(|r| r.id.as_str()).collect();
        assert_eq!(ids, ["good", "last"], "{what}");
        let refused = &got.plan.refused.list;
        assert!(!refused.is_empty(), "{what}");
        assert!(
            refused[0].path.starts_with("other/records.json, record 2"),
            "{what}: {refused:?}"
        );
        assert!(
            refused.iter().any(|r| r.why.contains(why)),
            "{what}: {refused:?}"
        );
        assert!(refused.iter().all(|r| r.path.len() < 600), "{what}");
        // Text stays text.
        assert_eq!(record(&k, "good").view().text("note"), "<b>bold</b> =1+1");
        assert_eq!(run(k.store.count()).unwrap(), 2, "{what}");
    }
}

#[test]
fn nesting_that_the_notebook_can_keep_is_kept() {
    let k = keeper("d1-a");
    let note = "[".repeat(100) + &"]".repeat(100);
    let list = GOOD.replacen(r#""<b>bold</b> =1+1""#, &note, 1);
    let got = read_list(&k, &("[".to_owned() + &list + "]"));
    assert_eq!(got.plan.refused.list, []);
    assert_eq!(
        record(&k, "good")
            .to_json()
            .to_string()
            .matches('[')
            .count(),
        101
    );
}

#[test]
fn lists_that_are_none_or_are_cut_are_told() {
    let whole =
        "[".to_owned() + GOOD + "," + &String::from_utf8(with("two", "", "")).unwrap() + "]";
    let cut = &whole[..whole.len() - 30];
    let cases: Vec<(&str, Vec<u8>, usize, &str)> = vec![
        ("empty list", b"[]".to_vec(), 0, ""),
        ("trailing comma", b"[ , ]".to_vec(), 0, ""),
        ("nothing", Vec::new(), 0, "no list"),
        ("object", br#"{"records":[]}"#.to_vec(), 0, "no list"),
        ("text", b"hello".to_vec(), 0, "no list"),
        ("UTF-16", b"\xFF\xFE[\0]\0".to_vec(), 0, "no list"),
        ("cut", cut.as_bytes().to_vec(), 1, "cut off"),
        ("cut at once", b"[".to_vec(), 0, "cut off"),
        (
            "more behind",
            (whole.clone() + "[]").into_bytes(),
            2,
            "more behind",
        ),
        (
            "closed early",
            whole.replacen("},", "]},", 1).into_bytes(),
            0,
            "",
        ),
    ];
    for (what, list, records, why) in cases {
        let got = read_bytes(&keeper("d1-a"), &list);
        let refused = &got.plan.refused.list;
        if what == "closed early" {
            assert!(!refused.is_empty(), "{what}");
            continue;
        }
        assert_eq!(got.records.len(), records, "{what}");
        if why.is_empty() {
            assert_eq!(refused.as_slice(), [], "{what}");
        } else {
            assert!(
                refused.iter().any(|r| r.why.contains(why)),
                "{what}: {refused:?}"
            );
        }
    }
}

#[test]
fn a_list_of_millions_of_nothings_takes_little_memory_and_little_time() {
    let list = "[".to_owned() + &"1,".repeat(1 << 20) + "1]";
    let got = read_list(&keeper("d1-a"), &list);
    assert_eq!(got.plan.refused.list.len(), 1000);
    assert_eq!(got.plan.refused.count(), (1 << 20) + 1);
}

#[test]
fn a_list_that_would_be_too_long_goes_on_in_another_file() {
    let k = keeper("d1-a");
    let text = "x".repeat(6 << 20);
    for id in ["r1", "r2", "r3", "r4"] {
        save(&k, id, "reading", &format!(r#"{{"text":"{text}"}}"#), NOW);
    }
    let bytes = backup(&k.store);
    let archive = open(&bytes).unwrap();
    let lists: Vec<&str> = archive
        .files
        .iter()
        .map(|f| f.entry.path.as_str())
        .collect();
    assert_eq!(
        lists,
        [
            "notebook.json",
            "other/records.json",
            "other/records-2.json"
        ]
    );
    assert!(archive.files.iter().all(|f| f.entry.raw < FILE_LIMIT / 2));
    let other = keeper("d2-a");
    let got = read(&bytes, &other, true).unwrap();
    quiet(&got);
    assert_eq!(everything(&other), everything(&k));
}

#[test]
fn a_damaged_row_here_is_in_the_backup_as_text_and_counted() {
    let k = notebook();
    k.store.damage("n1", "{\"id\":\"n1\", half");
    let whole = record(&k, "m1").to_json().to_string();
    k.store
        .damage("m1", &whole.replacen("\"rev\":1", "\"rev\":\"one\"", 1));
    let bytes = backup(&k.store);
    let archive = open(&bytes).unwrap();
    let find = |path: &str| archive.files.iter().find(|f| f.entry.path == path).unwrap();
    assert_eq!(
        unpack(&bytes, find("damaged/n1.txt")).unwrap(),
        b"{\"id\":\"n1\", half"
    );
    find("damaged/m1.txt");
    let got = read(&bytes, &keeper("d2-a"), true).unwrap();
    assert!(
        got.plan
            .notes
            .iter()
            .any(|n| n.contains("damaged already when the backup was made: 2.")),
        "{:?}",
        got.plan.notes
    );
    // What could still be read of the second is read.
    let m1 = got.records.iter().find(|r| r.id == "m1").unwrap();
    assert_eq!(m1.versions().len(), 1);
    // Read where it was made, the damaged row is left as it is.
    let got = read(&bytes, &k, false).unwrap();
    assert_eq!(got.plan.total.new, 0);
    let back = backup(&notebook().store);
    let got = read(&back, &k, true).unwrap();
    assert!(
        got.plan
            .refused
            .list
            .iter()
            .any(|r| r.path == "n1" && r.why.contains("damaged"))
    );
    assert_eq!(
        run(k.store.row("n1")).unwrap().unwrap().body,
        "{\"id\":\"n1\", half"
    );
}

#[test]
fn ids_that_are_no_file_names_make_no_paths() {
    let mut layout = Layout::new(Made::default());
    assert!(layout.photo("../p").is_err());
    let row = Row {
        id: "../../x".to_owned(),
        kind: "note".to_owned(),
        console: "c/../..".to_owned(),
        body: "half".to_owned(),
    };
    assert!(layout.is_other(&row));
    let mut files = layout.console("c/../..", std::slice::from_ref(&row));
    files.extend(layout.others(&[row]));
    let paths: Vec<&str> = files.iter().map(|f| f.path.as_str()).collect();
    assert_eq!(paths, ["damaged/no-id-1.txt", "damaged/no-id-2.txt"]);
    let whole = Record::from_text(GOOD, &mut Vec::new()).unwrap();
    let list = layout.console("..", &[Row::of(&whole)]);
    assert_eq!(list[0].path, "consoles/console-no-id-2/records.json");
    assert_eq!(layout.told.count(), 3);
}

#[test]
fn a_backup_from_a_newer_app_is_read_with_a_word_and_all_it_has_is_kept() {
    let k = keeper("d1-a");
    let newer = GOOD
        .replacen("{\"id\"", "{\"colour\":\"red\",\"id\"", 1)
        .replacen("{\"rev\"", "{\"mood\":[1],\"rev\"", 1)
        .replacen("note\"", "hologram\"", 1);
    let list = "[".to_owned() + &newer + "]";
    let bytes = archive(&[
        (
            "notebook.json",
            br#"{"format":99,"app":"9.0","holograms":1}"#,
            true,
        ),
        ("other/records.json", list.as_bytes(), true),
        ("holograms/h1.holo", b"light", false),
        ("photos/readme.txt", b"?", false),
    ]);
    let got = read(&bytes, &k, true).unwrap();
    assert!(got.plan.notes.iter().any(|n| n.contains("newer version")));
    assert!(
        got.plan
            .notes
            .iter()
            .any(|n| n.contains("does not read in: 2."))
    );
    assert_eq!(
        open(&bytes).unwrap().unknown,
        ["holograms/h1.holo", "photos/readme.txt"]
    );
    assert_eq!(got.plan.refused.list, []);
    let kept: serde_json::Value = serde_json::from_str(&newer).unwrap();
    assert_eq!(record(&k, "good").to_json(), kept);
}

#[test]
fn photos_are_told_apart() {
    let k = keeper("d1-a");
    for id in ["new", "same", "other", "missing", "kept"] {
        save(&k, id, "photo", "{}", NOW);
    }
    let pictures = ["new", "same", "other"].map(|id| (id.to_owned(), id.as_bytes().to_vec()));
    run(k.merge(&[], &pictures)).unwrap();
    let mut bytes = backup(&k.store);
    // A picture without a record goes in by hand.
    bytes = add_photo(&bytes, &k, "alone");

    let here = keeper("d2-a");
    let have = [
        ("same", "same"),
        ("other", "another picture"),
        ("kept", "k"),
    ]
    .map(|(id, file)| (id.to_owned(), file.as_bytes().to_vec()));
    run(here.merge(&[], &have)).unwrap();
    let got = read(&bytes, &here, true).unwrap();
    let p = got.plan.photos;
    assert_eq!((p.new, p.same, p.different, p.missing), (1, 1, 1, 1));
    assert!(
        got.plan
            .refused
            .list
            .iter()
            .any(|r| r.path == "alone" && r.why.contains("No record"))
    );
    // The one here stays.
    assert_eq!(
        run(here.store.photo("other")).unwrap().unwrap(),
        b"another picture"
    );
    assert_eq!(run(here.store.photo("new")).unwrap().unwrap(), b"new");
    assert_eq!(run(here.store.photo("alone")).unwrap(), None);
}

fn add_photo(bytes: &[u8], _: &Keeper<Memory>, id: &str) -> Vec<u8> {
    let archive = open(bytes).unwrap();
    let mut writer = notebook::backup::zip::Writer::new();
    let mut out = Vec::new();
    for file in &archive.files {
        let raw = unpack(bytes, file).unwrap();
        add(&mut writer, &mut out, &file.entry.path, &raw, true);
    }
    add(
        &mut writer,
        &mut out,
        &format!("photos/{id}.jpg"),
        b"alone",
        false,
    );
    out.extend(writer.finish());
    out
}

#[test]
fn a_backup_that_was_unpacked_and_packed_again_is_read() {
    let k = notebook();
    let bytes = backup(&k.store);
    let found = open(&bytes).unwrap();
    let mut writer = notebook::backup::zip::Writer::new();
    let mut out = Vec::new();
    add(&mut writer, &mut out, "my backup/", b"", false);
    for file in &found.files {
        let path = "my backup/".to_owned() + &file.entry.path;
        add(
            &mut writer,
            &mut out,
            &path,
            &unpack(&bytes, file).unwrap(),
            true,
        );
    }
    out.extend(writer.finish());
    let other = keeper("d2-a");
    quiet(&read(&out, &other, true).unwrap());
    assert_eq!(everything(&other), everything(&k));
}

#[test]
fn a_file_taken_out_of_the_backup_is_missed() {
    let k = notebook();
    let bytes = backup(&k.store);
    let found = open(&bytes).unwrap();
    let files: Vec<(String, Vec<u8>)> = found
        .files
        .iter()
        .filter(|f| !f.entry.path.contains("c2") && !f.entry.path.contains("photos"))
        .map(|f| (f.entry.path.clone(), unpack(&bytes, f).unwrap()))
        .collect();
    let list: Vec<(&str, &[u8], bool)> = files
        .iter()
        .map(|(p, b)| (p.as_str(), b.as_slice(), true))
        .collect();
    let got = read(&archive(&list), &keeper("d2-a"), false).unwrap();
    assert_eq!(
        got.plan.notes,
        [
            "Records that should be in the backup: 9. Found: 6.",
            "Photos that should be in the backup: 1. Found: 0."
        ]
    );
    assert_eq!(got.plan.photos.missing, 1);
}

#[test]
fn what_is_no_backup_is_said_to_be_none() {
    for bytes in [
        &b""[..],
        b"hello",
        &[0; 1000],
        b"\xFF\xD8\xFF\xE0 a picture",
    ] {
        assert!(open(bytes).is_err());
    }
    let empty = archive(&[]);
    assert!(open(&empty).is_err());
    assert!(open(&archive(&[("a.txt", b"x", false)])).is_err());
}
