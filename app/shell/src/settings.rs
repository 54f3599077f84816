//! What the person set: look, text size, how times are shown.

use crate::platform::{clock::Style, page, storage};
use leptos::prelude::*;
use serde::{Deserialize, Serialize};

const KEY: &str = "faultleaf.settings";

/// Everything that can be set. Plain numbers, so that a newer version's
/// settings still load in an older one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// 0 like the device, 1 light, 2 dark.
    pub theme: u8,
    /// 0 normal to 3 largest.
    pub size: u8,
    /// Twelve-hour clock.
    pub twelve: bool,
    /// This device's time instead of UTC.
    pub local: bool,
    /// "Ready to work offline" has been said.
    pub told_offline: bool,
}

impl Settings {
    /// How times are shown.
    pub fn clock(self) -> Style {
        Style {
            twelve: self.twelve,
            local: self.local,
        }
    }
}

/// Loads the settings, keeps them when they change and applies them.
pub fn start() -> RwSignal<Settings> {
    let now = RwSignal::new(storage::get::<Settings>(KEY).unwrap_or_default());
    Effect::new(move |before: Option<Settings>| {
        let s = now.get();
        let theme = match s.theme {
            1 => "light",
            2 => "dark",
            _ => "auto",
        };
        page::root_attribute("data-theme", theme);
        page::root_attribute("data-size", &s.size.min(3).to_string());
        if before.is_some_and(|b| b != s) {
            storage::set(KEY, &s);
        }
        s
    });
    now
}
