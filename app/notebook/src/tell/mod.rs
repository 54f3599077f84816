//! A job told to others, for a forum: what was seen, measured, done, and how it
//! ended. Fields that are private stay out, and it says so.

mod codes;
mod mark;
mod rows;
mod teller;

pub use mark::Form;
pub use rows::{Row, rows};

use crate::kinds;
use crate::timeline::{Names, add, cat, day, small};
use crate::view::Item;
use mark::Page;
use reading::sorted;
use teller::Teller;

/// How a job is told.
#[derive(Clone, Copy, Debug)]
pub struct Telling<'a> {
    /// The mark-up of the place it goes to.
    pub form: Form,
    /// Whether the console's nickname may be in it.
    pub nickname: bool,
    /// The day of today, for how long a repair has held.
    pub today: &'a str,
}

/// A job as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The text.
    pub text: String,
    /// What the console's record has and the text has not: the labels of those
    /// fields.
    pub left_out: Vec<String>,
}

/// A job of a console with its records. Records of other jobs and deleted ones
/// are passed over. Photos are told by their captions; a console's note is not
/// told, as it is about no job.
pub fn job(how: Telling, console: &Item, job: &Item, records: &[Item], names: Names) -> Told {
    let mut items: Vec<&Item> = records
        .iter()
        .filter(|i| !i.view.gone && i.text("job") == job.id)
        .collect();
    sorted::sort_by(&mut items, |a, b| {
        (day(a), a.created, &a.id).cmp(&(day(b), b.created, &b.id))
    });
    let mut teller = Teller {
        page: Page::new(how.form),
        items,
        names,
        today: how.today,
    };
    teller.top(how.nickname, console, job);
    teller.seen();
    teller.logs();
    teller.measured();
    teller.section("check", "Checks", &["note"]);
    teller.repairs(job);
    teller.notes();
    teller.photos();
    teller.end(job);
    let left_out = left_out(console, how.nickname);
    if !left_out.is_empty() {
        let mut list = String::new();
        for label in &left_out {
            add(&mut list, ", ", &small(label));
        }
        teller.page.gap();
        teller.page.para("Left out: ", &cat(&[&list, "."]));
    }
    Told {
        text: teller.page.done(),
        left_out,
    }
}

fn left_out(console: &Item, nickname: bool) -> Vec<String> {
    let Some(kind) = kinds::kind("console") else {
        return Vec::new();
    };
    kind.fields
        .iter()
        .filter(|f| f.private || (f.name == "name" && !nickname))
        .filter(|f| !console.text(f.name).trim().is_empty())
        .map(|f| f.label.to_owned())
        .collect()
}
