//! The shape of a family cut into pieces: fixed words, values, and values of
//! several runs such as written dates. Where a piece begins and ends is told by
//! runs, so that it can be found in every line.

use crate::api::Role;
use crate::family::{Family, Match, Spot};
use crate::runs::Runs;

/// An edge of a piece: a run of the shape, and a number of bytes from its start
/// or back from its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Edge {
    /// The run, from the start of the shape.
    pub run: usize,
    /// Bytes.
    pub off: usize,
    /// Whether they count from the end of the run.
    pub back: bool,
}

impl Edge {
    /// Start of a run.
    pub fn start(run: usize) -> Self {
        Self {
            run,
            off: 0,
            back: false,
        }
    }

    /// End of a run.
    pub fn end(run: usize) -> Self {
        Self {
            run,
            off: 0,
            back: true,
        }
    }

    /// The byte place in a line.
    pub fn place(self, line: &Runs, found: Match) -> usize {
        let Some(run) = line.runs.get(found.run + self.run) else {
            return line.text.len();
        };
        if self.back {
            run.to.saturating_sub(self.off).max(run.from)
        } else {
            (run.from + self.off).min(run.to)
        }
    }
}

/// What a piece is, as far as its runs tell.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Make {
    /// A fixed word.
    Fixed,
    /// One value.
    Value,
    /// A written date with this pattern; whether day and month may be the other
    /// way round.
    Date(String, bool),
    /// A time of day without a date, or other runs that belong together.
    Text,
    /// A number with a fraction.
    Fraction,
}

/// A piece of the shape.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    /// Where it begins.
    pub from: Edge,
    /// Where it ends.
    pub to: Edge,
    /// What it is.
    pub make: Make,
}

impl Piece {
    /// Its text in one line.
    pub fn text<'a>(&self, line: &'a Runs, found: Match) -> &'a str {
        let (a, b) = (self.from.place(line, found), self.to.place(line, found));
        line.text.get(a..b).unwrap_or("")
    }

    /// Its text in every line of the family.
    pub fn texts<'a>(&self, lines: &'a [Runs], family: &Family) -> Vec<&'a str> {
        let text = |m: &Match| lines.get(m.at).map_or("", |l| self.text(l, *m));
        family.found.iter().map(text).collect()
    }
}

/// The pieces of a family. `breaks` and `joins` are byte places in the example,
/// `begin` is where the example begins in its line.
pub(crate) fn pieces(
    lines: &[Runs],
    family: &Family,
    example: Match,
    begin: usize,
    hints: &crate::api::Hints,
) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    let place = |e: Edge| {
        lines
            .get(example.at)
            .map_or(0, |l| e.place(l, example).saturating_sub(begin))
    };
    let mut i = 0;
    while i < family.spots.len() {
        let compound = crate::written::compound(lines, family, i, hints).filter(|c| {
            let (a, b) = (place(Edge::start(i)), place(Edge::end(i + c.0 - 1)));
            !hints.breaks.iter().any(|&p| p > a && p < b)
        });
        if let Some((n, make)) = compound {
            out.push(Piece {
                from: Edge::start(i),
                to: Edge::end(i + n - 1),
                make,
            });
            i += n;
            continue;
        }
        let make = match family.spots.get(i) {
            Some(Spot::Word(_)) => Make::Fixed,
            _ => Make::Value,
        };
        let whole = Piece {
            from: Edge::start(i),
            to: Edge::end(i),
            make,
        };
        split(lines, family, whole, &mut out);
        i += 1;
    }
    named_words(lines, example, &mut out);
    for &at in &hints.breaks {
        cut(lines, example, begin, at, &mut out);
    }
    for &at in &hints.joins {
        join(lines, family, &place, at, &mut out);
    }
    out
}

/// A word behind the name of a step or the like, with another word behind it, is
/// a value that happens to be the same in all lines: `step wake code 44D0`.
fn named_words(lines: &[Runs], example: Match, out: &mut [Piece]) {
    let Some(line) = lines.get(example.at) else {
        return;
    };
    let roles = |p: &Piece| crate::words::roles(p.text(line, example));
    let named: Vec<usize> = (1..out.len())
        .filter(|&i| {
            let at = |k: usize| out.get(k).filter(|p| p.make == Make::Fixed);
            let (Some(before), Some(here)) = (at(i - 1), at(i)) else {
                return false;
            };
            let ends = out.get(i + 1).is_none_or(|p| p.make == Make::Fixed);
            let name = roles(before)
                .first()
                .is_some_and(|r| matches!(r, Role::Step | Role::Keep));
            ends && name && roles(here).is_empty() && before.from.run != here.from.run
        })
        .collect();
    for i in named {
        if let Some(p) = out.get_mut(i) {
            p.make = Make::Value;
        }
    }
}

/// Takes fixed letters off a value: `s07`, `12ms`.
fn split(lines: &[Runs], family: &Family, whole: Piece, out: &mut Vec<Piece>) {
    if whole.make != Make::Value {
        out.push(whole);
        return;
    }
    let texts = whole.texts(lines, family);
    let first = texts.first().copied().unwrap_or("");
    let n = first.len();
    let letter = |b: &u8| b.is_ascii_alphabetic();
    let odd = |b: &u8| !b.is_ascii_hexdigit();
    let head = first.bytes().take_while(|b| letter(b)).count();
    let tail = first.bytes().rev().take_while(|b| letter(b)).count();
    // A word that ends in a digit, such as the name of a value: `aux2`.
    let word = first.bytes().take(2).all(|b| letter(&b))
        && first
            .get(..head)
            .is_some_and(|h| h.bytes().any(|b| odd(&b)));
    let all_same = texts.iter().all(|t| *t == first) && head + 1 == n && texts.len() >= 3;
    if word && all_same {
        out.push(Piece {
            make: Make::Fixed,
            ..whole
        });
        return;
    }
    // A capital in front of a code, such as `P0135`, belongs to it where a word
    // of its own names the value, or where no value is named.
    let named = whole
        .from
        .run
        .checked_sub(1)
        .and_then(|k| family.spots.get(k))
        .is_some_and(|s| matches!(s, Spot::Word(_)));
    let wordless = !family.spots.iter().any(|s| matches!(s, Spot::Word(_)));
    let capital = head == 1
        && first
            .bytes()
            .all(|b| b.is_ascii_digit() || b.is_ascii_uppercase());
    if capital && (named || wordless && n > 3) {
        out.push(whole);
        return;
    }
    // Small letters in front of capitals: `cE0D0`.
    let small = |t: &&str| t.bytes().take_while(u8::is_ascii_lowercase).count();
    let low = small(&first);
    let rest = |t: &str| {
        t.get(low..)
            .is_some_and(|r| !r.is_empty() && !r.bytes().any(|b| b.is_ascii_lowercase()))
    };
    let upper = texts
        .iter()
        .any(|t| t.bytes().any(|b| b.is_ascii_uppercase()));
    let prefixed = low > 0
        && upper
        && texts
            .iter()
            .all(|t| small(t) == low && t.get(..low) == first.get(..low) && rest(t));
    if prefixed {
        let at = Edge {
            run: whole.from.run,
            off: low,
            back: false,
        };
        out.push(Piece {
            from: whole.from,
            to: at,
            make: Make::Fixed,
        });
        out.push(Piece { from: at, ..whole });
        return;
    }
    let same_head = |k: usize| {
        texts.iter().all(|t| {
            t.len() > k
                && t.get(..k) == first.get(..k)
                && t.as_bytes().get(k).is_some_and(u8::is_ascii_digit)
        })
    };
    let same_tail = |k: usize| {
        texts.iter().all(|t| {
            t.len() > k
                && t.len().checked_sub(k).and_then(|at| t.get(at..)) == first.get(n - k..)
                && t.as_bytes()
                    .get(t.len() - k - 1)
                    .is_some_and(u8::is_ascii_digit)
        })
    };
    // Letters that are hex digits too may be part of the value.
    let is_word = |part: Option<&str>| part.is_some_and(|p| p.bytes().any(|b| odd(&b)));
    let run = whole.from.run;
    let mut middle = whole;
    if head > 0 && head < n && is_word(first.get(..head)) && same_head(head) {
        let at = Edge {
            run,
            off: head,
            back: false,
        };
        out.push(Piece {
            from: Edge::start(run),
            to: at,
            make: Make::Fixed,
        });
        middle.from = at;
    }
    if tail > 0 && tail < n && is_word(first.get(n - tail..)) && same_tail(tail) {
        let at = Edge {
            run,
            off: tail,
            back: true,
        };
        middle.to = at;
        out.push(middle);
        out.push(Piece {
            from: at,
            to: Edge::end(run),
            make: Make::Fixed,
        });
    } else {
        out.push(middle);
    }
}

/// Cuts the piece around a place of the example.
fn cut(lines: &[Runs], example: Match, begin: usize, at: usize, out: &mut Vec<Piece>) {
    let Some(line) = lines.get(example.at) else {
        return;
    };
    let at = at + begin;
    let hit = out
        .iter()
        .position(|p| p.from.place(line, example) < at && at < p.to.place(line, example));
    let Some(k) = hit else { return };
    let run = out.get(k).and_then(|p| {
        (p.from.run..=p.to.run).find(|&r| {
            line.runs
                .get(example.run + r)
                .is_some_and(|x| x.from < at && at < x.to)
        })
    });
    let (Some(run), Some(piece)) = (run, out.get(k).cloned()) else {
        return;
    };
    let from = line.runs.get(example.run + run).map_or(0, |x| x.from);
    if !line.text.is_char_boundary(at) {
        return;
    }
    let edge = Edge {
        run,
        off: at - from,
        back: false,
    };
    let half = |from, to| Piece {
        from,
        to,
        make: Make::Value,
    };
    out.splice(k..=k, [half(piece.from, edge), half(edge, piece.to)]);
}

/// Makes one piece of the two that meet at a place of the example.
fn join(
    lines: &[Runs],
    family: &Family,
    place: &dyn Fn(Edge) -> usize,
    at: usize,
    out: &mut Vec<Piece>,
) {
    let Some(k) = out
        .iter()
        .position(|p| place(p.from) == at)
        .filter(|&k| k > 0)
    else {
        return;
    };
    let (Some(a), Some(b)) = (out.get(k - 1).cloned(), out.get(k).cloned()) else {
        return;
    };
    let make = if place(a.to) == at {
        Make::Value
    } else {
        Make::Text
    };
    let one = Piece {
        from: a.from,
        to: b.to,
        make,
    };
    // What a text field reads ends at white space.
    if one.texts(lines, family).iter().any(|t| t.contains(' ')) {
        return;
    }
    out.splice(k - 1..=k, [one]);
}
