//! What the data files hold.

/// The mark for what people of the trade do without a source being known.
pub const COMMON: &str = "common";

/// All cautions, steps and kinds of work.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Care {
    /// The version of the data, which goes up when it is changed.
    pub version: u32,
    /// Guides and standards that items name.
    pub sources: Vec<Source>,
    /// What can hurt.
    pub hazards: Vec<Hazard>,
    /// What a job may involve.
    pub tags: Vec<Tag>,
    /// Tools, things that are used up, and what protects.
    pub kit: Vec<Kit>,
    /// Kinds of work.
    pub works: Vec<Work>,
    /// The parts of a checklist, in bench order.
    pub phases: Vec<Phase>,
    /// All steps, in bench order.
    pub steps: Vec<Step>,
}

/// How much stands behind a source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Basis {
    /// Its text was seen.
    Seen,
    /// It is named from memory.
    Memory,
    /// Common practice: there is none.
    #[default]
    Common,
}

/// A guide or a standard.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Source {
    /// Its id.
    pub id: String,
    /// Its name and title.
    pub title: String,
    /// The clause or page; may be empty.
    pub place: String,
    /// How much stands behind it.
    pub basis: Basis,
}

/// A source as it is shown beside an item.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceWords {
    /// Its words.
    pub text: String,
    /// How much stands behind it.
    pub basis: Basis,
}

/// Something that can hurt a person, or somebody else at home.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hazard {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What it can do.
    pub what: String,
    /// What to do about it.
    pub todo: Vec<String>,
    /// Ids of sources, or [`COMMON`].
    pub from: Vec<String>,
}

/// Something a job may involve.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tag {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Whether a person is asked for it.
    pub ask: bool,
    /// The hazards it brings.
    pub hazards: Vec<String>,
    /// Tags that come with it.
    pub implies: Vec<String>,
}

/// A thing one needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kit {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// `tool`, `protection`, `stock` (one roll or bottle lasts for many steps) or
    /// `used` (each step needs its own).
    pub kind: String,
    /// What its number counts; may be empty.
    pub unit: String,
    /// A word on it; may be empty.
    pub note: String,
}

/// A kind of work.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Work {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What it is.
    pub about: String,
    /// The tags it brings.
    pub involves: Vec<String>,
    /// What it needs beside what its steps need.
    pub kit: Vec<(String, u32)>,
    /// What it does not cure or prove.
    pub not: Vec<String>,
    /// Where the advice ends.
    pub ends: Vec<String>,
    /// Words of a job that point to it, in lower case.
    pub words: Vec<String>,
    /// Ids of sources, or [`COMMON`].
    pub from: Vec<String>,
}

/// A part of a checklist.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Phase {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
}

/// A timer that a step offers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timer {
    /// What is waited for.
    pub name: String,
    /// How long, in seconds.
    pub seconds: u32,
}

/// One step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Step {
    /// Its id.
    pub id: String,
    /// Its phase, by its place in [`Care::phases`].
    pub phase: usize,
    /// Tags or kinds of work with any of which it applies.
    pub when: Vec<String>,
    /// Tags or kinds of work that must all be there too.
    pub also: Vec<String>,
    /// Tags or kinds of work with any of which it does not apply.
    pub unless: Vec<String>,
    /// What to do.
    pub text: String,
    /// Why.
    pub why: String,
    /// Ids of sources, or [`COMMON`].
    pub from: Vec<String>,
    /// Hazards it is about.
    pub hazards: Vec<String>,
    /// What it needs.
    pub kit: Vec<(String, u32)>,
    /// How long it takes, from and to, in minutes.
    pub minutes: (u32, u32),
    /// "Do not go on until ...": a hold point.
    pub hold: Option<String>,
    /// A hold point that is never skipped: who can't meet it stops.
    pub firm: bool,
    /// What must not come before a hold point: ids of steps, or `phase:` and the
    /// id of a phase.
    pub guards: Vec<String>,
    /// A timer.
    pub timer: Option<Timer>,
    /// A sum that helps: `discharge`.
    pub sum: Option<String>,
}

impl Care {
    /// The sources of an item, as they are shown.
    pub fn source_words(&self, from: &[String]) -> Vec<SourceWords> {
        let words = |id: &String| {
            let found = self.sources.iter().find(|s| s.id == *id)?;
            let mut text = found.title.clone();
            if !found.place.is_empty() {
                text.push_str(", ");
                text.push_str(&found.place);
            }
            Some(SourceWords {
                text,
                basis: found.basis,
            })
        };
        let common = || SourceWords {
            text: "common practice, no source".to_owned(),
            basis: Basis::Common,
        };
        let all = from.iter();
        all.map(|id| words(id).unwrap_or_else(common)).collect()
    }

    /// The same as one line: what is named from memory says so.
    pub fn sources_line(&self, from: &[String]) -> String {
        let mut all = String::new();
        for source in self.source_words(from) {
            if !all.is_empty() {
                all.push_str("; ");
            }
            all.push_str(&source.text);
            if source.basis == Basis::Memory {
                all.push_str(" (from memory)");
            }
        }
        all
    }

    /// The kinds of work that a text's words point to, such as what is written
    /// down of a job. Whole words count; large and small letters are the same.
    pub fn propose(&self, text: &str) -> Vec<&Work> {
        let text = text.to_lowercase();
        let all: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
        let says = |word: &String| {
            let parts: Vec<&str> = word.split(' ').collect();
            all.windows(parts.len()).any(|w| w == parts)
        };
        let works = self.works.iter();
        works.filter(|w| w.words.iter().any(says)).collect()
    }
}
