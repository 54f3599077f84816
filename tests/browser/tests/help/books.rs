//! Making code books as a person does: what is on the clipboard, the choices of
//! the page, and a console that no book knows.
//!
//! The Marlow is invented, like all its values. Its log is a post from a forum
//! with one wrong character in it; the last field of a line is the sum of the
//! characters of the others, letters and digits only, modulo 256. Its table is
//! a web page with a merged cell, a range, a pattern, a list in a cell and a
//! footnote.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::{settle, tap};
use super::notebook::fill;
use browser_tests::{Outcome, Page, json};
use std::time::{Duration, Instant};
use thirtyfour::By;

/// The post with the log.
pub const POST: &str = include_str!("marlow-post.txt");
/// The page with the table.
pub const TABLE: &str = include_str!("marlow-table.html");
/// The codes of the log, as they are in it, with the wrong character put right.
pub const CODES: [&str; 12] = [
    "K417", "K417", "K418", "B020", "K417", "N155", "N156", "K41C", "B021", "T903", "K417", "H230",
];
/// What the parts of its lines are, where the app can't know it from the log.
pub const PARTS: [(&str, &str); 3] = [
    ("4: CD10", "Power-up step"),
    ("6: K417", "Code"),
    ("8: 0371", KEEP),
];

/// What a part is called that is none of the known ones.
pub const KEEP: &str = "Show it as it is";

/// Puts a text on the clipboard.
pub async fn copy(page: &Page, text: &str) -> Outcome {
    let write = "return navigator.clipboard.writeText(arguments[0])";
    page.run(write, &[json!(text)]).await.map(drop)
}

/// Puts a piece of a web page on the clipboard, as a browser does it.
pub async fn copy_html(page: &Page, html: &str) -> Outcome {
    let write = "const part = (kind, text) => new Blob([text], { type: kind });
        return navigator.clipboard.write([new ClipboardItem({
            'text/html': part('text/html', arguments[0]),
            'text/plain': part('text/plain', 'only words, and no table'),
        })])";
    page.run(write, &[json!(html)]).await.map(drop)
}

/// Puts a log into the page where a book is made, and waits until it is looked at.
pub async fn put_log(page: &Page, log: &str) -> Outcome {
    copy(page, log).await?;
    tap(page, "button", "Paste the log").await?;
    looked_at(page, log).await
}

/// Waits until this log is in the box and what it is taken for is shown.
pub async fn looked_at(page: &Page, log: &str) -> Outcome {
    let script = format!(
        "return document.querySelector('#make-log').value === {}
            && !!document.querySelector('main .teach, main p.mark.warn')",
        json!(log)
    );
    page.wait_true("a look at the log", &script).await?;
    settle(page).await
}

/// Opens what is folded below the part with this label.
pub async fn more(page: &Page, label: &str) -> Outcome {
    let script = format!(
        "const label = [...document.querySelectorAll('main .teach label')]
            .find((l) => l.querySelector('span').innerText === {});
        const fold = label?.closest('li').querySelector('details');
        if (fold) fold.open = true;
        return !!fold",
        json!(label)
    );
    page.wait_true(&format!("the part {label:?}"), &script)
        .await
}

/// Taps a button of the part with this label. Other parts have the same ones.
pub async fn press(page: &Page, label: &str, button: &str) -> Outcome {
    more(page, label).await?;
    let script = format!(
        "const label = [...document.querySelectorAll('main .teach label')]
            .find((l) => l.querySelector('span').innerText === {});
        const found = [...(label?.closest('li').querySelectorAll('button') ?? [])]
            .find((b) => b.innerText.trim() === {});
        document.querySelectorAll('[data-press]').forEach((b) => b.removeAttribute('data-press'));
        found?.setAttribute('data-press', '');
        found?.scrollIntoView({{ block: 'center', behavior: 'instant' }});
        return !!found",
        json!(label),
        json!(button)
    );
    page.wait_true(&format!("{button:?} at {label:?}"), &script)
        .await?;
    let found = page.driver().find(By::Css("[data-press]")).await?;
    found.click().await?;
    settle(page).await
}

/// The parts of the log's lines in their order, each with what it is said to be.
pub async fn parts(page: &Page) -> anyhow::Result<Vec<(String, String)>> {
    chosen(page, "#make-log-part").await
}

/// The columns of all tables with what they are said to hold. What the rows are
/// comes before the columns of its table.
pub async fn columns(page: &Page) -> anyhow::Result<Vec<(String, String)>> {
    chosen(page, "#make-table-part").await
}

async fn chosen(page: &Page, heading: &str) -> anyhow::Result<Vec<(String, String)>> {
    settle(page).await?;
    let script = "const part = document.querySelector(arguments[0]).closest('section');
        return [...part.querySelectorAll('label select')].map((s) =>
            [s.closest('label').querySelector('span').innerText, s.selectedOptions[0].text])";
    let all = page.run(script, &[json!(heading)]).await?;
    let text = |v: &browser_tests::Value| v.as_str().unwrap_or_default().to_owned();
    let all = all.as_array().cloned().unwrap_or_default();
    Ok(all.iter().map(|c| (text(&c[0]), text(&c[1]))).collect())
}

/// What the part with this label is said to be.
pub async fn role(page: &Page, label: &str) -> anyhow::Result<String> {
    let all = [parts(page).await?, columns(page).await?].concat();
    let found = all.iter().find(|(name, _)| name == label);
    found
        .map(|(_, role)| role.clone())
        .ok_or_else(|| anyhow::anyhow!("no part is called {label:?}; there are {all:?}"))
}

/// The codes listed on the page, each with the words beside it.
pub async fn codes(page: &Page) -> anyhow::Result<Vec<String>> {
    settle(page).await?;
    let script = "return [...document.querySelectorAll('main li.code-row .entry-top')]
        .map((t) => t.textContent && [...t.children].map((c) => c.textContent).join(' '))";
    Ok(super::help::texts(&page.run(script, &[]).await?))
}

/// Makes the book of the Marlow, on the page for it. Ends on the book's page.
pub async fn make_marlow(page: &Page, name: &str) -> Outcome {
    page.open("/make").await?;
    // A notice at the foot of the page that stays until it is closed.
    if page.text().await?.contains("keeps nothing for this page") {
        tap(page, "button", "Close").await?;
    }
    put_log(page, POST).await?;
    for (part, role) in PARTS {
        fill(page, part, role).await?;
    }
    copy_html(page, TABLE).await?;
    tap(page, "button", "Paste the table").await?;
    page.sees("From the tables: 7 codes").await?;
    fill(page, "What people call the console", name).await?;
    tap(page, "button", "Make the book").await?;
    page.find("heading", name).await.map(drop)
}

/// What somebody does, counted.
pub struct Steps {
    told: Vec<String>,
    /// Taps so far. A choice from a list is two.
    pub taps: usize,
    /// Fields typed into.
    pub fields: usize,
    begun: Instant,
}

impl Steps {
    /// Nothing done yet.
    pub fn start() -> Self {
        Self {
            told: Vec::new(),
            taps: 0,
            fields: 0,
            begun: Instant::now(),
        }
    }

    /// Time since the start: the app's, and that of driving it.
    pub fn took(&self) -> Duration {
        self.begun.elapsed()
    }

    /// Taps what has this role and name.
    pub async fn tap(&mut self, page: &Page, role: &str, name: &str) -> Outcome {
        tap(page, role, name).await?;
        self.taps += 1;
        self.told.push(format!("tap the {role} \"{name}\""));
        Ok(())
    }

    /// Chooses from a list.
    pub async fn choose(&mut self, page: &Page, label: &str, words: &str) -> Outcome {
        fill(page, label, words).await?;
        self.taps += 2;
        self.told
            .push(format!("tap the list \"{label}\" and in it \"{words}\""));
        Ok(())
    }

    /// Types into a field, which has to be tapped first.
    pub async fn type_into(&mut self, page: &Page, label: &str, text: &str) -> Outcome {
        fill(page, label, text).await?;
        self.taps += 1;
        self.fields += 1;
        self.told
            .push(format!("tap \"{label}\" and type \"{text}\""));
        Ok(())
    }

    /// Says what is seen now.
    pub fn sees(&mut self, what: &str) {
        if let Some(last) = self.told.last_mut() {
            last.push_str(&format!(": {what}"));
        }
    }

    /// Prints all of it.
    pub fn print(&self, took: Duration) {
        for (n, step) in self.told.iter().enumerate() {
            println!("{:2}. {step}", n + 1);
        }
        println!(
            "{} taps, {} typed field(s), {:.1} s without the person",
            self.taps,
            self.fields,
            took.as_secs_f64()
        );
    }
}
