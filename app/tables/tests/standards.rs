//! Tables of public standards, laid out as wiki, HTML and separated values,
//! become books that read worked records right.
//!
//! The tables are those of `../shared/references.md` section h: IPMI v2.0 sensor
//! types (table 42-3) and offsets, UEFI PI status codes (volume 3), SMBIOS event
//! types (7.16.6.1), vehicle trouble codes (SAE J2012, two bytes). Records and
//! layouts are those of `app/reading/tests/standards`, with the sources named
//! there; only their code tables are thrown away and made anew here.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod support;

use codebook::Book;
use codebook::model::CodeBook;
use reading::Reader;
use std::rc::Rc;
use support::taken;
use tables::{Given, Piece, propose, take};

/// IPMI v2.0 table 42-3 (sensor types).
const SENSORS: &str = "01 Temperature, 02 Voltage, 03 Current, 04 Fan, 05 Physical Security, 06 Platform Security, 07 Processor, 08 Power Supply, 09 Power Unit, 0A Cooling, 0B Other, 0C Memory, 0D Drive Slot, 0E POST Memory Resize, 0F System Firmware, 10 Event Logging Disabled, 11 Watchdog 1, 12 System Event, 13 Critical Interrupt, 14 Button, 15 Module/Board, 16 Microcontroller, 17 Add-in Card, 18 Chassis, 19 Chip Set, 1A Other FRU, 1B Cable, 1C Terminator, 1D System Boot Initiated, 1E Boot Error, 1F OS Boot, 20 OS Critical Stop, 21 Slot, 22 ACPI Power State, 23 Watchdog 2, 24 Platform Alert, 25 Entity Presence, 26 Monitor ASIC, 27 LAN, 28 Mgmt Subsystem Health, 29 Battery, 2A Session Audit, 2B Version Change, 2C FRU State";

/// Sensor type, event type, offset, name: IPMI v2.0 tables 42-2 and 42-3, as far
/// as references.md h1 has them.
const OFFSETS: &[[&str; 4]] = &[
    ["any", "01", "0", "Lower Non-critical going low"],
    ["any", "01", "1", "Lower Non-critical going high"],
    ["any", "01", "2", "Lower Critical going low"],
    ["any", "01", "3", "Lower Critical going high"],
    ["any", "01", "4", "Lower Non-recoverable going low"],
    ["any", "01", "5", "Lower Non-recoverable going high"],
    ["any", "01", "6", "Upper Non-critical going low"],
    ["any", "01", "7", "Upper Non-critical going high"],
    ["any", "01", "8", "Upper Critical going low"],
    ["any", "01", "9", "Upper Critical going high"],
    ["any", "01", "A", "Upper Non-recoverable going low"],
    ["any", "01", "B", "Upper Non-recoverable going high"],
    ["05", "6F", "0", "General Chassis intrusion"],
    ["07", "6F", "0", "IERR"],
    ["07", "6F", "1", "Thermal Trip"],
    ["07", "6F", "2", "FRB1"],
    ["07", "6F", "3", "FRB2"],
    ["07", "6F", "4", "FRB3"],
    ["07", "6F", "5", "Configuration"],
    ["07", "6F", "7", "Presence detected"],
    ["07", "6F", "8", "Disabled"],
    ["07", "6F", "A", "Throttled"],
    ["07", "6F", "B", "Uncorrectable machine check"],
    ["08", "6F", "0", "Presence detected"],
    ["08", "6F", "1", "Failure"],
    ["08", "6F", "2", "Predictive failure"],
    ["08", "6F", "3", "AC lost"],
    ["0C", "6F", "0", "Correctable ECC"],
    ["0C", "6F", "1", "Uncorrectable ECC"],
    ["10", "6F", "2", "Log area cleared"],
    ["10", "6F", "4", "Log full"],
    ["10", "6F", "5", "Log almost full"],
    ["12", "6F", "0", "Reconfigured"],
    ["12", "6F", "1", "OEM boot event"],
    ["12", "6F", "4", "PEF action"],
    ["12", "6F", "5", "Clock sync"],
];

/// The same table in three forms. In the first two, cells of the leading columns
/// that repeat are merged; `merge` is the number of such columns.
fn forms(head: &[&str], rows: &[Vec<String>], merge: usize) -> [String; 3] {
    let mut wiki = format!("{{| class=\"wikitable\"\n! {}\n", head.join(" !! "));
    let mut html = format!("<table><tr><th>{}</th></tr>\n", head.join("</th><th>"));
    let mut csv = format!("{}\n", head.join(","));
    for (n, row) in rows.iter().enumerate() {
        wiki += "|-\n";
        html += "<tr>";
        for (k, cell) in row.iter().enumerate() {
            let same = |m: usize| rows.get(m).is_some_and(|r| r[..=k] == row[..=k]);
            if k < merge && n > 0 && same(n - 1) {
                continue;
            }
            let down = if k < merge {
                (n..).take_while(|&m| same(m)).count()
            } else {
                1
            };
            if down > 1 {
                wiki += &format!("| rowspan=\"{down}\" | {cell}\n");
                html += &format!("<td rowspan={down}>{cell}</td>");
            } else {
                wiki += &format!("| {cell}\n");
                html += &format!("<td>{cell}</td>");
            }
        }
        html += "</tr>\n";
        let quoted: Vec<String> = row.iter().map(|c| format!("\"{c}\"")).collect();
        csv += &format!("{}\n", quoted.join(","));
    }
    wiki += "|}\n";
    html += "</table>\n";
    [wiki, html, csv]
}

fn strings(rows: &[[&str; 4]]) -> Vec<Vec<String>> {
    rows.iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect()
}

/// A book of `app/reading/tests/standards` with the codes of the piece.
fn book(name: &str, mut piece: Piece) -> Rc<Book> {
    let path = format!(
        "{}/../reading/tests/standards/{name}.json",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut model: CodeBook = Book::load(&std::fs::read(path).unwrap()).unwrap().model;
    assert_eq!(piece.name_missing(&model), Vec::<String>::new());
    model.codes = piece.codes;
    Rc::new(Book::load(&serde_json::to_vec(&model).unwrap()).unwrap())
}

/// Line, code and first title of every entry of a paste.
fn titles(book: &Rc<Book>, paste: &str) -> Vec<(usize, String, String)> {
    let path = format!(
        "{}/../reading/tests/standards/{paste}.txt",
        env!("CARGO_MANIFEST_DIR")
    );
    let reading = Reader::new(vec![Rc::clone(book)]).read(&std::fs::read(path).unwrap());
    let mut out = Vec::new();
    for entry in &reading.entries {
        let code = entry
            .fields
            .get("code")
            .and_then(|c| c.as_str())
            .unwrap_or("");
        let found = book.lookup(code, Some(&entry.layout), None);
        let title = found.first().map_or("-", |f| f.title.as_str());
        out.push((entry.line, code.to_owned(), title.to_owned()));
    }
    out.sort();
    out
}

fn piece(paste: &str) -> Piece {
    let (sheets, _, taken) = taken(&[paste], "a standard");
    assert_eq!(sheets.len(), 1, "{paste}");
    assert!(
        taken.conflicts.is_empty() && taken.left.is_empty(),
        "{:?} {:?}",
        taken.conflicts,
        taken.left
    );
    taken.piece
}

#[test]
fn ipmi_offsets_read_the_worked_records() {
    // references.md h1, records 1, 2, 5 to 10 with the meaning printed there.
    let want = [
        (3, "Clock sync"),
        (4, "Clock sync"),
        (5, "Thermal Trip"),
        (6, "Presence detected"),
        (7, "Upper Non-critical going high"),
        (8, "Log area cleared"),
        (9, "General Chassis intrusion"),
        (11, "Uncorrectable machine check"),
        (12, "Clock sync"),
    ];
    let mut rows = strings(OFFSETS);
    for row in &mut rows {
        row[0] = row[0].replace("any", "??");
        row[2] += "h";
        row[2] = row[2].trim_end_matches('h').to_owned();
    }
    let columns = forms(&["Sensor type", "Event type", "Offset", "Event"], &rows, 2);
    let joined: Vec<Vec<String>> = rows
        .iter()
        .map(|r| vec![r[..3].join(" "), r[3].clone()])
        .collect();
    let one = forms(&["Code", "Event"], &joined, 0);
    for paste in columns.iter().chain(&one) {
        let book = book("ipmi-sel", piece(paste));
        let got = titles(&book, "ipmi");
        for (line, title) in want {
            assert!(
                got.iter().any(|(l, _, t)| *l == line && t == title),
                "line {line} {title}: {got:?}\n{paste}"
            );
        }
    }
}

#[test]
fn ipmi_sensor_types_are_looked_up() {
    let rows: Vec<Vec<String>> = SENSORS
        .split(", ")
        .map(|s| {
            s.split_once(' ')
                .map(|(a, b)| vec![format!("{a}h"), b.to_owned()])
                .unwrap()
        })
        .collect();
    for paste in forms(&["Sensor type code", "Sensor type"], &rows, 0) {
        let mut piece = piece(&paste);
        assert_eq!(piece.codes.len(), 44);
        let book = book("ipmi-sel", std::mem::take(&mut piece));
        // Sensor types of the worked records 1, 5, 7, 8 and 9.
        for (code, title) in [
            ("12", "System Event"),
            ("07", "Processor"),
            ("01", "Temperature"),
            ("10", "Event Logging Disabled"),
            ("05", "Physical Security"),
            ("2C", "FRU State"),
        ] {
            assert_eq!(book.lookup(code, None, None)[0].title, title, "{paste}");
        }
    }
}

#[test]
fn uefi_operations_read_the_worked_lines() {
    // references.md h2: names from the 2010 header, lines from a public file.
    let rows = [
        ["PROGRESS", "0x03020002", "INIT_BEGIN"],
        ["PROGRESS", "0x03020003", "INIT_END"],
        ["PROGRESS", "0x03041001", "HANDOFF_TO_NEXT"],
        ["PROGRESS", "0x03051003", "EXIT_BOOT_SERVICES_EVENT"],
        ["ERROR", "0x03040002", "INVALID_PARAMETER"],
        ["ERROR", "0x03051002", "BOOT_OPTION_LOAD_ERROR"],
        ["ERROR", "0x03051003", "BOOT_OPTION_FAILED"],
        ["ERROR", "0x00051003", "UNCORRECTABLE"],
        ["ERROR", "0x00011006", "THERMAL"],
        ["ERROR", "0x00011007", "LOW_VOLTAGE"],
        ["ERROR", "0x03058000-0x03058FFF", "OEM operation"],
    ];
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
    for paste in forms(&["Kind", "Value", "Name"], &rows, 1) {
        let book = book("uefi-status", piece(&paste));
        let got = titles(&book, "uefi");
        let got: Vec<(usize, &str)> = got.iter().map(|(l, _, t)| (*l, t.as_str())).collect();
        let want = [
            (4, "INIT_BEGIN"),
            (5, "INIT_END"),
            (6, "HANDOFF_TO_NEXT"),
            (7, "EXIT_BOOT_SERVICES_EVENT"),
            (8, "INVALID_PARAMETER"),
            (9, "BOOT_OPTION_LOAD_ERROR"),
            (10, "BOOT_OPTION_FAILED"),
            (11, "UNCORRECTABLE"),
            (12, "THERMAL"),
            (13, "LOW_VOLTAGE"),
            (14, "OEM operation"),
        ];
        for one in want {
            assert!(got.contains(&one), "{one:?}: {got:?}\n{paste}");
        }
    }
}

/// Class and subclass as two columns whose parts stand without a gap in the log:
/// what a person would correct by taking the space out between the parts.
#[test]
fn uefi_classes_join_as_the_person_says() {
    let rows = [
        ["00", "01", "computing unit, host processor"],
        ["00", "05", "computing unit, memory"],
        ["03", "02", "software, PEI core"],
        ["03", "04", "software, DXE core"],
        ["03", "05", "software, DXE boot service driver"],
    ];
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
    for paste in forms(&["Class", "Subclass", "Meaning"], &rows, 1) {
        let sheets = support::sheets_of(&paste);
        let mut plan = propose(&sheets[0]);
        plan.join = String::new();
        let taken = take(&[Given {
            sheet: &sheets[0],
            plan: &plan,
            from: "",
        }]);
        let codes: Vec<&str> = taken.piece.codes.iter().map(|c| c.code.as_str()).collect();
        assert_eq!(codes, ["0001", "0005", "0302", "0304", "0305"], "{paste}");
    }
}

#[test]
fn smbios_event_types_read_the_worked_records() {
    // SMBIOS 7.16.6.1, as in references.md h3.
    let rows = "01h Single-bit ECC, 02h Multi-bit ECC, 03h Parity memory, 04h Bus timeout, 05h I/O channel check, 06h Software NMI, 07h POST memory resize, 08h POST error, 09h PCI parity, 0Ah PCI system, 0Bh CPU failure, 0Ch EISA failsafe timer, 0Dh Correctable log disabled, 0Eh Logging disabled (too many), 0Fh reserved, 10h System limit exceeded, 11h Async hardware timer expired, 12h System config info, 13h Hard disk info, 14h System reconfigured, 15h Uncorrectable CPU-complex, 16h Log area cleared, 17h System boot, 18h-7Fh Unused, 80h–FEh OEM, FFh End of log";
    let rows: Vec<Vec<String>> = rows
        .split(", ")
        .map(|s| {
            s.split_once(' ')
                .map(|(a, b)| vec![a.to_owned(), b.to_owned()])
                .unwrap()
        })
        .collect();
    for paste in forms(&["Event type", "Description"], &rows, 0) {
        let piece = piece(&paste);
        let book = book("smbios-event", piece);
        // Every one of the 256 types has exactly one meaning.
        for code in 0x01..=0xFF_u32 {
            let found = book.lookup(&format!("{code:02X}"), None, None);
            assert_eq!(found.len(), 1, "{code:02X}\n{paste}");
            let want = match code {
                0x18..=0x7F => "Unused",
                0x80..=0xFE => "OEM",
                0xFF => "End of log",
                0x17 => "System boot",
                _ => continue,
            };
            assert_eq!(found[0].title, want, "{code:02X}");
        }
        let got = titles(&book, "smbios");
        let first: Vec<&str> = got.iter().map(|(_, _, t)| t.as_str()).take(4).collect();
        assert_eq!(
            first,
            [
                "System boot",
                "POST error",
                "Log area cleared",
                "I/O channel check"
            ],
            "{got:?}"
        );
    }
}

#[test]
fn trouble_code_ranges_name_the_system() {
    // SAE J2012: the letter and the first digit; the two bytes behind them.
    let letters = [
        ["P0xxx - P3xxx", "powertrain"],
        ["C0xxx - C3xxx", "chassis"],
        ["B0xxx - B3xxx", "body"],
        ["U0xxx - U3xxx", "network"],
    ];
    let rows: Vec<Vec<String>> = letters
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
    for paste in forms(&["Codes", "System"], &rows, 0) {
        let book = book("vehicle-dtc", piece(&paste));
        let got = titles(&book, "dtc");
        // references.md h4: 9234 is B1234, 0135 P0135, 0143 P0143, E103 U2103,
        // 96A1 B16A1, C158 U0158, 4123 C0123, 0A1F P0A1F, 3FFF P3FFF.
        for (code, title) in [
            ("B1234", "body"),
            ("P0135", "powertrain"),
            ("P0143", "powertrain"),
            ("U2103", "network"),
            ("B16A1", "body"),
            ("U0158", "network"),
            ("C0123", "chassis"),
            ("P0A1F", "powertrain"),
            ("P3FFF", "powertrain"),
        ] {
            assert!(
                got.iter().any(|(_, c, t)| c == code && t == title),
                "{code} {title}: {got:?}\n{paste}"
            );
        }
    }
    // The same as ranges of the two bytes.
    let bytes = [
        ["0xxx-3xxx", "P"],
        ["4xxx-7xxx", "C"],
        ["8xxx-Bxxx", "B"],
        ["Cxxx-Fxxx", "U"],
    ];
    let rows: Vec<Vec<String>> = bytes
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
    for paste in forms(&["Bytes in hex", "Letter of the code"], &rows, 0) {
        let piece = piece(&paste);
        let book = book("vehicle-dtc", piece);
        for (bytes, letter) in [
            ("9234", "B"),
            ("0135", "P"),
            ("0143", "P"),
            ("E103", "U"),
            ("96A1", "B"),
            ("C158", "U"),
            ("4123", "C"),
            ("0A1F", "P"),
            ("3FFF", "P"),
            ("FFFF", "U"),
            ("0000", "P"),
        ] {
            let found = book.lookup(bytes, None, None);
            assert_eq!(
                (found.len(), found[0].title.as_str()),
                (1, letter),
                "{bytes}\n{paste}"
            );
        }
    }
}
