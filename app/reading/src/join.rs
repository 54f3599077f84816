//! Wrapped lines: an entry that runs on in the next line, or the one after.
//!
//! Only a line that ends in the middle of an entry is joined, only with lines
//! that hold nothing themselves, and only if the whole then reads strictly.

use crate::markup::{body_start, why_ignored};
use crate::matcher::{How, Lenient, match_at};
use crate::scan::{LineHit, Role};
use crate::session::Material;
use crate::view::{View, is_space};

/// Most lines that one entry may be wrapped over.
const MOST_LINES: usize = 5;

/// Joins wrapped entries.
pub(crate) fn join(m: &mut Material) {
    let mut k = 0;
    while k < m.scans.len() {
        k = match try_join(m, k) {
            Some(last) => last,
            None => k + 1,
        };
    }
}

/// A way to join.
struct Joined {
    /// The joined view, from where the entry begins.
    view: View,
    /// The entry in it.
    hit: LineHit,
    /// The segments below that it uses.
    used: Vec<usize>,
    /// Whether the last of them goes on with entries of its own.
    shared: bool,
}

/// Tries to join segment `k` with those below. Gives the next one to look at.
fn try_join(m: &mut Material, k: usize) -> Option<usize> {
    let Joined {
        view,
        mut hit,
        used,
        shared,
    } = search(m, k)?;
    let last = *used.last()?;
    let scan = m.scans.get_mut(k)?;
    let open = scan.open.take()?;
    if open.instead {
        scan.hits.pop();
    }
    // The hits left of the joined entry keep their own cells.
    if scan.hits.is_empty() {
        scan.view = view;
    } else {
        scan.view = prepend(&scan.view, open.from, &view);
        move_right(&mut hit, open.from);
    }
    scan.hits.push(hit);
    scan.row = None;
    for &u in used.iter().filter(|&&u| u != last || !shared) {
        if let Some(j) = m.joined.get_mut(u) {
            *j = true;
        }
        if let Some(s) = m.scans.get_mut(u) {
            s.row = None;
            s.open = None;
        }
    }
    Some(if shared { last } else { last + 1 })
}

fn search(m: &Material, k: usize) -> Option<Joined> {
    let scan = m.scans.get(k)?;
    let mut tails = vec![tail(&scan.view, scan.open.as_ref()?.from)];
    let mut used = Vec::new();
    let mut found: Option<Joined> = None;
    let mut next = k + 1;
    while used.len() + 1 < MOST_LINES && next < m.scans.len().min(k + 9) {
        let below = m.scans.get(next)?;
        // A line with entries of its own can still begin with the end of ours.
        let first = below.hits.first().map(|h| h.hit.from);
        let whole = below
            .bare
            .as_ref()
            .filter(|_| first.is_none())
            .unwrap_or(&below.view);
        let body = body_start(whole);
        if below.proved || m.joined.get(next) == Some(&true) || first.is_some_and(|f| f <= body) {
            break;
        }
        let lower = &head(whole, first.unwrap_or(whole.len()));
        let rest = lower.slice(body, lower.len());
        if why_ignored(lower, false) == "pager" || rest.iter().all(|&b| is_space(b)) {
            next += 1;
            continue;
        }
        used.push(next);
        let same_line = m.segments.get(k).map(|s| s.line) == m.segments.get(next).map(|s| s.line);
        let mut longer = Vec::new();
        for t in &tails {
            for spaced in [false, true] {
                if !(same_line && spaced) {
                    longer.push(glue(t, lower, if same_line { 0 } else { body }, spaced));
                }
            }
        }
        let head_end = tails.iter().map(View::len).min().unwrap_or(0);
        if let Some((view, hit)) = best(m, &longer).filter(|b| goes_on(m, k, b, head_end)) {
            let cheaper = found.as_ref().is_none_or(|f| hit.hit.cost < f.hit.hit.cost);
            let open_end = hit.hit.to >= view.len()
                && hit.hit.caps.last().is_some_and(|c| c.how == How::Short);
            if cheaper {
                found = Some(Joined {
                    view,
                    hit,
                    used: used.clone(),
                    shared: first.is_some(),
                });
            }
            if !open_end {
                break;
            }
        } else if found.is_some() {
            break;
        }
        // Go on only while some way of joining still runs into the end.
        tails = longer
            .into_iter()
            .filter(|t| runs_out(m, t) || found.is_some())
            .collect();
        if first.is_some() || tails.is_empty() {
            break;
        }
        next += 1;
    }
    found
}

fn tail(view: &View, from: usize) -> View {
    let mut out = View::default();
    let mut end = view.len();
    while end > from && is_space(view.byte(end - 1)) {
        end -= 1;
    }
    out.extend_from(view, from, end);
    out
}

fn head(view: &View, to: usize) -> View {
    let mut out = View::default();
    out.extend_from(view, 0, to);
    out
}

fn glue(head: &View, below: &View, body: usize, spaced: bool) -> View {
    let mut out = head.clone();
    if spaced {
        let end = out.end(out.len());
        let gap = below.start(body).saturating_sub(end);
        out.push(b' ', end, u16::try_from(gap).unwrap_or(u16::MAX));
    }
    out.extend_from(below, body, below.len());
    out
}

fn prepend(view: &View, from: usize, tail: &View) -> View {
    let mut out = View::default();
    out.extend_from(view, 0, from);
    out.extend_from(tail, 0, tail.len());
    out
}

fn move_right(hit: &mut LineHit, by: usize) {
    let hits = std::iter::once(&mut hit.hit).chain(hit.others.iter_mut().map(|o| &mut o.hit));
    for h in hits {
        h.from += by;
        h.to += by;
        for c in &mut h.caps {
            c.from += by;
            c.to += by;
        }
        for w in &mut h.words {
            w.from += by;
            w.to += by;
        }
    }
}

/// Whether a joined entry really needs the lines below: it reaches into them,
/// and where the line above can stand alone it uses them up altogether.
fn goes_on(m: &Material, k: usize, (view, hit): &(View, LineHit), head_end: usize) -> bool {
    let instead = m
        .scans
        .get(k)
        .and_then(|s| s.open.as_ref())
        .is_some_and(|o| o.instead);
    let rest = view.slice(hit.hit.to, view.len());
    hit.hit.to > head_end && (!instead || rest.iter().all(|&b| crate::view::is_soft(b)))
}

/// The cheapest strict match from the start of one of the views.
fn best(m: &Material, views: &[View]) -> Option<(View, LineHit)> {
    let mut best: Option<(u32, View, LineHit)> = None;
    for view in views {
        for (p, plan) in m.plans.layouts.iter().enumerate() {
            for (k, known) in plan.lines.iter().enumerate() {
                if known.role != Role::Entry || m.budget.is_spent(plan.book) {
                    continue;
                }
                let found = match_at(&known.plan, view, 0, Lenient::default(), &known.keys);
                m.budget.spend(plan.book, found.steps);
                if let Some(hit) = found.whole
                    && best.as_ref().is_none_or(|b| hit.cost < b.0)
                {
                    let cost = hit.cost;
                    let new = LineHit {
                        plan: p,
                        known: k,
                        hit,
                        others: Vec::new(),
                    };
                    best = Some((cost, view.clone(), new));
                }
            }
        }
    }
    best.map(|b| (b.1, b.2))
}

fn runs_out(m: &Material, view: &View) -> bool {
    m.plans.layouts.iter().any(|plan| {
        plan.lines.iter().any(|known| {
            if known.role != Role::Entry || m.budget.is_spent(plan.book) {
                return false;
            }
            let found = match_at(&known.plan, view, 0, Lenient::default(), &known.keys);
            m.budget.spend(plan.book, found.steps);
            found.ran_out >= 8
        })
    })
}
