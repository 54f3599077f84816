//! Outside measures for laying one reading over another: a search that tries
//! every length, and the failure function of Knuth, Morris and Pratt (1977).

use super::make::Dice;
use notebook::Data;
use notebook::history::{Pulled, history};
use serde_json::{Value, json};

/// A reading without clock and number: letters, and `?` for one not sure.
fn reading(day: i64, letters: &[u8]) -> Pulled {
    let entries = letters
        .iter()
        .map(|c| match c {
            b'?' => json!({"code": "??", "sure": false}),
            b'_' => json!({"lost": 1}),
            c => json!({"code": (*c as char).to_string()}),
        })
        .collect();
    let mut data = Data::new();
    data.insert("book".into(), "b".into());
    data.insert(
        "day".into(),
        notebook::dates::written(20_000 + day).unwrap().into(),
    );
    data.insert("entries".into(), Value::Array(entries));
    Pulled::from_data(&day.to_string(), 0, &data)
}

fn told(old: &[u8], new: &[u8]) -> Vec<u64> {
    let found = history(&[reading(1, old), reading(2, new)]);
    assert_eq!(found.order, [0, 1]);
    found.joins[0].possible.clone()
}

fn letters(dice: &mut Dice, n: u64, alphabet: u64) -> Vec<u8> {
    (0..n).map(|_| b'A' + dice.below(alphabet) as u8).collect()
}

/// The new reading is of the same length, so a shift by `d` lays the end of the
/// old over the beginning of the new.
fn every_shift(old: &[u8], new: &[u8]) -> Vec<u64> {
    let any = |c: u8| matches!(c, b'?' | b'_');
    (0..old.len())
        .filter(|d| {
            let pairs = old[*d..].iter().zip(&new[..new.len() - d]);
            pairs.into_iter().all(|(a, b)| a == b || any(*a) || any(*b))
        })
        .map(|d| d as u64)
        .collect()
}

/// From memory: `fail[i]` is the length of the longest proper border of the
/// first `i + 1` letters. The borders of new + bar + old are the overlaps.
fn by_failure_function(old: &[u8], new: &[u8]) -> Vec<u64> {
    let text: Vec<u8> = [new, b"|", old].concat();
    let mut fail = vec![0; text.len()];
    for i in 1..text.len() {
        let mut k: usize = fail[i - 1];
        while k > 0 && text[i] != text[k] {
            k = fail[k - 1];
        }
        fail[i] = k + usize::from(text[i] == text[k]);
    }
    let mut out = Vec::new();
    let mut border = fail[text.len() - 1];
    while border > 0 {
        out.push((old.len() - border) as u64);
        border = fail[border - 1];
    }
    out
}

#[test]
fn the_told_numbers_are_those_of_a_search_and_of_the_failure_function() {
    let mut dice = Dice(5);
    let mut several = 0;
    for _ in 0..4000 {
        let n = 1 + dice.below(14);
        let alphabet = 1 + dice.below(3);
        let old = letters(&mut dice, n, alphabet);
        let mut new = letters(&mut dice, n, alphabet);
        if dice.one_in(2) {
            let d = dice.below(n) as usize;
            new = [&old[d..], &new[..d]].concat();
        }
        let told = told(&old, &new);
        assert_eq!(told, every_shift(&old, &new), "{old:?} {new:?}");
        assert_eq!(told, by_failure_function(&old, &new), "{old:?} {new:?}");
        several += usize::from(told.len() > 1);
    }
    assert!(several > 1000, "{several}");
}

#[test]
fn with_guesses_and_holes_the_told_numbers_are_those_of_a_search() {
    let mut dice = Dice(6);
    for _ in 0..4000 {
        let n = 3 + dice.below(12);
        let old = letters(&mut dice, n, 2);
        let mut new = letters(&mut dice, n, 2);
        if dice.one_in(2) {
            let d = dice.below(n) as usize;
            new = [&old[d..], &new[..d]].concat();
        }
        let mut old = old;
        for list in [&mut old, &mut new] {
            for c in list.iter_mut() {
                if dice.one_in(6) {
                    *c = if dice.one_in(2) { b'?' } else { b'_' };
                }
            }
            // A hole at the end would be no entry to look at.
            list[0] = b'?';
            *list.last_mut().unwrap() = b'A';
        }
        assert_eq!(told(&old, &new), every_shift(&old, &new), "{old:?} {new:?}");
    }
}
