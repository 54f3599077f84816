"""Halyard pastes: one ring, shown in all the ways a dump can be shown."""

import halyard
from codes import H
from halyard import Item, dump, items, unused
from paste import Ev, Paste, sequence

R = halyard.Rec


def shelf(first, n, start=0):
    """`n` records of a console that has been through much."""
    kinds = [("02", H.sby), ("0A", H.core), ("0A", H.core), ("0A", H.gfx), ("0B", H.fan), ("0A", H.core)]
    out = []
    for i in range(n):
        step, code = kinds[(i + start) % len(kinds)]
        when = f"20{10 + (i + start) % 6:02d}-0{1 + i % 9}-1{i % 10} {6 + i % 15:02d}:{(i * 7) % 60:02d}:{(i * 13) % 60:02d}"
        out.append(R((first + i) % 65536, step, code, when, 60 + (i * 5) % 23 - (90 if i % 7 == 5 else 0), (0, 2, 6, 0x82, 1, 0x87, 3)[i % 7]))
    return out


def in_time(recs):
    """The same records with rising times."""
    times = sorted(r.time for r in recs)
    for r, t in zip(recs, times):
        r.time = t
    return recs


def evs(recs, console=1):
    """Entries of them."""
    return [Ev(r, console) for r in recs]


def hexdump_gutter():
    """16 bytes a row, offsets, and a gutter full of letters A to F."""
    p = Paste("dump-with-gutter", "A hex dump with a text gutter",
              ["dump gutters", "offsets", "prompts", "empty slots"], "halyard", "oldest-first", rows=[1, 20, 21, 34])
    p.order(1, sequence(0x0100, 65536))
    log = in_time(shelf(0x0100, 12))
    for i, r in enumerate(log):
        r.temp = 0x41 + i % 6
    p.say("$ xd ring.bin", halyard.header(12))
    dump(p, items(evs(log)) + unused(4), 16, halyard.gutter)
    p.say("*", "00000300", "$ ")
    return p


def colon_half_rows():
    """8 bytes a row; the offset is glued on with a colon too."""
    p = Paste("colon-half-rows", "Colons everywhere, half rows", ["colon bytes", "half rows", "offsets"],
              "halyard", "oldest-first", rows=[17, 19])
    p.order(1, sequence(0x0240, 65536))
    log = in_time(shelf(0x0240, 9, 2))
    log[4].time = halyard.clock.number(0x2F1)
    log[5].time = halyard.clock.ABSENT
    p.say("Green shell console, HB-3. Read with the little clip on the flash chip, 1,8 V.", halyard.header(9))
    dump(p, items(evs(log)) + unused(3), 8, halyard.colons)
    p.say("(rest are all FF)")
    return p


def words_swapped_32():
    """32-bit words, each turned round, no offsets."""
    p = Paste("word-swapped-4", "Words of four bytes, turned round", ["byte- and word-swapped dumps"],
              "halyard", "oldest-first", rows=[18])
    p.order(1, sequence(0x1180, 65536))
    log = in_time(shelf(0x1180, 12, 1))
    p.say("dumped with the word option, I think. does anybody know how to read this", halyard.header(12))
    dump(p, items(evs(log)), 16, halyard.words(4, True))
    p.say("that is all that was not FF")
    return p


def words_swapped_16():
    """16-bit words, each turned round, with offsets."""
    p = Paste("word-swapped-2", "Words of two bytes, turned round", ["byte- and word-swapped dumps", "offsets", "Markdown"],
              "halyard", "oldest-first", rows=[12, 18])
    p.order(1, sequence(0x2000, 65536))
    log = in_time(shelf(0x2000, 8, 3))
    p.say("```", halyard.header(8))
    dump(p, items(evs(log)), 16, halyard.words(2, True, True))
    p.say("```", "16-bit view, the tool has no other.")
    return p


def words_plain():
    """32-bit words as they are, lower case, two records in three rows of 8."""
    p = Paste("words-as-they-are", "Words of four bytes, in order", ["words of 2 or 4 bytes", "mixed case"],
              "halyard", "oldest-first", books=["halyard"], rows=[16, 17])
    p.order(1, sequence(0x0040, 65536))
    log = in_time(shelf(0x0040, 8, 4))
    show = halyard.words(4, False)
    p.say("straight words this time, big brother of the other post")
    dump(p, items(evs(log)), 12, lambda off, data: show(off, data).lower())
    dump(p, unused(3), 12, lambda off, data: show(off, data).lower())
    return p


def byte_list():
    """A list as in a program's source."""
    p = Paste("byte-list", "A list in a program's source", ["0x prefixes", "dump rows without offsets"],
              "halyard", "oldest-first", rows=[14, 17, 38])
    p.order(1, sequence(0x0300, 65536))
    log = in_time(shelf(0x0300, 7, 5))
    p.say("// ring of the lunchbox console, see order 771-88-0C, MAC 00:1B:44:11:3A:B7", "static const unsigned char ring[] = {")
    dump(p, items(evs(log)), 12, lambda _, d: "    " + ", ".join(f"0x{b:02x}" for b in d) + ",")
    p.say("};")
    return p


def dashes_newest_first():
    """One row a record with dashes, newest first, bullets."""
    p = Paste("dashes-newest-first", "Dashes, bullets, newest first", ["newest-first", "list numbers", "dump rows without offsets"],
              "halyard", "newest-first", rows=[17, 25, 37])
    p.order(1, sequence(0x0A31, 65536))
    log = in_time(shelf(0x0A31, 10))
    p.say("my reader lists the newest on top (ring was at 3B when I stopped)")
    p.blank()
    dump(p, items(evs(log[::-1])), 12, lambda _, d: "- `" + d.hex("-").upper() + "`")
    p.blank()
    p.say("Flags and temperature are in there too, says the page.")
    return p


def sequence_wrap():
    """The running number goes round; a row that begins FF FF is an entry."""
    p = Paste("sequence-wrap", "The running number goes round", ["wrapping sequence", "empty slots"],
              "halyard", "oldest-first", rows=[21, 22, 26])
    p.order(1, sequence(65531, 65536))
    log = in_time(shelf(65531, 9, 1))
    log[4].code = "FFFE"
    log[4].time = halyard.clock.ABSENT
    p.say("is FF FF empty or not? one of them has more bytes behind it", halyard.header(4))
    dump(p, items(evs(log)) + unused(3), 12, halyard.spaced)
    return p


def overlapping():
    """Two pulls of one ring."""
    p = Paste("overlapping-pulls", "Two pulls of one ring", ["the same dump twice or overlapping", "offsets"],
              "halyard", "oldest-first", rows=[27])
    p.order(1, sequence(0x0504, 65536))
    log = in_time(shelf(0x0504, 14, 2))
    p.say("first pull, the day it came (blue stripe)", halyard.header(0x0E))
    dump(p, items(evs(log[:10])), 12, halyard.offset_spaced, base=4 * 12)
    p.blank()
    p.say("second pull, after six more tries:", halyard.header(0x12))
    again = [Item(r.raw(), "duplicate") for r in log[3:10]]
    dump(p, again + items(evs(log[10:])), 12, halyard.offset_spaced, base=7 * 12)
    p.say("so four new ones? it stops at the same step every time")
    return p


def two_in_a_chat():
    """Two Halyards in a chat, the rows behind chat stamps."""
    p = Paste("two-in-a-chat", "Two consoles in one chat", ["two consoles in one post", "chat stamps"],
              "halyard", "oldest-first", rows=[3, 28])
    p.order(1, sequence(0x0100, 65536))
    p.order(2, sequence(0x0040, 65536))
    one, two = in_time(shelf(0x0100, 5)), in_time(shelf(0x0040, 5, 3))
    p.say("21:02 - moth box: console one, the blue one", "21:02 - moth box: " + halyard.header(5))
    dump(p, items(evs(one, 1)), 12, halyard.offset_spaced, wrap=lambda t: "21:03 - moth box: " + t)
    p.say("21:04 - tin roof: and the other?", "21:05 - moth box: console two, the one with the loose lid",
          "21:05 - moth box: " + halyard.header(5))
    dump(p, items(evs(two, 2)), 12, halyard.offset_spaced, wrap=lambda t: "21:06 - moth box: " + t)
    p.say("21:07 - tin roof: two different faults then")
    return p


CASES = [hexdump_gutter, colon_half_rows, words_swapped_32, words_swapped_16, words_plain, byte_list,
         dashes_newest_first, sequence_wrap, overlapping, two_in_a_chat]
