//! The pages about suspects as a person uses them, and what they show.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::{allow_clipboard, log, paste, settle, tap};
use super::notebook::{done, fill, here};
use browser_tests::{Outcome, Page, Value, json};

/// A suspect that log 01 speaks for, a part of its name.
pub const BANK: &str = "ank capacitors at the graphics chip";
/// The check that log 01 leads to on the LW-41, by its id, what it is called,
/// and a result that speaks against the suspect that leads.
pub const FIRST: &str = "picture-story";
/// See [`FIRST`].
pub const FIRST_TITLE: &str = "Ask about picture faults before it died";
/// See [`FIRST`].
pub const FIRST_RESULT: &str = "No picture faults before it died.";
/// The suspect that leads.
pub const LEADS: &str = "Graphics chip: inner joints tired";
/// The part of a job where something is added to it.
pub const JOB: &str = "Add to this job";

/// What the first page shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// What is to be done next.
    pub advice: String,
    /// The suspects in their order, with what they are said to be, 0 to 1: from
    /// the bar, which has a digit more than the words.
    pub suspects: Vec<(String, f64)>,
}

impl Seen {
    /// How probable the suspect with this in its name is.
    pub fn of(&self, name: &str) -> f64 {
        let found = self.suspects.iter().find(|(n, _)| n.contains(name));
        found.map_or_else(|| panic!("no {name:?} in {self:#?}"), |(_, p)| *p)
    }

    /// The name of the first suspect.
    pub fn first(&self) -> &str {
        self.suspects.first().map_or("", |(n, _)| n.as_str())
    }

    /// The names in their order.
    pub fn names(&self) -> Vec<&str> {
        self.suspects.iter().map(|(n, _)| n.as_str()).collect()
    }
}

/// Loads the app once, and then the server is gone.
pub async fn offline(page: &mut Page) -> Outcome {
    page.open("/read").await?;
    page.ready_offline().await?;
    page.server().stop();
    Ok(())
}

/// Reads a log and saves it to a new console. Ends on the page Read.
pub async fn save_log(page: &mut Page, text: &str) -> Outcome {
    allow_clipboard(page).await?;
    page.open("/read").await?;
    paste(page, text).await?;
    tap(page, "button", "Save to a console").await?;
    tap(page, "button", "New console").await?;
    page.sees("Saved to \u{201c}").await
}

/// Makes a console with this name and this board (or none) of a log, as a
/// person does. Ends on the console's page; gives its id.
pub async fn console_of(
    page: &mut Page,
    name: &str,
    board: &str,
    text: &str,
) -> anyhow::Result<String> {
    save_log(page, text).await?;
    tap(page, "link", "Open it").await?;
    page.sees("About this console").await?;
    tap(page, "link", "Change").await?;
    fill(page, "Nickname", name).await?;
    if !board.is_empty() {
        fill(page, "Board revision", board).await?;
    }
    done(page).await?;
    page.sees("About this console").await?;
    here(page).await
}

/// The same for demonstration log 01, and goes on to the suspects. Gives the
/// address of their first page.
pub async fn suspects_of(page: &mut Page, name: &str, board: &str) -> anyhow::Result<String> {
    suspects_of_log(page, name, board, &log("01").text).await
}

/// The same for another log.
pub async fn suspects_of_log(
    page: &mut Page,
    name: &str,
    board: &str,
    text: &str,
) -> anyhow::Result<String> {
    console_of(page, name, board, text).await?;
    tap(page, "button", "What is broken?").await?;
    home(page).await?;
    path(page).await
}

/// The address shown.
pub async fn path(page: &Page) -> anyhow::Result<String> {
    let path = page.run("return location.pathname", &[]).await?;
    Ok(path.as_str().unwrap_or_default().to_owned())
}

/// Waits for the first page.
pub async fn home(page: &Page) -> Outcome {
    page.wait_true(
        "the first page of the suspects",
        "return /^\\/suspects\\/[^/]+\\/[^/]+$/.test(location.pathname)
            && document.querySelector('main h1')?.innerText === 'What is probably broken'
            && document.querySelectorAll('main ul.suspects li').length > 1",
    )
    .await?;
    settle(page).await
}

/// Opens the first page by its address.
pub async fn open(page: &Page, address: &str) -> Outcome {
    page.open(address).await?;
    home(page).await
}

/// Unfolds the boards on the first page, where one is asked for, and taps one. The radio button lies
/// unseen behind its label.
pub async fn choose_board(page: &Page, board: &str) -> Outcome {
    super::notebook::unfold(page, "Choose the board").await?;
    let script = format!(
        "const label = [...document.querySelectorAll('main .boards label')]
            .find((l) => l.innerText.trim().startsWith({}));
        label?.scrollIntoView({{ block: 'center', behavior: 'instant' }});
        label?.click();
        return !!label",
        json!(board)
    );
    page.wait_true(&format!("the board {board}"), &script)
        .await?;
    super::help::tap(page, "button", "Use this board").await
}

/// Unfolds all that is folded, also what is drawn only then.
pub async fn unfold_all(page: &Page) -> Outcome {
    let script = "document.querySelectorAll('main details:not([open])').forEach((d) => { d.open = true });
        return [...document.querySelectorAll('main details > .fold-in')].every((f) => f.childElementCount > 0)
            && !document.querySelector('main details:not([open])')";
    page.wait_true("all unfolded", script).await
}

/// What the first page shows now, with the suspects that are folded away.
pub async fn seen(page: &Page) -> anyhow::Result<Seen> {
    let rest = "const rest = document.getElementById('rest');
        if (rest) rest.open = true;
        return !!rest?.querySelector('ul.suspects')";
    page.wait_true("the less probable suspects", rest).await?;
    let script = "const all = [...document.querySelectorAll('main ul.suspects > li')];
        const of = (li) => [li.querySelector('.suspect-name b').textContent,
            parseFloat(li.querySelector('.sus-now').style.width) / 100,
            li.querySelector('.sus-words b').textContent];
        return [document.querySelector('main .note-box .deed')?.innerText ?? '', all.map(of)]";
    let found = page.run(script, &[]).await?;
    let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
    let all = found[1].as_array().cloned().unwrap_or_default();
    Ok(Seen {
        advice: text(&found[0]),
        suspects: all
            .iter()
            .map(|s| (text(&s[0]), s[1].as_f64().unwrap_or(f64::NAN)))
            .collect(),
    })
}

/// Waits until the first page shows something else than this, and gives it.
pub async fn moved(page: &Page, before: &Seen) -> anyhow::Result<Seen> {
    let start = std::time::Instant::now();
    loop {
        home(page).await?;
        let now = seen(page).await?;
        if now != *before {
            return Ok(now);
        }
        anyhow::ensure!(start.elapsed().as_secs() < 60, "still {now:#?}");
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
}

/// Waits until the first page shows just this.
pub async fn shows(page: &Page, wanted: &Seen) -> Outcome {
    let start = std::time::Instant::now();
    loop {
        home(page).await?;
        let now = seen(page).await?;
        if now == *wanted {
            return Ok(());
        }
        anyhow::ensure!(
            start.elapsed().as_secs() < 60,
            "shown {now:#?}, not {wanted:#?}"
        );
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
}

/// The address of the Why page of the suspect with this in its name, on the
/// first page.
pub async fn why_of(page: &Page, name: &str) -> anyhow::Result<String> {
    let script = "return [...document.querySelectorAll('main ul.suspects a.suspect-name')]
        .find((a) => a.textContent.includes(arguments[0]))?.getAttribute('href') ?? ''";
    let to = page.run(script, &[json!(name)]).await?;
    let to = to.as_str().unwrap_or_default().to_owned();
    anyhow::ensure!(!to.is_empty(), "no suspect {name:?}");
    Ok(to)
}

/// The text of the page's section with this id of its heading.
pub async fn part(page: &Page, id: &str) -> anyhow::Result<String> {
    let script = "const head = document.getElementById(arguments[0]);
        return head?.closest('section')?.textContent ?? ''";
    let text = page.run(script, &[json!(id)]).await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// The value beside this name in a list of pairs.
pub async fn beside_name(page: &Page, name: &str) -> anyhow::Result<String> {
    let script = "const name = [...document.querySelectorAll('main dl dt')]
            .find((d) => d.textContent.trim() === arguments[0]);
        return name?.nextElementSibling?.textContent.trim() ?? ''";
    let text = page.run(script, &[json!(name)]).await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Turns the finding whose row has this in it to one of the three choices.
pub async fn turn(page: &Page, finding: &str, to: &str) -> Outcome {
    let script = "const row = [...document.querySelectorAll('main ul.noticed li')]
            .find((l) => l.querySelector(':scope > b')?.textContent.includes(arguments[0]));
        if (!row) return [...document.querySelectorAll('main ul.noticed li > b')].map((b) => b.textContent);
        const list = row.querySelector('select');
        list.value = [...list.options].find((o) => o.text === arguments[1]).value;
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return true";
    let done = page.run(script, &[json!(finding), json!(to)]).await?;
    anyhow::ensure!(done == true, "no finding {finding:?}; there are {done}");
    settle(page).await
}

/// Closes the job of the console whose page is shown as repaired, with this
/// cause ticked from the book.
pub async fn close_job(page: &Page, cause: &str) -> Outcome {
    tap(page, "link", "Change, close").await?;
    let day = super::notebook::today(page).await?;
    for (label, value) in [
        ("Where it stands", "Closed"),
        ("Outcome", "Repaired"),
        ("Closed on", day.as_str()),
        (cause, "yes"),
    ] {
        fill(page, label, value).await?;
    }
    done(page).await?;
    page.sees("Repaired, closed").await
}

/// A log of the Orrery in the layout of `demo-logs/make/orrery.py`: step and
/// code of each entry, oldest first.
pub fn orrery(entries: &[(&str, &str)]) -> String {
    let mut text = format!(
        "port> show log\nfault log: 24 slots, next slot {:02}\n",
        entries.len()
    );
    for (n, (step, code)) in entries.iter().enumerate() {
        let clock = 0x240D_7700 + 0x10000 * n;
        text += &format!("slot {n:02}  step {step}  code {code}  clock {clock:08X}  seen 01\n");
    }
    for n in entries.len()..24 {
        text += &format!("slot {n:02}  empty\n");
    }
    text + "end of log\nport> \n"
}
