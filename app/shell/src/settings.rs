//! What the person set: look, text size, how times are shown.

use crate::platform::state::{Kept, State, effect};
use crate::platform::{clock::Style, page, storage};
use serde_json::{Map, Value};

const KEY: &str = "faultleaf.settings";

/// Everything that can be set. Plain numbers, so that a newer version's
/// settings still load in an older one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
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
    /// Reads them; what is missing or of another kind is as at the start.
    fn of(value: &Value) -> Self {
        let small = |name: &str| {
            let n = value.get(name).and_then(Value::as_u64);
            n.and_then(|n| u8::try_from(n).ok()).unwrap_or(0)
        };
        let flag = |name: &str| value.get(name) == Some(&Value::Bool(true));
        Self {
            theme: small("theme"),
            size: small("size"),
            twelve: flag("twelve"),
            local: flag("local"),
            told_offline: flag("told_offline"),
        }
    }

    fn value(self) -> Value {
        let mut all = Map::new();
        let mut put = |name: &str, value: Value| all.insert(name.to_owned(), value);
        put("theme", self.theme.into());
        put("size", self.size.into());
        put("twelve", self.twelve.into());
        put("local", self.local.into());
        put("told_offline", self.told_offline.into());
        Value::Object(all)
    }

    /// How times are shown.
    pub fn clock(self) -> Style {
        Style {
            twelve: self.twelve,
            local: self.local,
        }
    }
}

/// Loads the settings, keeps them when they change and applies them.
pub fn start() -> State<Settings> {
    let now = State::new(
        storage::get(KEY)
            .map(|v| Settings::of(&v))
            .unwrap_or_default(),
    );
    let before: Kept<Option<Settings>> = Kept::new(None);
    effect(move || {
        let s = now.get();
        let before = before.try_update_value(|b| b.replace(s)).flatten();
        let theme = match s.theme {
            1 => "light",
            2 => "dark",
            _ => "auto",
        };
        page::root_attribute("data-theme", theme);
        page::root_attribute("data-size", &s.size.min(3).to_string());
        if before.is_some_and(|b| b != s) {
            storage::set(KEY, &s.value());
        }
    });
    now
}
