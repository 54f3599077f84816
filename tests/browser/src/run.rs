//! The fixture around each test.

use crate::driver::{Driver, Home, Screen};
use crate::{Outcome, Page};
use packager::places::Places;
use packager::server::Server;
use std::panic::{AssertUnwindSafe, Location, catch_unwind, resume_unwind};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

/// One browser at a time; the machines that run this have two cores.
static ONE: Mutex<()> = Mutex::new(());

/// Runs a test at phone size.
///
/// # Panics
/// When the test fails: that is how tests do.
#[track_caller]
pub fn on_phone(test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    run(Screen::Phone, Location::caller(), test);
}

/// Runs a test at desktop size.
///
/// # Panics
/// When the test fails.
#[track_caller]
pub fn on_desktop(test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    run(Screen::Desktop, Location::caller(), test);
}

/// The built site that is tested.
///
/// # Panics
/// When it isn't there.
pub fn site() -> PathBuf {
    let named = std::env::var_os("FAULTLEAF_SITE").map(PathBuf::from);
    let site = named.unwrap_or_else(|| Places::here().site());
    assert!(
        site.join("sw.js").is_file(),
        "there is no built site in {}; run `cargo site` first",
        site.display()
    );
    site
}

fn run(screen: Screen, from: &Location<'_>, test: impl AsyncFnOnce(&mut Page) -> Outcome) {
    let _one = ONE.lock().unwrap_or_else(PoisonError::into_inner);
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build();
    let runtime = runtime.unwrap_or_else(|e| fail(&e.into()));
    let site = site();
    let profile = tempfile::tempdir().unwrap_or_else(|e| fail(&e.into()));
    let opened = runtime.block_on(async {
        let home = Home {
            driver: Driver::start().await?,
            screen,
            profile: profile.path().to_path_buf(),
        };
        let browser = home.driver.browser(screen, &home.profile).await?;
        let server = Server::start(&site, 0)?;
        Ok::<_, anyhow::Error>(Page::new(browser, server, home))
    });
    let mut page = opened.unwrap_or_else(|e| fail(&e));
    let done = catch_unwind(AssertUnwindSafe(|| runtime.block_on(test(&mut page))));
    if !matches!(done, Ok(Ok(()))) {
        let file = from
            .file()
            .rsplit('/')
            .next()
            .unwrap_or_default()
            .trim_end_matches(".rs");
        runtime.block_on(page.keep_traces(&format!("failed-{file}-line-{}", from.line())));
    }
    runtime.block_on(page.close());
    match done {
        Ok(Ok(())) => {}
        Ok(Err(error)) => fail(&error),
        Err(panic) => resume_unwind(panic),
    }
}

#[allow(clippy::panic, reason = "a test fails by panicking")]
fn fail(error: &anyhow::Error) -> ! {
    panic!("{error:#}")
}
