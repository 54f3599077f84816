//! Whether the diagnoses of closed jobs were right.

use crate::frozen::Frozen;
use crate::proportion::{Z90, wilson};

/// With fewer jobs in a band nothing is said about it: the suspects of one job
/// are not trials of their own.
pub const ENOUGH: u32 = 10;

/// The bands of probability.
pub const BANDS: [(f64, f64); 5] = [(0.0, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.0)];

/// One band: of the suspects called so probable, how many it was.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Band {
    /// Suspects that were called so probable.
    pub called: u32,
    /// Jobs that these suspects are of.
    pub jobs: u32,
    /// Of these, the ones it was.
    pub right: u32,
    /// Mean of what was said.
    pub said: f64,
    /// Wilson's 90 % range of the share that was right; nothing for none.
    pub range: Option<(f64, f64)>,
    /// Whether there are enough to say anything.
    pub enough: bool,
}

/// Counts the bands over closed jobs: what was frozen last, and the causes that
/// were found.
pub fn bands(jobs: &[(Frozen, Vec<String>)]) -> [Band; 5] {
    let mut out = [Band::default(); 5];
    for (frozen, causes) in jobs {
        let mut here = [false; 5];
        for suspect in &frozen.suspects {
            let at = BANDS.iter().position(|(_, up)| suspect.now < *up);
            let at = at.unwrap_or(BANDS.len() - 1);
            let Some(band) = out.get_mut(at) else {
                continue;
            };
            let it = if suspect.id.is_empty() {
                causes
                    .iter()
                    .any(|c| frozen.suspects.iter().all(|s| s.id != *c))
            } else {
                causes.contains(&suspect.id)
            };
            band.said += suspect.now;
            band.called += 1;
            if let Some(here) = here.get_mut(at) {
                *here = true;
            }
            band.right += u32::from(it);
        }
        for (band, here) in out.iter_mut().zip(here) {
            band.jobs += u32::from(here);
        }
    }
    for band in &mut out {
        band.said /= f64::from(band.called.max(1));
        band.range = wilson(band.right, band.called, Z90);
        band.enough = band.jobs >= ENOUGH;
    }
    out
}
