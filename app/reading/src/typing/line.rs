//! How far a typed line fits a line of a layout.
//!
//! All ways through the pieces are followed side by side: for each piece the
//! set of cells that the pieces before it can end at. That takes time in
//! proportion to pieces times cells, whatever is typed.

use codebook::model::Encoding;
use std::collections::BTreeSet;

use super::{Fit, words};
use crate::matcher::{Lenient, match_at};
use crate::plan::{DatePiece, FieldPlan, LinePlan, Piece};
use crate::view::{View, is_soft, is_wordy};

/// What one piece makes of the cells from some place on.
#[derive(Default)]
struct Step {
    /// Cells that the piece can end before.
    ends: Vec<usize>,
    /// Cell up to which it fits, when it could go on there.
    stop: Option<usize>,
}

/// The furthest place, and the piece that waits there.
struct Stop {
    cell: usize,
    variant: usize,
    piece: usize,
    from: usize,
}

/// How far the view fits the plan.
pub(super) fn fit(plan: &LinePlan, view: &View, example: &str) -> Fit {
    let start = (0..view.len())
        .find(|&i| !is_soft(view.byte(i)))
        .unwrap_or(view.len());
    let mut stop: Option<Stop> = None;
    let mut complete = false;
    for (variant, pieces) in plan.variants.iter().enumerate() {
        let mut places = BTreeSet::from([start]);
        for (piece, what) in pieces.iter().enumerate() {
            let mut next = BTreeSet::new();
            for &from in &places {
                let step = step(plan, pieces, piece, what, view, from);
                next.extend(step.ends);
                let further = |cell: usize| stop.as_ref().is_none_or(|s| cell > s.cell);
                if let Some(cell) = step.stop.filter(|&cell| further(cell)) {
                    stop = Some(Stop {
                        cell,
                        variant,
                        piece,
                        from,
                    });
                }
            }
            places = next;
            let rest = pieces.get(piece + 1..).unwrap_or(&[]);
            if rest.iter().all(|p| matches!(p, Piece::Gap(_))) {
                complete |= places.iter().any(|&p| is_rest_soft(view, p));
                let last = places.iter().max().map(|&p| {
                    (p..view.len())
                        .take_while(|&i| is_soft(view.byte(i)))
                        .count()
                        + p
                });
                if let Some(cell) = last
                    && stop.as_ref().is_none_or(|s| cell > s.cell)
                {
                    stop = Some(Stop {
                        cell,
                        variant,
                        piece: piece + 1,
                        from: cell,
                    });
                }
                break;
            }
        }
    }
    if complete {
        return Fit {
            cells: view.len(),
            complete,
            ..Fit::default()
        };
    }
    stop.map_or_else(Fit::default, |stop| told(plan, view, &stop, example))
}

fn is_rest_soft(view: &View, from: usize) -> bool {
    (from..view.len()).all(|i| is_soft(view.byte(i)))
}

fn step(
    plan: &LinePlan,
    pieces: &[Piece],
    k: usize,
    what: &Piece,
    view: &View,
    from: usize,
) -> Step {
    match what {
        Piece::Gap(gap) => {
            let fits = |i: &usize| is_soft(view.byte(*i)) || gap.contains(&view.byte(*i));
            let end = (from..view.len()).find(|i| !fits(i)).unwrap_or(view.len());
            let mut ends: Vec<usize> = (from + 1..=end).collect();
            if end == from && (k == 0 || may_vanish(plan, pieces, k)) && from < view.len() {
                ends.push(from);
            }
            Step {
                stop: (end == from).then_some(from),
                ends,
            }
        }
        Piece::Word(word) => {
            let n = same(view, from, word);
            let whole = n == word.len();
            let open = matches!(pieces.get(k + 1), Some(Piece::Word(_) | Piece::Field(_)));
            let good = whole && (open || !is_wordy(view.byte(from + n)));
            Step {
                ends: if good { vec![from + n] } else { Vec::new() },
                stop: (!good).then_some(from + n),
            }
        }
        Piece::Field(i) => plan
            .fields
            .get(*i)
            .map_or_else(Step::default, |f| field(f, view, from)),
    }
}

/// As in matching: a gap may be missing between a word and a value of one width.
fn may_vanish(plan: &LinePlan, pieces: &[Piece], k: usize) -> bool {
    let firm = |piece: Option<&Piece>| match piece {
        Some(Piece::Word(_)) | None => true,
        Some(Piece::Field(i)) => plan
            .fields
            .get(*i)
            .is_some_and(|f| f.width.0 == f.width.1 || f.field.encoding == Encoding::Date),
        Some(Piece::Gap(_)) => false,
    };
    firm(k.checked_sub(1).and_then(|k| pieces.get(k))) && firm(pieces.get(k + 1))
}

/// Number of characters of `word` that stand at `from`.
fn same(view: &View, from: usize, word: &[u8]) -> usize {
    let here = view.slice(from, from + word.len());
    here.iter()
        .zip(word)
        .take_while(|(a, b)| a.eq_ignore_ascii_case(b))
        .count()
}

fn field(plan: &FieldPlan, view: &View, from: usize) -> Step {
    let mut step = match plan.field.encoding {
        Encoding::Text => Step {
            ends: (from + 1..=view.len()).collect(),
            stop: Some(view.len()),
        },
        Encoding::Word => {
            let words = plan.field.words.iter().map(|w| w.text.as_bytes());
            fixed(words, view, from)
        }
        Encoding::Date => date(&plan.date, view, from),
        _ => digits(plan, view, from),
    };
    let special = fixed(plan.special.iter().map(String::as_bytes), view, from);
    step.ends.extend(special.ends);
    step.stop = step.stop.max(special.stop.filter(|&s| s > from));
    step
}

fn fixed<'w>(words: impl Iterator<Item = &'w [u8]>, view: &View, from: usize) -> Step {
    let mut step = Step {
        ends: Vec::new(),
        stop: Some(from),
    };
    for word in words {
        let n = same(view, from, word);
        let ends = !word.last().is_some_and(|&b| is_wordy(b)) || !is_wordy(view.byte(from + n));
        if n == word.len() && ends {
            step.ends.push(from + n);
        } else {
            step.stop = step.stop.max(Some(from + n));
        }
    }
    // A whole word leaves nothing to wait for.
    if step.ends.iter().any(|&e| step.stop.is_none_or(|s| e >= s)) {
        step.stop = None;
    }
    step
}

fn digits(plan: &FieldPlan, view: &View, from: usize) -> Step {
    let (least, most) = plan.width;
    let legal = |i: usize| plan.legal.contains(&view.byte(i).to_ascii_uppercase());
    let prefix = plan.field.encoding == Encoding::Hex
        && view.slice(from, from + 2).eq_ignore_ascii_case(b"0x");
    let number = &plan.field;
    let decimal = number.encoding == Encoding::Decimal;
    let sign = decimal
        && (number.signed || number.scale.is_some())
        && matches!(view.byte(from), b'-' | b'+');
    let start = from + if prefix { 2 } else { usize::from(sign) };
    let n = (start..view.len())
        .take(most)
        .take_while(|&i| legal(i))
        .count();
    let at_end = start + n >= view.len();
    let mut ends: Vec<usize> = (least.max(1)..=n).map(|n| start + n).collect();
    // Fewer digits are fine where leading zeros were left out, but not yet
    // while the last of them is being typed.
    if n > 0 && n < least && !at_end && !is_wordy(view.byte(start + n)) {
        ends.push(start + n);
    }
    if least == 0 {
        ends.push(from);
    }
    // A scaled number may have a fraction.
    if decimal
        && n > 0
        && (number.scale.is_some() || !number.unit.is_empty())
        && matches!(view.byte(start + n), b'.' | b',')
    {
        let more = (start + n + 1..view.len())
            .take_while(|&i| view.byte(i).is_ascii_digit())
            .count();
        let end = start + n + 1 + more;
        if more > 0 {
            ends.push(end);
        } else {
            return Step {
                stop: Some(end.min(view.len())),
                ends,
            };
        }
    }
    let full = n == most || (n >= least.max(1) && at_end && least < most);
    Step {
        stop: (!full).then_some(start + n),
        ends,
    }
}

fn date(pattern: &[DatePiece], view: &View, from: usize) -> Step {
    let mut at = from;
    for piece in pattern {
        match piece {
            DatePiece::Number(_, width) => {
                let n = (at..view.len())
                    .take(*width)
                    .take_while(|&i| view.byte(i).is_ascii_digit())
                    .count();
                at += n;
                // One digit will do before a separator; a year needs all.
                let enough = if *width > 2 { *width } else { 1 };
                if n < enough || (n < *width && at >= view.len()) {
                    return Step {
                        ends: Vec::new(),
                        stop: Some(at),
                    };
                }
            }
            DatePiece::Text(text) => {
                for (i, &t) in text.iter().enumerate() {
                    let here = view.byte(at);
                    let after_soft = i > 0 && text.get(i - 1).is_some_and(|&b| !is_wordy(b));
                    if is_wordy(t) && here.eq_ignore_ascii_case(&t) && at < view.len() {
                        at += 1;
                    } else if !is_wordy(t) && at < view.len() && (is_soft(here) || here == t) {
                        while at < view.len() && (is_soft(view.byte(at)) || view.byte(at) == t) {
                            at += 1;
                        }
                    } else if !after_soft || is_wordy(t) {
                        return Step {
                            ends: Vec::new(),
                            stop: Some(at),
                        };
                    }
                }
            }
        }
    }
    Step {
        ends: vec![at],
        stop: None,
    }
}

/// Puts the furthest place into words.
fn told(plan: &LinePlan, view: &View, stop: &Stop, example: &str) -> Fit {
    let pieces = plan
        .variants
        .get(stop.variant)
        .map_or(&[][..], Vec::as_slice);
    let rest = pieces.get(stop.piece..).unwrap_or(&[]);
    let typed = view.slice(stop.from, stop.cell);
    let next = rest.iter().find_map(|p| match p {
        Piece::Field(i) => plan.fields.get(*i).map(|f| (*i, f)),
        _ => None,
    });
    let mut fit = Fit {
        cells: stop.cell,
        expected: words::expected(plan, rest, typed),
        legal: words::legal(plan, rest, typed),
        ..Fit::default()
    };
    if let Some((i, f)) = next {
        fit.field.clone_from(&f.field.field);
        let label = if f.field.label.is_empty() {
            &f.field.field
        } else {
            &f.field.label
        };
        fit.label.clone_from(label);
        fit.example = example_of(plan, i, example).unwrap_or_else(|| words::example(f));
    }
    fit
}

/// How the field looks in the layout's example.
fn example_of(plan: &LinePlan, field: usize, example: &str) -> Option<String> {
    let view = crate::fold::fold(example, 0, example.len());
    let hit = match_at(plan, &view, 0, Lenient::default(), &[]).whole?;
    let cap = hit.caps.iter().find(|c| c.field == field)?;
    let (from, to) = view.range(cap.from, cap.to);
    example.get(from..to).map(str::to_owned)
}
