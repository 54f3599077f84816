//! The state of a console at one look.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests may panic")]

use notebook::look::look;
use notebook::{Item, View};
use serde_json::{Value, json};

fn item(id: usize, kind: &str, fields: &Value) -> Item {
    let Value::Object(data) = fields.clone() else {
        panic!("not an object")
    };
    Item {
        id: format!("{kind}{id}"),
        kind: kind.to_owned(),
        created: id as i64,
        changed: id as i64,
        view: View {
            gone: data.contains_key("GONE"),
            data,
            ..View::default()
        },
    }
}

/// Follow-ups name the job with `"job": "job0"`; without it they get that one.
fn words(jobs: &[Value], looks: &[Value], today: &str) -> String {
    let jobs: Vec<Item> = jobs
        .iter()
        .enumerate()
        .map(|(n, j)| item(n, "job", j))
        .collect();
    let looks: Vec<Item> = looks
        .iter()
        .enumerate()
        .map(|(n, l)| {
            let mut item = item(n, "follow-up", l);
            item.view.data.entry("job").or_insert(json!("job0"));
            item
        })
        .collect();
    let jobs: Vec<&Item> = jobs.iter().collect();
    let looks: Vec<&Item> = looks.iter().collect();
    let found = look(&jobs, &looks, today);
    format!("{} {} {}", found.rank, found.icon, found.words)
}

fn repaired(closed: &str) -> Value {
    json!({"stage": "closed", "outcome": "repaired", "closed": closed})
}

fn at(stage: &str, day: &str) -> Value {
    json!({"stage": stage, "day": day})
}

fn seen(found: &str, done: &str) -> Value {
    json!({"found": found, "done": done})
}

fn due(day: &str) -> Value {
    json!({"day": day})
}

#[test]
fn a_job_on_the_bench_is_told_by_its_stage() {
    for (jobs, today, expected) in [
        (vec![], "2026-11-25", "12 console No job yet"),
        (
            vec![json!({"GONE": 1, "stage": "open"})],
            "2026-11-25",
            "12 console No job yet",
        ),
        (
            vec![at("parts", "2026-11-13")],
            "2026-11-25",
            "5 clock In pieces, waiting for parts, begun 12 days ago",
        ),
        (
            vec![at("open", "2026-11-22")],
            "2026-11-25",
            "2 bench On the bench, begun 3 days ago",
        ),
        (
            vec![at("open", "2026-11-25")],
            "2026-11-25",
            "2 bench On the bench, begun today",
        ),
        (
            vec![at("testing", "2026-11-24")],
            "2026-11-25",
            "3 bench Back together, on test, begun yesterday",
        ),
        // Over the end of a year, and a leap day.
        (
            vec![at("apart", "2025-12-30")],
            "2026-01-02",
            "4 bench In pieces, begun 3 days ago",
        ),
        (
            vec![at("apart", "2024-02-28")],
            "2024-03-01",
            "4 bench In pieces, begun 2 days ago",
        ),
        (
            vec![at("apart", "2026-02-28")],
            "2026-03-01",
            "4 bench In pieces, begun yesterday",
        ),
        // The clock was set back: no count, but the day.
        (
            vec![at("open", "2026-11-25")],
            "2026-03-01",
            "2 bench On the bench, begun 25 November",
        ),
        (
            vec![at("open", "2027-01-01")],
            "2026-03-01",
            "2 bench On the bench, begun 1 January 2027",
        ),
        // Days that are none.
        (vec![at("waiting", "")], "2026-11-25", "6 info Not started"),
        (
            vec![at("open", "2026-02-30")],
            "2026-11-25",
            "2 bench On the bench",
        ),
        (
            vec![at("open", "last week")],
            "2026-11-25",
            "2 bench On the bench",
        ),
        (vec![at("open", "2026-11-22")], "", "2 bench On the bench"),
        // A newer app's stage, and none.
        (
            vec![at("at-a-friend", "2026-11-22")],
            "2026-11-25",
            "2 bench at-a-friend, begun 3 days ago",
        ),
        (vec![json!({})], "2026-11-25", "2 bench Job open"),
        // An outcome does not close a job that is on the bench again.
        (
            vec![json!({"stage": "open", "outcome": "repaired", "closed": "2026-01-01"})],
            "2026-11-25",
            "2 bench On the bench",
        ),
        // Several: the most urgent one first.
        (
            vec![at("parts", ""), at("open", "2026-11-22")],
            "2026-11-25",
            "2 bench On the bench, begun 3 days ago, +1 job",
        ),
        (
            vec![at("open", ""), at("parts", ""), at("waiting", "")],
            "2026-11-25",
            "2 bench On the bench, +2 jobs",
        ),
        (
            vec![repaired("2026-03-12"), at("waiting", "")],
            "2026-11-25",
            "6 info Not started",
        ),
    ] {
        assert_eq!(words(&jobs, &[], today), expected, "{jobs:?} on {today}");
    }
}

#[test]
fn a_closed_job_is_told_by_its_outcome_and_by_what_was_seen_since() {
    let march = "2026-03-12";
    for (job, looks, today, expected) in [
        // 12 March to 24 November 2026 is 257 days.
        (
            repaired(march),
            vec![seen("holds", "2026-11-24")],
            "2026-11-24",
            "8 check Holding since 12 March, 257 days",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-05-03")],
            "2026-11-24",
            "8 check Repaired 12 March. Last seen working 3 May (52 days)",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-03-13"), seen("holds", "2026-05-03")],
            "2026-11-24",
            "8 check Repaired 12 March. Last seen working 3 May (52 days)",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-05-03"), seen("holds", "2026-03-13")],
            "2026-11-24",
            "8 check Repaired 12 March. Last seen working 3 May (52 days)",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-03-13")],
            "2026-03-13",
            "8 check Holding since 12 March, 1 day",
        ),
        (repaired(march), vec![], march, "8 check Repaired 12 March"),
        (
            repaired(march),
            vec![],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        // Over a leap day and a year's end.
        (
            repaired("2024-02-01"),
            vec![seen("holds", "2024-03-01")],
            "2024-03-01",
            "8 check Holding since 1 February, 29 days",
        ),
        (
            repaired("2025-12-31"),
            vec![seen("holds", "2026-01-01")],
            "2026-01-01",
            "8 check Holding since 31 December 2025, 1 day",
        ),
        // Looks to come, due and late.
        (
            repaired(march),
            vec![due("2026-12-12")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            repaired(march),
            vec![due("2026-03-19")],
            "2026-03-19",
            "1 clock Repaired 12 March, not looked at since. Look again is due today",
        ),
        (
            repaired(march),
            vec![due("2026-03-19")],
            "2026-03-20",
            "1 clock Repaired 12 March, not looked at since. Look again was due yesterday",
        ),
        (
            repaired(march),
            vec![due("2026-03-19"), due("2026-03-16")],
            "2026-03-20",
            "1 clock Repaired 12 March, not looked at since. Look again was due 4 days ago",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-05-03"), due("2026-11-20")],
            "2026-11-24",
            "1 clock Repaired 12 March. Last seen working 3 May (52 days). Look again was due 4 days ago",
        ),
        // A later look stands for an earlier one that was missed.
        (
            repaired(march),
            vec![seen("holds", "2026-05-03"), due("2026-04-12")],
            "2026-11-24",
            "8 check Repaired 12 March. Last seen working 3 May (52 days)",
        ),
        (
            repaired(march),
            vec![due("someday")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        // It came back.
        (
            repaired(march),
            vec![seen("same-fault", "2026-04-22")],
            "2026-11-24",
            "0 bad Back: the same fault after 41 days",
        ),
        (
            repaired(march),
            vec![seen("other-fault", "2026-03-13")],
            "2026-11-24",
            "0 bad Back: another fault after 1 day",
        ),
        (
            repaired(march),
            vec![
                seen("holds", "2026-03-20"),
                seen("same-fault", "2026-04-22"),
                due("2026-05-01"),
            ],
            "2026-11-24",
            "0 bad Back: the same fault after 41 days",
        ),
        (
            repaired(march),
            vec![seen("same-fault", "")],
            "2026-11-24",
            "0 bad Back: the same fault",
        ),
        (
            repaired(""),
            vec![seen("same-fault", "2026-04-22")],
            "2026-11-24",
            "0 bad Back: the same fault on 22 April",
        ),
        // A fault that comes and goes: the last look counts.
        (
            repaired(march),
            vec![
                seen("same-fault", "2026-04-22"),
                seen("holds", "2026-05-03"),
            ],
            "2026-11-24",
            "8 check Repaired 12 March. Last seen working 3 May (52 days)",
        ),
        // Seen before the closing day: the job was opened again and closed later.
        (
            repaired(march),
            vec![seen("same-fault", "2026-02-01")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        // Nobody knows any more: what was seen is told, and nobody is asked again.
        (
            repaired(march),
            vec![seen("unknown", "2026-05-03"), due("2026-06-01")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since. Can't be told any more",
        ),
        // Not a look: a day without what it showed, or a deleted one.
        (
            repaired(march),
            vec![seen("", "2026-05-03")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            repaired(march),
            vec![json!({"GONE": 1, "found": "same-fault", "done": "2026-05-03"})],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            repaired(march),
            vec![json!({"job": "job7", "found": "same-fault", "done": "2026-05-03"})],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        // Days that are missing, wrong, or in the wrong order: no count.
        (
            repaired(""),
            vec![seen("holds", "2026-05-03")],
            "2026-11-24",
            "8 check Repaired. Last seen working 3 May",
        ),
        (
            repaired("2026-02-29"),
            vec![],
            "2026-11-24",
            "8 check Repaired",
        ),
        (
            repaired(march),
            vec![seen("holds", "")],
            "2026-11-24",
            "8 check Repaired 12 March. Seen working later, on a day not written down",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-01-03")],
            "2026-11-24",
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            repaired(march),
            vec![seen("holds", "2026-05-03"), due("2026-05-10")],
            "",
            "8 check Repaired 12 March 2026. Last seen working 3 May 2026 (52 days)",
        ),
        // The clock was set back before all of it.
        (
            repaired(march),
            vec![seen("holds", "2026-05-03"), due("2026-05-10")],
            "2025-01-01",
            "8 check Repaired 12 March 2026. Last seen working 3 May 2026 (52 days)",
        ),
        // Other outcomes.
        (
            json!({"stage": "closed", "outcome": "given-up", "closed": march}),
            vec![],
            "2026-11-24",
            "11 bad Given up, kept for parts",
        ),
        (
            json!({"stage": "closed", "outcome": "not-repaired", "closed": march}),
            vec![],
            "2026-11-24",
            "9 bad Not repaired, closed 12 March",
        ),
        (
            json!({"stage": "closed", "closed": march}),
            vec![],
            "2026-11-24",
            "9 bad Closed without an outcome, closed 12 March",
        ),
        (
            json!({"stage": "closed"}),
            vec![],
            "2026-11-24",
            "9 bad Closed without an outcome",
        ),
        (
            json!({"stage": "closed", "outcome": "no-fault", "closed": march}),
            vec![],
            march,
            "10 check No fault found, closed 12 March",
        ),
        (
            json!({"stage": "closed", "outcome": "partly", "closed": march}),
            vec![seen("holds", "2026-11-24")],
            "2026-11-24",
            "8 check Works in part, holding since 12 March, 257 days",
        ),
        (
            json!({"outcome": "repaired"}),
            vec![],
            "2026-11-24",
            "8 check Repaired",
        ),
    ] {
        assert_eq!(
            words(std::slice::from_ref(&job), &looks, today),
            expected,
            "{job} {looks:?} on {today}"
        );
    }
}

#[test]
fn of_several_closed_jobs_the_last_one_tells_the_state() {
    let today = "2026-11-24";
    let of = |job: &str, found: &str, done: &str| json!({"job": job, "found": found, "done": done});
    for (jobs, looks, expected) in [
        // The order of the list does not matter.
        (
            vec![repaired("2026-03-12"), repaired("2025-01-01")],
            vec![],
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            vec![repaired("2025-01-01"), repaired("2026-03-12")],
            vec![],
            "8 check Repaired 12 March, not looked at since",
        ),
        // The first came back, and the second dealt with it.
        (
            vec![repaired("2025-01-01"), repaired("2026-03-12")],
            vec![of("job0", "same-fault", "2026-02-01")],
            "8 check Repaired 12 March, not looked at since",
        ),
        (
            vec![repaired("2025-01-01"), repaired("2026-03-12")],
            vec![of("job0", "same-fault", "")],
            "8 check Repaired 12 March, not looked at since",
        ),
        // The first came back after the second was done.
        (
            vec![repaired("2025-01-01"), repaired("2026-03-12")],
            vec![of("job0", "same-fault", "2026-05-01")],
            "0 bad Back: the same fault after 485 days",
        ),
        // A look at the first is due too.
        (
            vec![repaired("2026-01-01"), repaired("2026-03-12")],
            vec![json!({"job": "job0", "day": "2026-11-20"})],
            "1 clock Repaired 12 March, not looked at since. Look again was due 4 days ago",
        ),
    ] {
        assert_eq!(words(&jobs, &looks, today), expected, "{jobs:?} {looks:?}");
    }
}

/// 2024-01-01 to 2025-01-01 has the leap day: 366 days. Counted by a calendar.
#[test]
fn a_leap_year_has_one_day_more() {
    let looks = [seen("holds", "2025-01-01")];
    let found = words(&[repaired("2024-01-01")], &looks, "2025-01-01");
    assert_eq!(found, "8 check Holding since 1 January 2024, 366 days");
    let looks = [seen("holds", "2026-01-01")];
    let found = words(&[repaired("2025-01-01")], &looks, "2026-01-01");
    assert_eq!(found, "8 check Holding since 1 January 2025, 365 days");
}
