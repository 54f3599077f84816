//! How often something happens, in the few words that a code book uses.
//!
//! A person can say "mostly"; nobody can say "0.73". Each word stands for a
//! share and for how sure one can be of it, as if so many consoles had been
//! counted. The shares are our choice and are shown wherever they are used.

/// How often something happens.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Often {
    /// The share, 0 to 1.
    pub share: f64,
    /// As if so many consoles had been counted; infinite for `never` and
    /// `always`, which leave no doubt.
    pub counted: f64,
}

/// As many consoles as a word counts for.
pub const WORD: f64 = 10.0;

/// The words, from never to always, each with its share. `never` and `always`
/// are meant as said: use them for what can't be otherwise.
pub const WORDS: [(&str, f64); 6] = [
    ("never", 0.0),
    ("rarely", 0.05),
    ("sometimes", 0.3),
    ("mostly", 0.7),
    ("nearly always", 0.95),
    ("always", 1.0),
];

/// Most consoles in a count.
pub const MOST: u32 = 100_000;

impl Often {
    /// Reads a word, or a count such as `7 of 12`. `None` for anything else.
    ///
    /// A count of all or of none leaves a doubt that gets smaller with the
    /// count: half a case is put on either side (the prior of Jeffreys).
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some((_, share)) = WORDS.iter().find(|(word, _)| *word == text) {
            let sure = *share == 0.0 || *share == 1.0;
            let counted = if sure { f64::INFINITY } else { WORD };
            return Some(Self {
                share: *share,
                counted,
            });
        }
        let (cases, of) = text.split_once(" of ")?;
        let number = |s: &str| s.trim().parse::<u32>().ok().filter(|n| *n <= MOST);
        let (cases, of) = (number(cases)?, number(of)?);
        (cases <= of && of > 0).then(|| Self::count(cases, of))
    }

    /// So many of so many.
    pub fn count(cases: u32, of: u32) -> Self {
        let counted = f64::from(of) + 1.0;
        Self {
            share: (f64::from(cases) + 0.5) / counted,
            counted,
        }
    }

    /// The word whose share is nearest, for a share that has no word.
    pub fn word(share: f64) -> &'static str {
        let near = |a: f64| (a - share).abs();
        let mut best = ("sometimes", 2.0);
        for (word, at) in WORDS {
            let exact = at == 0.0 || at == 1.0;
            if near(at) < best.1 && (!exact || near(at) < 0.005) {
                best = (word, near(at));
            }
        }
        best.0
    }
}
