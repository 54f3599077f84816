//! Records cut into fields: which bytes belong together.

use crate::api::Role;
use crate::facts::Facts;
use crate::records::Record;

/// Some bytes of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slice {
    /// First byte.
    pub at: usize,
    /// Number of bytes.
    pub size: usize,
    /// Lowest byte first.
    pub little: bool,
}

impl Slice {
    /// Byte behind the last.
    pub fn end(self) -> usize {
        self.at + self.size
    }

    /// The number it holds.
    pub fn number(self, bytes: &[u8]) -> u64 {
        let part = bytes.get(self.at..self.end()).unwrap_or(&[]);
        let fold = |n: u64, b: &u8| n << 8 | u64::from(*b);
        if self.little {
            part.iter().rev().fold(0, fold)
        } else {
            part.iter().fold(0, fold)
        }
    }

    /// The numbers of all records.
    pub fn numbers(self, records: &[Record]) -> Vec<u64> {
        records.iter().map(|r| self.number(&r.bytes)).collect()
    }

    /// Facts about them.
    pub fn facts(self, records: &[Record]) -> Facts {
        Facts::of(
            &self.numbers(records),
            u32::try_from(self.size * 8).unwrap_or(64),
        )
    }

    fn over(self, other: Self) -> bool {
        self.at < other.end() && other.at < self.end()
    }
}

/// What the person said, as byte numbers.
pub(crate) struct Said {
    /// Roles of the parts that begin at a byte.
    pub roles: Vec<(usize, Role)>,
    /// Bytes where a part begins.
    pub breaks: Vec<usize>,
    /// Bytes where none begins.
    pub joins: Vec<usize>,
    /// Lowest byte first?
    pub little: Vec<(usize, bool)>,
    /// Bytes in front of the first record.
    pub skip: Option<usize>,
}

impl Said {
    /// What the part that begins at a byte is.
    pub fn role(&self, at: usize) -> Option<Role> {
        self.roles.iter().rev().find(|r| r.0 == at).map(|r| r.1)
    }

    /// Where the part with this role begins, as said last.
    fn place(&self, role: Role) -> Option<usize> {
        self.roles.iter().rev().find(|r| r.1 == role).map(|r| r.0)
    }

    /// Whether some part has this role.
    fn has(&self, role: Role) -> bool {
        self.roles.iter().any(|r| r.1 == role)
    }

    /// Whether a slice goes against what was said.
    fn against(&self, s: Slice) -> bool {
        let inside = |at: usize| at > s.at && at < s.end();
        self.breaks.iter().any(|b| inside(*b))
            || self
                .roles
                .iter()
                .any(|r| inside(r.0) && !self.joins.contains(&r.0))
    }
}

/// Cuts records of `length` bytes into slices. `check` is a check field that was
/// found.
pub(crate) fn slices(
    records: &[Record],
    length: usize,
    check: Option<Slice>,
    said: &Said,
    latest: Option<i64>,
) -> Vec<Slice> {
    let mut taken: Vec<Slice> = check.into_iter().filter(|c| !said.against(*c)).collect();
    let free = |s: Slice, taken: &[Slice]| {
        s.end() <= length && !said.against(s) && !taken.iter().any(|t| t.over(s))
    };
    // What the person said goes before what is guessed.
    if said.has(Role::Code)
        && let Some(c) = code(records, length, said, &|s| free(s, &taken))
    {
        taken.push(c);
    }
    if let Some(t) = time(records, length, said, latest, &|s| free(s, &taken)) {
        taken.push(t);
    }
    if let Some(c) = counter(records, length, &|s| free(s, &taken)) {
        taken.push(c);
    }
    if !said.has(Role::Code)
        && let Some(c) = code(records, length, said, &|s| free(s, &taken))
    {
        taken.push(c);
    }
    while let Some(w) = wide(records, length, &|s| free(s, &taken)) {
        taken.push(w);
    }
    let mut out = Vec::new();
    let mut at = 0;
    while at < length {
        let s = taken.iter().copied().find(|t| t.at == at).unwrap_or(Slice {
            at,
            size: 1,
            little: false,
        });
        out.push(s);
        at = s.end();
    }
    for &j in &said.joins {
        if let Some(k) = out.iter().position(|s| s.at == j).filter(|k| *k > 0)
            && let (Some(a), Some(b)) = (out.get(k - 1).copied(), out.get(k).copied())
            && a.size + b.size <= 8
        {
            let size = a.size + b.size;
            let big = Slice {
                at: a.at,
                size,
                little: false,
            };
            let low = Slice {
                little: true,
                ..big
            };
            // The order in which it goes more smoothly.
            let little = low.facts(records).rises > big.facts(records).rises;
            out.splice(k - 1..=k, [Slice { little, ..big }]);
        }
    }
    for s in &mut out {
        if let Some(h) = said.little.iter().rev().find(|h| h.0 == s.at) {
            s.little = h.1;
        }
    }
    out
}

/// A single byte.
fn one(at: usize) -> Slice {
    Slice {
        at,
        size: 1,
        little: false,
    }
}

/// Four bytes that are a clock.
fn time(
    records: &[Record],
    length: usize,
    said: &Said,
    latest: Option<i64>,
    free: &dyn Fn(Slice) -> bool,
) -> Option<Slice> {
    let told = said.place(Role::Time);
    let mut best: Option<(i64, Slice)> = None;
    for at in 0..length.saturating_sub(3) {
        if told.is_some_and(|t| t != at) {
            continue;
        }
        for little in [false, true] {
            let s = Slice {
                at,
                size: 4,
                little,
            };
            // A clock does not go on by one from entry to entry.
            let counts = (at..at + 4).any(|k| {
                let f = one(k).facts(records);
                f.is_counter() && f.counts > 0.9
            });
            if !free(s) || counts && told.is_none() {
                continue;
            }
            let mut points = clock(records, s, latest);
            if told.is_some() {
                // Times lie near each other, whatever else they are.
                let f = s.facts(records);
                points = 100 * points + i64::from((f.high - f.low).leading_zeros());
            }
            if (points > 0 || told.is_some()) && best.is_none_or(|b| points > b.0) {
                best = Some((points, s));
            }
        }
    }
    best.map(|b| b.1)
}

/// How much four bytes look like a clock; 0 or less when they do not.
#[allow(clippy::cast_possible_truncation, reason = "small shares of 100")]
fn clock(records: &[Record], s: Slice, latest: Option<i64>) -> i64 {
    let all = s.numbers(records);
    let set: Vec<u64> = all
        .iter()
        .copied()
        .filter(|n| *n >= crate::epochs::NOT_SET && *n < 0xFFFF_FFFF)
        .collect();
    if set.len() * 2 < all.len() || set.is_empty() {
        return 0;
    }
    let f = Facts::of(&set, 32);
    let times = crate::epochs::Times {
        set: set.clone(),
        ..crate::epochs::Times::default()
    };
    let rows = crate::epochs::table(&times, latest).0;
    let usual = rows.iter().take(2).any(|r| r.fits);
    let fits = rows.iter().take(5).any(|r| r.fits);
    // All of one clock lie within some years: the highest byte hardly moves. A
    // few entries lie within fewer.
    let many = set.len() as u64;
    let near = f.high - f.low < (many << 25).min(1 << 28);
    if !fits || !near {
        return 0;
    }
    let goes =
        set.len() < 3 || (f.rises >= 0.85 && f.moves > 0.4 && f.distinct * 5 >= set.len() * 3);
    let low_byte = Slice {
        at: if s.little { s.at } else { s.at + 3 },
        size: 1,
        little: false,
    };
    let lively = low_byte.facts(records).distinct;
    // A clock does not come back to where it was.
    let changes = f.ids.windows(2).filter(|w| w.first() != w.get(1)).count();
    let again = (changes + 1).saturating_sub(f.distinct);
    if !goes || again * 8 > set.len() || f.is_constant() && set.len() > 2 {
        return 0;
    }
    // A lively byte right below the lowest one would be the lowest itself.
    let below = if s.little {
        s.at.checked_sub(1)
    } else {
        Some(s.end())
    };
    let below = below.map(|at| one(at).facts(records));
    let shifted = below.is_some_and(|f| f.n > 3 && f.distinct * 10 > f.n * 7 && !f.is_counter());
    let share = |x: f64| (x * 20.0) as i64;
    10 + share(f.rises)
        + if usual { 8 } else { 0 }
        + share(crate::facts::share(lively, records.len()))
        + if f.high - f.low < (many << 22).min(1 << 26) {
            6
        } else {
            0
        }
        - if f.is_counter() { 20 } else { 0 }
        - if shifted { 6 } else { 0 }
}

/// One or two bytes that go on by one.
fn counter(records: &[Record], length: usize, free: &dyn Fn(Slice) -> bool) -> Option<Slice> {
    let counts = |at: &usize| free(one(*at)) && one(*at).facts(records).is_counter();
    let may = |at: &usize| free(one(*at)) && one(*at).facts(records).may_count();
    let at = (0..length)
        .find(counts)
        .or_else(|| (0..length.min(3)).find(may))?;
    let f = one(at).facts(records);
    let above = at.checked_sub(1).map(|at| Slice {
        at,
        size: 2,
        little: false,
    });
    let behind = Slice {
        at,
        size: 2,
        little: true,
    };
    // At the start of a record the two first bytes go together.
    let ways = if at == 1 {
        [above, Some(behind)]
    } else {
        [Some(behind), above]
    };
    let wide = ways.into_iter().flatten().find(|s| {
        // The other half of a wider number stays, or moves when this one wraps.
        let o = one(if s.little { at + 1 } else { s.at }).facts(records);
        let carries = o.distinct == 2 && o.high == o.low + 1 && s.facts(records).is_counter();
        // A small value that stays is more likely the upper half than a mark,
        // unless the number begins from 0.
        let most = if f.n < 8 { 0x10 } else { 0x20 };
        let from_zero = f.low <= 1 && (o.high == 0 || !s.little);
        free(*s) && (carries || o.is_constant() && o.high <= most && !from_zero)
    });
    Some(wide.unwrap_or(one(at)))
}

/// Two bytes that are a code.
fn code(
    records: &[Record],
    length: usize,
    said: &Said,
    free: &dyn Fn(Slice) -> bool,
) -> Option<Slice> {
    let told = said.place(Role::Code);
    let mut best: Option<(i32, Slice)> = None;
    for at in 0..length.saturating_sub(1) {
        let s = Slice {
            at,
            size: 2,
            little: false,
        };
        let other_told = said.role(at).is_some_and(|r| r != Role::Code);
        if !free(s) || told.is_some_and(|t| t != at) || other_told {
            continue;
        }
        let (a, b) = (
            Slice {
                at,
                size: 1,
                little: false,
            }
            .facts(records),
            Slice {
                at: at + 1,
                size: 1,
                little: false,
            }
            .facts(records),
        );
        let f = s.facts(records);
        let n = f.n;
        // Two records or one: only the place and the size of the values tell.
        let lone = n < 3;
        if told.is_none() && (a.is_counter() || b.is_counter() || f.is_constant() && !lone) {
            continue;
        }
        let yes = |x: bool, p: i32| if x { p } else { 0 };
        // One half tells the other: together there are no more values than alone.
        let bound = f.distinct <= a.distinct.max(b.distinct);
        let few = f.distinct * 4 <= n * 3;
        let small = |f: &Facts| f.high <= 0x3F;
        let points = yes(few, 12) + yes(bound, 8) + yes(!small(&a), 5) + yes(!small(&b), 3)
            - yes(a.is_constant(), 6)
            - yes(b.is_constant(), 9)
            - yes(!few && !bound, 20)
            + yes(neighbour(records, length, s), 3);
        let before = at.checked_sub(1).map(|k| one(k).facts(records));
        let behind_step = before.is_some_and(|f| f.high <= 0x1F);
        let points = if lone {
            yes(!small(&a), 8) + yes(!small(&b), 2) + yes(behind_step, 6)
                - i32::try_from(at / 2).unwrap_or(9)
                + 4
        } else {
            points
        };
        if (points >= 12 || told.is_some()) && best.is_none_or(|x| points > x.0) {
            // Codes of one kind share their upper digit.
            let upper = |at: usize| {
                let digits = records.iter().filter_map(|r| r.bytes.get(at));
                let digits: Vec<u64> = digits.map(|b| u64::from(b >> 4)).collect();
                Facts::of(&digits, 4).distinct
            };
            let little = f.distinct > 2 && upper(at + 1) < upper(at);
            best = Some((points, Slice { little, ..s }));
        }
    }
    best.map(|b| b.1)
}

/// A lively byte and one that stays beside it: one number of two bytes, such as
/// a voltage.
fn wide(records: &[Record], length: usize, free: &dyn Fn(Slice) -> bool) -> Option<Slice> {
    (0..length.saturating_sub(1)).find_map(|at| {
        let s = Slice {
            at,
            size: 2,
            little: false,
        };
        let (a, b) = (one(at).facts(records), one(at + 1).facts(records));
        let stays = |f: &Facts| f.is_constant() && (1..0x20).contains(&f.high);
        let lively =
            |f: &Facts| f.n >= 4 && f.distinct * 2 > f.n && !f.is_counter() && f.high - f.low > 16;
        let little = lively(&a) && stays(&b);
        (free(s) && (little || stays(&a) && lively(&b))).then_some(Slice { little, ..s })
    })
}

/// Whether a small value that comes again stands right before or behind.
fn neighbour(records: &[Record], length: usize, s: Slice) -> bool {
    [s.at.wrapping_sub(1), s.end()]
        .into_iter()
        .filter(|k| *k < length)
        .any(|at| {
            let f = Slice {
                at,
                size: 1,
                little: false,
            }
            .facts(records);
            f.high <= 0x3F && f.repeats() && f.distinct > 1
        })
}
