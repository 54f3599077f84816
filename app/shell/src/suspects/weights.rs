//! What things cost this person: time, money, risk, and what the console is
//! worth. Kept on this device.

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State, effect};
use crate::platform::storage;
use crate::text;
use crate::widgets::bits::{button, line, nothing, section, spoken, tag, title};
use crate::widgets::segment::segment;
use diagnosis::price::{MOST_COST, Weights};
use leptos::prelude::{Signal, event_target_value};
use serde_json::{Value, json};

const KEY: &str = "faultleaf.weights";

/// What a person chose for all diagnoses.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// What things cost.
    pub weights: Weights,
    /// Whether the opinion of a book's author counts.
    pub opinion: bool,
    /// Checks that can't be done here: book, check.
    pub cannot: Vec<(String, String)>,
}

impl Default for Chosen {
    fn default() -> Self {
        Self {
            weights: Weights::default(),
            opinion: true,
            cannot: Vec::new(),
        }
    }
}

impl Chosen {
    /// The checks of a book that can't be done here.
    pub fn cannot<'a>(&'a self, book: &'a str) -> impl Iterator<Item = String> + 'a {
        let own = self.cannot.iter().filter(move |(b, _)| b == book);
        own.map(|(_, c)| c.clone())
    }

    fn of(value: &Value) -> Self {
        let list = value.get("cannot").and_then(Value::as_array);
        let pair = |v: &Value| {
            let text = |i: usize| v.get(i).and_then(Value::as_str).map(str::to_owned);
            Some((text(0)?, text(1)?))
        };
        Self {
            weights: Weights::from_json(value),
            opinion: value.get("opinion") != Some(&Value::Bool(false)),
            cannot: list.into_iter().flatten().filter_map(pair).collect(),
        }
    }

    fn value(&self) -> Value {
        let mut all = self.weights.to_json();
        if let Some(map) = all.as_object_mut() {
            map.insert("opinion".to_owned(), self.opinion.into());
            let pairs: Vec<Value> = self.cannot.iter().map(|(b, c)| json!([b, c])).collect();
            map.insert("cannot".to_owned(), pairs.into());
        }
        all
    }
}

/// Loads what was chosen and keeps it when it changes.
pub fn start() -> State<Chosen> {
    let kept = storage::get(KEY);
    let now = State::new(kept.map(|v| Chosen::of(&v)).unwrap_or_default());
    let first = Kept::new(true);
    effect(move || {
        let chosen = now.get();
        if !first.get_value() {
            storage::set(KEY, &chosen.value());
        }
        first.set_value(false);
    });
    now
}

/// The fields: name, label, help.
const FIELDS: [(&str, &str, &str); 5] = [
    (
        "hour",
        "An hour at the bench",
        "0 if the work is the fun of it.",
    ),
    ("small", "A small risk", "A pad, a fuse, a cheap part."),
    ("real", "A real risk", "The board, or a burnt finger."),
    (
        "needless",
        "Heating a board that did not need it",
        "Every time with hot iron or hot air ages it.",
    ),
    (
        "console",
        "The console, mended",
        "What giving up costs: it stays dead.",
    ),
];

/// The page.
pub fn page(app: App) -> Dom {
    let back = button("plain", "left", "Back", || {
        crate::platform::page::back();
    });
    let redraw = State::new(0_u32);
    let fields = move || {
        redraw.track();
        let value = app.chosen.with_untracked(|c| c.weights.to_json());
        tag(
            "div",
            "form",
            FIELDS
                .iter()
                .map(|(name, label, help)| number(app, name, label, help, &value))
                .collect(),
        )
    };
    let opinion = segment(
        text::OPINION_LEGEND,
        "opinion",
        &["Counts", "Does not count"],
        Signal::derive(move || usize::from(!app.chosen.with(|c| c.opinion))),
        move |v| app.chosen.update(|c| c.opinion = v == 0),
    );
    let again = button(
        "plain",
        "undo",
        "Back to how they were at first",
        move || {
            app.chosen.update(|c| c.weights = Weights::default());
            redraw.update(|r| *r = r.wrapping_add(1));
        },
    );
    Dom::many(vec![
        back,
        title(text::WEIGHTS_TITLE),
        line("p", "lead", text::WEIGHTS_LEAD),
        Dom::live(fields),
        again,
        section(
            "opinion",
            "Where the shares come from",
            vec![line("p", "", text::OPINION_LEAD), opinion],
        ),
    ])
}

fn number(app: App, name: &'static str, label: &str, help: &str, value: &Value) -> Dom {
    let now = value.get(name).and_then(Value::as_f64).unwrap_or_default();
    let wrong = State::new(false);
    let input = El::new("input")
        .attr("type", "text")
        .attr("inputmode", "decimal")
        .attr("name", name)
        .attr("autocomplete", "off")
        .attr("value", &now.to_string())
        .on("input", move |event| {
            let typed = event_target_value(&event).replace(',', ".");
            let number = typed.trim().parse::<f64>().ok();
            let number = number.filter(|n| (0.0..=MOST_COST).contains(n));
            wrong.set(number.is_none());
            if let Some(n) = number {
                app.chosen.update(|c| {
                    let mut all = c.weights.to_json();
                    if let Some(map) = all.as_object_mut() {
                        map.insert(name.to_owned(), n.into());
                    }
                    c.weights = Weights::from_json(&all);
                });
            }
        });
    let told = move || {
        if wrong.get() {
            line("p", "bad-words", text::WEIGHT_WRONG)
        } else {
            nothing()
        }
    };
    let words = vec![line("span", "", label), line("span", "small", help)];
    let label = tag("label", "field", vec![Dom::many(words), input.done()]);
    tag(
        "div",
        "field-box",
        vec![label, spoken("", vec![Dom::live(told)])],
    )
}
