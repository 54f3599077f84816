//! Teaching: log lines or a dump that no book knows in, a proposed layout out.
//!
//! The person shows one entry or a whole log. [`propose`] finds the lines that
//! are written alike (or the records of a dump), takes them apart column by
//! column, says what each part seems to be and why, and makes a layout of the
//! code book's format. Then the paste is read with that very layout, so that the
//! figures are those of the reader. What the person corrects comes back as
//! [`Hints`] and goes before every guess. A guess is shown as a guess: what is
//! not clear carries a doubt.

mod api;
mod around;
mod byte_check;
mod bytes;
mod column;
mod draft;
mod epochs;
mod facts;
mod family;
mod line_check;
mod line_field;
mod line_layout;
mod lines;
mod pieces;
mod records;
mod roles;
mod runs;
mod slices;
mod sums;
mod text;
mod trial;
mod words;
mod written;

pub use api::{CheckFound, Epoch, Hints, Kind, LineFit, Part, Proposal, ROLES, Role, Why};

use draft::Draft;
use reading::Limits;

/// How much of a paste is looked at; the proposal says so when there is more.
pub const LIMITS: Limits = Limits {
    bytes: 128 << 10,
    lines: 400,
};

/// Proposes a layout for a paste.
///
/// # Errors
/// What is missing and what to do, when nothing in the paste looks like a log.
pub fn propose(text: &str, hints: &Hints) -> Result<Proposal, Why> {
    let mut cut = text.len().min(LIMITS.bytes);
    while !text.is_char_boundary(cut) {
        cut -= 1;
    }
    let paste = text.get(..cut).unwrap_or(text);
    let bare = reading::bare::look(paste, LIMITS);
    let lines = lines::lines(&bare);
    let kind = hints.kind.unwrap_or_else(|| kind(&lines, &bare.dumps));
    let draft = match kind {
        Kind::Text => text::propose(&lines, hints)?,
        Kind::Bytes => bytes::propose(&bare, &lines, hints)?,
    };
    let mut out = finish(paste, kind, draft)?;
    if cut < text.len() || bare.physical > LIMITS.lines {
        let told = [
            "Only the first ",
            &LIMITS.lines.to_string(),
            " lines were looked at.",
        ]
        .concat();
        out.doubts.push(told);
    }
    Ok(out)
}

/// A dump, unless most lines with numbers are none.
fn kind(lines: &[runs::Runs], dumps: &[reading::bare::BareDump]) -> Kind {
    // A number of many digits in a line of text looks like a short row.
    let most = |r: &&reading::bare::BareRow| {
        let width = |r: &runs::Run| r.to - r.from;
        let signs = |l: &runs::Runs| {
            let all: usize = l.runs.iter().map(width).sum();
            let first = l.runs.first().map_or(0, width);
            if r.offset.is_some() { all - first } else { all }
        };
        let all: usize = lines.iter().filter(|l| l.line == r.line).map(signs).sum();
        r.bytes.len() * 200 >= all * 60
    };
    let rows = |d: &&reading::bare::BareDump| d.rows.iter().filter(most).count();
    let dumped: usize = dumps.iter().filter(|d| is_dump(d)).map(|d| rows(&d)).sum();
    let many = |l: &&runs::Runs| {
        l.runs
            .iter()
            .filter(|r| r.class == runs::Class::Value)
            .count()
            > 1
    };
    let numbered = lines.iter().filter(many).count();
    if dumped > 0 && dumped * 2 >= numbered {
        Kind::Bytes
    } else {
        Kind::Text
    }
}

/// Whether rows really are a dump: their offsets grow by their bytes, or they
/// have none and are long enough.
fn is_dump(d: &reading::bare::BareDump) -> bool {
    let offsets: Vec<u64> = d.rows.iter().filter_map(|r| r.offset).collect();
    if offsets.is_empty() {
        return d.per_row >= 4;
    }
    let steps = d.rows.windows(2).filter(|w| match w {
        [a, b] => {
            let n = a.bytes.len() as u64;
            let step = b
                .offset
                .zip(a.offset)
                .and_then(|(b, a)| b.checked_sub(a))
                .unwrap_or(0);
            n > 0 && step >= n && step.is_multiple_of(n)
        }
        _ => false,
    });
    let alone =
        d.rows.len() == 1 && d.per_row >= 8 && offsets.first().is_some_and(|o| o.is_multiple_of(4));
    alone || (d.rows.len() > 1 && steps.count() * 4 >= (d.rows.len() - 1) * 3)
}

/// Reads the paste with the layout and puts the proposal together.
fn finish(paste: &str, kind: Kind, mut draft: Draft) -> Result<Proposal, Why> {
    let Some(reading) = trial::read(paste, &draft.layout, LIMITS) else {
        return Err(Why {
            what: "What these lines have in common can't be written as a layout.".into(),
            todo: "Say which line is an entry, or paste more of the log.".into(),
        });
    };
    let lines = trial::lines(&reading, &draft);
    let read = trial::clean(&reading);
    let of = draft.of.max(read);
    let check = draft.check.take().map(|hit| {
        let (ok, wrong) = reading
            .fits
            .iter()
            .fold((0, 0), |s, f| (s.0 + f.checks_ok, s.1 + f.checks_wrong));
        let doubt = if hit.chance < sums::SURE {
            String::new()
        } else {
            "few entries: it may fit by chance".into()
        };
        CheckFound {
            words: hit.words,
            agrees: ok,
            of: ok + wrong,
            doubt,
        }
    });
    if let Some(c) = check.as_ref().filter(|c| !c.doubt.is_empty()) {
        for (p, m) in draft.parts.iter_mut().zip(&mut draft.margins) {
            if p.role == Role::Check && p.doubt.is_empty() && !p.told {
                p.doubt.clone_from(&c.doubt);
                *m = 0;
            }
        }
    }
    if read < of && read * 10 < of * 9 {
        draft.doubts.push(
            [
                "Only ",
                &read.to_string(),
                " of ",
                &of.to_string(),
                " entries are read with this.",
            ]
            .concat(),
        );
    }
    let ask = draft::ask(&draft.parts, &draft.margins);
    Ok(Proposal {
        kind,
        layout: draft.layout,
        example: draft.example,
        parts: draft.parts,
        lines,
        read,
        of,
        check,
        times: draft.times,
        epoch: draft.epoch,
        record: draft.record,
        records: draft.records,
        skip: draft.skip,
        others: draft.others,
        doubts: draft.doubts,
        ask,
    })
}
