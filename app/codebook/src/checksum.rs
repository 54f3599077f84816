//! Check values: the sums that let a record prove that it was copied right.
//!
//! All kinds are plain loops over the covered values. Records are short, so a
//! table would cost more room on the phone than it saves time.

use crate::model::{Check, CheckKind};

/// The check value over bytes, one value a byte.
///
/// The caller puts zeros where the check field itself is inside the range.
///
/// ```
/// use codebook::model::{Check, CheckKind, Over};
/// let check = Check {
///     field: "check".into(), kind: CheckKind::Sum, over: Over::default(), bits: 8,
///     seed: 0, weights: vec![], modulus: 0, poly: String::new(), init: String::new(),
///     reflect_in: false, reflect_out: false, xorout: String::new(),
/// };
/// assert_eq!(codebook::checksum::compute_bytes(&check, b"123456789"), 0xDD);
/// ```
#[must_use]
pub fn compute_bytes(check: &Check, bytes: &[u8]) -> u64 {
    compute(check, &mut bytes.iter().map(|&b| u64::from(b)))
}

/// The check value over numbers, such as the digits of a text line. A CRC takes
/// the lowest eight bits of each.
#[must_use]
pub fn compute_values(check: &Check, values: &[u64]) -> u64 {
    compute(check, &mut values.iter().copied())
}

fn compute(check: &Check, values: &mut dyn Iterator<Item = u64>) -> u64 {
    let m = Modulus::of(check);
    match check.kind {
        CheckKind::Sum => m.sum(check.seed, values),
        CheckKind::TwosComplementSum => m.minus(0, m.sum(check.seed, values)),
        CheckKind::OnesComplementSum => m.minus(m.minus(0, 1), m.sum(check.seed, values)),
        CheckKind::WeightedSum => weighted(check, m, values),
        CheckKind::Xor => values.fold(check.seed, |all, v| all ^ v) & mask(check.bits),
        CheckKind::Crc => crc(check, values),
    }
}

fn weighted(check: &Check, m: Modulus, values: &mut dyn Iterator<Item = u64>) -> u64 {
    let mut sum = m.rest(check.seed);
    for (place, v) in values.enumerate() {
        let weight = match check.weights.len() {
            0 => place as u64 + 1,
            n => check.weights.get(place % n).copied().unwrap_or(1),
        };
        sum = m.plus(sum, m.times(m.rest(weight), m.rest(v)));
    }
    sum
}

/// The parameters mean what the usual CRC catalogues mean: `init` is the
/// register before the first bit, highest bit first, also when the CRC is
/// reflected.
fn crc(check: &Check, values: &mut dyn Iterator<Item = u64>) -> u64 {
    let width = check.bits.clamp(1, 64);
    let all = mask(width);
    let poly = hex(&check.poly).unwrap_or(0) & all;
    let mut reg = hex(&check.init).unwrap_or(0) & all;
    for v in values {
        for i in 0..8 {
            let bit = v >> (if check.reflect_in { i } else { 7 - i }) & 1;
            let top = (reg >> (width - 1) & 1) ^ bit;
            reg = (reg << 1 & all) ^ (if top == 1 { poly } else { 0 });
        }
    }
    if check.reflect_out {
        reg = reg.reverse_bits() >> (64 - width);
    }
    (reg ^ hex(&check.xorout).unwrap_or(0)) & all
}

/// All ones in the lowest `bits` bits.
fn mask(bits: u32) -> u64 {
    u64::MAX >> (64 - bits.clamp(1, 64))
}

/// A number written in hex, with or without `0x`; empty is 0.
pub(crate) fn hex(text: &str) -> Option<u64> {
    let digits = text
        .strip_prefix("0x")
        .or_else(|| text.strip_prefix("0X"))
        .unwrap_or(text);
    if text.is_empty() {
        return Some(0);
    }
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    u64::from_str_radix(digits, 16).ok()
}

/// Arithmetic modulo a number, where 0 stands for 2 to the power of 64.
#[derive(Clone, Copy)]
struct Modulus(u64);

impl Modulus {
    fn of(check: &Check) -> Self {
        Self(match (check.modulus, check.bits) {
            (0, 1..=63) => 1 << check.bits,
            (m, _) => m,
        })
    }

    fn rest(self, n: u64) -> u64 {
        n.checked_rem(self.0).unwrap_or(n)
    }

    /// Both must be rests already.
    fn plus(self, a: u64, b: u64) -> u64 {
        match self.0 {
            0 => a.wrapping_add(b),
            m if a >= m - b => a - (m - b),
            _ => a + b,
        }
    }

    /// `b` must be a rest already.
    fn minus(self, a: u64, b: u64) -> u64 {
        let a = self.rest(a);
        if a >= b {
            a - b
        } else {
            self.0.wrapping_sub(b).wrapping_add(a)
        }
    }

    fn times(self, a: u64, b: u64) -> u64 {
        match (self.0, a.checked_mul(b)) {
            (0, _) => a.wrapping_mul(b),
            (m, Some(p)) => p % m,
            (m, None) => u64::try_from(u128::from(a) * u128::from(b) % u128::from(m)).unwrap_or(0),
        }
    }

    fn sum(self, seed: u64, values: &mut dyn Iterator<Item = u64>) -> u64 {
        values.fold(self.rest(seed), |sum, v| self.plus(sum, self.rest(v)))
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]
mod tests {
    use super::*;
    use crate::model::Over;

    fn check(kind: CheckKind, bits: u32) -> Check {
        Check {
            field: "check".into(),
            kind,
            over: Over::default(),
            bits,
            seed: 0,
            weights: vec![],
            modulus: 0,
            poly: String::new(),
            init: String::new(),
            reflect_in: false,
            reflect_out: false,
            xorout: String::new(),
        }
    }

    fn crc_of(row: &str) -> (u64, u64) {
        let w: Vec<&str> = row.split_whitespace().collect();
        let reflect = w[4] == "yes";
        let c = Check {
            poly: w[2].into(),
            init: w[3].into(),
            reflect_in: reflect,
            reflect_out: reflect,
            xorout: w[5].into(),
            ..check(CheckKind::Crc, w[1].parse().unwrap())
        };
        (compute_bytes(&c, b"123456789"), hex(w[6]).unwrap())
    }

    /// name, width, poly, init, reflected, xorout, check value of "123456789".
    /// The first sixteen rows are those of the catalogue that two independent
    /// libraries agree on (crccheck, crcmod).
    #[test]
    fn crc_catalogue() {
        for row in "\
            CRC-8/SMBUS         8  07       00       no  00       F4
            CRC-8/MAXIM-DOW     8  31       00       yes 00       A1
            CRC-8/AUTOSAR       8  2F       FF       no  FF       DF
            CRC-16/ARC          16 8005     0000     yes 0000     BB3D
            CRC-16/MODBUS       16 8005     FFFF     yes 0000     4B37
            CRC-16/USB          16 8005     FFFF     yes FFFF     B4C8
            CRC-16/IBM-3740     16 1021     FFFF     no  0000     29B1
            CRC-16/SPI-FUJITSU  16 1021     1D0F     no  0000     E5CC
            CRC-16/XMODEM       16 1021     0000     no  0000     31C3
            CRC-16/KERMIT       16 1021     0000     yes 0000     2189
            CRC-16/IBM-SDLC     16 1021     FFFF     yes FFFF     906E
            CRC-32/ISO-HDLC     32 04C11DB7 FFFFFFFF yes FFFFFFFF CBF43926
            CRC-32/BZIP2        32 04C11DB7 FFFFFFFF no  FFFFFFFF FC891918
            CRC-32/MPEG-2       32 04C11DB7 FFFFFFFF no  00000000 0376E6E7
            CRC-32/JAMCRC       32 04C11DB7 FFFFFFFF yes 00000000 340BC6D9
            CRC-32/ISCSI        32 1EDC6F41 FFFFFFFF yes FFFFFFFF E3069283"
            .lines()
        {
            let (ours, theirs) = crc_of(row);
            assert_eq!(ours, theirs, "{row}: {ours:X}");
        }
    }

    #[test]
    fn sum_and_xor_of_the_nine_digits() {
        assert_eq!(compute_bytes(&check(CheckKind::Sum, 8), b"123456789"), 0xDD);
        assert_eq!(compute_bytes(&check(CheckKind::Xor, 8), b"123456789"), 0x31);
        // The sum is 477 in all.
        assert_eq!(compute_bytes(&check(CheckKind::Sum, 16), b"123456789"), 477);
        assert_eq!(compute_bytes(&check(CheckKind::Sum, 64), b"123456789"), 477);
    }

    fn bytes(hex_text: &str) -> Vec<u8> {
        let digits: Vec<char> = hex_text.chars().collect();
        let pair = |p: &[char]| u8::from_str_radix(&p.iter().collect::<String>(), 16).unwrap();
        digits.chunks(2).map(pair).collect()
    }

    #[test]
    fn intel_hex_lines() {
        for line in [
            "10010000214601360121470136007EFE09D2190140",
            "100110002146017E17C20001FF5F16002148011928",
            "10012000194E79234623965778239EDA3F01B2CAA7",
            "100130003F0156702B5E712B722B732146013421C7",
            "00000001FF",
            "0300300002337A1E",
            "020000021200EA",
            "02000004FFFFFC",
            "04000005000000CD2A",
            // A changed byte with a changed check: valid as well.
            "100110002146017EB7C20001FF5F16002148011988",
        ] {
            let all = bytes(line);
            let (last, body) = all.split_last().unwrap();
            let c = check(CheckKind::TwosComplementSum, 8);
            assert_eq!(compute_bytes(&c, body), u64::from(*last), "{line}");
            let mut slip = body.to_vec();
            slip[0] ^= 0x10;
            assert_ne!(compute_bytes(&c, &slip), u64::from(*last), "{line}");
        }
    }

    #[test]
    fn s_record_lines() {
        for line in [
            "S1137AF00A0A0D0000000000000000000000000061",
            "S00F000068656C6C6F202020202000003C",
            "S111003848656C6C6F20776F726C642E0A0042",
            "S5030003F9",
            "S9030000FC",
        ] {
            let all = bytes(&line[2..]);
            let (last, body) = all.split_last().unwrap();
            let c = check(CheckKind::OnesComplementSum, 8);
            assert_eq!(compute_bytes(&c, body), u64::from(*last), "{line}");
        }
    }

    #[test]
    fn complements_add_up() {
        for bits in [8, 16, 32] {
            let sum = compute_bytes(&check(CheckKind::Sum, bits), b"any text at all");
            let twos = compute_bytes(
                &check(CheckKind::TwosComplementSum, bits),
                b"any text at all",
            );
            let ones = compute_bytes(
                &check(CheckKind::OnesComplementSum, bits),
                b"any text at all",
            );
            assert_eq!((sum + twos) & mask(bits), 0);
            assert_eq!(sum + ones, mask(bits));
        }
        // A sum of zero has the complement zero, not 256.
        assert_eq!(
            compute_bytes(&check(CheckKind::TwosComplementSum, 8), &[]),
            0
        );
    }

    #[test]
    fn weighted_sums() {
        let c = Check {
            seed: 7,
            modulus: 484,
            ..check(CheckKind::WeightedSum, 16)
        };
        // 7 + 1*4 + 2*10 + 3*35 = 136.
        assert_eq!(compute_values(&c, &[4, 10, 35]), 136);
        let c = Check {
            weights: vec![3, 1],
            modulus: 10,
            seed: 0,
            ..c
        };
        // 3*9 + 1*8 + 3*7 = 56.
        assert_eq!(compute_values(&c, &[9, 8, 7]), 6);
        // Nothing overflows.
        let c = Check {
            weights: vec![u64::MAX],
            modulus: u64::MAX - 1,
            ..c
        };
        assert_eq!(compute_values(&c, &[u64::MAX, u64::MAX]), 2);
        let c = Check {
            weights: vec![u64::MAX],
            modulus: 0,
            bits: 64,
            ..c
        };
        assert_eq!(compute_values(&c, &[u64::MAX]), 1);
    }

    #[test]
    fn hex_numbers() {
        assert_eq!(hex(""), Some(0));
        assert_eq!(hex("0x1F"), Some(0x1F));
        assert_eq!(hex("0x"), None);
        assert_eq!(hex("+1"), None);
        assert_eq!(hex("12345678123456781"), None);
    }
}
