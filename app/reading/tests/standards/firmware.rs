//! Event logs of board controllers and firmware, and vehicle trouble codes.

use serde_json::Value;

use crate::support::{book_of, field, fields, parts, paste, read, standard, title};

/// Records 1-10 of references.md h1 and one OEM record of our own between them.
#[test]
fn system_event_records_say_what_their_sources_say() {
    let book = standard("ipmi-sel");
    let reading = paste(&book, "ipmi");
    let row = |line: usize| {
        reading
            .entries
            .iter()
            .find(|e| e.line == line)
            .unwrap_or_else(|| panic!("line {line}"))
    };
    let names = [
        "record_id",
        "time_utc",
        "clock",
        "generator",
        "sensor_kind",
        "sensor",
        "direction",
        "offset",
    ];
    let is = |line, values: [&str; 8], meaning: &str| {
        assert_eq!(fields(row(line), names), values, "line {line}");
        assert_eq!(title(&book, row(line)), meaning, "line {line}");
        assert!(!row(line).guess);
    };
    // 1 and 2: Intel order G90620, SEL guide 2.2.1.2 (S), dates (C).
    is(
        3,
        [
            "001F",
            "2012-04-17T13:31:47Z",
            "set",
            "0033",
            "System Event",
            "83",
            "assert",
            "5",
        ],
        "Clock sync",
    );
    is(
        4,
        [
            "0020",
            "2012-04-17T13:31:48Z",
            "set",
            "0033",
            "System Event",
            "83",
            "assert",
            "5",
        ],
        "Clock sync",
    );
    // The guide's text says "00h = First" for the second while its bytes say 80h.
    assert_eq!([field(row(3), "ed2"), field(row(4), "ed2")], ["00", "80"]);
    // Vendor habit: byte 2 is used although its two bits say "unspecified".
    assert_eq!(field(row(4), "ed2_is"), "unspecified");
    // 5 and 6: an ipmitool session (S); the dates are what the bytes say (C).
    is(
        5,
        [
            "0024",
            "2011-04-07T00:36:06Z",
            "set",
            "0020",
            "Processor",
            "70",
            "assert",
            "1",
        ],
        "Thermal Trip",
    );
    is(
        6,
        [
            "0024",
            "2011-04-07T00:36:06Z",
            "set",
            "0020",
            "Processor",
            "70",
            "deassert",
            "7",
        ],
        "Presence detected",
    );
    // 7: fields printed in a public file (S), bytes put together for references.md.
    is(
        7,
        [
            "0001",
            "-",
            "not set",
            "0020",
            "Temperature",
            "04",
            "assert",
            "7",
        ],
        "Upper Non-critical going high",
    );
    assert_eq!(row(7).fields["time_rel_s"], 1004);
    assert_eq!(parts(&book, row(7)), ["Temperature", "threshold"]);
    // 8 and 9: a public file (S), put together.
    is(
        8,
        [
            "0001",
            "2014-09-25T17:41:28Z",
            "set",
            "0020",
            "Event Logging Disabled",
            "72",
            "assert",
            "2",
        ],
        "Log area cleared",
    );
    is(
        9,
        [
            "0002",
            "2014-10-10T15:10:27Z",
            "set",
            "0020",
            "Physical Security",
            "73",
            "assert",
            "0",
        ],
        "General Chassis intrusion",
    );
    assert_eq!(
        fields(row(9), ["ed2_is", "ed2", "ed3_is"]),
        ["OEM", "02", "unspecified"]
    );
    // Type C0 is another layout (h1, first paragraph (S); the bytes are ours).
    assert_eq!(
        fields(row(10), ["code", "maker_id", "data"]),
        ["OEM C0", "000157", "010203040506"]
    );
    assert_eq!(row(10).layout, "sel-oem-time");
    // 10: a public file (S), put together. Both pairs of bits are 10b, so swapping
    // the pairs, as one public crate had it, would not show here but in line 9.
    is(
        11,
        [
            "00A1",
            "2019-08-08T10:37:17Z",
            "set",
            "0001",
            "Processor",
            "40",
            "assert",
            "B",
        ],
        "Uncorrectable machine check",
    );
    assert_eq!(fields(row(11), ["ed2_is", "ed3_is"]), ["OEM", "OEM"]);
    // 3: SEL guide 2.2.1.2 (S); the last byte was not seen, so the record is cut.
    is(
        12,
        [
            "011A",
            "2011-09-09T17:13:59Z",
            "set",
            "0001",
            "System Event",
            "83",
            "assert",
            "5",
        ],
        "Clock sync",
    );
    assert!(!row(12).complete && row(12).fields["ed3"].is_null());
    assert_eq!(reading.entries.len(), 10);
    assert!(reading.unreadable.is_empty());
}

/// The same as a dump with offsets and gutter, quoted; record 4's time; the
/// unspecified time; one letter O, which is a guess.
#[test]
fn a_quoted_dump_of_event_records() {
    let reading = paste(&standard("ipmi-sel"), "ipmi-dump");
    let times: Vec<[String; 3]> = reading
        .entries
        .iter()
        .map(|e| fields(e, ["time_raw", "time_utc", "clock"]))
        .collect();
    assert_eq!(
        times,
        [
            ["4F8D70C3", "2012-04-17T13:31:47Z", "set"],
            ["4F8D70C4", "2012-04-17T13:31:48Z", "set"],
            ["000003EC", "-", "not set"],
            // SEL guide, table 1 (S), date (S+C).
            ["4C687629", "2010-08-15T23:20:09Z", "set"],
            ["FFFFFFFF", "-", "absent"],
        ]
    );
    let guesses: Vec<_> = reading
        .entries
        .iter()
        .flat_map(|e| &e.guesses)
        .map(|g| (&*g.field, &*g.from, &*g.to))
        .collect();
    assert_eq!(guesses, [("type", "O2", "02")]);
}

/// 20000000h is the first value that is a date (h1 (S), date (C)).
#[test]
fn the_limit_between_a_count_and_a_date() {
    let book = standard("ipmi-sel");
    let at = |time: &str| {
        let r = read(
            &book,
            &format!("01 00 02 {time} 20 00 04 01 04 01 07 FF FF\n"),
        );
        fields(&r.entries[0], ["clock", "time_utc", "time_rel_s"])
    };
    assert_eq!(at("00 00 00 20"), ["set", "1987-01-05T18:48:32Z", "-"]);
    assert_eq!(at("FF FF FF 1F"), ["not set", "-", "536870911"]);
}

/// Replies of the raw command: the next record id in front, 16 bytes a row and
/// two in the next (shape from memory (M); the records are 1 and 2 of h1).
#[test]
fn raw_replies_with_half_rows() {
    let book = standard("ipmi-sel");
    let reading = paste(&book, "ipmi-raw");
    let rows: Vec<_> = reading
        .entries
        .iter()
        .map(|e| (e.line, fields(e, ["next_id", "record_id", "code", "ed2"])))
        .collect();
    let want = |line, v: [&str; 4]| (line, v.map(str::to_owned));
    assert_eq!(
        rows,
        [
            want(2, ["0020", "001F", "12 6F 5", "00"]),
            want(5, ["FFFF", "0020", "12 6F 5", "80"])
        ]
    );
    assert_eq!(reading.line_classes.continuation, [3, 6]);
}

/// All lines and values of h2 (lines (S), names from the 2010 header; a bare
/// value stands in an error line here).
#[test]
fn firmware_status_lines_by_kind() {
    let book = standard("uefi-status");
    let reading = paste(&book, "uefi");
    let rows: Vec<_> = reading
        .entries
        .iter()
        .map(|e| {
            (
                e.line,
                field(e, "code"),
                title(&book, e),
                parts(&book, e).join(", "),
            )
        })
        .collect();
    let want = |line, code: &str, title: &str, parts: &str| {
        (line, code.to_owned(), title.to_owned(), parts.to_owned())
    };
    assert_eq!(
        rows,
        [
            want(4, "PROGRESS 03020002", "INIT_BEGIN", "software, PEI core"),
            want(5, "PROGRESS 03020003", "INIT_END", "software, PEI core"),
            want(
                6,
                "PROGRESS 03041001",
                "HANDOFF_TO_NEXT",
                "software, DXE core"
            ),
            // The trap: 1003 as progress and as error.
            want(
                7,
                "PROGRESS 03051003",
                "EXIT_BOOT_SERVICES_EVENT",
                "software, DXE BS driver"
            ),
            want(
                8,
                "ERROR 03040002",
                "INVALID_PARAMETER",
                "software, DXE core"
            ),
            want(
                9,
                "ERROR 03051002",
                "BOOT_OPTION_LOAD_ERROR",
                "software, DXE BS driver"
            ),
            want(
                10,
                "ERROR 03051003",
                "BOOT_OPTION_FAILED",
                "software, DXE BS driver"
            ),
            want(
                11,
                "ERROR 00051003",
                "UNCORRECTABLE",
                "computing unit, memory"
            ),
            want(
                12,
                "ERROR 00011006",
                "THERMAL",
                "computing unit, host processor"
            ),
            want(
                13,
                "ERROR 00011007",
                "LOW_VOLTAGE",
                "computing unit, host processor"
            ),
            // The trap: nine digits in the type field of the published sample.
            want(
                14,
                "ERROR 03058002",
                "OEM operation",
                "software, DXE BS driver"
            ),
            want(15, "ERROR 010E0005", "INTERFACE_ERROR", "peripheral"),
        ]
    );
    assert!(reading.entries.iter().all(|e| !e.guess && e.complete));
    assert_eq!(field(&reading.entries[4], "severity"), "minor");
    assert_eq!(field(&reading.entries[10], "type"), "000000002");
    assert_eq!(reading.line_classes.ignored, [1, 3, 16]);
}

/// All rows of h4. First, second and fifth (S+C), the others (C).
#[test]
fn two_bytes_make_a_letter_and_four_digits() {
    let codes = [
        "B1234", "P0135", "P0143", "U2103", "B16A1", "U0158", "C0123", "P0A1F", "P3FFF", "U3FFF",
    ];
    let book = standard("vehicle-dtc");
    let reading = paste(&book, "dtc");
    let got: Vec<String> = reading.entries.iter().map(|e| field(e, "code")).collect();
    assert_eq!(got, codes);
    assert_eq!(title(&book, &reading.entries[3]), "network");
    // 0000 is padding: unused places here, and P0000 for a book without that rule.
    assert_eq!(reading.consoles[0].empty_slots, 2);
    let mut plain: Value = serde_json::from_str(&book.to_json()).unwrap();
    plain["layouts"][0]
        .as_object_mut()
        .unwrap()
        .remove("empty_byte");
    let reading = paste(&book_of(&plain.to_string()), "dtc");
    assert_eq!(field(&reading.entries[10], "code"), "P0000");
}

/// Event types of h3 (S) in a small byte layout. The year has two digits; only
/// years are tested here on whose century all rules agree.
#[test]
fn board_event_records_with_decimal_dates() {
    let book = standard("smbios-event");
    let reading = paste(&book, "smbios");
    let rows: Vec<_> = reading
        .entries
        .iter()
        .map(|e| (title(&book, e), field(e, "time_local")))
        .collect();
    let want = |title: &str, time: &str| (title.to_owned(), time.to_owned());
    assert_eq!(
        rows,
        [
            want("System boot", "2010-08-15T23:20:09"),
            want("POST error", "1999-12-31T23:59:59"),
            want("Log area cleared", "2000-02-29T03:04:05"),
            // The trap: "block" in one tool, "check" in the specification.
            want("I/O channel check", "2024-02-29T00:00:01"),
        ]
    );
    assert_eq!(reading.line_classes.empty, [5]);
}
