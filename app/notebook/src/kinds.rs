//! What is kept of each kind of record: one table that forms, search, print,
//! export and the check of old data all follow.
//!
//! The table only ever grows. A field or choice that is no longer wanted moves
//! to [`RETIRED`] and its name is never used again, as people have it in their
//! notebooks and backups; a test compares the table with a snapshot. Fields and
//! kinds that stand in no table (a newer app's) are kept as they are.

/// Number of this table, in the backup file. It goes up with every addition.
pub const FORMAT: u32 = 5;

/// Names of fields and choices that were used once, as `kind.field`. Never to
/// be used again.
pub const RETIRED: &[&str] = &[];

/// One kind of record.
#[derive(Debug, PartialEq)]
pub struct Kind {
    /// Its name in records.
    pub name: &'static str,
    /// What a person calls it.
    pub title: &'static str,
    /// Its icon.
    pub icon: &'static str,
    /// Its fields, in the order of the form. `console` and `job` (ids) come on
    /// top for all kinds of [`Kind::of_console`], `job` for all but the job.
    pub fields: &'static [Field],
}

/// One field of a kind.
#[derive(Debug, PartialEq)]
pub struct Field {
    /// Its name in records.
    pub name: &'static str,
    /// What a person calls it.
    pub label: &'static str,
    /// A line of help; may be empty.
    pub help: &'static str,
    /// What is in it.
    pub is: Is,
    /// Never leaves the device in a report for others.
    pub private: bool,
}

/// What is in a field. All are kept as text but for those that say otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Is {
    /// One line.
    Line,
    /// Several lines.
    Lines,
    /// The text of a log, to be read exactly as it was pasted.
    Log,
    /// A day, `2026-03-12`.
    Day,
    /// A number as it was typed, with this unit behind it.
    Number(&'static str),
    /// A measured value as it was typed, with or without prefix and unit.
    Measured,
    /// One of these: the value kept and what a person calls it.
    Choice(&'static [(&'static str, &'static str)]),
    /// Several of the book's symptoms: a list of ids (a JSON list of text).
    Symptoms,
    /// Several of the book's causes: a list of ids (a JSON list of text).
    Causes,
    /// The id of a code book.
    Book,
    /// The id of a board revision in that book.
    Board,
    /// The id of a photo record.
    Photo,
    /// The id of a record of this kind.
    Ref(&'static str),
    /// Yes (JSON `true`) or not there.
    Flag,
    /// Made by the app and not edited: numbers, lists.
    Made,
}

const fn field(name: &'static str, label: &'static str, is: Is) -> Field {
    Field {
        name,
        label,
        help: "",
        is,
        private: false,
    }
}

const fn helped(name: &'static str, label: &'static str, is: Is, help: &'static str) -> Field {
    Field {
        name,
        label,
        help,
        is,
        private: false,
    }
}

const fn private(name: &'static str, label: &'static str, is: Is, help: &'static str) -> Field {
    Field {
        name,
        label,
        help,
        is,
        private: true,
    }
}

const DAY: Field = field("day", "Day", Is::Day);
const NOTE: Field = field("note", "Note", Is::Lines);

/// Where a job stands.
pub const STAGES: &[(&str, &str)] = &[
    ("waiting", "Not started"),
    ("open", "On the bench"),
    ("apart", "In pieces"),
    ("parts", "In pieces, waiting for parts"),
    ("testing", "Back together, on test"),
    ("closed", "Closed"),
];

/// How a job ended.
pub const OUTCOMES: &[(&str, &str)] = &[
    ("repaired", "Repaired"),
    ("partly", "Works in part"),
    ("no-fault", "No fault found"),
    ("not-repaired", "Not repaired"),
    ("given-up", "Given up, kept for parts"),
];

/// What a later look at a repaired console showed.
pub const LOOKS: &[(&str, &str)] = &[
    ("holds", "Still works"),
    ("same-fault", "The same fault is back"),
    ("other-fault", "Another fault"),
    ("unknown", "Can't be told any more"),
];

/// All kinds.
pub const KINDS: &[Kind] = &[
    Kind {
        name: "console",
        title: "Console",
        icon: "console",
        fields: &[
            helped(
                "name",
                "Nickname",
                Is::Line,
                "What you call it, such as \u{201c}attic find\u{201d}.",
            ),
            field("book", "Family", Is::Book),
            helped(
                "board",
                "Board revision",
                Is::Board,
                "As printed on the board, not on the case.",
            ),
            field("region", "Region or suffix", Is::Line),
            private("from", "Where from", Is::Line, "Stays out of reports."),
            private("price", "Price paid", Is::Line, "Stays out of reports."),
            private("serial", "Serial number", Is::Line, "Stays out of reports."),
            field("got", "Got it on", Is::Day),
            field("photo", "Photo", Is::Photo),
            NOTE,
            helped(
                "archived",
                "Put away",
                Is::Flag,
                "Not in the list of consoles, still found by search.",
            ),
        ],
    },
    Kind {
        name: "job",
        title: "Job",
        icon: "bench",
        fields: &[
            helped(
                "name",
                "What is wrong, in a few words",
                Is::Line,
                "Such as \u{201c}stops after two seconds\u{201d}.",
            ),
            field("day", "Begun on", Is::Day),
            field("stage", "Where it stands", Is::Choice(STAGES)),
            field("outcome", "Outcome", Is::Choice(OUTCOMES)),
            field("closed", "Closed on", Is::Day),
            helped(
                "cause",
                "Cause, as far as known",
                Is::Line,
                "What the repair showed to be broken, not what was suspected.",
            ),
            helped(
                "broken",
                "The same, from the code book",
                Is::Causes,
                "Only what the repair showed: it counts in later diagnoses.",
            ),
            NOTE,
        ],
    },
    Kind {
        name: "symptom",
        title: "Symptom",
        icon: "eye",
        fields: &[
            DAY,
            field("symptoms", "What is seen or heard", Is::Symptoms),
            field("absent", "Looked for, and not there", Is::Symptoms),
            helped(
                "lamp",
                "Lamp",
                Is::Line,
                "Colour and pattern, such as \u{201c}red, three short\u{201d}.",
            ),
            field("beeps", "Beeps", Is::Line),
            field(
                "seconds",
                "Time from the button until it stops",
                Is::Number("s"),
            ),
            NOTE,
        ],
    },
    Kind {
        name: "reading",
        title: "Reading",
        icon: "read",
        fields: &[
            helped(
                "day",
                "Log pulled on",
                Is::Day,
                "The day the log came out of the console.",
            ),
            NOTE,
            field("photo", "Photo it was typed from", Is::Photo),
            field("text", "The log as it was pasted", Is::Log),
            field("book", "Code book", Is::Made),
            field("board", "Board revision", Is::Made),
            field("entries", "Entries", Is::Made),
            field("order", "Whether their order is known", Is::Made),
            field("ring", "Places in the ring", Is::Made),
            field("modulus", "The sequence starts again at", Is::Made),
            field("summary", "In short", Is::Made),
            field("doubts", "Guesses and lines that can't be read", Is::Made),
        ],
    },
    Kind {
        name: "measurement",
        title: "Measurement",
        icon: "meter",
        fields: &[
            DAY,
            field(
                "quantity",
                "What is measured",
                Is::Choice(crate::measure::QUANTITIES),
            ),
            helped(
                "place",
                "Where",
                Is::Line,
                "Point and reference, such as \u{201c}V_CORE coil to ground\u{201d}.",
            ),
            helped(
                "value",
                "Value",
                Is::Measured,
                "As the meter shows it: all digits, with its prefix. 0.42, 4k7, 120m.",
            ),
            helped(
                "percent",
                "Meter accuracy: % of reading",
                Is::Number("%"),
                "From the meter's data sheet, for this range.",
            ),
            helped(
                "counts",
                "Meter accuracy: digits",
                Is::Number("digits"),
                "The number behind the plus: \u{00b1}(0.8 % + 3) has 3.",
            ),
            helped(
                "leads",
                "Tips held together read",
                Is::Number("\u{3A9}"),
                "Both tips on one ground pad. 0 if the meter was set to zero with them.",
            ),
            helped("meter", "Meter and range", Is::Line, ""),
            field(
                "condition",
                "Board",
                Is::Choice(&[
                    ("off", "Off, unplugged, proved empty"),
                    ("standby", "Standby"),
                    ("running", "Running"),
                ]),
            ),
            NOTE,
            field("book", "Code book", Is::Made),
            field("check", "Check of the book that it is for", Is::Made),
        ],
    },
    Kind {
        name: "check",
        title: "Check",
        icon: "check",
        fields: &[
            DAY,
            field("what", "What was checked", Is::Line),
            field(
                "result",
                "Result",
                Is::Choice(&[
                    ("good", "As it should be"),
                    ("bad", "Not as it should be"),
                    ("unclear", "Not clear"),
                ]),
            ),
            NOTE,
            field("book", "Code book", Is::Made),
            field("check", "Check of the book", Is::Made),
            field("answer", "Result in the book", Is::Made),
            field("says", "What came of it", Is::Made),
        ],
    },
    Kind {
        name: "repair",
        title: "Repair",
        icon: "iron",
        fields: &[
            DAY,
            field("what", "What was done", Is::Line),
            helped(
                "parts",
                "Parts",
                Is::Lines,
                "One a line: place, part, from where.",
            ),
            field("cost", "Cost", Is::Line),
            field("before", "Photo before", Is::Photo),
            field("after", "Photo after", Is::Photo),
            NOTE,
            field("book", "Code book", Is::Made),
            field("repair", "Repair of the book", Is::Made),
        ],
    },
    Kind {
        name: RUN,
        title: "Checklist",
        icon: "list",
        fields: &[
            DAY,
            field("name", "Work", Is::Line),
            field("ended", "Ended on", Is::Day),
            field("done", "Steps done", Is::Made),
            field("skipped", "Steps skipped", Is::Made),
            field("open", "Steps open", Is::Made),
            field("skips", "Skipped, and why", Is::Made),
            field("notes", "Notes on steps", Is::Made),
            field("state", "The list as it was shown, step by step", Is::Made),
            NOTE,
        ],
    },
    Kind {
        name: DIAGNOSIS,
        title: "Diagnosis",
        icon: "scales",
        fields: &[
            DAY,
            field("summary", "In short", Is::Made),
            field("book", "Code book", Is::Made),
            field("version", "Its version", Is::Made),
            field("board", "Board revision", Is::Made),
            field("state", "All numbers, as they were", Is::Made),
            NOTE,
        ],
    },
    Kind {
        name: "note",
        title: "Note",
        icon: "note",
        fields: &[DAY, NOTE],
    },
    Kind {
        name: "photo",
        title: "Photo",
        icon: "photo",
        fields: &[
            DAY,
            field("caption", "What it shows", Is::Line),
            field("wide", "Width in pixels", Is::Made),
            field("high", "Height in pixels", Is::Made),
            field("bytes", "Size of the file", Is::Made),
            field("sum", "CRC-32 of the file", Is::Made),
        ],
    },
    Kind {
        name: "follow-up",
        title: "Look again",
        icon: "clock",
        fields: &[
            helped(
                "day",
                "Look again on",
                Is::Day,
                "One week, one, three, six and twelve months are common practice.",
            ),
            field("done", "Looked on", Is::Day),
            field("found", "What it showed", Is::Choice(LOOKS)),
            NOTE,
        ],
    },
    Kind {
        name: BOOK,
        title: "Code book",
        icon: "book",
        fields: &[
            field("name", "Name", Is::Line),
            field("book", "Id", Is::Made),
            field("text", "The book as it is in use", Is::Made),
            field("draft", "Changes not yet in use", Is::Made),
        ],
    },
];

/// The kind of a checklist that was worked through at the bench, in full or in
/// part. Its `state` is what the crate `care` makes of a run.
pub const RUN: &str = "run";

/// The kind of a diagnosis kept with its job. Its `state` is what the crate
/// `diagnosis` makes of a frozen one.
pub const DIAGNOSIS: &str = "diagnosis";

/// The kind of a code book of one's own. It belongs to no console. There is one
/// record for each book id ([`book_record`]), so that two devices with the same
/// book have the same record, and its text is merged as any other.
pub const BOOK: &str = "book";

/// The id of the record that keeps the book with this id.
pub fn book_record(book: &str) -> String {
    BOOK.to_owned() + "-" + book
}

/// The id of the book that the record with this id keeps.
pub fn book_of(record: &str) -> Option<&str> {
    record.strip_prefix(BOOK)?.strip_prefix('-')
}

/// A kind by its name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|k| k.name == name)
}

impl Kind {
    /// Whether records of this kind are written down at a console. A console
    /// itself is not, nor is a code book.
    pub fn of_console(&self) -> bool {
        !matches!(self.name, "console" | BOOK)
    }

    /// A field by its name.
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|f| f.name == name)
    }
}

impl Field {
    /// What a person calls this value of a choice; the value itself where the
    /// table does not have it.
    pub fn choice<'a>(&self, value: &'a str) -> &'a str {
        match self.is {
            Is::Choice(list) => list
                .iter()
                .find(|(v, _)| *v == value)
                .map_or(value, |(_, label)| label),
            _ => value,
        }
    }
}
