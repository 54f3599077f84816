//! Typed from a photo, and what other apps share into this one.

mod help;

use browser_tests::{Outcome, Page, json};
use help::{desktop, phone, result, shown, tap, touch};
use std::path::PathBuf;

const POSE: &str = "return document.querySelector('.photo-box img').style.transform";
const WIDE: &str = "const i = document.querySelector('.photo-box img');
    return !!i && i.complete && i.naturalWidth === 192";

/// Puts text or a picture where the service worker takes a share.
const SHARE: &str = "
    const [text, picture] = arguments;
    const form = new FormData();
    form.set('title', '');
    if (text) form.set('text', text);
    const answer = async () => {
        if (picture) {
            const blob = await fetch(picture).then((r) => r.blob());
            form.append('files', new File([blob], 'log.png', { type: 'image/png' }));
        }
        const sent = await fetch('/share', { method: 'POST', body: form });
        return sent.url.replace(location.origin, '');
    };
    return answer();";

fn picture() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../public/icons/icon-192.png")
        .canonicalize()
        .unwrap()
}

async fn with_photo(page: &Page) -> Outcome {
    page.open("/read").await?;
    page.tap("button", "From a photo").await?;
    page.find("button", "Choose or take a photo").await?;
    page.choose_file("#photo-file", &picture()).await?;
    page.wait_true("the photo", WIDE).await
}

async fn keys(page: &Page, keys: &str) -> Outcome {
    for key in keys.split_whitespace() {
        let name = match key {
            "_" => "space",
            "/" => "new line",
            "<" => "Delete back",
            other => other,
        };
        page.tap("button", name).await?;
    }
    Ok(())
}

#[test]
fn a_log_is_typed_from_a_photo_with_the_key_row() {
    phone(async |page| {
        with_photo(page).await?;
        // The photo, the box and the keys are on the screen at once.
        let fits = "const low = (s) => document.querySelector(s).getBoundingClientRect();
            return low('.photo-box').top >= 0 && low('.keys .digits').bottom <= document.querySelector('.places').getBoundingClientRect().top";
        page.run("document.querySelector('.photo-box').scrollIntoView()", &[])
            .await?;
        page.shot("photo-phone").await?;
        assert_eq!(
            page.run(fits, &[]).await?,
            true,
            "photo and digit keys fit one screen"
        );
        page.find("textbox", "Fault log text")
            .await?
            .click()
            .await?;
        // The keys write at the caret and leave the focus in the box.
        keys(page, "slot 0 7 _ step 0 A _ code 4").await?;
        page.sees("Next: code").await?;
        keys(page, "4 D 1 < 0 _").await?;
        let state = "const box = document.querySelector('#log-text');
            return [box.value, document.activeElement === box, box.inputMode]";
        let wanted = json!(["slot 07 step 0A code 44D0 ", true, "none"]);
        assert_eq!(page.run(state, &[]).await?, wanted);
        page.type_into("Fault log text", "clock 2C8F10B0 seen 0")
            .await?;
        keys(page, "1").await?;
        page.sees("Line complete.").await?;
        // Reading follows a short pause in the typing; until then the page shows
        // what an earlier state of the line said, and that may be an entry too.
        page.wait_true(
            "the whole line to be read",
            "return document.querySelector('ol.paste')?.innerText.includes('seen 01')",
        )
        .await?;
        page.sees("1 entry").await?;
        result(page).await?;
        assert_eq!(shown(page).await?.codes, ["44D0"]);
        keys(page, "/ slot").await?;
        page.sees("Next: ").await?;
        // What can't be right is said while it is typed.
        page.type_into("Fault log text", "07 step G").await?;
        page.sees("can't stand here.").await?;
        assert_eq!(page.overhang().await?, 0);
        let found = page.accessibility().await?;
        assert!(found.is_empty(), "{found:#?}");
        let log = page.log().await?;
        assert!(log.is_empty(), "{log:#?}");
        Ok(())
    });
}

#[test]
fn the_photo_is_zoomed_turned_and_moved() {
    phone(async |page| {
        with_photo(page).await?;
        let start = "translate(0px, 0px) scale(1) rotate(0deg)";
        assert_eq!(page.run(POSE, &[]).await?, start);
        for (button, part) in [
            ("Closer", "scale(1.4)"),
            ("Turn", "rotate(90deg)"),
            ("Left", "translate(80px, 0px)"),
            ("Up", "translate(80px, 60px)"),
        ] {
            page.tap("button", button).await?;
            let there = format!("{POSE}.includes('{part}')");
            page.wait_true(part, &there).await?;
        }
        page.tap("button", "Wider").await?;
        page.wait_true("scale 1", &format!("{POSE}.includes('scale(1)')"))
            .await?;
        page.tap("button", "Fit").await?;
        page.wait_true("the first place", &format!("{POSE} === '{start}'"))
            .await?;
        // Dragged by a finger, then pinched by two.
        let middle = "const r = document.querySelector('.photo-box').getBoundingClientRect();
            return [r.left + r.width / 2, r.top + r.height / 2]";
        let middle = page.run(middle, &[]).await?;
        let (x, y) = (middle[0].as_f64().unwrap(), middle[1].as_f64().unwrap());
        touch(page, "touchStart", &[(x, y)]).await?;
        touch(page, "touchMove", &[(x + 30.0, y + 20.0)]).await?;
        touch(page, "touchEnd", &[]).await?;
        let moved = format!(
            "return !({})().startsWith('translate(0px, 0px)')",
            as_function()
        );
        page.wait_true("the photo to move", &moved).await?;
        touch(page, "touchStart", &[(x - 20.0, y), (x + 20.0, y)]).await?;
        touch(page, "touchMove", &[(x - 60.0, y), (x + 60.0, y)]).await?;
        touch(page, "touchEnd", &[]).await?;
        let bigger = "return Number(/scale\\(([^)]*)\\)/.exec(document.querySelector('.photo-box img').style.transform)[1]) > 1.5";
        page.wait_true("a closer photo", bigger).await?;
        tap(page, "button", "Close photo").await?;
        page.wait_true("no photo", "return !document.querySelector('.photo-box') && location.pathname + location.search === '/read'")
            .await
    });
}

fn as_function() -> String {
    format!("() => {{ {POSE} }}")
}

#[test]
fn the_photo_stands_beside_the_box_on_a_desktop() {
    desktop(async |page| {
        with_photo(page).await?;
        let visible = "const r = document.querySelector('.photo-box').getBoundingClientRect();
            const t = document.querySelector('#log-text').getBoundingClientRect();
            return r.top >= 0 && t.top < innerHeight && t.bottom > 0";
        assert_eq!(page.run(visible, &[]).await?, true);
        page.run("document.querySelector('.photo-box').focus()", &[])
            .await?;
        page.driver()
            .action_chain()
            .send_keys("+")
            .perform()
            .await?;
        page.wait_true("a closer photo", &format!("{POSE}.includes('scale(1.25)')"))
            .await?;
        page.shot("photo-desktop").await?;
        assert_eq!(page.overhang().await?, 0);
        Ok(())
    });
}

#[test]
fn shared_text_opens_in_the_app() {
    phone(async |page| {
        page.open("/about").await?;
        page.ready_offline().await?;
        let text = "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01\n";
        let to = page.run(SHARE, &[json!(text), json!(null)]).await?;
        page.open(to.as_str().unwrap_or_default()).await?;
        result(page).await?;
        assert_eq!(shown(page).await?.codes, ["44D0"]);
        // It is taken once; a reload keeps the draft and says nothing.
        page.reload().await?;
        result(page).await?;
        assert_eq!(shown(page).await?.codes, ["44D0"]);
        page.sees_no("did not arrive").await
    });
}

#[test]
fn a_shared_picture_opens_to_be_typed_from() {
    phone(async |page| {
        page.open("/about").await?;
        page.ready_offline().await?;
        let icon = page
            .run(
                "return document.querySelector('link[rel=apple-touch-icon]')?.href ?? null",
                &[],
            )
            .await?;
        assert!(icon.is_string(), "the page names no icon: {icon}");
        let to = page.run(SHARE, &[json!("log.png"), icon]).await?;
        page.open(to.as_str().unwrap_or_default()).await?;
        let there = "const i = document.querySelector('.photo-box img');
            return !!i && i.complete && i.naturalWidth > 0";
        page.wait_true("the photo", there).await?;
        page.find("button", "Closer").await?;
        Ok(())
    });
}

#[test]
fn a_share_that_got_lost_says_so() {
    phone(async |page| {
        page.open("/about").await?;
        page.ready_offline().await?;
        page.open("/read?shared=1").await?;
        page.sees("The shared text did not arrive.").await
    });
}
