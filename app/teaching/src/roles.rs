//! Which part is what: from the words beside it and from how its values behave.
//!
//! Each part and role gets a number of points. A word beside the value says
//! most. The best pair is taken first, then the next; each role once. What was
//! not clear by far carries a doubt.

use crate::api::{ROLES, Role};
use crate::column::Form;
use crate::facts::Facts;
use crate::words;

/// What is known of one part.
#[derive(Clone, Debug)]
pub(crate) struct Clue<'a> {
    /// Facts about its values.
    pub facts: &'a Facts,
    /// How they are written.
    pub form: Form,
    /// The word beside it; empty without one.
    pub label: String,
    /// What the person said.
    pub told: Option<Role>,
    /// Fixed text (lines), or one value in all records.
    pub fixed: bool,
    /// Whether a check of a known kind was found in it.
    pub sum: bool,
    /// Whether it is the first part.
    pub first: bool,
    /// Bytes rather than text.
    pub bytes: bool,
}

/// What was made of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Given {
    /// The role.
    pub role: Role,
    /// Why.
    pub why: String,
    /// What speaks against it.
    pub doubt: String,
    /// Roles that fit its values.
    pub can: Vec<Role>,
    /// How far the next best role is away, in points.
    pub margin: i32,
}

/// A word of the list beside the value.
const LABEL: i32 = 60;
/// Points that are needed for a role without such a word.
const ENOUGH: i32 = 16;
/// A role is clear when the next one has so many points less.
const CLEAR: i32 = 20;

/// Roles whose values could be those.
pub(crate) fn can(c: &Clue<'_>) -> Vec<Role> {
    let number = matches!(c.form, Form::Digits | Form::Hex);
    let fits = |r: &Role| match r {
        Role::Time => number || c.form == Form::Date,
        Role::Slot | Role::Seq | Role::Count => number,
        Role::Check => number || matches!(c.form, Form::Mixed | Form::Words) && !c.fixed,
        Role::Code | Role::Step => !matches!(c.form, Form::Date | Form::Fraction),
        Role::Same => c.facts.is_constant(),
        Role::Keep | Role::Skip => true,
    };
    ROLES.into_iter().filter(fits).collect()
}

/// Points for a role from how the values behave.
fn behaves(c: &Clue<'_>, role: Role) -> i32 {
    let f = c.facts;
    let bits = f.bits;
    let many = f.n >= 3;
    let wide = bits >= 23 && f.high >= 1 << 20;
    let counter = f.is_counter() || f.may_count() && (c.first || !c.bytes);
    // A small number at the start of a lone record is more likely its place.
    let leads = c.bytes && c.first && f.n == 1 && f.high < 0x80;
    let yes = |b: bool, points: i32| if b { points } else { 0 };
    match (role, c.form) {
        (Role::Time, Form::Date) => 80,
        (_, Form::Date) => 0,
        (Role::Code, Form::Words) => yes(!c.fixed, 14) + yes(f.repeats() && f.distinct > 1, 10),
        (Role::Code, Form::Mixed) => 18 + yes(f.repeats() && f.distinct > 1, 8),
        (Role::Code, Form::Text | Form::Fraction) => 2,
        (Role::Step, Form::Words) => yes(!c.fixed && f.repeats(), 12),
        (Role::Same, _) if c.fixed => 70,
        (Role::Same, _) if c.bytes && f.is_constant() => 10 + yes(f.n >= 4, 14) + yes(f.n >= 8, 10),
        (Role::Keep, _) => 10,
        (_, Form::Words | Form::Mixed | Form::Text | Form::Fraction) => 0,
        (Role::Time, _) => {
            yes(wide, 12)
                + yes(
                    wide && many && f.rises >= 0.7 && f.moves > 0.5 && !counter,
                    28,
                )
                + yes(wide && many && f.moves > 0.5 && f.rises < 0.6, -10)
                + yes(bits == 32 && wide, 4)
        }
        (Role::Slot, _) => yes(counter, 30) + yes(counter && places(f), 8) + yes(leads, 17),
        (Role::Seq, _) => yes(counter, 32) + yes(counter && bits >= 12, 3),
        (Role::Code, _) => {
            yes((9..=32).contains(&bits), 12)
                + yes(bits == 16, 8)
                + yes(many && f.repeats() && !f.is_constant() && bits > 8, 10)
                + yes(bits <= 8 && many && f.repeats() && f.high > 0x3F, 8)
                + yes(counter, -30)
                + yes(many && bits > 8 && f.high < 256, -8)
                + yes(bits > 8 && f.is_constant(), -4)
                + yes(many && wide && f.rises >= 0.8 && f.moves > 0.5, -14)
        }
        (Role::Step, _) => {
            yes(bits <= 8, 12)
                + yes(bits <= 8 && f.high <= 0x3F, 4)
                + yes(bits <= 8 && many && f.repeats() && f.distinct > 1, 6)
                + yes(counter, -30)
                + yes(bits <= 8 && many && !f.repeats(), -8)
                + yes(f.mode >= 0.5 && f.usual <= 1 && f.high < 16, -3)
        }
        (Role::Count, _) => {
            yes(
                bits <= 12 && f.high < 100 && f.mode >= 0.35 && f.usual == 1,
                18,
            ) + yes(bits <= 12 && f.usual <= 3 && f.usual > 0 && many, 4)
                + yes(counter, -30)
        }
        (Role::Check, _) => yes(c.sum, 90),
        _ => 0,
    }
}

/// Whether a number is more likely a place in a ring than a running number: it
/// begins low and does not go far.
fn places(f: &Facts) -> bool {
    if f.n >= 3 {
        f.low <= 1 && f.high < 128
    } else {
        f.bits <= 8 && f.high < 100
    }
}

/// Points from the word beside it.
fn said(c: &Clue<'_>, role: Role) -> i32 {
    let roles = words::roles(&c.label);
    if let Some(k) = roles.iter().position(|r| *r == role) {
        let short = if c.label.len() == 1 { 24 } else { 0 };
        // "number" and the like mean a place or a running number only where the
        // values go on by one.
        let loose = roles.len() > 1
            && c.facts.n >= 3
            && matches!(role, Role::Slot | Role::Seq)
            && c.facts.counts < 0.5;
        let both = roles.contains(&Role::Slot) && roles.contains(&Role::Seq);
        let k = i32::try_from(k).unwrap_or(9);
        let rank = match role {
            Role::Slot | Role::Seq if both => {
                let least = roles
                    .iter()
                    .position(|r| matches!(r, Role::Slot | Role::Seq));
                let least = least.and_then(|l| i32::try_from(l).ok()).unwrap_or(0);
                least + i32::from(places(c.facts) != (role == Role::Slot))
            }
            _ => k,
        };
        return LABEL - short - 6 * rank - if loose { 50 } else { 0 };
    }
    // A word that is not known speaks a little against every role.
    if !c.label.is_empty() && roles.is_empty() && !matches!(role, Role::Keep | Role::Same) {
        return -4;
    }
    // A word for something else speaks against the role.
    if !roles.is_empty() && role != Role::Same {
        -24
    } else {
        0
    }
}

/// Gives every part a role.
pub(crate) fn give(clues: &[Clue<'_>]) -> Vec<Given> {
    let mut out: Vec<Option<Given>> = clues
        .iter()
        .map(|c| {
            c.told
                .filter(|r| can(c).contains(r) || *r == Role::Keep)
                .map(|role| told(c, role))
        })
        .collect();
    let mut points: Vec<Vec<(Role, i32)>> = clues
        .iter()
        .map(|c| {
            can(c)
                .into_iter()
                .filter(|r| *r != Role::Skip)
                .map(|r| (r, behaves(c, r) + said(c, r)))
                .collect()
        })
        .collect();
    let single = |r: Role| !matches!(r, Role::Same | Role::Keep | Role::Skip);
    follow(clues, &mut points);
    loop {
        let mut best: Option<(i32, usize, Role)> = None;
        for (i, list) in points.iter().enumerate() {
            if out.get(i).is_none_or(Option::is_some) {
                continue;
            }
            for &(role, p) in list {
                let taken = single(role) && out.iter().flatten().any(|g| g.role == role);
                let enough = p >= ENOUGH || !single(role);
                if !taken && enough && best.is_none_or(|b| p > b.0) {
                    best = Some((p, i, role));
                }
            }
        }
        let Some((p, i, role)) = best else { break };
        if let (Some(slot), Some(c)) = (out.get_mut(i), clues.get(i)) {
            *slot = Some(judged(c, role, p, clues, &points, i));
        }
    }
    let coded = out.iter().flatten().any(|g| g.role == Role::Code);
    let open = |i: usize| {
        out.get(i).is_some_and(|g| {
            g.as_ref()
                .is_none_or(|g| g.role == Role::Keep && g.margin != i32::MAX)
        })
    };
    let of_code =
        |list: &Vec<(Role, i32)>| list.iter().find(|x| x.0 == Role::Code).map_or(0, |x| x.1);
    let likeliest = (0..clues.len())
        .filter(|&i| !coded && open(i))
        .filter_map(|i| Some((points.get(i).map(of_code)?, i)))
        .filter(|x| x.0 > 0)
        .max_by_key(|x| (x.0, usize::MAX - x.1));
    if let Some((_, i)) = likeliest
        && let (Some(slot), Some(c)) = (out.get_mut(i), clues.get(i))
    {
        *slot = Some(Given {
            role: Role::Code,
            why: "the likeliest of the rest".into(),
            doubt: "little speaks for it".into(),
            can: can(c),
            margin: 0,
        });
    }
    let left = |c: &Clue<'_>| Given {
        role: Role::Keep,
        why: String::new(),
        doubt: String::new(),
        can: can(c),
        margin: 0,
    };
    out.into_iter()
        .zip(clues)
        .map(|(g, c)| g.unwrap_or_else(|| left(c)))
        .collect()
}

/// A code comes at its step: what goes with the likeliest code is more likely
/// the step, and what does not is less.
fn follow(clues: &[Clue<'_>], points: &mut [Vec<(Role, i32)>]) {
    let of = |list: &[(Role, i32)], role: Role| {
        list.iter().find(|x| x.0 == role).map_or(i32::MIN, |x| x.1)
    };
    let told = clues.iter().position(|c| c.told == Some(Role::Code));
    let code = told.or_else(|| {
        (0..clues.len()).max_by_key(|&i| points.get(i).map_or(i32::MIN, |l| of(l, Role::Code)))
    });
    let Some((k, code)) = code.and_then(|k| Some((k, clues.get(k)?))) else {
        return;
    };
    let tells = code.facts.n >= 5 && code.facts.distinct >= 2 && code.facts.repeats();
    for (i, (c, list)) in clues.iter().zip(points).enumerate() {
        if i == k {
            continue;
        }
        let mut by = match c.facts.follows(code.facts) {
            _ if !tells || c.facts.is_constant() => 0,
            true => 8,
            false => -12,
        };
        // In a record nothing but the place tells what a byte is.
        if c.bytes && !c.facts.is_constant() {
            by += if i.abs_diff(k) == 1 { 4 } else { -3 };
        }
        for x in list.iter_mut().filter(|x| x.0 == Role::Step) {
            x.1 += by;
        }
    }
}

fn told(c: &Clue<'_>, role: Role) -> Given {
    Given {
        role,
        why: "you said so".into(),
        doubt: String::new(),
        can: can(c),
        margin: i32::MAX,
    }
}

fn judged(
    c: &Clue<'_>,
    role: Role,
    p: i32,
    clues: &[Clue<'_>],
    points: &[Vec<(Role, i32)>],
    i: usize,
) -> Given {
    // What else this part may be, and which other part may be this role.
    let here = points
        .get(i)
        .into_iter()
        .flatten()
        .filter(|x| x.0 != role && x.0 != Role::Keep)
        .map(|x| (x.1, x.0));
    let second = here.max_by_key(|x| x.0);
    let rivals = points
        .iter()
        .enumerate()
        .filter(|(k, _)| *k != i && clues.get(*k).is_none_or(|c| c.told.is_none()));
    let rival = rivals
        .flat_map(|(k, l)| l.iter().filter(|x| x.0 == role).map(move |x| (x.1, k)))
        .max_by_key(|x| x.0);
    let next = second.map_or(0, |s| s.0);
    let other = rival.map_or(0, |r| r.0);
    let counting = matches!(role, Role::Same | Role::Keep | Role::Skip);
    let margin = p - next.max(if counting { 0 } else { other });
    let by_word = words::roles(&c.label).contains(&role);
    Given {
        role,
        why: why(c, role, by_word),
        doubt: doubt(c, role, by_word, margin, second),
        can: can(c),
        margin,
    }
}

fn why(c: &Clue<'_>, role: Role, by_word: bool) -> String {
    if by_word {
        return ["\u{201c}", &c.label, "\u{201d} stands beside it"].concat();
    }
    let text = match role {
        Role::Time if c.form == Form::Date => "a written date",
        Role::Time => "a wide number that mostly goes one way",
        Role::Slot | Role::Seq => "goes on by one from line to line",
        Role::Code if c.form == Form::Words => "a word of a few that come again",
        Role::Code => "a number of this width with values that come again",
        Role::Step => "a small number with values that come again",
        Role::Count => "a small number, mostly 1",
        Role::Check => "a known sum over the rest gives this value",
        Role::Same if c.fixed && !c.bytes => "the same word in every line",
        Role::Same => "the same in every record",
        Role::Keep | Role::Skip => "",
    };
    text.into()
}

fn doubt(
    c: &Clue<'_>,
    role: Role,
    by_word: bool,
    margin: i32,
    second: Option<(i32, Role)>,
) -> String {
    let f = c.facts;
    if matches!(role, Role::Keep | Role::Skip) {
        return String::new();
    }
    if role == Role::Same {
        return if f.n >= 8 || (f.n >= 3 && !c.bytes) {
            String::new()
        } else {
            "seen in only a few entries; it may be a value".into()
        };
    }
    if role == Role::Check && c.sum {
        return String::new();
    }
    let odd = match role {
        Role::Slot | Role::Seq => f.n >= 3 && f.counts < 0.5,
        Role::Time => c.form != Form::Date && f.n >= 3 && (f.rises < 0.6 || f.bits < 16),
        Role::Check => true,
        Role::Step => f.bits > 12 || f.n >= 4 && !f.repeats(),
        _ => f.n >= 3 && f.is_counter(),
    };
    if odd {
        return if role == Role::Check {
            "no known sum gives these values".into()
        } else {
            ["its values do not behave like a ", words::called(role)].concat()
        };
    }
    if by_word && c.label.len() > 1 && margin >= CLEAR {
        return String::new();
    }
    if role == Role::Time && c.form == Form::Date {
        return String::new();
    }
    match second.filter(|s| s.0 > 0) {
        Some((_, other)) => ["it may also be: ", words::called(other)].concat(),
        None => "only its values say so".into(),
    }
}
