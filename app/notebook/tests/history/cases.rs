//! What the history says, as sentences, in `cases.txt`. `UPDATE_EXPECT=1` prints
//! what it says now.

use notebook::Data;
use notebook::history::{Pulled, history};
use serde_json::{Value, json};

fn entry(token: &str, counter: &str) -> Value {
    let (token, sure) = match token.strip_suffix('?') {
        Some(t) => (t, false),
        None => (token, true),
    };
    let mut map = Data::new();
    if !sure {
        map.insert("sure".into(), false.into());
    }
    if token == "_" {
        map.insert("lost".into(), 1.into());
    } else if let Some(n) = token.strip_prefix("..") {
        map.insert("lost".into(), n.parse::<u64>().unwrap().into());
    } else {
        let end = token
            .find(['@', '#', 'x'])
            .filter(|e| *e > 0)
            .unwrap_or(token.len());
        let (code, mut rest) = token.split_at(end);
        map.insert("code".into(), code.into());
        while let Some(mark) = rest.chars().next() {
            let end = rest[1..]
                .find(['@', '#', 'x'])
                .map_or(rest.len(), |e| e + 1);
            let value = &rest[1..end];
            match (mark, value.strip_prefix('r')) {
                ('@', Some(s)) => {
                    map.insert("rel".into(), s.parse::<u64>().unwrap().into());
                    map.insert("clock".into(), "not set".into());
                    map.insert("time".into(), s.into());
                }
                ('@', None) => {
                    let at = 1_577_836_800 + 3600 * value.parse::<i64>().unwrap() + 7;
                    map.insert("utc".into(), at.into());
                    map.insert("clock".into(), "set".into());
                    map.insert("time".into(), at.to_string().into());
                }
                ('#', _) => {
                    map.insert(counter.into(), value.parse::<u64>().unwrap().into());
                }
                _ => {
                    map.insert("count".into(), value.parse::<u64>().unwrap().into());
                }
            }
            rest = &rest[end..];
        }
    }
    Value::Object(map)
}

struct Case {
    name: String,
    counter: &'static str,
    modulus: Option<u64>,
    names: Vec<String>,
    readings: Vec<Pulled>,
    expect: Vec<(String, String)>,
}

fn cases() -> Vec<Case> {
    let mut out: Vec<Case> = Vec::new();
    let text = include_str!("cases.txt");
    for line in text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
    {
        if let Some(name) = line.strip_prefix("== ") {
            out.push(Case {
                name: name.to_owned(),
                counter: "seq",
                modulus: None,
                names: Vec::new(),
                readings: Vec::new(),
                expect: Vec::new(),
            });
            continue;
        }
        let case = out.last_mut().unwrap();
        let Some((head, rest)) = line.split_once(':') else {
            let (counter, n) = line.split_once(' ').unwrap_or((line, ""));
            case.counter = if counter == "ring" { "slot" } else { "seq" };
            case.modulus = n.parse().ok();
            continue;
        };
        let mut words = head.split(' ');
        let name = words.next().unwrap();
        if name.chars().all(char::is_uppercase) {
            let mut data = Data::new();
            data.insert("day".into(), words.next().unwrap().into());
            data.insert("book".into(), "own".into());
            match words.next() {
                Some("other") => data.insert("book".into(), "other".into()),
                Some("unordered") => data.insert("order".into(), "unknown".into()),
                _ => None,
            };
            let field = if case.counter == "slot" {
                "ring"
            } else {
                "modulus"
            };
            data.insert(field.into(), json!(case.modulus));
            let entries = rest
                .split_whitespace()
                .map(|t| entry(t, case.counter))
                .collect();
            data.insert("entries".into(), Value::Array(entries));
            let n = case.readings.len() as i64;
            case.readings.push(Pulled::from_data(name, n, &data));
            case.names.push(name.to_owned());
        } else {
            case.expect.push((head.to_owned(), rest.trim().to_owned()));
        }
    }
    out
}

#[test]
fn the_sentences_are_as_expected() {
    let mut wrong = String::new();
    let all = cases();
    assert!(all.len() > 25);
    for case in all {
        let found = history(&case.readings);
        let mut got: Vec<(String, String)> = Vec::new();
        let order: Vec<&str> = found
            .order
            .iter()
            .map(|r| case.names[*r].as_str())
            .collect();
        for (head, _) in &case.expect {
            let text = match head.split_whitespace().collect::<Vec<_>>().as_slice() {
                ["order"] => order.join(" "),
                ["last"] => found.after_last().text,
                ["day", day, created] => {
                    found
                        .after_day(&case.readings, day, created.parse().unwrap())
                        .text
                }
                _ => continue,
            };
            got.push((head.clone(), text));
        }
        let own = |head: &str, text: &str| (head.to_owned(), text.to_owned());
        got.extend(found.joins.iter().map(|j| own("says", &j.text)));
        got.extend(found.apart.iter().map(|a| own("apart", &a.text)));
        let mut want = case.expect.clone();
        want.sort_by_key(|w| matches!(w.0.as_str(), "says" | "apart"));
        want.sort_by_key(|w| w.0 == "apart");
        want.sort_by_key(|w| match w.0.as_str() {
            "says" => 1,
            "apart" => 2,
            _ => 0,
        });
        if got != want {
            wrong += &format!("== {}\n", case.name);
            for (head, text) in got {
                wrong += &format!("{head}: {text}\n");
            }
        }
    }
    assert!(wrong.is_empty(), "it says now:\n{wrong}");
}
