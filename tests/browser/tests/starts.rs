//! The app starts, asks nobody but its own site, and can be used by everyone.

use browser_tests::{on_desktop, on_phone};

#[test]
fn it_starts_at_phone_size_without_a_word_of_error() {
    on_phone(async |page| {
        page.open("/").await?;
        let heading = page
            .run("return document.querySelector('h1').innerText", &[])
            .await?;
        assert!(
            heading.as_str().is_some_and(|h| !h.trim().is_empty()),
            "{heading}"
        );
        assert_eq!(
            page.overhang().await?,
            0,
            "the page is wider than the phone"
        );
        page.shot("start-phone").await?;
        let log = page.log().await?;
        assert!(log.is_empty(), "{log:#?}");
        Ok(())
    });
}

#[test]
fn it_starts_at_desktop_size_and_in_the_dark() {
    on_desktop(async |page| {
        page.open("/").await?;
        page.shot("start-desktop").await?;
        page.prefers("prefers-color-scheme", "dark").await?;
        page.shot("start-desktop-dark").await?;
        assert_eq!(
            page.overhang().await?,
            0,
            "the page is wider than the window"
        );
        Ok(())
    });
}

#[test]
fn the_heading_is_there_before_the_program() {
    on_phone(async |page| {
        page.cdp(
            "Network.setBlockedURLs",
            serde_json::json!({ "urls": ["*.wasm"] }),
        )
        .await?;
        page.go("/").await?;
        let html = page
            .run("return fetch('/').then((r) => r.text())", &[])
            .await?;
        assert!(html.as_str().is_some_and(|h| h.contains("<h1>")), "{html}");
        Ok(())
    });
}

#[test]
fn every_place_can_be_opened_by_its_address() {
    on_phone(async |page| {
        for path in ["/read", "/consoles", "/books", "/bench", "/about"] {
            page.open(path).await?;
            page.wait_true(path, &format!("return location.pathname === '{path}'"))
                .await?;
        }
        Ok(())
    });
}

#[test]
fn no_request_leaves_the_site() {
    on_phone(async |page| {
        page.open("/").await?;
        page.ready_offline().await?;
        page.reload().await?;
        let beyond = page.requests_beyond().await?;
        assert!(beyond.is_empty(), "{beyond:#?}");
        Ok(())
    });
}

#[test]
fn the_policy_stops_what_tries_to_leave() {
    on_phone(async |page| {
        page.open("/").await?;
        let tried = page
            .run(
                "return fetch('http://127.0.0.1:1/').then(() => 'left', (e) => e.name)",
                &[],
            )
            .await?;
        assert_eq!(tried, "TypeError");
        let log = page.log().await?.join("\n");
        assert!(log.contains("Content Security Policy"), "{log}");
        Ok(())
    });
}

#[test]
fn the_checker_for_accessibility_finds_nothing() {
    on_phone(async |page| {
        page.open("/").await?;
        let found = page.accessibility().await?;
        assert!(found.is_empty(), "{found:#?}");
        Ok(())
    });
}

#[test]
fn text_at_twice_the_size_still_fits() {
    on_phone(async |page| {
        page.open("/").await?;
        page.text_size(2.0).await?;
        page.shot("start-phone-large-text").await?;
        assert_eq!(
            page.overhang().await?,
            0,
            "something is cut off or needs scrolling sideways"
        );
        Ok(())
    });
}
