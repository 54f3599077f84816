//! Phase 5: recognise one planned line at one place of a view.
//!
//! A small backtracking matcher. *Strict* matching accepts only what the layout
//! allows (loose separators, either case, written prefixes such as `0x`, fewer
//! leading zeros). *Tolerant* matching also accepts known slips, at a cost, and
//! leaves the decision what was meant to `decide`. *Cells* matching is strict
//! but lets the fixed words be missing, as they are in a table.

use codebook::model::Encoding;

use crate::dates::{DateMatch, match_date};
use crate::plan::{FieldPlan, LinePlan, Piece, weight};
use crate::slips;
use crate::view::{BREAK, OTHER_LETTER, OTHER_SIGN, View, is_soft, is_space, is_wordy};

/// How a field was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum How {
    /// As the layout writes it.
    Exact,
    /// Fewer digits than the layout writes: leading zeros are missing.
    Short,
    /// One of the texts that mean "nothing here".
    Special,
    /// With characters that are no legal ones but known slips.
    Slips,
    /// Something is there that can't be the value.
    Broken,
}

/// One captured field: cells `from..to` of the view.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cap {
    /// The field, by its place in the plan.
    pub field: usize,
    /// First cell.
    pub from: usize,
    /// Cell behind the last.
    pub to: usize,
    /// How it was found.
    pub how: How,
}

/// A fixed word that was written otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WordFix {
    /// First cell.
    pub from: usize,
    /// Cell behind the last.
    pub to: usize,
    /// The word as the layout has it.
    pub to_be: Vec<u8>,
}

/// A line found in a view.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hit {
    /// First cell.
    pub from: usize,
    /// Cell behind the last.
    pub to: usize,
    /// The fields, in the order of the view.
    pub caps: Vec<Cap>,
    /// Fixed words that need a repair.
    pub words: Vec<WordFix>,
    /// Sum of all costs, in tenths.
    pub cost: u32,
    /// Bits that matched exactly.
    pub evidence: u32,
    /// Whether the view ended before the line did.
    pub cut: bool,
}

/// What kinds of leniency a match may use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Lenient {
    /// Slips.
    pub slips: bool,
    /// Missing fixed words.
    pub cells: bool,
}

/// Result of a match at one place.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// The best whole match.
    pub whole: Option<Hit>,
    /// The best match that ran into the end of the view with all key fields.
    pub cut: Option<Hit>,
    /// Bits matched exactly on a path that ran into the end of the view.
    pub ran_out: u32,
    /// Most fields read on such a path.
    pub fields: usize,
    /// Steps taken.
    pub steps: u32,
}

/// Highest cost a tolerant match may have.
const MOST: u32 = 100;
const BROKEN: u32 = 60;
const STEPS: u32 = 3000;

struct Matcher<'a> {
    plan: &'a LinePlan,
    pieces: &'a [Piece],
    view: &'a View,
    start: usize,
    lenient: Lenient,
    keys: &'a [usize],
    caps: Vec<Cap>,
    words: Vec<WordFix>,
    steps: u32,
    found: Found,
}

/// Matches `plan` with the view from cell `start` on. `keys` are the fields
/// that a cut-off line must hold whole.
pub(crate) fn match_at(
    plan: &LinePlan,
    view: &View,
    start: usize,
    lenient: Lenient,
    keys: &[usize],
) -> Found {
    let mut best = Found::default();
    for pieces in &plan.variants {
        let mut m = Matcher {
            plan,
            pieces,
            view,
            start,
            lenient,
            keys,
            caps: Vec::new(),
            words: Vec::new(),
            steps: 0,
            found: Found::default(),
        };
        m.go(0, start, 0, 0);
        best.ran_out = best.ran_out.max(m.found.ran_out);
        best.fields = best.fields.max(m.found.fields);
        best.steps += m.steps;
        better(&mut best.cut, m.found.cut);
        better(&mut best.whole, m.found.whole);
        if best.whole.as_ref().is_some_and(|h| h.cost == 0) {
            break;
        }
    }
    best
}

fn better(old: &mut Option<Hit>, new: Option<Hit>) {
    let rank = |h: &Hit| (h.cost, u32::MAX - h.evidence);
    if let Some(n) = new
        && old.as_ref().is_none_or(|o| rank(&n) < rank(o))
    {
        *old = Some(n);
    }
}

impl Matcher<'_> {
    fn go(&mut self, k: usize, p: usize, cost: u32, evidence: u32) {
        self.steps += 1;
        let limit = if self.lenient.slips { MOST } else { 40 };
        let best = self.found.whole.as_ref().map(|h| h.cost);
        if self.steps > STEPS || cost > limit || best.is_some_and(|b| cost >= b) {
            return;
        }
        let rest = self.pieces.get(k..).unwrap_or(&[]);
        if rest.iter().all(|r| matches!(r, Piece::Gap(_))) {
            return self.arrive(p, cost, evidence);
        }
        if p >= self.view.len() && k > 0 {
            return self.run_out(p, cost, evidence);
        }
        match rest.first() {
            Some(Piece::Gap(g)) => self.gap(k, g, p, cost, evidence),
            Some(Piece::Word(w)) => self.word(k, w, p, cost, evidence),
            Some(Piece::Field(i)) => {
                if let Some(f) = self.plan.fields.get(*i) {
                    self.field(k, *i, f, p, cost, evidence);
                }
            }
            None => {}
        }
    }

    /// Counts work that is done within one step, in characters looked at.
    fn work(&mut self, characters: usize) {
        self.steps += u32::try_from(characters / 16).unwrap_or(STEPS);
    }

    /// All pieces matched.
    fn arrive(&mut self, p: usize, cost: u32, evidence: u32) {
        if is_wordy(self.view.byte(p)) && p > 0 && is_wordy(self.view.byte(p - 1)) {
            return;
        }
        let hit = self.hit(p, cost, evidence, false);
        better(&mut self.found.whole, Some(hit));
    }

    /// The view ended in the middle.
    fn run_out(&mut self, p: usize, cost: u32, evidence: u32) {
        self.found.ran_out = self.found.ran_out.max(evidence);
        self.found.fields = self.found.fields.max(self.caps.len());
        let has_keys = self.keys.iter().all(|key| {
            self.caps
                .iter()
                .any(|c| c.field == *key && matches!(c.how, How::Exact | How::Slips))
        });
        if has_keys && !self.keys.is_empty() {
            let hit = self.hit(p.min(self.view.len()), cost + 30, evidence, true);
            let more = |h: &Hit| h.caps.len();
            if self
                .found
                .cut
                .as_ref()
                .is_none_or(|c| more(c) < more(&hit) || hit.cost < c.cost)
            {
                self.found.cut = Some(hit);
            }
        }
    }

    fn hit(&self, p: usize, cost: u32, evidence: u32, cut: bool) -> Hit {
        let mut to = p;
        let least = self.caps.last().map_or(self.start, |c| c.to);
        while to > least
            && (is_space(self.view.byte(to - 1)) || cut && is_soft(self.view.byte(to - 1)))
        {
            to -= 1;
        }
        Hit {
            from: self.start,
            to,
            caps: self.caps.clone(),
            words: self.words.clone(),
            cost,
            evidence,
            cut,
        }
    }

    fn weight(&self, k: usize) -> u32 {
        self.pieces.get(k).map_or(0, |p| weight(self.plan, p))
    }

    fn next_is_loose(&self, k: usize) -> bool {
        !matches!(
            self.pieces.get(k + 1),
            Some(Piece::Word(_) | Piece::Field(_))
        )
    }

    fn gap(&mut self, k: usize, g: &[u8], p: usize, cost: u32, evidence: u32) {
        let fits = |b: u8| (is_soft(b) || g.contains(&b)) && b != BREAK;
        let mut n = 0;
        while fits(self.view.byte(p + n)) && p + n < self.view.len() {
            n += 1;
        }
        self.work(n);
        // A single bar in front of a digit is more likely a badly read 1 than the
        // edge of a table cell.
        let bar = n > 1
            && self.view.byte(p + n - 1) == b'|'
            && is_space(self.view.byte(p + n - 2))
            && is_wordy(self.view.byte(p + n))
            && self.view.bytes.iter().filter(|&&b| b == b'|').count() == 1;
        if bar {
            n -= 1;
        }
        let ev = evidence + if n > 0 { self.weight(k) } else { 0 };
        // A value may begin with signs of its own, such as `--.--.----`: then the
        // gap is short and a long run of signs follows.
        let least = n.saturating_sub(12).max(1);
        for len in (least..=n).rev().chain((1..least.min(4)).rev()) {
            self.go(k + 1, p + len, cost, ev);
        }
        if k == 0 || (n == 0 && self.may_vanish(k)) {
            self.go(k + 1, p, cost + 1, evidence);
        }
    }

    /// Whether two pieces can stand side by side without a gap and still be
    /// told apart.
    fn may_vanish(&self, k: usize) -> bool {
        let firm = |piece: Option<&Piece>| match piece {
            Some(Piece::Word(_)) | None => true,
            Some(Piece::Field(i)) => self
                .plan
                .fields
                .get(*i)
                .is_some_and(|f| f.width.0 == f.width.1 || !f.date.is_empty()),
            Some(Piece::Gap(_)) => false,
        };
        firm(self.pieces.get(k.wrapping_sub(1))) && firm(self.pieces.get(k + 1))
    }

    fn word(&mut self, k: usize, w: &[u8], p: usize, cost: u32, evidence: u32) {
        let here = self.view.slice(p, p + w.len());
        let boundary = !self.next_is_loose(k) || !is_wordy(self.view.byte(p + w.len()));
        if here.eq_ignore_ascii_case(w) && boundary {
            self.go(k + 1, p + w.len(), cost, evidence + self.weight(k));
            return;
        }
        let left = self.view.slice(p, self.view.len());
        if k > 0
            && left.len() < w.len()
            && w.get(..left.len())
                .is_some_and(|s| left.eq_ignore_ascii_case(s))
        {
            self.run_out(p, cost, evidence);
        }
        if self.lenient.slips && (k > 0 || w.len() > 3) {
            let end = self.token_end(p);
            self.work((end - p) + (end - p).min(w.len() + 2) * w.len());
            let most = match w.len() {
                0..=2 => 10,
                3..=5 => 20,
                _ => 30,
            };
            if let Some(d) = slips::word_distance(self.view.slice(p, end), w, most) {
                self.words.push(WordFix {
                    from: p,
                    to: end,
                    to_be: w.to_vec(),
                });
                self.go(k + 1, end, cost + d.max(5), evidence);
                self.words.pop();
            }
        }
        if self.lenient.cells {
            self.go(k + 1, p, cost + 1, evidence);
            if matches!(self.pieces.get(k + 1), Some(Piece::Gap(_))) {
                self.go(k + 2, p, cost + 1, evidence);
            }
        }
    }

    /// End of the run of characters that may belong to one value.
    fn token_end(&self, p: usize) -> usize {
        let mut end = p;
        while matches!(
            self.view.byte(end),
            b'|' | b'!' | b'$' | b'&' | b'?' | OTHER_SIGN | OTHER_LETTER
        ) || self.view.byte(end).is_ascii_alphanumeric()
        {
            end += 1;
        }
        end
    }

    fn capture(&mut self, k: usize, cap: Cap, end: usize, cost: u32, evidence: u32) {
        self.caps.push(cap);
        self.go(k + 1, end, cost, evidence);
        self.caps.pop();
    }

    fn is_last(&self, k: usize) -> bool {
        self.pieces
            .get(k + 1..)
            .unwrap_or(&[])
            .iter()
            .all(|p| matches!(p, Piece::Gap(_)))
    }

    fn field(&mut self, k: usize, i: usize, f: &FieldPlan, p: usize, cost: u32, evidence: u32) {
        let full = evidence + self.weight(k);
        self.work(4 * (f.special.len() + f.field.words.len()));
        for s in &f.special {
            let s = s.as_bytes();
            let Some(end) = self.special_end(p, s) else {
                continue;
            };
            if !s.last().is_some_and(|&b| is_wordy(b)) || !is_wordy(self.view.byte(end)) {
                let cap = Cap {
                    field: i,
                    from: p,
                    to: end,
                    how: How::Special,
                };
                self.capture(k, cap, end, cost, full);
            }
        }
        match f.field.encoding {
            Encoding::Word => self.word_field(k, i, f, p, cost, evidence),
            Encoding::Text => self.text_field(k, i, f, p, cost, full),
            Encoding::Date => match match_date(&f.date, self.view, p, self.lenient.slips) {
                DateMatch::Yes { end, cost: extra } => {
                    let how = if extra == 0 { How::Exact } else { How::Slips };
                    let cap = Cap {
                        field: i,
                        from: p,
                        to: end,
                        how,
                    };
                    self.capture(k, cap, end, cost + extra, full);
                }
                DateMatch::RanOut => self.run_out(p, cost, evidence),
                DateMatch::No => {}
            },
            _ => self.number_field(k, i, f, p, cost, full),
        }
        if self.lenient.slips {
            let mut end = p;
            while end < self.view.len()
                && !is_space(self.view.byte(end))
                && self.view.byte(end) != BREAK
                && end - p < 40
            {
                end += 1;
            }
            while end > p && matches!(self.view.byte(end - 1), b',' | b';' | b':') {
                end -= 1;
            }
            if end > p && self.next_is_loose(k) {
                let cap = Cap {
                    field: i,
                    from: p,
                    to: end,
                    how: How::Broken,
                };
                self.capture(k, cap, end, cost + BROKEN, evidence);
            }
        }
    }

    /// Where a special text that begins at `p` ends; any white space will do
    /// for its spaces.
    fn special_end(&self, p: usize, s: &[u8]) -> Option<usize> {
        let mut at = p;
        for &b in s {
            let from = at;
            if is_space(b) {
                while is_space(self.view.byte(at)) {
                    at += 1;
                }
            } else if self.view.byte(at).eq_ignore_ascii_case(&b) && at < self.view.len() {
                at += 1;
            }
            if at == from {
                return None;
            }
        }
        (at > p).then_some(at)
    }

    fn number_field(&mut self, k: usize, i: usize, f: &FieldPlan, p: usize, cost: u32, full: u32) {
        let (low, high) = f.width;
        let mut q = p;
        let hex = f.field.encoding == Encoding::Hex;
        let decimal = f.field.encoding == Encoding::Decimal;
        if hex {
            match (self.view.byte(q), self.view.byte(q + 1)) {
                (b'0' | b'\\', b'x' | b'X') => q += 2,
                (b'$', _) => q += 1,
                _ => {}
            }
        } else if decimal
            && matches!(self.view.byte(q), b'-' | b'+')
            && (f.field.signed || f.field.scale.is_some())
        {
            q += 1;
        }
        let from = if decimal { p } else { q };
        let mut n = 0;
        while n < high + 1
            && f.legal
                .contains(&self.view.byte(q + n).to_ascii_uppercase())
        {
            n += 1;
        }
        self.work(n);
        if self.next_is_loose(k) {
            let mut end = q + n;
            let fraction = decimal && (f.field.scale.is_some() || !f.field.unit.is_empty());
            if fraction
                && n > 0
                && matches!(self.view.byte(end), b'.' | b',')
                && self.view.byte(end + 1).is_ascii_digit()
            {
                end += 1;
                while self.view.byte(end).is_ascii_digit() {
                    end += 1;
                }
            }
            let mut after = end;
            if hex
                && matches!(self.view.byte(end), b'h' | b'H')
                && !is_wordy(self.view.byte(end + 1))
            {
                after += 1;
            }
            if n > 0 && !is_wordy(self.view.byte(after)) {
                let cap = |how| Cap {
                    field: i,
                    from,
                    to: end,
                    how,
                };
                if n >= low && n <= high {
                    self.capture(k, cap(How::Exact), after, cost, full);
                    if f.special.is_empty() || !self.lenient.slips {
                        return;
                    }
                } else if n < low && after >= self.view.len() && !self.is_last(k) {
                    self.run_out(p, cost, full);
                } else if n < low && self.view.byte(after) != b'|' {
                    // A bar glued to a short number is more likely a digit of it.
                    self.capture(
                        k,
                        cap(How::Short),
                        after,
                        cost + 5,
                        full - self.weight(k) / 2,
                    );
                }
            }
        } else {
            // A fraction may stand between the digits and a unit.
            let mut point = q + n;
            if decimal
                && n >= low
                && n <= high
                && (f.field.scale.is_some() || !f.field.unit.is_empty())
                && matches!(self.view.byte(point), b'.' | b',')
            {
                point += 1;
                while self.view.byte(point).is_ascii_digit() {
                    point += 1;
                }
                let cap = Cap {
                    field: i,
                    from,
                    to: point,
                    how: How::Exact,
                };
                self.capture(k, cap, point, cost, full);
            }
            for len in (low..=high.min(n)).rev() {
                let cap = Cap {
                    field: i,
                    from,
                    to: q + len,
                    how: How::Exact,
                };
                self.capture(k, cap, q + len, cost, full);
            }
            if q + n >= self.view.len() && n < low {
                self.run_out(p, cost, full);
            }
        }
        if self.lenient.slips {
            self.slipped_number(k, i, f, q, cost, full);
        }
    }

    fn slipped_number(
        &mut self,
        k: usize,
        i: usize,
        f: &FieldPlan,
        q: usize,
        cost: u32,
        full: u32,
    ) {
        let (low, high) = f.width;
        let mut end = self.token_end(q);
        self.work(end - q);
        if !self.next_is_loose(k) {
            end = end.min(q + high);
        }
        let len = end - q;
        let at_end = end >= self.view.len() && !self.is_last(k);
        if len == 0 || len > high + 1 || (len < low && (at_end || !self.next_is_loose(k))) {
            return;
        }
        let missing = u32::try_from(low.saturating_sub(len)).unwrap_or(0);
        let mut extra = if len > high { 20 } else { missing * 15 };
        let mut legal = 0_u32;
        for p in q..end {
            let b = self.view.byte(p);
            match slips::readable_as(b, &f.legal) {
                Some(c) => {
                    extra += c;
                    legal += u32::from(c == 0);
                }
                None if slips::is_lost(b) => extra += slips::LOST,
                None => return,
            }
        }
        // A word of slips alone is more likely a word; O for every 0 is not.
        let zeros = self
            .view
            .slice(q, end)
            .iter()
            .all(|b| matches!(b, b'O' | b'o'));
        if extra == 0 || (legal == 0 && len > 2 && !zeros) {
            return;
        }
        let all = u32::try_from(len).unwrap_or(1);
        let share = full - self.weight(k) + self.weight(k) * legal / all.max(1);
        let cap = Cap {
            field: i,
            from: q,
            to: end,
            how: How::Slips,
        };
        self.capture(k, cap, end, cost + extra, share);
    }

    fn word_field(
        &mut self,
        k: usize,
        i: usize,
        f: &FieldPlan,
        p: usize,
        cost: u32,
        evidence: u32,
    ) {
        let full = evidence + self.weight(k);
        let loose = self.next_is_loose(k);
        let mut exact = false;
        for w in &f.field.words {
            let w = w.text.as_bytes();
            let ends = !loose || !is_wordy(self.view.byte(p + w.len()));
            if !w.is_empty() && ends && self.view.slice(p, p + w.len()).eq_ignore_ascii_case(w) {
                exact = true;
                let cap = Cap {
                    field: i,
                    from: p,
                    to: p + w.len(),
                    how: How::Exact,
                };
                self.capture(k, cap, p + w.len(), cost, full);
            }
        }
        if exact {
            return;
        }
        let end = self.token_end(p);
        if end >= self.view.len() && end > p && !self.is_last(k) {
            self.run_out(p, cost, evidence);
        }
        self.work(end - p);
        if self.lenient.slips && end > p {
            self.work(f.field.words.len() * (end - p).min(42) * 8);
            let best = f.field.words.iter().filter_map(|w| {
                let most = if w.text.len() <= 2 { 15 } else { 40 };
                slips::word_distance(self.view.slice(p, end), w.text.as_bytes(), most)
            });
            if let Some(d) = best.min() {
                let cap = Cap {
                    field: i,
                    from: p,
                    to: end,
                    how: How::Slips,
                };
                self.capture(k, cap, end, cost + d.max(5), evidence);
            }
        }
    }

    fn text_field(&mut self, k: usize, i: usize, f: &FieldPlan, p: usize, cost: u32, full: u32) {
        let (low, high) = f.width;
        let mut end = p;
        let last = self.is_last(k);
        while end < self.view.len() && end - p < high && self.view.byte(end) != BREAK {
            let b = self.view.byte(end);
            if !last && is_space(b) {
                break;
            }
            end += 1;
        }
        self.work(end - p);
        while end > p && is_space(self.view.byte(end - 1)) {
            end -= 1;
        }
        if end >= p + low {
            let cap = Cap {
                field: i,
                from: p,
                to: end,
                how: How::Exact,
            };
            self.capture(k, cap, end, cost, full);
        }
    }
}
