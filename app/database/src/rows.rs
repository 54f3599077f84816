//! Rows to objects of the browser and back.
//!
//! A row is a plain object with four text fields. A field that is missing or
//! of another type reads as an empty text, so that a damaged row is still a row:
//! it can be shown and exported. Fields that this app does not know are kept
//! when a row is written over.

use js_sys::{Array, Object, Reflect};
use notebook::Row;
use wasm_bindgen::{JsCast, JsValue};

/// The names of the fields, made once for many rows.
pub struct Fields([JsValue; 4]);

impl Fields {
    pub fn new() -> Self {
        Self(["id", "kind", "console", "body"].map(JsValue::from_str))
    }

    /// The row in a value of the database; `None` when there was none.
    pub fn row(&self, value: &JsValue) -> Option<Row> {
        if !value.is_object() {
            return None;
        }
        let [id, kind, console, body] = self.0.each_ref().map(|name| {
            let field = Reflect::get(value, name).ok();
            field.and_then(|f| f.as_string()).unwrap_or_default()
        });
        Some(Row {
            id,
            kind,
            console,
            body,
        })
    }

    /// The rows in a list of values.
    pub fn rows(&self, list: JsValue) -> Vec<Row> {
        let list: Array = list.unchecked_into();
        list.iter().filter_map(|v| self.row(&v)).collect()
    }

    /// The value of a row, over what was there before.
    pub fn value(&self, row: &Row, before: Option<&JsValue>) -> JsValue {
        let value = match before {
            Some(v) if v.is_object() => v.clone(),
            _ => Object::new().into(),
        };
        let fields = [&row.id, &row.kind, &row.console, &row.body];
        for (name, text) in self.0.iter().zip(fields) {
            // A plain object takes any property.
            drop(Reflect::set(&value, name, &text.into()));
        }
        value
    }
}
