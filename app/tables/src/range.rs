//! A range of codes as rows with `?` and exact codes.
//!
//! Never a code more than the range says. In hex, a block of 16 codes that ends
//! in 0 to F is one row with `?` at its end; no fewer rows can be had with `?`
//! at the end only. In decimal every code is a row of its own, since `?` would
//! also fit a letter.

use crate::MAX_RANGE;

/// The rows, or why there are none. Both ends are upper case, with `?` for any
/// character; `hex` says whether digits go on to F.
pub(crate) fn cover(first: &str, last: &str, hex: bool) -> Result<Vec<String>, String> {
    let a: Vec<char> = first.chars().collect();
    let b: Vec<char> = last.chars().collect();
    if a.len() != b.len() {
        return Err(say(first, last, "the two ends are not of the same length"));
    }
    let Some(from) = a.iter().zip(&b).position(|(x, y)| x != y) else {
        return Ok(vec![first.to_owned()]);
    };
    let base = if hex { 16 } else { 10 };
    // Places of the digits that count, from the first that differs.
    let mut places = Vec::new();
    let mut wild_at = None;
    for (i, (&x, &y)) in a.iter().zip(&b).enumerate().skip(from) {
        match (x == '?', y == '?') {
            (true, true) => wild_at = wild_at.or(Some(places.len())),
            (false, false) => {
                if x.to_digit(base).is_none() || y.to_digit(base).is_none() {
                    return Err(say(
                        first,
                        last,
                        "the ends differ in more than their digits",
                    ));
                }
                places.push(i);
            }
            _ => {
                return Err(say(
                    first,
                    last,
                    "one end has a wildcard where the other has none",
                ));
            }
        }
    }
    // Behind a wildcard a range only makes sense when it takes in everything.
    if let Some(n) = wild_at {
        let behind = places.get(n..).unwrap_or(&[]);
        let all = behind.iter().all(|&i| {
            let digit = |end: &[char]| end.get(i).and_then(|c| c.to_digit(base));
            digit(&a) == Some(0) && digit(&b) == Some(base - 1)
        });
        // When the wildcard is in front of all that differs it is no matter.
        if n > 0 && !all {
            return Err(say(
                first,
                last,
                "it is not clear what it means behind a wildcard",
            ));
        }
    }
    if places.len() > 12 {
        return Err(say(first, last, "it has too many digits"));
    }
    let value = |end: &[char]| {
        places.iter().fold(0_u64, |n, &i| {
            let digit = end.get(i).and_then(|c| c.to_digit(base)).unwrap_or(0);
            n * u64::from(base) + u64::from(digit)
        })
    };
    let (mut low, high) = (value(&a), value(&b));
    if low > high {
        return Err(say(first, last, "its end comes before its beginning"));
    }
    if high - low >= MAX_RANGE {
        return Err(say(first, last, "it stands for more than 4,096 codes"));
    }
    let mut rows = Vec::new();
    while low <= high {
        let mut size = 1_u64;
        let mut free = 0;
        while hex && free < places.len() && low % (size * 16) == 0 && low + size * 16 - 1 <= high {
            size *= 16;
            free += 1;
        }
        let mut row = a.clone();
        let mut n = low / size;
        for (k, &i) in places.iter().rev().enumerate() {
            if let Some(c) = row.get_mut(i) {
                if k < free {
                    *c = '?';
                } else {
                    let digit = u32::try_from(n % u64::from(base)).unwrap_or(0);
                    *c = char::from_digit(digit, base)
                        .unwrap_or('?')
                        .to_ascii_uppercase();
                    n /= u64::from(base);
                }
            }
        }
        rows.push(row.into_iter().collect());
        low += size;
    }
    Ok(rows)
}

fn say(first: &str, last: &str, why: &str) -> String {
    ["the range ", first, " to ", last, " was not taken: ", why].concat()
}
