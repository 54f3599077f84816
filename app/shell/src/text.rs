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
pub const NO_BOOK_NEXT: &str = "With this log, or with a code table from any page, you can make a code book for it here. If somebody gave you one, open it under Books. The text is then read again by itself.";
pub const TEXT_HELP: &str =
    "Each line is marked with what it is. Tap an underlined guess to accept or change it.";
pub const PHOTO_FIRST: &str =
    "Take a photo of the log, or choose one. Then type what you see into the box below it.";
pub const PHOTO_HELP: &str = "The photo stays in this page and is not kept. Drag to move it, pinch or use the buttons to zoom.";

pub const BENCH_LEAD: &str = "A checklist for the work you plan: in bench order, with points where you stop until something holds.";
pub const BENCH_CAUTIONS: &str =
    "What can hurt you or others, what to do about it, and where that is from.";
pub const CARE_LIMITS: &str = "This list can't see your bench. It does not say that something is safe. Local rules and the maker's instructions come first. Mains parts are for licensed people. If something feels wrong, stop, pull the plug, and ask.";
pub const CARE_LOST: &str = "The cautions that came with this app can't be read. Load the page again; if that does not help, the app on this device is damaged.";
pub const CAUTIONS_LEAD: &str = "Each caution says where it is from. \u{201c}Common practice\u{201d} means that people of the trade do it so and no source was found.";
pub const SOURCES_LEAD: &str = "The guides and standards named above. They are named, not quoted; read them yourself where it matters.";
pub const CHOOSE_LEAD: &str =
    "Tap all that you will do. The steps for all of it come in one list, each step once.";
pub const CHOOSE_ALSO: &str = "These add their own steps.";
pub const CHOOSE_PROPOSED: &str = "Words in this job's notes point to:";
pub const RUN_LOST: &str = "There is no checklist at this address on this device. It may have been deleted, or is on another device.";
pub const RUN_NOT_KEPT: &str =
    "The browser keeps nothing at the moment. This checklist is lost when you close the page.";
pub const RUN_LEAVE: &str = "To pause, just leave this page. It goes on at this step.";
pub const RUN_ELSEWHERE: &str =
    "This checklist went on in another tab. It is shown as it stands now.";
pub const RUN_ENDED: &str = "Ended, and kept with its steps as they were shown.";
pub const HOLD_TICK: &str = "I have checked this myself, just now";
pub const HOLD_TICK_HELP: &str = "The app can't see it. Only you can.";
pub const SKIP_LEAD: &str = "Say why. The step stays in the list as skipped.";
pub const RUN_AWAY: &str =
    "You were away for hours. Before you touch the board: plug out, and measure 0 V again.";
pub const RUN_DELETED: &str =
    "This checklist was deleted meanwhile. It can be brought back under Consoles.";
pub const RUN_BARRIER: &str = "A hold point before this step is open, and it is never skipped. Nothing behind it can be marked.";
pub const SKIP_NEVER: &str =
    "This one is never skipped. If you can't do it, stop here and ask somebody who can.";
pub const SKIP_HOLD: &str = "This is a hold point. What comes after it counts on it. Skip it only if you know that it can't apply here.";
pub const WAKE_ON: &str = "The screen stays on while this page is open.";
pub const WAKE_REFUSED: &str = "The screen may go dark: the browser refused to keep it on, perhaps because the battery is low. Nothing is lost by that.";
pub const WAKE_UNKNOWN: &str =
    "The screen may go dark: this browser can't keep it on. Nothing is lost by that.";
pub const TIMER_NOTE: &str = "It runs on by the clock when the screen is locked. A locked phone may not sound, so look at it.";
pub const PAPER_LEAD: &str =
    "Open steps have a box and a blank for a pencil. Choose A4 or Letter in the print dialog.";
pub const CHARGE_LEAD: &str =
    "How much energy a capacitor holds, and how long a resistor across it takes.";
pub const CHARGE_LIMITS: &str = "A sum proves nothing. Measure across the capacitor until it reads below 1 V, then wait and measure again. Mains supplies stay closed: these sums are not for them.";
pub const CHARGE_SOURCE: &str = "E = C V\u{b2}/2 and V(t) = V e^(-t/RC), as in any textbook of circuits. Parts differ by 20 % or more from what is printed on them.";
pub const HEAT_PROVES: &str = "Before heat: a console that works after being heated has not been shown to be repaired. Heat closes a cracked joint for a while, and changes other parts as well.";

pub const BOOKS_LEAD: &str = "A code book says how a console family writes its fault log and what the codes mean. All books here are tried on every text.";
pub const DEMO: &str = "Invented demonstration data. The maker, the consoles and every value in this book are made up.";
pub const BOOK_FILE: &str = "A file of format 1, or the text of a post with a book in it. It is checked and shown before anything is taken, on this device only.";
pub const BOOK_REFUSED: &str = "This was not taken as a book. All problems found in it:";
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

pub const PHOTO_EMPTY: &str = "This file is empty. If it is still being fetched from the cloud, open it once in your photo app, then choose it again.";
pub const PHOTO_TOO_LARGE: &str = "This picture is too large for the notebook. Up to 80 MB and 60 million pixels can be opened. Make it smaller in your photo app, or take a screenshot of it, and choose that.";
pub const PHOTO_NO_PICTURE: &str =
    "This file is not a picture. Choose a photo, such as a JPEG or PNG file.";
pub const PHOTO_UNREADABLE: &str = "This browser can't read the file as a picture. It may be damaged, or of a kind the browser does not know. Take a screenshot of it, or save it as JPEG, and choose that.";
pub const PHOTO_NO_MEMORY: &str = "There was not enough memory to make the picture smaller. Close other apps and pages, then choose it again.";

pub const LOADING: &str = "Opening the notebook\u{2026}";
pub const NOT_SAID: &str = "Not said";
pub const CONSOLES_EMPTY: &str =
    "The notebook is empty. Make a console here, or read a log and save it to a new console.";
pub const CONSOLE_EMPTY: &str =
    "Nothing is written down yet. Begin with a job: what is wrong, and since when.";
pub const CONSOLE_GONE: &str =
    "This console is deleted. It can be brought back under Recently deleted.";
pub const RECORD_LOST: &str = "There is no such record on this device.";
pub const RECORD_GONE: &str = "This record is deleted. It can be brought back for 90 days.";
pub const KIND_UNKNOWN: &str =
    "A newer version of the app wrote this record. It is kept as it is, and a backup has it too.";
pub const SAVES_ITSELF: &str = "What you change is saved by itself.";
pub const CHANGED_ELSEWHERE: &str = "This record was changed in another tab while it was open here. Both stay: what you type is kept beside it.";
pub const CLASH: &str = "Changed in two ways at the same time. Both are kept. Which one is right? If you change the record without choosing, the first one stays and the other is found among the former versions.";
pub const CLASH_SHORT: &str = "Changed in two ways. Open it to choose.";
pub const DELETED_ELSEWHERE: &str =
    "It was deleted in one place and changed in another. It is shown until you delete it again.";
pub const DAMAGED: &str = "Some records are damaged and can't be read. They are kept as they are, and a backup has their text.";
pub const NO_SYMPTOMS: &str =
    "With a code book chosen for the console, its list of symptoms stands here.";
pub const PHOTO_WORKING: &str = "Making it smaller\u{2026}";
pub const PHOTO_MISSING: &str = "The photo is not on this device.";
pub const PRIVATE_KEPT: &str =
    "Where from, price and serial number stay out of what you tell others.";
pub const NO_READINGS: &str =
    "No reading is saved to this console yet. Read a log, then save it to this console.";
pub const DISPUTED: &str = "Another entry claims the same place in the log.";
pub const SHEET_LEAD: &str = "Everything about this console on paper or as a PDF.";
pub const SHEET_PRIVATE: &str = "Where from, price, serial number.";
pub const TELL_LEAD: &str = "The job as text for a forum. Private fields stay out.";
pub const SPLIT_LEAD: &str =
    "When one fault turns out to be two: choose what belongs to the other one.";
pub const SPLIT_NONE: &str = "Choose at least one record.";
pub const SPLIT_EMPTY: &str = "This job has no records yet.";
pub const DELETED: &str = "Deleted. It can be brought back for 90 days.";
pub const DELETED_LEAD: &str =
    "What was deleted can be brought back for 90 days. After that its contents are wiped.";
pub const KEEP_WHICH: &str = "Which console of the text";
pub const BACKUP_TITLE: &str = "Backup";
pub const BACKUP_LEAD: &str = "The notebook is only on this device. A backup is one file that you keep somewhere else. It can be read without this app.";
pub const BACKUP_WHERE: &str =
    "Keep it off this device: send it to yourself, or put it on another computer.";
pub const BACKUP_STOPPED: &str = "Stopped. Nothing was changed.";
pub const BACKUP_DEVICE: &str = "Nothing is sent anywhere by itself. Photos in a backup carry no place and no date of their own.";
pub const IMPORT_LEAD: &str = "First you see what would happen. Nothing is written before you say so, and nothing that is here is lost.";
pub const IMPORT_DRY: &str = "Nothing has been written yet.";
pub const IMPORT_DONE: &str = "Read in.";
pub const IMPORT_NONE: &str = "Nothing could be read in. Nothing was changed.";
pub const IMPORT_NOTHING: &str =
    "Everything in this backup is here already. There is nothing to read in.";
pub const IMPORT_STOPPED: &str =
    "Stopped. What was read in so far stays, and reading the file in again goes on from there.";
pub const TABLES_LEAD: &str = "All measurements, or all log entries of all readings, as CSV. Cells that a spreadsheet could take for a formula get a mark in front.";
pub const FILE_UNREADABLE: &str =
    "The file could not be read. It may have been moved, or this device has too little memory.";
pub const NO_MEMORY: &str = "This device has too little memory for that.";
pub const KEPT_YES: &str = "Yes. The browser keeps it until you delete it.";
pub const KEPT_NO: &str = "Not promised. When room is short the browser may delete it. Install the app, and make backups.";
pub const KEPT_UNKNOWN: &str = "This browser does not say. Make backups.";
pub const DEMO_OFFER: &str = "Or look around first: four invented consoles with jobs in all stages. They come and go without touching anything of yours.";
pub const DEMO_HERE: &str = "Some of these consoles are invented, for demonstration.";
pub const DB_FULL: &str = "There is no room left on this device. What you type stays on this page. Make room or make a backup, then try again.";
pub const DB_BLOCKED: &str =
    "Another tab has an older version of the notebook open. Close the other tabs of this app.";
pub const DB_NEWER_ELSEWHERE: &str =
    "A newer version of the app is open in another tab. Reload this page to go on.";
pub const DB_NEWER: &str = "The notebook on this device was written by a newer version of the app. Reload the page, with a connection, to get it. Nothing was changed.";
pub const DB_LOST: &str = "The browser does not let the app reach its notebook at the moment. What you type stays on this page. Try again, or reload the page.";
pub const DB_FORBIDDEN: &str = "This browser keeps nothing for this page, so there is no notebook. In a private window that is usual: open the app in a normal one.";
pub const DB_DAMAGED: &str = "The record on this device is damaged, so it is not written over.";
pub const DB_OTHER: &str = "The notebook could not be reached. The browser says:";
pub const ONE_READING: &str = "One reading so far. When you save another one to this console, this page says what is new in it.";

pub const BOOK_NOT_HERE: &str = "This book is not on this device. Open its file under Books.";
pub const BOOKS_MAKE: &str =
    "No book for your console? A log and a code table from any page are enough to make one.";
pub const EDIT_LEAD: &str = "Your changes are saved beside the book as they are typed. The book in use stays as it is until you put them to use.";
pub const EDIT_NOT_YET: &str = "The book can't be used yet. What to mend is listed.";
pub const ID_STAYS: &str = "It never changes, as the notebook refers to it.";
pub const LAYOUT_TAUGHT: &str = "How an entry is written is taught from a line of the log. To change it, teach the line again and take this one out.";
pub const ROW_AS_TEXT: &str =
    "The row as the book\u{2019}s file has it (JSON). It is read when you leave the box.";
pub const ROW_NO_OBJECT: &str = "This must be an object in { }. Nothing was changed.";
pub const ROW_NO_JSON: &str = "This is no JSON, so nothing was changed: ";

pub const MAKE_TITLE: &str = "Make a code book";
pub const MAKE_LEAD: &str = "A log shows how entries are written. A code table says what they mean. One of the two is enough to begin. What you put here is kept on this device.";
pub const MAKE_LOG: &str =
    "One line is enough, a whole log is better. Paste the post with it, as it is.";
pub const MAKE_TABLE: &str =
    "Copy the table from its page, with whatever stands around it. More than one paste is fine.";
pub const MAKE_NO_TABLE: &str = "No table or list was found in this text.";
pub const MAKE_NOTHING_TAKEN: &str =
    "Nothing could be taken from the table. Say which column has the codes.";
pub const MAKE_SHARE: &str = "The table belongs to whoever wrote it. Ask before you pass the book on, and say where it is from.";

pub const RECEIVED_LEAD: &str = "This is what the book would bring. Nothing is taken yet. A book is data: it can\u{2019}t run anything.";
pub const RECEIVED_NONE: &str = "There is nothing to look at any more. Open the file again.";
pub const RECEIVED_SAME: &str = "You have this book already, exactly as it is.";
pub const VERSIONS_LEAD: &str =
    "Each time a book was put to use is kept. To bring one back keeps the others too.";
pub const CLASH_BOOK: &str = "This book was changed on two devices at the same time. One of the two is in use. Look at the other and take what you want of it.";
pub const LOOK_UP_HELP: &str = "A code as the log shows it, with ? for what you can\u{2019}t read, or a word. It is looked for in all books.";
pub const NEAR_HELP: &str =
    "Not in any book. These are close to it, if a character was read or typed wrong:";
pub const MADE_HERE: &str = "Made from a log and a table on this device";
pub const MADE_HERE_NOTE: &str =
    "Each row says which table it is from. Not checked by anyone else.";
pub const MAKE_NOTHING_YET: &str =
    "There is nothing to make a book of yet. Paste a log or a table first.";
pub const BOOK_USED: &str = "The book is in use. What it was before is kept.";
pub const BOOK_DRAFT: &str = "You have changed this book. The changes are not in use yet.";
pub const MAKE_TOO_LARGE: &str = "This table is too large to be kept before the book is made. It is here until you close the page.";
pub const OTHER_DRAFT: &str = "This book was being changed in two places. What you see is the later one. What the other has and this one lacks is below; it is gone when you go on without it.";
pub const BOOK_BACK: &str = "The former version is in use. The one before it is kept too.";

pub const SUSPECTS_TITLE: &str = "What is probably broken";
pub const SUSPECTS_LEAD: &str = "Each number is how probable the suspect is, given that something is broken. The thin line across the bar shows where it lies in nine draws of ten. The numbers can add up to more than 100 %, as two things can be broken at once.";
pub const SUSPECTS_NO_BOOK: &str = "This console has no code book on this device. Choose its family and its board, or open the book first.";
pub const SUSPECTS_NO_CAUSES: &str = "The code book of this family lists no causes, so nothing can be weighed. You can add causes to it under Books.";
pub const SUSPECTS_NO_BOARD: &str =
    "Which board is it? Until it is chosen the shares are the mean of all boards of the family.";
pub const SUSPECTS_CONTRADICT: &str = "What was found can't all be, by what the book calls \u{201c}never\u{201d} and \u{201c}always\u{201d}. The numbers below are those before anything was known. Look for a finding that is wrong, or correct the book.";
pub const SUSPECTS_NOTHING: &str = "Nothing was found yet that tells suspects apart. These are only the shares of the board. Read the log, or note what is seen and heard.";
pub const SUSPECTS_LEFT_OUT: &str = " findings were left out of the sum, the ones that tell least: with more than 14 at once it would take too long.";
pub const SUSPECTS_TRIAL: &str = "You are trying something out. Nothing is written down.";
pub const NO_BOARD: &str = "board not chosen";
pub const NO_SUSPECT: &str = "There is no such suspect on this board.";
pub const NO_CHECK: &str = "The code book has no such check any more.";
pub const NONE_MEANS: &str = "The fault may be none of the causes in this book. If this leads, look wider: other logs, other people, another book.";
pub const JOB_DEAD: &str = "Does not start";
pub const DEED_STOP: &str = "By your prices, all that is left costs more than the console is worth to you. Put it away for parts, ask others, or change your prices.";
pub const STOP_COUNTS: &str = "Giving up counts as what the console is worth to you, mended.";
pub const EXPECTED_MEANS: &str = "Each way from here has its price: time, money, risk, and at worst a console that stays dead, all in the money of your prices. Weighed with how probable each way is, they come to this number. The lowest comes first; of what is practically the same, what has less risk, then what is about the first suspect.";
pub const OTHER_REPAIR: &str =
    "The repair is not for it; with what the repair was for less probable, this is more so.";
pub const NOTED_HARDLY: &str = "Noted. It changes next to nothing; first is: ";
pub const WINDOW_NEEDS_BOARD: &str =
    "Without the board a value tells nothing. Choose the board first.";
pub const REPAIRS_LEAD: &str =
    "For the suspects that lead. Note here what you did, also when it was not advised.";
pub const ALSO_UNEXPLAINED: &str = "What leads hardly explains this: ";
pub const LOOK_AGAIN: &str = ". Look or measure again. If it stays, think of: ";
pub const ALL_DIGITS: &str = "The meter may be off by more than it shows. Type all digits that it shows, such as 1.00 in place of 1, or take a lower range.";
pub const REPAIR_ORDER: &str = "In this order, each as long as the one before did not help:";
pub const STILL_DEAD: &str = "The console is still dead after it.";
pub const READ_AGAIN: &str = " Read the log again: what is written now tells most.";
pub const BEFORE_HEAT: &str =
    "This heats the board. Before it, one of these would tell whether it is needed:";
pub const WEIGHTS_LINK: &str = "What things cost you";
pub const WEIGHTS_TITLE: &str = "What things cost you";
pub const WEIGHTS_LEAD: &str = "To put a check, a repair and giving up on one scale, each needs a price. These are yours to choose, in the money of the code book. They decide the order, not how probable a suspect is.";
pub const WEIGHT_WRONG: &str = "A number from 0 to 100000, please. The one before still counts.";
pub const OPINION_LEGEND: &str = "The opinion of a book's author";
pub const OPINION_LEAD: &str = "How common each fault is on a board comes from the book's author and from your own closed jobs. Without the author's opinion only your jobs count; with few of them all suspects begin nearly equal.";
pub const BOTH: &str = "Both at once:";
pub const KEEP_LEAD: &str = "Kept with the job as it is now, with the book's version and all numbers. Later you can see whether it was right.";
pub const KEPT_DIAGNOSIS: &str = "Kept with the job.";
pub const KEEP_NOT_TRIAL: &str = "You are trying something out. Go back to what is known first.";
pub const TURN_HELP: &str = "Turn any of them to see what would change.";
pub const TRIED_ONLY: &str = "Only tried out";
pub const NEXT_TITLE: &str = "What can be done next";
pub const NOT_WEIGHED: &str = "What is written here is kept, and is not weighed among the suspects: it names no check or repair of the code book. To let it count, note it under \u{201c}What can be done next\u{201d} of its job.";
pub const NEXT_LEAD: &str = "The cheapest way first, in what you count as cost: money, time, risk, and what the console is worth to you.";
pub const WAITS_LEAD: &str =
    "They tell less now than those above, or speak only for suspects that are hardly probable.";
pub const CHECKS_DONE: &str = "After a repair, or when a probe slipped, do one again: the new result then stands in place of the old one.";
pub const TOO_EARLY: &str = "They need a console that gets further than this one does, by its log.";
pub const UNWEIGHED: &str = "The book does not say how often each result comes, so it can't be weighed. It can be done and noted all the same.";
pub const BASE_MEANS: &str = " before anything is known of this console, on this board.";
pub const POOL_MEANS: &str = "Boards of one family are taken to be alike, and how much is worked out from the counts. A board with few known cases leans on its siblings. All suspects together, and what the book does not list, then make 100 %. Outcomes are closed jobs, repaired and not back with the same fault, where the cause is ticked from the book.";
pub const UNLISTED_MEANS: &str = "It is shared out over everything that could be seen.";
pub const WEIGHT_MEANS: &str = "Ten decibans make the odds ten times better or worse; one is hardly worth noticing. The weight of a finding is what would change if it were not known. The findings work together, so the weights need not add up.";
pub const RANGE_MEANS: &str = " times the shares and the words of the book were drawn anew, as far as they are in doubt, and the sum was done again. A word such as \u{201c}mostly\u{201d} counts as ten consoles, so it is not sharp.";
pub const ALIKE_LEAD: &str =
    "Suspects that are probable too, or that what is known hardly tells from it.";
pub const NONE_ALIKE: &str = "No other suspect reaches 10 %.";
pub const NOT_APART: &str = "No check in the book tells the two apart.";
pub const CHECK_REAL: &str = "This can harm the board or you. Read the cautions first.";
pub const CHECK_SMALL: &str = "The board is under power or is touched. Keep to the cautions.";
pub const CHECK_DONE: &str =
    "Done before in this job. A new result takes the place of the old one.";
pub const OR_SEEN: &str = "Or, if you saw something else:";
pub const METER_HELP: &str = "The accuracy stands in the meter's data sheet. With it a value near the edge counts as little as it says. It is kept for next time.";
pub const LEADS_HELP: &str =
    "Both tips on one ground pad, pressed hard. 0 if the meter was set to zero with them.";
pub const VALUE_FIRST: &str = "Type the value first, as the meter shows it.";
pub const AS_IT_WAS: &str = "As it stood on that day. Nothing here is worked out anew.";
pub const REPAIRED_BEFORE: &str = "Made before that, without success:";
pub const PAST_LEAD: &str =
    "When a suspect was said to be so probable, was it right about that often?";
pub const PAST_HOW: &str = "Counted are the last kept diagnosis of each job that is closed, repaired, not back with the same fault, and has its cause ticked from the book. A band needs at least this many jobs to say anything: ";
pub const PAST_NONE: &str = "No closed job counts yet. Keep a diagnosis with a job; when it is repaired, close the job and tick the cause from the book.";
pub const BAND_NONE: &str = "No suspect was called so.";
pub const COMPARE_NONE: &str = "There is no other job to compare with.";
pub const NO_CAUSES: &str =
    "Choose the family of the console first: its code book lists the causes.";
pub const COUNT_FIRST: &str = "1 of 2";
pub const COUNTED: &str = "Counted, such as 7 of 12";
pub const HEAT_WAITS: &str = "By the figures alone a repair would come first. It heats the board, and what it is for is not sure enough yet. So this comes before it.";
pub const SAME_ALONE: &str = "Each of the two alone would look nearly the same.";
pub const NO_LINK: &str = "The book does not link the two.";
pub const NO_LINK_FOR: &str =
    "The book does not link the two. It speaks against another suspect, so this one gains.";
pub const NO_LINK_AGAINST: &str =
    "The book does not link the two. Another suspect explains it, so this one loses.";
pub const BASE_FAMILY: &str = " before anything is known of this console, in this family.";
pub const NEAR_EQUAL: &str = ", which is practically the same.";
pub const STOP_WAITS: &str = "By your prices giving up would come first. This look costs next to nothing, so it comes before it.";
pub const JOB_CLOSED: &str = "This job is closed. What follows is how it stands by what was written down; its own outcome is left out.";
pub const IT_WORKS: &str = "The console works after it.";
pub const PROVE_FIRST: &str = "Noted. The cause is ticked from the book: look whether it is right. Prove that the repair holds, then close the job here.";
pub const NOTED: &str = "Noted.";
pub const SUSPECTS_TOO_LARGE: &str = "The code book of this family has more than 200 causes, checks or repairs. That is too much to weigh on a phone.";
pub const KEEP_NOT_WRONG: &str =
    "What was found contradicts itself by the book. There is nothing to keep.";
pub const NO_RANGE: &str = "There was too much to work out for a range.";
pub const DIAGNOSIS_DAMAGED: &str =
    "The numbers of this diagnosis are damaged. It is kept as it is and counts nowhere.";
