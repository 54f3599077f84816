//! The model: causes that are there or not, each by itself, and findings that
//! any of them can bring about (a two-layer noisy-OR network).
//!
//! The leak of a finding is *separate* (Diez 1993): a link says how often the
//! finding is seen when this cause is there and nothing else brings it about.

/// Causes and findings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    /// How probable each cause is before anything is known, 0 to 1.
    pub causes: Vec<f64>,
    /// What can be seen.
    pub findings: Vec<Finding>,
}

/// One finding.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Finding {
    /// How often it is seen although none of the causes is there, 0 to 1.
    pub leak: f64,
    /// Causes (places in [`Network::causes`]) that bring it about, each with
    /// how often it does so. A cause stands here once.
    pub links: Vec<(usize, f64)>,
}

/// What is known of a finding: how well the two possibilities agree with what
/// was observed. Only the ratio of the two counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// The finding (a place in [`Network::findings`]).
    pub finding: usize,
    /// How probable the observation is when the finding is there.
    pub if_there: f64,
    /// How probable it is when the finding is not there.
    pub if_not: f64,
    /// How many of the repairs had been made before it was observed.
    pub after: usize,
}

impl Observed {
    /// It was seen, without a doubt.
    pub fn seen(finding: usize) -> Self {
        Self::weak(finding, 1.0, 0.0)
    }

    /// It was looked for and not seen.
    pub fn not_seen(finding: usize) -> Self {
        Self::weak(finding, 0.0, 1.0)
    }

    /// Something that speaks for the one or the other, more or less.
    pub fn weak(finding: usize, if_there: f64, if_not: f64) -> Self {
        Self {
            finding,
            if_there,
            if_not,
            after: 0,
        }
    }

    /// The same, observed after so many repairs.
    pub fn after(self, repairs: usize) -> Self {
        Self {
            after: repairs,
            ..self
        }
    }

    /// Whether it needs a place of its own in the sum: everything but a plain
    /// "not seen".
    fn open(&self) -> bool {
        self.if_there > 0.0
    }
}

impl Finding {
    /// How often this cause brings it about.
    pub fn link(&self, cause: usize) -> f64 {
        let found = self.links.iter().find(|(i, _)| *i == cause);
        found.map_or(0.0, |(_, c)| *c)
    }

    /// How often it is seen when only this cause is there.
    pub fn alone(&self, cause: usize) -> f64 {
        1.0 - (1.0 - self.leak) * (1.0 - self.link(cause))
    }
}

/// The part of the evidence that the sum over combinations runs over, and the
/// rest as one factor for each cause.
pub(crate) struct Split {
    /// Findings with a place of their own.
    pub open: Vec<Observed>,
    /// What the plain "not seen" leave of each cause: for each number of
    /// repairs made before, from none on.
    pub left: Vec<Vec<f64>>,
    /// What they leave of the leaks.
    pub leak: f64,
}

/// Parts the evidence. What names a finding that the network does not have is
/// left out. What was observed after more than `repairs` repairs counts as
/// observed after all of them.
pub(crate) fn split(net: &Network, evidence: &[Observed], repairs: usize) -> Split {
    let mut out = Split {
        open: Vec::new(),
        left: vec![vec![1.0; net.causes.len()]; repairs + 1],
        leak: 1.0,
    };
    for one in evidence {
        let Some(finding) = net.findings.get(one.finding) else {
            continue;
        };
        if one.open() {
            out.open.push(*one);
            continue;
        }
        out.leak *= one.if_not * (1.0 - finding.leak);
        let Some(left) = out.left.get_mut(one.after.min(repairs)) else {
            continue;
        };
        for (cause, c) in &finding.links {
            if let Some(left) = left.get_mut(*cause) {
                *left *= 1.0 - c;
            }
        }
    }
    out
}
