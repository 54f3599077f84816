//! The words: short enough for a tired person who reads English as a second
//! language, and without promises.
//!
//! The bar: no sentence over 20 words, 12 at most on average, and the texts of
//! the steps together at or below grade 6 of the Flesch-Kincaid grade level
//! (Kincaid et al. 1975, the formula from memory: 0.39 words a sentence + 11.8
//! syllables a word - 15.59). Syllables are counted as groups of vowels, less a
//! silent e at the end: an approximation, good to some tenths of a grade.
#![allow(clippy::unwrap_used, clippy::panic)]

use care::Care;

fn care() -> Care {
    Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn sentences(text: &str) -> Vec<Vec<&str>> {
    let mut all = vec![Vec::new()];
    for word in text.split_whitespace() {
        all.last_mut().unwrap().push(word);
        if word.ends_with(['.', '?', ':', ';']) {
            all.push(Vec::new());
        }
    }
    all.retain(|s| !s.is_empty());
    all
}

fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let vowel = |c: char| "aeiouy".contains(c);
    let (mut n, mut before) = (0, false);
    for c in word.chars().filter(|c| c.is_alphabetic()) {
        n += usize::from(vowel(c) && !before);
        before = vowel(c);
    }
    let bare = word.trim_end_matches(|c: char| !c.is_alphabetic());
    if bare.ends_with('e') && !bare.ends_with("le") && n > 1 {
        n -= 1;
    }
    n.max(1)
}

#[allow(clippy::cast_precision_loss)]
fn grade(texts: &[&str]) -> f64 {
    let all: Vec<Vec<&str>> = texts.iter().flat_map(|t| sentences(t)).collect();
    let words: Vec<&str> = all.iter().flatten().copied().collect();
    let syllables: usize = words.iter().map(|w| syllables(w)).sum();
    let (s, w) = (all.len() as f64, words.len() as f64);
    0.39 * w / s + 11.8 * syllables as f64 / w - 15.59
}

/// Everything of the data that a person reads, with the item it is of.
fn texts(care: &Care) -> Vec<(&str, &str)> {
    let mut all = Vec::new();
    for h in &care.hazards {
        all.push((h.id.as_str(), h.what.as_str()));
        all.extend(h.todo.iter().map(|t| (h.id.as_str(), t.as_str())));
    }
    for w in &care.works {
        all.push((&w.id, &w.about));
        all.extend(
            w.not
                .iter()
                .chain(&w.ends)
                .map(|t| (w.id.as_str(), t.as_str())),
        );
    }
    for s in &care.steps {
        all.push((&s.id, &s.text));
        all.push((&s.id, &s.why));
        all.extend(s.hold.iter().map(|h| (s.id.as_str(), h.as_str())));
    }
    all
}

#[test]
#[allow(clippy::cast_precision_loss)]
fn sentences_are_short() {
    let care = care();
    let mut lengths = Vec::new();
    for (id, text) in texts(&care) {
        for sentence in sentences(text) {
            assert!(sentence.len() <= 20, "{id}: {}", sentence.join(" "));
            lengths.push(sentence.len());
        }
        assert!(text.ends_with('.'), "{id}: {text}");
        assert!(!text.contains('!'), "{id} shouts: {text}");
    }
    let mean = lengths.iter().sum::<usize>() as f64 / lengths.len() as f64;
    println!("{} sentences, {mean:.1} words on average", lengths.len());
    assert!(mean <= 12.0, "{mean}");
}

#[test]
fn steps_read_at_grade_six_or_below() {
    // The measure itself: a sentence of one-syllable words is far below a
    // sentence of long ones.
    let easy = grade(&["The cat sat on the mat."]);
    let hard = grade(&[
        "Electrolytic capacitors occasionally experience irreversible degradation following inappropriate temperatures.",
    ]);
    assert!(easy < 1.0 && hard > 15.0, "{easy} {hard}");
    let care = care();
    let steps: Vec<&str> = care.steps.iter().map(|s| s.text.as_str()).collect();
    let found = grade(&steps);
    println!("grade {found:.1}");
    assert!(found <= 6.0, "{found}");
}

#[test]
fn nothing_is_called_safe_and_nothing_is_promised() {
    let care = care();
    for (id, text) in texts(&care) {
        let lower = text.to_lowercase();
        for word in [
            "safe",
            "safely",
            "guarantee",
            "always works",
            "cannot fail",
            "risk-free",
        ] {
            let found = lower
                .split(|c: char| !c.is_alphanumeric() && c != '-')
                .any(|w| w == word);
            let phrase = word.contains(' ') && lower.contains(word);
            assert!(!found && !phrase, "{id}: {text}");
        }
    }
    // What reflow does not do is said.
    let reflow = care.works.iter().find(|w| w.id == "reflow").unwrap();
    assert!(reflow.not.iter().any(|t| t.contains("a while")));
    assert!(reflow.not.iter().any(|t| t.contains("capacitors")));
}
