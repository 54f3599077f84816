//! Intel HEX and Motorola S-record lines with their checks.

use crate::support::{field, fields, paste, read, standard};

/// All lines of h5. The first five (S+C), the rest (C).
#[test]
fn hex_file_lines_sum_up_to_zero() {
    let reading = paste(&standard("intel-hex"), "intel-hex");
    let rows: Vec<_> = reading
        .entries
        .iter()
        .map(|e| fields(e, ["address", "code", "length", "check_ok"]))
        .collect();
    assert_eq!(
        rows,
        [
            ["0100", "00", "10", "true"],
            ["0110", "00", "10", "true"],
            ["0120", "00", "10", "true"],
            ["0130", "00", "10", "true"],
            ["0030", "00", "03", "true"],
            ["0000", "02", "02", "true"],
            ["0000", "04", "02", "true"],
            ["0000", "05", "04", "true"],
            ["0000", "01", "00", "true"],
            // The trap: B7 for 17 and 88 for 28, valid and so never mended.
            ["0110", "00", "10", "true"],
        ]
    );
    assert!(reading.entries.iter().all(|e| !e.guess));
    assert_eq!(
        field(&reading.entries[9], "data"),
        "2146017EB7C20001FF5F160021480119"
    );
}

/// All records of h6 (S+C).
#[test]
fn s_records_end_in_the_sum_turned_over() {
    let reading = paste(&standard("s-record"), "s-record");
    let rows: Vec<_> = reading
        .entries
        .iter()
        .map(|e| fields(e, ["code", "count", "address", "check", "check_ok"]))
        .collect();
    assert_eq!(
        rows,
        [
            ["S0", "15", "0000", "3C", "true"],
            ["S1", "17", "0038", "42", "true"],
            ["S1", "19", "7AF0", "61", "true"],
            ["S5", "3", "0003", "F9", "true"],
            ["S9", "3", "0000", "FC", "true"],
        ]
    );
    let text = |n: usize| -> String {
        let data = field(&reading.entries[n], "data");
        (0..data.len() / 2)
            .map(|i| u8::from_str_radix(&data[2 * i..2 * i + 2], 16).unwrap() as char)
            .collect()
    };
    assert!(text(0).starts_with("hello"));
    assert!(text(1).starts_with("Hello world."));
}

/// Every change of one digit in a valid line is noticed: it is never read
/// without a guess and with its check in order.
#[test]
fn every_typo_of_one_digit_is_noticed() {
    for (book, line) in [
        ("intel-hex", ":0300300002337A1E"),
        ("intel-hex", ":100110002146017EB7C20001FF5F16002148011988"),
        ("s-record", "S111003848656C6C6F20776F726C642E0A0042"),
    ] {
        let book = standard(book);
        assert_eq!(field(&read(&book, line).entries[0], "check_ok"), "true");
        let mut noticed = [0; 3];
        for at in 1..line.len() {
            for digit in "0123456789ABCDEF".chars() {
                let mut typo: Vec<char> = line.chars().collect();
                if typo[at] == digit || at == 1 && line.starts_with('S') {
                    continue;
                }
                typo[at] = digit;
                let typo: String = typo.into_iter().collect();
                let reading = read(&book, &typo);
                match reading.entries.first() {
                    None => noticed[0] += 1,
                    Some(e) if e.guess => {
                        noticed[1] += 1;
                        assert_eq!(field(e, "check_ok"), "true", "{typo}");
                        assert!(
                            e.guesses
                                .iter()
                                .all(|g| g.confirmed_by.as_deref() == Some("check"))
                        );
                    }
                    Some(e) => {
                        noticed[2] += 1;
                        assert_eq!(
                            field(e, "check_ok"),
                            "false",
                            "{typo} read as if nothing were wrong"
                        );
                    }
                }
            }
        }
        assert!(
            noticed.iter().all(|&n| n > 0),
            "{line}: unread, guessed, check wrong: {noticed:?}"
        );
    }
}

/// A look-alike that is no hex digit is mended and confirmed; a lost digit and
/// a line that says another length are not read.
#[test]
fn slips_in_a_line_with_a_check() {
    let book = standard("intel-hex");
    let reading = read(&book, ":10O110002146017E17C20001FF5F16002148011928\n");
    let guess = &reading.entries[0].guesses[0];
    assert_eq!(
        (&*guess.field, &*guess.to, guess.confirmed_by.as_deref()),
        ("address", "0110", Some("check"))
    );
    for short in [
        ":100130003F0156702B5E712B722B7321460134C7",
        ":100130003F0156702B5E712B722B73214601342C7",
    ] {
        let reading = read(&book, &format!("{short}\n:00000001FF\n"));
        assert_eq!(reading.line_classes.unreadable, [1], "{short}");
        assert_eq!(reading.entries.len(), 1);
    }
    // Length and data both wrong by one byte of value 0 and 1: the sum still
    // fits, the length does not.
    let reading = read(&book, ":0400300002337A1D\n:00000001FF\n");
    assert_eq!(reading.line_classes.unreadable, [1]);
}
