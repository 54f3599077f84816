//! About: privacy, settings, state of storage and offline use, installing,
//! version and licence.

use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::{clock, storage, worker};
use crate::text;
use crate::widgets::bits::{bullets, icon, line, link_with, pair, section, tag, title};
use crate::widgets::segment::segment;
use leptos::prelude::*;

/// The page.
pub fn page(app: App) -> Dom {
    Dom::many(vec![
        title(text::ABOUT_TITLE),
        line("p", "lead", text::PRIVACY),
        settings(app),
        state(app),
        install(),
        version(),
    ])
}

fn settings(app: App) -> Dom {
    let s = app.settings;
    let zone = " This device's time zone is ".to_owned() + &clock::zone() + ".";
    let theme = segment(
        "Colours",
        "theme",
        &["Like the device", "Light", "Dark"],
        Signal::derive(move || usize::from(s.get().theme)),
        move |n| s.update(|s| s.theme = small(n)),
    );
    let size = segment(
        "Text size",
        "size",
        &["Normal", "Large", "Larger", "Largest"],
        Signal::derive(move || usize::from(s.get().size)),
        move |n| s.update(|s| s.size = small(n)),
    );
    let hours = segment(
        "Clock",
        "hours",
        &["24 hours", "12 hours"],
        Signal::derive(move || usize::from(s.get().twelve)),
        move |n| s.update(|s| s.twelve = n == 1),
    );
    let times = segment(
        "Times in a log",
        "zone",
        &["UTC, as the log counts", "This device's time"],
        Signal::derive(move || usize::from(s.get().local)),
        move |n| s.update(|s| s.local = n == 1),
    );
    let note = line("p", "small", text::TIMES_NOTE.to_owned() + &zone);
    section(
        "settings",
        "Settings",
        vec![theme, size, hours, times, note],
    )
}

fn small(n: usize) -> u8 {
    u8::try_from(n).unwrap_or(0)
}

fn state(app: App) -> Dom {
    let offline = move || {
        let yes = app.offline.get();
        let (class, picture) = if yes {
            ("mark good", "check")
        } else {
            ("mark warn", "info")
        };
        let words = if yes {
            text::OFFLINE_YES
        } else {
            text::OFFLINE_NO
        };
        tag("p", class, vec![icon(picture), line("span", "", words)])
    };
    let blocked = storage::blocked();
    let (class, picture, words) = if blocked {
        ("mark bad", "bad", text::STORAGE_BAD)
    } else {
        ("mark good", "check", text::STORAGE_OK)
    };
    section(
        "state",
        "On this device",
        vec![
            line("h3", "", "Working offline"),
            Dom::live(offline),
            line("h3", "", "Storage"),
            tag("p", class, vec![icon(picture), line("span", "", words)]),
            line("h3", "", "The notebook"),
            link_with(
                "plain",
                "/backup",
                "share",
                "Backup, and room on this device",
            ),
        ],
    )
}

fn install() -> Dom {
    let android = "Android: open the browser's menu, then Install app or Add to home screen.";
    let apple = "iPhone or iPad: tap Share, then Add to Home Screen. Do this first: the installed app keeps its own data, apart from the browser.";
    let desk = "Computer: click the install sign in the address bar, if the browser shows one.";
    section(
        "install",
        "Install it",
        vec![bullets([android, apple, desk].map(str::to_owned))],
    )
}

fn version() -> Dom {
    let build = worker::build_id().unwrap_or_else(|| "made by hand, no build id".to_owned());
    let pairs = vec![
        pair("Version", env!("CARGO_PKG_VERSION")),
        pair("Build", build),
        pair("Licence", text::LICENCE),
    ];
    section(
        "version",
        "Version and licence",
        vec![tag("dl", "pairs", pairs)],
    )
}
