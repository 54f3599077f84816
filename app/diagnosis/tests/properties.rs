//! What must hold for any network and any evidence, and the same sum taken two
//! other ways.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use diagnosis::exact::{MOST_OPEN, posterior};
use diagnosis::network::{Finding, Network, Observed};
use proptest::prelude::*;

fn network(most: usize) -> impl Strategy<Value = Network> {
    (1..=most, 1_usize..10).prop_flat_map(|(n, m)| {
        let link = (
            0..n,
            prop_oneof![4 => 0.0..1.0_f64, 1 => Just(1.0), 1 => Just(0.0)],
        );
        let finding =
            (0.0..0.3_f64, prop::collection::vec(link, 0..n + 1)).prop_map(|(leak, mut links)| {
                links.sort_by_key(|(i, _)| *i);
                links.dedup_by_key(|(i, _)| *i);
                Finding { leak, links }
            });
        let causes = prop::collection::vec(0.001..0.6_f64, n);
        (causes, prop::collection::vec(finding, m))
            .prop_map(|(causes, findings)| Network { causes, findings })
    })
}

fn evidence(m: usize) -> impl Strategy<Value = Vec<Observed>> {
    let one = (0..3, 0.0..1.0_f64, 0.01..1.0_f64, 0_usize..3);
    prop::collection::vec(prop::option::of(one), m).prop_map(|all| {
        let each = all.into_iter().enumerate();
        each.filter_map(|(i, one)| {
            one.map(|(kind, a, b, after)| {
                let one = match kind {
                    0 => Observed::seen(i),
                    1 => Observed::not_seen(i),
                    _ => Observed::weak(i, a, b),
                };
                one.after(after)
            })
        })
        .collect()
    })
}

fn both(most: usize) -> impl Strategy<Value = (Network, Vec<Observed>)> {
    network(most).prop_flat_map(|net| {
        let m = net.findings.len();
        (Just(net), evidence(m))
    })
}

/// All combinations of what may have become of each cause, one by one: not
/// there, there and removed by one of the repairs, or there to the end. A
/// finding shows a cause that was there when it was observed. Gives P(e and
/// something is still broken) and for each cause P(e, it is still there).
fn counted(net: &Network, evidence: &[Observed], repairs: &[Vec<f64>]) -> (f64, Vec<f64>) {
    let (n, k) = (net.causes.len(), repairs.len());
    let (mut all, mut each) = (0.0, vec![0.0; n]);
    // 0: not there; 1 to k: removed by that repair; k + 1: still there.
    let mut fates = vec![0_usize; n];
    loop {
        let mut p = 1.0;
        for (i, fate) in fates.iter().enumerate() {
            p *= if *fate == 0 {
                1.0 - net.causes[i]
            } else {
                net.causes[i]
            };
            for (r, repair) in repairs.iter().enumerate() {
                let removes = repair.get(i).copied().unwrap_or(0.0);
                if *fate > r + 1 {
                    p *= 1.0 - removes;
                } else if *fate == r + 1 {
                    p *= removes;
                }
            }
        }
        for one in evidence {
            let f = &net.findings[one.finding];
            let shown = f.links.iter().filter(|(i, _)| fates[*i] > one.after.min(k));
            let not = shown.map(|(_, c)| 1.0 - c).product::<f64>() * (1.0 - f.leak);
            p *= one.if_there * (1.0 - not) + one.if_not * not;
        }
        if fates.iter().any(|f| *f == k + 1) {
            all += p;
        }
        let still = each.iter_mut().zip(&fates).filter(|(_, f)| **f == k + 1);
        still.for_each(|(each, _)| *each += p);
        let Some(next) = fates.iter().position(|f| *f <= k) else {
            return (all, each);
        };
        fates[next] += 1;
        fates[..next].fill(0);
    }
}

/// Quickscore (Heckerman 1989): the probability of the evidence, adding and
/// subtracting over the sets of positive findings. Plain seen and not seen only.
fn quickscore(net: &Network, evidence: &[Observed]) -> f64 {
    let seen: Vec<usize> = evidence
        .iter()
        .filter(|o| o.if_there > 0.0)
        .map(|o| o.finding)
        .collect();
    let not: Vec<usize> = evidence
        .iter()
        .filter(|o| o.if_there == 0.0)
        .map(|o| o.finding)
        .collect();
    let mut sum = 0.0;
    for set in 0_usize..1 << seen.len() {
        let chosen = seen
            .iter()
            .enumerate()
            .filter(|(i, _)| set >> i & 1 == 1)
            .map(|(_, f)| *f);
        let all: Vec<usize> = chosen.chain(not.iter().copied()).collect();
        let mut term = if set.count_ones() % 2 == 0 { 1.0 } else { -1.0 };
        for f in &all {
            term *= 1.0 - net.findings[*f].leak;
        }
        for (i, p) in net.causes.iter().enumerate() {
            let left: f64 = all.iter().map(|f| 1.0 - net.findings[*f].link(i)).product();
            term *= p * left + 1.0 - p;
        }
        sum += term;
    }
    sum
}

fn repairs(n: usize) -> impl Strategy<Value = Vec<Vec<f64>>> {
    let one = prop_oneof![2 => Just(0.0), 3 => 0.0..1.0_f64, 1 => Just(1.0)];
    prop::collection::vec(prop::collection::vec(one, n), 1..3)
}

fn as_counted(
    net: &Network,
    evidence: &[Observed],
    repairs: &[Vec<f64>],
) -> Result<(), TestCaseError> {
    let (all, each) = counted(net, evidence, repairs);
    match posterior(net, evidence, repairs) {
        None => prop_assert!(all < 1e-12),
        Some(p) => {
            prop_assert!((p.likelihood - all).abs() <= 1e-9 * all + 1e-15);
            for (a, b) in p.causes.iter().zip(each) {
                prop_assert!((a - b / all).abs() < 1e-8, "{a} {}", b / all);
                prop_assert!((0.0..=1.0).contains(a));
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn as_counting_all_combinations((net, evidence) in both(12)) {
        as_counted(&net, &evidence, &[])?;
    }

    /// With up to two repairs, and findings before, between and after them.
    #[test]
    fn as_counting_all_combinations_with_repairs((net, evidence) in both(7), repairs in repairs(7)) {
        as_counted(&net, &evidence, &repairs)?;
    }

    #[test]
    fn as_quickscore((net, evidence) in both(12)) {
        let plain: Vec<Observed> = evidence
            .into_iter()
            .map(|o| if o.if_there > 0.0 { Observed::seen(o.finding) } else { Observed::not_seen(o.finding) })
            .collect();
        let ours = posterior(&net, &plain, &[]).map_or(0.0, |p| p.evidence);
        let sum = quickscore(&net, &plain);
        // Quickscore loses digits by subtracting; ours does not.
        prop_assert!((ours - sum).abs() < 1e-11 || ours == 0.0, "{ours} {sum}");
    }

    #[test]
    fn the_order_of_findings_does_not_matter((net, evidence) in both(8), turn in 0_usize..9) {
        let mut other = evidence.clone();
        if !other.is_empty() {
            let by = turn % other.len();
            other.rotate_left(by);
            other.reverse();
        }
        let (a, b) = (posterior(&net, &evidence, &[]), posterior(&net, &other, &[]));
        prop_assert_eq!(a.is_some(), b.is_some());
        if let (Some(a), Some(b)) = (a, b) {
            for (a, b) in a.causes.iter().zip(b.causes) {
                prop_assert!((a - b).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_finding_without_links_changes_nothing((net, evidence) in both(8), leak in 0.01..0.9_f64, seen: bool) {
        let mut more = net.clone();
        more.findings.push(Finding { leak, links: vec![] });
        let last = more.findings.len() - 1;
        let mut with = evidence.clone();
        with.push(if seen { Observed::seen(last) } else { Observed::not_seen(last) });
        if let (Some(a), Some(b)) = (posterior(&net, &evidence, &[]), posterior(&more, &with, &[])) {
            for (a, b) in a.causes.iter().zip(b.causes) {
                prop_assert!((a - b).abs() < 1e-9);
            }
        }
    }

    /// With links of one cause alone, seeing one more of its findings never
    /// lowers it.
    #[test]
    fn more_for_it_never_lowers_it((net, evidence) in both(8), strength in 0.0..1.0_f64, leak in 0.0..0.5_f64) {
        let mut more = net.clone();
        more.findings.push(Finding { leak, links: vec![(0, strength)] });
        let last = more.findings.len() - 1;
        let mut with = evidence.clone();
        with.push(Observed::seen(last));
        if let (Some(a), Some(b)) = (posterior(&net, &evidence, &[]), posterior(&more, &with, &[])) {
            prop_assert!(b.causes[0] >= a.causes[0] - 1e-9);
        }
    }

    /// What speaks for both sides alike says nothing.
    #[test]
    fn evidence_of_equal_weight_says_nothing((net, evidence) in both(8), l in 0.05..1.0_f64) {
        let mut with: Vec<Observed> = evidence.clone();
        let free = (0..net.findings.len()).find(|f| evidence.iter().all(|o| o.finding != *f));
        if let Some(f) = free {
            with.push(Observed::weak(f, l, l));
            if let (Some(a), Some(b)) = (posterior(&net, &evidence, &[]), posterior(&net, &with, &[])) {
                for (a, b) in a.causes.iter().zip(b.causes) {
                    prop_assert!((a - b).abs() < 1e-9);
                }
            }
        }
    }
}

/// 60 causes, 25 positive findings, strengths of 0 and 1: finite, and the cap
/// is told.
#[test]
fn extreme_books_stay_finite() {
    for (strength, leak, prior) in [
        (1.0, 0.0, 1.0),
        (1.0, 1e-9, 1e-9),
        (0.0, 1e-12, 0.5),
        (0.5, 0.0, 0.01),
    ] {
        let net = Network {
            causes: vec![prior; 60],
            findings: (0..40)
                .map(|f| Finding {
                    leak,
                    links: (0..60)
                        .filter(|c| (c + f) % 3 == 0)
                        .map(|c| (c, strength))
                        .collect(),
                })
                .collect(),
        };
        let mut evidence: Vec<Observed> = (0..25).map(Observed::seen).collect();
        evidence.extend((25..40).map(Observed::not_seen));
        match posterior(&net, &evidence, &[]) {
            None => assert!(leak == 0.0 || strength == 1.0, "{strength} {leak} {prior}"),
            Some(p) => {
                assert_eq!(p.left_out.len(), 25 - MOST_OPEN);
                assert!(
                    p.likelihood.is_finite() && p.causes.iter().all(|c| (0.0..=1.0).contains(c))
                );
            }
        }
    }
}

/// Many positive findings that only leaks explain: an alternating sum has no
/// digit left here, ours has all.
#[test]
fn nothing_cancels() {
    let net = Network {
        causes: vec![0.1],
        findings: (0..12)
            .map(|_| Finding {
                leak: 1e-4,
                links: vec![(0, 0.5)],
            })
            .collect(),
    };
    let evidence: Vec<Observed> = (0..12).map(Observed::seen).collect();
    let p = posterior(&net, &evidence, &[]).unwrap();
    let (with, without) = (
        0.1 * (1.0_f64 - 0.9999 * 0.5).powi(12),
        0.9 * 1e-4_f64.powi(12),
    );
    assert!((p.evidence - with - without).abs() < 1e-15 * with.max(1e-30) + 1e-18);
    let none = Network {
        causes: vec![0.0],
        ..net
    };
    let p = posterior(&none, &evidence, &[]);
    assert_eq!(p, None, "nothing is broken, so there is no suspect");
}
