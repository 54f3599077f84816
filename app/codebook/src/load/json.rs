//! Text to JSON, stricter than usual: a key that stands twice in one object is
//! refused, since one of the two would be lost without a word.

use super::MAX_BYTES;
use crate::problem::Problem;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value, error::Category};

/// Reads JSON, nested at most 128 deep.
pub(super) fn parse(json: &[u8]) -> Result<Value, Problem> {
    let problem = |message: String, hint: &str| Problem {
        path: String::new(),
        message,
        hint: hint.to_owned(),
    };
    if json.len() > MAX_BYTES {
        let size = json.len();
        return Err(problem(
            format!("the file has {size} bytes; a book has at most {MAX_BYTES}"),
            "is this the right file?",
        ));
    }
    let json = json.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(json);
    // As text, like all other JSON of the app: reading bytes would be the same
    // code once more.
    let text = std::str::from_utf8(json).map_err(|e| {
        let line = json.get(..e.valid_up_to()).unwrap_or_default();
        let line = line.iter().filter(|b| **b == b'\n').count() + 1;
        problem(
            format!("this is no JSON: line {line} has bytes that are no text in UTF-8"),
            "save the file as UTF-8",
        )
    })?;
    serde_json::from_str::<Strict>(text).map(|doc| doc.0).map_err(|e| match e.classify() {
        Category::Data => problem(e.to_string(), "each key stands once in its object; keep one of the two"),
        Category::Eof => problem(
            format!("this is no complete JSON: {e}"),
            "the file seems to be cut off, or a bracket or quote mark is not closed",
        ),
        Category::Syntax | Category::Io => problem(
            format!("this is no JSON: {e}"),
            "look at that line and the one above it: most often a comma or a quote mark is missing",
        ),
    })
}

struct Strict(Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Build).map(Self)
    }
}

struct Build;

impl<'de> Visitor<'de> for Build {
    type Value = Value;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("JSON")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, v: bool) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_u64<E>(self, v: u64) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_i64<E>(self, v: i64) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_f64<E>(self, v: f64) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_str<E>(self, v: &str) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_string<E>(self, v: String) -> Result<Value, E> {
        Ok(v.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut out = Vec::new();
        while let Some(Strict(v)) = seq.next_element()? {
            out.push(v);
        }
        Ok(out.into())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let mut out = Map::new();
        while let Some(key) = map.next_key::<String>()? {
            let Strict(value) = map.next_value()?;
            if out.contains_key(&key) {
                let key = crate::problem::short(&key);
                return Err(A::Error::custom(format_args!(
                    "the key `{key}` is there twice"
                )));
            }
            out.insert(key, value);
        }
        Ok(out.into())
    }
}
