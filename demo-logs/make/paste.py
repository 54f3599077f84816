"""A paste under construction: its lines, their classes and the truth about them.

A case adds line after line and says for each what it is. The expected reading
falls out of that; nothing here reads a paste.
"""

import re

ALL = ("orrery", "halyard", "tamsin")
CLASSES = ("entry", "continuation", "empty", "duplicate", "unreadable", "ignored", "blank")
BREAKS = ("\n", "\r", "\u2028", "\u2029")
MARK = re.compile("«([^»]*)»")


class Ev:
    """One entry that a careful reader finds: a record, and what is special about it."""

    def __init__(self, rec, console=1, guesses=(), complete=True, fields=None):
        self.rec = rec
        self.console = console
        self.guesses = list(guesses)
        self.complete = complete
        self.fields = dict(rec.fields() if fields is None else fields)
        self.line = None


def guess(field, frm=None, to=None, by=None):
    """An expected guess. `frm` and `to` are left out where their form is open."""
    out = {"field": field}
    if frm is not None:
        out["from"] = frm
    if to is not None:
        out["to"] = to
    out["confirmed_by"] = by
    return out


class Paste:
    """The lines of one demo log with the expected reading."""

    def __init__(self, name, title, noise, family, listing=None, books=ALL, eol="\n",
                 encoding="utf-8", bom=False, last_eol=True, rows=()):
        self.name = name
        self.title = title
        self.noise = noise
        self.family = family
        self.listing = listing
        self.books = list(books)
        self.eol = eol
        self.encoding = encoding
        self.bom = bom
        self.last_eol = last_eol
        self.dirt = list(rows)
        self.lines = []
        self.evs = []
        self.bad_list = []
        self.mentions = []
        self.keys = {}
        self.prose = set()

    # -- adding lines ---------------------------------------------------------

    def add(self, text, cls, eol=None):
        """Adds one physical line and gives its number."""
        assert cls in CLASSES, cls
        assert not any(b in text for b in BREAKS), (self.name, text)
        self.lines.append((text, cls, self.eol if eol is None else eol))
        return len(self.lines)

    def say(self, *texts, eol=None):
        """Lines that are no log. A code between « and » is a mention."""
        for text in texts:
            n = self.add(MARK.sub(r"\1", text), "ignored", eol)
            for code in MARK.findall(text):
                self.mentions.append({"line": n, "code": code.upper()})

    def blank(self, text="", eol=None):
        """A line of nothing but white space."""
        assert text.strip() == ""
        self.add(text, "blank", eol)

    def entry(self, text, *evs, eol=None):
        """A line on which one or more entries begin."""
        n = self.add(text, "entry", eol)
        for ev in evs:
            ev.line = n
            self.evs.append(ev)
        return n

    def cont(self, *texts, eol=None):
        """Lines that go on with the entry above."""
        for text in texts:
            self.add(text, "continuation", eol)

    def empty(self, *texts, eol=None):
        """Unused slots."""
        for text in texts:
            self.add(text, "empty", eol)

    def dup(self, *texts, eol=None):
        """The same record again."""
        for text in texts:
            self.add(text, "duplicate", eol)

    def bad(self, text, choices=(), eol=None):
        """A line that looks like an entry and can't be read for sure."""
        n = self.add(text, "unreadable", eol)
        self.bad_list.append({"line": n, "choices": list(choices)})

    def order(self, console, key):
        """How the entries of a console are sorted, oldest first."""
        self.keys[console] = key

    # -- what comes out -------------------------------------------------------

    def text(self):
        """The paste as text."""
        out = []
        for i, (text, _, eol) in enumerate(self.lines):
            out.append(text)
            if i + 1 < len(self.lines) or self.last_eol:
                out.append(eol)
        return "".join(out)

    def raw(self):
        """The paste as bytes; lone surrogates stand for invalid bytes."""
        text = ("\ufeff" if self.bom else "") + self.text()
        if self.encoding == "utf-8":
            return text.encode("utf-8", "surrogateescape")
        return text.encode(self.encoding)

    def expected(self):
        """The expected reading, a subset of the JSON of a Reading."""
        entries = []
        for ev in self.evs:
            key = self.keys.get(ev.console)
            mine = [e for e in self.evs if e.console == ev.console]
            ranked = mine if key is None else sorted(mine, key=lambda e: key(e.rec))
            if key is not None:
                assert len({key(e.rec) for e in mine}) == len(mine), self.name
            entries.append({
                "line": ev.line, "layout": ev.rec.layout, "console": ev.console,
                "fields": ev.fields, "order": ranked.index(ev) + 1,
                "guess": bool(ev.guesses), "guesses": ev.guesses, "complete": ev.complete,
            })
        layouts = []
        for ev in self.evs:
            if ev.rec.layout not in layouts:
                layouts.append(ev.rec.layout)
        classes = {c: [] for c in CLASSES}
        for n, (_, cls, _) in enumerate(self.lines, 1):
            classes[cls].append(n)
        out = {"books": self.books, "layouts": layouts}
        if self.listing:
            out["listing"] = self.listing
        out["entries"] = entries
        out["line_classes"] = classes
        out["unreadable"] = self.bad_list
        out["mentions"] = self.mentions
        return out


def ring(head, size=24):
    """Order of a ring whose next slot is `head`."""
    return lambda rec: (rec.slot - head) % size


def sequence(oldest, modulus):
    """Order by a running number that wraps, from the oldest one."""
    return lambda rec: (rec.seq - oldest) % modulus
