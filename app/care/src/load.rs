//! The data files are read and checked: each item has a source or the mark that
//! there is none, and all that is named is there.

use crate::data::{Basis, COMMON, Care, Hazard, Kit, Phase, Source, Step, Tag, Timer, Work};
use serde_json::Value;

/// The files that come with the app: their names and texts, in bench order.
pub const FILES: &[(&str, &str)] = &[
    ("sources.json", include_str!("../data/sources.json")),
    ("hazards.json", include_str!("../data/hazards.json")),
    ("tags.json", include_str!("../data/tags.json")),
    ("kit.json", include_str!("../data/kit.json")),
    ("works.json", include_str!("../data/works.json")),
    (
        "steps/1-opening.json",
        include_str!("../data/steps/1-opening.json"),
    ),
    (
        "steps/2-port.json",
        include_str!("../data/steps/2-port.json"),
    ),
    (
        "steps/3-heat.json",
        include_str!("../data/steps/3-heat.json"),
    ),
    (
        "steps/4-work.json",
        include_str!("../data/steps/4-work.json"),
    ),
    (
        "steps/5-power.json",
        include_str!("../data/steps/5-power.json"),
    ),
    (
        "steps/6-first.json",
        include_str!("../data/steps/6-first.json"),
    ),
    (
        "steps/7-clean.json",
        include_str!("../data/steps/7-clean.json"),
    ),
    (
        "steps/8-later.json",
        include_str!("../data/steps/8-later.json"),
    ),
];

/// Something wrong with the data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file.
    pub file: String,
    /// The item: its id, or its place in its list.
    pub place: String,
    /// What is wrong.
    pub message: String,
}

/// Reads items and collects what is wrong with them.
struct Reader<'a> {
    file: &'a str,
    place: String,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn wrong(&mut self, message: &str) {
        self.problems.push(Problem {
            file: self.file.to_owned(),
            place: self.place.clone(),
            message: message.to_owned(),
        });
    }

    fn text(&mut self, all: &Value, name: &str, needed: bool) -> String {
        let text = all.get(name).and_then(Value::as_str).unwrap_or_default();
        if needed && text.trim().is_empty() {
            self.wrong(&("has no ".to_owned() + name));
        }
        text.to_owned()
    }

    fn texts(&mut self, all: &Value, name: &str) -> Vec<String> {
        let Some(list) = all.get(name) else {
            return Vec::new();
        };
        let Some(list) = list.as_array() else {
            self.wrong(&(name.to_owned() + " is no list"));
            return Vec::new();
        };
        let texts = list.iter().filter_map(Value::as_str);
        let texts: Vec<String> = texts.map(str::to_owned).collect();
        if texts.len() != list.len() {
            self.wrong(&(name.to_owned() + " has something that is no text"));
        }
        texts
    }

    /// The sources, of which there must be one.
    fn from(&mut self, all: &Value) -> Vec<String> {
        let from = self.texts(all, "from");
        if from.is_empty() {
            self.wrong("has neither a source nor the mark for common practice");
        }
        from
    }

    fn number(&mut self, value: Option<&Value>) -> u32 {
        let n = value
            .and_then(Value::as_u64)
            .and_then(|n| n.try_into().ok());
        if n.is_none() {
            self.wrong("a number is missing or no whole number");
        }
        n.unwrap_or_default()
    }

    fn kit(&mut self, all: &Value) -> Vec<(String, u32)> {
        let list = all.get("kit").and_then(Value::as_array);
        let mut kit = Vec::new();
        for pair in list.into_iter().flatten() {
            let id = pair.get(0).and_then(Value::as_str).unwrap_or_default();
            let n = self.number(pair.get(1));
            kit.push((id.to_owned(), n));
        }
        kit
    }
}

impl Care {
    /// The data that came with the app.
    ///
    /// # Errors
    /// All problems found in it; a test holds that there is none.
    pub fn built_in() -> Result<Self, Vec<Problem>> {
        Self::load(FILES)
    }

    /// Reads data files, of names and texts. The files of steps come in bench
    /// order.
    ///
    /// # Errors
    /// All problems found.
    pub fn load(files: &[(&str, &str)]) -> Result<Self, Vec<Problem>> {
        let mut care = Self::default();
        let mut problems = Vec::new();
        for (file, text) in files {
            let mut reader = Reader {
                file,
                place: String::new(),
                problems: Vec::new(),
            };
            match serde_json::from_str::<Value>(text) {
                Ok(all) => care.take(&mut reader, &all),
                Err(e) => reader.wrong(&("is no JSON: ".to_owned() + &e.to_string())),
            }
            problems.append(&mut reader.problems);
        }
        care.check(&mut problems);
        if problems.is_empty() {
            Ok(care)
        } else {
            Err(problems)
        }
    }

    fn take(&mut self, reader: &mut Reader<'_>, all: &Value) {
        if let Some(version) = all.get("version") {
            self.version = reader.number(Some(version));
        }
        let phase = all.get("phase").and_then(Value::as_str);
        if let Some(id) = phase {
            let id = id.to_owned();
            let name = reader.text(all, "name", true);
            self.phases.push(Phase { id, name });
        }
        for list in ["sources", "hazards", "tags", "kit", "works", "steps"] {
            let items = all.get(list).and_then(Value::as_array);
            for (n, item) in items.into_iter().flatten().enumerate() {
                reader.place = list.to_owned() + " " + &n.to_string();
                let id = reader.text(item, "id", true);
                if !id.is_empty() {
                    reader.place.clone_from(&id);
                }
                self.item(reader, list, id, item);
            }
        }
    }

    fn item(&mut self, r: &mut Reader<'_>, list: &str, id: String, v: &Value) {
        match list {
            "sources" => {
                let basis = match r.text(v, "basis", true).as_str() {
                    "seen" => Basis::Seen,
                    "memory" => Basis::Memory,
                    _ => {
                        r.wrong("basis is neither seen nor memory");
                        Basis::Memory
                    }
                };
                let title = r.text(v, "title", true);
                let place = r.text(v, "where", false);
                self.sources.push(Source {
                    id,
                    title,
                    place,
                    basis,
                });
            }
            "hazards" => {
                let hazard = Hazard {
                    id,
                    name: r.text(v, "name", true),
                    what: r.text(v, "what", true),
                    todo: r.texts(v, "do"),
                    from: r.from(v),
                };
                self.hazards.push(hazard);
            }
            "tags" => {
                let tag = Tag {
                    id,
                    name: r.text(v, "name", true),
                    ask: v.get("ask") == Some(&Value::Bool(true)),
                    hazards: r.texts(v, "hazards"),
                    implies: r.texts(v, "implies"),
                };
                self.tags.push(tag);
            }
            "kit" => {
                let kind = r.text(v, "kind", true);
                if !["tool", "stock", "used", "protection"].contains(&kind.as_str()) {
                    r.wrong("kind is none of tool, stock, used, protection");
                }
                let kit = Kit {
                    id,
                    name: r.text(v, "name", true),
                    kind,
                    unit: r.text(v, "unit", false),
                    note: r.text(v, "note", false),
                };
                self.kit.push(kit);
            }
            "works" => {
                let work = Work {
                    id,
                    name: r.text(v, "name", true),
                    about: r.text(v, "about", true),
                    involves: r.texts(v, "involves"),
                    kit: r.kit(v),
                    not: r.texts(v, "not"),
                    ends: r.texts(v, "ends"),
                    words: r.texts(v, "words"),
                    from: r.from(v),
                };
                self.works.push(work);
            }
            _ => self.step(r, id, v),
        }
    }

    fn step(&mut self, r: &mut Reader<'_>, id: String, v: &Value) {
        let hold = r.text(v, "hold", false);
        if !hold.is_empty() && !hold.starts_with("Do not go on until") {
            r.wrong("a hold point begins with \"Do not go on until\"");
        }
        let timer = v.get("timer").map(|t| Timer {
            name: r.text(t, "name", true),
            seconds: r.number(t.get("seconds")),
        });
        let minutes = v.get("minutes");
        let low = r.number(minutes.and_then(|m| m.get(0)));
        let high = r.number(minutes.and_then(|m| m.get(1)));
        if low > high {
            r.wrong("minutes run backwards");
        }
        let sum = r.text(v, "sum", false);
        let step = Step {
            id,
            phase: self.phases.len().saturating_sub(1),
            when: r.texts(v, "when"),
            also: r.texts(v, "also"),
            unless: r.texts(v, "unless"),
            text: r.text(v, "do", true),
            why: r.text(v, "why", true),
            from: r.from(v),
            hazards: r.texts(v, "hazards"),
            kit: r.kit(v),
            minutes: (low, high),
            hold: Some(hold).filter(|h| !h.is_empty()),
            firm: v.get("firm") == Some(&Value::Bool(true)),
            guards: r.texts(v, "guards"),
            timer,
            sum: Some(sum).filter(|s| !s.is_empty()),
        };
        if step.when.is_empty() {
            r.wrong("never applies: has no when");
        }
        if step.hold.is_none() && !step.guards.is_empty() {
            r.wrong("guards something without being a hold point");
        }
        if step.hold.is_none() && step.firm {
            r.wrong("is firm without being a hold point");
        }
        self.steps.push(step);
    }

    /// Whether all that is named is there, once.
    fn check(&self, problems: &mut Vec<Problem>) {
        let mut wrong = |place: &str, message: String| {
            problems.push(Problem {
                file: "all files".to_owned(),
                place: place.to_owned(),
                message,
            });
        };
        let ids = |all: &mut dyn Iterator<Item = &String>| all.cloned().collect::<Vec<String>>();
        let sources = ids(&mut self.sources.iter().map(|s| &s.id));
        let hazards = ids(&mut self.hazards.iter().map(|s| &s.id));
        let tags = ids(&mut self.tags.iter().map(|s| &s.id));
        let kit = ids(&mut self.kit.iter().map(|s| &s.id));
        let works = ids(&mut self.works.iter().map(|s| &s.id));
        let steps = ids(&mut self.steps.iter().map(|s| &s.id));
        let phases = ids(&mut self.phases.iter().map(|s| &s.id));
        for list in [&sources, &hazards, &tags, &kit, &works, &steps, &phases] {
            for (n, id) in list.iter().enumerate() {
                if list.iter().take(n).any(|known| known == id) {
                    wrong(id, "is there twice".to_owned());
                }
            }
        }
        let mut known = |place: &str, names: &[String], lists: &[&Vec<String>]| {
            for name in names {
                if !lists.iter().any(|l| l.contains(name)) {
                    wrong(place, "names ".to_owned() + name + ", which is not there");
                }
            }
        };
        let mark = vec![COMMON.to_owned()];
        let kit_of = |k: &[(String, u32)]| k.iter().map(|(id, _)| id.clone()).collect::<Vec<_>>();
        for h in &self.hazards {
            known(&h.id, &h.from, &[&sources, &mark]);
        }
        for t in &self.tags {
            known(&t.id, &t.hazards, &[&hazards]);
            known(&t.id, &t.implies, &[&tags]);
        }
        for w in &self.works {
            known(&w.id, &w.from, &[&sources, &mark]);
            known(&w.id, &w.involves, &[&tags]);
            known(&w.id, &kit_of(&w.kit), &[&kit]);
        }
        for s in &self.steps {
            known(&s.id, &s.from, &[&sources, &mark]);
            known(&s.id, &s.hazards, &[&hazards]);
            known(&s.id, &kit_of(&s.kit), &[&kit]);
            for names in [&s.when, &s.also, &s.unless] {
                known(&s.id, names, &[&tags, &works]);
            }
            let guarded: Vec<String> = s.guards.clone();
            for name in &guarded {
                match name.strip_prefix("phase:") {
                    Some(phase) => known(&s.id, &[phase.to_owned()], &[&phases]),
                    None => known(&s.id, std::slice::from_ref(name), &[&steps]),
                }
            }
        }
    }
}
