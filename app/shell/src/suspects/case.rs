//! Everything that is known about a job, gathered for the pages about suspects.

use super::weights::Chosen;
use crate::app::App;
use crate::consoles::{Want, address, back, job, loaded, split};
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::platform::{device, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, icon, line, link_with, mark, nothing, spoken, tag, title};
use codebook::Book;
use codebook::model::BenchCheck;
use diagnosis::draws::Draws;
use diagnosis::facts::{Facts, Log, of_job, with_result};
use diagnosis::job::{newest_log, outcomes};
use diagnosis::key::Key;
use diagnosis::next::{Options, options};
use diagnosis::plain;
use diagnosis::prior::{Outcome, Priors, priors};
use diagnosis::suspects::{Answer, Question, Suspect, answer};
use diagnosis::trial::{Turn, turned};
use notebook::{Edit, Item, View, timeline};
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

/// Most causes, checks and repairs of a book that is weighed; more would hold up
/// a phone.
const MOST_ROWS: usize = 200;

/// A change of a suspect's probability that is not worth telling.
const HARDLY: f64 = 0.02;

/// Findings that a person tries out, of one job. Nothing of it is kept.
pub type Trial = State<(String, Turns)>;

/// What is known of a job.
pub struct Case {
    /// The console.
    pub console: Item,
    /// The job.
    pub job: Item,
    /// Its records, oldest first.
    pub items: Vec<Item>,
    /// The code book.
    pub book: Rc<Book>,
    /// The board revision; may be empty.
    pub board: String,
    /// What the person set.
    pub chosen: Chosen,
    /// Closed jobs of the family.
    pub outcomes: Vec<Outcome>,
    /// The newest log.
    pub log: Option<Log>,
    /// What the records say.
    pub facts: Facts,
    /// What is tried out on top of it. Read where it is used, so that a turn does
    /// not gather everything anew.
    trial: Trial,
    /// The priors.
    pub priors: Priors,
    /// Their draws, once a range is asked for.
    draws: OnceCell<Draws>,
    /// What was worked out last: for which turns, whether with ranges, and what.
    last: RefCell<Option<(Turns, bool, Rc<Worked>)>>,
}

/// Findings that are tried out.
type Turns = Vec<(Key, Turn)>;

/// A case worked out.
pub struct Worked {
    /// What was noticed, with what is tried out.
    pub facts: Facts,
    /// The suspects.
    pub answer: Answer,
    /// What can be done.
    pub options: Options,
}

impl Case {
    /// The address of its pages.
    pub fn address(&self) -> String {
        super::address(&self.console.id, &self.job.id)
    }

    /// What is tried out of this job.
    pub fn turns(&self) -> Turns {
        self.trial.with(|(of, turns)| {
            if *of == self.job.id {
                turns.clone()
            } else {
                Vec::new()
            }
        })
    }

    /// Tries a finding out, or with no turn goes back to what is known of it.
    pub fn turn(&self, key: &Key, turn: Option<Turn>) {
        page::keep_place();
        self.trial.update(|(of, turns)| {
            if *of != self.job.id {
                of.clone_from(&self.job.id);
                turns.clear();
            }
            turns.retain(|(k, _)| k != key);
            turns.extend(turn.map(|turn| (key.clone(), turn)));
        });
    }

    /// Where power-up stops by the newest log, with what happens there.
    pub fn stop(&self) -> Option<String> {
        let log = self.log.as_ref().filter(|l| l.ordered)?;
        let (step, _) = diagnosis::log::stop(&log.entries, &self.book.model)?;
        let row = self.book.model.steps.iter().find(|s| s.id == step)?;
        Some([step, ", ", &row.name].concat())
    }

    /// The question to the crate `diagnosis`.
    pub fn question<'a>(&'a self, facts: &'a Facts) -> Question<'a> {
        Question {
            book: &self.book.model,
            board: &self.board,
            priors: &self.priors,
            facts,
        }
    }

    /// What a new record would change, in one sentence.
    pub fn moved(&self, edit: &Edit) -> String {
        let model = &self.book.model;
        let item = Item {
            id: edit.id.clone(),
            kind: edit.kind.clone(),
            created: 0,
            changed: 0,
            view: View {
                data: edit.data.clone(),
                ..View::default()
            },
        };
        let mut items: Vec<&Item> = self.items.iter().collect();
        items.push(&item);
        let with = of_job(model, &self.board, &items, self.log.as_ref());
        let (before, after) = (
            answer(&self.question(&self.facts)),
            answer(&self.question(&with)),
        );
        let share = |a: &Answer, at: usize| {
            let found = a.suspects.iter().find(|s| s.at == at);
            found.map(|s| s.now).unwrap_or_default()
        };
        let change = |s: &&Suspect| (s.now - share(&before, s.at)).abs();
        let most = after.suspects.iter();
        let most = most.max_by(|a, b| change(a).total_cmp(&change(b)));
        let (Some(most), Some(leader)) = (most, after.suspects.first()) else {
            return text::NOTED.to_owned();
        };
        let told = |s: &Suspect, was: &str| {
            let name = super::names::suspect(self, s.cause);
            [&name, ", ", &plain::percent(s.now), was].concat()
        };
        if change(&most) < HARDLY {
            return text::NOTED_HARDLY.to_owned() + &told(leader, ".");
        }
        let was = [" (", &plain::percent(share(&before, most.at)), " before)"].concat();
        let mut words = "Noted. Most changed: ".to_owned() + &told(most, &was);
        if leader.at != most.at {
            words += "; first is: ";
            words += &told(leader, "");
        }
        words + "."
    }

    /// Works it out with what is tried out, and follows that. Several parts of a
    /// page ask; it is worked out once.
    pub fn work(&self, ranges: bool) -> Rc<Worked> {
        let turns = self.turns();
        if let Some((of, with, worked)) = &*self.last.borrow()
            && *of == turns
            && (*with || !ranges)
        {
            return worked.clone();
        }
        let worked = Rc::new(self.weigh(turned(&self.facts, &turns), ranges));
        *self.last.borrow_mut() = Some((turns, ranges, worked.clone()));
        worked
    }

    /// What is known alone worked out, without what is tried out.
    pub fn known(&self) -> Worked {
        self.weigh(self.facts.clone(), false)
    }

    /// What it will be when a check gives this result.
    pub fn after(&self, worked: &Worked, check: &BenchCheck, result: usize) -> Worked {
        self.weigh(with_result(&worked.facts, check, result), false)
    }

    /// Checks that can't be done here are left out as if they were done.
    pub fn within_reach(&self, facts: &Facts) -> Facts {
        let mut out = facts.clone();
        let id = self.book.model.id.as_str();
        out.done.extend(self.chosen.cannot(id));
        out
    }

    fn weigh(&self, facts: Facts, ranges: bool) -> Worked {
        let question = self.question(&facts);
        let mut answer = answer(&question);
        if ranges {
            let draws = self.draws.get_or_init(|| Draws::new(&self.priors));
            answer.ranges(&question, draws);
        }
        let reach = self.within_reach(&facts);
        let weights = &self.chosen.weights;
        let options = options(&self.book.model, &self.board, &answer, &reach, weights);
        Worked {
            facts,
            answer,
            options,
        }
    }
}

/// Draws a page of a case, and draws it again when what is known changes.
pub fn with_case(
    app: App,
    console: &str,
    job: &str,
    draw: impl Fn(Rc<Case>) -> Dom + 'static,
) -> Dom {
    let (console, job) = (console.to_owned(), job.to_owned());
    let draw = Rc::new(draw);
    loaded(
        app,
        Want::Kinds(&["console", "job", "follow-up"]),
        move |others| {
            let all = others.items();
            let draw = draw.clone();
            let (id, job) = (console.clone(), job.clone());
            loaded(app, Want::Console(console.clone()), move |found| {
                let items = found.items();
                let draw = draw.clone();
                let (id, job, all) = (id.clone(), job.clone(), all.clone());
                page::keep_place();
                // The heading was not there yet when the address changed.
                page::after_paint(page::focus_heading);
                // Gathered when records, books or prices change; what looks at the
                // trial is drawn again also when a finding is turned.
                Dom::live(move || match gather(app, &id, &job, &items, &all) {
                    Ok(case) => {
                        let (case, draw) = (Rc::new(case), draw.clone());
                        Dom::live(move || draw(case.clone()))
                    }
                    Err(why) => why,
                })
            })
        },
    )
}

/// Gathers a case, or says what is missing.
fn gather(app: App, console: &str, job: &str, items: &[Item], all: &[Item]) -> Result<Case, Dom> {
    let home = items.iter().find(|i| i.id == console);
    let found = items.iter().find(|i| i.id == job && i.kind == "job");
    let (Some(home), Some(found)) = (home, found) else {
        return Err(Dom::many(vec![
            back("/consoles", "All consoles"),
            title(text::SUSPECTS_TITLE),
            line("p", "", text::RECORD_LOST),
        ]));
    };
    let held = app
        .shelf
        .ready
        .get()
        .then(|| app.shelf.find(home.text("book")));
    let missing = |words: &str| {
        let to = address(console);
        let change = to.clone() + "/" + console;
        Dom::many(vec![
            back(&to, "Back to the console"),
            title(text::SUSPECTS_TITLE),
            mark("warn", "info", words),
            tag(
                "div",
                "row",
                vec![
                    link_with("main", &change, "edit", "Choose family and board"),
                    link_with("plain", "/books", "book", "Code books"),
                ],
            ),
        ])
    };
    let Some(held) = held else {
        return Err(line("p", "small", text::LOADING));
    };
    let Some(held) = held else {
        return Err(missing(text::SUSPECTS_NO_BOOK));
    };
    if held.book.model.causes.is_empty() {
        return Err(missing(text::SUSPECTS_NO_CAUSES));
    }
    let board = home.text("board").to_owned();
    let model = &held.book.model;
    if model
        .causes
        .len()
        .max(model.checks.len())
        .max(model.repairs.len())
        > MOST_ROWS
    {
        return Err(missing(text::SUSPECTS_TOO_LARGE));
    }
    let mut own: Vec<Item> = items
        .iter()
        .filter(|i| i.text("job") == job)
        .cloned()
        .collect();
    timeline::order(&mut own);
    own.reverse();
    let refs: Vec<&Item> = own.iter().collect();
    let log = newest_log(items, job);
    let facts = of_job(model, &board, &refs, log.as_ref());
    let chosen = app.chosen.get();
    let outcomes = outcomes(all, &model.id, job);
    let priors = priors(model, &board, &outcomes, chosen.opinion);
    Ok(Case {
        console: home.clone(),
        job: found.clone(),
        book: held.book.clone(),
        items: own,
        board,
        chosen,
        outcomes,
        log,
        facts,
        trial: app.trial,
        priors,
        draws: OnceCell::new(),
        last: RefCell::default(),
    })
}

/// The bar that says that something is tried out, on all pages of a case.
pub fn trial_bar(app: App, case: &Case) -> Dom {
    if case.turns().is_empty() {
        return nothing();
    }
    let worked = case.work(false);
    let first = worked.answer.suspects.first();
    let first = first.map_or_else(String::new, |s| {
        let name = super::names::suspect(case, s.cause);
        [" First: ", &name, ", ", &plain::percent(s.now), "."].concat()
    });
    let words = spoken(
        "",
        vec![line("p", "", text::SUSPECTS_TRIAL.to_owned() + &first)],
    );
    let end = button("plain", "undo", "Back to what is known", move || {
        app.trial.set(Default::default());
        page::after_paint(page::focus_heading);
    });
    tag("div", "notice trial", vec![icon("info"), words, end])
}

/// Goes to the suspects of a console: of its open job, or of a new one that
/// takes in what belongs to no job yet.
pub fn begin(app: App, console: String) {
    leptos::task::spawn_local(async move {
        let Ok(found) = app.notes.console(&console).await else {
            return;
        };
        let items = found.items();
        let open = items
            .iter()
            .filter(|i| i.kind == "job" && i.text("stage") != "closed");
        let newest = open.max_by_key(|i| i.created);
        let job = match newest {
            Some(job) => job.id.clone(),
            None => {
                let id = device::random_id();
                // What belongs to a job that is deleted belongs to none.
                let there = |id: &str| items.iter().any(|j| j.kind == "job" && j.id == id);
                let loose = items.iter().filter(|i| {
                    !there(i.text("job")) && !matches!(i.kind.as_str(), "console" | "job")
                });
                let loose = loose.map(|i| i.id.clone()).collect();
                let mut edits = vec![job::fresh(&console, &id, text::JOB_DEAD)];
                edits.extend(split::moved(app, loose, &id).await);
                if app.notes.save(&edits, &[]).await.is_err() {
                    return;
                }
                id
            }
        };
        route::go(app.route, &super::address(&console, &job));
    });
}
