//! Checklists under way: kept on the device with every tap, and in the notebook
//! as a record.
//!
//! A tap must never be lost, also when the phone is put away the next moment. So
//! each change goes to the small storage at once, which can't wait, and then to
//! the notebook, as a browser that is killed loses the last seconds of its small
//! storage. What the notebook has not is put into it when the page is left and at
//! the next start.

use crate::app::App;
use crate::platform::{device, page, storage};
use crate::text;
use care::Run;
use notebook::{Data, Edit, Item, Key, Record, kinds};
use serde_json::{Map, Value, json};
use std::cell::RefCell;

/// Where checklists under way are kept, by their records' ids.
const RUNS: &str = "faultleaf.runs";

thread_local! {
    /// What this page wrote into the notebook last, for each record: it is
    /// written over, or each tap would be a version for good.
    static WRITTEN: RefCell<Vec<(String, Vec<Key>, Key)>> = const { RefCell::new(Vec::new()) };
    /// What is being saved.
    static SAVING: RefCell<Vec<String>> = const { RefCell::new(Vec::new()) };
}

/// A checklist and where it belongs.
#[derive(Clone, Debug, Default)]
pub struct Going {
    /// The id of its record.
    pub id: String,
    /// The console, if any.
    pub console: String,
    /// The job, if any.
    pub job: String,
    /// The day it was begun.
    pub day: String,
    /// What it is called: the kinds of work.
    pub name: String,
    /// The checklist itself.
    pub run: Run,
    /// The turn up to which the notebook has it.
    saved: u32,
}

impl Going {
    /// A new one.
    pub fn new(console: &str, job: &str, name: &str, run: Run) -> Self {
        Self {
            id: device::random_id(),
            console: console.to_owned(),
            job: job.to_owned(),
            day: device::today(),
            name: name.to_owned(),
            run,
            saved: 0,
        }
    }

    /// Its page.
    pub fn address(&self) -> String {
        address(&self.id)
    }

    /// Where one goes back to from it: the console, else the bench.
    pub fn home(&self) -> (String, &'static str) {
        if self.console.is_empty() {
            ("/bench".to_owned(), "Back to the bench")
        } else {
            (
                crate::consoles::address(&self.console),
                "Back to the console",
            )
        }
    }

    fn to_json(&self) -> Value {
        json!({ "console": self.console, "job": self.job, "day": self.day,
            "name": self.name, "saved": self.saved, "state": self.run.to_json() })
    }

    fn from_json(id: &str, all: &Value) -> Option<Self> {
        let text = |name: &str| all.get(name).and_then(Value::as_str).unwrap_or_default();
        let saved = all.get("saved").and_then(Value::as_u64).unwrap_or_default();
        Some(Self {
            id: id.to_owned(),
            console: text("console").to_owned(),
            job: text("job").to_owned(),
            day: text("day").to_owned(),
            name: text("name").to_owned(),
            run: a_run(all.get("state")?)?,
            saved: u32::try_from(saved).unwrap_or_default(),
        })
    }

    /// The one that a record holds.
    pub fn of(item: &Item) -> Option<Self> {
        let run = a_run(item.view.data.get("state")?)?;
        Some(Self {
            id: item.id.clone(),
            console: item.text("console").to_owned(),
            job: item.text("job").to_owned(),
            day: item.text("day").to_owned(),
            name: item.text("name").to_owned(),
            saved: run.turn,
            run,
        })
    }

    /// Puts it into what a record says. What the person wrote on the record
    /// stays.
    fn write_into(&self, data: &mut Data) {
        let counts = self.run.counts();
        let (mut skips, mut notes) = (Vec::new(), Vec::new());
        for (n, line) in self.run.list.iter().enumerate() {
            if let Some(why) = self.run.skipped(n) {
                skips.push("Skipped \u{201c}".to_owned() + &line.text + "\u{201d}: " + why);
            }
            if let Some(note) = self.run.notes.get(n).filter(|t| !t.trim().is_empty()) {
                notes.push(line.text.clone() + " " + note);
            }
        }
        let ended = self.run.ended.map_or_else(String::new, |_| device::today());
        if ended.is_empty() {
            data.remove("ended");
        }
        let all = [
            ("console", json!(self.console)),
            ("job", json!(self.job)),
            ("name", json!(self.name)),
            ("done", json!(counts.done)),
            ("skipped", json!(counts.skipped)),
            ("open", json!(counts.open)),
            ("skips", json!(skips.join("\n"))),
            ("notes", json!(notes.join("\n"))),
            ("state", self.run.to_json()),
        ];
        for (field, value) in all {
            if value == "" {
                data.remove(field);
            } else {
                data.insert(field.to_owned(), value);
            }
        }
        for (field, day) in [("day", &self.day), ("ended", &ended)] {
            if !day.is_empty() && notebook::text(data, field).is_empty() {
                data.insert(field.to_owned(), json!(day));
            }
        }
    }
}

/// A checklist without a step is none: there is nothing to show of it.
fn a_run(state: &Value) -> Option<Run> {
    Run::from_json(state).filter(|r| !r.list.is_empty())
}

/// The page of a checklist.
pub fn address(id: &str) -> String {
    "/bench/run/".to_owned() + id
}

/// Keeps it on this device, at once. Gives `false` when it is only there until
/// the page is closed.
fn put(going: &Going) -> bool {
    let mut all = storage::object(RUNS);
    all.insert(going.id.clone(), going.to_json());
    storage::set(RUNS, &Value::Object(all))
}

/// All that are under way on this device.
pub fn all() -> Vec<Going> {
    let held = storage::object(RUNS);
    held.iter()
        .filter_map(|(id, all)| Going::from_json(id, all))
        .collect()
}

/// The checklist as another tab of this device left it, if it went further than
/// this turn.
pub fn further(id: &str, turn: u32) -> Option<Going> {
    local(id).filter(|g| g.run.turn > turn)
}

fn local(id: &str) -> Option<Going> {
    Going::from_json(id, storage::object(RUNS).get(id)?)
}

fn forget(id: &str) {
    let mut all: Map<String, Value> = storage::object(RUNS);
    if all.remove(id).is_some() {
        storage::set(RUNS, &Value::Object(all));
    }
}

/// The checklist of this id: from this device or from the notebook, whichever
/// went further.
pub async fn open(app: App, id: &str) -> Option<Going> {
    let here = local(id);
    let record = app.notes.quiet_record(id).await;
    let kept = record.as_ref().map(Item::of).filter(|i| !i.view.gone);
    match (here, kept.as_ref().and_then(Going::of)) {
        (Some(here), Some(kept)) if kept.run.turn > here.run.turn => Some(kept),
        (Some(here), _) if record.is_none() || kept.is_some() => Some(here),
        (_, kept) => kept,
    }
}

/// Takes up what the notebook has: from now on it is under way on this device,
/// unless it ended.
pub fn take_up(going: &Going) {
    if going.run.ended.is_none() {
        put(going);
    } else {
        forget(&going.id);
    }
}

/// Whether this device holds the checklist as one that is under way.
pub fn is_here(id: &str) -> bool {
    local(id).is_some()
}

/// Puts it into the notebook as it stands on this device. What goes wrong is
/// told on top of the page, and tried again later. One save of a checklist goes
/// after the other. Gives `false` when it could not be saved.
pub async fn save(app: App, id: &str) -> bool {
    if SAVING.with_borrow(|all| all.iter().any(|known| known == id)) {
        return true;
    }
    SAVING.with_borrow_mut(|all| all.push(id.to_owned()));
    let mut saved = true;
    while let Some(going) = local(id).filter(|g| saved && g.saved != g.run.turn) {
        saved = write(app, going).await;
    }
    SAVING.with_borrow_mut(|all| all.retain(|known| known != id));
    saved
}

/// Keeps it on this device and in the notebook. That it is in neither is said.
pub fn keep(app: App, going: &Going) {
    let (here, id) = (put(going), going.id.clone());
    leptos::task::spawn_local(async move {
        if !save(app, &id).await && !here {
            app.toasts.stay(text::RUN_NOT_KEPT);
        }
    });
}

async fn write(app: App, going: Going) -> bool {
    let (id, turn) = (going.id.as_str(), going.run.turn);
    let record = app.notes.quiet_record(id).await;
    let new = || Edit::new(id, kinds::RUN, Data::new());
    let mut edit = record.as_ref().map_or_else(new, Edit::of);
    if edit.gone {
        // It was deleted; a list that goes on does not bring it back.
        forget(id);
        app.toasts.stay(text::RUN_DELETED);
        return true;
    }
    let kept = record.as_ref().map(Item::of).and_then(|i| Going::of(&i));
    if let Some(kept) = kept.filter(|k| k.run.turn > turn) {
        // This device has an older copy: a browser that is killed loses the last
        // seconds of its small storage.
        take_up(&kept);
        return true;
    }
    going.write_into(&mut edit.data);
    amend(record.as_ref(), &mut edit);
    let seen = edit.seen.clone();
    let Ok(saved) = app.notes.save(&[edit], &[]).await else {
        return false;
    };
    if let Some(saved) = saved.first() {
        WRITTEN.with_borrow_mut(|w| {
            w.retain(|(known, ..)| known != id);
            w.push((id.to_owned(), seen, saved.key.clone()));
        });
    }
    // It may have gone on meanwhile.
    if let Some(mut now) = local(id) {
        if now.run.turn == turn && now.run.ended.is_some() {
            forget(id);
        } else {
            now.saved = turn;
            put(&now);
        }
    }
    true
}

/// Writes over what this page wrote before, as long as nobody else wrote since.
fn amend(record: Option<&Record>, edit: &mut Edit) {
    let Some(record) = record else { return };
    WRITTEN.with_borrow(|w| {
        if let Some((_, seen, key)) = w.iter().find(|(id, ..)| *id == record.id)
            && record.seen() == std::slice::from_ref(key)
        {
            edit.seen.clone_from(seen);
            edit.amend = Some(key.clone());
        }
    });
}

/// Saves what is not in the notebook yet: now, and whenever the page is left.
pub fn start(app: App) {
    let save_all = move || {
        for going in all() {
            if going.saved != going.run.turn {
                leptos::task::spawn_local(async move {
                    save(app, &going.id).await;
                });
            }
        }
    };
    save_all();
    page::on_leaving(save_all);
}
