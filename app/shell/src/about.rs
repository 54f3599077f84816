//! About: privacy, settings, state of storage and offline use, installing,
//! version and licence.

use crate::app::App;
use crate::platform::{clock, storage, worker};
use crate::text;
use crate::widgets::bits::{bullets, icon, line, pair, tag};
use crate::widgets::segment::segment;
use leptos::prelude::*;

/// The page.
pub fn page(app: App) -> AnyView {
    view! {
        <h1 tabindex="-1">{text::ABOUT_TITLE}</h1>
        <p class="lead">{text::PRIVACY}</p>
        {settings(app)}
        {state(app)}
        {install()}
        {version()}
    }
    .into_any()
}

fn settings(app: App) -> AnyView {
    let s = app.settings;
    let zone = "This device's time zone is ".to_owned() + &clock::zone() + ".";
    view! {
        <section aria-labelledby="settings">
            <h2 id="settings">"Settings"</h2>
            {segment("Colours", "theme", &["Like the device", "Light", "Dark"],
                Signal::derive(move || usize::from(s.get().theme)),
                move |n| s.update(|s| s.theme = small(n)))}
            {segment("Text size", "size", &["Normal", "Large", "Larger", "Largest"],
                Signal::derive(move || usize::from(s.get().size)),
                move |n| s.update(|s| s.size = small(n)))}
            {segment("Clock", "hours", &["24 hours", "12 hours"],
                Signal::derive(move || usize::from(s.get().twelve)),
                move |n| s.update(|s| s.twelve = n == 1))}
            {segment("Times in a log", "zone", &["UTC, as the log counts", "This device's time"],
                Signal::derive(move || usize::from(s.get().local)),
                move |n| s.update(|s| s.local = n == 1))}
            <p class="small">{text::TIMES_NOTE}" "{zone}</p>
        </section>
    }
    .into_any()
}

fn small(n: usize) -> u8 {
    u8::try_from(n).unwrap_or(0)
}

fn state(app: App) -> AnyView {
    let offline = move || {
        let yes = app.offline.get();
        let (class, picture) = if yes { ("mark good", "check") } else { ("mark warn", "info") };
        let words = if yes { text::OFFLINE_YES } else { text::OFFLINE_NO };
        tag("p", class, vec![icon(picture), line("span", "", words)])
    };
    let blocked = storage::blocked();
    let (class, picture, words) = if blocked {
        ("mark bad", "bad", text::STORAGE_BAD)
    } else {
        ("mark good", "check", text::STORAGE_OK)
    };
    view! {
        <section aria-labelledby="state">
            <h2 id="state">"On this device"</h2>
            <h3>"Working offline"</h3>
            {offline}
            <h3>"Storage"</h3>
            <p class=class>{icon(picture)}<span>{words}</span></p>
        </section>
    }
    .into_any()
}

fn install() -> AnyView {
    let android = "Android: open the browser's menu, then Install app or Add to home screen.";
    let apple = "iPhone or iPad: tap Share, then Add to Home Screen. Do this first: the installed app keeps its own data, apart from the browser.";
    let desk = "Computer: click the install sign in the address bar, if the browser shows one.";
    view! {
        <section aria-labelledby="install">
            <h2 id="install">"Install it"</h2>
            {bullets([android, apple, desk].map(str::to_owned))}
        </section>
    }
    .into_any()
}

fn version() -> AnyView {
    let build = worker::build_id().unwrap_or_else(|| "made by hand, no build id".to_owned());
    let pairs = vec![pair("Version", env!("CARGO_PKG_VERSION")), pair("Build", build), pair("Licence", text::LICENCE)];
    view! {
        <section aria-labelledby="version">
            <h2 id="version">"Version and licence"</h2>
            {tag("dl", "pairs", pairs)}
        </section>
    }
    .into_any()
}
