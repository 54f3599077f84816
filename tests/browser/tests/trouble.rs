//! When something is wrong: storage refused, the program missing, a panic.

use browser_tests::{json, on_phone};

const DRAFT: &str =
    "localStorage.setItem('faultleaf.draft', JSON.stringify({ text: 'slot 07  step 0A' }))";

#[test]
fn without_storage_the_app_still_opens() {
    on_phone(async |page| {
        page.block_storage().await?;
        page.open("/").await?;
        let refused = page
            .run(
                "try { localStorage; return 'open' } catch (e) { return e.name }",
                &[],
            )
            .await?;
        assert_eq!(refused, "SecurityError", "the test itself must work");
        page.shot("storage-blocked").await?;
        Ok(())
    });
}

#[test]
fn a_panic_ends_in_a_page_that_gives_the_text_back() {
    on_phone(async |page| {
        page.open("/").await?;
        page.run(DRAFT, &[]).await?;
        page.run(
            "window.faultleafPanic('it broke at line 7'); window.faultleafPanic('echo')",
            &[],
        )
        .await?;
        page.sees("The app stopped").await?;
        page.find("button", "Reload").await?;
        page.find("button", "Copy details").await?;
        page.find("button", "Copy my text").await?;
        let draft = page
            .find("textbox", "Your text")
            .await?
            .prop("value")
            .await?;
        assert_eq!(draft.as_deref(), Some("slot 07  step 0A"));
        let details = page
            .find("textbox", "Details of the error")
            .await?
            .prop("value")
            .await?
            .unwrap_or_default();
        assert!(
            details.starts_with("it broke at line 7\n") && !details.contains("echo"),
            "{details}"
        );
        page.shot("panic").await?;
        assert_eq!(page.overhang().await?, 0);
        let found = page.accessibility().await?;
        assert!(found.is_empty(), "{found:#?}");
        page.tap("button", "Reload").await?;
        page.started().await
    });
}

#[test]
fn a_program_that_does_not_load_says_so() {
    on_phone(async |page| {
        page.cdp("Network.enable", json!({})).await?;
        page.cdp("Network.setBlockedURLs", json!({ "urls": ["*.wasm"] }))
            .await?;
        page.go("/").await?;
        page.sees("The app did not load").await?;
        page.find("button", "Reload").await?;
        Ok(())
    });
}
