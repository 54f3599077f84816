//! Look-alikes of references.md i2: what Unicode Technical Standard 39 lists
//! (the same shape, another code point) and what only looks alike to the eye.

use reading::result::ChangeKind;

use crate::support::{demo, field, read};

fn line(code: &str) -> String {
    format!(
        "slot 03  step 0A  code {code}  clock 2C8F10B0  seen 01\nslot 04  step 0A  code 44D0  clock 2C8F10B1  seen 01\n"
    )
}

/// Letters of other scripts (C: confusable-homoglyphs 3.3.1) are recorded
/// changes and no guesses.
#[test]
fn letters_of_other_scripts_are_look_alikes() {
    let book = demo("orrery");
    let letters = [
        ('A', "\u{391}\u{410}"),
        ('B', "\u{392}\u{412}"),
        ('C', "\u{3F9}\u{421}"),
        ('E', "\u{395}\u{415}"),
        ('F', "\u{3DC}"),
        ('A', "\u{251}\u{3B1}\u{430}"),
        ('B', "\u{184}\u{42C}"),
        ('C', "\u{3F2}\u{441}"),
        ('E', "\u{435}\u{4BD}"),
        ('2', "\u{1A7}\u{3E8}"),
        ('3', "\u{417}\u{1B7}\u{21C}\u{4E0}"),
        ('5', "\u{1BC}"),
        ('6', "\u{431}"),
        ('8', "\u{222}\u{223}"),
    ];
    for (plain, others) in letters {
        for other in others.chars() {
            let reading = read(&book, &line(&format!("4{other}D0")));
            let e = &reading.entries[0];
            assert_eq!(
                (e.line, field(e, "code")),
                (1, format!("4{plain}D0")),
                "U+{:04X}",
                other as u32
            );
            assert!(!e.guess, "U+{:04X} is no guess", other as u32);
            let change = e
                .changes
                .iter()
                .find(|c| c.from == other.to_string())
                .expect("a recorded change");
            assert_eq!(change.kind, ChangeKind::LookAlike, "U+{:04X}", other as u32);
        }
    }
}

/// TR39 folds O and a digit 0 to the same skeleton, but a Cyrillic O in a hex
/// field is still a letter: it is a look-alike of O, and O for 0 is a guess.
#[test]
fn a_letter_o_of_any_script_is_a_guess_for_zero() {
    let book = demo("orrery");
    for o in [
        'O', 'o', '\u{41E}', '\u{39F}', '\u{43E}', '\u{3BF}', '\u{3C3}',
    ] {
        let reading = read(&book, &line(&format!("44D{o}")));
        let e = &reading.entries[0];
        assert_eq!((e.line, field(e, "code")), (1, "44D0".to_owned()), "{o}");
        assert!(e.guess, "{o} for 0 must be a guess");
        assert_eq!(e.guesses[0].to, "44D0");
    }
}

/// Optical slips that TR39 has no row for (i2, trap) are guesses, never silent.
#[test]
fn optical_slips_are_guesses() {
    let book = demo("orrery");
    for (written, meant) in [('S', '5'), ('Z', '2'), ('Q', '0'), ('I', '1'), ('l', '1')] {
        let reading = read(&book, &line(&format!("4{written}D0")));
        match reading.entries.iter().find(|e| e.line == 1) {
            Some(e) => {
                assert_eq!(field(e, "code"), format!("4{meant}D0"), "{written}");
                assert!(e.guess && e.guesses.len() == 1);
            }
            None => assert_eq!(reading.line_classes.unreadable, [1], "{written}"),
        }
    }
    // B, D and 8 are all hex digits: nothing to mend.
    for valid in ["4BD0", "48D0", "4DD0"] {
        let reading = read(&book, &line(valid));
        assert_eq!(field(&reading.entries[0], "code"), valid);
        assert!(reading.entries.iter().all(|e| !e.guess));
    }
}

/// Full-width forms go by NFKC and are no guesses; neither are subscript and
/// superscript digits.
#[test]
fn compatible_forms_are_plain_changes() {
    let book = demo("orrery");
    for (code, plain) in [
        ("\u{FF14}\u{FF14}\u{FF24}\u{FF10}", "44D0"),
        ("\u{FF45}\u{FF15}\u{FF41}0", "E5A0"),
        ("44\u{FF44}\u{2080}", "44D0"),
        ("4\u{B2}D0", "42D0"),
    ] {
        let reading = read(&book, &line(code));
        let e = &reading.entries[0];
        assert_eq!(
            (e.line, field(e, "code"), e.guess),
            (1, plain.to_owned(), false),
            "{code}"
        );
        assert!(!e.changes.is_empty());
    }
}

/// Digits of other scripts have values but no row in either table: the line is
/// neither folded nor guessed (i2: NFKC leaves them, `isdigit` is true).
#[test]
fn digits_of_other_scripts_are_not_read() {
    let book = demo("orrery");
    for digit in ['\u{660}', '\u{6F1}', '\u{966}'] {
        for code in [format!("44D{digit}"), format!("4{digit}F7")] {
            let reading = read(&book, &line(&code));
            let lines: Vec<usize> = reading.entries.iter().map(|e| e.line).collect();
            assert_eq!(lines, [2], "{code}: {:?}", reading.entries[0].guesses);
            assert_eq!(reading.line_classes.unreadable, [1], "{code}");
        }
    }
}
