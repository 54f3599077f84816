//! A code looked up without any log: typed or pasted, in all books at once.
//!
//! What a person types is taken in every way that it may be meant: as a code in
//! any case, with `0x` in front or `h` behind, cut by spaces; as a code with
//! `?`, `*` or `x` for the characters that are not known; as several codes in a
//! sentence; as words. A code that no book has as it is gets the near ones,
//! by the slips of the eye that reading knows.

use crate::{fold, slips, sorted};
use codebook::{Book, Found};
use std::rc::Rc;

/// Bytes of the text that are looked at.
const MOST_TEXT: usize = 2000;
/// Words of the text that are looked up; the rest is left out.
const MOST_WORDS: usize = 12;
/// Longest code of a book, in characters.
const LONGEST: usize = 40;
/// Highest cost of a near one, in tenths: two slips of the eye, or one
/// character that is simply another.
const NEAR: u32 = 30;
/// Cost of a doubled character, or of one of a pair that is left out.
const DOUBLED: u32 = 15;
/// Ranks of the ways to be found; what is added to them is below 100.
const ROW: u32 = 100;
const WILD: u32 = 200;
const NEARBY: u32 = 300;
const WORDS: u32 = 400;

/// A row that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Place of the book among those asked.
    pub book: usize,
    /// The row, in its general wording.
    pub found: Found,
    /// How it was found.
    pub how: How,
    /// The piece of the text it was found for, as it was taken: upper case and
    /// without `0x` for a code, folded for words.
    pub asked: String,
}

/// How a row was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// The row has this very code.
    Exact,
    /// The row has `?` and fits the code.
    Row,
    /// The text has wildcards that fit the row.
    Wild,
    /// The row's code is not the one asked for, but near it.
    Near {
        /// Cost of the slips, in tenths: 10 for a usual slip of the eye, 15 for
        /// swapped neighbours or a doubled character, 20 for any other.
        cost: u32,
        /// Places in the row's code (characters, from 0) that differ.
        at: Vec<usize>,
    },
    /// All words of the text are in the row.
    Words,
}

/// A hit before its row is copied.
struct Rough {
    rank: u32,
    piece: usize,
    form: usize,
    book: usize,
    row: usize,
    how: How,
}

/// Looks a text up in all books, the best first: rows with the very code, rows
/// with `?` that fit it (the fewest first), rows that fit asked wildcards, near
/// ones by cost, rows with the words. A row comes once, for the piece of the
/// text that it fits best. At most `most` are given.
#[must_use]
pub fn look_up(books: &[Rc<Book>], text: &str, most: usize) -> Vec<Hit> {
    let (pieces, count) = pieces(text);
    let mut rough = Vec::new();
    let mut taken = vec![false; count];
    for (i, piece) in pieces.iter().enumerate() {
        // Several words may be one code. Then none of them is one by itself.
        let own = taken.get(piece.from..piece.to).unwrap_or(&[]);
        if !own.contains(&true) && codes(books, i, piece, &mut rough) {
            let own = taken.get_mut(piece.from..piece.to).unwrap_or(&mut []);
            own.iter_mut().for_each(|t| *t = true);
        }
    }
    let mut words: Vec<&str> = Vec::new();
    for piece in pieces.iter().filter(|p| p.to == p.from + 1) {
        if taken.get(piece.from) == Some(&false) && !piece.word.is_empty() {
            words.push(&piece.word);
        }
    }
    // Beside a code that is found, the words are talk.
    if !words.is_empty() && !taken.contains(&true) {
        with_words(books, pieces.len(), &words, &mut rough);
    }
    sorted::sort_by_key(&mut rough, |r| (r.rank, r.piece, r.book, r.row));
    let mut out: Vec<Hit> = Vec::new();
    let mut seen: Vec<(usize, usize)> = Vec::new();
    for one in rough {
        if out.len() >= most {
            break;
        }
        let place = (one.book, one.row);
        let found = books.get(one.book).and_then(|b| b.row(one.row, None));
        if let (Some(found), false) = (found, seen.contains(&place)) {
            seen.push(place);
            let asked = match pieces.get(one.piece) {
                Some(p) => p.forms.get(one.form).unwrap_or(&p.glued).clone(),
                None => words.join(" "),
            };
            out.push(Hit {
                book: one.book,
                found,
                how: one.how,
                asked,
            });
        }
    }
    out
}

/// A stretch of the text that may be a code, or a word.
struct Piece {
    /// Its first word and the one behind its last, counted from 0.
    from: usize,
    to: usize,
    /// As it is written, for the slips: a small g is like 9, a capital is not.
    written: String,
    /// What code it may be, in upper case; the likeliest first.
    forms: Vec<String>,
    /// Only codes without `?` are taken for this one: two words as one code.
    glued: String,
    /// In small letters, without what stands around it.
    word: String,
    /// Whether it is all there is of the text.
    alone: bool,
}

/// The pieces of a text, longest first, and the number of its words.
fn pieces(text: &str) -> (Vec<Piece>, usize) {
    let mut end = text.len().min(MOST_TEXT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let mut plain = String::new();
    for c in text.get(..end).unwrap_or("").chars() {
        if !fold::is_zero_width(c) {
            let ascii = fold::simple(c).or_else(|| fold::look_alike(c));
            plain.push(ascii.map_or(c, char::from));
        }
    }
    let cut = |c: char| c.is_whitespace() || c.is_control() || matches!(c, ',' | ';' | '/' | '|');
    let mut words: Vec<&str> = Vec::new();
    for word in plain.split(cut) {
        if words.len() < MOST_WORDS
            && word.contains(|c: char| c.is_alphanumeric() || c == '?' || c == '*')
        {
            words.push(word);
        }
    }
    let count = words.len();
    let mut out = Vec::new();
    for length in (1..=count).rev().filter(|n| *n <= 3 || *n == count) {
        for from in 0..=count - length {
            let some = words.get(from..from + length).unwrap_or(&[]);
            let piece = piece(some, from, length == count);
            if piece.written.chars().count() <= LONGEST + 2 || length == 1 {
                out.push(piece);
            }
        }
    }
    (out, count)
}

fn piece(words: &[&str], from: usize, alone: bool) -> Piece {
    let around = |c: char| !(c.is_alphanumeric() || matches!(c, '?' | '*'));
    let joined = words.join(" ");
    let mut written = joined.trim_matches(around);
    let mut forms = Vec::new();
    let mut add = |form: &str| {
        let form = form.to_ascii_uppercase();
        if !form.is_empty() && form.chars().count() <= LONGEST && !forms.contains(&form) {
            forms.push(form);
        }
    };
    add(&joined);
    add(written);
    let bare = written.trim_end_matches(['?', '.', '!']);
    for form in [written, bare] {
        if let Some(number) = number(form) {
            written = number;
        }
        add(written);
        add(&written.replace(['-', '_', '.', ':'], " "));
    }
    // Last, as x may be a letter of the code.
    let hex = |b: u8| b.is_ascii_hexdigit() || b.eq_ignore_ascii_case(&b'x');
    let bare_number = number(bare).unwrap_or(bare);
    let mut open = String::new();
    for word in bare_number.split(' ') {
        if !open.is_empty() {
            open.push(' ');
        }
        if word.bytes().any(|b| b.is_ascii_digit()) && word.bytes().all(hex) {
            open.push_str(&word.replace(['x', 'X'], "?"));
        } else {
            open.push_str(word);
        }
    }
    add(&open);
    Piece {
        from,
        to: from + words.len(),
        written: bare_number.to_owned(),
        forms,
        glued: if words.len() > 1 {
            words.concat().to_ascii_uppercase()
        } else {
            String::new()
        },
        word: bare
            .trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase(),
        alone,
    }
}

/// A hex number without the marks that say that it is one: `0x`, `$`, `h`.
fn number(text: &str) -> Option<&str> {
    let digits = |t: &str| {
        t.bytes().any(|b| b.is_ascii_hexdigit())
            && t.bytes().all(|b| b.is_ascii_hexdigit() || is_wild(b))
    };
    let before = ["0x", "0X", "$"].iter().find_map(|m| text.strip_prefix(m));
    let after = text.strip_suffix(['h', 'H']);
    let after = after.filter(|t| t.bytes().any(|b| b.is_ascii_digit()));
    before.or(after).filter(|t| digits(t))
}

/// What may stand for a character that is not known.
fn is_wild(b: u8) -> bool {
    matches!(b, b'?' | b'*' | b'x' | b'X')
}

/// Adds the rows that a piece is the code of. Gives whether it is a code for
/// sure and no word.
fn codes(books: &[Rc<Book>], at: usize, piece: &Piece, out: &mut Vec<Rough>) -> bool {
    let digit = piece.written.bytes().any(|b| b.is_ascii_digit());
    let hex = piece.written.bytes().all(|b| b.is_ascii_hexdigit());
    let wild = piece.forms.iter().any(|f| f.contains(['?', '*']));
    let mut sure = false;
    let before = out.len();
    for (form, asked) in piece.forms.iter().enumerate() {
        each_row(books, &mut |book, row, code| {
            let open = code.bytes().filter(|b| *b == b'?').count();
            let (rank, how) = if is_code(code, asked) {
                sure = true;
                // The very pattern was asked for.
                (0, if open > 0 { How::Wild } else { How::Exact })
            } else if asked.contains(['?', '*']) {
                if !asked.contains(char::is_alphanumeric) || !meets(asked, code) {
                    return;
                }
                (WILD, How::Wild)
            } else if open > 0 && (digit || hex) && in_row(code, asked) {
                (ROW, How::Row)
            } else {
                return;
            };
            out.push(Rough {
                rank: rank + u32::try_from(open).unwrap_or(0),
                piece: at,
                form,
                book,
                row,
                how,
            });
        });
    }
    if !piece.glued.is_empty() {
        each_row(books, &mut |book, row, code| {
            let how = if code == piece.glued {
                sure = true;
                How::Exact
            } else if piece.alone && digit && code.contains('?') && in_row(code, &piece.glued) {
                How::Row
            } else {
                return;
            };
            out.push(Rough {
                rank: if how == How::Row { ROW } else { 0 },
                piece: at,
                form: usize::MAX,
                book,
                row,
                how,
            });
        });
    }
    if !sure && !wild && (digit || piece.alone) {
        each_row(books, &mut |book, row, code| {
            if let Some((cost, places)) = near(&piece.written, code) {
                out.push(Rough {
                    rank: NEARBY + cost,
                    piece: at,
                    form: piece.forms.len().saturating_sub(1),
                    book,
                    row,
                    how: How::Near { cost, at: places },
                });
            }
        });
    }
    sure || (out.len() > before && (digit || wild))
}

fn each_row(books: &[Rc<Book>], act: &mut dyn FnMut(usize, usize, &str)) {
    for (b, book) in books.iter().enumerate() {
        for (r, row) in book.model.codes.iter().enumerate() {
            act(b, r, &row.code);
        }
    }
}

/// Whether the row's code is the asked one, which may lack its spaces.
fn is_code(code: &str, asked: &str) -> bool {
    code == asked || code.contains(' ') && code.chars().filter(|c| *c != ' ').eq(asked.chars())
}

/// Whether a code fits a row with `?`. In a row of hex digits `?` is one too.
fn in_row(row: &str, code: &str) -> bool {
    let hex = |text: &str| text.bytes().all(|b| b.is_ascii_hexdigit() || b == b'?');
    meets(row, code) && (hex(code) || !hex(row))
}

/// Whether some code fits both. In the first `*` is any run of characters; in
/// both `?` is any one.
fn meets(asked: &str, code: &str) -> bool {
    let asked: Vec<char> = asked.chars().collect();
    let code: Vec<char> = code.chars().collect();
    let (mut a, mut c) = (0, 0);
    // Where to go on from when the run of the last star was too short.
    let mut star: Option<(usize, usize)> = None;
    loop {
        match (asked.get(a), code.get(c)) {
            (None, None) => return true,
            (Some('*'), _) => {
                star = Some((a, c));
                a += 1;
            }
            (Some(x), Some(y)) if x == y || *x == '?' || *y == '?' => {
                a += 1;
                c += 1;
            }
            _ => match star {
                Some((at, from)) if from < code.len() => {
                    star = Some((at, from + 1));
                    a = at + 1;
                    c = from + 1;
                }
                _ => return false,
            },
        }
    }
}

/// The cost of having written the one for the other, and the places in `code`
/// that differ; `None` when they are not near.
fn near(written: &str, code: &str) -> Option<(u32, Vec<usize>)> {
    let (w, c) = (written.as_bytes(), code.as_bytes());
    if !written.is_ascii() || !code.is_ascii() || code.contains('?') {
        return None;
    }
    let same = |(a, b): &(&u8, &u8)| a.eq_ignore_ascii_case(b);
    let head = w.iter().zip(c).take_while(same).count();
    let tail = w.iter().rev().zip(c.iter().rev()).take_while(same).count();
    let tail = tail.min(w.len().min(c.len()) - head);
    let mut at: Vec<usize> = (head..c.len() - tail).collect();
    if w.len() == c.len() {
        at.retain(|i| w.get(*i).map(u8::to_ascii_uppercase) != c.get(*i).copied());
        if at.len() > 3 {
            return None;
        }
    } else if w.len().abs_diff(c.len()) > 2 || at.len() > 3 {
        return None;
    }
    let most = if c.len() < 3 { DOUBLED } else { NEAR };
    let mut cost = slips::word_distance(w, c, NEAR)?;
    // One character more or less, and it is as the one before it.
    let longer = if w.len() > c.len() { w } else { c };
    if w.len().abs_diff(c.len()) == 1
        && head + tail + 1 == longer.len()
        && head > 0
        && longer.get(head - 1).map(u8::to_ascii_uppercase)
            == longer.get(head).map(u8::to_ascii_uppercase)
    {
        cost = cost.min(DOUBLED);
    }
    if at.is_empty() {
        at.push(head.min(c.len().saturating_sub(1)));
    }
    (cost <= most).then_some((cost, at))
}

/// Adds the rows in which all words are.
fn with_words(books: &[Rc<Book>], piece: usize, words: &[&str], out: &mut Vec<Rough>) {
    for (b, book) in books.iter().enumerate() {
        for (r, row) in book.model.codes.iter().enumerate() {
            let mut rank = WORDS;
            let all = words.iter().all(|word| {
                let mut best = u32::MAX;
                let mut look = |text: &str, weight: u32| {
                    if best > weight && has(text, word) {
                        best = weight;
                    }
                };
                look(&row.title, 0);
                row.parts.iter().for_each(|p| look(p, 1));
                row.rails.iter().for_each(|p| look(p, 1));
                look(&row.code, 1);
                for rail in &book.model.rails {
                    if row.rails.contains(&rail.id) {
                        look(&rail.name, 3);
                    }
                }
                for step in &book.model.steps {
                    if row.step.as_ref() == Some(&step.id) {
                        look(&step.name, 3);
                    }
                }
                look(&row.meaning, 4);
                look(&row.not_proof, 6);
                rank = rank.saturating_add(best);
                best < u32::MAX
            });
            if all {
                out.push(Rough {
                    rank,
                    piece,
                    form: 0,
                    book: b,
                    row: r,
                    how: How::Words,
                });
            }
        }
    }
}

/// Whether a word in small letters is in a text: anywhere if it is long, from
/// the start of a word if it has three letters, as a whole word if it has less.
fn has(text: &str, word: &str) -> bool {
    if !word.is_ascii() {
        return text.to_lowercase().contains(word);
    }
    let (t, w) = (text.as_bytes(), word.as_bytes());
    let wordy = |b: Option<&u8>| b.is_some_and(|b| b.is_ascii_alphanumeric() || *b >= 0x80);
    t.windows(w.len().max(1)).enumerate().any(|(i, part)| {
        part.eq_ignore_ascii_case(w)
            && (w.len() > 3 || !wordy(i.checked_sub(1).and_then(|i| t.get(i))))
            && (w.len() > 2 || !wordy(t.get(i + w.len())))
    })
}
