//! What to do in which order: the expected cost of repair (Heckerman, Breese
//! and Rommelse 1995), with one fault at a time.
//!
//! The suspects' probabilities come from the exact sum. Planning then takes
//! them as if exactly one of them were the fault, which is nearly so for one
//! console and makes looking ahead cheap. What a later result changes is again
//! worked out exactly once it is there.

/// Something that mends causes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Action {
    /// What it costs whether or not it helps: a look, or the whole repair.
    pub look: f64,
    /// What it costs in addition when it turns out to be this.
    pub mend: f64,
    /// The causes it mends, each with how often.
    pub mends: Vec<(usize, f64)>,
}

/// A sequence of actions and what it costs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sequence {
    /// Expected cost, with stopping at the best place.
    pub cost: f64,
    /// The actions before stopping, in order.
    pub order: Vec<usize>,
    /// How probably the fault is still there at the end.
    pub left: f64,
}

impl Action {
    /// How probably it mends, by what is left of the suspects.
    pub fn chance(&self, left: &[f64]) -> f64 {
        let each = self.mends.iter();
        each.map(|(i, m)| left.get(*i).copied().unwrap_or_default() * m)
            .sum()
    }

    /// What is left of the suspects after it did not help.
    fn after(&self, left: &mut [f64]) {
        for (i, m) in &self.mends {
            if let Some(p) = left.get_mut(*i) {
                *p *= 1.0 - m;
            }
        }
    }
}

/// Expected cost of going through actions in this order and stopping at the
/// end of it at the cost `stop`. `suspects` add up to 1.
pub fn cost_of(suspects: &[f64], actions: &[Action], order: &[usize], stop: f64) -> f64 {
    let mut left = suspects.to_vec();
    let mut cost = 0.0;
    for action in order.iter().filter_map(|i| actions.get(*i)) {
        let remaining: f64 = left.iter().sum();
        cost += remaining * action.look + action.chance(&left) * action.mend;
        action.after(&mut left);
    }
    cost + left.iter().sum::<f64>() * stop
}

/// The best sequence by the ratio of chance to cost, cut where stopping is
/// cheaper than going on. With actions that each mend one cause for certain
/// this order is the best there is (Kadane and Simon 1977); with overlapping or
/// uncertain ones it is close.
pub fn best_sequence(suspects: &[f64], actions: &[Action], stop: f64) -> Sequence {
    let mut left = suspects.to_vec();
    let all: f64 = left.iter().sum();
    let mut best = (all * stop, 0, all);
    let mut used = vec![false; actions.len()];
    let mut order = Vec::with_capacity(actions.len());
    let mut cost = 0.0;
    loop {
        let mut next: Option<(usize, &Action, f64, f64)> = None;
        for (i, action) in actions.iter().enumerate() {
            if used.get(i).copied().unwrap_or(true) {
                continue;
            }
            let chance = action.chance(&left);
            let ratio = chance / action.look.max(1e-9);
            if ratio > next.map_or(0.0, |n| n.2) {
                next = Some((i, action, ratio, chance));
            }
        }
        let Some((i, action, _, chance)) = next else {
            break;
        };
        let remaining: f64 = left.iter().sum();
        cost += remaining * action.look + chance * action.mend;
        action.after(&mut left);
        order.push(i);
        if let Some(used) = used.get_mut(i) {
            *used = true;
        }
        let remaining: f64 = left.iter().sum();
        if cost + remaining * stop < best.0 {
            best = (cost + remaining * stop, order.len(), remaining);
        }
    }
    order.truncate(best.1);
    Sequence {
        cost: best.0,
        order,
        left: best.2,
    }
}

/// A check as the planner sees it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Look {
    /// What it costs.
    pub cost: f64,
    /// For each result, how probable it is with each suspect alone. The
    /// results of one suspect add up to 1.
    pub results: Vec<Vec<f64>>,
}

/// Everything the planner knows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bench {
    /// What mends.
    pub actions: Vec<Action>,
    /// What can be looked at.
    pub looks: Vec<Look>,
    /// What it costs to stop: the console that stays dead.
    pub stop: f64,
}

/// What a check would be worth.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worth {
    /// Its own cost and what is to be expected after it.
    pub cost: f64,
    /// For each result: how probable it is, and the suspects after it.
    pub results: Vec<(f64, Vec<f64>)>,
}

/// Values a check: its cost, and the best that can be done after each result,
/// with up to `depth` further checks.
pub fn worth(suspects: &[f64], bench: &Bench, look: usize, done: &[usize], depth: u32) -> Worth {
    let Some(check) = bench.looks.get(look) else {
        return Worth::default();
    };
    let here: f64 = suspects.iter().sum();
    let mut results = Vec::with_capacity(check.results.len());
    for likelihood in &check.results {
        let joint: Vec<f64> = suspects
            .iter()
            .zip(likelihood)
            .map(|(p, l)| p * l)
            .collect();
        let chance: f64 = joint.iter().sum();
        let after: Vec<f64> = joint.iter().map(|p| p / chance.max(1e-300)).collect();
        results.push((chance, after));
    }
    let mut done = done.to_vec();
    done.push(look);
    let likely = results.iter().filter(|(chance, _)| *chance > 0.0);
    let after = likely.map(|(chance, after)| chance * best_cost(after, bench, &done, depth));
    let cost = check.cost * here + after.sum::<f64>();
    Worth { cost, results }
}

/// The least expected cost from here. `suspects` may add up to less than 1: the
/// cost is then weighted with that.
pub fn best_cost(suspects: &[f64], bench: &Bench, done: &[usize], depth: u32) -> f64 {
    let mut best = best_sequence(suspects, &bench.actions, bench.stop).cost;
    if depth == 0 {
        return best;
    }
    let here: f64 = suspects.iter().sum();
    let least = least(suspects, bench);
    for look in 0..bench.looks.len() {
        let price = bench.looks.get(look).map_or(0.0, |l| l.cost);
        // Even if it told all, it would not pay.
        if done.contains(&look) || price * here + least >= best {
            continue;
        }
        best = best.min(worth(suspects, bench, look, done, depth - 1).cost);
    }
    best
}

/// What it costs at least from here: to who knows the fault, its cheapest repair
/// or stopping.
fn least(suspects: &[f64], bench: &Bench) -> f64 {
    let mut each = vec![bench.stop; suspects.len()];
    for action in &bench.actions {
        let cost = action.look + action.mend.min(0.0);
        for (i, _) in &action.mends {
            if let Some(least) = each.get_mut(*i) {
                *least = cost.min(*least);
            }
        }
    }
    each.iter().zip(suspects).map(|(least, p)| least * p).sum()
}
