//! From lines written alike to a layout of a text line.

use codebook::model::{Encoding, Field, Layout, TextLayout};

use crate::api::{Hints, Part, Role, Why};
use crate::column::{Column, Form};
use crate::draft::{self, Clock, Draft, hint};
use crate::family::{self, Family, Match};
use crate::line_check::{self, Found};
use crate::line_field::{dress, encode, modulus, width};
use crate::lines::begin;
use crate::pieces::{Make, Piece, pieces};
use crate::roles::{Clue, Given, give};
use crate::runs::Runs;
use crate::{around, line_layout, words};

/// All that is known while a text layout is made.
pub(crate) struct Work<'a> {
    /// What the person said.
    pub hints: &'a Hints,
    /// All lines.
    pub lines: &'a [Runs],
    /// Which of them are written alike.
    pub family: &'a Family,
    /// The example.
    pub example: Match,
    /// Where it begins in its line.
    pub begin: usize,
    /// The pieces of an entry.
    pub pieces: Vec<Piece>,
    /// The values of each piece.
    pub columns: Vec<Column>,
    /// The word beside each piece.
    pub labels: Vec<String>,
}

impl Work<'_> {
    fn line(&self) -> Option<&Runs> {
        self.lines.get(self.example.at)
    }

    /// The word beside piece `i`.
    pub fn label(&self, i: usize) -> &str {
        self.labels.get(i).map_or("", String::as_str)
    }

    /// Where a piece is in the example.
    pub fn span(&self, p: &Piece) -> (usize, usize) {
        let at = |e: crate::pieces::Edge| {
            self.line()
                .map_or(0, |l| e.place(l, self.example).saturating_sub(self.begin))
        };
        (at(p.from), at(p.to))
    }

    /// The example's text between two places.
    pub fn slice(&self, from: usize, to: usize) -> &str {
        self.line()
            .and_then(|l| l.text.get(self.begin + from..self.begin + to))
            .unwrap_or("")
    }
}

/// Proposes a layout for lines of text.
pub(crate) fn propose(lines: &[Runs], hints: &Hints) -> Result<Draft, Why> {
    let must = |lines: &[Runs]| {
        let line = |l: &Runs| Some(l.line) == hints.entry && l.has_value();
        lines.iter().position(line)
    };
    let Some(family) = family::best(lines, must(lines)) else {
        return Err(Why {
            what: "No line with a number or code in it was found.".into(),
            todo: "Paste one or more lines of the log as they stand.".into(),
        });
    };
    if let Some(joined) = family::unwrapped(lines, &family)
        && let Some(longer) = family::best(&joined, must(&joined))
        && longer.spots.len() > family.spots.len()
    {
        let mut out = of_family(&joined, longer, must(&joined), hints);
        out.doubts
            .push("Each entry seems to be wrapped over two lines.".into());
        return Ok(out);
    }
    Ok(of_family(lines, family, must(lines), hints))
}

/// Proposes a layout for a family.
fn of_family(lines: &[Runs], mut family: Family, must: Option<usize>, hints: &Hints) -> Draft {
    let again = family::without_repeats(&mut family, lines);
    family::without_slips(&mut family, lines);
    let example = must
        .and_then(|m| family.found.iter().find(|f| f.at == m))
        .or(family.found.first())
        .copied()
        .unwrap_or(Match { at: 0, run: 0 });
    let begin = lines.get(example.at).map_or(0, |l| begin(l, example));
    let mut pieces = pieces(lines, &family, example, begin, hints);
    let heads = around::column_heads(lines, &family, pieces.len());
    // Under the head of a column even a word that never changes is a value.
    for p in pieces
        .iter_mut()
        .filter(|p| heads.is_some() && p.make == Make::Fixed)
    {
        p.make = Make::Value;
    }
    let columns: Vec<Column> = pieces
        .iter()
        .map(|p| Column::of(&p.texts(lines, &family), &p.make))
        .collect();
    let mut work = Work {
        hints,
        lines,
        family: &family,
        example,
        begin,
        pieces,
        columns,
        labels: Vec::new(),
    };
    work.labels = labels(&work);
    let mut out = draft(&work);
    // Lines with a slip should be read too, if only with a guess.
    let spoilt = family.spoilt.iter().filter_map(|at| lines.get(*at));
    out.lines.extend(spoilt.map(|l| l.line));
    out.lines
        .extend(again.iter().filter_map(|at| lines.get(*at)).map(|l| l.line));
    out.of += family.spoilt.len();
    out
}

/// The word beside each piece.
fn labels(w: &Work<'_>) -> Vec<String> {
    let fixed = |i: usize| w.pieces.get(i).is_some_and(|p| p.make == Make::Fixed);
    let text = |i: usize| {
        w.pieces.get(i).map_or("", |p| {
            let (a, b) = w.span(p);
            w.slice(a, b)
        })
    };
    let n = w.pieces.len();
    let head = around::column_heads(w.lines, w.family, n).filter(|_| !(0..n).any(fixed));
    // Words behind their values: `07 slot 0A step`.
    let behind = !fixed(0) && n > 1 && fixed(n - 1);
    let mut out = Vec::new();
    for i in 0..n {
        if fixed(i) {
            out.push(String::new());
            continue;
        }
        if let Some(h) = head.as_ref().and_then(|h| h.get(i)) {
            out.push(h.clone());
            continue;
        }
        let near: Vec<usize> = if behind {
            (i + 1..n).take_while(|&k| fixed(k)).collect()
        } else {
            (0..i).rev().take_while(|&k| fixed(k)).collect()
        };
        let known = near
            .iter()
            .take(2)
            .find(|&&k| !words::roles(text(k)).is_empty());
        let mut label = known.or(near.first()).map_or("", |&k| text(k)).to_owned();
        let (a, _) = w.pieces.get(i).map_or((0, 0), |p| w.span(p));
        if label.is_empty() && w.slice(0, a).ends_with('#') {
            label = "no".into();
        }
        out.push(label);
    }
    out
}

/// The roles of all pieces, and the check among them.
fn roles(w: &Work<'_>) -> (Vec<Given>, Option<Found>) {
    let clues = |found: Option<usize>| -> Vec<Clue<'_>> {
        let mut out = Vec::new();
        for (i, (p, c)) in w.pieces.iter().zip(&w.columns).enumerate() {
            out.push(Clue {
                facts: &c.facts,
                form: c.form,
                label: w.label(i).to_owned(),
                told: hint(&w.hints.roles, w.span(p).0),
                fixed: c.fixed,
                sum: found == Some(i),
                first: i == 0,
                bytes: false,
            });
        }
        out
    };
    let found = line_check::find(w, &give(&clues(None)));
    let mut given = give(&clues(found.as_ref().map(|f| f.piece)));
    word_codes(w, &mut given);
    (given, found)
}

/// What else speaks against a role.
fn doubt(w: &Work<'_>, i: usize, g: &Given, decimal: Option<bool>) -> &'static str {
    let (Some(p), Some(c)) = (w.pieces.get(i), w.columns.get(i)) else {
        return "";
    };
    let at = w.span(p).0;
    let fixed = |k: usize| w.pieces.get(k).is_some_and(|p| p.make == Make::Fixed);
    // A word that names nothing may be a value, and so may a capital in front.
    let word = w.slice(at, w.span(p).1);
    let small = word.len() < 3 && word.bytes().all(|b| b.is_ascii_lowercase());
    let names = !words::roles(word).is_empty();
    let behind = !fixed(0);
    let lone = i + 1 == w.pieces.len() || fixed(i + 1);
    let open = i > 0 && fixed(i) && !small && if behind { !names } else { lone };
    let part = fixed(i) && !p.to.back && word.bytes().all(|b| b.is_ascii_uppercase());
    let number = matches!(g.role, Role::Slot | Role::Seq | Role::Count);
    if g.margin == i32::MAX {
        ""
    } else if open && g.role == Role::Same {
        "it may be a value that is the same in all these lines"
    } else if part && g.role == Role::Same {
        "it may be a part of the value behind it"
    } else if w.family.found.len() < 2 && !matches!(g.role, Role::Keep | Role::Skip) {
        "only one line to judge by"
    } else if matches!(&p.make, Make::Date(_, true)) && hint(&w.hints.little, at).is_none() {
        "day and month may be the other way round"
    } else if number
        && decimal.is_some()
        && hint(&w.hints.decimal, at).is_none()
        && c.padded
        && !c.facts.is_counter()
    {
        "read as a decimal number; it may be hex"
    } else {
        ""
    }
}

/// The field of piece `i`, what its clock means, and whether it could be decimal
/// or hex.
fn field(
    w: &Work<'_>,
    i: usize,
    g: &Given,
    name: &str,
    found: Option<&Found>,
) -> Option<(Field, Option<Clock>, Option<bool>)> {
    let (p, c) = (w.pieces.get(i)?, w.columns.get(i)?);
    let at = w.span(p).0;
    let (encoding, decimal) = encode(c, g.role, w.label(i), hint(&w.hints.decimal, at));
    let label = draft::label(hint(&w.hints.names, at), w.label(i), g.role);
    let mut f = Field {
        encoding,
        width: width(c, encoding, g.role),
        ..draft::field(name, &label)
    };
    dress(c, p, &mut f);
    let mut clock = None;
    if g.role == Role::Time && encoding == Encoding::Date {
        f.time = Some(around::written_rule(w.lines, w.family, &w.pieces, i));
    } else if g.role == Role::Time {
        let hex = encoding == Encoding::Hex;
        let digits = u32::try_from(c.width.1.clamp(1, 16)).unwrap_or(16);
        let most = if hex {
            u64::MAX >> (64 - 4 * digits)
        } else {
            u64::MAX
        };
        // A unit behind the number: `12044ms`.
        let unit = w
            .pieces
            .get(i + 1)
            .filter(|p| p.make == Make::Fixed)
            .map(|p| {
                let (a, b) = w.span(p);
                w.slice(a, b).eq_ignore_ascii_case("ms")
            });
        let (rule, told) = draft::clock(
            &c.numbers(hex),
            &c.values,
            most,
            unit == Some(true),
            w.hints,
        );
        (f.time, clock) = (rule, Some(told));
    }
    if g.role == Role::Seq {
        f.modulus = modulus(c, encoding);
    }
    if let Some(found) = found.filter(|f| f.piece == i && g.role == Role::Check) {
        f.encoding = match found.alphabet.len() {
            10 => Encoding::Decimal,
            16 => Encoding::Hex,
            _ => Encoding::Digits,
        };
        f.width = width(c, f.encoding, g.role);
        f.words = Vec::new();
        f.alphabet.clear();
        if f.encoding == Encoding::Digits {
            f.alphabet.clone_from(&found.alphabet);
        }
    }
    Some((f, clock, decimal))
}

fn draft(w: &Work<'_>) -> Draft {
    let (mut given, found) = roles(w);
    let told: Vec<Option<String>> =
        (w.pieces.iter().map(|p| hint(&w.hints.names, w.span(p).0))).collect();
    let names = draft::names(&given, &w.labels, &told);
    let mut parts = Vec::new();
    let mut fields: Vec<Option<Field>> = Vec::new();
    let mut clock = Clock::default();
    for (i, (p, c)) in w.pieces.iter().zip(&w.columns).enumerate() {
        let Some(g) = given.get_mut(i) else { continue };
        let span = w.span(p);
        let name = names.get(i).cloned().unwrap_or_default();
        let mut made = field(w, i, g, &name, found.as_ref()).filter(|_| g.role != Role::Same);
        if let Some(told) = made.as_mut().and_then(|m| m.1.take()) {
            clock = told;
            if g.doubt.is_empty() {
                g.doubt.clone_from(&clock.doubt);
            }
        }
        let decimal = made.as_ref().and_then(|m| m.2);
        if g.doubt.is_empty() {
            g.doubt = doubt(w, i, g, decimal).into();
        }
        fields.push(made.map(|m| m.0));
        parts.push(Part {
            span,
            text: w.slice(span.0, span.1).to_owned(),
            role: g.role,
            name,
            why: g.why.clone(),
            doubt: g.doubt.clone(),
            sample: c.sample(),
            can: g.can.clone(),
            little: match &p.make {
                Make::Date(pattern, true) => Some(pattern.starts_with("DD")),
                _ => None,
            },
            decimal,
            told: g.margin == i32::MAX,
        });
    }
    let check = found.as_ref().and_then(|f| {
        let checks = given.get(f.piece).is_some_and(|g| g.role == Role::Check);
        let name = names.get(f.piece).filter(|_| checks)?;
        line_check::rule(&f.hit, name, &names)
    });
    let slots = (given.iter().zip(&w.columns)).find(|(g, _)| g.role == Role::Slot);
    let slots = slots.map(|(_, c)| c.numbers(c.form == Form::Hex));
    let example = w.slice(0, parts.last().map_or(0, |p| p.span.1)).to_owned();
    let mut layout = TextLayout {
        id: draft::id(w.hints),
        name: draft::title(w.hints, "log line"),
        derived: line_layout::derived(w, &given, &names),
        order: draft::order(&given, slots),
        example: example.clone(),
        line: line_layout::assemble(w, &fields),
        check,
        ..TextLayout::default()
    };
    let mut doubts = Vec::new();
    let seen = around::surroundings(
        w.lines,
        w.family,
        &w.pieces,
        &given,
        &mut layout,
        &mut doubts,
    );
    let found_at = |m: &Match| w.lines.get(m.at).map(|l| l.line);
    let mut lines: Vec<usize> = w.family.found.iter().filter_map(found_at).collect();
    lines.extend(&seen);
    if !given.iter().any(|g| g.role == Role::Code) {
        doubts.push(draft::NO_CODE.into());
    }
    Draft {
        example,
        parts,
        margins: given.iter().map(|g| g.margin).collect(),
        of: w.family.found.len() + seen.len(),
        lines,
        check: found.map(|f| f.hit).filter(|_| layout.check.is_some()),
        layout: Layout::Text(layout),
        times: clock.times,
        epoch: clock.epoch,
        record: None,
        records: Vec::new(),
        skip: 0,
        others: family::others(w.lines, w.family),
        doubts,
    }
}

/// A word list and a number beside it make a code when nothing else does.
fn word_codes(w: &Work<'_>, given: &mut [Given]) {
    let only = given.iter().position(|g| g.role == Role::Code);
    let Some(i) = only else { return };
    if w.columns.get(i).is_none_or(|c| c.form != Form::Words)
        || given.iter().filter(|g| g.role == Role::Code).count() > 1
    {
        return;
    }
    let next = (i + 1..given.len()).find(|&k| w.columns.get(k).is_some_and(|c| !c.fixed));
    if let Some(k) = next
        && let (Some(g), Some(c)) = (given.get_mut(k), w.columns.get(k))
        && g.role == Role::Keep
        && g.margin != i32::MAX
        && matches!(c.form, Form::Digits | Form::Hex)
        && c.width.1 <= 4
    {
        g.role = Role::Code;
        g.why = "the number behind the word".into();
        g.doubt = "it may be a value of its own".into();
    }
}
