//! After the first visit the app needs no connection, and a new version waits
//! until the person agrees.

#[path = "help/version.rs"]
mod version;

use browser_tests::{Value, on_phone, site};
use version::another_version;

#[test]
fn the_second_load_needs_no_server() {
    on_phone(async |page| {
        page.note_events(&["faultleaf-offline-ready"]).await?;
        page.open("/").await?;
        page.noted("faultleaf-offline-ready").await?;
        page.ready_offline().await?;
        page.server().stop();
        for path in ["/", "/books", "/read?photo=1", "/about"] {
            page.open(path).await?;
        }
        // Data that no visit asked for before is there as well.
        let books = page
            .run(
                "return fetch('/books/index.json').then((r) => r.json())",
                &[],
            )
            .await?;
        assert!(books.as_array().is_some_and(|b| !b.is_empty()), "{books}");
        page.shot("offline-phone").await?;
        Ok(())
    });
}

#[test]
fn everything_the_worker_keeps_is_the_real_file() {
    on_phone(async |page| {
        page.open("/").await?;
        page.ready_offline().await?;
        let kept = "const names = (await caches.keys()).filter((n) => n !== 'faultleaf-shared');
            const cache = await caches.open(names[0]);
            const all = await cache.matchAll();
            return { caches: names.length, bad: all.filter((r) => !r.ok || r.redirected).length, files: all.length };";
        let kept = page
            .run(&format!("return (async () => {{ {kept} }})()"), &[])
            .await?;
        assert_eq!(
            (&kept["caches"], &kept["bad"]),
            (&1.into(), &0.into()),
            "{kept}"
        );
        assert!(kept["files"].as_u64() > Some(8), "{kept}");
        Ok(())
    });
}

#[test]
fn the_program_is_sent_only_once() {
    on_phone(async |page| {
        page.open("/").await?;
        page.ready_offline().await?;
        let asked = page.server().asked();
        let program = asked.iter().filter(|a| a.ends_with(".wasm")).count();
        assert_eq!(program, 1, "{asked:#?}");
        Ok(())
    });
}

#[test]
fn a_new_version_waits_and_then_takes_over() {
    let other = tempfile::tempdir().unwrap();
    another_version(&site(), other.path());
    on_phone(async |page| {
        page.note_events(&["faultleaf-update-waiting"]).await?;
        page.open("/").await?;
        page.ready_offline().await?;
        let before = build(page.run(BUILD, &[]).await?);
        page.server().switch(other.path());
        page.reload().await?;
        page.noted("faultleaf-update-waiting").await?;
        // It waits: the old version still opens.
        page.reload().await?;
        assert_eq!(build(page.run(BUILD, &[]).await?), before);
        page.wait_true(
            "the flag of the waiting version",
            "return window.faultleafUpdateWaiting === true",
        )
        .await?;
        page.run("window.faultleafApplyUpdate()", &[]).await?;
        let after = format!(
            "return document.querySelector('meta[name=build]')?.content === '{before}-next'"
        );
        page.wait_true("the new version", &after).await?;
        page.started().await
    });
}

#[test]
fn a_version_with_a_missing_file_is_not_installed() {
    let other = tempfile::tempdir().unwrap();
    another_version(&site(), other.path());
    std::fs::remove_file(other.path().join("books/index.json")).unwrap();
    on_phone(async |page| {
        page.open("/").await?;
        page.ready_offline().await?;
        page.server().switch(other.path());
        let state = "const r = await navigator.serviceWorker.getRegistration();
            await r.update().catch(() => {});
            const worker = r.installing;
            if (worker) await new Promise((done) => {
                worker.addEventListener('statechange', () => worker.state !== 'installing' && done());
            });
            return { waiting: !!r.waiting, state: worker?.state, active: r.active.state };";
        let state = page
            .run(&format!("return (async () => {{ {state} }})()"), &[])
            .await?;
        assert_eq!(state["waiting"], false, "{state}");
        assert_eq!(state["active"], "activated", "{state}");
        page.server().stop();
        page.reload().await
    });
}

#[test]
fn there_is_a_way_out_of_a_broken_version() {
    on_phone(async |page| {
        page.open("/").await?;
        page.ready_offline().await?;
        page.run("localStorage.setItem('written', 'slot 07')", &[])
            .await?;
        page.note_events(&["faultleaf-offline-ready"]).await?;
        page.go("/?reset-sw").await?;
        // The kept files are gone, so the install that follows is a first one.
        page.noted("faultleaf-offline-ready").await?;
        let written = page
            .run("return localStorage.getItem('written')", &[])
            .await?;
        assert_eq!(written, "slot 07", "what a person wrote stays");
        Ok(())
    });
}

const BUILD: &str = "return document.querySelector('meta[name=build]').content";

fn build(value: Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
