//! Stored charge: the energy in a capacitor, and its way down through a
//! resistor. E = C V²/2, V(t) = V e^(-t/RC), t = RC ln(V/target).
//!
//! These are sums about parts whose values are known. They prove nothing: only a
//! meter across the capacitor does.

/// All about one discharge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    /// Energy at the start, in joules.
    pub energy_j: f64,
    /// One time constant, in seconds.
    pub tau_s: f64,
    /// Time until the target is reached, in seconds.
    pub time_s: f64,
    /// The first current, in amperes.
    pub current_a: f64,
    /// The first power in the resistor, in watts.
    pub power_w: f64,
}

/// The sums for `volts` across `farad`, brought down to `target` volts through
/// `ohms`.
///
/// # Errors
/// In plain words, when a value is no number above zero, when the target is not
/// below the voltage, or when a result would be no number.
pub fn discharge(
    volts: f64,
    target: f64,
    ohms: f64,
    farad: f64,
) -> Result<Discharge, &'static str> {
    let usable = |v: f64| v.is_finite() && v > 0.0;
    if ![volts, target, ohms, farad].into_iter().all(usable) {
        return Err("Each value must be above zero.");
    }
    if target >= volts {
        return Err("The target must be below the voltage now.");
    }
    let tau_s = ohms * farad;
    let current_a = volts / ohms;
    let all = Discharge {
        energy_j: energy(farad, volts),
        tau_s,
        time_s: tau_s * (volts / target).ln(),
        current_a,
        power_w: volts * current_a,
    };
    let parts = [
        all.energy_j,
        all.tau_s,
        all.time_s,
        all.current_a,
        all.power_w,
    ];
    if parts.into_iter().all(f64::is_finite) {
        Ok(all)
    } else {
        Err("These values are too large for a sum.")
    }
}

/// The energy in a capacitor, in joules.
pub fn energy(farad: f64, volts: f64) -> f64 {
    farad * volts * volts / 2.0
}

/// The voltage after some seconds.
pub fn volts_after(volts: f64, seconds: f64, ohms: f64, farad: f64) -> f64 {
    volts * (-seconds / (ohms * farad)).exp()
}

/// A value with three figures, an SI prefix and a space, to stand before its
/// unit: `33.8 m`.
pub fn shown(value: f64) -> String {
    const PREFIXES: [&str; 9] = ["p", "n", "\u{b5}", "m", "", "k", "M", "G", "T"];
    if !value.is_finite() {
        return "beyond any sum ".to_owned();
    }
    let size = value.abs();
    if size < 1e-12 {
        return "0 ".to_owned();
    }
    let mut at = 4_usize;
    let mut scaled = size;
    while scaled >= 999.5 && at < 8 {
        scaled /= 1000.0;
        at += 1;
    }
    while scaled < 0.999_5 && at > 0 {
        scaled *= 1000.0;
        at -= 1;
    }
    let prefix = PREFIXES.get(at).copied().unwrap_or_default();
    let sign = if value < 0.0 { "-" } else { "" };
    sign.to_owned() + &three(scaled) + " " + prefix
}

/// Three figures of a value from 1 to below 1000, without zeros behind the point.
fn three(value: f64) -> String {
    let places = if value < 9.995 {
        100_u32
    } else if value < 99.95 {
        10
    } else {
        1
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and a million by what calls it; larger ones stay at the limit"
    )]
    let whole = (value * f64::from(places)).round() as u64;
    let places = u64::from(places);
    let mut text = (whole / places).to_string();
    let rest = whole % places;
    if rest > 0 {
        text.push('.');
        if places == 100 && rest < 10 {
            text.push('0');
        }
        let digits = rest.to_string();
        text.push_str(digits.trim_end_matches('0'));
    }
    text
}
