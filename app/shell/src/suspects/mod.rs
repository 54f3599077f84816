//! What is probably broken on a job's console, why, and what to do next. All
//! numbers come from the crate `diagnosis`.

mod advice;
mod case;
mod check;
mod compare;
mod frozen;
mod home;
mod names;
mod next;
mod noticed;
mod past;
mod weights;
mod why;

pub use case::{Trial, begin};
pub use frozen::of_record;
pub use weights::{Chosen, start as chosen};

use crate::app::App;
use crate::platform::dom::Dom;
use case::with_case;

/// A page about the suspects.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spot {
    /// A page of a job: console, job, part (empty for the first page, `next`,
    /// `why`, `check`, `compare`), and what it is about.
    Job(String, String, String, String),
    /// Whether former diagnoses were right.
    Past,
    /// What things cost this person.
    Weights,
}

impl Spot {
    /// The page of an address below `/suspects`.
    pub fn parse(rest: &str) -> Option<Self> {
        let parts: Vec<&str> = rest.split('/').filter(|p| !p.is_empty()).collect();
        let job = |console: &str, job: &str, part: &str, of: &str| {
            Self::Job(
                console.to_owned(),
                job.to_owned(),
                part.to_owned(),
                of.to_owned(),
            )
        };
        Some(match parts.as_slice() {
            ["past"] => Self::Past,
            ["weights"] => Self::Weights,
            [c, j] => job(c, j, "", ""),
            [c, j, part @ ("next" | "compare")] => job(c, j, part, ""),
            [c, j, part @ ("why" | "check" | "compare"), of] => job(c, j, part, of),
            _ => return None,
        })
    }
}

/// The page.
pub fn page(app: App, spot: Spot) -> Dom {
    let body = match spot {
        Spot::Past => past::page(app),
        Spot::Weights => weights::page(app),
        Spot::Job(console, job, part, of) => {
            with_case(app, &console, &job, move |case| match part.as_str() {
                "next" => next::page(app, case),
                "why" => why::page(app, case, &of),
                "check" => check::page(app, case, &of),
                "compare" => compare::page(app, case, &of),
                _ => home::page(app, case),
            })
        }
    };
    Dom::many(vec![crate::consoles::trouble(app), body])
}

/// The address of a job's suspects.
pub fn address(console: &str, job: &str) -> String {
    ["/suspects/", console, "/", job].concat()
}
