"""Halyard pastes with slips, losses and quotes; the check byte decides."""

import halyard
import noise
import slips
from codes import H
from halyard import Item, dump, items
from paste import Ev, Paste, guess, sequence

R = halyard.Rec


def hexa(rec):
    """The record as 24 hex digits."""
    return rec.raw().hex().upper()


def spaced(text):
    """Hex digits in pairs."""
    return " ".join(text[i:i + 2] for i in range(0, len(text), 2))


def put(text, at, what):
    """Writes over some characters."""
    return text[:at] + what + text[at + len(what):]


def one_mend(true, at, what):
    """A written text that only one slip mends; fails if it is not so."""
    text = put(hexa(true), at, what)
    assert slips.record(text) == [hexa(true)], (text, slips.record(text), hexa(true))
    return text


def mends(text):
    """The codes that the two mends of a text give; fails if they differ elsewhere."""
    found = slips.record(text)
    assert len(found) == 2 and len({f[:6] + f[10:] for f in found}) == 1, (text, found)
    return sorted(f[6:10] for f in found)


def no_mend(text):
    """A written text that no slip mends."""
    assert slips.record(text) == [], (text, slips.record(text))
    return text


def fits(text, at, choices):
    """Which of the characters at that place make the check agree."""
    out = []
    for c in choices:
        b = bytes.fromhex(put(text, at, c))
        if halyard.crc8(b[:11]) == b[11]:
            out.append(c)
    return out


def plain(first, n):
    """A few records with rising times."""
    kinds = (("0A", H.core), ("0A", H.core), ("0A", H.gfx), ("02", H.sby), ("0B", H.fan))
    return [R(first + i, *kinds[i % 5], f"2017-0{1 + i}-2{i} 1{i}:0{i}:3{i}", 55 + i * 3 - (80 if i == 3 else 0),
              (2, 0, 0x82, 1, 7)[i % 5])
            for i in range(n)]


def recognised():
    """Text recognition of a photo: each kind of slip once."""
    p = Paste("recognised-dump", "A photo read by text recognition",
              ["guesses confirmed by the check field", "guesses", "unreadable with choices"],
              "halyard", "oldest-first", rows=[23, 24])
    p.order(1, sequence(0x0200, 65536))
    p.say("Phone read this off the photo, not me. Small white one, HB-5.", halyard.header(11))
    seq = iter(range(0x0200, 0x0300))

    def rec(step, code, when, temp=66, flags=2):
        return R(next(seq), step, code, when, temp, flags)

    def confirmed(true, at, what, field):
        p.entry(spaced(one_mend(true, at, what)), Ev(true, guesses=[guess(field, by="check")]))

    def illegal(true, at, what, may, field):
        text = put(hexa(true), at, what)
        assert fits(text, at, may) == [hexa(true)[at]], text
        p.entry(spaced(text), Ev(true, guesses=[guess(field, by="check")]))

    r = rec("0A", H.core, "2018-02-03 09:00:00")
    p.entry(spaced(hexa(r)), Ev(r))
    confirmed(rec("0A", H.core, H.t1, 67), *H.slip1)
    illegal(rec("0A", H.core, "2018-02-04 21:00:00", 70), 4, "O", "0DC89", "step")
    illegal(rec("05", H.c6, H.t3, -3, 3), 6 + H.c6.index("C"), "G", "6C089", "code")
    confirmed(rec("0A", H.core, H.t4, 69, 0x80), *H.slip4)
    r = rec("0B", H.two_true, H.t5)
    text = put(hexa(r), 6, H.two_written)
    p.bad(spaced(text), mends(text))
    illegal(rec("11", H.warm, "2018-03-01 07:30:00", 80), 4, "l", "1748", "step")
    r = rec("02", H.sby, H.t7, 44, 5)
    text = no_mend(put(put(hexa(r), 18, "58"), 20, "07"))
    as_read = R(r.seq, r.step, r.code, H.t7, 0x58, 7)
    p.entry(spaced(text), Ev(as_read, fields=as_read.fields(check_ok=False)))
    confirmed(rec("0A", H.core, H.t8, 45, 1), *H.slip8)
    r = rec("0A", H.gfx, None, 40)
    p.entry(spaced(hexa(r)), Ev(r))
    r = rec("0A", H.core, "2018-03-09 18:00:01", 41)
    p.entry(spaced(hexa(r)).lower(), Ev(r))
    p.say("the photo is a bit blurry on the right")
    return p


def lost_bytes():
    """A byte lost in the middle, and the end cut off."""
    p = Paste("lost-bytes", "A byte lost, and the end cut off", ["truncated lines"],
              "halyard", "oldest-first", last_eol=False, rows=[32, 33])
    p.order(1, sequence(0x0080, 65536))
    log = plain(0x0080, 8)
    p.say("copied by hand from the window, hope it is all there", halyard.header(8))
    things = items([Ev(r) for r in log[:7]])
    whole = log[3].raw()
    things[3] = Item(whole[:6] + whole[7:], "unreadable")
    for thing in things:
        dump(p, [thing], 12, halyard.spaced)
    last = log[7].fields()
    for k in ("clock", "check_ok"):
        del last[k]
    for k in ("time_utc", "time_local", "time_rel_s", "temp", "flags"):
        last[k] = None
    p.entry(spaced(hexa(log[7])[:14]), Ev(log[7], complete=False, fields=last))
    return p


def lost_before_code():
    """Cut inside the code: the last row is no entry."""
    p = Paste("cut-before-code", "Cut before the code was whole", ["truncated lines", "dump rows without offsets"],
              "halyard", "oldest-first", last_eol=False, rows=[32])
    p.order(1, sequence(0x0010, 65536))
    log = plain(0x0010, 9)
    p.say("part 1, rest follows tomorrow", halyard.header(0x19))
    dump(p, items([Ev(r) for r in log[:8]]), 12, halyard.spaced)
    p.bad(spaced(hexa(log[8])[:8]))
    return p


def quoted_dump():
    """Quoted in a reply, one row repeated, HTML around it."""
    p = Paste("quoted-dump", "A dump quoted in a reply", ["quotes at any depth", "HTML", "the same entry again", "codes in prose"],
              "halyard", "oldest-first", rows=[2, 11, 35])
    p.order(1, sequence(0x0700, 65536))
    log = plain(0x0700, 7)
    p.say("<blockquote>", "<p>tin roof wrote:</p>", "&gt; " + halyard.header(7))
    dump(p, items([Ev(r) for r in log]), 12, halyard.spaced, wrap=lambda t: "&gt; " + t.replace(" ", "&nbsp;") + "<br>")
    p.say("</blockquote>", f"<p>Look at the third one, code «{log[2].code}», that is where it begins:</p>")
    p.dup("<code>" + spaced(hexa(log[2])) + "</code>")
    p.say("<p>The others follow from it.</p>")
    return p


def odd_characters():
    """Full-width, NBSP and letters of another script in a dump."""
    p = Paste("odd-dump", "A dump that went through a phone", ["full-width", "NBSP", "zero-width",
              "look-alike letters of other scripts", "smart quotes"], "halyard", "oldest-first", rows=[6, 7, 8, 9, 10])
    p.order(1, sequence(0x0900, 65536))
    log = plain(0x0900, 7)
    rows = [spaced(hexa(r)) for r in log]
    p.say("from my phone, it changes the letters sometimes", halyard.header(7))
    forms = [noise.full_width, lambda t: t.replace(" ", noise.NBSP), lambda t: noise.sprinkle(t, noise.ZWSP, 4),
             noise.twins, lambda t: "\u201c" + t + "\u201d", lambda t: t.replace(" ", noise.IDEOGRAPHIC),
             lambda t: noise.twins(t, noise.GREEK)]
    for r, row, form in zip(log, rows, forms):
        new = form(row)
        assert new != row, (form, row)
        p.entry(new, Ev(r))
    p.say("looks all right on the screen to me")
    return p


CASES = [recognised, lost_bytes, lost_before_code, quoted_dump, odd_characters]
