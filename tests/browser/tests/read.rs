//! Paste to result, as a person does it: the Paste button, a result, the parts
//! of the page it leads to; offline as well, for every demonstration log.

mod help;

use browser_tests::json;
use help::{allow_clipboard, desktop, differs, log, logs, paste, phone, read_log, result, settle};
use help::{mark_old, shown, summary, texts};

#[test]
fn a_paste_gives_a_result_on_a_phone() {
    phone(async |page| {
        read_log(page, "02").await?;
        let wrong = differs(&log("02"), &shown(page).await?);
        assert_eq!(wrong, None);
        assert_eq!(page.overhang().await?, 0);
        page.shot("result-phone").await?;
        for part in [
            "Entries",
            "What the codes say",
            "The text, line by line",
            "Take it with you",
        ] {
            page.find("heading", part).await?;
        }
        page.sees("Does not prove: ").await?;
        let log = page.log().await?;
        assert!(log.is_empty(), "{log:#?}");
        Ok(())
    });
}

#[test]
fn a_paste_gives_a_result_on_a_desktop() {
    desktop(async |page| {
        for number in ["04", "11", "35", "48"] {
            read_log(page, number).await?;
            let wrong = differs(&log(number), &shown(page).await?);
            assert_eq!(wrong, None);
            assert_eq!(page.overhang().await?, 0, "log {number}");
            page.shot(&format!("result-desktop-{number}")).await?;
        }
        Ok(())
    });
}

#[test]
fn every_demonstration_log_reads_right_without_a_server() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/read").await?;
        page.ready_offline().await?;
        page.server().stop();
        page.reload().await?;
        let mut wrong = Vec::new();
        let all = logs();
        assert!(all.len() >= 30, "only {} logs were found", all.len());
        for log in &all {
            paste(page, &log.text).await?;
            wrong.extend(differs(log, &shown(page).await?));
            let wider = page.overhang().await?;
            if wider != 0 {
                wrong.push(format!("{}: {wider} pixels wider than the phone", log.name));
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        Ok(())
    });
}

#[test]
fn a_paste_by_the_keyboard_is_read_and_kept_as_the_original() {
    phone(async |page| {
        read_log(page, "02").await?;
        page.tap("button", "Clear").await?;
        page.sees("Cleared").await?;
        settle(page).await?;
        let gone = "return !document.querySelector('ol.paste') && document.querySelector('#log-text').value === ''";
        page.wait_true("an empty page", gone).await?;
        page.find("textbox", "Fault log text")
            .await?
            .focus()
            .await?;
        let press = json!({ "type": "rawKeyDown", "key": "v", "code": "KeyV", "windowsVirtualKeyCode": 86, "modifiers": 2, "commands": ["paste"] });
        page.cdp("Input.dispatchKeyEvent", press).await?;
        result(page).await?;
        assert_eq!(differs(&log("02"), &shown(page).await?), None);
        page.type_into("Fault log text", "x").await?;
        page.tap("button", "Original text").await?;
        page.sees("The pasted text is back").await?;
        let value = page
            .find("textbox", "Fault log text")
            .await?
            .prop("value")
            .await?;
        assert_eq!(value.as_deref(), Some(log("02").text.as_str()));
        Ok(())
    });
}

#[test]
fn a_table_from_the_clipboard_becomes_rows() {
    phone(async |page| {
        allow_clipboard(page).await?;
        page.open("/read").await?;
        let rows = [
            "<tr><td>slot 07</td><td>step 0A</td><td>code 44D0</td><td>clock 2C8F10B0</td><td>seen 01</td></tr>",
            "<tr><td>slot 08</td><td>step 12</td><td>code E100</td><td>clock 2C8F10B1</td><td>seen 02</td></tr>",
        ];
        let write = "const html = new Blob([`<table>${arguments[0]}</table>`], { type: 'text/html' });
            const text = new Blob(['only the plain part'], { type: 'text/plain' });
            return navigator.clipboard.write([new ClipboardItem({ 'text/html': html, 'text/plain': text })])";
        page.run(write, &[json!(rows.concat())]).await?;
        page.tap("button", "Paste").await?;
        result(page).await?;
        assert_eq!(shown(page).await?.as_pasted, ["44D0", "E100"]);
        Ok(())
    });
}

#[test]
fn an_example_is_one_tap_away() {
    phone(async |page| {
        page.open("/").await?;
        page.tap("button", "Try an example").await?;
        page.tap("button", "Typed from a photo").await?;
        result(page).await?;
        assert_eq!(differs(&log("04"), &shown(page).await?), None);
        page.wait_true(
            "the focus on the summary",
            "return document.activeElement.id === 'summary'",
        )
        .await?;
        page.shot("example-phone").await?;
        Ok(())
    });
}

#[test]
fn what_was_typed_survives_a_reload() {
    phone(async |page| {
        page.open("/read").await?;
        page.type_into(
            "Fault log text",
            "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01",
        )
        .await?;
        result(page).await?;
        assert_eq!(shown(page).await?.codes, ["44D0"]);
        // At once, so that what is kept on leaving is what counts.
        page.type_into("Fault log text", "\nslot 08  step 12")
            .await?;
        page.reload().await?;
        result(page).await?;
        let value = page
            .find("textbox", "Fault log text")
            .await?
            .prop("value")
            .await?;
        assert_eq!(
            value.as_deref(),
            Some("slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01\nslot 08  step 12")
        );
        assert_eq!(shown(page).await?.codes[..], ["44D0"]);
        page.tap("link", "Books").await?;
        page.sees("Code books").await?;
        page.tap("link", "Read").await?;
        result(page).await?;
        assert_eq!(shown(page).await?.codes, ["44D0"]);
        Ok(())
    });
}

#[test]
fn a_board_changes_what_a_code_means_and_one_console_can_be_looked_at() {
    phone(async |page| {
        read_log(page, "11").await?;
        let before = shown(page).await?;
        mark_old(page).await?;
        let options = page
            .run("return [...document.querySelectorAll('input[name=console]')].map((i) => i.labels[0].innerText)", &[])
            .await?;
        assert_eq!(texts(&options).len(), 3, "{options}");
        page.run(
            "document.querySelectorAll('input[name=console]')[2].click()",
            &[],
        )
        .await?;
        result(page).await?;
        let after = shown(page).await?;
        assert!(after.codes.len() < before.codes.len(), "{after:#?}");
        assert!(!summary(page).await?.contains("consoles"), "{after:#?}");
        mark_old(page).await?;
        let board = "const [, first] = document.querySelectorAll('.boards input[type=radio]');
            first.closest('details').open = true;
            first.click();
            return first.labels[0].innerText";
        page.run(board, &[]).await?;
        result(page).await?;
        page.sees(": board ").await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}
