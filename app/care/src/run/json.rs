//! A run as JSON, to be kept, and back from any JSON.

use super::{Line, Mark, Run};
use crate::data::Timer;
use serde_json::{Map, Value, json};

/// Steps that are read at most: a damaged or hostile record must not fill the
/// memory. The data has far fewer.
const MOST: usize = 2000;

fn text(all: &Value, name: &str) -> String {
    let text = all.get(name).and_then(Value::as_str);
    text.unwrap_or_default().to_owned()
}

fn texts(all: &Value, name: &str) -> Vec<String> {
    let list = all.get(name).and_then(Value::as_array);
    let texts = list.into_iter().flatten().filter_map(Value::as_str);
    texts.take(MOST).map(str::to_owned).collect()
}

fn whole(value: Option<&Value>) -> u32 {
    let n = value.and_then(Value::as_u64).unwrap_or_default();
    u32::try_from(n).unwrap_or(u32::MAX)
}

impl Run {
    /// It as JSON. What is empty is left out.
    pub fn to_json(&self) -> Value {
        let mut lines = Vec::new();
        for (n, line) in self.list.iter().enumerate() {
            let mut all = Map::new();
            let mut put = |name: &str, text: &str| {
                if !text.is_empty() {
                    all.insert(name.to_owned(), text.into());
                }
            };
            put("id", &line.id);
            put("phase", &line.phase);
            put("do", &line.text);
            put("why", &line.why);
            put("from", &line.from);
            put("hold", line.hold.as_deref().unwrap_or_default());
            put("note", self.notes.get(n).map_or("", String::as_str));
            if line.firm {
                all.insert("firm".to_owned(), true.into());
            }
            if let Some(t) = &line.timer {
                let timer = json!({ "name": t.name, "seconds": t.seconds });
                all.insert("timer".to_owned(), timer);
            }
            match self.marks.get(n) {
                Some(Mark::Done(at)) => drop(all.insert("done".to_owned(), (*at).into())),
                Some(Mark::Skipped(at, why)) => {
                    all.insert("skipped".to_owned(), (*at).into());
                    all.insert("skipped_why".to_owned(), why.as_str().into());
                }
                _ => {}
            }
            if let Some(photos) = self.photos.get(n).filter(|p| !p.is_empty()) {
                all.insert("photos".to_owned(), photos.clone().into());
            }
            if let Some(Some(ends)) = self.timers.get(n) {
                all.insert("timer_ends".to_owned(), (*ends).into());
            }
            lines.push(Value::Object(all));
        }
        let mut all = json!({ "version": self.version, "works": self.works, "tags": self.tags,
            "list": lines, "at": self.at, "started": self.started, "turn": self.turn });
        if let (Some(ended), Some(all)) = (self.ended, all.as_object_mut()) {
            all.insert("ended".to_owned(), ended.into());
        }
        all
    }

    /// The run that this JSON holds; `None` where it holds no list. What is
    /// damaged in it is read as if it was not there.
    pub fn from_json(all: &Value) -> Option<Self> {
        let list = all.get("list")?.as_array()?;
        let mut run = Self {
            version: whole(all.get("version")),
            works: texts(all, "works"),
            tags: texts(all, "tags"),
            started: all.get("started").and_then(Value::as_i64).unwrap_or(0),
            ended: all.get("ended").and_then(Value::as_i64),
            turn: whole(all.get("turn")),
            at: whole(all.get("at")) as usize,
            ..Self::default()
        };
        for line in list.iter().take(MOST) {
            let hold = Some(text(line, "hold")).filter(|h| !h.is_empty());
            let timer = line.get("timer").map(|t| Timer {
                name: text(t, "name"),
                seconds: whole(t.get("seconds")),
            });
            let at = |name: &str| line.get(name).and_then(Value::as_i64);
            run.marks.push(match (at("done"), at("skipped")) {
                (Some(at), _) => Mark::Done(at),
                (None, Some(at)) => Mark::Skipped(at, text(line, "skipped_why")),
                _ => Mark::Open,
            });
            run.notes.push(text(line, "note"));
            run.photos.push(texts(line, "photos"));
            run.timers.push(at("timer_ends"));
            run.list.push(Line {
                id: text(line, "id"),
                phase: text(line, "phase"),
                text: text(line, "do"),
                why: text(line, "why"),
                from: text(line, "from"),
                hold,
                firm: line.get("firm") == Some(&Value::Bool(true)),
                timer,
            });
        }
        run.even_out();
        Some(run)
    }
}
