"""Tamsin: lines of words, newest first, with two check letters."""

from datetime import datetime

GROUPS = ("amber", "birch", "cedar", "dune", "ember", "fern", "grove", "heath")
ALPHABET = "ACDEFGHJKLMNPQRTUVWXYZ"
EPOCH = datetime(1996, 1, 1)
SET_FROM = datetime(1997, 1, 1)


def letters(seq, group, number, time):
    """The check letters: weights 1, 2, 3 and so on, seed 7, modulo 484, as two letters."""
    chars = [c for c in (seq + group + number + time).upper() if c.isascii() and c.isalnum()]
    total = 7 + sum(w * int(c, 36) for w, c in enumerate(chars, 1))
    high, low = divmod(total % 484, 22)
    return ALPHABET[high] + ALPHABET[low]


class Rec:
    """One record of a Tamsin log. `when` is local time, or None for no time."""

    layout = "tamsin-line"

    def __init__(self, seq, group, number, when):
        assert 0 <= seq < 10000 and group in GROUPS and 0 <= number < 100
        self.seq, self.group, self.number = seq, group, number
        self.when = when and datetime.strptime(when, "%Y-%m-%d %H:%M:%S")

    def parts(self):
        """The values as written: seq, group, number, time, check."""
        time = self.when.strftime("%d.%m.%Y at %H:%M:%S") if self.when else "--.--.---- at --:--:--"
        seq, number = f"{self.seq:04d}", f"{self.number:02d}"
        return seq, self.group, number, time, letters(seq, self.group, number, time)

    def text(self):
        """The line."""
        return line(*self.parts())

    def code(self):
        """The code, as the book has it."""
        return f"{self.group.upper()} {self.number:02d}"

    def fields(self, check_ok=True):
        """The fields of the reading."""
        out = {"seq": self.seq, "code": self.code(), "time_utc": None, "time_local": None,
               "time_rel_s": None, "clock": "absent", "check_ok": check_ok}
        if self.when and self.when < SET_FROM:
            out["clock"] = "not set"
            out["time_rel_s"] = int((self.when - EPOCH).total_seconds())
        elif self.when:
            out["clock"] = "set"
            out["time_local"] = self.when.strftime("%Y-%m-%dT%H:%M:%S")
        return out


def line(seq, group, number, time, check):
    """A line from its values as written."""
    return f"entry {seq}: group {group} number {number}, on {time}, check {check}"


def unused(seq):
    """The line of an unused entry."""
    return f"entry {seq:04d}: group none"


HEADER = "tamsin log, newest first"
