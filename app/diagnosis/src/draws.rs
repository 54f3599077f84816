//! Draws for the ranges: shares and strengths drawn anew, as far as they are in
//! doubt.

use crate::model::{Model, scaled};
use crate::network::Network;
use crate::prior::Priors;
use crate::random::Random;
use codebook::often::Often;
use std::cell::RefCell;
use std::rc::Rc;

/// Draws for the ranges.
pub const DRAWS: usize = 300;
/// The seed of the draws: the same question gives the same range.
const SEED: u64 = 20_261_125;

/// Different words and counts that are drawn; what a book has beyond that stays
/// as it is said.
const MOST_WORDS: usize = 300;

/// A word or a count, and what was drawn for it.
type Word = (Often, Rc<Vec<f64>>);

/// What is drawn for one priors. It is the same for every question with them, so
/// it is drawn once.
///
/// A book has few different words and counts, and many links: for each word
/// [`DRAWS`] values are drawn when it is first met, and each link takes one of
/// them.
#[derive(Clone, Debug)]
pub struct Draws {
    /// The shares of the causes, one row a draw.
    shares: Vec<Vec<f64>>,
    words: RefCell<Vec<Word>>,
}

impl Draws {
    /// Draws the shares.
    pub fn new(priors: &Priors) -> Self {
        let mut random = Random::new(SEED);
        Self {
            shares: (0..DRAWS).map(|_| priors.draw(&mut random)).collect(),
            words: RefCell::default(),
        }
    }

    /// The values of a word; nothing when there are too many different ones.
    fn word(&self, often: &Often) -> Option<Rc<Vec<f64>>> {
        let mut words = self.words.borrow_mut();
        if let Some((_, values)) = words.iter().find(|(o, _)| o == often) {
            return Some(values.clone());
        }
        if words.len() >= MOST_WORDS {
            return None;
        }
        // The same values whichever word is met first.
        let mut random = Random::new(SEED ^ often.share.to_bits() ^ often.counted.to_bits());
        let values = (0..DRAWS).map(|_| self::often(often, &mut random));
        let values = Rc::new(values.collect::<Vec<f64>>());
        words.push((*often, values.clone()));
        Some(values)
    }
}

/// A network whose shares and strengths are drawn anew, again and again.
pub(crate) struct Redrawn<'d> {
    /// The network as it was drawn last.
    pub network: Network,
    draws: &'d Draws,
    /// Finding, place among its links, values to take one of.
    links: Vec<(usize, usize, Rc<Vec<f64>>)>,
    random: Random,
}

impl<'d> Redrawn<'d> {
    /// Only the links of these findings are drawn; the network has the first
    /// `most` findings of the model's.
    pub fn new(model: &Model, most: usize, findings: &[usize], draws: &'d Draws) -> Self {
        let mut links = Vec::new();
        for finding in findings {
            let said = model.said.get(*finding).into_iter().flatten().enumerate();
            for (link, (_, often, _)) in said.filter(|(_, l)| in_doubt(&l.1)) {
                links.extend(draws.word(often).map(|values| (*finding, link, values)));
            }
        }
        let own = model.network.findings.iter().take(most);
        Self {
            network: Network {
                causes: model.network.causes.clone(),
                findings: own.cloned().collect(),
            },
            draws,
            links,
            random: Random::new(!SEED),
        }
    }

    /// Draws everything anew, with this row of the shares.
    pub fn draw(&mut self, nth: usize) {
        if let Some(row) = self.draws.shares.get(nth) {
            self.network.causes = scaled(row);
        }
        for (finding, link, values) in &self.links {
            let at = (self.random.even() * values.len() as f64) as usize;
            let finding = self.network.findings.get_mut(*finding);
            let link = finding.and_then(|f| f.links.get_mut(*link));
            if let (Some((_, c)), Some(value)) = (link, values.get(at)) {
                *c = *value;
            }
        }
    }
}

/// Whether a share said by a word or a count is in doubt.
fn in_doubt(often: &Often) -> bool {
    often.counted.is_finite() && often.counted > 0.0 && often.share > 0.0 && often.share < 1.0
}

/// One draw of a share that is said by a word or a count.
pub(crate) fn often(often: &Often, random: &mut Random) -> f64 {
    if in_doubt(often) {
        let (a, b) = (
            often.share * often.counted,
            (1.0 - often.share) * often.counted,
        );
        random.beta(a, b)
    } else {
        often.share
    }
}
