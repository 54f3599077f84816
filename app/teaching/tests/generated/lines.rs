//! Generated logs of text lines.

use super::chance::Chance;
use super::noise;
use super::truth::{Case, Entry, Faults, TruePart, Value, epoch, how_many, moments};
use teaching::{Kind, Role};

/// One value of the line with its words.
struct Slot {
    role: Role,
    label: String,
    make: Make,
}

/// How a value is written.
#[derive(Clone)]
enum Make {
    Counter {
        width: usize,
        hex: bool,
        padded: bool,
        first: u64,
        up: bool,
        ring: u64,
    },
    Step {
        width: usize,
        decimal: bool,
    },
    StepWord,
    Code {
        width: usize,
        lower: bool,
        prefix: &'static str,
        suffix: &'static str,
        decimal: bool,
    },
    CodeLetter,
    TimeHex {
        lower: bool,
        prefix: &'static str,
    },
    TimeDecimal,
    Date(&'static str),
    Count {
        width: usize,
        hex: bool,
    },
    Temp,
    Fraction,
    Flags,
    Mode,
    Check {
        width: usize,
        kind: u64,
        letters: bool,
    },
}

fn label(c: &mut Chance, role: Role, make: &Make) -> String {
    // Words that a log may well have; those in the second list are none that the
    // teaching knows.
    let (usual, rare): (&[&str], &[&str]) = match (role, make) {
        (Role::Code, _) => (
            &["code", "err", "error", "fault", "e"],
            &["diag", "kode", "sig", "malf"],
        ),
        (Role::Step, _) => (
            &["step", "stage", "phase", "boot", "st"],
            &["etap", "init", "lvl", "krok"],
        ),
        (Role::Time, _) => (
            &["time", "clock", "at", "ts", "t"],
            &["zeit", "moment", "hora", "cas"],
        ),
        (Role::Slot, _) => (
            &["slot", "idx", "no", "entry", "rec"],
            &["lfd", "bin", "tag"],
        ),
        (Role::Seq, _) => (
            &["seq", "no", "entry", "event", "id"],
            &["lfd", "tag", "run"],
        ),
        (Role::Count, _) => (
            &["count", "seen", "cnt", "times", "x"],
            &["freq", "qty", "mult"],
        ),
        (Role::Check, _) => (
            &["crc", "chk", "sum", "check", "cs"],
            &["guard", "tail", "vfy"],
        ),
        (_, Make::Flags) => (&["flags", "flag"], &["bits", "sw"]),
        (_, Make::Mode) => (&["mode", "src"], &["by", "via"]),
        _ => (&["temp", "fan", "load"], &["grad", "lueft", "aux2"]),
    };
    let one = if c.percent(78) {
        c.one(usual)
    } else {
        c.one(rare)
    };
    one.to_owned()
}

fn slots(c: &mut Chance) -> Vec<Slot> {
    let mut out: Vec<(Role, Make)> = Vec::new();
    let up = c.percent(70);
    if c.percent(80) {
        let slot = c.percent(50);
        let hex = c.percent(25);
        let padded = c.percent(75) || hex;
        let make = if slot {
            Make::Counter {
                width: 2,
                hex,
                padded,
                first: c.within(0, 1),
                up,
                ring: c.within(16, 64),
            }
        } else {
            let width = c.within(3, 5) as usize;
            Make::Counter {
                width,
                hex,
                padded,
                first: c.within(70, 900),
                up,
                ring: u64::MAX,
            }
        };
        out.push((if slot { Role::Slot } else { Role::Seq }, make));
    }
    if c.percent(75) {
        let make = match c.weighted(&[70, 15, 15]) {
            0 => Make::Step {
                width: 2,
                decimal: false,
            },
            1 => Make::Step {
                width: 2,
                decimal: true,
            },
            _ => Make::StepWord,
        };
        out.push((Role::Step, make));
    }
    let code = match c.weighted(&[60, 10, 10, 10, 10]) {
        0 => Make::Code {
            width: 4,
            lower: c.percent(30),
            prefix: if c.percent(25) { "0x" } else { "" },
            suffix: "",
            decimal: false,
        },
        1 => Make::Code {
            width: c.one(&[&3_usize, &5, &6]).to_owned(),
            lower: false,
            prefix: "",
            suffix: "",
            decimal: false,
        },
        2 => Make::Code {
            width: 4,
            lower: false,
            prefix: "",
            suffix: "h",
            decimal: false,
        },
        3 => Make::Code {
            width: 4,
            lower: false,
            prefix: "",
            suffix: "",
            decimal: true,
        },
        _ => Make::CodeLetter,
    };
    let at = c.within(0, out.len() as u64) as usize;
    out.insert(at.max(out.len().saturating_sub(1)), (Role::Code, code));
    if c.percent(75) {
        let make = match c.weighted(&[45, 15, 40]) {
            0 => Make::TimeHex {
                lower: c.percent(30),
                prefix: if c.percent(20) { "0x" } else { "" },
            },
            1 => Make::TimeDecimal,
            _ => Make::Date(c.one(&[
                "DD.MM.YYYY hh:mm:ss",
                "YYYY-MM-DD hh:mm:ss",
                "YYYY-MM-DDThh:mm:ss",
                "DD.MM.YYYY at hh:mm",
                "MM/DD/YYYY hh:mm:ss",
                "DD.MM.YY hh:mm:ss",
                "YYYYMMDDThhmmss",
            ])),
        };
        let at = if c.percent(25) { 0 } else { out.len() };
        out.insert(at, (Role::Time, make));
    }
    if c.percent(40) {
        let hex = c.percent(40);
        out.push((
            Role::Count,
            Make::Count {
                width: if hex { 2 } else { c.within(1, 2) as usize },
                hex,
            },
        ));
    }
    for _ in 0..c.weighted(&[55, 35, 10]) {
        let make = [Make::Temp, Make::Fraction, Make::Flags, Make::Mode][c.weighted(&[4, 2, 3, 2])]
            .clone();
        if !out
            .iter()
            .any(|o| std::mem::discriminant(&o.1) == std::mem::discriminant(&make))
        {
            out.push((Role::Keep, make));
        }
    }
    if c.percent(45) {
        let letters = c.percent(15);
        let width = if letters {
            2
        } else {
            c.one(&[&2_usize, &2, &4]).to_owned()
        };
        out.push((
            Role::Check,
            Make::Check {
                width,
                kind: c.next() % 8,
                letters,
            },
        ));
    }
    out.into_iter()
        .map(|(role, make)| Slot {
            role,
            label: label(c, role, &make),
            make,
        })
        .collect()
}

/// A line being written.
#[derive(Default)]
struct Writing {
    text: String,
    spans: Vec<(usize, usize)>,
    values: Vec<Option<Value>>,
}

impl Writing {
    fn value(&mut self, written: &str, number: Option<u64>) {
        self.spans
            .push((self.text.len(), self.text.len() + written.len()));
        self.text.push_str(written);
        self.values.push(Some(Value {
            text: written.to_uppercase(),
            number,
        }));
    }
}

fn date(pattern: &str, at: i64) -> String {
    let t = reading::calendar::DateTime::at(at).unwrap();
    let mut out = pattern.to_owned();
    for (token, n, w) in [
        ("YYYY", t.year, 4),
        ("YY", t.year % 100, 2),
        ("MM", t.month, 2),
        ("DD", t.day, 2),
        ("hh", t.hour, 2),
        ("mm", t.minute, 2),
        ("ss", t.second, 2),
    ] {
        out = out.replace(token, &format!("{n:0w$}"));
    }
    out
}

const WORDS: [&str; 6] = ["ramp", "link", "post", "probe", "wake", "lock"];
const MODES: [&str; 4] = ["cold", "warm", "user", "night"];
const ABC: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// A log of text lines.
#[allow(clippy::too_many_lines, reason = "one log from beginning to end")]
pub fn case(c: &mut Chance) -> Case {
    let slots = slots(c);
    let n = how_many(c);
    let bits = match slots.iter().find(|s| s.role == Role::Code).map(|s| &s.make) {
        Some(Make::Code { width, .. }) => 4 * *width as u32,
        _ => 16,
    };
    let faults = Faults::new(c, bits);
    let times = moments(c, n);
    let (epoch_at, offset) = epoch(c);
    let newest_first = slots
        .iter()
        .any(|s| matches!(s.make, Make::Counter { up: false, .. }))
        || (!slots.iter().any(|s| matches!(s.make, Make::Counter { .. })) && c.percent(30));
    let absent = c.percent(25);
    let unset = c.percent(15);
    // How values and words are put together.
    let style = c.weighted(&[35, 15, 20, 15, 15]);
    let (join, between): (&str, &str) = [
        (" ", "  "),
        ("=", " "),
        (": ", ", "),
        (" ", " | "),
        ("", "  "),
    ][style];
    let (join, between) = (join.to_owned(), between.to_owned());
    let bare = style == 4;
    let heads = bare && c.percent(50);
    let hash = !bare && c.percent(15);
    let lead = if !bare && c.percent(15) { "log " } else { "" };
    let mut codes: Vec<String> = Vec::new();
    let mut entries: Vec<Entry> = Vec::new();
    for i in 0..n {
        let place = if newest_first { n - 1 - i } else { i };
        let moment = times[place];
        let (step, code) = faults.one(c);
        let mut w = Writing {
            text: lead.to_owned(),
            ..Writing::default()
        };
        for (k, s) in slots.iter().enumerate() {
            if k > 0 {
                w.text.push_str(&between);
            }
            if !bare {
                if hash && k == 0 && matches!(s.role, Role::Slot | Role::Seq) {
                    w.text.push('#');
                } else {
                    w.text.push_str(&s.label);
                    w.text.push_str(&join);
                }
            }
            match &s.make {
                Make::Counter {
                    width,
                    hex,
                    padded,
                    first,
                    ring,
                    ..
                } => {
                    let v = (first + place as u64) % ring;
                    let text = match (hex, padded) {
                        (true, _) => format!("{v:0width$X}"),
                        (false, true) => format!("{v:0width$}"),
                        (false, false) => v.to_string(),
                    };
                    w.value(&text, Some(v));
                }
                Make::Step { width, decimal } => {
                    let text = if *decimal {
                        format!("{step:0width$}")
                    } else {
                        format!("{step:0width$X}")
                    };
                    w.value(&text, Some(step));
                }
                Make::StepWord => w.value(WORDS[step as usize % 6], None),
                Make::Code {
                    width,
                    lower,
                    prefix,
                    suffix,
                    decimal,
                } => {
                    let text = match (decimal, lower) {
                        (true, _) => format!("{:0width$}", code % 10_000),
                        (false, true) => format!("{code:0width$x}"),
                        _ => format!("{code:0width$X}"),
                    };
                    codes.push(text.to_uppercase());
                    w.text.push_str(prefix);
                    w.value(&text, None);
                    w.text.push_str(suffix);
                }
                Make::CodeLetter => {
                    let text = format!(
                        "{}{:04X}",
                        ["P", "U", "R"][code as usize >> 8 & 1],
                        code & 0xFFF
                    );
                    codes.push(text.clone());
                    w.value(&text, None);
                }
                Make::TimeHex { lower, prefix } => {
                    let v = if absent && c.percent(10) {
                        0xFFFF_FFFF
                    } else if unset && c.percent(20) {
                        c.within(5, 90_000)
                    } else {
                        (moment - offset) as u64
                    };
                    let text = if *lower {
                        format!("{v:08x}")
                    } else {
                        format!("{v:08X}")
                    };
                    w.text.push_str(prefix);
                    w.value(&text, Some(v));
                }
                Make::TimeDecimal => {
                    let v = (moment - offset) as u64;
                    w.value(&v.to_string(), Some(v));
                }
                Make::Date(pattern) => {
                    if absent && i > 0 && c.percent(10) {
                        let text: String = pattern
                            .chars()
                            .map(|x| if "YMDhms".contains(x) { '-' } else { x })
                            .collect();
                        w.value(&text, None);
                        *w.values.last_mut().unwrap() = None;
                    } else {
                        w.value(&date(pattern, moment), None);
                    }
                }
                Make::Count { width, hex } => {
                    let v = if c.percent(65) { 1 } else { c.within(2, 30) };
                    let text = if *hex {
                        format!("{v:0width$X}")
                    } else {
                        format!("{v:0width$}")
                    };
                    w.value(&text, Some(v));
                }
                Make::Temp => {
                    let v = c.within(24, 61);
                    w.value(&v.to_string(), Some(v));
                }
                Make::Fraction => {
                    let text = format!("{}.{}", c.within(24, 61), c.within(0, 9));
                    w.value(&text, None);
                }
                Make::Flags => {
                    let v = c.one(&[&0x00_u64, &0x01, &0x05, &0x80, &0x83, &0xC1]);
                    w.value(&format!("{v:02X}"), Some(*v));
                }
                Make::Mode => w.value(MODES[c.weighted(&[4, 3, 2, 1])], None),
                Make::Check {
                    width,
                    kind,
                    letters,
                } => {
                    let (text, number) = check(&w, *width, *kind, *letters);
                    w.value(&text, number);
                }
            }
        }
        entries.push(Entry {
            line: 0,
            text: w.text,
            spans: w.spans,
            values: w.values,
            clean: true,
        });
    }
    let parts = slots
        .iter()
        .map(|s| TruePart {
            role: s.role,
            little: false,
            decimal: matches!(
                s.make,
                Make::Counter { hex: false, .. }
                    | Make::Count { hex: false, .. }
                    | Make::Temp
                    | Make::TimeDecimal
            ),
        })
        .collect();
    let numeric = slots
        .iter()
        .any(|s| matches!(s.make, Make::TimeHex { .. } | Make::TimeDecimal));
    let day_first = slots.iter().find_map(|s| match &s.make {
        Make::Date(p) => Some(p.starts_with("DD")),
        _ => None,
    });
    let head = heads.then(|| {
        slots
            .iter()
            .map(|s| s.label.clone())
            .collect::<Vec<_>>()
            .join(&between)
    });
    let begin = match slots.first() {
        Some(s) if matches!(s.role, Role::Slot) && !bare && !hash && c.percent(40) => {
            let next = entries.len() as u64;
            let empties = (0..c.within(1, 5))
                .map(|k| format!("{lead}{}{join}{:02}{between}empty", s.label, next + k))
                .collect();
            Some(empties)
        }
        _ => None,
    };
    let mut case = Case {
        paste: String::new(),
        kind: Kind::Text,
        parts,
        entries,
        record: 0,
        skip: 0,
        epoch: numeric.then_some(epoch_at),
        codes,
        worded: !bare,
        day_first,
    };
    noise::paste(c, &mut case, head, begin.unwrap_or_default());
    case
}

/// The check of what is written so far: over all values, or their text.
fn check(w: &Writing, width: usize, kind: u64, letters: bool) -> (String, Option<u64>) {
    let digits: String = w
        .spans
        .iter()
        .map(|s| &w.text[s.0..s.1])
        .flat_map(str::chars)
        .filter(char::is_ascii_alphanumeric)
        .collect::<String>()
        .to_uppercase();
    let values: Vec<u64> = digits
        .chars()
        .map(|x| u64::from(x.to_digit(36).unwrap()))
        .collect();
    let ascii: Vec<u64> = digits.bytes().map(u64::from).collect();
    let weighted: u64 = values
        .iter()
        .enumerate()
        .map(|(i, v)| (i as u64 + 1) * v)
        .sum();
    if letters {
        let v = (weighted + 5) % 676;
        let at = |k: u64| &ABC[k as usize..=k as usize];
        return ([at(v / 26), at(v % 26)].concat(), Some(v));
    }
    let room = 1_u64 << (4 * width);
    let v = match kind {
        0 => values.iter().sum::<u64>() % room,
        1 => ascii.iter().sum::<u64>() % room,
        2 => ascii.iter().fold(0, |a, b| a ^ b),
        3 => (room - ascii.iter().sum::<u64>() % room) % room,
        4 => (weighted + 3) % room,
        5 => weighted % room,
        _ => crc(&ascii, width),
    };
    (format!("{v:0width$X}"), Some(v))
}

/// CRC-8/SMBUS or CRC-16/XMODEM, bit by bit.
pub fn crc(bytes: &[u64], width: usize) -> u64 {
    let (bits, poly) = if width == 2 { (8, 0x07) } else { (16, 0x1021) };
    let mut reg = 0_u64;
    for b in bytes {
        reg ^= (b & 0xFF) << (bits - 8);
        for _ in 0..8 {
            let top = reg >> (bits - 1) & 1;
            reg = (reg << 1) & ((1 << bits) - 1);
            if top == 1 {
                reg ^= poly;
            }
        }
    }
    reg
}
