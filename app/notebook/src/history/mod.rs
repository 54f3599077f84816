//! Several readings of one console, made into one history.
//!
//! The log in a console is a ring: each new entry takes the place of the oldest.
//! So two readings, pulled weeks apart, usually share their middle, and what is
//! new has to be worked out, never remembered. [`keep`] makes the fields of a
//! reading record, [`Pulled`] reads them back, [`history`] lays the readings
//! over each other, and [`History::after_reading`] and [`History::after_day`]
//! say what is new.
//!
//! **How readings are laid over each other.** Each reading is a strip of places,
//! the newest at the end, with holes where entries can't be read. Two strips are
//! joined by a shift: how many entries were written between the two pulls.
//! Running numbers give it exactly, slots of a ring up to whole rounds. Else
//! entries that are there once in both strips vote for a shift: one with a set
//! clock is proof, one without is a hint. Every shift that nothing speaks
//! against is told ([`Join::possible`]), also that the ring may have gone right
//! round ([`Join::or_more`]); the one with the most proof is taken, and of
//! several with about as much the largest, so that no new fault passes for an
//! old one.
//!
//! **What it takes for granted.** That one second of a set clock and the same
//! entry are one event, that ten entries without repeats, all with the same
//! seconds since start, are not chance, that fewer entries than the running
//! number can count were written between two pulls, and that a log which was
//! cleared and has counted on past its old numbers can't be told from one that
//! was not (where nothing is shared, the sentence says so).
//!
//! **Cost.** For readings of n entries: n log n to prepare each, then near n for
//! each pair with numbers or set clocks, and each reading is compared with its
//! neighbours only (up to 8 of them, more if it is older than its day says).
//! Repeated entries without clock or number need a look at every shift; each
//! pair may take 128 comparisons an entry, and all pairs together 60 million.
//! What is not compared within that is told as possible.

mod chain;
mod compare;
mod fit;
mod keep;
mod pulled;
mod since;
mod strip;
mod told;
mod types;
mod weave;

pub use keep::keep;
pub use pulled::{Entry, Pulled};
pub use since::Since;
pub use types::{Apart, Event, History, Join, Lost, Why};
pub use weave::history;
