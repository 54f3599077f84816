//! What people call the parts of a code book, and how they are edited.

use codebook::model::{LINK_KINDS, QUANTITIES, RISKS, WHENS};

/// A section of a book: its key, its title, what it is for.
pub const SECTIONS: [(&str, &str, &str); 12] = [
    ("codes", "Codes", "What each code of the log means."),
    (
        "steps",
        "Power-up steps",
        "In the order in which the console goes through them.",
    ),
    (
        "boards",
        "Boards",
        "The board revisions, and how to tell them apart.",
    ),
    (
        "rails",
        "Rails",
        "The supplies, their voltage and where to measure them.",
    ),
    ("symptoms", "Symptoms", "What a person can see or hear."),
    (
        "causes",
        "Causes",
        "What can be broken, and which codes and symptoms it gives.",
    ),
    ("checks", "Checks", "What can be done to find out more."),
    ("repairs", "Repairs", "What can be done about it."),
    ("cautions", "Cautions", "What to be careful about."),
    (
        "code_parts",
        "Parts of a code",
        "What single characters of a code say.",
    ),
    (
        "layouts",
        "How entries are written",
        "Taught from a line of the log.",
    ),
    ("sources", "Sources", "Where the contents come from."),
];

/// What people call a key.
pub fn label(key: &str) -> &str {
    match key {
        "about" => "In full",
        "anyway" => "How often does it come although none of these is broken?",
        "cases" => "Consoles in which it was this",
        "cause" => "When this is broken",
        "heat" => "The board gets hot",
        "high" => "Highest value of a good board",
        "kind" => "What is seen",
        "links" => "When this is broken, how often is it seen?",
        "low" => "Lowest value of a good board",
        "measure" => "What is measured",
        "mends" => "When it is for the right cause, how often does it mend it?",
        "of" => "Dead consoles of this board in all",
        "often" => "How often is it seen?",
        "only" => "Only on these boards",
        "place" => "Where",
        "quantity" => "Quantity",
        "range" => "The meter's range",
        "reaches" => "Only when power-up gets as far as",
        "results" => "What can come of it, the most telling first",
        "says" => "What one sees",
        "seen" => "How many dead consoles it was, board by board",
        "seen_name" => "Which",
        "shows" => "What shows it, and how often",
        "unlisted" => "How often is it something that this book does not list?",
        "when" => "It follows from the value when that is",
        "at" => "Where to measure",
        "baud" => "Bits per second",
        "boards" => "On single boards",
        "causes" => "Causes it speaks for or against",
        "code" => "Code",
        "common" => "How common it is there",
        "codes" => "Codes often seen, one a line",
        "difficulty" => "Difficulty, 1 to 5",
        "example" => "One entry, as an example",
        "family" => "Console family",
        "framing" => "Framing, such as 8N1",
        "from" => "First character",
        "hazards" => "What can go wrong, one a line",
        "how" => "How it is done, one step a line",
        "id" => "Short name or number",
        "is" => "Is",
        "layouts" => "Only in these logs",
        "licence" => "Licence",
        "logic_volts" => "Logic level in volts",
        "maker" => "Maker",
        "meaning" => "Meaning, in full",
        "means" => "Means",
        "minutes" => "Minutes",
        "money" => "Cost",
        "name" => "Name",
        "not_proof" => "What it does not prove",
        "note" => "Note",
        "notes" => "Notes, one a line",
        "pads" => "Pads",
        "parts" => "Parts, one a line",
        "port_note" => "Where the service port is",
        "rails" => "Rails",
        "repairs" => "Repairs that cure it",
        "risk" => "Risk to the board or to you",
        "source" => "Where this comes from",
        "step" => "Power-up step",
        "steps" => "Steps at which power-up stops",
        "supply" => "What must be powered",
        "symptoms" => "Symptoms often seen",
        "tell" => "How to tell it, one sign a line",
        "tells" => "What the results say, one a line",
        "text" => "What to do or leave",
        "title" => "In a few words",
        "to" => "Last character",
        "values" => "Values",
        "version" => "Version",
        "volts" => "Voltage in volts",
        other => other,
    }
}

/// Whether a text is usually longer than a line.
pub fn long(key: &str) -> bool {
    matches!(
        key,
        "about" | "meaning" | "not_proof" | "text" | "note" | "port_note"
    )
}

/// The section whose rows a key names, if it does.
pub fn names(key: &str) -> Option<&'static str> {
    Some(match key {
        "rails" => "rails",
        "symptoms" => "symptoms",
        "causes" => "causes",
        "repairs" => "repairs",
        "layouts" => "layouts",
        "only" => "boards",
        "step" | "steps" | "reaches" => "steps",
        _ => return None,
    })
}

/// The words a text may be, where only some will do.
pub fn words(key: &str) -> &'static [&'static str] {
    match key {
        "risk" => &RISKS,
        "kind" => &LINK_KINDS,
        "when" => &WHENS,
        "quantity" => &QUANTITIES,
        // How common a cause is on a board.
        "common" => &["often", "sometimes", "seldom", "never"],
        _ => &[],
    }
}

/// What a row is called in a list.
pub fn row_name(row: &serde_json::Value) -> String {
    let text = |key: &str| {
        row.get(key)
            .and_then(serde_json::Value::as_str)
            .unwrap_or("")
    };
    let first = [text("code"), text("id")];
    let first = first.into_iter().find(|t| !t.is_empty()).unwrap_or("");
    let second = [text("title"), text("name"), text("text")];
    let second = second.into_iter().find(|t| !t.is_empty()).unwrap_or("");
    match (first, second) {
        ("", "") => "(nothing yet)".to_owned(),
        ("", one) | (one, "") => one.to_owned(),
        (a, b) => a.to_owned() + "  " + b,
    }
}

/// What people call a section; empty for the single values.
pub fn section_name(key: &str) -> &str {
    match key {
        "service_port" => "Service port",
        _ => SECTIONS.iter().find(|s| s.0 == key).map_or(key, |s| s.1),
    }
}
