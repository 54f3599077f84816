//! What somebody has put together for a code book so far: a log, tables, and
//! what was said about their parts. It outlives the page, and the browser's
//! closing.

use super::kept::{hints_of, kept_hints, numbers};
use crate::platform::state::{Kept, State};
use crate::platform::{device, markup, page, storage};
use serde_json::{Map, Value};
use std::rc::Rc;
use tables::{Given, Plan, Role as Column, Sheet, Taken, What};
use teaching::{Hints, Proposal, Why};

const KEY: &str = "faultleaf.making";
/// Wait after the last key before the log is looked at, in milliseconds.
const PAUSE: u64 = 400;

/// One paste with tables in it.
#[derive(Clone, Default, PartialEq)]
pub struct Pasted {
    /// The text, or the HTML, as it came.
    pub raw: String,
    /// It is HTML.
    pub html: bool,
    /// The day it came.
    pub day: String,
    /// The tables in it.
    pub sheets: Vec<Sheet>,
    /// What they are taken for.
    pub plans: Vec<Plan>,
    /// Which of them are used.
    pub used: Vec<bool>,
    /// What was corrected: table, column (or 999 for what the rows are about),
    /// choice.
    corrected: Vec<[usize; 3]>,
}

impl Pasted {
    /// Whether it is too large to be kept beside the rest. Browsers give some
    /// five million characters in all.
    pub fn too_large(&self) -> bool {
        self.raw.len() > 1_000_000
    }
}

/// What a corrected [`What`] is kept under.
const ABOUT: usize = 999;

/// What the rows of a table can be about.
pub const WHATS: [What; 4] = [What::Codes, What::Steps, What::Rails, What::Boards];

/// What the log was taken for.
pub type Taught = Option<Rc<Result<Proposal, Why>>>;

/// The state of making a book.
#[derive(Clone, Copy)]
pub struct Make {
    /// The name of the book.
    pub name: State<String>,
    /// The log.
    pub log: State<String>,
    /// What the person said of its parts.
    pub hints: State<Hints>,
    /// What it is taken for.
    pub taught: State<Taught>,
    /// The pastes with tables.
    pub pasted: State<Vec<Pasted>>,
    /// What they give.
    pub taken: State<Option<Rc<Taken>>>,
    turn: Kept<u32>,
}

impl Make {
    /// Takes up what was begun.
    pub fn start() -> Self {
        let make = Self {
            name: State::new(String::new()),
            log: State::new(String::new()),
            hints: State::new(Hints::default()),
            taught: State::new(None),
            pasted: State::new(Vec::new()),
            taken: State::new(None),
            turn: Kept::new(0),
        };
        page::on_leaving(move || make.keep());
        make
    }

    /// Reads what was begun before. Called when the page is opened, as most
    /// visits never need it.
    pub fn take_up(self) {
        if self.turn.get_value() > 0 {
            return;
        }
        self.turn.set_value(1);
        let kept = storage::object(KEY);
        let text = |of: &Map<String, Value>, key: &str| {
            of.get(key).and_then(Value::as_str).unwrap_or("").to_owned()
        };
        self.name.set(text(&kept, "name"));
        self.log.set(text(&kept, "log"));
        if let Some(Value::Object(hints)) = kept.get("hints") {
            self.hints.set(hints_of(hints));
        }
        let mut all: Vec<Pasted> = Vec::new();
        for p in kept
            .get("tables")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            if let Value::Object(p) = p {
                let html = p.get("html") == Some(&Value::Bool(true));
                let mut one = read(&text(p, "raw"), html, &text(p, "day"), &all);
                for c in numbers(p.get("corrected")).chunks_exact(3) {
                    if let [s, c, r] = *c {
                        correct(&mut one, s, c, r);
                    }
                }
                for n in numbers(p.get("unused")) {
                    if let Some(used) = one.used.get_mut(n) {
                        *used = false;
                    }
                }
                all.push(one);
            }
        }
        self.pasted.set(all);
        self.look();
        self.gather();
    }

    /// Keeps all of it on the device.
    pub fn keep(self) {
        if self.turn.get_value() == 0 {
            return;
        }
        let nothing = self.log.with_untracked(String::is_empty)
            && self.pasted.with_untracked(Vec::is_empty)
            && self.name.with_untracked(String::is_empty);
        if nothing {
            storage::remove(KEY);
            return;
        }
        let mut kept = Map::new();
        kept.insert("name".to_owned(), self.name.get_untracked().into());
        kept.insert("log".to_owned(), self.log.get_untracked().into());
        kept.insert(
            "hints".to_owned(),
            self.hints.with_untracked(|h| Some(kept_hints(h))).into(),
        );
        let tables = self.pasted.with_untracked(|all| {
            let one = |p: &Pasted| {
                let mut one = Map::new();
                one.insert("raw".to_owned(), p.raw.clone().into());
                one.insert("html".to_owned(), p.html.into());
                one.insert("day".to_owned(), p.day.clone().into());
                let said: Vec<usize> = p.corrected.iter().flatten().copied().collect();
                one.insert("corrected".to_owned(), said.into());
                let unused = p.used.iter().enumerate().filter(|(_, u)| !**u);
                let unused: Vec<usize> = unused.map(|(n, _)| n).collect();
                one.insert("unused".to_owned(), unused.into());
                Value::Object(one)
            };
            let small = all.iter().filter(|p| !p.too_large());
            small.map(one).collect::<Vec<Value>>()
        });
        kept.insert("tables".to_owned(), tables.into());
        storage::set(KEY, &kept.into());
    }

    /// Empties everything.
    pub fn clear(self) {
        self.name.set(String::new());
        self.log.set(String::new());
        self.hints.set(Hints::default());
        self.taught.set(None);
        self.pasted.set(Vec::new());
        self.taken.set(None);
        storage::remove(KEY);
    }

    /// Another log came in.
    pub fn put_log(self, text: String) {
        self.turn.update_value(|t| *t += 1);
        self.hints.set(Hints::default());
        self.log.set(text);
        self.look();
    }

    /// The log was typed in: look at it after a pause.
    pub fn typed(self, text: String) {
        self.log.set(text);
        self.turn.update_value(|t| *t += 1);
        let turn = self.turn.get_value();
        page::later(PAUSE, move || {
            if self.turn.get_value() == turn {
                self.look();
            }
        });
    }

    /// The person said something of the log's parts.
    pub fn say(self, change: impl FnOnce(&mut Hints)) {
        page::keep_place();
        self.hints.update(change);
        self.look();
    }

    fn look(self) {
        let text = self.log.get_untracked();
        if text.trim().is_empty() {
            self.taught.set(None);
            return;
        }
        let mut hints = self.hints.get_untracked();
        hints.latest = Some(device::now_ms() / 1000);
        self.taught
            .set(Some(Rc::new(teaching::propose(&text, &hints))));
    }

    /// Takes in a paste with tables. Gives how many tables are in it.
    pub fn add_table(self, raw: &str, html: bool) -> usize {
        let day = device::today();
        let one = self.pasted.with_untracked(|all| read(raw, html, &day, all));
        let found = one.sheets.iter().filter(|s| !s.rows.is_empty()).count();
        self.pasted.update(|all| all.push(one));
        self.gather();
        found
    }

    /// Takes a paste out again.
    pub fn drop_table(self, n: usize) -> Option<Pasted> {
        let gone = self
            .pasted
            .try_update(|all| (n < all.len()).then(|| all.remove(n)));
        self.gather();
        gone.flatten()
    }

    /// Puts a paste back.
    pub fn put_back(self, n: usize, one: Pasted) {
        self.pasted.update(|all| all.insert(n.min(all.len()), one));
        self.gather();
    }

    /// The person says what a column holds.
    pub fn column(self, paste: usize, sheet: usize, column: usize, role: Column) {
        let r = Column::ALL.iter().position(|one| *one == role);
        self.change(paste, |p| correct(p, sheet, column, r.unwrap_or(0)));
    }

    /// The person says what the rows of a table are about.
    pub fn about(self, paste: usize, sheet: usize, what: What) {
        let w = WHATS.iter().position(|one| *one == what);
        self.change(paste, |p| correct(p, sheet, ABOUT, w.unwrap_or(0)));
    }

    /// A table is used, or not.
    pub fn using(self, paste: usize, sheet: usize, used: bool) {
        self.change(paste, |p| {
            if let Some(u) = p.used.get_mut(sheet) {
                *u = used;
            }
        });
    }

    fn change(self, paste: usize, change: impl FnOnce(&mut Pasted)) {
        page::keep_place();
        self.pasted.update(|all| {
            if let Some(p) = all.get_mut(paste) {
                change(p);
            }
        });
        self.gather();
    }

    fn gather(self) {
        let taken = self.pasted.with_untracked(|all| {
            let mut from = Vec::new();
            for p in all {
                from.push("table pasted ".to_owned() + &p.day);
            }
            let mut given = Vec::new();
            for (p, from) in all.iter().zip(&from) {
                for ((sheet, plan), used) in p.sheets.iter().zip(&p.plans).zip(&p.used) {
                    if *used {
                        given.push(Given { sheet, plan, from });
                    }
                }
            }
            (!given.is_empty()).then(|| Rc::new(tables::take(&given)))
        });
        self.taken.set(taken);
        self.keep();
    }
}

fn read(raw: &str, html: bool, day: &str, earlier: &[Pasted]) -> Pasted {
    let sheets = if html {
        tables::from_cells(&markup::cells(raw))
    } else {
        tables::sheets(raw)
    };
    let mut plans: Vec<Plan> = Vec::new();
    for (n, sheet) in sheets.iter().enumerate() {
        let mut before: Vec<(&Sheet, &Plan)> = Vec::new();
        for p in earlier {
            before.extend(p.sheets.iter().zip(&p.plans));
        }
        before.extend(sheets.iter().take(n).zip(&plans));
        let plan = tables::propose_after(sheet, &before);
        plans.push(plan);
    }
    Pasted {
        raw: raw.to_owned(),
        html,
        day: day.to_owned(),
        used: sheets.iter().map(|s| !s.rows.is_empty()).collect(),
        sheets,
        plans,
        corrected: Vec::new(),
    }
}

fn correct(p: &mut Pasted, sheet: usize, column: usize, choice: usize) {
    let Some(plan) = p.plans.get_mut(sheet) else {
        return;
    };
    if column == ABOUT {
        if let Some(what) = WHATS.get(choice) {
            plan.what = *what;
        }
    } else if let (Some(c), Some(role)) = (plan.columns.get_mut(column), Column::ALL.get(choice)) {
        c.role = *role;
        c.sure = true;
        c.why = "You said so.".to_owned();
    }
    p.corrected
        .retain(|c| !matches!(c, [s, at, _] if *s == sheet && *at == column));
    p.corrected.push([sheet, column, choice]);
}
