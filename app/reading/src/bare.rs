//! A paste as it is without any layout: its lines with wrappers taken off, and
//! the dumps in it. For those who make layouts; reading itself goes on from here.

use std::rc::Rc;

use crate::fold::fold;
use crate::frame::value;
use crate::markup::{Carry, body_start, strip, without_stamps};
use crate::scan::Plans;
use crate::session::{Limits, Session};
use crate::view::{BREAK, OTHER_LETTER, OTHER_SIGN, View, is_space};

/// What a paste is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bare {
    /// Physical lines, those beyond the limits counted.
    pub physical: usize,
    /// The lines, with those that mark-up breaks as several.
    pub lines: Vec<BareLine>,
    /// The dumps.
    pub dumps: Vec<BareDump>,
}

/// A line without mark-up, quote marks, bullets and list numbers.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BareLine {
    /// The physical line, from 1.
    pub line: usize,
    /// The text: spaces, dashes, quote marks and look-alikes made plain.
    pub text: String,
    /// The same without time stamps of a chat or a recording program, if there
    /// are any.
    pub unstamped: Option<String>,
}

/// Rows of a dump that follow one another.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BareDump {
    /// The rows.
    pub rows: Vec<BareRow>,
    /// Bytes of a group as printed: 1, or more for words.
    pub group: usize,
    /// Bytes of most rows.
    pub per_row: usize,
}

/// One row of a dump.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BareRow {
    /// The physical line, from 1.
    pub line: usize,
    /// Offset in front, if there is one.
    pub offset: Option<u64>,
    /// The bytes as printed; `None` where a digit is unclear.
    pub bytes: Vec<Option<u8>>,
}

/// Looks at the first lines of a paste.
#[must_use]
pub fn look(text: &str, limits: Limits) -> Bare {
    let mut session = Session::new(Rc::new(Plans::new(Vec::new())), text.as_bytes(), limits);
    session.scan_all();
    let mut out = Bare {
        physical: session.physical(),
        ..Bare::default()
    };
    let mut carry = Carry::default();
    for segment in session.segments() {
        let view = fold(text, segment.range.0, segment.range.1);
        let view = strip(view, &mut carry);
        pieces(text, segment.line + 1, &view, &mut out.lines);
    }
    for (stream, lines) in session.streams() {
        let row = |(r, line): (usize, &usize)| BareRow {
            line: line + 1,
            offset: stream.rows.get(r).and_then(|row| row.offset),
            bytes: {
                let at = |k: usize| stream.starts.get(k).copied().unwrap_or(0);
                let part = stream.bytes.get(at(r)..at(r + 1)).unwrap_or(&[]);
                part.iter().map(|b| value(*b)).collect()
            },
        };
        out.dumps.push(BareDump {
            rows: lines.iter().enumerate().map(row).collect(),
            group: stream.group,
            per_row: stream.per_row,
        });
    }
    out
}

/// Cuts a view at its breaks.
fn pieces(text: &str, line: usize, view: &View, out: &mut Vec<BareLine>) {
    let mut from = 0;
    let mut any = false;
    for to in 0..=view.len() {
        if to < view.len() && view.byte(to) != BREAK {
            continue;
        }
        let mut piece = View::default();
        piece.extend_from(view, from, to);
        from = to + 1;
        let short = without_stamps(&piece).map(|v| plain(text, &v));
        let whole = plain(text, &piece);
        if !whole.is_empty() || (to == view.len() && !any) {
            any = true;
            out.push(BareLine {
                line,
                text: whole,
                unstamped: short,
            });
        }
    }
}

/// The text of a view from its body on. Characters that fold to nothing plain
/// stay as they are.
fn plain(text: &str, view: &View) -> String {
    let mut out = String::with_capacity(view.len());
    for i in body_start(view)..view.len() {
        match view.byte(i) {
            OTHER_LETTER | OTHER_SIGN => {
                let (a, b) = view.range(i, i + 1);
                out.push_str(text.get(a..b).unwrap_or("?"));
            }
            b if is_space(b) => out.push(' '),
            b => out.push(char::from(b)),
        }
    }
    out.truncate(out.trim_end().len());
    out
}

#[cfg(test)]
#[allow(clippy::indexing_slicing, reason = "tests may panic")]
mod tests {
    use super::*;

    #[test]
    fn wrappers_are_off_and_lines_keep_their_numbers() {
        let text = "> [b]slot 07[/b]  step 0A\n[10:02:08] slot 08\nslot 09<br>slot 10\n\n1. temp 41\u{a0}°C";
        let bare = look(text, Limits::default());
        let lines: Vec<(usize, &str)> =
            (bare.lines.iter().map(|l| (l.line, l.text.as_str()))).collect();
        assert_eq!(
            lines,
            [
                (1, "slot 07  step 0A"),
                (2, "[10:02:08] slot 08"),
                (3, "slot 09"),
                (3, "slot 10"),
                (4, ""),
                (5, "temp 41 °C")
            ]
        );
        assert_eq!(bare.lines[1].unstamped.as_deref(), Some("slot 08"));
    }

    #[test]
    fn rows_of_a_dump_are_bytes() {
        let text = "look:\n0000: 2C 01 0B 3A 12 F2  |,..:..|\n0006: 51 3C 0D 52 02 7?\nend";
        let bare = look(text, Limits::default());
        assert_eq!(bare.dumps.len(), 1);
        let rows = &bare.dumps[0].rows;
        assert_eq!((rows[0].line, rows[1].line), (2, 3));
        assert_eq!((rows[0].offset, rows[1].offset), (Some(0), Some(6)));
        assert_eq!(rows[0].bytes[0], Some(0x2C));
        assert_eq!((rows[1].bytes.len(), rows[1].bytes[5]), (6, None));
    }
}
