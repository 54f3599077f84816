//! A quick look at which texts can't have a word.

/// Which pairs of neighbouring bytes a text has, hashed to 512 bits. It may say
/// yes for a pair that is not there, never no for one that is.
#[derive(Clone, Debug, Default)]
pub(super) struct Filter([u64; 8]);

impl Filter {
    pub fn of(text: &str) -> Self {
        let mut filter = Self::default();
        let mut before: Option<u8> = None;
        for byte in text.bytes() {
            if let Some(first) = before {
                let pair =
                    (u32::from(first) << 8 | u32::from(byte)).wrapping_mul(0x9E37_79B1) >> 23;
                let (word, bit) = (pair as usize >> 6, pair & 63);
                if let Some(bits) = filter.0.get_mut(word) {
                    *bits |= 1 << bit;
                }
            }
            before = Some(byte);
        }
        filter
    }

    pub fn join(&mut self, other: &Self) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a |= b;
        }
    }

    pub fn has(&self, all: &Self) -> bool {
        self.0
            .iter()
            .zip(&all.0)
            .all(|(own, wanted)| own & wanted == *wanted)
    }
}
