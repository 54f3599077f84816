//! Generated logs of byte records, shown as dumps.

use super::chance::Chance;
use super::truth::{Case, Entry, Faults, TruePart, Value, epoch, how_many, moments};
use teaching::{Kind, Role};

#[derive(Clone, Copy)]
enum Make {
    Counter { size: usize, first: u64, ring: u64 },
    Step,
    Code,
    Time,
    Temp,
    Flags,
    Volts,
    Mark(u64),
    Check { size: usize, kind: u64 },
}

fn size(m: Make) -> usize {
    match m {
        Make::Counter { size, .. } | Make::Check { size, .. } => size,
        Make::Code | Make::Volts => 2,
        Make::Time => 4,
        _ => 1,
    }
}

fn fields(c: &mut Chance) -> Vec<(Role, Make)> {
    let mut out = Vec::new();
    if c.percent(20) {
        out.push((
            Role::Same,
            Make::Mark(c.one(&[&0xA5_u64, &0x5A, &0x7E, &0xC3, &0x02]).to_owned()),
        ));
    }
    if c.percent(80) {
        let slot = c.percent(35);
        let make = if slot {
            Make::Counter {
                size: 1,
                first: c.within(0, 1),
                ring: c.within(32, 128),
            }
        } else {
            let size = if c.percent(75) { 2 } else { 1 };
            Make::Counter {
                size,
                first: if size == 2 {
                    c.within(200, 4000)
                } else {
                    c.within(60, 200)
                },
                ring: 1 << (8 * size),
            }
        };
        out.push((if slot { Role::Slot } else { Role::Seq }, make));
    }
    let mut middle = Vec::new();
    if c.percent(80) {
        middle.push((Role::Step, Make::Step));
    }
    middle.push((Role::Code, Make::Code));
    if c.percent(15) {
        middle.reverse();
    }
    if c.percent(75) {
        let at = if c.percent(25) { 0 } else { middle.len() };
        middle.insert(at, (Role::Time, Make::Time));
    }
    for make in [Make::Temp, Make::Flags] {
        if c.percent(40) {
            middle.push((Role::Keep, make));
        }
    }
    if c.percent(10) {
        middle.push((Role::Keep, Make::Volts));
    }
    if c.percent(12) {
        middle.push((Role::Same, Make::Mark(0)));
    }
    out.extend(middle);
    if c.percent(60) {
        let size = if c.percent(75) { 1 } else { 2 };
        let check = (
            Role::Check,
            Make::Check {
                size,
                kind: c.next() % 6,
            },
        );
        if c.percent(10) {
            out.insert(0, check);
        } else {
            out.push(check);
        }
    }
    out
}

fn put(bytes: &mut Vec<u8>, v: u64, size: usize, little: bool) {
    let mut part: Vec<u8> = (0..size).map(|k| (v >> (8 * k)) as u8).collect();
    if !little {
        part.reverse();
    }
    bytes.extend(part);
}

/// A log of records.
#[allow(clippy::too_many_lines, reason = "one log from beginning to end")]
pub fn case(c: &mut Chance) -> Case {
    let mut fields = fields(c);
    while fields.iter().map(|f| size(f.1)).sum::<usize>() < 5 {
        let at = fields
            .iter()
            .position(|f| f.0 == Role::Check)
            .unwrap_or(fields.len())
            .max(1);
        fields.insert(at.min(fields.len()), (Role::Keep, Make::Flags));
    }
    let n = how_many(c).max(1);
    let little = c.percent(55);
    let code_little = little && c.percent(25);
    let faults = Faults::new(c, 16);
    let times = moments(c, n);
    let (epoch_at, offset) = epoch(c);
    let newest_first = c.percent(25);
    let absent = c.percent(20);
    let length: usize = fields.iter().map(|f| size(f.1)).sum();
    let mut codes = Vec::new();
    let mut entries = Vec::new();
    let mut temp = c.within(30, 60);
    for i in 0..n {
        let place = if newest_first { n - 1 - i } else { i };
        let (step, code) = faults.one(c);
        codes.push(format!("{code:04X}"));
        temp = (temp + c.within(0, 6)).saturating_sub(3);
        let mut bytes: Vec<u8> = Vec::new();
        let mut values = Vec::new();
        let mut hole = None;
        for (_, make) in &fields {
            let at = bytes.len();
            let (v, low) = match *make {
                Make::Counter { first, ring, .. } => ((first + place as u64) % ring, little),
                Make::Step => (step, false),
                Make::Code => (code, code_little),
                Make::Time if absent && c.percent(8) => (0xFFFF_FFFF, little),
                Make::Time => ((times[place] - offset) as u64, little),
                Make::Temp => (temp, false),
                Make::Flags => (c.one(&[&0_u64, &1, &3, &0x82, &0x81]).to_owned(), false),
                Make::Volts => (0x0CA0 + c.within(0, 90), little),
                Make::Mark(m) => (m, false),
                Make::Check { .. } => {
                    hole = Some(at);
                    (0, little)
                }
            };
            put(&mut bytes, v, size(*make), low);
            let w = 2 * size(*make);
            values.push(Some(Value {
                text: format!("{v:0w$X}"),
                number: Some(v),
            }));
        }
        if let Some(at) = hole {
            let (k, make) = fields
                .iter()
                .enumerate()
                .find(|f| matches!(f.1.1, Make::Check { .. }))
                .map(|(k, f)| (k, f.1))
                .unwrap();
            let Make::Check { size, kind } = make else {
                unreachable!()
            };
            let rest: Vec<u64> = bytes
                .iter()
                .enumerate()
                .filter(|(i, _)| *i < at || *i >= at + size)
                .map(|(_, b)| u64::from(*b))
                .collect();
            let v = check(&rest, size, kind);
            let mut own = Vec::new();
            put(&mut own, v, size, little);
            bytes.splice(at..at + size, own);
            let w = 2 * size;
            values[k] = Some(Value {
                text: format!("{v:0w$X}"),
                number: Some(v),
            });
        }
        let mut spans = Vec::new();
        let mut at = 0;
        for (_, make) in &fields {
            spans.push((at * 3, (at + size(*make)) * 3 - 1));
            at += size(*make);
        }
        let text = bytes
            .iter()
            .map(|b| format!("{b:02X}"))
            .collect::<Vec<_>>()
            .join(" ");
        entries.push(Entry {
            line: 0,
            text,
            spans,
            values,
            clean: true,
        });
    }
    let parts = fields
        .iter()
        .map(|(role, make)| TruePart {
            role: *role,
            little: match make {
                Make::Code => code_little,
                _ => little && size(*make) > 1,
            },
            decimal: matches!(role, Role::Seq | Role::Slot),
        })
        .collect();
    let mut case = Case {
        paste: String::new(),
        kind: Kind::Bytes,
        parts,
        entries,
        record: length,
        skip: 0,
        epoch: fields.iter().any(|f| f.0 == Role::Time).then_some(epoch_at),
        codes,
        worded: true,
        day_first: None,
    };
    print(c, &mut case);
    case
}

fn check(rest: &[u64], size: usize, kind: u64) -> u64 {
    let room = 1_u64 << (8 * size);
    let sum = rest.iter().sum::<u64>() % room;
    match kind {
        0 => sum,
        1 => rest.iter().fold(0, |a, b| a ^ b),
        2 => (room - sum) % room,
        3 => room - 1 - sum,
        _ => super::lines::crc(rest, 2 * size),
    }
}

/// Prints the records as one of the usual dumps.
fn print(c: &mut Chance, case: &mut Case) {
    let mut all: Vec<String> = Vec::new();
    for e in &case.entries {
        all.extend(e.text.split(' ').map(str::to_owned));
    }
    let length = case.record;
    if c.percent(40) {
        for _ in 0..c.within(1, 4) * length as u64 {
            all.push("FF".into());
        }
    }
    let mut lines: Vec<String> = Vec::new();
    if c.percent(50) {
        lines.push("my reader gave me this, what is it?".into());
    }
    if c.percent(30) {
        lines.push(format!("ring of {} records", case.entries.len()));
    }
    let lower = c.percent(40);
    let style = c.weighted(&[40, 35, 10, 15]);
    let per_row = if style == 1 {
        [16, 8][c.weighted(&[4, 1])]
    } else {
        length
    };
    for (k, row) in all.chunks(per_row).enumerate() {
        let at = k * per_row;
        let mut body = match style {
            2 => row.join(":"),
            3 => {
                row.iter()
                    .map(|b| format!("0x{b}"))
                    .collect::<Vec<_>>()
                    .join(", ")
                    + ","
            }
            _ => row.join(" "),
        };
        if lower {
            body = body.to_lowercase().replace("0X", "0x");
        }
        let line = if style == 1 {
            let text: String = row
                .iter()
                .map(|b| u8::from_str_radix(b, 16).unwrap())
                .map(|b| {
                    if (0x20..0x7F).contains(&b) {
                        b as char
                    } else {
                        '.'
                    }
                })
                .collect();
            let pad = " ".repeat((per_row - row.len()) * 3);
            format!("{at:08x}  {body}{pad}  |{text}|")
        } else {
            body
        };
        lines.push(line);
        for (i, e) in case.entries.iter_mut().enumerate() {
            if i * length >= at && i * length < at + row.len() {
                e.line = lines.len();
            }
        }
    }
    if c.percent(40) {
        lines.push("rest is empty I think".into());
    }
    case.paste = lines.join("\n");
}
