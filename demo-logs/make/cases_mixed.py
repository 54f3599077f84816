"""Pastes over several families, and one with no log at all."""

import halyard
import noise
import orrery
import tamsin
from cases_halyard_slips import plain
from codes import O, T
from halyard import dump, items
from paste import Ev, Paste, guess, ring, sequence


def nothing_here():
    """Ten things that look like a log."""
    p = Paste("nothing-here", "A post with no log at all", ["a post with no log at all", "HTML"], "none", "unknown", rows=[36, 38, 39])
    p.say("WTB: donor board for the attic find, LW-41, any state. Offers to the usual place.",
          "Order 0C-77419-B2 has not come, tracking E7 55 10 3B.",
          "Adapter MAC 02:1D:7F:00:C3:9A, it shows as a serial port.",
          "Case colour is #F0AD4E with a #C0FFEE lid, not #DEAD00.",
          "Chip says LWX 88E1-A0 and under it 2 031 CB.",
          "sha of my backup: 3f9ac01e77b1d25540cc8e6f90ab12de44771b0c",
          "id 5b1fa2c0-77de-4c11-9c0e-0a51f3bb2d17")
    p.blank()
    p.say("<script>alert('slot')</script>", "=HYPERLINK(\"x\";\"entry\")", "{{ 7 * 7 }} ${code}")
    p.blank()
    p.say("Nie mam loga, port milczy. 3,3 V jest.", "The slot of the drive is bent, what step would you take first?",
          "entry level meter is all I have", "slot, step, code, clock, seen: which of them matters?",
          "No log yet: the header says 24 slots and then nothing comes, the group is empty.")
    return p


def everything_at_once():
    """Two families, two directions, and most kinds of dirt."""
    p = Paste("everything-at-once", "Everything at once", ["BOM", "CRLF", "wrapped lines", "quotes at any depth", "BBCode",
              "truncated lines", "two consoles in one post", "newest-first", "NBSP", "the same entry again", "codes in prose",
              "guesses", "comments in other languages"], "mixed", eol="\r\n", bom=True, last_eol=False,
              rows=[1, 2, 5, 7, 11, 23, 28, 32, 35, 36, 40])
    R, S = orrery.Rec, tamsin.Rec
    p.order(1, ring(5))
    p.order(2, sequence(870, 10000))
    s = noise.swap
    one = [R(0, "0A", O.core, "2015-02-03 04:05:06"), R(1, "0A", O.core, "2015-02-03 04:07:08", 2),
           R(2, "0A", O.gfx, "2015-02-04 10:00:00"), R(3, "12", O.fan, None), R(4, "0A", O.core, 0x1C)]
    two = [S(875, *T.a, "2008-03-04 20:00:00"), S(874, *T.b, "2008-03-03 20:00:00"), S(873, *T.a, "1996-01-01 00:01:05"),
           S(872, *T.c, "2008-02-29 07:07:07"), S(871, *T.d, "2008-02-28 07:07:07"), S(870, *T.a, "2008-01-01 00:00:10")]
    p.say("Moin zusammen, zwei Geräte, eins neu (attic find), eins alt (shed console).")
    p.blank()
    p.say("[code]", "port> show log", "\t" + orrery.header(5))
    p.entry("\t" + one[0].text("\t"), Ev(one[0]))
    a, b = noise.wrap(one[1].text(), 38)
    p.entry(a, Ev(one[1]))
    p.cont(b)
    a, b = noise.wrap(one[2].text(), 38)
    p.entry(a, Ev(one[2]))
    p.cont(b)
    p.entry(one[3].text(noise.NBSP), Ev(one[3]))
    p.entry(s(one[4].text(), "step 0A", "step OA"), Ev(one[4], guesses=[guess("step", "OA", "0A")]))
    p.empty(orrery.unused(5), orrery.unused(6) + "  ")
    p.say("end of log", "[/code]")
    p.blank(" ")
    p.say("[quote]")
    p.dup("> " + one[2].text())
    p.say("[/quote]", f"Das ist nicht der Grund, «{O.core}» war zuerst da.")
    p.blank()
    p.say("Und das alte:", tamsin.HEADER)
    for r in two[:5]:
        p.entry(r.text(), Ev(r, 2))
    f = two[5].fields()
    del f["clock"], f["check_ok"]
    for k in ("time_utc", "time_local", "time_rel_s"):
        f[k] = None
    text = two[5].text()
    p.entry(text[:text.index(" at ")], Ev(two[5], 2, complete=False, fields=f))
    return p


def three_families():
    """One of each, in one post."""
    p = Paste("three-families", "One of each family", ["two consoles in one post", "all layouts compete"], "mixed", rows=[28])
    p.order(1, sequence(0x0140, 65536))
    p.order(2, ring(3))
    p.order(3, sequence(77, 10000))
    one = plain(0x0140, 4)
    two = [orrery.Rec(i, "0A", O.gfx, f"2016-06-0{i + 1} 12:00:00", i + 1) for i in range(3)]
    three = [tamsin.Rec(80 - i, *c, f"2005-0{6 - i}-10 09:08:07") for i, c in enumerate((T.a, T.b, T.a, T.e))]
    p.say("Shelf check before the winter. The little one:", halyard.header(4))
    dump(p, items([Ev(r, 1) for r in one]), 12, halyard.offset_spaced)
    p.blank()
    p.say("The big one:", orrery.header(3))
    for r in two:
        p.entry(r.text(), Ev(r, 2))
    p.say("end of log")
    p.blank()
    p.say("And the old one, it lists backwards:", tamsin.HEADER)
    for r in three:
        p.entry(r.text(), Ev(r, 3))
    p.blank()
    p.say("All three still start when warm.")
    return p


CASES = [nothing_here, everything_at_once, three_families]
