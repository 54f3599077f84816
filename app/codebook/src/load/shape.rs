//! Holds a JSON value against the JSON Schema of code books.
//!
//! Only the part of JSON Schema that our generated schema uses is known here; a
//! test fails when the schema starts to use more. The schema's descriptions
//! become the hints.

use crate::problem::{Findings, key, place, short};
use serde_json::{Map, Value};

/// Longest single text, in characters. A reading holds the texts of a row for
/// each of its codes, so a book of long ones could fill a phone.
pub const MAX_TEXT: usize = 8_000;
/// Most items of a list inside a row or a layout. Lists at the top have limits
/// of their own.
pub const MAX_LIST: usize = 1_000;

/// Lists everything that does not fit the schema, and notes unknown keys.
pub(super) fn check(doc: &Value, found: &mut Findings) {
    let root: &Value = &crate::schema::ROOT;
    if root.is_null() {
        found.problem("", "the built-in schema is broken", "");
        return;
    }
    Shape { root, found }.check(root, doc, "");
}

struct Shape<'a> {
    root: &'a Value,
    found: &'a mut Findings,
}

impl<'a> Shape<'a> {
    fn check(&mut self, schema: &'a Value, value: &Value, path: &str) {
        // A file of nothing but mistakes: enough is known of it.
        if self.found.is_full() {
            return;
        }
        let faces = self.faces(schema);
        if !fits_type(&faces, value) {
            let message = format!("must be {}, not {}", types(&faces), kind(value));
            self.found.problem(path, message, &hint(&faces));
            return;
        }
        for face in &faces {
            if let Some(only) = face.get("const").filter(|only| *only != value) {
                self.found
                    .problem(path, format!("must be {only}"), &hint(&faces));
            }
            for branches in ["oneOf", "anyOf"].into_iter().filter_map(|k| list(face, k)) {
                self.choose(branches, &faces, value, path);
            }
        }
        match value {
            Value::Object(map) => self.object(&faces, map, path),
            Value::Array(items) => self.array(&faces, items, path),
            Value::Number(_) => self.number(&faces, value, path),
            Value::String(text) => self.text(text, path),
            _ => {}
        }
    }

    fn text(&mut self, text: &str, path: &str) {
        if text.len() > MAX_TEXT && text.chars().count() > MAX_TEXT {
            let message = format!("is longer than {MAX_TEXT} characters");
            self.found
                .problem(path, message, "shorten it, or split it in two");
        }
        if text.chars().any(is_hidden) {
            self.found.note(
                path,
                "has characters that do not show, or that turn other text around",
                "take them out; they are often copied along by accident",
            );
        }
    }

    /// The schema itself and those that it refers to.
    fn faces(&self, schema: &'a Value) -> Vec<&'a Value> {
        let mut faces = vec![schema];
        let mut at = schema;
        while let Some(Value::String(to)) = at.get("$ref") {
            let Some(next) = to.strip_prefix('#').and_then(|p| self.root.pointer(p)) else {
                break;
            };
            faces.push(next);
            at = next;
            if faces.len() > 8 {
                break;
            }
        }
        faces
    }

    fn object(&mut self, faces: &[&'a Value], map: &Map<String, Value>, path: &str) {
        let known: Vec<&Map<String, Value>> = faces
            .iter()
            .filter_map(|f| f.get("properties")?.as_object())
            .collect();
        let property = |name: &str| known.iter().find_map(|p| p.get(name));
        for name in faces.iter().filter_map(|f| list(f, "required")).flatten() {
            if let Some(name) = name.as_str().filter(|name| !map.contains_key(*name)) {
                let about = property(name)
                    .map(|p| hint(&self.faces(p)))
                    .unwrap_or_default();
                self.found.problem(key(path, name), "is missing", &about);
            }
        }
        let others = faces.iter().find_map(|f| f.get("additionalProperties"));
        for (name, value) in map {
            if let Some(schema) = property(name).or(others) {
                self.check(schema, value, &key(path, name));
            } else if !known.is_empty() && !name.starts_with(['$', '_']) {
                let near = known
                    .iter()
                    .flat_map(|p| p.keys())
                    .find(|k| one_slip(k, name));
                let hint = near
                    .map(|k| format!("did you mean `{k}`?"))
                    .unwrap_or_default();
                let message = "is no key of format 1; it is kept, and nothing reads it";
                self.found.note(key(path, name), message, &hint);
            }
        }
    }

    fn array(&mut self, faces: &[&'a Value], items: &[Value], path: &str) {
        if items.len() > MAX_LIST && path.contains(['.', '[']) {
            let n = items.len();
            let message = format!("has {n} items; at most {MAX_LIST} are allowed");
            self.found
                .problem(path, message, "is this the right place for them?");
            return;
        }
        for face in faces {
            let limit = |k: &str| face.get(k).and_then(Value::as_u64);
            let n = items.len() as u64;
            let (least, most) = (
                limit("minItems").unwrap_or(0),
                limit("maxItems").unwrap_or(u64::MAX),
            );
            if n < least || n > most {
                let needs = if least == most {
                    format!("{least}")
                } else {
                    format!("{least} to {most}")
                };
                self.found.problem(
                    path,
                    format!("must have {needs} values, not {n}"),
                    &hint(faces),
                );
            }
            if let Some(schema) = face.get("items") {
                for (i, item) in items.iter().enumerate() {
                    self.check(schema, item, &place(path, i));
                }
            }
        }
    }

    fn number(&mut self, faces: &[&'a Value], value: &Value, path: &str) {
        for face in faces {
            let text = |k: &str| face.get(k).and_then(Value::as_str);
            let most = match text("format") {
                Some("uint8") => 255.0,
                Some("uint32") => f64::from(u32::MAX),
                _ => f64::INFINITY,
            };
            let limit = |k: &str| face.get(k).and_then(Value::as_f64);
            let n = value.as_f64().unwrap_or(f64::NAN);
            let most = limit("maximum").unwrap_or(most).min(most);
            let least = limit("minimum").unwrap_or(f64::NEG_INFINITY);
            if n < least {
                self.found
                    .problem(path, format!("must be at least {least}"), &hint(faces));
            } else if n > most {
                self.found
                    .problem(path, format!("must be at most {most}"), &hint(faces));
            }
        }
    }

    /// Checks the value against the branch that it seems to be meant for.
    fn choose(&mut self, branches: &'a [Value], outer: &[&'a Value], value: &Value, path: &str) {
        let words: Vec<&Value> = branches.iter().filter_map(|b| b.get("const")).collect();
        if words.len() == branches.len() {
            if !words.contains(&value) {
                self.none_of(&words, Some(value), path, &hint(outer));
            }
            return;
        }
        let all: Vec<(&'a Value, Vec<&'a Value>)> =
            branches.iter().map(|b| (b, self.faces(b))).collect();
        let able: Vec<_> = all
            .iter()
            .filter(|(_, faces)| fits_type(faces, value))
            .collect();
        if able.is_empty() {
            let mut kinds: Vec<String> = all.iter().map(|(_, faces)| types(faces)).collect();
            kinds.dedup();
            let message = format!("must be {}, not {}", kinds.join(" or "), kind(value));
            self.found.problem(path, message, &hint(outer));
            return;
        }
        let marks: Vec<(&str, &Value)> = able.iter().filter_map(|(b, _)| marked(b)).collect();
        if let (Some((name, _)), true) = (marks.first(), marks.len() == able.len()) {
            let given = value.get(name);
            let fits = marks.iter().position(|(_, only)| given == Some(only));
            match fits.and_then(|i| able.get(i)) {
                Some((branch, _)) => self.check(branch, value, path),
                None => {
                    let words: Vec<&Value> = marks.iter().map(|(_, only)| *only).collect();
                    self.none_of(&words, given, &key(path, name), &hint(outer));
                }
            }
            return;
        }
        // Of equal branches the first counts, as it does for serde; what has no
        // likeness to any is most likely an unfinished one of the last kind.
        let best = able
            .iter()
            .rev()
            .max_by_key(|(_, faces)| likeness(faces, value));
        let best = best
            .filter(|(_, faces)| likeness(faces, value) != (0, 0))
            .or(able.last());
        if let Some((branch, _)) = best {
            self.check(branch, value, path);
        }
    }

    fn none_of(&mut self, words: &[&Value], given: Option<&Value>, path: &str, about: &str) {
        let text = |v: &Value| v.as_str().map_or_else(|| v.to_string(), str::to_owned);
        let names: Vec<String> = words.iter().map(|w| text(w)).collect();
        let message = match given {
            None => format!("is missing: one of {}", names.join(", ")),
            Some(given) => format!("`{}` is none of {}", short(&text(given)), names.join(", ")),
        };
        let near = given.map(text).and_then(|g| {
            let g = g.to_ascii_lowercase();
            names.iter().find(|n| **n == g || one_slip(n, &g))
        });
        let hint = near.map_or_else(|| about.to_owned(), |n| format!("did you mean `{n}`?"));
        self.found.problem(path, message, &hint);
    }
}

/// Control characters but for line ends and tabs, characters without width, and
/// marks that turn the direction of text. Joiners are left out: some scripts and
/// pictures need them.
pub(crate) fn is_hidden(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        || matches!(c, '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{200B}' | '\u{200E}' | '\u{200F}'
            | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}

/// The property with a fixed value by which a branch is known.
fn marked(branch: &Value) -> Option<(&str, &Value)> {
    let properties = branch.get("properties")?.as_object()?;
    properties
        .iter()
        .find_map(|(name, p)| Some((name.as_str(), p.get("const")?)))
}

/// How many of a branch's required and other keys an object has.
fn likeness(faces: &[&Value], value: &Value) -> (usize, usize) {
    let has = |name: &str| value.get(name).is_some();
    let required = faces.iter().filter_map(|f| list(f, "required")).flatten();
    let known = faces
        .iter()
        .filter_map(|f| f.get("properties")?.as_object());
    (
        required.filter(|r| r.as_str().is_some_and(has)).count(),
        known.flat_map(Map::keys).filter(|k| has(k)).count(),
    )
}

fn list<'v>(schema: &'v Value, name: &str) -> Option<&'v [Value]> {
    schema.get(name)?.as_array().map(Vec::as_slice)
}

/// The type names a schema allows; none means any.
fn type_names<'v>(faces: &[&'v Value]) -> Vec<&'v str> {
    match faces.iter().find_map(|f| f.get("type")) {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(some)) => some.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    }
}

fn fits_type(faces: &[&Value], value: &Value) -> bool {
    let names = type_names(faces);
    names.is_empty()
        || names.iter().any(|name| match *name {
            "string" => value.is_string(),
            "integer" => value.is_u64() || value.is_i64(),
            "number" => value.is_number(),
            "boolean" => value.is_boolean(),
            "array" => value.is_array(),
            "object" => value.is_object(),
            _ => value.is_null(),
        })
}

fn types(faces: &[&Value]) -> String {
    let words: Vec<&str> = type_names(faces)
        .into_iter()
        .filter_map(|name| match name {
            "string" => Some("text in quote marks"),
            "integer" => Some("a whole number"),
            "number" => Some("a number"),
            "boolean" => Some("true or false"),
            "array" => Some("a list in [ ]"),
            "object" => Some("an object in { }"),
            _ => None,
        })
        .collect();
    words.join(" or ")
}

fn kind(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => n.to_string(),
        Value::String(s) => format!("the text \"{}\"", short(s)),
        Value::Array(_) => "a list".to_owned(),
        Value::Object(_) => "an object".to_owned(),
    }
}

/// What the schema says about the place, on one line.
fn hint(faces: &[&Value]) -> String {
    let about = faces.iter().find_map(|f| f.get("description")?.as_str());
    about.unwrap_or("").replace('\n', " ")
}

/// Whether two words differ by one character put in, left out or changed, or by
/// two swapped neighbours.
fn one_slip(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let rest = |w: &'_ [u8], skip: usize| w.get(head + skip..).map(<[u8]>::to_vec);
    let (a1, b1, a2, b2) = (rest(a, 1), rest(b, 1), rest(a, 2), rest(b, 2));
    let swapped = a2.is_some()
        && a2 == b2
        && a.get(head) == b.get(head + 1)
        && a.get(head + 1) == b.get(head);
    a != b
        && a.len().min(b.len()) > 2
        && ((a1.is_some() && (a1 == b1 || a1 == rest(b, 0)))
            || (b1.is_some() && b1 == rest(a, 0))
            || swapped)
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]
mod tests {
    use super::*;

    #[test]
    fn slips() {
        for near in ["titel", "tite", "titlee", "tidle", "itle"] {
            assert!(one_slip("title", near), "{near}");
        }
        for far in ["title", "text", "tltie", "titles1"] {
            assert!(!one_slip("title", far), "{far}");
        }
    }

    /// The schema may only use what this file knows.
    #[test]
    fn the_schema_uses_nothing_unknown() {
        const KNOWN: &[&str] = &[
            "$schema",
            "$defs",
            "$ref",
            "title",
            "description",
            "default",
            "type",
            "format",
            "properties",
            "required",
            "additionalProperties",
            "items",
            "minItems",
            "maxItems",
            "minimum",
            "maximum",
            "oneOf",
            "anyOf",
            "const",
        ];
        fn walk(schema: &Value) {
            match schema {
                Value::Array(all) => all.iter().for_each(walk),
                Value::Object(map) => {
                    for (k, v) in map {
                        assert!(KNOWN.contains(&k.as_str()), "the schema uses `{k}`");
                        match (k.as_str(), v) {
                            ("properties" | "$defs", Value::Object(inner)) => {
                                inner.values().for_each(walk)
                            }
                            ("default" | "const", _) => {}
                            _ => walk(v),
                        }
                    }
                }
                _ => {}
            }
        }
        walk(&serde_json::from_str(crate::schema::TEXT).unwrap());
    }
}
