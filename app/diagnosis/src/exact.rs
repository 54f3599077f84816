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

use crate::network::{Network, Observed, split};

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

/// Repairs that were made, one after the other: for each cause how probably it
/// removed that cause, if the cause was there.
pub type Repairs = [Vec<f64>];

/// The posterior.
///
/// After each repair the console was still dead. What was observed before a
/// repair shows causes that the repair may have removed; what was observed
/// after it (see [`Observed::after`]) does not show those that it removed.
/// `None` when the evidence can't be at all: then the book and what was seen
/// contradict each other.
pub fn posterior(net: &Network, evidence: &[Observed], repairs: &Repairs) -> Option<Posterior> {
    let (kept, left_out) = most_telling(net, evidence, MOST_OPEN);
    let mut sum = Sum::default();
    sum.fill(net, &kept, repairs, None);
    let out = sum.run(net)?;
    Some(Posterior { left_out, ..out })
}

/// The same sum over many networks of one shape, with one working space.
#[derive(Default)]
pub(crate) struct Again(Sum);

impl Again {
    /// How probable the causes are. At most [`MOST_OPEN`] findings may be open.
    pub fn causes(
        &mut self,
        net: &Network,
        evidence: &[Observed],
        repairs: &Repairs,
    ) -> Option<Vec<f64>> {
        self.0.fill(net, evidence, repairs, None);
        self.0.run(net).map(|p| p.causes)
    }
}

/// The same with one cause known to be (still) there: its entry is 1. For pairs.
pub fn given(
    net: &Network,
    evidence: &[Observed],
    repairs: &Repairs,
    cause: usize,
) -> Option<Posterior> {
    let (kept, left_out) = most_telling(net, evidence, MOST_OPEN);
    let mut with = net.clone();
    *with.causes.get_mut(cause)? = 1.0;
    let mut sum = Sum::default();
    sum.fill(&with, &kept, repairs, Some(cause));
    let out = sum.run(&with)?;
    Some(Posterior { left_out, ..out })
}

/// How many elementary steps one run takes, so that callers can bound it.
pub fn effort(net: &Network, evidence: &[Observed], repairs: &Repairs) -> f64 {
    let fates = fates_each(net, repairs);
    let (mut open, mut links, mut plain) = (0, 0, 0);
    for one in evidence {
        let Some(finding) = net.findings.get(one.finding) else {
            continue;
        };
        if one.if_there > 0.0 {
            open += 1;
            let each = finding.links.iter().filter_map(|(i, _)| fates.get(*i));
            links += each.sum::<usize>();
        } else {
            plain += finding.links.len();
        }
    }
    let states = 2_f64.powi(open.min(MOST_OPEN) as i32);
    let all: usize = fates.iter().sum();
    states * (2 * links + 4 * all) as f64 + plain as f64
}

/// What may have become of each cause: still there, or removed by one of these
/// repairs.
fn fates_each(net: &Network, repairs: &Repairs) -> Vec<usize> {
    let each = 0..net.causes.len();
    each.map(|i| 1 + repairs.iter().filter(|r| at(r, i) > 0.0).count())
        .collect()
}

/// How many open findings a sum over this network may have after these repairs,
/// so that it stays within [`MOST_STEPS`]: one less than [`MOST_OPEN`] at most, so
/// that the result of a check can be tried on top.
pub fn most_open(net: &Network, repairs: &Repairs) -> usize {
    let fates: usize = fates_each(net, repairs).iter().sum();
    let wide = (6 * fates.max(1)) as f64;
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

/// What may have become of a cause that was there.
#[derive(Clone, Copy)]
struct Fate {
    cause: usize,
    /// How probable that is, with what the plain "not seen" leave of it.
    weight: f64,
    /// Only what was observed after at most so many repairs shows it.
    until: usize,
}

/// One sum, with its working space.
#[derive(Default)]
struct Sum {
    /// Open findings: how many, and the repairs before each.
    after: Vec<usize>,
    /// For each cause and open finding the strength of the link, 0 for none.
    links: Vec<f64>,
    /// For each cause that it is still there.
    still: Vec<Fate>,
    /// That one of the repairs removed it, where one may have; cause by cause.
    removed: Vec<Fate>,
    /// Where those of each cause begin in `removed`.
    begins: Vec<usize>,
    /// How well each set of open findings agrees with what was observed.
    fits: Vec<f64>,
    /// After the leaks alone.
    start: Vec<f64>,
    /// For each place among the causes how well each set agrees, with the causes
    /// from there on to come.
    to_come: Vec<f64>,
    /// The sets so far; the same with nothing left broken; one more.
    all: Vec<f64>,
    whole: Vec<f64>,
    on: Vec<f64>,
    /// A cause that is there for certain.
    sure: Option<usize>,
}

impl Sum {
    fn fill(
        &mut self,
        net: &Network,
        evidence: &[Observed],
        repairs: &Repairs,
        sure: Option<usize>,
    ) {
        let parts = split(net, evidence, repairs.len());
        let bits = parts.open.len();
        let size = 1_usize << bits;
        self.sure = sure;
        self.after.clear();
        self.still.clear();
        self.removed.clear();
        self.begins.clear();
        fill(&mut self.links, net.causes.len() * bits, 0.0);
        fill(&mut self.fits, size, 1.0);
        fill(&mut self.start, size, 0.0);
        if let Some(first) = self.start.first_mut() {
            *first = parts.leak;
        }
        for (bit, one) in parts.open.iter().enumerate() {
            self.after.push(one.after);
            for block in self.fits.chunks_mut(2 << bit) {
                let (off, on) = block.split_at_mut(1 << bit);
                scale(off, one.if_not);
                scale(on, one.if_there);
            }
            let Some(finding) = net.findings.get(one.finding) else {
                continue;
            };
            turn_on(&mut self.start, bit, finding.leak);
            for (cause, c) in &finding.links {
                if let Some(link) = self.links.get_mut(cause * bits + bit) {
                    *link = *c;
                }
            }
        }
        for cause in 0..net.causes.len() {
            let repairs = if sure == Some(cause) { &[] } else { repairs };
            self.fates(&parts.left, repairs, cause);
        }
    }

    /// The fates of a cause: still there, which all findings show, or removed by
    /// one of the repairs, which only those before it show.
    fn fates(&mut self, left: &[Vec<f64>], repairs: &Repairs, cause: usize) {
        self.begins.push(self.removed.len());
        let (mut chance, mut not_seen) = (1.0, 1.0);
        for (repair, left) in left.iter().enumerate() {
            not_seen *= at(left, cause);
            let removed = repairs.get(repair).map_or(0.0, |r| at(r, cause));
            if removed > 0.0 {
                self.removed.push(Fate {
                    cause,
                    weight: chance * removed * not_seen,
                    until: repair,
                });
                chance *= 1.0 - removed;
            }
        }
        self.still.push(Fate {
            cause,
            weight: chance * not_seen,
            until: usize::MAX,
        });
    }

    /// All causes at once: backwards first, kept for each place, then forwards.
    fn run(&mut self, net: &Network) -> Option<Posterior> {
        let n = net.causes.len();
        let size = self.fits.len();
        let mut space = std::mem::take(&mut self.to_come);
        let [mut all, mut whole, mut on] =
            [&mut self.all, &mut self.whole, &mut self.on].map(std::mem::take);
        for sets in [&mut all, &mut whole, &mut on] {
            sets.clone_from(&self.start);
        }
        fill(&mut space, size * (n + 1), 0.0);
        if let Some(last) = space.get_mut(size * n..) {
            last.copy_from_slice(&self.fits);
        }
        for (still, p) in self.still.iter().zip(&net.causes).rev() {
            let (before, off) = space.split_at_mut(size * (still.cause + 1));
            let rest = before.get_mut(size * still.cause..).unwrap_or_default();
            let off = off.get(..size).unwrap_or_default();
            put(rest, off, 1.0 - p);
            for fate in self.fates_of(still) {
                on.copy_from_slice(off);
                self.ahead(&mut on, fate);
                add(rest, &on, p * fate.weight);
            }
        }
        // Forwards: all, and those in which nothing is left broken.
        let (mut likelihood, mut causes) = (0.0, vec![0.0; n]);
        let evidence = dot(&self.start, &space);
        // Without repairs "something is broken" is everything but "nothing is";
        // that difference is good unless nearly all of it is "nothing".
        let none =
            dot(&self.start, &self.fits) * net.causes.iter().map(|p| 1.0 - p).product::<f64>();
        let direct = self.removed.is_empty() && none < 0.999_99 * evidence;
        if direct {
            likelihood = evidence - none;
        }
        for ((still, p), out) in self.still.iter().zip(&net.causes).zip(&mut causes) {
            let to_come = space.get(size * (still.cause + 1)..).unwrap_or_default();
            *out = self.take_in(still, *p, &mut all, &mut on, to_come, true);
            if !direct {
                likelihood += self.take_in(still, *p, &mut whole, &mut on, to_come, false);
            }
        }
        (self.to_come, self.all, self.whole, self.on) = (space, all, whole, on);
        if let Some(one) = self.sure {
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

    /// Takes one cause with its probability into the sets. Gives how probable it
    /// is that it is still there and all agrees with what was observed; whether
    /// that part goes on in the sets says `with_it`.
    fn take_in(
        &self,
        still: &Fate,
        p: f64,
        sets: &mut [f64],
        on: &mut [f64],
        to_come: &[f64],
        with_it: bool,
    ) -> f64 {
        on.copy_from_slice(sets);
        self.spread(on, still);
        let weight = p * still.weight;
        let here = weight * dot(on, to_come);
        let went_on = if with_it { weight } else { 0.0 };
        if self.removed_of(still).next().is_none() {
            scale(sets, 1.0 - p);
            add(sets, on, went_on);
            return here;
        }
        let before = sets.to_vec();
        scale(sets, 1.0 - p);
        add(sets, on, went_on);
        for fate in self.removed_of(still) {
            on.copy_from_slice(&before);
            self.spread(on, fate);
            add(sets, on, p * fate.weight);
        }
        here
    }

    fn removed_of<'s>(&'s self, still: &'s Fate) -> impl Iterator<Item = &'s Fate> {
        let from = self.begins.get(still.cause).copied().unwrap_or_default();
        let own = self.removed.iter().skip(from);
        own.take_while(|f| f.cause == still.cause)
    }

    fn fates_of<'s>(&'s self, still: &'s Fate) -> impl Iterator<Item = &'s Fate> {
        std::iter::once(still).chain(self.removed_of(still))
    }

    /// The open findings that a fate may have brought about: bit, strength.
    fn shown<'s>(&'s self, fate: &'s Fate) -> impl Iterator<Item = (usize, f64)> {
        let bits = self.after.len();
        let links = self.links.iter().skip(fate.cause * bits).zip(&self.after);
        let shown = links.take(bits).enumerate();
        shown
            .filter_map(|(bit, (c, after))| (*c > 0.0 && *after <= fate.until).then_some((bit, *c)))
    }

    /// What a cause that was there brings about.
    fn spread(&self, sets: &mut [f64], fate: &Fate) {
        for (bit, c) in self.shown(fate) {
            turn_on(sets, bit, c);
        }
    }

    /// The same looked at from the end.
    fn ahead(&self, sets: &mut [f64], fate: &Fate) {
        for (bit, c) in self.shown(fate) {
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

fn fill(list: &mut Vec<f64>, size: usize, with: f64) {
    list.clear();
    list.resize(size, with);
}

fn put(sets: &mut [f64], from: &[f64], weight: f64) {
    for (set, from) in sets.iter_mut().zip(from) {
        *set = weight * from;
    }
}

fn scale(sets: &mut [f64], weight: f64) {
    for set in sets {
        *set *= weight;
    }
}

fn add(sets: &mut [f64], more: &[f64], weight: f64) {
    for (set, more) in sets.iter_mut().zip(more) {
        *set += weight * more;
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn at(list: &[f64], i: usize) -> f64 {
    list.get(i).copied().unwrap_or_default()
}
