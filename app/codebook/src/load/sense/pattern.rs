//! The pattern of a written date: tokens `YYYY`, `YY`, `MM`, `DD`, `hh`, `mm`,
//! `ss`, everything else as it stands.

/// One piece of a date pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Token {
    /// Four digits of a year.
    Year4,
    /// Two digits of a year.
    Year2,
    /// Month, 01 to 12.
    Month,
    /// Day, 01 to 31.
    Day,
    /// Hour, 00 to 23.
    Hour,
    /// Minute.
    Minute,
    /// Second.
    Second,
    /// Any other character.
    Char(char),
}

/// Takes a pattern apart.
pub(super) fn tokens(pattern: &str) -> Vec<Token> {
    const KNOWN: [(&str, Token); 7] = [
        ("YYYY", Token::Year4),
        ("YY", Token::Year2),
        ("MM", Token::Month),
        ("DD", Token::Day),
        ("hh", Token::Hour),
        ("mm", Token::Minute),
        ("ss", Token::Second),
    ];
    let mut out = Vec::new();
    let mut rest = pattern;
    while let Some(c) = rest.chars().next() {
        let token = KNOWN
            .iter()
            .find_map(|(text, token)| Some((rest.strip_prefix(text)?, token)));
        match token {
            Some((tail, token)) => {
                out.push(token.clone());
                rest = tail;
            }
            None => {
                out.push(Token::Char(c));
                rest = rest.get(c.len_utf8()..).unwrap_or("");
            }
        }
    }
    out
}

/// What is wrong with a pattern.
pub(super) fn complaint(pattern: &str) -> Option<String> {
    let tokens = tokens(pattern);
    let count = |t: &Token| tokens.iter().filter(|x| *x == t).count();
    let years = count(&Token::Year4) + count(&Token::Year2);
    if years != 1 {
        return Some("must have the year once, as `YYYY` or `YY`".to_owned());
    }
    if count(&Token::Month) != 1 || count(&Token::Day) != 1 {
        return Some("must have `MM` and `DD` once each".to_owned());
    }
    let (h, m, s) = (
        count(&Token::Hour),
        count(&Token::Minute),
        count(&Token::Second),
    );
    if h > 1 || m > h || s > m {
        return Some(
            "may have `hh`, `mm` and `ss` once each, and none without the one before it".to_owned(),
        );
    }
    let stray = tokens
        .iter()
        .find(|t| matches!(t, Token::Char('Y' | 'M' | 'D')));
    if let Some(Token::Char(c)) = stray {
        return Some(format!("has a single `{c}`, which is no part of a date"));
    }
    None
}
