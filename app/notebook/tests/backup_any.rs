//! Whatever is in the file: no panic, no endless reading, and never anything
//! wrong without a word.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing)]

mod backup_help;

use backup_help::*;
use notebook::{Record, Store};
use proptest::prelude::*;

/// What is in a notebook: its records and its photos.
type Whole = (Vec<Record>, Vec<(String, Vec<u8>)>);

fn whole() -> (Vec<u8>, Whole) {
    let k = notebook();
    let rows = run(k.store.rows_after("", u32::MAX)).unwrap();
    let records = rows.iter().map(|r| r.record(&mut Vec::new()).unwrap());
    let photo = run(k.store.photo("p1")).unwrap().unwrap();
    let photos = vec![("p1".to_owned(), photo)];
    (backup(&k.store), (records.collect(), photos))
}

/// All that comes out is in the notebook; what does not come out is told.
fn equal_or_told(bytes: &[u8], (records, photos): &Whole) -> Result<bool, TestCaseError> {
    let Ok(got) = read(bytes, &keeper("d2-a"), true) else {
        return Ok(false);
    };
    for record in &got.records {
        prop_assert!(records.contains(record), "changed: {record:?}");
    }
    for photo in &got.photos {
        prop_assert!(photos.contains(photo), "changed: {}", photo.0);
    }
    let equal = got.records.len() == records.len() && got.photos.len() == photos.len();
    let told = got.plan.refused.count() > 0 || !got.plan.notes.is_empty();
    prop_assert!(equal || told, "lost without a word");
    Ok(equal)
}

#[test]
fn a_backup_cut_anywhere_gives_what_is_left_and_says_so() {
    let (bytes, whole) = whole();
    let mut found = 0;
    for end in 0..bytes.len() {
        equal_or_told(&bytes[..end], &whole).unwrap();
        if let Ok(archive) = open(&bytes[..end]) {
            found = found.max(archive.files.len());
            assert!(!archive.notes.is_empty() || archive.refused.count() > 0);
        }
    }
    // Cut in the directory, all files are still found.
    assert_eq!(found, 5);
}

#[test]
fn a_backup_with_any_one_byte_changed_is_equal_or_told() {
    let (bytes, whole) = whole();
    let mut equal = 0;
    for at in 0..bytes.len() {
        for bit in [0x01, 0x20, 0x80, 0xFF] {
            let mut changed = bytes.clone();
            changed[at] ^= bit;
            equal += usize::from(equal_or_told(&changed, &whole).unwrap());
        }
    }
    // Dates, and the text for a person, change nothing that is read in.
    assert!(equal > 0 && equal < bytes.len(), "{equal}");
}

fn mutations() -> impl Strategy<Value = Vec<(u8, prop::sample::Index, prop::sample::Index, u8)>> {
    prop::collection::vec(
        any::<(u8, prop::sample::Index, prop::sample::Index, u8)>(),
        1..6,
    )
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_harm(bytes: Vec<u8>) {
        let _ = read(&bytes, &keeper("d"), true);
    }

    /// Bytes that look like a ZIP file more often than chance would have it.
    #[test]
    fn any_bytes_between_signatures_are_read_without_harm(
        parts in prop::collection::vec((0..5u8, prop::collection::vec(prop_oneof![Just(0u8), Just(1), Just(255), any::<u8>()], 0..60)), 0..40)
    ) {
        let mut bytes = Vec::new();
        for (kind, rest) in parts {
            bytes.extend(match kind {
                0 => &b"PK\x03\x04"[..],
                1 => b"PK\x01\x02",
                2 => b"PK\x05\x06",
                3 => b"PK\x06\x07",
                _ => b"photos/a.jpg",
            });
            bytes.extend(rest);
        }
        let _ = read(&bytes, &keeper("d"), true);
    }

    /// Bytes changed, taken out, copied elsewhere.
    #[test]
    fn a_backup_changed_in_several_places_is_equal_or_told(all in mutations()) {
        let (mut bytes, whole) = whole();
        for (kind, from, to, byte) in all {
            let (mut from, mut to) = (from.index(bytes.len()), to.index(bytes.len()));
            if from > to {
                std::mem::swap(&mut from, &mut to);
            }
            let to = to.min(from + 200);
            match kind % 4 {
                0 => bytes[from] = byte,
                1 => drop(bytes.drain(from..to)),
                2 => {
                    let part = bytes[from..to].to_vec();
                    bytes.splice(to..to, part);
                }
                _ => bytes[from..to].fill(byte),
            }
            if bytes.is_empty() {
                break;
            }
        }
        equal_or_told(&bytes, &whole)?;
    }

    #[test]
    fn any_text_as_a_list_is_read_without_harm(
        list in "\\[?([\\[\\]{}\",:\\\\ 1a]|\"id\":\"[a-c]\"|\"versions\":\\[)*"
    ) {
        let bytes = archive(&[("other/records.json", list.as_bytes(), false)]);
        let _ = read(&bytes, &keeper("d"), true);
    }

    /// The standard reader of JSON is the outside measure of where the elements
    /// of a list are.
    #[test]
    fn a_list_is_cut_where_the_reader_of_json_cuts_it(texts: Vec<String>) {
        let records: Vec<serde_json::Value> = texts
            .iter()
            .enumerate()
            .map(|(n, text)| serde_json::json!({
                "id": n.to_string(), "kind": "note", "created": 1,
                "versions": [{"rev": 1, "by": text, "at": 1, "data": {text: [text, {"a": text}]}}]
            }))
            .collect();
        for list in [
            serde_json::to_vec(&records).unwrap(),
            serde_json::to_vec_pretty(&records).unwrap(),
        ] {
            let got = read(&archive(&[("other/records.json", &list, true)]), &keeper("d"), true).unwrap();
            prop_assert_eq!(got.plan.refused.count(), 0);
            let found: Vec<serde_json::Value> = got.records.iter().map(Record::to_json).collect();
            prop_assert_eq!(&found, &records);
        }
    }
}
