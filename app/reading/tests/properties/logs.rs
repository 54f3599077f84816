//! Clean logs of the three demo families, made of records that are known.

use proptest::prelude::*;
use serde_json::{Value, json};

/// A record as it was written.
#[derive(Clone, Debug)]
pub struct Record {
    /// Slot or running number.
    pub number: u64,
    /// What a reading must say.
    pub fields: Vec<(&'static str, Value)>,
    /// Its line.
    pub line: String,
}

/// A log.
#[derive(Clone, Debug)]
pub struct Log {
    /// The field that holds the number.
    pub key: &'static str,
    /// Lines in front.
    pub head: String,
    /// The records.
    pub records: Vec<Record>,
}

impl Log {
    /// The log as text.
    pub fn text(&self) -> String {
        let mut out = self.head.clone();
        for r in &self.records {
            out.push_str(&r.line);
            out.push('\n');
        }
        out
    }
}

fn time() -> impl Strategy<Value = u32> {
    prop_oneof![4 => 0x1000_0000_u32..0x4000_0000, 1 => 0_u32..0x0100_0000, 1 => Just(u32::MAX)]
}

fn clock(time: u32) -> Value {
    Value::from(match time {
        u32::MAX => "absent",
        0..0x0100_0000 => "not set",
        _ => "set",
    })
}

fn orrery() -> impl Strategy<Value = Log> {
    let entry = (any::<u8>(), any::<u16>(), time(), any::<u8>());
    proptest::collection::vec(entry, 1..24).prop_map(|entries| {
        let records = entries.into_iter().enumerate().map(|(slot, (step, code, time, count))| Record {
            number: slot as u64,
            fields: vec![
                ("slot", json!(slot)), ("step", json!(format!("{step:02X}"))), ("code", json!(format!("{code:04X}"))),
                ("time_raw", json!(format!("{time:08X}"))), ("clock", clock(time)), ("count", json!(count)),
            ],
            line: format!("slot {slot:02}  step {step:02X}  code {code:04X}  clock {time:08X}  seen {count:02X}"),
        });
        let records: Vec<Record> = records.collect();
        Log { key: "slot", head: format!("fault log: 24 slots, next slot {:02}\n", records.len() % 24), records }
    })
}

/// CRC-8/AUTOSAR, written out here on purpose: not the reader's own.
fn crc8(bytes: &[u8]) -> u8 {
    !bytes.iter().fold(0xFF_u8, |crc, b| {
        (0..8).fold(
            crc ^ b,
            |c, _| if c & 0x80 == 0 { c << 1 } else { c << 1 ^ 0x2F },
        )
    })
}

fn halyard() -> impl Strategy<Value = Log> {
    let entry = (any::<u8>(), any::<u16>(), time(), any::<i8>(), any::<u8>());
    (any::<u16>(), proptest::collection::vec(entry, 2..24)).prop_map(|(first, entries)| {
        let records =
            entries
                .into_iter()
                .enumerate()
                .map(|(i, (step, code, time, temp, flags))| {
                    let seq = first.wrapping_add(u16::try_from(i).unwrap());
                    let mut bytes = seq.to_le_bytes().to_vec();
                    bytes.push(step);
                    bytes.extend(code.to_be_bytes());
                    bytes.extend(time.to_le_bytes());
                    bytes.extend([temp.cast_unsigned(), flags]);
                    bytes.push(crc8(&bytes));
                    Record {
                        number: u64::from(seq),
                        fields: vec![
                            ("seq", json!(seq)),
                            ("step", json!(format!("{step:02X}"))),
                            ("code", json!(format!("{code:04X}"))),
                            ("time_raw", json!(format!("{time:08X}"))),
                            ("clock", clock(time)),
                            ("temp", json!(f64::from(temp) / 2.0)),
                            ("check_ok", json!(true)),
                        ],
                        line: bytes
                            .iter()
                            .map(|b| format!("{b:02X}"))
                            .collect::<Vec<_>>()
                            .join(" "),
                    }
                });
        Log {
            key: "seq",
            head: "halyard ring: 64 records of 12 bytes, head 1F\n".into(),
            records: records.collect(),
        }
    })
}

/// The check letters of design section 9's second rule, written out here.
fn letters(text: &str) -> String {
    let values = text
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .filter_map(|c| c.to_digit(36));
    let sum = (1..)
        .zip(values)
        .fold(7, |sum, (weight, v)| (sum + weight * v) % 484) as usize;
    let alphabet = b"ACDEFGHJKLMNPQRTUVWXYZ";
    [sum / 22, sum % 22]
        .map(|d| alphabet[d] as char)
        .iter()
        .collect()
}

fn tamsin() -> impl Strategy<Value = Log> {
    const GROUPS: [&str; 8] = [
        "amber", "birch", "cedar", "dune", "ember", "fern", "grove", "heath",
    ];
    let date = (
        1998_u32..2012,
        1_u32..13,
        1_u32..29,
        0_u32..24,
        0_u32..60,
        0_u32..60,
    );
    let entry = (
        prop::sample::select(&GROUPS[..]),
        0_u32..100,
        proptest::option::weighted(0.8, date),
    );
    (30_u64..9999, proptest::collection::vec(entry, 1..24)).prop_map(|(first, entries)| {
        let records = entries
            .into_iter()
            .enumerate()
            .map(|(i, (group, number, date))| {
                let seq = first - i as u64;
                let when = date.map_or_else(
                    || "--.--.---- at --:--:--".into(),
                    |(y, mo, d, h, mi, s)| format!("{d:02}.{mo:02}.{y} at {h:02}:{mi:02}:{s:02}"),
                );
                let check = letters(&format!("{seq:04}{group}{number:02}{when}"));
                let local = date.map(|(y, mo, d, h, mi, s)| {
                    format!("{y}-{mo:02}-{d:02}T{h:02}:{mi:02}:{s:02}")
                });
                Record {
                    number: seq,
                    fields: vec![
                        ("seq", json!(seq)),
                        (
                            "code",
                            json!(format!("{} {number:02}", group.to_uppercase())),
                        ),
                        ("time_local", json!(local)),
                        (
                            "clock",
                            json!(if date.is_some() { "set" } else { "absent" }),
                        ),
                        ("check_ok", json!(true)),
                    ],
                    line: format!(
                        "entry {seq:04}: group {group} number {number:02}, on {when}, check {check}"
                    ),
                }
            });
        Log {
            key: "seq",
            head: "tamsin log, newest first\n".into(),
            records: records.collect(),
        }
    })
}

/// A log of any family.
pub fn any_log() -> impl Strategy<Value = Log> {
    prop_oneof![orrery(), halyard(), tamsin()]
}
