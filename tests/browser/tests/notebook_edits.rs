//! Editing without fear: former versions, undo, deleting, moving, finding.

mod help;
#[path = "help/notebook.rs"]
mod notebook;

use help::{phone, tap};
use notebook::{done, fill, main_text, new_console, records, saved, says, unfold, write};

#[test]
fn former_versions_are_kept_and_brought_back() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        write(page, "Add", "Note", &[("Note", "First words")]).await?;
        for text in ["Second words", "Third words"] {
            tap(page, "link", "words").await?;
            fill(page, "Note", text).await?;
            done(page).await?;
            page.sees(text).await?;
        }
        tap(page, "link", "Third words").await?;
        // Back to how it was when the form was opened: the typed text stays too.
        fill(page, "Note", "A slip of the hand").await?;
        saved(page).await?;
        tap(page, "button", "Back to how it was").await?;
        page.wait_true(
            "the former text",
            "return document.querySelector('textarea').value === 'Third words'",
        )
        .await?;
        done(page).await?;
        tap(page, "link", "Third words").await?;
        unfold(page, "Former versions").await?;
        let list = main_text(page).await?;
        for words in ["First words", "Second words", "A slip of the hand"] {
            assert!(list.contains(words), "{words}: {list}");
        }
        let bring = "const row = [...document.querySelectorAll('main li')].find((l) => l.innerText.includes('First words'));
            row.querySelector('button').click()";
        page.run(bring, &[]).await?;
        page.sees("The former version is back").await?;
        page.wait_true(
            "the first words",
            "return document.querySelector('textarea').value === 'First words'",
        )
        .await?;
        let all = records(page).await?;
        let note = all.iter().find(|r| r["kind"] == "note").unwrap();
        assert!(note["versions"].as_array().unwrap().len() >= 5, "{note:#}");
        Ok(())
    });
}

#[test]
fn what_is_deleted_comes_back() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        write(page, "Add", "Note", &[("Note", "Not to be lost")]).await?;
        for way in ["Undo", "Recently deleted"] {
            tap(page, "link", "Not to be lost").await?;
            tap(page, "button", "Delete").await?;
            page.sees("Deleted. It can be brought back").await?;
            page.wait_true(
                "the note to be gone",
                "return !document.querySelector('main').innerText.includes('Not to be lost')",
            )
            .await?;
            if way == "Undo" {
                tap(page, "button", "Undo").await?;
            } else {
                page.open("/consoles").await?;
                tap(page, "link", "Recently deleted").await?;
                says(page, &["Not to be lost", "90 days"]).await?;
                tap(page, "button", "Bring it back").await?;
                page.sees("Nothing was deleted.").await?;
                page.open("/consoles").await?;
                tap(page, "link", "Attic find").await?;
            }
            page.find("link", "Not to be lost").await?;
        }
        Ok(())
    });
}

#[test]
fn what_was_deleted_long_ago_is_wiped_when_somebody_looks() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        write(page, "Add", "Note", &[("Note", "Ninety days")]).await?;
        tap(page, "link", "Ninety days").await?;
        tap(page, "button", "Delete").await?;
        page.sees("Deleted. It can be brought back").await?;
        let later = "const now = Date.now; Date.now = () => now() + DAYS * 86400000";
        page.open("/consoles/deleted").await?;
        page.sees("Ninety days").await?;
        page.before_load(&later.replace("DAYS", "89")).await?;
        page.reload().await?;
        says(page, &["Ninety days", "for 1 day"]).await?;
        page.before_load("Date.now = ((now) => () => now() + 2 * 86400000)(Date.now)")
            .await?;
        page.reload().await?;
        page.sees("Nothing was deleted.").await?;
        let all = records(page).await?;
        let note = all.iter().find(|r| r["kind"] == "note").unwrap();
        assert!(!note.to_string().contains("Ninety"), "{note:#}");
        Ok(())
    });
}

#[test]
fn jobs_are_closed_reopened_split_and_filled() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        write(page, "Add", "Note", &[("Note", "Before any job")]).await?;
        write(page, "Add", "Job", &[("What is wrong", "Dead")]).await?;
        tap(page, "button", "Put all of this into").await?;
        page.sees_no("Without a job").await?;
        page.find("link", "Before any job").await?;
        write(
            page,
            "Add to this job",
            "Symptom",
            &[("Lamp", "red, three short")],
        )
        .await?;
        // Closed with an outcome, and open again.
        tap(page, "link", "Change, close").await?;
        fill(page, "Where it stands", "Closed").await?;
        fill(page, "Outcome", "Repaired").await?;
        fill(page, "Closed on", "2026-11-20").await?;
        done(page).await?;
        page.sees("Repaired, closed 20 November").await?;
        tap(page, "button", "Reopen").await?;
        page.sees("On the bench").await?;
        // One fault turned out to be two.
        tap(page, "link", "Dead").await?;
        tap(page, "link", "Split off a job").await?;
        tap(page, "button", "Make the new job").await?;
        page.sees("Choose at least one record.").await?;
        fill(page, "What is wrong, in a few words", "No picture").await?;
        let tick = "[...document.querySelectorAll('main label')].find((l) => l.innerText.includes('red, three short')).click()";
        page.run(tick, &[]).await?;
        tap(page, "button", "Make the new job").await?;
        page.find("link", "No picture").await?;
        let all = records(page).await?;
        let last = |kind: &str| {
            let found = all.iter().find(|r| r["kind"] == kind).unwrap();
            found["versions"].as_array().unwrap().last().unwrap()["data"]["job"].clone()
        };
        let jobs: Vec<_> = all.iter().filter(|r| r["kind"] == "job").collect();
        assert_eq!(jobs.len(), 2);
        assert_ne!(last("symptom"), last("note"));
        Ok(())
    });
}

#[test]
fn everything_is_found() {
    phone(async |page| {
        help::read_log(page, "01").await?;
        tap(page, "button", "Save to a console").await?;
        tap(page, "button", "New console").await?;
        page.sees("Saved to").await?;
        tap(page, "link", "Open it").await?;
        tap(page, "link", "Change").await?;
        fill(page, "Nickname", "Blue Stripe").await?;
        done(page).await?;
        let repair = [
            ("What was done", "Replaced the bank"),
            ("Parts", "C212: polymer, 470 \u{b5}F"),
        ];
        write(page, "Add", "Repair", &repair).await?;
        write(
            page,
            "Add",
            "Note",
            &[("Note", "Smells of flux at the Möbius coil")],
        )
        .await?;
        page.open("/consoles").await?;
        for (query, found) in [
            ("blue str", "Blue Stripe"),
            ("44d0", "44D0"),
            ("c212", "C212"),
            ("mobius flux", "flux"),
        ] {
            fill(page, "Find a name, code, part or note", query).await?;
            page.wait_true(
                query,
                &format!("return [...document.querySelectorAll('main mark, main li')].some((m) => m.innerText.includes('{found}'))"),
            )
            .await?;
        }
        fill(page, "Find a name, code, part or note", "no such thing").await?;
        page.sees("Nothing found.").await?;
        Ok(())
    });
}

#[test]
fn a_console_is_put_away() {
    phone(async |page| {
        new_console(page, "Attic find", "").await?;
        tap(page, "link", "Change").await?;
        fill(page, "Put away", "yes").await?;
        done(page).await?;
        page.open("/consoles").await?;
        page.sees("Put away: 1 console").await?;
        unfold(page, "Put away").await?;
        tap(page, "link", "Attic find").await?;
        page.find("heading", "Attic find").await.map(drop)
    });
}
