//! Trying things out: what would it be if this were seen, or not?

use crate::facts::{Facts, Noticed};
use crate::key::Key;

/// What a person sets a finding to, without anything being written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// As if it had been seen.
    Seen,
    /// As if it had been looked for and not been there.
    NotSeen,
    /// As if nobody had looked.
    Unknown,
}

/// The facts with these findings turned.
pub fn turned(facts: &Facts, turns: &[(Key, Turn)]) -> Facts {
    let mut out = facts.clone();
    for (key, turn) in turns {
        let own = out.noticed.iter_mut().find(|n| n.key == *key);
        let (if_there, if_not) = match turn {
            Turn::Seen => (1.0, 0.05),
            Turn::NotSeen => (0.0, 1.0),
            Turn::Unknown => {
                out.noticed.retain(|n| n.key != *key);
                continue;
            }
        };
        let fresh = Noticed {
            key: key.clone(),
            if_there,
            if_not,
            // As if it were seen now, unless it was seen already.
            after: own.as_ref().map_or(out.repairs.len(), |n| n.after),
            why: "Only tried out here; nothing is written down.".to_owned(),
            record: String::new(),
        };
        match own {
            Some(own) => *own = fresh,
            None => out.noticed.push(fresh),
        }
    }
    out
}
