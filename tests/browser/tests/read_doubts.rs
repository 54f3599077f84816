//! Guesses and lines that can't be read for sure: accepted, undone, changed,
//! mended, by tap and by keyboard alone.

mod help;

use browser_tests::{Page, json};
use help::{desktop, log, mark_old, phone, read_log, result, shown, summary, tap};

const VALUE: &str = "return document.querySelector('#log-text').value";

async fn press(page: &Page, key: &str, code: u32, modifiers: u32) -> anyhow::Result<()> {
    // Enter needs its character, or a button does not feel it.
    let text = if key == "Enter" { "\r" } else { "" };
    for kind in ["keyDown", "keyUp"] {
        let event = json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "modifiers": modifiers, "text": if kind == "keyDown" { text } else { "" } });
        page.cdp("Input.dispatchKeyEvent", event).await?;
    }
    Ok(())
}

async fn focused(page: &Page) -> anyhow::Result<String> {
    let who = "const e = document.activeElement;
        return `${e.id || e.tagName} ${e.className} ${(e.innerText ?? '').trim().slice(0, 40)}`";
    let who = page.run(who, &[]).await?;
    Ok(who.as_str().unwrap_or_default().to_owned())
}

/// Presses Tab until what is focused fits the selector.
async fn tab_to(page: &Page, selector: &str) -> anyhow::Result<usize> {
    let there = format!("return document.activeElement.matches({})", json!(selector));
    let mut seen = Vec::new();
    for n in 1..200 {
        press(page, "Tab", 9, 0).await?;
        if page.run(&there, &[]).await? == true {
            return Ok(n);
        }
        seen.push(focused(page).await?);
    }
    anyhow::bail!("Tab never reached {selector}: {seen:#?}")
}

#[test]
fn a_guess_is_tapped_accepted_and_undone() {
    phone(async |page| {
        read_log(page, "04").await?;
        let text = page.run(VALUE, &[]).await?;
        let before = summary(page).await?;
        tap(page, "button", "OA (guess, read as 0A)").await?;
        page.find("heading", "A guess").await?;
        page.shot("guess-sheet-phone").await?;
        let found = page.accessibility().await?;
        assert!(found.is_empty(), "{found:#?}");
        tap(page, "button", "Accept 0A").await?;
        page.sees("Guess, accepted:").await?;
        page.wait_true(
            "the sheet to close",
            "return !document.querySelector('dialog[open]')",
        )
        .await?;
        let accepted = format!("{before} (1 of these accepted)");
        assert_eq!(summary(page).await?, accepted);
        assert_eq!(
            page.run(VALUE, &[]).await?,
            text,
            "accepting changes no text"
        );
        // It is remembered.
        page.reload().await?;
        page.sees(&accepted).await?;
        tap(page, "button", "OA (guess, read as 0A)").await?;
        tap(page, "button", "Take the acceptance back").await?;
        page.sees_no("Guess, accepted:").await?;
        assert_eq!(summary(page).await?, before);
        // Accepted in the list of things to check, undone in the message.
        tap(page, "button", "Accept 01").await?;
        page.sees("(1 of these accepted)").await?;
        tap(page, "button", "Undo").await?;
        page.sees_no("of these accepted)").await?;
        assert_eq!(summary(page).await?, before);
        Ok(())
    });
}

#[test]
fn a_guess_is_changed_and_the_pasted_text_can_come_back() {
    phone(async |page| {
        read_log(page, "04").await?;
        let text = page.run(VALUE, &[]).await?;
        let before = summary(page).await?;
        tap(page, "button", "OA (guess, read as 0A)").await?;
        let field = page.find("textbox", "Or write it yourself").await?;
        field.clear().await?;
        field.send_keys("12").await?;
        mark_old(page).await?;
        tap(page, "button", "Use this").await?;
        result(page).await?;
        page.sees("Changed OA to 12").await?;
        let changed = page.run(VALUE, &[]).await?;
        let wanted = log("04")
            .text
            .replace("\r\n", "\n")
            .replacen("step OA", "step 12", 1);
        assert_eq!(changed, wanted);
        mark_old(page).await?;
        tap(page, "button", "Undo").await?;
        result(page).await?;
        assert_eq!(page.run(VALUE, &[]).await?, text);
        tap(page, "button", "OA (guess, read as 0A)").await?;
        page.find("textbox", "Or write it yourself")
            .await?
            .send_keys("0")
            .await?;
        mark_old(page).await?;
        tap(page, "button", "Use this").await?;
        result(page).await?;
        mark_old(page).await?;
        tap(page, "button", "Original text").await?;
        result(page).await?;
        assert_eq!(page.run(VALUE, &[]).await?, text);
        assert_eq!(summary(page).await?, before);
        Ok(())
    });
}

#[test]
fn an_unreadable_line_is_mended_by_a_choice() {
    phone(async |page| {
        read_log(page, "04").await?;
        let (before, wanted) = (shown(page).await?, log("04"));
        let choices = wanted.expected["unreadable"][0]["choices"]
            .as_array()
            .unwrap();
        assert!(choices.len() > 1);
        for choice in choices {
            page.find("button", choice.as_str().unwrap()).await?;
        }
        let choice = choices[0].as_str().unwrap();
        mark_old(page).await?;
        tap(page, "button", choice).await?;
        result(page).await?;
        let after = shown(page).await?;
        assert_eq!(after.codes.len(), before.codes.len() + 1);
        assert!(after.codes.iter().any(|c| c == choice), "{after:#?}");
        assert!(!after.summary.contains("can't be read"), "{after:#?}");
        page.shot("mended-phone").await?;
        tap(page, "button", "Undo").await?;
        page.sees("1 line that can't be read for sure").await?;
        Ok(())
    });
}

#[test]
fn the_keyboard_alone_is_enough() {
    desktop(async |page| {
        read_log(page, "04").await?;
        page.reload().await?;
        result(page).await?;
        tab_to(page, "a.skip").await?;
        // The box comes soon, and after it what it led to, in this order.
        let steps = tab_to(page, "#log-text").await?;
        assert!(steps < 10, "the text box is {steps} steps away");
        tab_to(page, ".jump a").await?;
        tab_to(page, "#to-check ~ * button, section:has(#to-check) button").await?;
        tab_to(page, "input[name=entry-order]").await?;
        tab_to(page, "ol.paste button.guess").await?;
        let guess = focused(page).await?;
        press(page, "Enter", 13, 0).await?;
        page.wait_true(
            "the sheet",
            "return document.activeElement.closest('dialog[open]') !== null",
        )
        .await?;
        // The focus stays in the sheet, all the way round.
        for _ in 0..12 {
            press(page, "Tab", 9, 0).await?;
            let out = "const e = document.activeElement; return e !== document.body && !e.closest('dialog')";
            assert_eq!(page.run(out, &[]).await?, false, "{}", focused(page).await?);
        }
        press(page, "Escape", 27, 0).await?;
        page.wait_true(
            "the sheet to close",
            "return !document.querySelector('dialog[open]')",
        )
        .await?;
        assert_eq!(focused(page).await?, guess, "the focus comes back");
        Ok(())
    });
}

#[test]
fn accepting_by_keyboard_loses_no_focus() {
    desktop(async |page| {
        read_log(page, "04").await?;
        let accept = "const b = [...document.querySelectorAll('.doubt button')].find((b) => b.innerText.startsWith('Accept'));
            b.focus()";
        page.run(accept, &[]).await?;
        press(page, "Enter", 13, 0).await?;
        page.sees("(1 of these accepted)").await?;
        help::settle(page).await?;
        let lost = page
            .run("return document.activeElement === document.body", &[])
            .await?;
        assert_eq!(lost, false, "the focus fell back to the start of the page");
        Ok(())
    });
}
