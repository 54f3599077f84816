"""What must hold of every demo log, tested on the bytes that are written."""

import json
import re
from pathlib import Path

from paste import CLASSES

BOOKS = Path(__file__).resolve().parents[2] / "public" / "books"
ISSUE_NOISE = (
    "BBCode", "Markdown", "HTML", "quotes at any depth", "chat stamps", "logger stamps", "prompts", "smart quotes",
    "NBSP", "zero-width", "full-width", "look-alike letters of other scripts", "wrapped lines", "run-on lines",
    "truncated lines", "table cells", "dump gutters", "offsets", "byte- and word-swapped dumps", "colon bytes",
    "half rows", "missing leading zeros", "0x prefixes", "empty slots", "the same dump twice or overlapping",
    "newest-first", "ring order", "wrapping sequence", "clock never set", "clock reset midway",
    "two consoles in one post", "codes in prose", "comments in other languages", "CRLF", "BOM", "invalid UTF-8",
    "a post with no log at all")


def split(raw, encoding, bom):
    """Physical lines of the written bytes, by the rule of the reader's documentation."""
    text = raw.decode(encoding, "surrogateescape" if encoding == "utf-8" else "strict")
    if bom:
        assert text[0] == "\ufeff"
        text = text[1:]
    lines = re.split("\r\n|[\n\r\u2028\u2029]", text)
    if lines[-1] == "":
        lines.pop()
    return lines


def book(name):
    """A demo book."""
    found = [p for p in BOOKS.glob("*.json") if name in p.name]
    assert len(found) == 1, (name, found)
    return json.loads(found[0].read_text("utf-8"))


_patterns = {}


def patterns(name):
    """The codes of a book as regular expressions."""
    if name not in _patterns:
        _patterns[name] = [re.compile(c["code"].upper().replace("?", "."), re.S) for c in book(name)["codes"]]
    return _patterns[name]


def known(books, code):
    """Whether any of the books has this code."""
    return any(p.fullmatch(code.upper()) for b in books for p in patterns(b))


def paste(p, reading):
    """One paste: lines, classes, codes and mentions."""
    lines = split(p.raw(), p.encoding, p.bom)
    classes = reading["line_classes"]
    seen = sorted(n for c in CLASSES for n in classes[c])
    assert seen == list(range(1, len(lines) + 1)), (p.name, len(lines), seen)
    assert [t for t, _, _ in p.lines] == lines, p.name
    assert 10 <= len(lines) <= 80, (p.name, len(lines))
    for n in classes["blank"]:
        assert lines[n - 1].strip() == ""
    assert {e["line"] for e in reading["entries"]} == set(classes["entry"]), p.name
    per = {}
    for e in reading["entries"]:
        per.setdefault(e["console"], []).append(e["order"])
    for orders in per.values():
        assert sorted(orders) == list(range(1, len(orders) + 1)), p.name
    firsts = list(dict.fromkeys(e["console"] for e in reading["entries"]))
    assert firsts == sorted(firsts) and firsts == list(range(1, len(firsts) + 1)), p.name
    told = {(m["line"], m["code"]) for m in reading["mentions"]}
    for line, code in told:
        assert known(p.books, code), (p.name, code)
    for n in classes["ignored"]:
        for word in re.findall(r"(?<![0-9A-Za-z])[0-9A-Fa-f]{4}(?![0-9A-Za-z])", lines[n - 1]):
            assert (n, word.upper()) in told or not known(p.books, word), (p.name, n, word)


def together(pastes):
    """All pastes: every kind of noise that the issue names is there."""
    names = [p.name for p in pastes]
    assert len(names) == len(set(names)) and len(names) >= 32
    have = {n for p in pastes for n in p.noise}
    assert not set(ISSUE_NOISE) - have, set(ISSUE_NOISE) - have
    rows = {r for p in pastes for r in p.dirt}
    missing = set(range(1, 41)) - rows
    assert not missing, missing
