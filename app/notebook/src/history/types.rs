//! What a history says: events, joins, and readings that are left out.

/// One entry of the log, in whatever readings it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Event {
    /// Where it is shown best: which reading, and which of its entries.
    pub at: (usize, usize),
    /// The readings it is in, in the order of [`History::order`]: it was first
    /// seen in the first.
    pub readings: Vec<usize>,
    /// Another entry claims the same place in the log.
    pub disputed: bool,
    /// Events with the same number stand in an order and distance that is
    /// known. Between this run and the next an unknown number is missing.
    pub run: usize,
    /// Its place in the run.
    pub place: i64,
}

/// What the ring may have lost between two readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lost {
    /// Nothing.
    #[default]
    None,
    /// So many entries are in no reading.
    Exactly(u64),
    /// So many or more.
    AtLeast(u64),
    /// It can't be told, and may be none.
    Unknown,
}

/// How a reading follows the one before.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Join {
    /// The reading before.
    pub from: usize,
    /// This reading.
    pub to: usize,
    /// How many entries both show.
    pub overlap: usize,
    /// The new events, as places in [`History::events`].
    pub new: Vec<usize>,
    /// How many new ones can't be read or were left out.
    pub unread: u64,
    /// How many older entries are first seen in this reading.
    pub earlier: usize,
    /// What is in neither.
    pub lost: Lost,
    /// How many entries may have been written between the two, as far as these
    /// leave a shared entry or are known from running numbers. One number alone
    /// and no `or_more`: it is certain.
    pub possible: Vec<u64>,
    /// It can't be ruled out that so many were written, or more.
    pub or_more: Option<u64>,
    /// The one of `possible` that was taken: the largest, unless more speaks for
    /// another.
    pub taken: Option<u64>,
    /// The numbers start again.
    pub restart: bool,
    /// Shared entries that differ all the same.
    pub differ: u32,
    /// Lines that can't be read and may be the newest entry, in either.
    pub loose: u64,
    /// The days say the other order.
    pub day_off: bool,
    /// Nothing is shared, and the console's own clock says the other order.
    pub clock_off: bool,
    /// All that in words.
    pub text: String,
}

/// Why a reading is not in the history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It has no entry.
    Empty,
    /// Nothing tells which of its entries is the oldest.
    Unordered,
    /// Another code book read it than most.
    Book,
    /// Its entries and those of the others can't be put in one line.
    Clash,
}

/// A reading that is not in the history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Apart {
    /// The reading.
    pub reading: usize,
    /// Why.
    pub why: Why,
    /// That in words.
    pub text: String,
}

/// Several readings, made into one history. Readings are named by their place in
/// the list they came in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    /// The readings in it, oldest first.
    pub order: Vec<usize>,
    /// All events, oldest first.
    pub events: Vec<Event>,
    /// One for each reading of `order` but the first.
    pub joins: Vec<Join>,
    /// Readings that are not in it.
    pub apart: Vec<Apart>,
    /// For each of `order`, its run and the last place of it.
    pub(super) ends: Vec<(usize, i64)>,
}
