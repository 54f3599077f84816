//! Exact inference in the network.
//!
//! The usual way for such networks (Quickscore, Heckerman 1989) adds and
//! subtracts one product for each set of positive findings. With many of them
//! the digits cancel. Here the same sum is taken the other way round: the state
//! is the set of open findings that something has brought about so far, and
//! the causes are gone through one after the other. All terms are positive, so
//! nothing cancels; time grows as 2 to the power of the open findings, times
//! the links. The tests hold it against Quickscore, against counting through
//! all combinations and against a general-purpose library.

use crate::network::{Network, Observed, Split, split};

/// Most open findings (seen, or weak) that are summed over exactly.
pub const MOST_OPEN: usize = 14;
/// Elementary steps that one sum may take. In a large book fewer findings are
/// open for it.
pub const MOST_STEPS: f64 = 2e6;

/// How probable the causes are, given that at least one is (still) there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Posterior {
    /// How probable the evidence is together with at least one cause that is
    /// still there. 0 when the evidence can't be.
    pub likelihood: f64,
    /// How probable the evidence is whether or not anything is broken.
    pub evidence: f64,
    /// How probable each cause is, given the evidence and that something is
    /// broken.
    pub causes: Vec<f64>,
    /// Evidence (places in the list given) left out because more than
    /// [`MOST_OPEN`] findings were open: the ones that tell least.
    pub left_out: Vec<usize>,
}

/// The posterior.
///
/// `mended` says for each cause how probably the repairs already made have
/// removed it (0 without any). What was observed was observed before them, and
/// the console is still dead. `None` when the evidence can't be at all: then
/// the book and what was seen contradict each other.
pub fn posterior(net: &Network, evidence: &[Observed], mended: &[f64]) -> Option<Posterior> {
    let (kept, left_out) = most_telling(net, evidence, MOST_OPEN);
    let parts = split(net, &kept);
    let sum = Sum::new(net, parts);
    let out = sum.run(net, mended, None)?;
    Some(Posterior { left_out, ..out })
}

/// The same with one cause known to be there: its entry is 1. For pairs.
pub fn given(net: &Network, evidence: &[Observed], cause: usize) -> Option<Posterior> {
    let (kept, left_out) = most_telling(net, evidence, MOST_OPEN);
    let mut with = net.clone();
    *with.causes.get_mut(cause)? = 1.0;
    let sum = Sum::new(&with, split(&with, &kept));
    let out = sum.run(&with, &[], Some(cause))?;
    Some(Posterior { left_out, ..out })
}

/// How many elementary steps one run takes, so that callers can bound it.
pub fn effort(net: &Network, evidence: &[Observed]) -> f64 {
    let open: Vec<&Observed> = evidence.iter().filter(|o| o.if_there > 0.0).collect();
    let links: usize = open
        .iter()
        .filter_map(|o| net.findings.get(o.finding))
        .map(|f| f.links.len())
        .sum();
    let states = 2_f64.powi(open.len().min(MOST_OPEN) as i32);
    states * (2 * links + 4 * net.causes.len()) as f64
}

/// How many open findings a sum over this network may have, so that it stays
/// within [`MOST_STEPS`]: one less than [`MOST_OPEN`] at most, so that the result
/// of a check can be tried on top.
pub fn most_open(net: &Network) -> usize {
    let wide = (6 * net.causes.len().max(1)) as f64;
    let open = (MOST_STEPS / wide).log2().floor();
    (open.max(1.0) as usize).min(MOST_OPEN - 1)
}

/// Keeps at most so many open findings, those that set causes apart most; the
/// others as places in the list.
pub fn most_telling(
    net: &Network,
    evidence: &[Observed],
    most: usize,
) -> (Vec<Observed>, Vec<usize>) {
    let mut open: Vec<(usize, f64)> = Vec::new();
    for (at, one) in evidence.iter().enumerate() {
        if one.if_there > 0.0 {
            open.push((at, telling(net, one)));
        }
    }
    if open.len() <= most {
        return (evidence.to_vec(), Vec::new());
    }
    reading::sorted::sort_by(&mut open, |a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut left_out: Vec<usize> = open.iter().skip(most).map(|(at, _)| *at).collect();
    reading::sorted::sort_by(&mut left_out, Ord::cmp);
    let kept = evidence.iter().enumerate();
    let kept = kept.filter(|(at, _)| left_out.binary_search(at).is_err());
    (kept.map(|(_, o)| *o).collect(), left_out)
}

/// How far an observation sets the causes apart when only one is there: the
/// largest ratio, as a logarithm.
fn telling(net: &Network, one: &Observed) -> f64 {
    let Some(finding) = net.findings.get(one.finding) else {
        return 0.0;
    };
    let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
    for cause in 0..net.causes.len() {
        let p = finding.alone(cause);
        let fits = p * one.if_there + (1.0 - p) * one.if_not;
        low = low.min(fits);
        high = high.max(fits);
    }
    (high.max(1e-12) / low.max(1e-12)).ln()
}

/// One sum, with its working space.
struct Sum {
    parts: Split,
    /// For each cause its open findings: bit, strength.
    links: Vec<Vec<(usize, f64)>>,
    /// How well each set of open findings agrees with what was observed.
    fits: Vec<f64>,
    /// After the leaks alone.
    start: Vec<f64>,
}

impl Sum {
    fn new(net: &Network, parts: Split) -> Self {
        let bits = parts.open.len();
        let size = 1_usize << bits;
        let mut links = vec![Vec::new(); net.causes.len()];
        let mut fits = vec![1.0; size];
        let mut start = vec![0.0; size];
        if let Some(first) = start.first_mut() {
            *first = parts.leak;
        }
        for (bit, one) in parts.open.iter().enumerate() {
            let mask = 1 << bit;
            for (set, fit) in fits.iter_mut().enumerate() {
                *fit *= if set & mask == 0 {
                    one.if_not
                } else {
                    one.if_there
                };
            }
            let Some(finding) = net.findings.get(one.finding) else {
                continue;
            };
            turn_on(&mut start, bit, finding.leak);
            for (cause, c) in &finding.links {
                if let Some(list) = links.get_mut(*cause)
                    && *c > 0.0
                {
                    list.push((bit, *c));
                }
            }
        }
        Self {
            parts,
            links,
            fits,
            start,
        }
    }

    /// All causes at once: backwards first, kept for each place, then forwards.
    /// `sure` is a cause that is there for certain.
    fn run(&self, net: &Network, mended: &[f64], sure: Option<usize>) -> Option<Posterior> {
        let n = net.causes.len();
        let size = self.fits.len();
        // after[i]: how well each set agrees, with the causes from i on to come.
        let mut after = vec![0.0; size * (n + 1)];
        put(&mut after, n, size, &self.fits);
        let mut with = vec![0.0; size];
        for i in (0..n).rev() {
            with.copy_from_slice(row(&after, i + 1, size));
            self.ahead(&mut with, i);
            let (p, left) = (at(&net.causes, i), at(&self.parts.left, i));
            let rest: Vec<f64> = with
                .iter()
                .zip(row(&after, i + 1, size))
                .map(|(on, off)| p * left * on + (1.0 - p) * off)
                .collect();
            put(&mut after, i, size, &rest);
        }
        // Forwards: all, and those in which nothing is left broken.
        let mut all = self.start.clone();
        let mut whole = self.start.clone();
        let mut on = vec![0.0; size];
        let (mut likelihood, mut causes) = (0.0, vec![0.0; n]);
        let evidence = dot(&self.start, row(&after, 0, size));
        // Without repairs "something is broken" is everything but "nothing is";
        // that difference is good unless nearly all of it is "nothing".
        let none =
            dot(&self.start, &self.fits) * net.causes.iter().map(|p| 1.0 - p).product::<f64>();
        let direct = mended.is_empty() && none < 0.999_99 * evidence;
        if direct {
            likelihood = evidence - none;
        }
        for i in 0..n {
            let (p, left) = (at(&net.causes, i), at(&self.parts.left, i));
            let kept = 1.0 - at(mended, i);
            on.copy_from_slice(&all);
            self.spread(&mut on, i);
            let here = p * left * dot(&on, row(&after, i + 1, size));
            if let Some(cause) = causes.get_mut(i) {
                *cause = kept * here;
            }
            mix(&mut all, &on, p * left, 1.0 - p);
            if direct {
                continue;
            }
            on.copy_from_slice(&whole);
            self.spread(&mut on, i);
            likelihood += p * left * kept * dot(&on, row(&after, i + 1, size));
            mix(&mut whole, &on, p * left * (1.0 - kept), 1.0 - p);
        }
        if let Some(one) = sure {
            likelihood = at(&causes, one);
        }
        if likelihood.is_nan() || likelihood <= 0.0 {
            return None;
        }
        for cause in &mut causes {
            *cause = (*cause / likelihood).clamp(0.0, 1.0);
        }
        Some(Posterior {
            likelihood,
            evidence,
            causes,
            left_out: Vec::new(),
        })
    }

    /// What a cause that is there brings about.
    fn spread(&self, sets: &mut [f64], cause: usize) {
        for (bit, c) in self.links.get(cause).into_iter().flatten() {
            turn_on(sets, *bit, *c);
        }
    }

    /// The same looked at from the end.
    fn ahead(&self, sets: &mut [f64], cause: usize) {
        for (bit, c) in self.links.get(cause).into_iter().flatten() {
            let mask = 1_usize << bit;
            for block in sets.chunks_mut(mask << 1) {
                let (off, on) = block.split_at_mut(mask);
                for (off, on) in off.iter_mut().zip(on) {
                    *off = (1.0 - c) * *off + c * *on;
                }
            }
        }
    }
}

/// Moves this share of what has the bit off to where it is on.
fn turn_on(sets: &mut [f64], bit: usize, share: f64) {
    let mask = 1_usize << bit;
    for block in sets.chunks_mut(mask << 1) {
        let (off, on) = block.split_at_mut(mask);
        for (off, on) in off.iter_mut().zip(on) {
            *on += share * *off;
            *off *= 1.0 - share;
        }
    }
}

fn mix(sets: &mut [f64], on: &[f64], there: f64, not: f64) {
    for (set, on) in sets.iter_mut().zip(on) {
        *set = there * on + not * *set;
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn at(list: &[f64], i: usize) -> f64 {
    list.get(i).copied().unwrap_or_default()
}

fn row(rows: &[f64], i: usize, size: usize) -> &[f64] {
    rows.get(i * size..(i + 1) * size).unwrap_or_default()
}

fn put(rows: &mut [f64], i: usize, size: usize, from: &[f64]) {
    if let Some(to) = rows.get_mut(i * size..(i + 1) * size) {
        to.copy_from_slice(from);
    }
}
