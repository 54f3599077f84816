//! Records and lines of public standards, taught from a few of them. The values
//! and where they are from are in `references.md` h1, h2, h5 and h6.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    missing_docs,
    reason = "tests may panic"
)]

use codebook::model::CheckKind;
use teaching::{Hints, Kind, Role, propose};

const NOW: i64 = 1_795_564_800;

fn hints() -> Hints {
    Hints {
        latest: Some(NOW),
        ..Hints::default()
    }
}

/// `references.md` h1: worked records of the IPMI system event log, 16 bytes each
/// (IPMI v2.0 table 32-1; Intel SEL guide, ipmitool): bytes 4 to 7 are the time,
/// lowest byte first, seconds since 1970.
const IPMI: &str = "\
1F 00 02 C3 70 8D 4F 33 00 04 12 83 6F 05 00 FF
20 00 02 C4 70 8D 4F 33 00 04 12 83 6F 05 80 FF
24 00 02 F6 06 9D 4D 20 00 04 07 70 6F 01 00 00
01 00 02 C8 53 24 54 20 00 04 10 72 6F 02 FF FF
02 00 02 E3 F6 37 54 20 00 04 05 73 6F 80 02 FF
A1 00 02 5D FB 4B 5D 01 00 04 07 40 6F AB 07 00
";

#[test]
fn ipmi_records_have_sixteen_bytes_and_their_time_is_found() {
    let p = propose(IPMI, &hints()).unwrap();
    assert_eq!((p.kind, p.record, p.skip), (Kind::Bytes, Some(16), 0));
    // Six records of several machines, so nothing rises from record to record.
    // One tap tells the clock, and then its end and its epoch are found.
    let mut h = hints();
    h.roles.push((9, Role::Time));
    let p = propose(IPMI, &h).unwrap();
    let time = p.parts.iter().find(|x| x.role == Role::Time).unwrap();
    assert_eq!((time.span, time.little), ((9, 20), Some(true)));
    let row = &p.times[p.epoch.unwrap()];
    assert_eq!(row.epoch, "1970-01-01T00:00:00Z");
    assert_eq!(
        (row.first.as_str(), row.last.as_str()),
        ("2011-04-07T00:36:06Z", "2019-08-08T10:37:17Z")
    );
    // Read with the taught layout the dates are those of the reference.
    let doc = serde_json::json!({"format": 1, "id": "x", "version": "1", "name": "x", "licence": "none",
        "layouts": [serde_json::to_value(&p.layout).unwrap()]});
    let book = std::rc::Rc::new(codebook::Book::of(doc).unwrap());
    let reading = reading::Reader::new(vec![book]).read(IPMI.as_bytes());
    let utc = |i: usize| reading.entries[i].fields["time_utc"].clone();
    assert_eq!(
        (utc(0), utc(3)),
        ("2012-04-17T13:31:47Z".into(), "2014-09-25T17:41:28Z".into())
    );
    // Two of the bytes that are the same in all six: record type and event type.
    let same: Vec<&str> = p
        .parts
        .iter()
        .filter(|x| x.role == Role::Same)
        .map(|x| x.text.as_str())
        .collect();
    assert!(same.contains(&"02") && same.contains(&"6F"), "{same:?}");
    assert_eq!(p.read, p.of);
}

/// `references.md` h5: Intel HEX lines whose bytes sum to 0.
const INTEL: &str = "\
:10010000214601360121470136007EFE09D2190140
:100110002146017E17C20001FF5F16002148011928
:10012000194E79234623965778239EDA3F01B2CAA7
:100130003F0156702B5E712B722B732146013421C7
";

#[test]
fn the_check_of_intel_hex_is_the_twos_complement() {
    let p = propose(
        INTEL,
        &Hints {
            kind: Some(Kind::Bytes),
            ..hints()
        },
    )
    .unwrap();
    let check = p.layout.check().unwrap();
    assert_eq!(
        (check.kind, check.bits, check.seed),
        (CheckKind::TwosComplementSum, 8, 0),
        "{:?}",
        p.check
    );
    assert_eq!(check.over.bytes, Some([0, 20]));
    assert_eq!(p.record, Some(21));
    let found = p.check.unwrap();
    assert_eq!((found.agrees, found.of), (4, 4));
}

/// `references.md` h6: an S-record whose check is given there. More of its kind
/// are made with other data; their check is the ones' complement of the sum, as
/// the reference says.
const MOTOROLA: &str = "S1137AF00A0A0D0000000000000000000000000061";

#[test]
fn the_check_of_an_s_record_is_the_ones_complement() {
    // The letters in front are no bytes; behind them the line is a dump.
    let mut bytes = MOTOROLA[2..].to_owned() + "\n";
    for i in 1..6_u32 {
        let mut body = vec![0x13, 0x7A + i, 0xF0];
        body.extend((0..16).map(|k| (k * 37 + i * i * 11 + 5) & 0xFF));
        let check = 0xFF - (body.iter().sum::<u32>() & 0xFF);
        body.push(check);
        bytes += &body.iter().map(|b| format!("{b:02X}")).collect::<String>();
        bytes += "\n";
    }
    let p = propose(
        &bytes,
        &Hints {
            kind: Some(Kind::Bytes),
            ..hints()
        },
    )
    .unwrap();
    let check = p.layout.check().unwrap();
    assert_eq!(
        (check.kind, check.bits, check.over.bytes),
        (CheckKind::OnesComplementSum, 8, Some([0, 19])),
        "{:?}",
        p.check
    );
}

/// `references.md` h2: firmware progress and error lines as a public file prints
/// them.
const UEFI: &str = "\
PROGRESS CODE: V03020002 I0
PROGRESS CODE: V03020003 I0
PROGRESS CODE: V03041001 I0
PROGRESS CODE: V03020002 I0
";

#[test]
fn firmware_lines_have_their_value_found() {
    let p = propose(UEFI, &hints()).unwrap();
    let code = p.parts.iter().find(|x| x.role == Role::Code).unwrap();
    assert!(code.text.ends_with("03020002"), "{code:?}");
    assert_eq!((p.read, p.of), (4, 4));
}
