//! What can be noticed about a dead console, by name.

/// One finding. As text: `code 44D0`, `step 0A`, `symptom dead`,
/// `check ohm-gfx low`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// A code in the log.
    Code(String),
    /// Power-up stops at this step.
    Step(String),
    /// A symptom of the book.
    Symptom(String),
    /// A result of a check of the book: check, result.
    Check(String, String),
}

impl Key {
    /// As text, for records and settings.
    pub fn text(&self) -> String {
        match self {
            Self::Code(a) => "code ".to_owned() + a,
            Self::Step(a) => "step ".to_owned() + a,
            Self::Symptom(a) => "symptom ".to_owned() + a,
            Self::Check(a, b) => ["check ", a, " ", b].concat(),
        }
    }

    /// From text. Codes of some families hold a space.
    pub fn parse(text: &str) -> Option<Self> {
        let (kind, rest) = text.split_once(' ')?;
        let rest_owned = rest.to_owned();
        Some(match kind {
            "code" => Self::Code(rest_owned),
            "step" => Self::Step(rest_owned),
            "symptom" => Self::Symptom(rest_owned),
            "check" => {
                let (check, result) = rest.split_once(' ')?;
                Self::Check(check.to_owned(), result.to_owned())
            }
            _ => return None,
        })
    }
}
