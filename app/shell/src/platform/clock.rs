//! Times as people read them, and this device's time zone.
//!
//! Times in a reading are UTC or the console's own local time. Only this module
//! asks the browser for the time zone.

use js_sys::{Date, Reflect};
use wasm_bindgen::{JsCast, JsValue};

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// How times are shown.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub struct Style {
    /// 9:40 pm instead of 21:40.
    pub twelve: bool,
    /// This device's time instead of UTC.
    pub local: bool,
}

/// Year, month, day, hour, minute, second.
struct Parts(i32, u32, u32, u32, u32, u32);

/// A UTC time of a reading: its text, and its seconds since 1970.
#[allow(
    clippy::cast_precision_loss,
    reason = "dates of logs are far below the limit"
)]
pub fn utc(text: &str, seconds: i64, style: Style) -> String {
    if style.local {
        let d = Date::new(&JsValue::from_f64(seconds as f64 * 1000.0));
        return local_date(&d, style);
    }
    match parse(text) {
        Some(p) => show(&p, style.twelve) + " UTC",
        None => text.to_owned(),
    }
}

/// A time of the console's own clock, in a time zone that nobody knows.
pub fn console(text: &str, style: Style) -> String {
    parse(text).map_or_else(|| text.to_owned(), |p| show(&p, style.twelve))
}

/// Milliseconds since 1970, in this device's time.
#[allow(clippy::cast_precision_loss, reason = "times are far below the limit")]
pub fn moment(ms: i64, style: Style) -> String {
    let d = Date::new(&JsValue::from_f64(ms as f64));
    let text = local_date(&d, style);
    text.trim_end_matches(" here").to_owned()
}

/// Seconds since 1970, in UTC or in this device's time.
pub fn seconds(seconds: i64, style: Style) -> String {
    utc(&written(seconds), seconds, style)
}

/// Seconds since 1970 of a console's own time as if it were UTC.
pub fn seconds_as_written(seconds: i64, style: Style) -> String {
    console(&written(seconds), style)
}

fn written(seconds: i64) -> String {
    reading::calendar::write_utc(seconds)
        .unwrap_or_default()
        .replace(['T', 'Z'], " ")
}

/// Seconds since 1970, as a short date for an axis.
pub fn day(seconds: f64, style: Style) -> String {
    let d = Date::new(&JsValue::from_f64(seconds * 1000.0));
    let (y, m, day) = if style.local {
        (d.get_full_year(), d.get_month(), d.get_date())
    } else {
        (d.get_utc_full_year(), d.get_utc_month(), d.get_utc_date())
    };
    let month = MONTHS.get(m as usize).copied().unwrap_or("");
    format!("{day} {month} {y}")
}

/// The name of this device's time zone.
pub fn zone() -> String {
    let read = || -> Option<String> {
        let intl = Reflect::get(&js_sys::global(), &JsValue::from_str("Intl")).ok()?;
        let kind = Reflect::get(&intl, &JsValue::from_str("DateTimeFormat")).ok()?;
        let kind: js_sys::Function = kind.dyn_into().ok()?;
        let made = kind.call0(&JsValue::UNDEFINED).ok()?;
        let f: js_sys::Function = Reflect::get(&made, &JsValue::from_str("resolvedOptions"))
            .ok()?
            .dyn_into()
            .ok()?;
        let options = f.call0(&made).ok()?;
        Reflect::get(&options, &JsValue::from_str("timeZone"))
            .ok()?
            .as_string()
    };
    read().unwrap_or_else(|| "this device's time zone".to_owned())
}

fn local_date(d: &Date, style: Style) -> String {
    let year = i32::try_from(d.get_full_year()).unwrap_or(0);
    let p = Parts(
        year,
        d.get_month() + 1,
        d.get_date(),
        d.get_hours(),
        d.get_minutes(),
        d.get_seconds(),
    );
    show(&p, style.twelve) + " here"
}

fn parse(text: &str) -> Option<Parts> {
    let mut n = text
        .split(['-', ' ', ':', '.'])
        .map(|p| p.parse::<u32>().ok());
    let mut next = || n.next().flatten();
    let year = i32::try_from(next()?).ok()?;
    Some(Parts(
        year,
        next()?,
        next()?,
        next()?,
        next()?,
        next().unwrap_or(0),
    ))
}

fn show(p: &Parts, twelve: bool) -> String {
    let Parts(year, month, day, hour, minute, second) = *p;
    let month = MONTHS
        .get((month as usize).saturating_sub(1))
        .copied()
        .unwrap_or("?");
    if twelve {
        let half = if hour < 12 { "am" } else { "pm" };
        let h = match hour % 12 {
            0 => 12,
            h => h,
        };
        format!("{day} {month} {year}, {h}:{minute:02}:{second:02} {half}")
    } else {
        format!("{day} {month} {year}, {hour:02}:{minute:02}:{second:02}")
    }
}
