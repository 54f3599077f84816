//! The longer sentences a person reads, in one place, so that they can be
//! checked and translated together. Labels of one or two words stand where
//! they are used.

pub const READ_TITLE: &str = "Read a fault log";
pub const CONSOLES_TITLE: &str = "Consoles";
pub const BOOKS_TITLE: &str = "Code books";
pub const BENCH_TITLE: &str = "Bench";
pub const ABOUT_TITLE: &str = "About";
pub const LOST_TITLE: &str = "Nothing here";

pub const READ_LEAD: &str =
    "Paste the log, or the whole forum post with it. It stays on this device.";
pub const PASTE_REFUSED: &str = "The browser does not let this button read the clipboard. Press and hold in the box, then choose Paste.";
pub const PASTE_EMPTY: &str = "There is no text on the clipboard.";
pub const DRAFT_NOT_KEPT: &str = "This browser keeps nothing for this page. What you type is lost when you close it. Copy it before you go.";
pub const NO_BOOK_NEXT: &str = "If you have a code book file for this console, open it under Books. The text is read again by itself.";
pub const TEXT_HELP: &str =
    "Each line is marked with what it is. Tap an underlined guess to accept or change it.";
pub const PHOTO_FIRST: &str =
    "Take a photo of the log, or choose one. Then type what you see into the box below it.";
pub const PHOTO_HELP: &str = "The photo stays in this page and is not kept. Drag to move it, pinch or use the buttons to zoom.";

pub const CONSOLES_NOT_YET: &str = "Here you will keep your consoles and what you did to each. That part is not built yet, so readings can't be saved to a console. The log you read last is kept on this device until you clear it.";
pub const BENCH_NOT_YET: &str = "Checklists, cautions for each kind of work, and bench sums will be here. They are not built yet. What the code books say about the service port is below.";
pub const PORT_CAUTIONS: [&str; 6] = [
    "Unplug the console and wait before you touch the board. Mains parts inside the power supply are for licensed people.",
    "Match the logic level. An adapter with a higher level than the port can damage the board.",
    "Connect ground first, take it off last.",
    "Do not connect the adapter's supply pin. The console powers its own port.",
    "Measure each pad against ground before you connect anything to it.",
    "Send nothing unless you know what it does. Listening is enough to get the log.",
];
pub const PORT_SOURCE: &str = "These cautions are common practice, no source. Local rules and the maker's own instructions come first.";

pub const BOOKS_LEAD: &str = "A code book says how a console family writes its fault log and what the codes mean. All books here are tried on every text.";
pub const DEMO: &str = "Invented demonstration data. The maker, the consoles and every value in this book are made up.";
pub const BOOK_FILE: &str = "A code book is a JSON file of format 1. It is checked before it is opened, and read on this device only.";
pub const BOOK_REFUSED: &str = "This file was not opened. All problems found in it:";
pub const BOOK_SESSION: &str =
    "This book is open until you close the page. It could not be kept on the device.";

pub const PRIVACY: &str = "Nothing you paste, type or photograph leaves this device, unless you copy or share it yourself. The app asks no other site for anything, and there is no account.";
pub const TIMES_NOTE: &str = "Most logs count time in UTC. You can show it as it is or in this device's time zone. Where a console writes its own local time, it is shown as written, because nobody can tell the zone.";
pub const STORAGE_OK: &str = "The draft and settings are kept in this browser, on this device.";
pub const STORAGE_BAD: &str =
    "This browser blocks storage for this page. Settings and the draft are lost when you close it.";
pub const OFFLINE_YES: &str = "Ready. The app opens without a connection.";
pub const OFFLINE_NO: &str =
    "Not yet. Stay on this page for a moment with a connection, or reload it once.";
pub const LICENCE: &str = "MIT or Apache-2.0, as you choose. There is no warranty of any kind.";
pub const EXAMPLES: &str = "Invented logs of invented consoles, to try the app with.";
pub const NO_EXAMPLES: &str = "The examples could not be loaded.";
