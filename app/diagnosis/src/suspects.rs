//! The suspects: how probable each is, how surely that is known, and why.

use crate::draws::{DRAWS, Draws, Redrawn};
use crate::exact::{self, most_open};
use crate::facts::{Facts, Noticed, likely};
use crate::key::Key;
use crate::model::{Basis, Model, model};
use crate::network::Observed;
use crate::next::{applies, reached};
use crate::plain::{decibans, odds};
use crate::prior::Priors;
use crate::rules::CLEARLY;
use codebook::model::{BenchCheck, CodeBook};
use codebook::often::{Often, WORDS};
use std::collections::BTreeSet;

/// Elementary steps that all draws together may take.
const EFFORT: f64 = 4e7;
/// With fewer draws no range is given.
const FEWEST: usize = 40;
/// A suspect leads together with the first when it is at least so probable in
/// comparison.
const NEAR: f64 = 0.6;
/// A finding was plainly seen when what was observed fits "not there" so little
/// in comparison.
const PLAINLY: f64 = 0.06;
/// A suspect hardly brings a finding about when it does so less often.
const HARDLY: f64 = 0.05;
/// Two suspects look the same when the evidence tells them apart by less.
const ALIKE_DB: f64 = 3.0;

/// A result that only one of two causes can give tells them apart as if the
/// other gave it this often.
const SURE_APART: f64 = 1e-3;
/// Another suspect is told of when it is at least so probable.
const ALSO: f64 = 0.1;

/// What is asked.
pub struct Question<'a> {
    /// The code book.
    pub book: &'a CodeBook,
    /// The board revision; may be empty.
    pub board: &'a str,
    /// The priors for the board.
    pub priors: &'a Priors,
    /// What was noticed.
    pub facts: &'a Facts,
}

/// The answer.
#[derive(Clone, Debug, Default)]
pub struct Answer {
    /// The network that it was worked out with.
    pub model: Model,
    /// What was noticed, as places in the network.
    pub evidence: Vec<Observed>,
    /// For each repair made, how probably it has removed each cause.
    pub(crate) repairs: Vec<Vec<f64>>,
    /// All suspects, the most probable first. "None of these" is among them.
    pub suspects: Vec<Suspect>,
    /// Findings (places in `facts.noticed`) that were left out of the sum as
    /// there were too many.
    pub left_out: Vec<usize>,
    /// How many draws the ranges come from; 0 before [`Answer::ranges`].
    pub draws: usize,
    /// What was noticed can't be, by the book's "never" and "always".
    pub contradicts: bool,
}

/// One suspect.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Suspect {
    /// Its place in the model.
    pub at: usize,
    /// The cause in the book; nothing for "none of these".
    pub cause: Option<usize>,
    /// How probable it is on this board before anything is known.
    pub base: f64,
    /// How probable it is now.
    pub now: f64,
    /// 90 % of the draws lie between these two.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// What a reason is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A finding (a place in `facts.noticed`).
    Noticed(usize),
    /// A repair that did not help (a place in `facts.repairs`).
    Repair(usize),
}

/// What one finding, or one repair that did not help, does to one suspect.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// What it is about.
    pub of: Of,
    /// Its weight in decibans: for it above 0.
    pub weight: f64,
    /// How probable the suspect would be without it.
    pub without: f64,
    /// What the book says about the two; nothing when it does not link them.
    pub link: Option<(Often, Basis)>,
}

/// Another suspect that the evidence hardly tells from the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Alike {
    /// The other one (a place in the model).
    pub at: usize,
    /// Whether the evidence hardly tells the two apart when each is alone.
    pub same: bool,
    /// The check that tells them apart best, a place in the book's `checks`,
    /// and by how many decibans on average.
    pub check: Option<(usize, f64)>,
}

/// Weighs the suspects. The ranges are left to [`Answer::ranges`].
pub fn answer(question: &Question) -> Answer {
    let Question {
        book,
        priors,
        facts,
        ..
    } = question;
    let mut keys: Vec<Key> = facts.noticed.iter().map(|n| n.key.clone()).collect();
    let known: BTreeSet<Key> = keys.iter().cloned().collect();
    for check in &book.checks {
        for result in &check.results {
            let key = Key::Check(check.id.clone(), result.id.clone());
            if !known.contains(&key) {
                keys.push(key);
            }
        }
    }
    let model = model(book, priors, keys);
    // Chosen once: every sum of this answer is over the same findings.
    let all = observed(&facts.noticed);
    let repairs = repaired(book, &model, &facts.repairs);
    let most = most_open(&model.network, &repairs);
    let (evidence, left_out) = exact::most_telling(&model.network, &all, most);
    let base = base(&model);
    let now = exact::posterior(&model.network, &evidence, &repairs);
    let contradicts = now.is_none();
    let now = now.map_or_else(|| base.clone(), |p| p.causes);
    let each = now.iter().zip(&base).enumerate();
    let mut suspects: Vec<Suspect> = each
        .map(|(at, (now, base))| Suspect {
            at,
            cause: model.causes.get(at).copied(),
            base: *base,
            now: *now,
            low: *now,
            high: *now,
        })
        .collect();
    reading::sorted::sort_by(&mut suspects, |a, b| {
        b.now.total_cmp(&a.now).then(a.at.cmp(&b.at))
    });
    Answer {
        model,
        evidence,
        repairs,
        suspects,
        left_out,
        draws: 0,
        contradicts,
    }
}

/// Each thing noticed, as evidence about the finding of the same number.
fn observed(noticed: &[Noticed]) -> Vec<Observed> {
    let each = noticed.iter().enumerate();
    each.map(|(i, n)| Observed::weak(i, n.if_there, n.if_not).after(n.after))
        .collect()
}

/// For each repair made, how probably it has removed each cause.
fn repaired(book: &CodeBook, model: &Model, repairs: &[String]) -> Vec<Vec<f64>> {
    let each = repairs.iter().map(|repair| {
        let share = mends(book, repair);
        let of = |cause: &usize| {
            let cause = book.causes.get(*cause);
            let for_it = cause.is_some_and(|c| c.repairs.contains(repair));
            if for_it { share } else { 0.0 }
        };
        model.causes.iter().map(of).collect()
    });
    each.collect()
}

/// How often a repair mends a cause that it is for.
pub fn mends(book: &CodeBook, repair: &str) -> f64 {
    let found = book.repairs.iter().find(|r| r.id == repair);
    let said = found.and_then(|r| Often::parse(&r.mends));
    // "nearly always", where the book is silent.
    said.map_or(WORDS[4].1, |o| o.share)
}

/// How probable each cause is when nothing is known but that something is
/// broken.
fn base(model: &Model) -> Vec<f64> {
    let none = exact::posterior(&model.network, &[], &[]);
    none.map(|p| p.causes)
        .unwrap_or_else(|| vec![0.0; model.network.causes.len()])
}

/// The weight of a finding: how it changes the odds. Nothing where both are
/// certain.
fn weight_of(now: f64, without: f64) -> f64 {
    let db = decibans(odds(now) / odds(without));
    if db.is_nan() { 0.0 } else { db }
}

impl Answer {
    /// Works out the ranges by drawing shares and strengths anew, as far as
    /// they are in doubt. `drawn` are those of the question's priors. Fewer than
    /// [`DRAWS`] when the sum is long.
    pub fn ranges(&mut self, question: &Question, drawn: &Draws) {
        if self.contradicts {
            return;
        }
        let repairs = &self.repairs;
        let effort = exact::effort(&self.model.network, &self.evidence, repairs).max(1.0);
        let draws = ((EFFORT / effort) as usize).min(DRAWS);
        if draws < FEWEST {
            return;
        }
        // Only what was noticed; the results of checks still to come are of no
        // use here.
        let noticed = question.facts.noticed.len();
        let findings: Vec<usize> = self.evidence.iter().map(|o| o.finding).collect();
        let mut redrawn = Redrawn::new(&self.model, noticed, &findings, drawn);
        let mut sum = exact::Again::default();
        let mut all: Vec<Vec<f64>> = vec![Vec::with_capacity(draws); self.suspects.len()];
        for nth in 0..draws {
            redrawn.draw(nth);
            let Some(causes) = sum.causes(&redrawn.network, &self.evidence, repairs) else {
                continue;
            };
            for (list, p) in all.iter_mut().zip(&causes) {
                list.push(*p);
            }
        }
        for row in &mut self.suspects {
            let Some(list) = all.get_mut(row.at) else {
                continue;
            };
            let n = list.len();
            let mut at = |share: f64| {
                let place = ((share * n as f64) as usize).min(n.saturating_sub(1));
                (n > 0).then(|| *list.select_nth_unstable_by(place, f64::total_cmp).1)
            };
            // The middle of all draws can lie beside the answer itself; a range
            // that leaves the answer out would only confuse.
            row.low = at(0.05).unwrap_or(row.now).min(row.now);
            row.high = at(0.95).unwrap_or(row.now).max(row.now);
        }
        self.draws = draws;
    }

    /// Pairs that are both (still) there with at least 2 %: places in the model,
    /// probability.
    pub fn pairs(&self) -> Vec<(usize, usize, f64)> {
        let repairs = &self.repairs;
        let mut out = Vec::new();
        let some = self.suspects.iter().filter(|s| s.now >= 0.02);
        let top: Vec<&Suspect> = some.take(6).collect();
        for (i, a) in top.iter().enumerate() {
            let with = exact::given(&self.model.network, &self.evidence, repairs, a.at);
            let with = with.map(|p| p.causes).unwrap_or_default();
            for b in top.iter().skip(i + 1) {
                let both = a.now * with.get(b.at).copied().unwrap_or_default();
                if both >= 0.02 {
                    out.push((a.at, b.at, both));
                }
            }
        }
        reading::sorted::sort_by(&mut out, |a, b| b.2.total_cmp(&a.2));
        out
    }

    /// Why a suspect is where it is: the weight of each finding and of each repair
    /// that did not help, the heaviest first. The weight is what would change if
    /// it were not known.
    pub fn reasons(&self, at: usize) -> Vec<Reason> {
        let repairs = &self.repairs;
        let now = self.suspects.iter().find(|s| s.at == at);
        let now = now.map(|s| s.now).unwrap_or_default();
        let mut out = Vec::new();
        if self.contradicts {
            return out;
        }
        let reason = |of, evidence: &[Observed], repairs: &[Vec<f64>], link| {
            let without = exact::posterior(&self.model.network, evidence, repairs);
            let without = without.and_then(|p| p.causes.get(at).copied());
            let without = without.unwrap_or_default();
            let weight = weight_of(now, without);
            Reason {
                of,
                weight,
                without,
                link,
            }
        };
        for (place, one) in self.evidence.iter().enumerate() {
            let mut rest = self.evidence.clone();
            rest.remove(place);
            let said = self.model.said.get(one.finding).into_iter().flatten();
            let link = said.clone().find(|(i, _, _)| *i == at);
            let link = link.map(|(_, often, basis)| (*often, *basis));
            out.push(reason(Of::Noticed(one.finding), &rest, repairs, link));
        }
        for place in 0..repairs.len() {
            let mut rest = repairs.clone();
            rest.remove(place);
            let earlier = |o: &Observed| o.after(o.after - usize::from(o.after > place));
            let evidence: Vec<Observed> = self.evidence.iter().map(earlier).collect();
            out.push(reason(Of::Repair(place), &evidence, &rest, None));
        }
        reading::sorted::sort_by(&mut out, |a, b| b.weight.abs().total_cmp(&a.weight.abs()));
        out
    }

    /// Findings that were seen although the suspects that lead hardly bring them
    /// about: places in `facts.noticed`, each with the suspects that show it
    /// clearly (places in the model), the most probable first.
    pub fn unexplained(&self, facts: &Facts) -> Vec<(usize, Vec<usize>)> {
        let now = self.suspects.iter();
        let lead = |s: &&Suspect| self.suspects.first().is_some_and(|f| s.now >= f.now * NEAR);
        let leading: Vec<usize> = now.clone().filter(lead).map(|s| s.at).collect();
        let mut out = Vec::new();
        for one in self
            .evidence
            .iter()
            .filter(|o| o.if_not <= o.if_there * PLAINLY)
        {
            let (Some(finding), Some(noticed)) = (
                self.model.network.findings.get(one.finding),
                facts.noticed.get(one.finding),
            ) else {
                continue;
            };
            let shows = |at: &usize| finding.link(*at);
            if noticed.record.is_empty() || leading.iter().any(|at| shows(at) >= HARDLY) {
                continue;
            }
            let others = now
                .clone()
                .filter(|s| s.cause.is_some() && shows(&s.at) >= CLEARLY);
            let others: Vec<usize> = others.map(|s| s.at).collect();
            if !others.is_empty() {
                out.push((one.finding, others));
            }
        }
        out
    }

    /// For each result of a check: how probable it is by all that is known, and
    /// the suspects after it (by their places in the model). By the exact sum.
    pub fn results(&self, check: &BenchCheck) -> Vec<(f64, Vec<f64>)> {
        let repairs = &self.repairs;
        let mut evidence = self.evidence.clone();
        let mut out = Vec::with_capacity(check.results.len());
        let sum = |evidence: &[Observed]| {
            let found = exact::posterior(&self.model.network, evidence, repairs);
            found.map_or((0.0, Vec::new()), |p| (p.likelihood, p.causes))
        };
        for (i, result) in check.results.iter().enumerate() {
            let key = Key::Check(check.id.clone(), result.id.clone());
            let last = i + 1 == check.results.len();
            match self.model.place(&key) {
                Some(finding) if !last => {
                    let (there, not) = likely(result);
                    let mut with = evidence.clone();
                    let now = repairs.len();
                    with.push(Observed::weak(finding, there, not).after(now));
                    out.push(sum(&with));
                    evidence.push(Observed::not_seen(finding).after(now));
                }
                _ => out.push(sum(&evidence)),
            }
        }
        let all: f64 = out.iter().map(|(chance, _)| chance).sum();
        for (chance, after) in &mut out {
            *chance = if all > 0.0 { *chance / all } else { 0.0 };
            after.resize(self.model.network.causes.len(), 0.0);
        }
        out
    }

    /// How probably something is still broken after these repairs (places in the
    /// book's `repairs`), on top of those already made.
    pub fn still_dead(&self, book: &CodeBook, repairs: &[usize]) -> f64 {
        let likelihood = |repairs: &[Vec<f64>]| {
            let found = exact::posterior(&self.model.network, &self.evidence, repairs);
            found.map_or(0.0, |p| p.likelihood)
        };
        let more = repairs.iter().filter_map(|r| book.repairs.get(*r));
        let more: Vec<String> = more.map(|r| r.id.clone()).collect();
        let mut all = self.repairs.clone();
        all.extend(repaired(book, &self.model, &more));
        let before = likelihood(&self.repairs);
        if before > 0.0 {
            (likelihood(&all) / before).min(1.0)
        } else {
            1.0
        }
    }

    /// Other suspects that may be meant: those that look the same by all that was
    /// noticed when each is alone, and those that are probable too; each with
    /// the check that would tell the two apart.
    pub fn alike(&self, question: &Question, at: usize) -> Vec<Alike> {
        let own = self.alone(at);
        let mut out = Vec::new();
        for other in self.suspects.iter().filter(|s| s.at != at && s.now >= 0.01) {
            let apart = decibans(self.alone(other.at) / own);
            let same = apart.abs() < ALIKE_DB;
            if other.cause.is_none() || !(same || other.now >= ALSO) {
                continue;
            }
            out.push(Alike {
                at: other.at,
                same,
                check: self.tells_apart(question, at, other.at),
            });
        }
        out
    }

    /// How well a single cause explains everything.
    fn alone(&self, at: usize) -> f64 {
        self.evidence.iter().fold(1.0, |product, one| {
            let finding = self.model.network.findings.get(one.finding);
            let p = finding.map_or(0.5, |f| f.alone(at));
            product * (p * one.if_there + (1.0 - p) * one.if_not)
        })
    }

    /// The check, not yet done, whose result is expected to tell two causes
    /// apart best.
    fn tells_apart(&self, question: &Question, a: usize, b: usize) -> Option<(usize, f64)> {
        let mut best = None;
        for (i, check) in question.book.checks.iter().enumerate() {
            let done = question.facts.done.contains(&check.id);
            let possible =
                applies(check, question.board) && reached(question.book, check, question.facts);
            if done || !possible {
                continue;
            }
            let of = |cause| crate::next::results(&self.model, check, cause);
            let mean: f64 = of(a)
                .iter()
                .zip(of(b))
                .map(|(p, q)| (p.max(SURE_APART), q.max(SURE_APART)))
                .map(|(p, q)| 0.5 * (p - q) * decibans(p / q))
                .sum();
            if mean >= 1.0 && best.is_none_or(|(_, m)| mean > m) {
                best = Some((i, mean));
            }
        }
        best
    }
}
