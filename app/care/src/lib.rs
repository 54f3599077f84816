//! Cautions and the solder-work checklist.
//!
//! What is said is data: files in `data/` that anybody can read and mend, each
//! item with its source or the mark that it is common practice. What is done with
//! it is here: [`Care`] reads and checks the files, [`Care::compose`] makes a
//! checklist from what a job involves, [`Run`] keeps how far somebody went
//! through one, and [`charge`] has the sums for stored charge.
//!
//! Nothing here says that something is safe.

pub mod charge;
mod compose;
mod data;
mod load;
mod run;

pub use compose::Checklist;
pub use data::{
    Basis, COMMON, Care, Hazard, Kit, Phase, Source, SourceWords, Step, Tag, Timer, Work,
};
pub use load::{FILES, Problem};
pub use run::{Counts, Line, Mark, Run};
