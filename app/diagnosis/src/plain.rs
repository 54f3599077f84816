//! Numbers as a person says them.

/// Odds as a weight of evidence: ten times the logarithm of the ratio, in
/// decibans (Good 1950). Infinite where one side is impossible.
pub fn decibans(ratio: f64) -> f64 {
    10.0 * ratio.log10()
}

/// The odds of a probability.
pub fn odds(p: f64) -> f64 {
    p / (1.0 - p)
}

/// A probability in plain words: "about 3 in 5". The fraction is the simplest
/// that people say and that is near enough: within an eighth of its distance to
/// the nearer end, and never more than 0.045 away.
pub fn share(p: f64) -> String {
    if !(0.0..=1.0).contains(&p) {
        return "unknown".to_owned();
    }
    if p < 0.005 {
        return "less than 1 in 200".to_owned();
    }
    if p > 0.995 {
        return "more than 199 in 200".to_owned();
    }
    let (cases, of) = fraction(p);
    ["about ", &cases.to_string(), " in ", &of.to_string()].concat()
}

/// The numbers that are said: halves to fifths, tenths, then what people say for
/// something small.
const OF: [u32; 11] = [2, 3, 4, 5, 10, 15, 20, 30, 50, 100, 200];

fn fraction(p: f64) -> (u32, u32) {
    let mut best = (1, 200, f64::INFINITY);
    for of in OF {
        let cases = (p * f64::from(of)).round();
        if cases < 1.0 || cases >= f64::from(of) {
            continue;
        }
        // Past tenths only the ends: "1 in 30", "29 in 30".
        if of > 10 && cases > 1.0 && cases < f64::from(of) - 1.0 {
            continue;
        }
        let off = (p - cases / f64::from(of)).abs();
        let near = (p.min(1.0 - p) / 8.0).clamp(0.0, 0.045);
        if off <= near {
            return (cases as u32, of);
        }
        if off < best.2 {
            best = (cases as u32, of, off);
        }
    }
    (best.0, best.1)
}

/// A probability in whole per cent: "62 %", "under 1 %", "over 99 %".
pub fn percent(p: f64) -> String {
    let whole = (p * 100.0).round();
    if p > 0.0 && whole < 1.0 {
        "under 1 %".to_owned()
    } else if p < 1.0 && whole > 99.0 {
        "over 99 %".to_owned()
    } else {
        (whole as i64).to_string() + " %"
    }
}

/// A range in whole per cent: "40 to 75 %".
pub fn range(low: f64, high: f64) -> String {
    let whole = |p: f64| ((p * 100.0).round() as i64).to_string();
    let (low, high) = (whole(low), whole(high));
    if low == high && low == "0" {
        "under 1 %".to_owned()
    } else if low == high {
        low + " %"
    } else {
        low + " to " + &high + " %"
    }
}

/// A weight of evidence in words and decibans: "speaks clearly for it: odds 4
/// times better (6 decibans)". Under one deciban, which a person can hardly
/// notice (Good), it says nothing.
pub fn weight(db: f64) -> String {
    let words = match db.abs() {
        a if a.is_nan() || a < 1.0 => return "says next to nothing".to_owned(),
        a if a < 3.0 => "a little",
        a if a < 10.0 => "clearly",
        a if a < 20.0 => "strongly",
        _ => "very strongly",
    };
    let (side, better) = if db > 0.0 {
        ("for", "better")
    } else {
        ("against", "worse")
    };
    let speaks = ["speaks ", words, " ", side, " it"].concat();
    if !db.is_finite() {
        return speaks + ": nothing else is possible";
    }
    let times = 10_f64.powf(db.abs() / 10.0);
    let times = if times < 3.0 {
        let tenths = (times * 10.0).round() as i64;
        (tenths / 10).to_string() + "." + &(tenths % 10).to_string()
    } else if times < 1000.0 {
        (times.round() as i64).to_string()
    } else {
        "over 1000".to_owned()
    };
    let n = db.abs().round() as i64;
    let unit = if n == 1 { " deciban)" } else { " decibans)" };
    [
        &speaks,
        ": odds ",
        &times,
        " times ",
        better,
        " (",
        &n.to_string(),
        unit,
    ]
    .concat()
}
