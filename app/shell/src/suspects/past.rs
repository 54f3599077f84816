//! Whether former diagnoses were right.

use super::names;
use crate::app::App;
use crate::consoles::{Want, back, loaded};
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{bullets, count, line, pair, section, tag, title};
use diagnosis::job::past;
use diagnosis::plain;
use diagnosis::record::{BANDS, ENOUGH, bands};

/// The page.
pub fn page(app: App) -> Dom {
    let body = loaded(
        app,
        Want::Kinds(&["job", "follow-up", "diagnosis"]),
        |page| {
            let items = page.items();
            let jobs = past(&items);
            if jobs.is_empty() {
                return line("p", "", text::PAST_NONE);
            }
            let rows = bands(&jobs);
            let rows = rows.iter().zip(BANDS).rev().map(|(band, (from, to))| {
                let head = ["Said: ", &plain::range(from, to)].concat();
                let mut words = [
                    count(band.called as usize, "suspect", "suspects"),
                    " of ".to_owned(),
                    count(band.jobs as usize, "job", "jobs"),
                    "; it was ".to_owned(),
                    match band.right {
                        0 => "none of them".to_owned(),
                        n => n.to_string() + " of them",
                    },
                ]
                .concat();
                match band.range {
                    Some((low, high)) if band.enough => {
                        words = words
                            + "; the true share lies "
                            + &names::between(low, high)
                            + " (90 %). Said on average: "
                            + &plain::percent(band.said)
                            + ".";
                    }
                    Some(_) => words += ". Too few jobs to say whether that fits.",
                    None => words = text::BAND_NONE.to_owned(),
                }
                pair(head, words)
            });
            let rows: Vec<Dom> = rows.collect();
            let hits = jobs.iter().map(|(frozen, causes)| {
                let first = frozen.suspects.first();
                let right = first.is_some_and(|s| causes.contains(&s.id));
                let title = first.map_or("", |s| s.title.as_str());
                let said = first.map(|s| plain::percent(s.now)).unwrap_or_default();
                let word = if right { "it was" } else { "it was another" };
                [title, ", ", &said, ": ", word].concat()
            });
            Dom::many(vec![
                line(
                    "p",
                    "",
                    count(jobs.len(), "closed job counts.", "closed jobs count."),
                ),
                tag("dl", "pairs", rows),
                section("jobs", "Who led, job by job", vec![bullets(hits)]),
            ])
        },
    );
    let enough = ENOUGH.to_string();
    Dom::many(vec![
        back("/consoles", "All consoles"),
        title("How often was it right?"),
        line("p", "lead", text::PAST_LEAD),
        line("p", "small", [text::PAST_HOW, &enough, "."].concat()),
        body,
    ])
}
