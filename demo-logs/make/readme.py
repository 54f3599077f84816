"""The README of the demo logs, with tables made from the cases."""

import proof

HEAD = """# Demo logs

{n} invented posts and dumps with fault logs of the three demo families, each with the reading that a careful
person would give it. Console families, codes, nicknames and times are all invented; no line comes from a
real console or a real person. They serve three ends: the tests compare each expected reading with what the
reader gives, the app offers some of them under "Try an example" (`examples.json`), and people can look at them.

- `NN-name.txt`: the paste, byte for byte. Some have a byte order mark, CRLF, old code page bytes or 16-bit
  characters. Do not open and save them with an editor (`.gitattributes` keeps git from changing them).
- `NN-name.expected.json`: the expected reading. It is a part of the JSON of a Reading. Only the keys given
  are compared. `books` says which demo books are loaded.
- `make/`: the programs that write all of it, this page too. `python3 demo-logs/make/make.py` writes the files,
  `--check` says which differ, `--show 04` prints a paste with the class of each line.

**Where the truth comes from.** Each case begins with records (what happened in the invented console). They are
written as lines or bytes, with check values computed here and not by the reader, and then made dirty. The
expected reading is what the records say. The reader was never run to get it. `make/proof.py` holds
what every case must meet: each physical line in exactly one class, codes told as mentions are in the books, no
other code-like word of a book in a line that is no entry, and every kind of noise covered. `make/slips.py`
tries every single slip of a record with a failing check, so that "only one mend fits" is a fact, with a narrow and
a broad idea of what looks alike.
"""

DECISIONS = """## Decisions

Where the design leaves something open, the cases either leave the key out or follow these.

1. `layouts` is a set: its order means nothing. `entries` is in the order of the paste.
2. `listing` is left out where no single word is true: a full ring printed from slot 00 up, or a paste
   whose consoles are listed in different directions.
3. The fields `time_raw`, `group`, `number` and `check` are not compared, `check_ok` is. For a cut-off entry `clock` and
   `check_ok` are left out; what else is missing is null.
4. A guess gives the whole value of the field as written (`from`) and as read (`to`). In a hex dump
   they are left out, since a value may be several bytes with blanks between. For a written date they are left out too.
   A slip in a fixed word has the field `""`.
5. A word list value in a guess is written as the book writes it (`amber`); `code` is in upper case (`AMBER 14`).
6. An illegal character in a record with a check field is `confirmed_by` `check` when the check agrees.
7. An emoji that a chat put where `:0` stood is read as `0`, marked as a guess (catalogue row 13).
8. A line of dump that holds only a `*` (the tool left out equal rows) or only an offset is ignored.
9. A line `> ` with tags or words only, a lone tag, a fence, a table's head and rule are ignored. No case has
   a line of nothing but quote marks.
10. A comment behind an entry on the same line ("<- this one is new") does not change the class.
11. An unused slot in a second dump would be `empty`, not `duplicate`; no case depends on it.
12. A written date before 1997 on a Tamsin is a clock that was never set: `time_rel_s` counts from 1996-01-01 00:00:00.
13. A date years ahead (2044) is read as written, with the clock set. The reading may say so in a note.
14. An entry whose check can't be mended by one slip keeps its values, with `check_ok` false and no guess.
15. A mention is told once per line and code. The code of a Tamsin is two words (`amber 14`) and counts as one mention.
16. Rows of a dump that go on with a duplicate or an unreadable record would be `continuation`; no case depends on it.
17. A second dump is the same console when records are the same and none contradict; another console when the
    slots or running numbers disagree. The posts also say so in words.
18. `choices` is a set. A record that lost a byte, or was cut before its code was whole, has none.
19. A file of 16-bit characters with a byte order mark is decoded. Its lines are counted in the decoded text.
20. White space in a logger's cut ("co" / "de") is none: the two halves make one word.
"""

DIRT = (
    "prompts, echo, pager", "quote marks", "a logger's or chat's clock in front", "a stamp in the middle of a record",
    "hard line breaks", "curly quotes, long dashes", "NBSP, ideographic space, tab", "zero-width marks", "full-width",
    "Cyrillic and Greek twins", "BBCode, HTML, Markdown", "code fences", "emoji by autocorrect", "0x, h, $",
    "leading zeros dropped", "mixed case", "separators of bytes", "word-swapped", "half rows", "text gutter",
    "erased slots", "one field FF, rest not", "illegal look-alikes", "legal look-alikes", "listing direction",
    "running number wraps", "two dumps of one ring", "two consoles", "clock never set", "clock reset midway",
    "date years ahead", "cut at the end", "a byte missing", "summary in words", "a code in a sentence",
    "other languages, decimal comma", "list numbers, bullets", "look like hex", "hostile text", "line ends, trailing blanks")


def text(pastes):
    """The whole page."""
    out = [HEAD.format(n=len(pastes)), "\n## The logs\n", "| log | family | what it is | noise | catalogue rows |", "|---|---|---|---|---|"]
    for p in pastes:
        out.append(f"| `{p.file}` | {p.family} | {p.title} | {', '.join(p.noise)} | {', '.join(map(str, p.dirt)) or '-'} |")
    out += ["\n## Kinds of noise named in the issue\n", "| noise | logs |", "|---|---|"]
    extra = sorted({n for p in pastes for n in p.noise} - set(proof.ISSUE_NOISE))
    for n in list(proof.ISSUE_NOISE) + extra:
        out.append(f"| {n} | {', '.join(p.file[:2] for p in pastes if n in p.noise)} |")
    out += ["\n## Rows of the dirt catalogue (trade handbook 2.2)\n", "| row | what | logs |", "|---|---|---|"]
    for i, what in enumerate(DIRT, 1):
        out.append(f"| {i} | {what} | {', '.join(p.file[:2] for p in pastes if i in p.dirt)} |")
    out.append("\nRow 40 also names a paste of 200 kB; that one is made inside the tests and the benchmark, not kept here.\n")
    out.append(DECISIONS)
    return "\n".join(out)
