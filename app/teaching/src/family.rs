//! Which lines are written alike: the shape that most lines with most values
//! share, and where it is in each line.

use crate::runs::{Class, Runs};

/// Most shapes that are tried as the shape of an entry.
const MOST_SEEDS: usize = 24;
/// Most places that are looked at in all: a paste made to be slow ends here.
const MOST_STEPS: usize = 1_000_000;
/// Runs that may stand in front of an entry, such as a speaker's name.
const MOST_BEFORE: usize = 4;

/// One run of the shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Spot {
    /// A value.
    Value,
    /// A word; lower case.
    Word(String),
    /// A word that differs from line to line.
    Words,
}

/// A place where the shape was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Match {
    /// Index in the list of lines.
    pub at: usize,
    /// First run.
    pub run: usize,
}

/// Lines written alike.
#[derive(Clone, Debug, Default)]
pub(crate) struct Family {
    /// The shape.
    pub spots: Vec<Spot>,
    /// Where it is, in the order of the paste.
    pub found: Vec<Match>,
    /// Lines that are the same but for a slip.
    pub spoilt: Vec<usize>,
}

/// The shape of runs `a..b` of a line.
fn shape(line: &Runs, a: usize, b: usize) -> Vec<Spot> {
    let spot = |i: usize| match line.class(i) {
        Some(Class::Value) | None => Spot::Value,
        Some(Class::Word) => Spot::Word(line.text(i).to_lowercase()),
        // Small letters that name a value are a word: `ec`.
        Some(Class::Either) if reads_as_value(line.text(i)) => Spot::Value,
        Some(Class::Either) => Spot::Word(line.text(i).to_lowercase()),
    };
    (a..b).map(spot).collect()
}

/// Whether letters that are hex digits are more likely a value than a word.
fn reads_as_value(text: &str) -> bool {
    let capitals = text.bytes().all(|b| b.is_ascii_uppercase());
    capitals || (text.len() > 1 && crate::words::roles(text).is_empty())
}

/// Whether the shape of runs `a` and on of `seed` is in `line` from run `run` on,
/// and how many words differ.
fn fits(spots: &[Spot], seed: (&Runs, usize), line: &Runs, run: usize) -> Option<usize> {
    if run + spots.len() > line.runs.len() {
        return None;
    }
    let (mut same, mut other, mut values) = (0, 0, 0);
    // Words that name values do not take turns.
    let mut names = false;
    for (i, spot) in spots.iter().enumerate() {
        let class = line.class(run + i)?;
        match spot {
            Spot::Value if class == Class::Word => return None,
            // Letters are a value where they are written as the others are.
            Spot::Value
                if class == Class::Either
                    && !alike(seed.0.text(seed.1 + i), line.text(run + i)) =>
            {
                return None;
            }
            Spot::Value => values += 1,
            Spot::Words | Spot::Word(_) if class == Class::Value => return None,
            Spot::Words => {}
            Spot::Word(w) if line.text(run + i).to_lowercase() == *w => same += 1,
            Spot::Word(w) => {
                other += 1;
                let named = |t: &str| !crate::words::roles(t).is_empty();
                names |= named(w) || named(line.text(run + i));
            }
        }
    }
    // Columns of words: what stands between them is the same in all lines.
    let gap = |line: &Runs, i: usize| line.gap(i).split_whitespace().collect::<String>();
    let apart = |i: usize| gap(line, run + i) == gap(seed.0, seed.1 + i);
    // A word and one number are talk, unless they stand apart as columns do.
    let wide = || (1..spots.len()).all(|i| seed.0.gap(seed.1 + i) != " ");
    let enough = || spots.len() > 2 || wide();
    let columns = || !names && enough() && other <= 2 * values && (1..spots.len()).all(apart);
    (other <= same || columns()).then_some(other)
}

/// Whether letters may be a hex number like another: as wide, and in capitals
/// where that one is.
fn alike(other: &str, letters: &str) -> bool {
    let small = |t: &str| t.bytes().any(|b| b.is_ascii_lowercase());
    let capitals = other.bytes().any(|b| b.is_ascii_uppercase());
    letters.len() == other.len() && (small(letters) != capitals || !small(letters))
}

/// All places of a shape, from left to right, none over another; how many words
/// differ; how many places were looked at.
fn places(spots: &[Spot], seed: (&Runs, usize), lines: &[Runs]) -> (Vec<Match>, usize, usize) {
    let mut found = Vec::new();
    let (mut others, mut steps) = (0, 0);
    // Behind the first runs a shape without words would fit anywhere.
    let anywhere = spots.iter().any(|s| matches!(s, Spot::Word(_)));
    for (at, line) in lines.iter().enumerate() {
        let mut run = 0;
        let vacant = vacant(line);
        while !vacant && run + spots.len() <= line.runs.len() && (anywhere || run <= MOST_BEFORE) {
            steps += 1;
            match fits(spots, seed, line, run) {
                Some(n) => {
                    others += n;
                    found.push(Match { at, run });
                    run += spots.len();
                }
                None => run += 1,
            }
        }
    }
    (found, others, steps)
}

/// Entries wrapped over two lines are put together: when most lines of the family
/// have a line of another shape beside them, always the same. `None` when not.
pub(crate) fn unwrapped(lines: &[Runs], family: &Family) -> Option<Vec<Runs>> {
    let own = |at: usize| family.found.iter().any(|m| m.at == at);
    let beside = |at: usize| {
        let line = lines.get(at).filter(|l| l.has_value() && !own(at))?;
        Some(shape(line, 0, line.runs.len()))
    };
    let first = family.found.first()?.at;
    let behind: Vec<Vec<Spot>> = family
        .found
        .iter()
        .filter_map(|m| beside(m.at + 1))
        .collect();
    let times = |t: &Vec<Spot>| behind.iter().filter(|u| *u == t).count();
    let usual = behind.iter().max_by_key(|t| times(t))?.clone();
    // The family may be the second half of each entry.
    let second = first.checked_sub(1).and_then(beside).as_ref() == Some(&usual);
    let count = times(&usual) + usize::from(second);
    if count < 3 || count * 5 < family.found.len() * 3 {
        return None;
    }
    let other = |at: usize| beside(at).as_ref() == Some(&usual);
    let begins = |at: usize| {
        if second {
            other(at) && own(at + 1)
        } else {
            own(at) && other(at + 1)
        }
    };
    let mut out: Vec<Runs> = Vec::new();
    let mut at = 0;
    while let Some(line) = lines.get(at) {
        let next = lines.get(at + 1).filter(|_| begins(at));
        out.push(match next {
            Some(n) => Runs::of(line.line, &[&line.text, " ", &n.text].concat()),
            None => line.clone(),
        });
        at += if next.is_some() { 2 } else { 1 };
    }
    Some(out)
}

/// Words for an unused slot.
pub(crate) const VACANT: &[&str] = &[
    "empty", "none", "unused", "free", "blank", "vacant", "nothing", "clear", "void",
];

/// Whether a line is an unused slot: one value, and a word for that.
fn vacant(line: &Runs) -> bool {
    let values = line.runs.iter().filter(|r| r.class == Class::Value).count();
    let tells = |i: usize| VACANT.contains(&line.text(i).to_lowercase().as_str());
    values <= 1 && (0..line.runs.len()).any(tells)
}

/// How telling a line's shape is by itself. Words alone make no entry.
fn weight(spots: &[Spot], line: &Runs, run: usize) -> usize {
    let (mut values, mut words) = (0, 0);
    for (i, s) in spots.iter().enumerate() {
        if *s == Spot::Value {
            let text = line.text(run + i);
            let letters = text.bytes().any(|b| b.is_ascii_alphabetic());
            let padded = text.len() > 1 && text.starts_with('0');
            values += 4 + 2 * usize::from(letters || padded || text.len() > 3);
        } else {
            words += 2;
        }
    }
    values + words.min(values)
}

/// The family whose lines together tell most. `must` is a line that has to be
/// in it.
pub(crate) fn best(lines: &[Runs], must: Option<usize>) -> Option<Family> {
    let mut best: Option<(usize, Family, (usize, usize, usize))> = None;
    let mut left = MOST_STEPS;
    for seed in seeds(lines, must) {
        let line = lines.get(seed)?;
        let n = line.runs.len();
        for a in 0..n.min(MOST_BEFORE + 1) {
            for b in (a + 1..=n).rev() {
                let spots = shape(line, a, b);
                let digit = (a..b).any(|i| line.class(i) == Some(Class::Value));
                if !digit || (b < n && ends_weak(&spots)) || left == 0 {
                    continue;
                }
                let (found, others, steps) = places(&spots, (line, a), lines);
                left = left.saturating_sub(steps);
                if must.is_some_and(|m| !found.iter().any(|f| f.at == m)) {
                    continue;
                }
                let rows = found.chunk_by(|x, y| x.at == y.at).count();
                // Several in one line count little: a part of an entry is in
                // each line more than once.
                let telling = weight(&spots, line, a);
                // More than in proportion: a line with a slip in its first part
                // must not cost all lines that part.
                let score =
                    (4 * rows + (found.len() - rows) / 4) * telling * (16 * telling).isqrt()
                        - others.min(rows * 4);
                // In a draw the longer and the earlier one stays.
                if best.as_ref().is_none_or(|b| score > b.0) {
                    let family = Family {
                        spots,
                        found,
                        spoilt: Vec::new(),
                    };
                    best = Some((score, family, (seed, a, b)));
                }
            }
        }
    }
    let (_, mut family, seed) = best?;
    reach(&mut family, lines, seed, must);
    settle(&mut family, lines);
    Some(family)
}

/// Takes in values in front of the shape or behind it that nearly all lines have:
/// a slip in them must not cost them all.
fn reach(
    family: &mut Family,
    lines: &[Runs],
    (seed, a, b): (usize, usize, usize),
    must: Option<usize>,
) {
    let Some(line) = lines.get(seed) else { return };
    let front = (0..a).map(|k| (k, b));
    let back = (b + 1..=line.runs.len()).rev().map(|k| (a, k));
    for (from, to) in front.chain(back) {
        let spots = shape(line, from, to);
        let value = |s: &Spot| *s == Spot::Value;
        let more = spots.iter().filter(|s| value(s)).count()
            > family.spots.iter().filter(|s| value(s)).count();
        if !more || ends_weak(&spots) && to < line.runs.len() {
            continue;
        }
        let (found, _, _) = places(&spots, (line, from), lines);
        let has = |at: usize| found.iter().any(|f| f.at == at);
        if found.len() > 2 && found.len() * 4 >= family.found.len() * 3 && must.is_none_or(has) {
            let lost = family.found.iter().map(|f| f.at).filter(|at| !has(*at));
            family.spoilt.extend(lost);
            family.spots = spots;
            family.found = found;
            return;
        }
    }
}

/// A cut right behind a word that belongs to the value that was cut off.
fn ends_weak(spots: &[Spot]) -> bool {
    !matches!(spots.last(), Some(Spot::Value))
}

/// Lines whose shape is tried: one of each of the commonest shapes.
fn seeds(lines: &[Runs], must: Option<usize>) -> Vec<usize> {
    if let Some(m) = must {
        return vec![m];
    }
    let mut kinds: Vec<(Vec<Spot>, usize, usize)> = Vec::new();
    let may = |l: &Runs| l.has_value() && !vacant(l);
    for (at, line) in lines.iter().enumerate().filter(|(_, l)| may(l)) {
        let spots = shape(line, 0, line.runs.len());
        match kinds.iter_mut().find(|k| k.0 == spots) {
            Some(k) => k.2 += 1,
            None => kinds.push((spots, at, 1)),
        }
    }
    reading::sorted::sort_by_key(&mut kinds, |k| usize::MAX - k.2);
    kinds.truncate(MOST_SEEDS);
    kinds.into_iter().map(|k| k.1).collect()
}

/// Words that differ are told from words that stay.
fn settle(family: &mut Family, lines: &[Runs]) {
    for (i, spot) in family.spots.iter_mut().enumerate() {
        let Spot::Word(w) = spot else { continue };
        let differs = family.found.iter().any(|m| {
            lines
                .get(m.at)
                .is_some_and(|l| l.text(m.run + i).to_lowercase() != *w)
        });
        if differs {
            *spot = Spot::Words;
        }
    }
}

/// Takes out entries that are there again, as quoted lines are: they would spoil
/// what goes on from line to line. Only where some value tells every entry from
/// the others; else an entry may well come twice. Gives the lines taken out.
pub(crate) fn without_repeats(family: &mut Family, lines: &[Runs]) -> Vec<usize> {
    let n = family.spots.len();
    let text = |m: &Match| -> Vec<&str> {
        let line = lines.get(m.at);
        (0..n)
            .map(|i| line.map_or("", |l| l.text(m.run + i)))
            .collect()
    };
    let mut seen: Vec<Vec<&str>> = Vec::new();
    let (mut once, mut again) = (Vec::new(), Vec::new());
    for m in &family.found {
        let t = text(m);
        if seen.contains(&t) {
            again.push(m.at);
        } else {
            seen.push(t);
            once.push(*m);
        }
    }
    let tells = |i: usize| {
        let mut all: Vec<&str> = seen.iter().filter_map(|t| t.get(i).copied()).collect();
        reading::sorted::sort(&mut all);
        all.dedup();
        all.len() == seen.len()
    };
    if once.len() < 3 || !(0..n).any(tells) {
        return Vec::new();
    }
    family.found = once;
    again
}

/// Takes out the places where a run does not fit its column: a slip in one line
/// must not change what the column is.
pub(crate) fn without_slips(family: &mut Family, lines: &[Runs]) {
    let n = family.found.len();
    if n < 4 {
        return;
    }
    let mut bad: Vec<bool> = vec![false; n];
    for i in 0..family.spots.len() {
        for k in slips(family, lines, i) {
            bad.iter_mut().skip(k).take(1).for_each(|b| *b = true);
        }
    }
    if bad.iter().filter(|b| **b).count() * 4 > n {
        return;
    }
    let mut bad = bad.into_iter();
    let (mut good, mut spoilt) = (Vec::new(), Vec::new());
    for m in family.found.drain(..) {
        if bad.next() == Some(true) {
            spoilt.push(m.at);
        } else {
            good.push(m);
        }
    }
    family.found = good;
    family.spoilt.extend(spoilt);
}

/// The places whose run `i` seems to have a slip: no hex digit where nearly all
/// are, or a B or D for an 8 or 0 in a counter or a date.
fn slips(family: &Family, lines: &[Runs], i: usize) -> Vec<usize> {
    let n = family.found.len();
    let line = |m: &Match| lines.get(m.at);
    let texts: Vec<&str> = family
        .found
        .iter()
        .map(|m| line(m).map_or("", |l| l.text(m.run + i)))
        .collect();
    let all = |t: &str, f: fn(&u8) -> bool| t.bytes().all(|b| f(&b));
    let without = |f: fn(&u8) -> bool| -> Vec<usize> {
        let odd = |k: &usize| texts.get(*k).is_some_and(|t| !all(t, f));
        (0..n).filter(odd).collect()
    };
    let few = |list: &[usize]| !list.is_empty() && list.len() <= (n / 8).max(1);
    let mut out = without(u8::is_ascii_hexdigit);
    if !few(&out) {
        out.clear();
    }
    let letters = without(u8::is_ascii_digit);
    let likely = |b: &u8| b.is_ascii_digit() || matches!(b, b'B' | b'D' | b'b');
    let look_alike = letters
        .iter()
        .all(|k| texts.get(*k).is_some_and(|t| all(t, likely)));
    if few(&letters) && look_alike {
        let rest = texts
            .iter()
            .enumerate()
            .filter(|(k, _)| !letters.contains(k));
        let numbers: Vec<u64> = rest.filter_map(|(_, t)| t.parse().ok()).collect();
        let counter = crate::facts::Facts::of(&numbers, 32).is_counter();
        let dated = |k: usize| {
            let sign = |m: &Match| {
                line(m).is_some_and(|l| matches!(l.gap(m.run + k), "." | "/" | "-" | ":"))
            };
            family.found.iter().all(sign)
        };
        let date = i > 0 && dated(i) || i + 1 < family.spots.len() && dated(i + 1);
        if counter || date {
            out.extend(letters);
        }
    }
    out
}

/// Other kinds of lines with values: one line of each, and how many are alike.
pub(crate) fn others(lines: &[Runs], family: &Family) -> Vec<(usize, String, usize)> {
    let mut kinds: Vec<(Vec<Spot>, usize, String, usize)> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        if !line.has_value()
            || family.spoilt.contains(&at)
            || family.found.iter().any(|m| m.at == at)
        {
            continue;
        }
        let spots = shape(line, 0, line.runs.len());
        match kinds.iter_mut().find(|k| k.0 == spots) {
            Some(k) => k.3 += 1,
            None => kinds.push((spots, line.line, line.text.clone(), 1)),
        }
    }
    reading::sorted::sort_by_key(&mut kinds, |k| usize::MAX - k.3);
    kinds.truncate(5);
    kinds.into_iter().map(|k| (k.1, k.2, k.3)).collect()
}
