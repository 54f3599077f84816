"""The demo logs offered by the app under "Try an example"."""

import json

PICKED = (
    ("forum-bbcode", "A forum post", "Tags, quotes and a log in between. Two lines are quoted again below."),
    ("typed-from-photo", "Typed from a photo", "Slips of the pen. Most can be guessed, one can't."),
    ("clock-reset-midway", "The clock was lost", "Dates, then tiny numbers, then dates again. What came last?"),
    ("two-consoles", "Two consoles, one post", "One line is the same in both. They stay apart."),
    ("dump-with-gutter", "A hex dump", "Bytes with offsets, and a text column full of letters A to F."),
    ("recognised-dump", "Read by a phone", "A dump with wrong characters. The check byte tells which."),
    ("tamsin-wrap", "The old one counts round", "9999, then 0000, newest first, and a clock back in 1996."),
    ("everything-at-once", "Everything at once", "Two families, broken lines, quotes, two languages, cut off."),
)


def text(pastes):
    """The JSON list."""
    by = {p.name: p for p in pastes}
    rows = [{"file": by[n].file + ".txt", "title": title, "about": about, "family": by[n].family}
            for n, title, about in PICKED]
    return "[\n" + ",\n".join("  " + json.dumps(r, ensure_ascii=False) for r in rows) + "\n]\n"
