//! What lines of text and records of bytes have in common on the way to a
//! proposal: parts with their clues, field names, what is most worth asking.

use codebook::model::{Field, Layout, OrderBy, OrderRule, TimeRule};

use crate::api::{Epoch, Hints, Part, Role};
use crate::epochs::{self, Times};
use crate::roles::Given;
use crate::words::{called, field_name, field_of};

/// A proposal before it was tried.
pub(crate) struct Draft {
    /// The layout.
    pub layout: Layout,
    /// One entry.
    pub example: String,
    /// Its parts.
    pub parts: Vec<Part>,
    /// How clear each part's role is.
    pub margins: Vec<i32>,
    /// Physical lines that should be read (from 1), with those of unused slots.
    pub lines: Vec<usize>,
    /// Entries and unused slots that there seem to be.
    pub of: usize,
    /// The check that was found.
    pub check: Option<crate::sums::Hit>,
    /// What the times would be.
    pub times: Vec<crate::api::Epoch>,
    /// Which one is used.
    pub epoch: Option<usize>,
    /// Bytes of a record, and other lengths.
    pub record: Option<usize>,
    /// Other lengths.
    pub records: Vec<usize>,
    /// Bytes in front of the first record.
    pub skip: usize,
    /// Other kinds of lines.
    pub others: Vec<(usize, String, usize)>,
    /// Doubts about the whole.
    pub doubts: Vec<String>,
}

/// Told when no part is the code.
pub(crate) const NO_CODE: &str = "No part looks like the code. Say which one it is.";

/// The hint for a place.
pub(crate) fn hint<T: Clone>(list: &[(usize, T)], at: usize) -> Option<T> {
    list.iter().rev().find(|h| h.0 == at).map(|h| h.1.clone())
}

/// Names the fields: the role's name, or one made from the label, each once.
/// Several parts of a code get names of their own; the code is joined of them.
pub(crate) fn names(given: &[Given], labels: &[String], told: &[Option<String>]) -> Vec<String> {
    let codes = given.iter().filter(|g| g.role == Role::Code).count();
    let mut out: Vec<String> = Vec::new();
    let mut other = 0;
    for (i, g) in given.iter().enumerate() {
        if g.role == Role::Same {
            out.push(String::new());
            continue;
        }
        let label = told
            .get(i)
            .cloned()
            .flatten()
            .or_else(|| labels.get(i).cloned())
            .unwrap_or_default();
        let by_label = field_name(&label);
        let usual = field_of(g.role);
        let wanted = match g.role {
            Role::Skip => {
                other += 1;
                ["other_", &other.to_string()].concat()
            }
            Role::Code if codes > 1 => by_label,
            Role::Keep => by_label,
            _ => usual.into(),
        };
        let wanted = if wanted.is_empty() || taken(&wanted, g.role, codes) {
            "value".to_owned()
        } else {
            wanted
        };
        let mut name = wanted.clone();
        let mut n = 1;
        while out.contains(&name) || name == "value" {
            name = [&wanted, "_", &n.to_string()].concat();
            n += 1;
        }
        out.push(name);
    }
    out
}

/// Names that mean something else than the part is.
fn taken(name: &str, role: Role, codes: usize) -> bool {
    let special = [
        "code",
        "step",
        "time",
        "slot",
        "seq",
        "count",
        "check",
        "console",
        "head",
        "sequence",
        "time_raw",
        "time_utc",
        "time_local",
        "time_rel_s",
        "clock",
        "check_ok",
    ];
    special.contains(&name) && (field_of(role) != name || codes > 1 && role == Role::Code)
}

/// The label of a field for people.
pub(crate) fn label(told: Option<String>, label: &str, role: Role) -> String {
    match told {
        Some(t) if !t.trim().is_empty() => t.trim().chars().take(60).collect(),
        _ if !label.is_empty() && matches!(role, Role::Keep | Role::Skip) => label.to_owned(),
        _ => called(role).to_owned(),
    }
}

/// A field with its name and label.
pub(crate) fn field(name: &str, label: &str) -> Field {
    Field {
        field: name.to_owned(),
        label: label.to_owned(),
        ..Field::default()
    }
}

/// The part that is most worth asking about: doubtful, and of weight.
pub(crate) fn ask(parts: &[Part], margins: &[i32]) -> Option<usize> {
    let weight = |role: Role| match role {
        Role::Code => 10,
        Role::Step => 7,
        Role::Time => 6,
        Role::Slot | Role::Seq => 5,
        Role::Check => 4,
        Role::Count => 3,
        Role::Keep => 2,
        Role::Same | Role::Skip => 1,
    };
    let no_code = !parts.iter().any(|p| p.role == Role::Code);
    let mut best: Option<(i32, usize)> = None;
    for (i, (p, margin)) in parts.iter().zip(margins).enumerate() {
        if p.told || (p.doubt.is_empty() && !(no_code && p.role == Role::Keep)) {
            continue;
        }
        // Without a code the likeliest of the rest is asked about.
        let lacking = no_code && p.role == Role::Keep && p.can.contains(&Role::Code);
        let points = (60 - (*margin).clamp(-20, 50)) * weight(p.role)
            + if lacking {
                400 + 20 * i32::try_from(p.text.len().min(8)).unwrap_or(0)
            } else {
                0
            };
        if best.is_none_or(|b| points > b.0) {
            best = Some((points, i));
        }
    }
    best.map(|b| b.1)
}

/// The layout's id.
pub(crate) fn id(hints: &Hints) -> String {
    let good = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    let id = hints.id.trim();
    let sound = !id.is_empty()
        && id.len() <= 64
        && id.bytes().all(good)
        && !id.starts_with('-')
        && !id.ends_with('-')
        && !id.contains("--");
    if sound {
        id.to_owned()
    } else {
        "taught".to_owned()
    }
}

/// The layout's name for people.
pub(crate) fn title(hints: &Hints, usual: &str) -> String {
    let told = hints.name.trim();
    let name = if told.is_empty() { usual } else { told };
    name.chars().filter(|c| !c.is_control()).take(80).collect()
}

/// The order rule that the parts allow; `slots` are the numbers of a slot.
pub(crate) fn order(given: &[Given], slots: Option<Vec<u64>>) -> Option<OrderRule> {
    let has = |r: Role| given.iter().any(|g| g.role == r);
    let rule = |by, field: &str| OrderRule {
        by,
        field: field.into(),
        size: None,
        first: 0,
        head: None,
        mark: None,
        listing: None,
    };
    let size = slots.map(|s| s.into_iter().max().unwrap_or(0).saturating_add(1));
    Some(if has(Role::Seq) {
        rule(OrderBy::Sequence, "seq")
    } else if has(Role::Slot) {
        OrderRule {
            size: size.map(|s| s.clamp(1, 1 << 20)),
            ..rule(OrderBy::Ring, "slot")
        }
    } else if has(Role::Time) {
        rule(OrderBy::Time, "time")
    } else {
        rule(OrderBy::Listing, "")
    })
}

/// What the numbers of a clock mean.
#[derive(Default)]
pub(crate) struct Clock {
    /// Under each usual epoch.
    pub times: Vec<Epoch>,
    /// Which one is used.
    pub epoch: Option<usize>,
    /// What speaks against it.
    pub doubt: String,
}

/// The rule for a clock in numbers, and what it was chosen from. `most` is the
/// largest number that has room; `fine` says that milliseconds are counted.
pub(crate) fn clock(
    numbers: &[u64],
    texts: &[String],
    most: u64,
    fine: bool,
    hints: &Hints,
) -> (Option<TimeRule>, Clock) {
    let t = Times::of(numbers, texts, most);
    let (times, likely) = epochs::table(&t, hints.latest);
    let told = hints.epoch.filter(|e| *e < times.len());
    let fits = |e: &Epoch| e.fits && e.unit_seconds < 1.0;
    let finer = times.iter().position(fits).filter(|_| fine);
    let epoch = told.or(finer).or(likely);
    let row = epoch.or(Some(0)).and_then(|e| times.get(e));
    let rule = row.map(|r| epochs::rule(&t, r));
    let doubt = if told.is_some() {
        String::new()
    } else {
        epochs::doubt(&times, epoch)
    };
    (
        rule,
        Clock {
            times,
            epoch,
            doubt,
        },
    )
}
