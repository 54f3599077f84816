//! The rules that stand beside the expected costs: what is equal to a hair goes by
//! risk, a check comes before heat, and a look before giving up. Each is told
//! where it acts.

use crate::next::{Choice, Deed, PROBABLE};
use crate::suspects::Answer;
use codebook::model::{BenchCheck, CodeBook};
use codebook::often::Often;

/// A suspect shows a result clearly when it does so at least this often.
pub const CLEARLY: f64 = 0.25;
/// A board is heated first only when what the repair is for is more probable
/// than this; below it a check that speaks for it comes before, if there is one
/// without a real risk and much cheaper. Measure before you heat: common
/// practice, no source.
pub const SURE: f64 = 0.9;
/// Much cheaper: at most this part of the repair's price.
const CHEAPER: f64 = 0.5;
/// Two ways are practically equal when their expected costs differ by less than
/// this part.
pub const EQUAL: f64 = 0.02;
/// A check costs next to nothing when it costs at most this part of what the
/// console is worth.
const NEXT_TO_NOTHING: f64 = 0.02;
/// How risky a check or repair is, for the order of what is practically equal.
fn rank_of_risk(book: &CodeBook, deed: &Deed) -> u8 {
    let word = match deed {
        Deed::Check(at) => book.checks.get(*at).map_or("", |c| c.risk.as_str()),
        _ => "real",
    };
    match word {
        "real" => 2,
        "small" => 1,
        _ => 0,
    }
}

/// Of what is practically equal to the best, a check with less risk comes first,
/// and of those one that clearly speaks for the leading suspect.
pub(crate) fn mild_first(book: &CodeBook, answer: &Answer, choices: &mut Vec<Choice>) {
    let Some(best) = choices.first().map(|c| c.expected) else {
        return;
    };
    let mut leading = vec![0.0; answer.model.causes.len()];
    let first = answer.suspects.first();
    if let Some(p) = first.and_then(|s| leading.get_mut(s.at)) {
        *p = 1.0;
    }
    let speaks = |deed: &Deed| match deed {
        Deed::Check(at) => {
            let check = book.checks.get(*at);
            check.is_some_and(|c| spoken_for(book, answer, c, &leading) > 0.0)
        }
        _ => false,
    };
    let near = |c: &&Choice| !c.waits && c.expected <= best * (1.0 + EQUAL);
    let n = choices.iter().take_while(near).count();
    let mut rest = choices.split_off(n);
    // A sort that keeps the order of equal ones.
    reading::sorted::sort_by_key(choices, |c| (rank_of_risk(book, &c.deed), !speaks(&c.deed)));
    choices.append(&mut rest);
}

/// Before giving up comes a check without risk that speaks for a suspect and
/// costs next to nothing.
pub(crate) fn look_before_giving_up(
    book: &CodeBook,
    answer: &Answer,
    suspects: &[f64],
    choices: &mut Vec<Choice>,
) {
    let Some(stop) = choices.first().filter(|c| c.deed == Deed::Stop) else {
        return;
    };
    let cheap = stop.price.all * NEXT_TO_NOTHING;
    let found = choices.iter().position(|c| match c.deed {
        Deed::Check(at) => book.checks.get(at).is_some_and(|check| {
            let mild = c.price.all <= cheap && rank_of_risk(book, &c.deed) == 0;
            mild && spoken_for(book, answer, check, suspects) >= PROBABLE
        }),
        _ => false,
    });
    if let Some(check) = to_front(choices, found) {
        check.before_stop = true;
    }
}

/// Puts a check in front of all, also one that could have waited.
fn to_front(choices: &mut Vec<Choice>, place: Option<usize>) -> Option<&mut Choice> {
    let check = choices.remove(place?);
    choices.insert(
        0,
        Choice {
            waits: false,
            ..check
        },
    );
    choices.first_mut()
}

/// Puts a check before a repair with heat.
pub(crate) fn measure_before_heat(book: &CodeBook, answer: &Answer, choices: &mut Vec<Choice>) {
    let Some((Deed::Repair(at), price)) = choices.first().map(|c| (c.deed.clone(), c.price.all))
    else {
        return;
    };
    let Some(repair) = book.repairs.get(at).filter(|r| r.heat) else {
        return;
    };
    let mends = answer.suspects.iter().filter(|s| {
        let cause = s.cause.and_then(|c| book.causes.get(c));
        cause.is_some_and(|c| c.repairs.contains(&repair.id))
    });
    if mends.map(|s| s.now).fold(0.0, f64::max) > SURE {
        return;
    }
    let speaking = speaking_for(book, choices, &repair.id);
    let found = choices.iter().position(|c| match c.deed {
        Deed::Check(check) => {
            let real = book.checks.get(check).is_some_and(|c| c.risk == "real");
            !real && c.price.all <= price * CHEAPER && speaking.contains(&check)
        }
        _ => false,
    });
    if let Some(check) = to_front(choices, found) {
        check.before_heat = true;
    }
}

/// Checks still to be done (places in the book's `checks`) that clearly speak
/// for a cause that this repair mends, the best first.
pub fn speaking_for(book: &CodeBook, choices: &[Choice], repair: &str) -> Vec<usize> {
    let causes = book.causes.iter();
    let causes = causes.filter(|c| c.repairs.iter().any(|r| r == repair));
    let ids: Vec<&str> = causes.map(|c| c.id.as_str()).collect();
    let checks = choices.iter().filter_map(|c| match c.deed {
        Deed::Check(at) => Some(at),
        _ => None,
    });
    let speaks = |at: &usize| {
        let check = book.checks.get(*at);
        check.is_some_and(|check| ids.iter().any(|id| clearly_shows(check, id)))
    };
    checks.filter(speaks).collect()
}

/// How probable the suspects are together that a check speaks for: those that
/// clearly show one of its results.
pub(crate) fn spoken_for(
    book: &CodeBook,
    answer: &Answer,
    check: &BenchCheck,
    suspects: &[f64],
) -> f64 {
    let each = answer.model.causes.iter().zip(suspects);
    let shown = each.filter(|(cause, _)| {
        let cause = book.causes.get(**cause);
        cause.is_some_and(|cause| clearly_shows(check, &cause.id))
    });
    shown.map(|(_, p)| p).sum()
}

/// Whether a check has a result that this cause clearly shows.
fn clearly_shows(check: &BenchCheck, cause: &str) -> bool {
    let shown = check.results.iter().flat_map(|r| &r.shows);
    let mut own = shown.filter(|s| s.cause == cause);
    own.any(|s| Often::parse(&s.often).is_some_and(|o| o.share >= CLEARLY))
}
