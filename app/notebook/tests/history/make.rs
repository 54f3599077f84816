//! Invented consoles whose whole log is known, and pulls of their rings.

use notebook::Data;
use notebook::history::Pulled;
use serde_json::{Value, json};

/// A small generator of numbers (SplitMix64, from memory): the same in each run.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    pub fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }
    pub fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }
}

/// What the console writes beside the code.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Numbers {
    None,
    Slots,
    Seq(u64),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clock {
    /// Set, and now and then reset to an earlier time or lost for a while.
    Set,
    /// Set all the time, every time another one.
    Steady,
    /// Never set: seconds since start, of which there are so many.
    Never(u64),
    /// The layout has no time.
    None,
}

/// One kind of console and of pasting.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    pub name: &'static str,
    pub ring: u64,
    pub numbers: Numbers,
    pub clock: Clock,
    pub codes: u64,
    /// One entry in so many can't be read; as many again are guesses.
    pub noise: Option<u64>,
    /// Some pastes show only the last ten lines.
    pub cut: bool,
    /// The log is sometimes cleared.
    pub clear: bool,
    /// Pulls are mostly so many entries apart at most.
    pub apart: u64,
    /// Days stand in the records; without, all are from the same day, written
    /// down in the right order.
    pub days: bool,
    /// Whether every join must be told exactly.
    pub exact: bool,
}

/// One pull: the truth, and the record made of it.
pub struct Pull {
    /// How many entries the console had written by then.
    pub at: i64,
    /// How many times it had been cleared.
    pub cleared: u64,
    /// The number of the entry in the whole log, for each readable entry.
    pub truth: Vec<i64>,
    pub pulled: Pulled,
}

struct Written {
    fields: Data,
    life: u64,
}

/// A console's life and some pulls, oldest first.
pub fn life(kind: &Kind, dice: &mut Dice, pulls: usize) -> Vec<Pull> {
    let mut log: Vec<Written> = Vec::new();
    let mut out = Vec::new();
    let mut clock: i64 = 1_300_000_000 + dice.below(100_000_000) as i64;
    let mut cleared = 0;
    // Of this life: how many were written, and the number the first carries.
    let mut written = 0_u64;
    let mut first = match kind.numbers {
        // Often near the wrap.
        Numbers::Seq(m) if dice.one_in(2) => m - 1 - dice.below(80),
        Numbers::Seq(m) => dice.below(m),
        _ => 0,
    };
    let mut lost_clock = 0;
    let mut day = 20_000 + dice.below(300) as i64;
    for p in 0..pulls {
        let full = kind.ring + kind.ring / 2;
        let n = if p == 0 {
            1 + dice.below(2 * kind.ring)
        } else if dice.one_in(6) {
            dice.below(full + 1)
        } else {
            dice.below(kind.apart + 1)
        };
        if kind.clear && p > 0 && dice.one_in(4) {
            cleared += 1;
            written = 0;
            first = 0;
        }
        for _ in 0..n {
            let mut fields = Data::new();
            fields.insert(
                "code".into(),
                format!("{:04X}", 0x44D0 + dice.below(kind.codes)).into(),
            );
            fields.insert("step".into(), "0A".into());
            match kind.numbers {
                Numbers::Slots => fields.insert("slot".into(), (written % kind.ring).into()),
                Numbers::Seq(m) => fields.insert("seq".into(), ((first + written) % m).into()),
                Numbers::None => None,
            };
            time(kind.clock, &mut clock, &mut lost_clock, dice, &mut fields);
            written += 1;
            log.push(Written {
                fields,
                life: cleared,
            });
        }
        day += 1 + dice.below(40) as i64;
        out.push(pull(kind, dice, &log, cleared, day, p as i64));
    }
    out
}

fn time(clock: Clock, now: &mut i64, lost: &mut u64, dice: &mut Dice, fields: &mut Data) {
    let mut put = |k: &str, v: Value| fields.insert(k.to_owned(), v);
    match clock {
        Clock::None => {}
        Clock::Never(n) => {
            let s = dice.below(n);
            put("time", format!("{s:08X}").into());
            put("rel", s.into());
            put("clock", "not set".into());
        }
        Clock::Set if *lost > 0 || dice.one_in(25) => {
            *lost = if *lost > 0 { *lost - 1 } else { dice.below(6) };
            let s = dice.below(40);
            put("time", format!("{s:08X}").into());
            put("rel", s.into());
            put("clock", "not set".into());
        }
        Clock::Set | Clock::Steady => {
            if clock == Clock::Set && dice.one_in(20) {
                *now -= dice.below(200_000_000) as i64;
            }
            *now += 1 + dice.below(400_000) as i64;
            put("time", format!("{:08X}", *now - 946_684_800).into());
            put("utc", (*now).into());
            put("clock", "set".into());
        }
    }
}

fn pull(kind: &Kind, dice: &mut Dice, log: &[Written], cleared: u64, day: i64, p: i64) -> Pull {
    let here: Vec<usize> = (0..log.len()).filter(|i| log[*i].life == cleared).collect();
    let mut shown = &here[here.len().saturating_sub(kind.ring as usize)..];
    if kind.cut && dice.one_in(2) {
        shown = &shown[shown.len().saturating_sub(10)..];
    }
    let mut entries = Vec::new();
    let mut truth = Vec::new();
    for &i in shown {
        match kind.noise.map(|n| dice.below(n)) {
            Some(0) => entries.push(json!({"lost": 1})),
            Some(1) => {
                let mut fields = log[i].fields.clone();
                fields.insert("sure".into(), false.into());
                // What was guessed may be wrong.
                if dice.one_in(2) {
                    fields.insert("code".into(), "FFFF".into());
                }
                if dice.one_in(4) && fields.contains_key("time") {
                    fields.insert("time".into(), "1E000000".into());
                    fields.insert("utc".into(), 1_449_999_999.into());
                }
                truth.push(i as i64);
                entries.push(Value::Object(fields));
            }
            _ => {
                truth.push(i as i64);
                entries.push(Value::Object(log[i].fields.clone()));
            }
        }
    }
    let mut data = Data::new();
    data.insert("entries".into(), Value::Array(entries));
    data.insert("book".into(), "larkfield-test".into());
    if kind.numbers == Numbers::Slots {
        data.insert("ring".into(), kind.ring.into());
    }
    if let Numbers::Seq(m) = kind.numbers {
        data.insert("modulus".into(), m.into());
    }
    if kind.days {
        data.insert("day".into(), notebook::dates::written(day).unwrap().into());
    }
    let created = if kind.days { 0 } else { 1_700_000_000_000 + p };
    Pull {
        at: log.len() as i64,
        cleared,
        truth,
        pulled: Pulled::from_data(&format!("r{p:03}"), created, &data),
    }
}

/// Puts a list in any order.
pub fn shuffle<T>(list: &mut [T], dice: &mut Dice) {
    for i in (1..list.len()).rev() {
        list.swap(i, dice.below(i as u64 + 1) as usize);
    }
}
