//! The uncertainty of a result that comes from several readings.

/// The combined standard uncertainty of a result (JCGM 100:2008, 5.2.2, formula
/// 16): of each input how much the result moves with it and its standard
/// uncertainty; `correlation` of two of them (places in the list) lies between
/// -1 and 1. Two readings of one meter in one range are correlated.
pub fn combined(inputs: &[(f64, f64)], correlation: impl Fn(usize, usize) -> f64) -> f64 {
    let mut variance = 0.0;
    for (i, (ci, ui)) in inputs.iter().enumerate() {
        variance += (ci * ui) * (ci * ui);
        for (j, (cj, uj)) in inputs.iter().enumerate().skip(i + 1) {
            variance += 2.0 * (ci * ui) * (cj * uj) * correlation(i, j);
        }
    }
    variance.max(0.0).sqrt()
}
