//! Reports of hand-made readings.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use super::*;
use crate::explain::tests::{books, entry, explained, guess, reading};
use crate::result::{Mention, Unreadable};

fn sample() -> Reading {
    let mut log = reading(vec![
        entry(1, "0C", "5E91", "rel 95"),
        entry(2, "0A", "44D0", "utc 2016-05-02T07:41:10Z"),
        entry(3, "0A", "44D0", "utc 2016-05-04T08:00:00Z"),
    ]);
    log.entries[1].guess = true;
    log.entries[1].guesses = vec![guess("code", "44DO", "44D0", false)];
    log.unreadable = vec![Unreadable {
        line: 7,
        raw: "slot 03 code 5G91".into(),
        why: "G may be two digits".into(),
        choices: vec!["5691".into(), "5C91".into()],
        ..Unreadable::default()
    }];
    log.line_classes.ignored = vec![8, 9];
    log.line_classes.empty = vec![10];
    log.mentions = vec![Mention {
        line: 8,
        code: "44D0".into(),
        ..Mention::default()
    }];
    log.notes = vec!["One note.".into()];
    log
}

#[test]
fn plain_report() {
    let log = sample();
    let text = plain(&log, &explained(&log));
    let expected = "\
Fault log reading
-----------------
3 entries, 1 guess to confirm, 1 line that can't be read for sure, stopped most often at step 0A
Code book: Orrery 1.0.0, no board chosen, so meanings are the general ones.
Order: known from the ring head in the header.
Dates are what the console's own clock said; the log can't tell whether it was right.
Note: One note.

Entries, newest first
---------------------
   3. slot 3  step 0A  code 44D0  2016-05-04 08:00:00 UTC  count 1
?  2. slot 2  step 0A  code 44D0  2016-05-02 07:41:10 UTC  count 1
       \"44DO\" read as \"44D0\": l is no hex digit (a guess, please confirm)
   1. slot 1  step 0C  code 5E91  95 s since start, clock not set  count 1

What the codes say
------------------
44D0, 2 times, first 2016-05-02 07:41:10 UTC, last 2016-05-04 08:00:00 UTC, in part by a guess
  Core rail late
  The core rail was not good in time.
  It does not prove that the regulator is broken.
  Rails: V_CORE
  Parts watched: U7
  Core rail trouble (all codes like 44??)
  It does not prove that any one part is broken: the cause can lie before, behind or beside the place that was watched.
  Subsystem 4: power
5E91, once
  No answer
  It does not prove that any one part is broken: the cause can lie before, behind or beside the place that was watched.

Where power-up stopped
----------------------
Step 0A (core rail): 2 entries, the newest entry among them
Step 0C (clocks): 1 entry

Can't be read for sure
----------------------
line 7: slot 03 code 5G91
       G may be two digits; may be 5691 or 5C91

Left out: 2 lines that are no log entries, 1 unused slot.
Only talked about, not counted as entries: 44D0.

A code names the place where the console noticed trouble. It does not say which part to buy. Measure before you replace anything.
";
    assert_eq!(text, expected);
}

#[test]
fn bbcode_report_has_the_same_words() {
    let log = sample();
    let text = bbcode(&log, &explained(&log));
    assert!(text.starts_with("[b]Fault log reading[/b]\n"), "{text}");
    assert!(text.contains("[b]44D0[/b], 2 times"));
    let tags: Vec<&str> = text
        .match_indices('[')
        .map(|(i, _)| {
            let rest = &text[i..];
            &rest[..=rest.find(']').unwrap()]
        })
        .collect();
    let mut open: Vec<&str> = Vec::new();
    for tag in tags {
        match tag.strip_prefix("[/") {
            Some(end) => assert_eq!(open.pop().map(|t| &t[1..]), Some(end), "{text}"),
            None => open.push(tag),
        }
    }
    assert!(open.is_empty());
}

/// Text of others stays inside the place it is put in, whatever it holds.
#[test]
fn pasted_tags_do_not_break_out() {
    let nasty = "[/code][url=x]click[/url]\n[b]\u{202E}x\u{200B}\u{0}";
    let mut log = sample();
    log.entries[0].fields.insert("note".into(), nasty.into());
    log.entries[0].fields.insert("code".into(), nasty.into());
    log.entries[1].guesses[0].from = nasty.into();
    log.unreadable[0].raw = nasty.into();
    log.unreadable[0].choices = vec![nasty.into()];
    log.mentions[0].code = nasty.into();
    log.notes.push(nasty.into());
    log.consoles[0].name = Some(nasty.into());
    let explained = explained(&log);
    let text = bbcode(&log, &explained);
    let ours = ["[b]", "[/b]", "[code]", "[/code]"];
    for (i, _) in text.match_indices('[') {
        assert!(
            ours.iter().any(|tag| text[i..].starts_with(tag)),
            "{}",
            &text[i..]
        );
    }
    assert_eq!(text.matches("[/code]").count(), 2);
    assert!(
        text.contains("［/code]［url=x]click［/url] ［b]x"),
        "{text}"
    );
    for hidden in ['\u{202E}', '\u{200B}', '\0'] {
        assert!(!text.contains(hidden) && !plain(&log, &explained).contains(hidden));
    }
}

#[test]
fn long_texts_and_long_logs_are_cut() {
    let mut log = reading(
        (1..=450)
            .map(|i| entry(i, "0A", "44D0", "absent"))
            .collect(),
    );
    log.unreadable = vec![
        Unreadable {
            line: 1,
            raw: "x".repeat(5000),
            ..Unreadable::default()
        };
        60
    ];
    let text = plain(&log, &explained(&log));
    assert!(text.contains("... and 250 more, not listed here"));
    assert!(text.contains("... and 10 more, not listed here"));
    assert!(text.contains(" 450. ") && !text.contains(" 250. "));
    assert!(
        text.lines().all(|l| l.chars().count() < 450),
        "a line is too long"
    );
    assert!(text.contains("x…"));
}

#[test]
fn order_and_consoles() {
    let mut second = entry(1, "0C", "5E91", "absent");
    second.console = 2;
    let mut log = reading(vec![
        entry(1, "0A", "44D0", "absent"),
        entry(2, "0A", "44D0", "absent"),
        second,
    ]);
    log.consoles[0].order_from = String::new();
    log.consoles[1].name = Some("blue stripe".into());
    let text = plain(&log, &explained(&log));
    assert!(
        text.contains("Console 1: not known which entry is older; listed as pasted.\n"),
        "{text}"
    );
    assert!(
        !text.contains("Console 2 (blue stripe)"),
        "a single entry needs no order"
    );
    assert!(text.contains("\nconsole 1\n") && text.contains("\nconsole 2\n"));
    let only = crate::explain::explain(&log, &books(), &|_| None, Some(2));
    let text = plain(&log, &only);
    assert!(
        !text.contains("44D0") && !text.contains("Console 1"),
        "{text}"
    );
}

#[test]
fn nothing_to_report() {
    let log = Reading::default();
    let text = plain(&log, &explained(&log));
    assert!(
        text.starts_with("Fault log reading\n-----------------\nNothing to read yet\n"),
        "{text}"
    );
    assert!(!text.contains("Entries") && text.contains("Measure before"));
}

#[test]
fn what_is_doubtful_is_marked() {
    let mut log = sample();
    log.entries[2].complete = false;
    log.entries[0]
        .fields
        .insert("check_ok".into(), false.into());
    log.entries[0]
        .fields
        .insert("flags".into(), serde_json::json!(["standby", "retried"]));
    log.entries[1].guesses[0].confirmed_by = Some("check".into());
    let text = plain(&log, &explained(&log));
    assert!(
        text.contains(
            "   3. slot 3  step 0A  code 44D0  2016-05-04 08:00:00 UTC  count 1  (incomplete)"
        ),
        "{text}"
    );
    assert!(
        text.contains("count 1  flags standby, retried  (check does not fit)"),
        "{text}"
    );
    assert!(text.contains("(confirmed by the check field)"), "{text}");
}
