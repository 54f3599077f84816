//! CRC catalogue rows of references.md h7 through a byte layout, end to end.

use crate::support::{book_of, field, read};

/// Name, width, poly, init, reflected, xorout, check of "123456789" (C: two
/// libraries agree).
const CATALOGUE: [(&str, u32, &str, &str, bool, &str, u64); 16] = [
    ("CRC-8/SMBUS", 8, "07", "00", false, "00", 0xF4),
    ("CRC-8/MAXIM-DOW", 8, "31", "00", true, "00", 0xA1),
    ("CRC-8/AUTOSAR", 8, "2F", "FF", false, "FF", 0xDF),
    ("CRC-16/ARC", 16, "8005", "0000", true, "0000", 0xBB3D),
    ("CRC-16/MODBUS", 16, "8005", "FFFF", true, "0000", 0x4B37),
    ("CRC-16/USB", 16, "8005", "FFFF", true, "FFFF", 0xB4C8),
    ("CRC-16/IBM-3740", 16, "1021", "FFFF", false, "0000", 0x29B1),
    (
        "CRC-16/SPI-FUJITSU",
        16,
        "1021",
        "1D0F",
        false,
        "0000",
        0xE5CC,
    ),
    ("CRC-16/XMODEM", 16, "1021", "0000", false, "0000", 0x31C3),
    ("CRC-16/KERMIT", 16, "1021", "0000", true, "0000", 0x2189),
    ("CRC-16/IBM-SDLC", 16, "1021", "FFFF", true, "FFFF", 0x906E),
    (
        "CRC-32/ISO-HDLC",
        32,
        "04C11DB7",
        "FFFFFFFF",
        true,
        "FFFFFFFF",
        0xCBF4_3926,
    ),
    (
        "CRC-32/BZIP2",
        32,
        "04C11DB7",
        "FFFFFFFF",
        false,
        "FFFFFFFF",
        0xFC89_1918,
    ),
    (
        "CRC-32/MPEG-2",
        32,
        "04C11DB7",
        "FFFFFFFF",
        false,
        "00000000",
        0x0376_E6E7,
    ),
    (
        "CRC-32/JAMCRC",
        32,
        "04C11DB7",
        "FFFFFFFF",
        true,
        "00000000",
        0x340B_C6D9,
    ),
    (
        "CRC-32/ISCSI",
        32,
        "1EDC6F41",
        "FFFFFFFF",
        true,
        "FFFFFFFF",
        0xE306_9283,
    ),
];

fn dump(bytes: &[u8]) -> String {
    bytes
        .iter()
        .map(|b| format!("{b:02X}"))
        .collect::<Vec<_>>()
        .join(" ")
}

fn layout(size: usize, endian: &str, check: &str) -> String {
    format!(
        r#"{{"format":1,"id":"crc","version":"1.0.0","name":"c","licence":"CC0-1.0","layouts":[{{
        "kind":"bytes","id":"r","name":"r","length":{},"fields":[{{"field":"code","at":0,"size":4}},{{"field":"more","at":4,"size":5}},
        {{"field":"check","at":9,"size":{size},"endian":"{endian}"}}],
        "check":{{"field":"check","over":{{"bytes":[0,9]}},{check}}}}}]}}"#,
        9 + size
    )
}

/// A good record, then the same record with one bit turned, for each row, each
/// bit of the data and both byte orders.
#[test]
fn records_that_end_in_each_crc_of_the_catalogue() {
    for (name, bits, poly, init, reflect, xorout, value) in CATALOGUE {
        let size = bits as usize / 8;
        let rule = format!(
            r#""kind":"crc","bits":{bits},"poly":"{poly}","init":"{init}","xorout":"{xorout}","reflect_in":{reflect},"reflect_out":{reflect}"#
        );
        for endian in ["big", "little"] {
            let book = book_of(&layout(size, endian, &rule));
            let mut good = b"123456789".to_vec();
            let mut tail = value.to_be_bytes()[8 - size..].to_vec();
            if endian == "little" {
                tail.reverse();
            }
            good.extend(tail);
            let mut wrong = 0;
            for bit in 0..72 {
                let mut bad = good.clone();
                bad[bit / 8] ^= 1 << (bit % 8);
                let reading = read(&book, &format!("{}\n{}\n", dump(&good), dump(&bad)));
                let first = &reading.entries[0];
                assert_eq!(field(first, "check_ok"), "true", "{name} {endian}");
                assert!(!first.guess);
                assert_eq!(
                    field(first, "check"),
                    format!("{value:0w$X}", w = 2 * size),
                    "{name}"
                );
                // The second is mended to the first (and then is the same
                // record again), read as it stands with its check wrong, or
                // offered with choices; never taken as good.
                for e in reading.entries.iter().skip(1) {
                    assert!(
                        e.guess || field(e, "check_ok") == "false",
                        "{name} bit {bit}"
                    );
                    wrong += usize::from(!e.guess);
                }
            }
            assert!(
                wrong > 20,
                "{name}: only {wrong} of 72 turned bits left the check wrong"
            );
        }
    }
}

/// Sum and xor of the same nine bytes (h7, last line (C)), and the two
/// complements of the sum.
#[test]
fn records_that_end_in_plain_sums() {
    for (kind, value) in [
        ("sum", 0xDD),
        ("xor", 0x31),
        ("twos_complement_sum", 0x23),
        ("ones_complement_sum", 0x22),
    ] {
        let book = book_of(&layout(1, "big", &format!(r#""kind":"{kind}""#)));
        let mut record = b"123456789".to_vec();
        record.push(value);
        let reading = read(&book, &dump(&record));
        assert_eq!(field(&reading.entries[0], "check_ok"), "true", "{kind}");
    }
}
