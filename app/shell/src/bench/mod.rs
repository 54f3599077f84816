//! The bench: cautions and the solder-work checklist, at hand while the iron is
//! hot. What is said there is data of the crate `care`.

mod cautions;
mod charge;
mod choose;
mod home;
pub mod kept;
mod marks;
mod paper;
mod parts;
mod run;
mod timer;
mod whole;

use crate::app::App;
use crate::platform::dom::Dom;
use crate::route;
use care::Care;
use std::sync::LazyLock;

/// A page of the bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spot {
    /// The bench itself.
    Home,
    /// A new checklist, for a console and a job if there are any.
    New(String, String),
    /// All cautions.
    Cautions,
    /// The sums for stored charge.
    Charge,
    /// A checklist under way: its record's id, and the page of it: empty for the
    /// step, `all`, `paper`.
    Run(String, String),
}

impl Spot {
    /// The page of an address below `/bench`.
    pub fn parse(rest: &str, query: &str) -> Option<Self> {
        let asked = |key: &str| route::asked(query, key);
        let parts: Vec<&str> = rest.split('/').filter(|p| !p.is_empty()).collect();
        Some(match parts.as_slice() {
            [] => Self::Home,
            ["new"] => Self::New(asked("console"), asked("job")),
            ["cautions"] => Self::Cautions,
            ["charge"] => Self::Charge,
            ["run", id] => Self::Run((*id).to_owned(), String::new()),
            ["run", id, part @ ("all" | "paper")] => {
                Self::Run((*id).to_owned(), (*part).to_owned())
            }
            _ => return None,
        })
    }
}

/// The page.
pub fn page(app: App, spot: Spot) -> Dom {
    match spot {
        Spot::Home => home::page(app),
        Spot::New(console, job) => choose::page(app, console, job),
        Spot::Cautions => cautions::page(),
        Spot::Charge => charge::page(),
        Spot::Run(id, part) => run::page(app, id, part),
    }
}

/// The cautions and steps that came with the app. They are read once, when the
/// bench is first used.
pub fn care() -> Option<&'static Care> {
    static CARE: LazyLock<Option<Care>> = LazyLock::new(|| Care::built_in().ok());
    CARE.as_ref()
}
