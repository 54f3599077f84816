//! Random histories of three devices, and what they must come to.

use notebook::{Data, Key, Record, View};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

const FIELDS: [&str; 3] = ["name", "note", "board"];
const RECORDS: usize = 2;

/// What happens.
#[derive(Clone, Debug)]
enum Step {
    /// A form is opened on a device.
    Open(usize, usize),
    /// Something is typed into a field of the open form, or of a new one.
    Type(usize, usize, usize),
    /// The form is closed.
    Close(usize, usize),
    /// The record is deleted.
    Delete(usize, usize),
    /// It is brought back.
    Restore(usize, usize),
    /// The second device takes in all of the first.
    Sync(usize, usize),
    /// A copy of all of a device is put aside.
    Export(usize),
    /// A device takes in one of the copies.
    Import(usize, usize),
}

fn step() -> impl Strategy<Value = Step> {
    let d = 0..3_usize;
    let r = 0..RECORDS;
    prop_oneof![
        2 => (d.clone(), r.clone()).prop_map(|(d, r)| Step::Open(d, r)),
        6 => (d.clone(), r.clone(), 0..FIELDS.len()).prop_map(|(d, r, f)| Step::Type(d, r, f)),
        3 => (d.clone(), r.clone()).prop_map(|(d, r)| Step::Close(d, r)),
        1 => (d.clone(), r.clone()).prop_map(|(d, r)| Step::Delete(d, r)),
        1 => (d.clone(), r).prop_map(|(d, r)| Step::Restore(d, r)),
        5 => (d.clone(), d.clone()).prop_map(|(a, b)| Step::Sync(a, b)),
        1 => d.clone().prop_map(Step::Export),
        1 => (d, 0..8_usize).prop_map(|(d, n)| Step::Import(d, n)),
    ]
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    prop::collection::vec(step(), 1..45)
}

/// One change of one field, as it was typed. The field after the last is
/// whether the record is there.
#[derive(Clone, Debug)]
struct Written {
    record: usize,
    field: usize,
    value: Value,
    /// All that the person who typed it could see, by number.
    past: BTreeSet<usize>,
}

const THERE: usize = FIELDS.len();

#[derive(Clone, Debug, Default)]
struct Form {
    seen: Vec<Key>,
    key: Option<Key>,
    data: Data,
    /// Fields that stood in two ways when the form was opened; saving decides.
    open: Vec<usize>,
    past: BTreeSet<usize>,
}

#[derive(Clone, Default)]
struct Device {
    records: BTreeMap<usize, Record>,
    forms: BTreeMap<usize, Form>,
}

#[derive(Default)]
struct World {
    devices: Vec<Device>,
    copies: Vec<BTreeMap<usize, Record>>,
    writes: Vec<Written>,
    /// What each state of each version knows.
    knows: BTreeMap<(usize, Key), BTreeSet<usize>>,
    /// The last state of each version, and what it said.
    last: BTreeMap<(usize, u64, String), (u64, bool, Data)>,
    time: i64,
}

fn number(field: &str) -> usize {
    FIELDS.iter().position(|f| *f == field).unwrap()
}

impl World {
    fn after(steps: &[Step]) -> Self {
        let mut world = Self {
            devices: vec![Device::default(); 3],
            ..Self::default()
        };
        for step in steps {
            world.step(step);
        }
        world
    }

    fn step(&mut self, step: &Step) {
        match *step {
            Step::Open(d, r) => {
                let form = self.form(d, r);
                self.devices[d].forms.insert(r, form);
            }
            Step::Type(d, r, f) => {
                let mut form = match self.devices[d].forms.remove(&r) {
                    Some(form) => form,
                    None => self.form(d, r),
                };
                let value = json!(format!("typed {}", self.writes.len()));
                form.data.insert(FIELDS[f].to_owned(), value);
                let mut fields = std::mem::take(&mut form.open);
                fields.push(f);
                fields.push(THERE);
                self.save(d, r, &mut form, &fields, false);
                self.devices[d].forms.insert(r, form);
            }
            Step::Close(d, r) => {
                self.devices[d].forms.remove(&r);
            }
            Step::Delete(d, r) if self.devices[d].records.contains_key(&r) => {
                let mut form = self.form(d, r);
                self.save(d, r, &mut form, &[THERE], true);
                self.devices[d].forms.remove(&r);
            }
            Step::Restore(d, r) if self.devices[d].records.contains_key(&r) => {
                let mut form = self.form(d, r);
                let mut fields = form.open.clone();
                fields.push(THERE);
                self.save(d, r, &mut form, &fields, false);
                self.devices[d].forms.remove(&r);
            }
            Step::Delete(..) | Step::Restore(..) => {}
            Step::Sync(a, b) => {
                let all = self.devices[a].records.clone();
                self.take(b, &all);
            }
            Step::Export(d) => self.copies.push(self.devices[d].records.clone()),
            Step::Import(d, n) => {
                if let Some(all) = self.copies.get(n).cloned() {
                    self.take(d, &all);
                }
            }
        }
    }

    fn take(&mut self, d: usize, all: &BTreeMap<usize, Record>) {
        for (r, other) in all {
            self.devices[d]
                .records
                .entry(*r)
                .and_modify(|own| own.merge(other))
                .or_insert_with(|| other.clone());
        }
    }

    /// A form as it opens on what the device has.
    fn form(&self, d: usize, r: usize) -> Form {
        let Some(record) = self.devices[d].records.get(&r) else {
            return Form::default();
        };
        let view = record.view();
        let open = view.clashes.iter().map(|(name, _)| number(name)).collect();
        Form {
            seen: record.seen(),
            key: None,
            data: view.data,
            open,
            past: self.known(r, record),
        }
    }

    /// Everything typed that went into this record.
    fn known(&self, r: usize, record: &Record) -> BTreeSet<usize> {
        let mut all = BTreeSet::new();
        for version in record.versions() {
            all.extend(&self.knows[&(r, version.key.clone())]);
        }
        all
    }

    fn save(&mut self, d: usize, r: usize, form: &mut Form, fields: &[usize], gone: bool) {
        self.time += 10;
        let by = format!("device-{d}");
        let record = self.devices[d]
            .records
            .entry(r)
            .or_insert_with(|| Record::new(&format!("record-{r}"), "console", self.time));
        let data = form.data.clone();
        let key = record.write(
            &by,
            self.time,
            &form.seen,
            form.key.as_ref(),
            gone,
            data.clone(),
        );
        for &field in fields {
            let value = match FIELDS.get(field) {
                Some(name) => form.data.get(*name).cloned().unwrap_or(Value::Null),
                None => json!(!gone),
            };
            self.writes.push(Written {
                record: r,
                field,
                value,
                past: form.past.clone(),
            });
        }
        let from = self.writes.len() - fields.len();
        form.past.extend(from..self.writes.len());
        self.knows.insert((r, key.clone()), form.past.clone());
        self.last
            .insert((r, key.rev, key.by.clone()), (key.n, gone, data));
        form.key = Some(key);
    }

    /// The values of a field that nobody has replaced, knowing them.
    fn expected(&self, r: usize, field: usize, record: &Record) -> BTreeSet<String> {
        let known = self.known(r, record);
        let own: Vec<usize> = known
            .into_iter()
            .filter(|w| self.writes[*w].record == r && self.writes[*w].field == field)
            .collect();
        own.iter()
            .filter(|w| !own.iter().any(|v| self.writes[*v].past.contains(w)))
            .map(|w| self.writes[*w].value.to_string())
            .collect()
    }

    /// Whether somebody saw a state of a version that was written over later.
    fn between(record: &Record) -> bool {
        record.versions().iter().any(|v| {
            v.seen
                .iter()
                .any(|k| record.find(k.rev, &k.by).is_some_and(|w| w.key.n > k.n))
        })
    }

    fn check(&self, r: usize, record: &Record) -> Result<(), TestCaseError> {
        let view = record.view();
        let there = self.expected(r, THERE, record);
        prop_assert_eq!(view.gone, !there.contains("true"), "gone: {:?}", there);
        prop_assert_eq!(view.deleted_elsewhere, there.len() > 1);
        if view.gone {
            return Ok(());
        }
        for (f, name) in FIELDS.iter().enumerate() {
            let expected = self.expected(r, f, record);
            let told = told(&view, name);
            if expected.is_empty() {
                prop_assert!(told.is_empty(), "{} says {:?}", name, told);
            } else if Self::between(record) {
                prop_assert!(
                    expected.is_subset(&told),
                    "{}: {:?} of {:?}",
                    name,
                    told,
                    expected
                );
            } else {
                prop_assert_eq!(told, expected, "field {}", name);
            }
        }
        Ok(())
    }
}

/// Everything the view says of a field: what stands, and the clashing values.
fn told(view: &View, name: &str) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = view
        .data
        .get(name)
        .map(Value::to_string)
        .into_iter()
        .collect();
    for (field, values) in &view.clashes {
        if field == name {
            if all.is_empty() {
                all.insert("null".to_owned());
            }
            all.extend(values.iter().map(Value::to_string));
        }
    }
    all
}

fn joined(a: &Record, b: &Record) -> Record {
    let mut all = a.clone();
    all.merge(b);
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6 * ProptestConfig::default().cases, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_device_shows_what_was_typed_and_not_replaced(steps in steps()) {
        let world = World::after(&steps);
        for device in &world.devices {
            for (r, record) in &device.records {
                world.check(*r, record)?;
            }
        }
    }

    #[test]
    fn all_exchange_everything_and_nothing_is_lost(steps in steps(), order in Just([0, 1, 2]).prop_shuffle()) {
        let mut world = World::after(&steps);
        let [a, b, c] = order;
        for (from, to) in [(a, b), (b, c), (c, a), (a, b)] {
            world.step(&Step::Sync(from, to));
        }
        prop_assert_eq!(&world.devices[0].records, &world.devices[1].records);
        prop_assert_eq!(&world.devices[0].records, &world.devices[2].records);
        for (r, record) in &world.devices[0].records {
            world.check(*r, record)?;
            let mine = world.last.iter().filter(|((of, ..), _)| of == r);
            for ((_, rev, by), (n, gone, data)) in mine {
                let version = record.find(*rev, by);
                prop_assert!(version.is_some(), "version {} of {} is lost", rev, by);
                let version = version.unwrap();
                prop_assert_eq!(version.key.n, *n);
                prop_assert_eq!(version.gone, *gone);
                prop_assert_eq!(&version.data, data);
            }
        }
    }

    #[test]
    fn who_has_seen_everything_wins_without_a_clash(steps in steps(), d in 0..3_usize, f in 0..3_usize) {
        let mut world = World::after(&steps);
        for from in 0..3 {
            world.step(&Step::Sync(from, d));
        }
        let records: Vec<usize> = world.devices[d].records.keys().copied().collect();
        for r in records {
            world.step(&Step::Close(d, r));
            world.step(&Step::Type(d, r, f));
            let said = world.devices[d].forms[&r].data.clone();
            for to in 0..3 {
                world.step(&Step::Sync(d, to));
                let view = world.devices[to].records[&r].view();
                prop_assert_eq!(&view.data, &said);
                prop_assert!(view.clashes.is_empty() && !view.gone && !view.deleted_elsewhere);
            }
        }
    }

    #[test]
    fn the_order_and_number_of_merges_makes_no_difference(steps in steps()) {
        let world = World::after(&steps);
        let all = |d: usize| world.devices[d].records.get(&0);
        if let (Some(a), Some(b), Some(c)) = (all(0), all(1), all(2)) {
            prop_assert_eq!(joined(a, b), joined(b, a));
            prop_assert_eq!(joined(&joined(a, b), c), joined(a, &joined(b, c)));
            prop_assert_eq!(&joined(a, a), a);
            prop_assert_eq!(joined(&joined(a, b), b), joined(a, b));
        }
    }

    #[test]
    fn a_record_reads_back_equal_from_its_text(steps in steps()) {
        let world = World::after(&steps);
        for record in world.devices.iter().flat_map(|d| d.records.values()) {
            let mut trouble = Vec::new();
            let back = Record::from_text(&record.to_json().to_string(), &mut trouble).unwrap();
            prop_assert_eq!(&back, record);
            prop_assert!(trouble.is_empty());
        }
    }
}
