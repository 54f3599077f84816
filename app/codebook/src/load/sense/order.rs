//! Checks order rules: the fields that they lean on exist.

use super::names::refer;
use crate::model::{Field, Layout, OrderBy, OrderRule, Part};
use crate::problem::{Findings, key};
use std::collections::{BTreeMap, BTreeSet};

/// Lists what is wrong with an order rule.
pub(super) fn check(
    rule: &OrderRule,
    layout: &Layout,
    known: &BTreeMap<&str, &Field>,
    path: &str,
    found: &mut Findings,
) {
    let names: BTreeSet<&str> = known.keys().copied().collect();
    let usual = match rule.by {
        OrderBy::Ring => "slot",
        OrderBy::Sequence => "seq",
        OrderBy::Time => "time",
        OrderBy::Listing => "",
    };
    let field = if rule.field.is_empty() {
        usual
    } else {
        &rule.field
    };
    if !field.is_empty() {
        refer(&key(path, "field"), field, &names, "the fields", found);
    }
    if rule.by != OrderBy::Ring {
        let ring = [
            ("size", rule.size.is_some()),
            ("head", rule.head.is_some()),
            ("mark", rule.mark.is_some()),
        ];
        for (name, given) in ring {
            if given {
                found.note(key(path, name), "is only used by a ring", "is `by` right?");
            }
        }
    }
    if rule.size == Some(0) {
        found.problem(key(path, "size"), "must not be 0", "number of slots");
    }
    if let Some(head) = &rule.head {
        let headers = header_fields(layout);
        refer(
            &key(&key(path, "head"), "field"),
            &head.field,
            &headers,
            "the fields of the headers",
            found,
        );
    }
    if let Some(mark) = &rule.mark {
        refer(
            &key(&key(path, "mark"), "field"),
            &mark.field,
            &names,
            "the fields",
            found,
        );
        super::names::filled(
            &key(&key(path, "mark"), "is"),
            &mark.is,
            "the field's value at the head",
            found,
        );
    }
}

fn header_fields(layout: &Layout) -> BTreeSet<&str> {
    fn walk<'m>(parts: &'m [Part], out: &mut BTreeSet<&'m str>) {
        for part in parts {
            match part {
                Part::Text(_) => {}
                Part::Optional { optional } => walk(optional, out),
                Part::Field(f) => {
                    out.insert(&f.field);
                }
            }
        }
    }
    let mut out = BTreeSet::new();
    let headers = match layout {
        Layout::Text(t) => &t.headers,
        Layout::Bytes(b) => {
            out.extend(
                b.header
                    .iter()
                    .flat_map(|h| &h.fields)
                    .map(|f| f.field.as_str()),
            );
            &b.headers
        }
    };
    for header in headers {
        walk(&header.line, &mut out);
    }
    out
}
