//! The noisy channel: which character may have been written for which.
//!
//! Unicode TR39 has no rows for most of these pairs (S/5, B/8, Z/2, G/6, D/0,
//! Q/0, 7/1): they are slips of the eye, of typing hands and of text
//! recognition, not look-alike code points. The costs are the author's judgement
//! (common practice, no source); only their order matters. A pair with equal
//! costs on both sides (G to 6 or C) stays undecided on purpose.

use std::sync::LazyLock;

/// Cost of reading one character for another, in tenths. Both directions.
const PAIRS: &[(u8, u8, u32)] = &[
    (b'0', b'O', 10),
    (b'0', b'Q', 15),
    (b'0', b'D', 20),
    (b'O', b'D', 25),
    (b'O', b'Q', 10),
    (b'D', b'Q', 30),
    (b'O', b'C', 30),
    (b'0', b'U', 30),
    (b'1', b'I', 10),
    (b'1', b'L', 15),
    (b'1', b'|', 10),
    (b'1', b'!', 15),
    (b'1', b'7', 25),
    (b'1', b'J', 25),
    (b'1', b'T', 30),
    (b'I', b'L', 10),
    (b'I', b'J', 20),
    (b'I', b'T', 20),
    (b'I', b'|', 10),
    (b'L', b'|', 10),
    (b'7', b'I', 30),
    (b'7', b'L', 30),
    (b'7', b'|', 30),
    (b'7', b'T', 20),
    (b'7', b'Z', 25),
    (b'7', b'Y', 30),
    (b'5', b'S', 10),
    (b'5', b'$', 15),
    (b'S', b'$', 10),
    (b'5', b'6', 25),
    (b'3', b'8', 25),
    (b'8', b'B', 10),
    (b'8', b'&', 20),
    (b'3', b'B', 30),
    (b'2', b'Z', 10),
    (b'6', b'G', 20),
    (b'C', b'G', 20),
    (b'C', b'(', 20),
    (b'C', b'<', 30),
    (b'E', b'F', 25),
    (b'9', b'G', 30),
    (b'9', b'Q', 25),
    (b'4', b'A', 20),
    (b'P', b'R', 20),
    (b'P', b'F', 25),
    (b'U', b'V', 20),
    (b'V', b'Y', 25),
    (b'K', b'X', 25),
    (b'M', b'N', 20),
    (b'H', b'N', 25),
    (b'H', b'K', 30),
    (b'D', b')', 30),
    (b'E', b'&', 30),
    (b'A', b'R', 30),
    (b'M', b'H', 30),
    (b'W', b'V', 25),
];

/// Small letters whose shape is not that of their capital.
const SMALL: &[(u8, u8, u32)] = &[
    (b'l', b'1', 10),
    (b'i', b'1', 15),
    (b'o', b'0', 10),
    (b'g', b'9', 15),
    (b'q', b'9', 15),
    (b'b', b'6', 15),
    (b'z', b'2', 10),
    (b's', b'5', 10),
    (b'a', b'8', 30),
    (b'a', b'6', 30),
    (b'l', b'7', 30),
    (b'e', b'c', 25),
    (b'e', b'6', 30),
    (b'l', b'i', 10),
    (b'l', b'|', 10),
    (b'h', b'b', 25),
    (b'h', b'6', 30),
    (b't', b'f', 25),
    (b't', b'7', 30),
    (b'u', b'0', 30),
    (b'i', b'7', 35),
];

/// Marks a pair that is no known slip.
const NONE: u8 = u8::MAX;

/// Costs of all pairs of ASCII characters, looked up once.
static COSTS: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut table = vec![NONE; 128 * 128];
    for written in 0..128_u8 {
        for meant in 0..128_u8 {
            if let Some(cell) = table.get_mut(usize::from(written) * 128 + usize::from(meant)) {
                *cell = search(written, meant)
                    .and_then(|c| u8::try_from(c).ok())
                    .unwrap_or(NONE);
            }
        }
    }
    table
});

/// Cost of having `written` where `meant` was, or `None` when that is no known
/// slip. Case does not count for `meant`.
pub(crate) fn cost(written: u8, meant: u8) -> Option<u32> {
    if written >= 128 || meant >= 128 {
        return None;
    }
    let cell = COSTS.get(usize::from(written) * 128 + usize::from(meant))?;
    (*cell != NONE).then_some(u32::from(*cell))
}

fn search(written: u8, meant: u8) -> Option<u32> {
    let meant_up = meant.to_ascii_uppercase();
    let up = written.to_ascii_uppercase();
    if up == meant_up {
        return Some(0);
    }
    let small = SMALL
        .iter()
        .filter(|p| p.0 == written && p.1.to_ascii_uppercase() == meant_up);
    // A small letter has its own shape: g is like 9, not like 6 or C.
    let own_shape = matches!(written, b'g' | b'q' | b'b' | b'a' | b'e' | b'h');
    let pairs = PAIRS
        .iter()
        .filter(|p| (p.0 == up && p.1 == meant_up) || (p.1 == up && p.0 == meant_up))
        .filter(|_| !own_shape);
    small.chain(pairs).map(|p| p.2).min()
}

/// Whether this character can be a slip at all for one of `legal`.
pub(crate) fn readable_as(written: u8, legal: &[u8]) -> Option<u32> {
    legal.iter().filter_map(|&m| cost(written, m)).min()
}

/// All readings of `written` within `legal`, cheapest first, one for each
/// character. A lost character (a box, a question mark, an emoji) may be any.
pub(crate) fn readings(written: u8, legal: &[u8]) -> Vec<(u8, u32)> {
    let mut out: Vec<(u8, u32)> = if is_lost(written) {
        legal.iter().map(|&m| (m, LOST)).collect()
    } else {
        legal
            .iter()
            .filter_map(|&m| Some((m, cost(written, m)?)))
            .collect()
    };
    crate::sorted::sort_by_key(&mut out, |&(m, c)| (c, m));
    out
}

/// Cost of a character that is lost altogether.
pub(crate) const LOST: u32 = 40;

/// Whether a character stands for one that was lost. A letter or digit of
/// another script is not lost: it says something, only not here.
pub(crate) fn is_lost(b: u8) -> bool {
    matches!(b, b'?' | crate::view::OTHER_SIGN)
}

/// Optimal string alignment distance with slip costs, in tenths: a full
/// substitution, a lost or an extra character cost 20, neighbours swapped 15,
/// `rn` for `m` (and the like) 10. Gives up above `most`.
pub(crate) fn word_distance(written: &[u8], meant: &[u8], most: u32) -> Option<u32> {
    if written.len().abs_diff(meant.len()) > 2 || meant.len() > 40 {
        return None;
    }
    let width = meant.len() + 1;
    let mut table = vec![u32::MAX / 2; (written.len() + 1) * width];
    let get = |t: &[u32], i: usize, j: usize| t.get(i * width + j).copied().unwrap_or(u32::MAX / 2);
    for i in 0..=written.len() {
        let mut row_best = u32::MAX;
        for j in 0..=meant.len() {
            let mut best = if i == 0 && j == 0 { 0 } else { u32::MAX / 2 };
            if i > 0 {
                best = best.min(get(&table, i - 1, j) + 20);
            }
            if j > 0 {
                best = best.min(get(&table, i, j - 1) + 20);
            }
            if i > 0 && j > 0 {
                let (w, m) = (written.get(i - 1).copied(), meant.get(j - 1).copied());
                if let (Some(w), Some(m)) = (w, m) {
                    let c = cost(w, m).unwrap_or(20).min(20);
                    best = best.min(get(&table, i - 1, j - 1) + c);
                }
                let pair = |s: &[u8], k: usize| {
                    k.checked_sub(2)
                        .and_then(|f| s.get(f..k))
                        .map(<[u8]>::to_ascii_uppercase)
                };
                if let (Some(w), Some(m)) = (pair(written, i), pair(meant, j))
                    && w.first() == m.get(1)
                    && w.get(1) == m.first()
                {
                    best = best.min(get(&table, i - 2, j - 2) + 15);
                }
                if pair(written, i).as_deref() == Some(b"RN")
                    && meant
                        .get(j - 1)
                        .is_some_and(|m| m.eq_ignore_ascii_case(&b'M'))
                {
                    best = best.min(get(&table, i - 2, j - 1) + 10);
                }
                if pair(meant, j).as_deref() == Some(b"RN")
                    && written
                        .get(i - 1)
                        .is_some_and(|w| w.eq_ignore_ascii_case(&b'M'))
                {
                    best = best.min(get(&table, i - 1, j - 2) + 10);
                }
                if pair(written, i).as_deref() == Some(b"VV")
                    && meant
                        .get(j - 1)
                        .is_some_and(|m| m.eq_ignore_ascii_case(&b'W'))
                {
                    best = best.min(get(&table, i - 2, j - 1) + 10);
                }
            }
            if let Some(cell) = table.get_mut(i * width + j) {
                *cell = best;
            }
            row_best = row_best.min(best);
        }
        if row_best > most {
            return None;
        }
    }
    let d = get(&table, written.len(), meant.len());
    (d <= most).then_some(d)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEX: &[u8] = b"0123456789ABCDEF";

    #[test]
    fn one_clear_reading_or_two() {
        assert_eq!(readings(b'O', HEX).first(), Some(&(b'0', 10)));
        assert_eq!(readings(b'l', HEX), [(b'1', 10), (b'7', 30)]);
        let g = readings(b'G', HEX);
        assert_eq!(g.first().map(|r| r.1), g.get(1).map(|r| r.1));
        assert_eq!(readings(b'g', HEX).first(), Some(&(b'9', 15)));
        assert_eq!(readings(b'#', HEX), []);
    }

    #[test]
    fn words_with_slips() {
        assert_eq!(word_distance(b"AMBER", b"AMBER", 30), Some(0));
        assert_eq!(word_distance(b"arnber", b"AMBER", 30), Some(10));
        assert_eq!(word_distance(b"sl0t", b"SLOT", 30), Some(10));
        assert_eq!(word_distance(b"c0ed", b"CODE", 30), Some(25));
        assert_eq!(word_distance(b"grove", b"HEATH", 30), None);
    }

    /// Edit distances of pairs that hold no known slip. Computed by rapidfuzz and
    /// jellyfish; "CA" to "ABC" tells optimal string alignment (3) from
    /// unrestricted Damerau-Levenshtein (2), and this is the former.
    #[test]
    fn distances_are_those_of_optimal_string_alignment() {
        let edits = |a: &str, b: &str, swaps: u32| {
            let cost = word_distance(a.as_bytes(), b.as_bytes(), 400)?;
            // A swap of neighbours costs 15 here, any other edit 20.
            Some((cost + 5 * swaps) / 20)
        };
        assert_eq!(edits("CA", "ABC", 0), Some(3));
        assert_eq!(edits("kitten", "sitting", 0), Some(3));
        assert_eq!(edits("Saturday", "Sunday", 0), Some(3));
        assert_eq!(edits("ab", "ba", 1), Some(1));
        assert_eq!(edits("ifhs", "fish", 2), Some(2));
        assert_eq!(edits("80A1", "08A1", 1), Some(1));
    }
}
