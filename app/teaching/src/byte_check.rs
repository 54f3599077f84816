//! The check field of a record: where, how many bytes, over which others.

use codebook::model::{CheckKind, Over};

use crate::api::Role;
use crate::records::Record;
use crate::slices::{Said, Slice};
use crate::sums::{self, Cover};

/// Looks for a check field.
pub(crate) fn find(records: &[Record], length: usize, said: &Said) -> Option<(Slice, sums::Hit)> {
    let told: Vec<usize> = said
        .roles
        .iter()
        .filter(|r| r.1 == Role::Check)
        .map(|r| r.0)
        .collect();
    let not: Vec<usize> = said
        .roles
        .iter()
        .filter(|r| r.1 != Role::Check)
        .map(|r| r.0)
        .collect();
    let mut best: Option<(Slice, sums::Hit)> = None;
    let mut tried = 0.0;
    for size in [1_usize, 2, 4] {
        for at in (0..length.saturating_sub(size - 1)).rev() {
            let one = Slice {
                at,
                size,
                little: false,
            };
            let facts = |k: usize| {
                Slice {
                    at: k,
                    size: 1,
                    little: false,
                }
                .facts(records)
            };
            // Behind it there is nothing but filling.
            let ends = at == 0 || (at + size..length).all(|k| facts(k).is_constant());
            let f = one.facts(records);
            let lively = f.distinct * 2 > f.n || f.n < 3;
            let may = if told.is_empty() {
                !not.contains(&at) && lively && ends
            } else {
                told.contains(&at)
            };
            let counts = (at..at + size).any(|k| facts(k).is_counter());
            if !may || counts || f.is_counter() || f.is_constant() && f.n > 1 {
                continue;
            }
            let stays = (at..at + size).any(|k| facts(k).is_constant());
            for little in [false, true] {
                if size == 1 && little {
                    continue;
                }
                let s = Slice { little, ..one };
                let covers = covers(records, length, s);
                let room = 1_u64 << (8 * size);
                if let Some(hit) = sums::find(
                    &s.numbers(records),
                    room,
                    !stays || told.contains(&at),
                    &covers,
                    &mut tried,
                ) && best
                    .as_ref()
                    .is_none_or(|b| better(records, (&s, &hit), (&b.0, &b.1)))
                {
                    best = Some((s, hit));
                }
            }
        }
    }
    let (s, hit) = best?;
    Some((s, sums::weigh(hit, tried)?))
}

/// Whether a find is better than the one before, which stands further behind.
/// With a plain sum or xor over all bytes every byte looks like the check of the
/// others: then the livelier one is it, and the last of equals.
fn better(records: &[Record], new: (&Slice, &sums::Hit), old: (&Slice, &sums::Hit)) -> bool {
    if new.1.agrees != old.1.agrees {
        return new.1.agrees > old.1.agrees;
    }
    let distinct = |s: &Slice| s.facts(records).distinct;
    let livelier = distinct(new.0) * 3 > distinct(old.0) * 4;
    new.1.chance < old.1.chance * 0.5 || (new.1.chance <= old.1.chance * 2.0 && livelier)
}

/// What a check field may cover: all before it, all but it, or from a few bytes
/// on.
fn covers(records: &[Record], length: usize, s: Slice) -> Vec<Cover> {
    let mut ranges: Vec<(usize, usize, bool)> = Vec::new();
    if s.at > 0 {
        ranges.push((0, s.at, false));
    } else if s.end() < length {
        ranges.push((s.end(), length - s.end(), false));
    }
    ranges.push((0, length, true));
    for from in 1..s.at.min(9) {
        ranges.push((from, s.at - from, true));
    }
    // A sum over one or two bytes says little, and a copy of a byte is none.
    ranges.retain(|r| r.1 > 2);
    ranges
        .into_iter()
        .map(|(from, count, odd)| {
            let values = records
                .iter()
                .map(|r| {
                    let own = |k: usize| k >= s.at && k < s.end();
                    (from..from + count)
                        .map(|k| {
                            if own(k) {
                                0
                            } else {
                                r.bytes.get(k).copied().map_or(0, u64::from)
                            }
                        })
                        .collect()
                })
                .collect();
            let n = |x: usize| u32::try_from(x).unwrap_or(0);
            let words = if from == 0 && count == s.at {
                "all bytes before it".to_owned()
            } else {
                [
                    "bytes ",
                    &from.to_string(),
                    " to ",
                    &(from + count - 1).to_string(),
                ]
                .concat()
            };
            Cover {
                over: Over {
                    bytes: Some([n(from), n(count)]),
                    ..Over::default()
                },
                words,
                values,
                odd,
            }
        })
        .collect()
}

/// What speaks against a check that was found in a place.
pub(crate) fn doubt(records: &[Record], length: usize, s: Slice, hit: &sums::Hit) -> String {
    let facts = |at: usize| {
        Slice {
            at,
            size: 1,
            little: false,
        }
        .facts(records)
    };
    let lively = |at: usize| {
        let f = facts(at);
        f.distinct * 2 > f.n && !f.is_counter()
    };
    let last = s.end() == length;
    let padded = (s.end()..length).all(|at| facts(at).is_constant());
    // Each byte is the xor of all others, and the sum of all is 0.
    let mutual = matches!(
        hit.check.kind,
        CheckKind::Xor | CheckKind::TwosComplementSum | CheckKind::OnesComplementSum
    );
    if s.at > 0 && !last && !padded {
        return "a check stands at an end of a record; this one does not".into();
    }
    if mutual && (!last || lively(0) || lively(1) && facts(0).is_constant()) {
        return "another byte may be the check: with this kind each fits the others".into();
    }
    let zero = |at: usize| facts(at).is_constant() && facts(at).high == 0;
    if s.size == 1 && s.at.checked_sub(1).is_some_and(zero)
        || s.size == 1 && s.end() < length && zero(s.end())
    {
        return "the zero beside it may be its upper half".into();
    }
    String::new()
}
