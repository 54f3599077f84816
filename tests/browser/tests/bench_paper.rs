//! Checklists on paper, read back from the PDF that the browser makes: every
//! step is there, in order, with a box and a blank, on one or two pages.

#[path = "help/bench.rs"]
mod bench;
mod help;
#[path = "help/notebook.rs"]
mod notebook;
#[path = "help/pdf.rs"]
mod pdf;

use bench::{begin, choose, shown, step_on};
use browser_tests::{Outcome, Page, json};
use help::{phone, tap, texts};
use notebook::{new_console, unfold, write};
use pdf::{A4, LETTER, Paper, keep, printed};

/// Every step's words as the page has them, in their order.
async fn steps(page: &Page) -> anyhow::Result<Vec<String>> {
    // A hidden part has no layout, but its text.
    let script = "return [...document.querySelectorAll('.paper .paper-row > div')].map((d) => d.textContent)";
    Ok(texts(&page.run(script, &[]).await?))
}

/// Letters and digits only: a line may break anywhere, and some pairs of letters
/// are drawn as one.
fn bare(text: &str) -> String {
    let mut text = text.to_owned();
    for (one, pair) in [
        ("\u{fb03}", "ffi"),
        ("\u{fb04}", "ffl"),
        ("\u{fb00}", "ff"),
        ("\u{fb01}", "fi"),
        ("\u{fb02}", "fl"),
    ] {
        text = text.replace(one, pair);
    }
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// The print has these steps in this order, and nothing is cut off or left out.
fn holds_all(paper: &Paper, steps: &[String], what: &str) {
    let whole = bare(&paper.text());
    let mut at = 0;
    for step in steps {
        let step = bare(step);
        let found = whole[at..].find(&step);
        assert!(
            found.is_some(),
            "{what}: {step:?} is not in {}",
            &whole[at..]
        );
        at += found.unwrap_or_default() + step.len();
    }
}

/// A print of what is chosen, on both papers: two pages at most, all steps.
async fn both(page: &Page, what: &str, most: usize) -> Outcome {
    let steps = steps(page).await?;
    assert!(steps.len() > 20, "{what}: {steps:?}");
    for size in [A4, LETTER] {
        let paper = printed(page, size).await?;
        let pages = paper.pages.len();
        assert!(
            (1..=most).contains(&pages),
            "{what}: {pages} pages of {size:?}"
        );
        holds_all(&paper, &steps, what);
        let text = bare(&paper.text());
        for words in ["Signed", "Localrulesandthemakersinstructionscomefirst"] {
            assert!(text.contains(words), "{what}: {words} is not on {text}");
        }
        // The page around it stays away.
        for words in ["Whatwillyoudo", "Printwithblanks", "Whatyouneed"] {
            assert!(!text.contains(words), "{what}: {words} is on the paper");
        }
    }
    Ok(())
}

#[test]
fn all_steps_of_every_work_are_on_the_paper() {
    phone(async |page| {
        page.open("/bench/new").await?;
        page.find("heading", "Kinds of work").await?;
        let names = "return [...document.querySelectorAll('#works ~ .ticks label span span:first-child')].map((s) => s.innerText)";
        let names = texts(&page.run(names, &[]).await?);
        assert_eq!(names.len(), 12, "{names:?}");
        for name in &names {
            choose(page, &[name]).await?;
            both(page, name, 2).await?;
            tap(page, "checkbox", name).await?;
        }
        // The two that have most in common, and the two that have least.
        choose(page, &["Reflow or reball", "Swap a large chip"]).await?;
        both(page, "two with much heat", 2).await?;
        page.reload().await?;
        choose(page, &["Pull the log", "Swap a capacitor bank"]).await?;
        both(page, "the port and heat", 2).await
    });
}

#[test]
fn a_checklist_that_is_half_done_is_told_so_on_paper() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        write(page, "Add", "Job", &[("What is wrong", "Fuse F2 is open")]).await?;
        tap(page, "link", "Begin a checklist").await?;
        choose(page, &["Replace a fuse"]).await?;
        tap(page, "button", "Start").await?;
        shown(page, 1).await?;
        unfold(page, "Note or photo").await?;
        page.paste_into("Note on this step", "The tray is the blue one")
            .await?;
        step_on(page).await?;
        unfold(page, "Skip this step").await?;
        tap(page, "button", "Done before").await?;
        shown(page, 3).await?;
        tap(page, "link", "On paper").await?;
        page.sees("Attic find").await?;
        let signs = "return [...document.querySelectorAll('.paper-row')].map((r) =>
            r.querySelector('.paper-sign').textContent + (r.querySelector('.blank') ? ' blank' : ''))";
        let signs = texts(&page.run(signs, &[]).await?);
        assert_eq!(signs[..3], ["\u{2611}", "\u{2013}", "\u{2610} blank"]);
        assert!(
            signs[3..].iter().all(|s| s == "\u{2610} blank"),
            "{signs:?}"
        );
        let all = steps(page).await?;
        let paper = printed(page, A4).await?;
        assert!(paper.pages.len() <= 2);
        holds_all(&paper, &all, "half done");
        let text = bare(&paper.text());
        for words in [
            "NoteThetrayistheblueone",
            "SkippedDonebefore",
            "ConsoleAtticfind",
        ] {
            assert!(text.contains(words), "{words} is not on {text}");
        }
        // On the first page: the box of each step before its words.
        let first = &paper.pages[0];
        assert!(
            first.contains('\u{2611}') && first.contains('\u{2610}'),
            "{first}"
        );
        // Each open step has a line for the pencil; lines are drawn, not written.
        assert!(paper.lines >= signs.len() - 2, "{} lines", paper.lines);
        keep(page, &paper, "bench-half-done").await
    });
}

#[test]
fn long_notes_make_a_longer_paper_and_are_not_cut_off() {
    phone(async |page| {
        begin(page, &["Renew thermal paste"]).await?;
        let mut notes = Vec::new();
        for n in 0..4 {
            let note = format!(
                "Note {n}: {}end {n}",
                "the screw by the fan is worn, ".repeat(40)
            );
            unfold(page, "Note or photo").await?;
            page.paste_into("Note on this step", &note).await?;
            notes.push(note);
            step_on(page).await?;
        }
        tap(page, "link", "On paper").await?;
        page.sees("Print or save as PDF").await?;
        let all = steps(page).await?;
        for (step, note) in all.iter().zip(&notes) {
            assert!(step.contains(note), "{step}");
        }
        let paper = printed(page, A4).await?;
        holds_all(&paper, &all, "long notes");
        assert!(
            (2..=4).contains(&paper.pages.len()),
            "{}",
            paper.pages.len()
        );
        let wide = json!({ "width": 320, "height": 640, "deviceScaleFactor": 2, "mobile": true });
        page.cdp("Emulation.setDeviceMetricsOverride", wide).await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}
