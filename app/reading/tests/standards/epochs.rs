//! Epochs of references.md k, as text fields and as bytes of both orders.

use crate::support::{book_of, fields, read};

/// Epoch as the book writes it, offset to Unix time, and what 0, 2^31-1, 2^31
/// and 2^32-1 stand for (all C; GPS without leap seconds).
const EPOCHS: [(&str, i64, [&str; 4]); 6] = [
    (
        "1970-01-01T00:00:00Z",
        0,
        [
            "1970-01-01T00:00:00Z",
            "2038-01-19T03:14:07Z",
            "2038-01-19T03:14:08Z",
            "2106-02-07T06:28:15Z",
        ],
    ),
    (
        "2000-01-01T00:00:00Z",
        946_684_800,
        [
            "2000-01-01T00:00:00Z",
            "2068-01-19T03:14:07Z",
            "2068-01-19T03:14:08Z",
            "2136-02-07T06:28:15Z",
        ],
    ),
    (
        "1900-01-01T00:00:00Z",
        -2_208_988_800,
        [
            "1900-01-01T00:00:00Z",
            "1968-01-20T03:14:07Z",
            "1968-01-20T03:14:08Z",
            "2036-02-07T06:28:15Z",
        ],
    ),
    (
        "1980-01-06T00:00:00Z",
        315_964_800,
        [
            "1980-01-06T00:00:00Z",
            "2048-01-24T03:14:07Z",
            "2048-01-24T03:14:08Z",
            "2116-02-12T06:28:15Z",
        ],
    ),
    (
        "1980-01-01T00:00:00Z",
        315_532_800,
        [
            "1980-01-01T00:00:00Z",
            "2048-01-19T03:14:07Z",
            "2048-01-19T03:14:08Z",
            "2116-02-07T06:28:15Z",
        ],
    ),
    (
        "2001-01-01T00:00:00Z",
        978_307_200,
        [
            "2001-01-01T00:00:00Z",
            "2069-01-19T03:14:07Z",
            "2069-01-19T03:14:08Z",
            "2137-02-07T06:28:15Z",
        ],
    ),
];

/// Unix seconds and dates of the same section (C).
const DATES: [(i64, &str); 10] = [
    (951_782_400, "2000-02-29T00:00:00Z"),
    (951_868_800, "2000-03-01T00:00:00Z"),
    (68_169_600, "1972-02-29T00:00:00Z"),
    (1_709_164_800, "2024-02-29T00:00:00Z"),
    (4_107_542_399, "2100-02-28T23:59:59Z"),
    (4_107_542_400, "2100-03-01T00:00:00Z"),
    (1_000_000_000, "2001-09-09T01:46:40Z"),
    (1_234_567_890, "2009-02-13T23:31:30Z"),
    (482_196_050, "1985-04-12T23:20:50Z"),
    (851_042_397, "1996-12-20T00:39:57Z"),
];

fn book(epoch: &str, unit: f64) -> std::rc::Rc<codebook::Book> {
    let time = format!(r#""time":{{"epoch":"{epoch}","unit_seconds":{unit}}}"#);
    book_of(&format!(
        r#"{{"format":1,"id":"t","version":"1.0.0","name":"t","licence":"CC0-1.0","layouts":[
        {{"kind":"text","id":"line","name":"l","line":["fault ",{{"field":"code","width":4}}," clock ",{{"field":"time","width":8,{time}}}]}},
        {{"kind":"bytes","id":"little","name":"l","length":8,"fields":[{{"field":"code","at":0,"size":2,"equals":"C0DE"}},{{"field":"time","at":2,"size":4,"endian":"little",{time}}},{{"field":"end","at":6,"size":2,"equals":"0D0A"}}]}},
        {{"kind":"bytes","id":"big","name":"b","length":9,"fields":[{{"field":"code","at":0,"size":3,"equals":"C0FFEE"}},{{"field":"time","at":3,"size":4,"as":"decimal",{time}}},{{"field":"end","at":7,"size":2,"equals":"0D0A"}}]}}
        ]}}"#
    ))
}

fn all_ways(book: &std::rc::Rc<codebook::Book>, n: u32, want: &str) {
    let hex = |b: [u8; 4]| b.map(|x| format!("{x:02x}")).join(" ");
    let (le, be) = (hex(n.to_le_bytes()), hex(n.to_be_bytes()));
    for (layout, text) in [
        ("line", format!("fault 44D0 clock {n:08X}\n")),
        ("little", format!("c0 de {le} 0d 0a\n")),
        ("big", format!("c0 ff ee {be} 0d 0a\n")),
    ] {
        let reading = read(book, &text);
        let entry = reading
            .entries
            .first()
            .unwrap_or_else(|| panic!("{text}: {reading:?}"));
        assert_eq!(entry.layout, layout);
        assert_eq!(
            fields(entry, ["time_utc", "clock"]),
            [want, "set"],
            "{layout} {n}"
        );
    }
}

#[test]
fn the_edges_of_thirty_two_bits_from_each_epoch() {
    for (epoch, _, times) in EPOCHS {
        let book = book(epoch, 1.0);
        for (n, want) in [0, 0x7FFF_FFFF, 0x8000_0000, u32::MAX]
            .into_iter()
            .zip(times)
        {
            all_ways(&book, n, want);
        }
    }
}

#[test]
fn leap_days_and_round_numbers_from_each_epoch() {
    let mut tried = 0;
    for (epoch, offset, _) in EPOCHS {
        let book = book(epoch, 1.0);
        for (unix, want) in DATES {
            if let Ok(n) = u32::try_from(unix - offset) {
                all_ways(&book, n, want);
                tried += 1;
            }
        }
    }
    assert!(tried > 40, "{tried}");
    // 2000-02-29 counted from 2000 (C).
    all_ways(
        &book("2000-01-01T00:00:00Z", 1.0),
        5_097_600,
        "2000-02-29T00:00:00Z",
    );
}

/// Counters in minutes and in steps of two seconds (k, last line).
#[test]
fn counters_of_other_units() {
    all_ways(
        &book("1970-01-01T00:00:00Z", 60.0),
        951_782_400 / 60,
        "2000-02-29T00:00:00Z",
    );
    all_ways(
        &book("1980-01-01T00:00:00Z", 2.0),
        (951_782_400 - 315_532_800) / 2,
        "2000-02-29T00:00:00Z",
    );
}
