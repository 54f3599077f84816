//! From the notebook: the log of a job, the outcomes of closed ones, and what
//! was said about them at the time.

use crate::facts::{Before, Log};
use crate::frozen::Frozen;
use crate::log;
use crate::prior::Outcome;
use notebook::{Item, kinds, timeline};
use serde_json::Value;

/// The newest log of a job. `items` are the records of its console. Entries
/// that a closed job of the console already had are marked as earlier; those
/// that an earlier log of the same job had are named with that log.
pub fn newest_log(items: &[Item], job: &str) -> Option<Log> {
    let readings = items.iter().filter(|i| i.kind == "reading");
    let mut own: Vec<Item> = readings
        .clone()
        .filter(|i| i.text("job") == job)
        .cloned()
        .collect();
    // The newest first; as the records of the job are, so that the two agree.
    timeline::order(&mut own);
    let newest = own.first()?;
    let (entries, ordered) = log::entries(&newest.view.data);
    let mut before = Before::default();
    for log in own.iter().skip(1).rev() {
        let (entries, ordered) = log::entries(&log.view.data);
        before.take_in(&log.id, &entries, ordered);
    }
    let closed = |id: &str| {
        let found = items.iter().find(|i| i.kind == "job" && i.id == id);
        found.is_some_and(|j| j.text("stage") == "closed")
    };
    let mut earlier = Vec::new();
    for other in readings.filter(|i| i.text("job") != job && closed(i.text("job"))) {
        let (entries, _) = log::entries(&other.view.data);
        earlier.extend(entries.into_iter().map(|e| e.mark));
    }
    Some(Log {
        record: newest.id.clone(),
        entries,
        ordered,
        earlier,
        before,
    })
}

/// The causes that a closed job showed, by the book; empty when it does not
/// count: not repaired, not from the book, or back with the same fault.
fn held<'i>(items: &'i [Item], job: &'i Item) -> Vec<&'i str> {
    let repaired = job.text("stage") == "closed" && job.text("outcome") == "repaired";
    let back = items.iter().any(|i| {
        i.kind == "follow-up" && i.text("job") == job.id && i.text("found") == "same-fault"
    });
    if !repaired || back {
        return Vec::new();
    }
    let list = job.view.data.get("broken").and_then(Value::as_array);
    list.into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect()
}

/// The outcomes of a family: closed jobs whose cause is confirmed by a repair
/// that held so far. `items` are consoles, jobs and follow-ups. The job `but` is
/// left out: its own end must not count for it.
pub fn outcomes(items: &[Item], book: &str, but: &str) -> Vec<Outcome> {
    let mut out = Vec::new();
    for job in items.iter().filter(|i| i.kind == "job" && i.id != but) {
        let home = items.iter().find(|i| i.id == job.text("console"));
        let Some(home) = home.filter(|c| c.text("book") == book) else {
            continue;
        };
        let causes = held(items, job);
        if !causes.is_empty() {
            out.push(Outcome {
                board: home.text("board").to_owned(),
                causes: causes.into_iter().map(str::to_owned).collect(),
            });
        }
    }
    out
}

/// What was said about closed jobs and what it was: for each the last frozen
/// diagnosis and the causes found. `items` are jobs, follow-ups
/// and diagnoses.
pub fn past(items: &[Item]) -> Vec<(Frozen, Vec<String>)> {
    let mut out = Vec::new();
    for job in items.iter().filter(|i| i.kind == "job") {
        let causes = held(items, job);
        let all = items.iter().filter(|i| i.kind == kinds::DIAGNOSIS);
        let last = all
            .filter(|i| i.text("job") == job.id)
            .max_by_key(|i| i.created);
        let state = last.and_then(|l| l.view.data.get("state"));
        let frozen = state.and_then(Frozen::from_json);
        if let (Some(frozen), false) = (frozen, causes.is_empty()) {
            let causes = causes.into_iter().map(str::to_owned).collect();
            out.push((frozen, causes));
        }
    }
    out
}
