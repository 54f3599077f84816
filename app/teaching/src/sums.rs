//! Check fields: known kinds of sums tried over the entries.
//!
//! Finding something is easy when one tries enough. So each find carries how
//! many finds of its kind chance alone would bring: the number of ways tried
//! times the chance that one of them fits in all those entries.

use codebook::checksum;
use codebook::model::{Check, CheckKind, Over};

/// Entries that are looked at.
pub(crate) const MOST_ENTRIES: usize = 64;
/// A find is told when chance brings fewer than this.
const TOLD: f64 = 0.2;
/// And it is sure when chance brings fewer than this.
pub(crate) const SURE: f64 = 0.001;

/// One way to cover an entry: for each entry the numbers under the sum.
pub(crate) struct Cover {
    /// What is covered, for the layout.
    pub over: Over,
    /// In words.
    pub words: String,
    /// Per entry.
    pub values: Vec<Vec<u64>>,
    /// A less likely way: must be better, not as good.
    pub odd: bool,
}

/// A check that fits.
#[derive(Clone, Debug)]
pub(crate) struct Hit {
    /// The rule, without the field's name.
    pub check: Check,
    /// In words.
    pub words: String,
    /// Entries that agree.
    pub agrees: usize,
    /// How many such finds chance would bring.
    pub chance: f64,
}

/// The usual CRCs: bits, polynomial, start, reflected, xored at the end. Names
/// and check values of those marked 7 are in `references.md` h7, the others are
/// from memory and are held against known check values in the tests.
const CRCS: &[(&str, u32, &str, &str, bool, &str)] = &[
    ("CRC-8/SMBUS", 8, "07", "00", false, "00"),
    ("CRC-8/MAXIM-DOW", 8, "31", "00", true, "00"),
    ("CRC-8/AUTOSAR", 8, "2F", "FF", false, "FF"),
    ("CRC-8/ROHC", 8, "07", "FF", true, "00"),
    ("CRC-8/NRSC-5", 8, "31", "FF", false, "00"),
    ("CRC-8/I-432-1", 8, "07", "00", false, "55"),
    ("CRC-8/SAE-J1850", 8, "1D", "FF", false, "FF"),
    ("CRC-16/ARC", 16, "8005", "0000", true, "0000"),
    ("CRC-16/MODBUS", 16, "8005", "FFFF", true, "0000"),
    ("CRC-16/USB", 16, "8005", "FFFF", true, "FFFF"),
    ("CRC-16/IBM-3740", 16, "1021", "FFFF", false, "0000"),
    ("CRC-16/SPI-FUJITSU", 16, "1021", "1D0F", false, "0000"),
    ("CRC-16/XMODEM", 16, "1021", "0000", false, "0000"),
    ("CRC-16/KERMIT", 16, "1021", "0000", true, "0000"),
    ("CRC-16/IBM-SDLC", 16, "1021", "FFFF", true, "FFFF"),
    ("CRC-16/GENIBUS", 16, "1021", "FFFF", false, "FFFF"),
    (
        "CRC-32/ISO-HDLC",
        32,
        "04C11DB7",
        "FFFFFFFF",
        true,
        "FFFFFFFF",
    ),
    (
        "CRC-32/BZIP2",
        32,
        "04C11DB7",
        "FFFFFFFF",
        false,
        "FFFFFFFF",
    ),
    (
        "CRC-32/MPEG-2",
        32,
        "04C11DB7",
        "FFFFFFFF",
        false,
        "00000000",
    ),
    (
        "CRC-32/JAMCRC",
        32,
        "04C11DB7",
        "FFFFFFFF",
        true,
        "00000000",
    ),
    ("CRC-32/ISCSI", 32, "1EDC6F41", "FFFFFFFF", true, "FFFFFFFF"),
];

const WEIGHTS: &[&[u64]] = &[
    &[],
    &[1, 3],
    &[3, 1],
    &[1, 2],
    &[2, 1],
    &[7, 3, 1],
    &[3, 7, 1],
];

/// A check rule with nothing set.
pub(crate) fn blank(kind: CheckKind, bits: u32) -> Check {
    Check {
        field: String::new(),
        kind,
        over: Over::default(),
        bits,
        seed: 0,
        weights: Vec::new(),
        modulus: 0,
        poly: String::new(),
        init: String::new(),
        reflect_in: false,
        reflect_out: false,
        xorout: String::new(),
    }
}

/// The kinds to try for a field that can hold `room` different values, with
/// their names and whether the start value is open.
fn kinds(room: u64) -> Vec<(Check, String, bool)> {
    let bits = match room {
        0x100 => 8,
        0x1_0000 => 16,
        0x1_0000_0000 => 32,
        _ => 0,
    };
    let mut out = Vec::new();
    let modulus = if bits == 0 { room } else { 0 };
    let holds = if bits > 0 {
        bits
    } else if room <= 0x1_0000 {
        16
    } else {
        32
    };
    for (kind, name) in [
        (CheckKind::Sum, "sum"),
        (CheckKind::TwosComplementSum, "two's complement of the sum"),
        (
            CheckKind::OnesComplementSum,
            "sum with all bits turned over",
        ),
        (CheckKind::Xor, "all xored"),
    ] {
        if bits == 0 && matches!(kind, CheckKind::Xor | CheckKind::OnesComplementSum) {
            continue;
        }
        let check = Check {
            modulus,
            ..blank(kind, holds)
        };
        out.push((check.clone(), name.to_owned(), false));
        if kind != CheckKind::OnesComplementSum {
            out.push((check, [name, " with a start value"].concat(), true));
        }
    }
    for (name, n, poly, init, reflect, xorout) in CRCS {
        if *n == bits {
            let check = Check {
                poly: (*poly).into(),
                init: (*init).into(),
                reflect_in: *reflect,
                reflect_out: *reflect,
                xorout: (*xorout).into(),
                ..blank(CheckKind::Crc, bits)
            };
            out.push((check, (*name).to_owned(), false));
        }
    }
    for weights in WEIGHTS {
        for open in [false, true] {
            let check = Check {
                modulus,
                weights: weights.to_vec(),
                ..blank(CheckKind::WeightedSum, holds)
            };
            let list: Vec<String> = weights.iter().map(u64::to_string).collect();
            let list = if list.is_empty() {
                "1, 2, 3 and so on".into()
            } else {
                list.join(", ")
            };
            out.push((check, ["sum with weights ", &list].concat(), open));
        }
    }
    out
}

/// The start value that makes a sum fit.
fn seed(check: &Check, values: &[u64], want: u64, room: u64) -> u64 {
    let now = checksum::compute_values(check, values);
    match check.kind {
        CheckKind::Xor => now ^ want,
        // The sum stands with a minus.
        CheckKind::TwosComplementSum => (now + room - want % room) % room,
        _ => (want % room + room - now % room) % room,
    }
}

/// The best check for one field: `want` are its numbers per entry; `seeds` says
/// whether start values may be open (one would explain a byte that stays).
pub(crate) fn find(
    want: &[u64],
    room: u64,
    seeds: bool,
    covers: &[Cover],
    tried: &mut f64,
) -> Option<Hit> {
    let n = want.len().min(MOST_ENTRIES);
    if n == 0 || room < 2 || want.iter().any(|w| *w >= room) {
        return None;
    }
    let kinds = kinds(room);
    let mut best: Option<(Hit, bool)> = None;
    for cover in covers {
        if copies(want, &cover.values, n) {
            continue;
        }
        let alike = different(&cover.values, n);
        // Where a single place moves, many kinds agree with each other: more
        // entries prove little more.
        let most = if moving(&cover.values, n) > 1 { n } else { 2 };
        for (check, name, open) in &kinds {
            *tried += 1.0;
            // An xor of bytes is one byte: a second one that stays is none of it.
            let small = !seeds && check.kind == CheckKind::Xor && check.bits > 8;
            if *open && (n < 3 || !seeds) || small {
                continue;
            }
            let mut check = check.clone();
            let Some(first) = cover.values.first().filter(|v| !v.is_empty()) else {
                continue;
            };
            if *open {
                // A slip in the first entry must not spoil it: two start values.
                let second = cover.values.get(1).map_or(first, |v| v);
                let a = seed(&check, first, want.first().copied().unwrap_or(0), room);
                let b = seed(&check, second, want.get(1).copied().unwrap_or(0), room);
                check.seed = a;
                if count(&check, want, &cover.values, 4) < 2 {
                    check.seed = b;
                }
                if check.seed == 0 {
                    continue;
                }
            }
            if count(&check, want, &cover.values, 4) * 2 < n.min(4) {
                continue;
            }
            let agrees = count(&check, want, &cover.values, n);
            let enough = agrees == n || (n >= 5 && agrees * 4 >= n * 3);
            let proof = agrees
                .min(alike)
                .min(most)
                .saturating_sub(usize::from(*open));
            if !enough || proof == 0 {
                continue;
            }
            let chance = chance(room, n, agrees, proof);
            let hit = Hit {
                words: [name.as_str(), " over ", &cover.words].concat(),
                check: Check {
                    over: cover.over.clone(),
                    ..check
                },
                agrees,
                chance,
            };
            // The first one found is the plainest; it must be beaten clearly.
            let better = best.as_ref().is_none_or(|(b, odd)| {
                let weight = if *odd && !cover.odd { 4.0 } else { 0.25 };
                hit.agrees > b.agrees || hit.agrees == b.agrees && hit.chance < b.chance * weight
            });
            if better {
                best = Some((hit, cover.odd));
            }
        }
    }
    best.map(|b| b.0)
}

/// Settles how likely a find is chance, with all that was tried.
pub(crate) fn weigh(hit: Hit, tried: f64) -> Option<Hit> {
    let chance = hit.chance * tried;
    (chance < TOLD).then_some(Hit { chance, ..hit })
}

fn count(check: &Check, want: &[u64], values: &[Vec<u64>], n: usize) -> usize {
    let fits = |(w, v): &(&u64, &Vec<u64>)| checksum::compute_values(check, v) == **w;
    want.iter().zip(values).take(n).filter(fits).count()
}

/// Whether the field is only a copy of one of the numbers.
fn copies(want: &[u64], values: &[Vec<u64>], n: usize) -> bool {
    let places = values.first().map_or(0, Vec::len);
    let same = |k: usize| {
        want.iter()
            .zip(values)
            .take(n)
            .filter(|(w, v)| v.get(k) == Some(w))
            .count()
    };
    n > 1 && (0..places).any(|k| same(k) * 10 >= n * 9)
}

/// Places under the cover whose values differ from entry to entry.
fn moving(values: &[Vec<u64>], n: usize) -> usize {
    let first = values.first().map_or(&[] as &[u64], Vec::as_slice);
    let differs = |k: usize| values.iter().take(n).any(|v| v.get(k) != first.get(k));
    (0..first.len()).filter(|k| differs(*k)).count()
}

/// Entries that differ under the cover: the same entry twice proves nothing.
fn different(values: &[Vec<u64>], n: usize) -> usize {
    let mut all: Vec<&Vec<u64>> = values.iter().take(n).collect();
    reading::sorted::sort(&mut all);
    all.dedup();
    all.len()
}

#[allow(clippy::cast_precision_loss, reason = "counts are small")]
fn chance(room: u64, n: usize, agrees: usize, proof: usize) -> f64 {
    let mut out = 1.0;
    for _ in 0..proof {
        out /= room as f64;
    }
    // Which entries do not agree is free.
    for k in 0..n.saturating_sub(agrees) {
        out *= (n - k) as f64 / (k + 1) as f64;
    }
    out
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]
mod tests {
    use super::*;

    /// Check values over the characters `123456789`. Those of the first column
    /// are in `references.md` h7 (two libraries agree); the others are from
    /// memory, as the usual catalogue of CRCs gives them.
    #[test]
    fn the_catalogue_gives_its_check_values() {
        let known = "CRC-8/SMBUS=F4 CRC-8/MAXIM-DOW=A1 CRC-8/AUTOSAR=DF CRC-16/ARC=BB3D \
            CRC-16/MODBUS=4B37 CRC-16/USB=B4C8 CRC-16/IBM-3740=29B1 CRC-16/SPI-FUJITSU=E5CC \
            CRC-16/XMODEM=31C3 CRC-16/KERMIT=2189 CRC-16/IBM-SDLC=906E CRC-32/ISO-HDLC=CBF43926 \
            CRC-32/BZIP2=FC891918 CRC-32/MPEG-2=376E6E7 CRC-32/JAMCRC=340BC6D9 CRC-32/ISCSI=E3069283";
        let memory =
            "CRC-8/ROHC=D0 CRC-8/NRSC-5=F7 CRC-8/I-432-1=A1 CRC-8/SAE-J1850=4B CRC-16/GENIBUS=D64E";
        let mut seen = 0;
        for (check, name, _) in [0x100, 0x1_0000, 0x1_0000_0000].into_iter().flat_map(kinds) {
            if check.kind != CheckKind::Crc {
                continue;
            }
            let value = format!("{:X}", checksum::compute_bytes(&check, b"123456789"));
            let row = format!("{name}={value}");
            assert!(
                format!("{known} {memory}")
                    .split_whitespace()
                    .any(|k| k == row),
                "{row}"
            );
            seen += 1;
        }
        assert_eq!(seen, CRCS.len());
    }

    fn covers(values: Vec<Vec<u64>>) -> Vec<Cover> {
        vec![Cover {
            over: Over::default(),
            words: String::new(),
            values,
            odd: false,
        }]
    }

    #[test]
    fn an_eight_bit_sum_is_sure_only_over_several_entries() {
        let rows: Vec<Vec<u64>> = (0..6)
            .map(|i| vec![i * 7 + 3, 200 - i, i * i + 90, 17])
            .collect();
        let want: Vec<u64> = rows.iter().map(|r| r.iter().sum::<u64>() % 256).collect();
        for n in 1..=6 {
            let mut tried = 0.0;
            let hit = find(
                &want[..n],
                256,
                true,
                &covers(rows[..n].to_vec()),
                &mut tried,
            )
            .unwrap();
            let hit = weigh(hit, tried);
            match n {
                // About thirty kinds for 256 values: one entry in nine fits some.
                1 => assert!(hit.is_none_or(|h| h.chance > SURE)),
                2 => assert!(hit.is_some_and(|h| h.chance < 0.01)),
                _ => assert!(hit.is_some_and(|h| h.chance < SURE)),
            }
        }
    }

    #[test]
    fn a_copy_of_a_value_is_no_check() {
        let rows: Vec<Vec<u64>> = (0..8).map(|i| vec![i * 31 % 256, 40, i]).collect();
        let want: Vec<u64> = rows.iter().map(|r| r[0]).collect();
        assert!(find(&want, 256, true, &covers(rows), &mut 0.0).is_none());
    }

    #[test]
    fn a_start_value_is_found_also_when_the_first_entry_has_a_slip() {
        let rows: Vec<Vec<u64>> = (0..8_u64).map(|i| vec![i, 3 * i + 1, 77 - i]).collect();
        let mut want: Vec<u64> = rows
            .iter()
            .map(|r| (r.iter().sum::<u64>() + 5) % 484)
            .collect();
        want[0] ^= 1;
        let hit = find(&want, 484, true, &covers(rows), &mut 0.0).unwrap();
        assert_eq!((hit.check.seed, hit.check.modulus, hit.agrees), (5, 484, 7));
    }
}
