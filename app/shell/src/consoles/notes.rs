//! The open notebook: the one way from the pages to the database, and the word
//! to all pages that something changed.

use crate::books::shelf::Shelf;
use crate::platform::state::{Kept, State};
use crate::platform::{device, page, storage};
use crate::text;
use crate::widgets::toast::Toasts;
use database::{Channel, Database, Event};
use notebook::kinds;
use notebook::timeline::Named;
use notebook::{Edit, Fault, Item, Keeper, Key, Record, Row, Saved, Store, Trouble};
use serde_json::Value;
use web_sys::Blob;

/// The database's name.
const NAME: &str = "faultleaf";
/// Where this device's part of the writer's name is kept.
const DEVICE: &str = "faultleaf.device";
/// Edits that a page could not save before it was left, by their records' ids.
const PENDING: &str = "faultleaf.pending";
/// When each console was touched last on this device, for the order of the list.
const TOUCHED: &str = "faultleaf.touched";
/// Rows read at once where all are read: few enough that a key pressed meanwhile
/// is answered at once.
const BATCH: u32 = 250;

/// The notebook, as pages use it.
#[derive(Clone, Copy)]
pub struct Notes {
    /// One for the life of the page.
    keeper: &'static Keeper<Database>,
    channel: Kept<Channel>,
    /// Goes up whenever anything in the notebook changed, here or in another
    /// tab.
    pub tick: State<u32>,
    /// What keeps the notebook from working, for the bar on top; empty if
    /// nothing.
    pub trouble: State<String>,
    /// The id of what another tab changed last.
    pub elsewhere: State<String>,
    /// Goes up when a code book in the notebook may have changed.
    pub books: State<u32>,
    asked: Kept<bool>,
    /// The code books, for names.
    pub shelf: Shelf,
    /// Short messages.
    pub toasts: Toasts,
}

/// Records that were read together, and those that can't be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// The records, deleted ones too, in the order of their ids.
    pub records: Vec<Record>,
    /// Damaged rows, with what is wrong.
    pub damaged: Vec<(Row, Trouble)>,
}

impl Page {
    /// Sorts rows into records and damaged ones.
    pub fn of(rows: Vec<Row>) -> Self {
        let mut page = Self::default();
        page.add(rows);
        page
    }

    /// Adds more rows.
    pub fn add(&mut self, rows: Vec<Row>) {
        for row in rows {
            match row.record(&mut Vec::new()) {
                Ok(record) => self.records.push(record),
                Err(trouble) => self.damaged.push((row, trouble)),
            }
        }
    }

    /// What the records say, without deleted ones.
    pub fn items(&self) -> Vec<Item> {
        let all = self.records.iter().map(Item::of);
        all.filter(|i| !i.view.gone).collect()
    }

    /// A record that is there and not deleted.
    pub fn item(&self, id: &str) -> Option<Item> {
        let found = self.records.iter().find(|r| r.id == id)?;
        Some(Item::of(found)).filter(|i| !i.view.gone)
    }
}

impl Notes {
    /// Opens the notebook, lazily: the database is first asked when a page
    /// needs it.
    pub fn start(shelf: Shelf, toasts: Toasts) -> Self {
        let trouble = State::new(String::new());
        let database = Database::new(NAME, move |event| {
            trouble.set(
                match event {
                    Event::NewerElsewhere => text::DB_NEWER_ELSEWHERE,
                    Event::Blocked => text::DB_BLOCKED,
                    Event::Unblocked => "",
                }
                .to_owned(),
            );
        });
        let device = storage::get(DEVICE)
            .and_then(|v| v.as_str().map(str::to_owned))
            .unwrap_or_else(|| {
                let new = short(&device::random_id());
                storage::set(DEVICE, &new.as_str().into());
                new
            });
        let keeper = Keeper {
            store: database,
            by: device + "." + &short(&device::random_id()),
        };
        let notes = Self {
            keeper: Box::leak(Box::new(keeper)),
            channel: Kept::new(Channel::default()),
            tick: State::new(0),
            trouble,
            elsewhere: State::new(String::new()),
            books: State::new(0),
            asked: Kept::new(false),
            shelf,
            toasts,
        };
        notes.channel.with_value(|c| {
            c.on(move |id| {
                if id.is_empty() || kinds::book_of(&id).is_some() {
                    notes.books.notify();
                }
                notes.elsewhere.set(id);
                notes.tick.update(|t| *t = t.wrapping_add(1));
            });
        });
        page::on_return(move || {
            leptos::task::spawn_local(async move {
                if let Err(fault) = notes.keeper.store.probe().await {
                    notes.report(&fault);
                }
            });
        });
        notes.take_up_pending();
        notes
    }

    /// The database itself, for what only the backup and the settings do.
    pub fn store(self) -> Database {
        self.keeper.store.clone()
    }

    /// Merges what a backup brings.
    pub async fn merge(
        self,
        records: &[Record],
        photos: &[(String, Blob)],
    ) -> Result<Vec<String>, Fault> {
        self.keeper.merge(records, photos).await
    }

    /// Puts a fault where a person sees it.
    pub fn report(self, fault: &Fault) -> String {
        let words = fault_words(fault);
        self.trouble.set(words.clone());
        words
    }

    /// Tells all pages, here and in other tabs, that something changed.
    pub fn tell(self, id: &str) {
        if id.is_empty() {
            self.books.notify();
        }
        self.tick.update(|t| *t = t.wrapping_add(1));
        self.channel.with_value(|c| c.say(id));
    }

    /// Saves; what goes wrong is said on top of the page and given back.
    pub async fn save(
        self,
        edits: &[Edit],
        photos: &[(String, Blob)],
    ) -> Result<Vec<Saved>, String> {
        self.ask_once();
        match self.keeper.save(edits, photos, device::now_ms()).await {
            Ok(saved) => {
                self.trouble.set(String::new());
                for edit in edits {
                    self.touch(edit);
                    self.tell(&edit.id);
                }
                Ok(saved)
            }
            Err(fault) => Err(self.report(&fault)),
        }
    }

    fn touch(self, edit: &Edit) {
        let console = match edit.kind.as_str() {
            "console" => edit.id.as_str(),
            _ => notebook::text(&edit.data, "console"),
        };
        let mut all = self.touched();
        if !console.is_empty() {
            all.insert(console.to_owned(), device::now_ms().into());
            storage::set(TOUCHED, &all.into());
        }
    }

    /// When each console was touched last on this device, by its id, in
    /// milliseconds since 1970.
    pub fn touched(self) -> notebook::Data {
        storage::object(TOUCHED)
    }

    /// Asks the browser once to keep the notebook also when room is short.
    fn ask_once(self) {
        if !self.asked.get_value() {
            self.asked.set_value(true);
            leptos::task::spawn_local(async {
                database::persist().await;
            });
        }
    }

    /// Writes one new version of a record: what `change` makes of what it says
    /// now. Gives what it said before.
    pub async fn edit(
        self,
        id: &str,
        change: impl FnOnce(&mut notebook::Data, &mut bool),
    ) -> Option<Record> {
        let record = self.record(id).await?;
        let mut edit = Edit::of(&record);
        change(&mut edit.data, &mut edit.gone);
        self.save(&[edit], &[]).await.ok()?;
        if kinds::book_of(id).is_some() {
            self.books.notify();
        }
        Some(record)
    }

    /// Deletes a record, with an undo.
    pub fn delete(self, id: String, words: &'static str) {
        leptos::task::spawn_local(async move {
            if self.edit(&id, |_, gone| *gone = true).await.is_some() {
                let back = id.clone();
                self.toasts
                    .undoable(words, move || self.bring_back(back.clone()));
            }
        });
    }

    /// Takes a deletion back.
    pub fn bring_back(self, id: String) {
        leptos::task::spawn_local(async move {
            self.edit(&id, |_, gone| *gone = false).await;
        });
    }

    /// One record, if it is there and can be read.
    pub async fn record(self, id: &str) -> Option<Record> {
        let found = self.read(id).await;
        found.map_err(|fault| self.report(&fault)).ok().flatten()
    }

    async fn read(self, id: &str) -> Result<Option<Record>, Fault> {
        let row = self.keeper.store.row(id).await?;
        Ok(row.and_then(|r| r.record(&mut Vec::new()).ok()))
    }

    /// All records of these kinds.
    pub async fn kinds(self, kinds: &[&str]) -> Result<Page, String> {
        let mut page = Page::default();
        for kind in kinds {
            match self.keeper.store.of_kind(kind).await {
                Ok(rows) => page.add(rows),
                Err(fault) => return Err(self.report(&fault)),
            }
        }
        Ok(page)
    }

    /// One record, if it is there and can be read. That there is no notebook is
    /// not said.
    pub async fn quiet_record(self, id: &str) -> Option<Record> {
        self.read(id).await.ok().flatten()
    }

    /// All records of a kind. That there is no notebook is not said: nobody
    /// asked for it yet.
    pub async fn quiet_kind(self, kind: &str) -> Result<Page, Fault> {
        self.keeper.store.of_kind(kind).await.map(Page::of)
    }

    /// All records of a console, its own too.
    pub async fn console(self, id: &str) -> Result<Page, String> {
        match self.keeper.store.of_console(id).await {
            Ok(rows) => Ok(Page::of(rows)),
            Err(fault) => Err(self.report(&fault)),
        }
    }

    /// The next rows of all, after this id.
    pub async fn batch(self, after: &str) -> Result<Vec<Row>, String> {
        let rows = self.keeper.store.rows_after(after, BATCH).await;
        rows.map_err(|fault| self.report(&fault))
    }

    /// Hands all rows over, some at a time, until `take` has enough.
    pub async fn through(self, take: &mut dyn FnMut(Vec<Row>) -> bool) -> Result<(), String> {
        let mut after = String::new();
        loop {
            let rows = self.batch(&after).await?;
            let Some(last) = rows.last() else {
                return Ok(());
            };
            after = last.id.clone();
            if !take(rows) {
                return Ok(());
            }
        }
    }

    /// Wipes deleted records for good.
    pub async fn wipe(self, ids: &[String]) {
        if let Err(fault) = self.keeper.wipe(ids).await {
            self.report(&fault);
        }
    }

    /// A photo's file.
    pub async fn photo(self, id: &str) -> Option<Blob> {
        match self.keeper.store.photo(id).await {
            Ok(found) => found,
            Err(fault) => {
                self.report(&fault);
                None
            }
        }
    }

    /// The name of something in the code book with this id.
    pub fn name(self, book: &str, what: Named, id: &str) -> Option<String> {
        let held = self
            .shelf
            .find(if what == Named::Book { id } else { book })?;
        let m = &held.book.model;
        match what {
            Named::Book => Some(m.name.clone()),
            Named::Board => {
                let board = m.boards.iter().find(|b| b.id == id)?;
                Some(board.id.clone() + " " + &board.name)
            }
            Named::Cause => {
                let cause = m.causes.iter().find(|c| c.id == id);
                let none = id == diagnosis::prior::NOT_LISTED;
                let none = || none.then(|| diagnosis::frozen::NONE.to_owned());
                cause.map(|c| c.title.clone()).or_else(none)
            }
            Named::Symptom => {
                let symptom = m.symptoms.iter().find(|s| s.id == id)?;
                Some(symptom.title.clone())
            }
        }
    }

    /// Keeps an edit that there is no time left to save properly; see
    /// [`Notes::take_up_pending`].
    pub fn pending(self, edit: &Edit) {
        let seen: Vec<Value> = edit.seen.iter().map(Key::to_json).collect();
        let mut kept = notebook::Data::new();
        kept.insert("kind".to_owned(), edit.kind.clone().into());
        kept.insert("by".to_owned(), self.keeper.by.clone().into());
        kept.insert("seen".to_owned(), seen.into());
        kept.insert("data".to_owned(), edit.data.clone().into());
        let mut all = storage::object(PENDING);
        all.insert(edit.id.clone(), kept.into());
        storage::set(PENDING, &all.into());
    }

    /// A record that was kept aside is saved.
    pub fn saved_after_all(self, id: &str) {
        let mut all = storage::object(PENDING);
        if all.remove(id).is_some() {
            storage::set(PENDING, &all.into());
        }
    }

    /// Saves what pages could not save when they were left.
    fn take_up_pending(self) {
        for (id, kept) in storage::object(PENDING) {
            leptos::task::spawn_local(self.take_up(id, kept));
        }
    }

    async fn take_up(self, id: String, kept: Value) {
        let text = |name| {
            kept.get(name)
                .and_then(Value::as_str)
                .unwrap_or("")
                .to_owned()
        };
        let Some(Value::Object(data)) = kept.get("data").cloned() else {
            return;
        };
        let seen = kept.get("seen").and_then(Value::as_array);
        let edit = Edit {
            id,
            kind: text("kind"),
            seen: seen
                .into_iter()
                .flatten()
                .filter_map(Key::from_json)
                .collect(),
            data,
            ..Edit::default()
        };
        // The form may have got it through after all.
        let by = text("by");
        let same = self.record(&edit.id).await.is_some_and(|r| {
            let mut all = r.versions().iter();
            all.any(|v| v.key.by == by && v.data == edit.data)
        });
        if same || self.save(std::slice::from_ref(&edit), &[]).await.is_ok() {
            self.saved_after_all(&edit.id);
        }
    }
}

fn short(id: &str) -> String {
    id.chars().take(6).collect()
}

/// A fault in words: what is the matter, and what to do.
pub fn fault_words(fault: &Fault) -> String {
    match fault {
        Fault::Full => text::DB_FULL.to_owned(),
        Fault::Blocked => text::DB_BLOCKED.to_owned(),
        Fault::Newer => text::DB_NEWER.to_owned(),
        Fault::Lost => text::DB_LOST.to_owned(),
        Fault::Forbidden => text::DB_FORBIDDEN.to_owned(),
        Fault::Damaged(t) => text::DB_DAMAGED.to_owned() + " " + &t.why,
        Fault::Other(why) => text::DB_OTHER.to_owned() + " " + why,
    }
}
