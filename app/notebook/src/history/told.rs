//! What a join says, in plain words.

use super::types::{Join, Lost};

/// A number with its noun.
pub(super) fn many(n: u64, one: &str, more: &str) -> String {
    n.to_string() + " " + if n == 1 { one } else { more }
}

/// `2, 5 or 8`, and `3 to 23` for a run.
fn listed(all: &[u64]) -> String {
    let (Some(first), Some(last)) = (all.first(), all.last()) else {
        return String::new();
    };
    let mut out = first.to_string();
    if all.len() > 2 && last - first == all.len() as u64 - 1 {
        return out + " to " + &last.to_string();
    }
    for (i, n) in all.iter().enumerate().skip(1) {
        if i > 6 && i + 1 < all.len() {
            continue;
        }
        let last = i + 1 == all.len();
        out += if i > 6 {
            " and more, up to "
        } else if last {
            " or "
        } else {
            ", "
        };
        out += &n.to_string();
    }
    out
}

/// The sentence of a join. `alike`: more than one overlap fits. `shown` is the
/// number of entries the later reading shows.
pub(super) fn sentence(join: &Join, alike: bool, shown: u64) -> String {
    let new = join.new.len() as u64;
    let mut out = if join.restart {
        "Nothing is shared with the reading before and the numbers start again, as after the log \
         was cleared. All "
            .to_owned()
            + &many(shown, "entry is new.", "entries are new.")
    } else if join.possible.is_empty() {
        "Nothing is shared with the reading before: the ring went right round, the log was \
         cleared, or it is another console's. All "
            .to_owned()
            + &many(shown, "entry counts as new.", "entries count as new.")
    } else if join.possible.len() > 1 {
        let mut out = listed(&join.possible) + " entries may be new";
        if alike {
            out += "; entries that look the same can't be told apart";
        }
        out += ". Counted as ";
        out += &join.taken.unwrap_or(0).to_string();
        out += if join.taken.as_ref() == join.possible.last() {
            ", so that no new fault passes for an old one."
        } else {
            ", which fits best."
        };
        out
    } else if new + join.unread == 0 {
        if shown == 1 {
            "Nothing new: the one entry was there before.".to_owned()
        } else {
            "Nothing new: all ".to_owned() + &shown.to_string() + " entries were there before."
        }
    } else if join.overlap == 0 {
        "All ".to_owned() + &many(shown, "entry is new.", "entries are new.")
    } else {
        many(new + join.unread, "new entry; ", "new entries; ")
            + &many(join.overlap as u64, "was", "were")
            + " there before."
    };
    if join.unread > 0 {
        out += " Of the new ones ";
        out += &many(join.unread, "can't be read.", "can't be read.");
    }
    match join.lost {
        Lost::None if join.overlap == 0 && !join.new.is_empty() => {
            out += " None is missing in between, unless the log was cleared.";
        }
        Lost::None => {}
        Lost::Exactly(n) => {
            out += " Exactly ";
            out += &many(n, "more was written", "more were written");
            out += " in between, unless the log was cleared; no reading shows them.";
        }
        Lost::AtLeast(n) => {
            out += " At least ";
            out += &many(n, "more was written", "more were written");
            out += " in between; neither shows them.";
        }
        Lost::Unknown => {
            out += " How many were lost in between can't be told.";
        }
    }
    if let Some(least) = join.or_more.filter(|_| !join.possible.is_empty()) {
        out += " If ";
        out += &least.to_string();
        out += " or more were written, the ring went right round and all are new; that can't be ruled out.";
    }
    if join.earlier > 0 {
        out += " It shows ";
        out += &many(join.earlier as u64, "older entry", "older entries");
        out += " for the first time.";
    }
    if join.differ > 0 {
        out += " In ";
        out += &many(u64::from(join.differ), "entry", "entries");
        out += " the two differ where they should be the same; one is probably copied wrong.";
    }
    if join.loose > 0 {
        out += " ";
        out += &many(
            join.loose,
            "line that can't be read",
            "lines that can't be read",
        );
        out += " may be the newest or the oldest.";
    }
    if join.clock_off {
        out +=
            " By the console's own clock its entries are older than those of the reading before.";
    }
    if join.day_off {
        out += " By its day this reading comes earlier, by its entries later.";
    }
    out
}
