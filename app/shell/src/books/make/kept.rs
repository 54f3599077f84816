//! What was said of a log, as it is kept on the device.

use serde_json::{Map, Value};
use teaching::{Hints, ROLES};

pub fn numbers(list: Option<&Value>) -> Vec<usize> {
    let all = list.and_then(Value::as_array).into_iter().flatten();
    all.filter_map(|v| usize::try_from(v.as_u64()?).ok())
        .collect()
}

pub fn kept_hints(h: &Hints) -> Value {
    let mut out = Map::new();
    let role = |r| ROLES.iter().position(|one| *one == r).unwrap_or(0);
    let roles: Vec<usize> = h.roles.iter().flat_map(|(p, r)| [*p, role(*r)]).collect();
    let flags = |list: &[(usize, bool)]| -> Value {
        let all = list.iter().flat_map(|(p, b)| [*p, usize::from(*b)]);
        all.collect::<Vec<usize>>().into()
    };
    out.insert("roles".to_owned(), roles.into());
    out.insert("breaks".to_owned(), h.breaks.clone().into());
    out.insert("joins".to_owned(), h.joins.clone().into());
    out.insert("little".to_owned(), flags(&h.little));
    out.insert("decimal".to_owned(), flags(&h.decimal));
    let one = |n: Option<usize>| Value::from(n.into_iter().collect::<Vec<usize>>());
    out.insert("entry".to_owned(), one(h.entry));
    out.insert("record".to_owned(), one(h.record));
    out.insert("skip".to_owned(), one(h.skip));
    out.insert("epoch".to_owned(), one(h.epoch));
    let kind = h.kind.map(|k| usize::from(k == teaching::Kind::Bytes));
    out.insert("kind".to_owned(), one(kind));
    let mut names = Map::new();
    for (place, name) in &h.names {
        names.insert(place.to_string(), name.clone().into());
    }
    out.insert("names".to_owned(), names.into());
    out.into()
}

pub fn hints_of(kept: &Map<String, Value>) -> Hints {
    let all = |key: &str| numbers(kept.get(key));
    let one = |key: &str| all(key).first().copied();
    let pairs = |key: &str| -> Vec<(usize, usize)> {
        let list = all(key);
        let pair = |c: &[usize]| Some((*c.first()?, *c.get(1)?));
        list.chunks_exact(2).filter_map(pair).collect()
    };
    let flags = |key: &str| pairs(key).into_iter().map(|(p, b)| (p, b > 0)).collect();
    let names = kept.get("names").and_then(Value::as_object);
    let names = names.into_iter().flatten();
    Hints {
        kind: one("kind").map(|k| match k {
            0 => teaching::Kind::Text,
            _ => teaching::Kind::Bytes,
        }),
        entry: one("entry"),
        roles: pairs("roles")
            .into_iter()
            .filter_map(|(p, r)| Some((p, *ROLES.get(r)?)))
            .collect(),
        names: names
            .filter_map(|(p, n)| Some((p.parse().ok()?, n.as_str()?.to_owned())))
            .collect(),
        breaks: all("breaks"),
        joins: all("joins"),
        record: one("record"),
        skip: one("skip"),
        epoch: one("epoch"),
        little: flags("little"),
        decimal: flags("decimal"),
        ..Hints::default()
    }
}
