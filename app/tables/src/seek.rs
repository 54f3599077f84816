//! Looking for short texts in texts, in one small copy for all places. The
//! standard library's search is made anew, and large, for each of them.

/// The first place of a short text, from a byte on.
#[inline(never)]
pub(crate) fn find_from(text: &str, short: &str, from: usize) -> Option<usize> {
    let (all, short) = (text.as_bytes(), short.as_bytes());
    let first = short.first()?;
    let mut at = from;
    loop {
        at += all.get(at..)?.iter().position(|b| b == first)?;
        if all.get(at..at + short.len()) == Some(short) {
            return Some(at);
        }
        at += 1;
    }
}

/// The first place of a short text.
pub(crate) fn find(text: &str, short: &str) -> Option<usize> {
    find_from(text, short, 0)
}

/// Whether a short text stands in a text.
pub(crate) fn has(text: &str, short: &str) -> bool {
    find(text, short).is_some()
}

/// What stands in front of a short text and behind it.
#[inline(never)]
pub(crate) fn cut<'t>(text: &'t str, short: &str) -> Option<(&'t str, &'t str)> {
    let at = find(text, short)?;
    Some((text.get(..at)?, text.get(at + short.len()..)?))
}

/// The pieces between a short text.
#[inline(never)]
pub(crate) fn pieces<'t>(text: &'t str, short: &str) -> Vec<&'t str> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some((piece, after)) = cut(rest, short) {
        out.push(piece);
        rest = after;
    }
    out.push(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The standard library's search is the outside measure.
        #[test]
        fn finds_what_the_standard_library_finds(text in "[ab|é]{0,30}", short in "[ab|é]{1,3}") {
            prop_assert_eq!(find(&text, &short), text.find(&short));
            prop_assert_eq!(cut(&text, &short), text.split_once(&short));
            prop_assert_eq!(pieces(&text, &short), text.split(&short).collect::<Vec<_>>());
        }
    }
}
