//! Values of several runs: written dates, times of day, numbers with a fraction.

use crate::api::Hints;
use crate::family::{Family, Spot};
use crate::pieces::Make;
use crate::runs::{Class, Runs};

/// Words that may stand between a date and its time.
const BETWEEN: &[&str] = &["at", "t", "on", "um", "kl"];

/// The runs of one spot in all lines where the run is digits only.
struct Digits {
    /// Smallest and largest number of digits.
    width: (usize, usize),
    /// Smallest and largest value.
    range: (u64, u64),
}

fn digits(lines: &[Runs], family: &Family, i: usize) -> Option<Digits> {
    let mut out: Option<Digits> = None;
    for m in &family.found {
        let text = lines.get(m.at)?.text(m.run + i);
        if text.is_empty() || text.len() > 14 || !text.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let n: u64 = text.parse().ok()?;
        let (w, r) = out
            .as_ref()
            .map_or(((text.len(), text.len()), (n, n)), |d| (d.width, d.range));
        out = Some(Digits {
            width: (w.0.min(text.len()), w.1.max(text.len())),
            range: (r.0.min(n), r.1.max(n)),
        });
    }
    out
}

/// What stands before spot `i` in all lines, if it is the same everywhere.
fn gap<'a>(lines: &'a [Runs], family: &Family, i: usize) -> Option<&'a str> {
    let mut all = family
        .found
        .iter()
        .map(|m| lines.get(m.at).map_or("", |l| l.gap(m.run + i)));
    let first = all.next()?;
    all.all(|g| g == first).then_some(first)
}

/// A value of several runs that begins at spot `i`: how many runs, and what.
pub(crate) fn compound(
    lines: &[Runs],
    family: &Family,
    i: usize,
    hints: &Hints,
) -> Option<(usize, Make)> {
    date(lines, family, i, hints)
        .or_else(|| glued_date(lines, family, i))
        .or_else(|| time_of_day(lines, family, i).map(|t| (t.0, Make::Text)))
        .or_else(|| fraction(lines, family, i))
}

fn within(d: &Digits, low: u64, high: u64) -> bool {
    d.range.0 >= low && d.range.1 <= high
}

/// Hours, minutes and perhaps seconds from spot `i` on: how many runs, and the
/// pattern.
fn time_of_day(lines: &[Runs], family: &Family, i: usize) -> Option<(usize, String)> {
    let (h, m) = (digits(lines, family, i)?, digits(lines, family, i + 1)?);
    if gap(lines, family, i + 1) != Some(":")
        || h.width.1 > 2
        || m.width != (2, 2)
        || !within(&h, 0, 23)
        || !within(&m, 0, 59)
    {
        return None;
    }
    let s = digits(lines, family, i + 2).filter(|s| {
        gap(lines, family, i + 2) == Some(":") && s.width == (2, 2) && within(s, 0, 59)
    });
    Some(if s.is_some() {
        (3, "hh:mm:ss".into())
    } else {
        (2, "hh:mm".into())
    })
}

fn date(lines: &[Runs], family: &Family, i: usize, hints: &Hints) -> Option<(usize, Make)> {
    let (a, b, c) = (
        digits(lines, family, i)?,
        digits(lines, family, i + 1)?,
        digits(lines, family, i + 2)?,
    );
    let sign = gap(lines, family, i + 1)?;
    if gap(lines, family, i + 2) != Some(sign) || !matches!(sign, "-" | "." | "/") || b.width.1 > 2
    {
        return None;
    }
    let two = |d: &Digits| d.width.1 <= 2;
    let four = |d: &Digits| d.width == (4, 4) && within(d, 1900, 2199);
    let month = |d: &Digits| within(d, 1, 12);
    let day = |d: &Digits| within(d, 1, 31);
    let join = |x: &str, y: &str, z: &str| [x, sign, y, sign, z].concat();
    let (mut pattern, mut either) = (String::new(), false);
    if four(&a) && month(&b) && day(&c) && two(&c) {
        pattern = join("YYYY", "MM", "DD");
    } else if two(&a) && (four(&c) || c.width == (2, 2)) {
        let year = if four(&c) { "YYYY" } else { "YY" };
        let day_first = day(&a) && month(&b);
        let month_first = month(&a) && day(&b);
        // Two digits of a year may come first.
        if c.width == (2, 2) && sign == "-" && month(&b) && day(&c) && a.width == (2, 2) {
            pattern = join("YY", "MM", "DD");
        } else if day_first || month_first {
            either = day_first && month_first;
            let told = told(lines, family, i, hints).filter(|_| either);
            pattern = if told.unwrap_or(day_first && (sign != "/" || !month_first)) {
                join("DD", "MM", year)
            } else {
                join("MM", "DD", year)
            };
            if !either && !day_first {
                pattern = join("MM", "DD", year);
            }
        } else if c.width == (2, 2) && month(&b) && day(&c) && a.width == (2, 2) {
            pattern = join("YY", "MM", "DD");
        }
    }
    if pattern.is_empty() {
        return None;
    }
    let (mut n, mut between) = (3, gap(lines, family, i + 3).unwrap_or("").to_owned());
    if let Some(Spot::Word(w)) = family.spots.get(i + 3)
        && BETWEEN.contains(&w.as_str())
        && let Some(behind) = gap(lines, family, i + 4)
    {
        let word = family
            .found
            .first()
            .and_then(|m| Some(lines.get(m.at)?.text(m.run + i + 3)))?;
        between = [between.as_str(), word, behind].concat();
        n = 4;
    }
    let plain = between.len() <= 6 && !between.is_empty();
    if plain && let Some((k, time)) = time_of_day(lines, family, i + n) {
        pattern.push_str(&between);
        pattern.push_str(&time);
        return Some((n + k, Make::Date(pattern, either)));
    }
    Some((3, Make::Date(pattern, either)))
}

/// Whether the person said that the day (true) or the month comes first.
fn told(lines: &[Runs], family: &Family, i: usize, hints: &Hints) -> Option<bool> {
    let m = family.found.first()?;
    let line = lines.get(m.at)?;
    let from = line.runs.get(m.run + i)?.from;
    let begin = crate::lines::begin(line, *m);
    let at = from.saturating_sub(begin);
    hints.little.iter().rev().find(|h| h.0 == at).map(|h| h.1)
}

/// `20160502T211403` and `20160502`.
fn glued_date(lines: &[Runs], family: &Family, i: usize) -> Option<(usize, Make)> {
    let d = digits(lines, family, i)
        .filter(|d| d.width == (8, 8) && within(d, 19_800_101, 20_991_231))?;
    let real = family.found.iter().all(|m| {
        let n: u64 = lines
            .get(m.at)
            .and_then(|l| l.text(m.run + i).parse().ok())
            .unwrap_or(0);
        (1..=12).contains(&(n / 100 % 100)) && (1..=31).contains(&(n % 100))
    });
    if !real || d.range.0 == 0 {
        return None;
    }
    let behind = |k: usize, sign: &str| {
        let t = digits(lines, family, k)?;
        let fits = |w: usize, top: u64| t.width == (w, w) && t.range.1 <= top;
        let pattern = if fits(6, 235_959) {
            "hhmmss"
        } else if fits(4, 2359) {
            "hhmm"
        } else {
            return None;
        };
        Some(["YYYYMMDD", sign, pattern].concat())
    };
    if matches!(family.spots.get(i + 1), Some(Spot::Word(w)) if w == "t")
        && let Some(p) = behind(i + 2, "T")
    {
        return Some((3, Make::Date(p, false)));
    }
    if let Some(sign @ ("-" | "_")) = gap(lines, family, i + 1)
        && let Some(p) = behind(i + 1, sign)
    {
        return Some((2, Make::Date(p, false)));
    }
    // A lone number of eight digits is a date only in several lines.
    (family.found.len() > 2).then(|| (1, Make::Date("YYYYMMDD".into(), false)))
}

fn fraction(lines: &[Runs], family: &Family, i: usize) -> Option<(usize, Make)> {
    digits(lines, family, i).filter(|d| d.width.1 <= 6)?;
    digits(lines, family, i + 1)?;
    let dot = |k: usize| matches!(gap(lines, family, k), Some("."));
    let far = |k: usize| family.spots.get(k).is_none() || !dot(k);
    let first = i == 0 || !dot(i);
    let value = |k: usize| {
        let m = family.found.first()?;
        lines.get(m.at)?.class(m.run + k).map(|c| c == Class::Value)
    };
    (first && dot(i + 1) && far(i + 2) && value(i) == Some(true)).then_some((2, Make::Fraction))
}
