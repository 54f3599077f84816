//! So many of so many, with an honest range.

/// Standard normal quantile for a two-sided range of 90 %.
pub const Z90: f64 = 1.644_853_626_951_472_2;
/// The same for 95 %.
pub const Z95: f64 = 1.959_963_984_540_054;

/// Wilson's score interval (Wilson 1927; method 3 in Newcombe 1998). `None` for
/// nothing of nothing: there is no estimate.
pub fn wilson(cases: u32, of: u32, z: f64) -> Option<(f64, f64)> {
    if of == 0 || cases > of {
        return None;
    }
    let (x, n) = (f64::from(cases), f64::from(of));
    let (p, zz) = (x / n, z * z);
    let middle = p + zz / (2.0 * n);
    let half = z * (p * (1.0 - p) / n + zz / (4.0 * n * n)).sqrt();
    let under = 1.0 + zz / n;
    let low = if cases == 0 {
        0.0
    } else {
        (middle - half) / under
    };
    let high = if cases == of {
        1.0
    } else {
        (middle + half) / under
    };
    Some((low.max(0.0), high.min(1.0)))
}
