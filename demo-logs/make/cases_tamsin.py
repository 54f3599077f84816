"""Tamsin pastes: lines of words, newest first, with check letters."""

import noise
import slips
import tamsin
from codes import T
from paste import Ev, Paste, guess, sequence

R = tamsin.Rec


def log(newest, rows):
    """Records newest first from (code, time) pairs, running numbers going down."""
    return [R((newest - i) % 10000, *code, when) for i, (code, when) in enumerate(rows)]


SHED = [(T.a, "2007-11-03 21:40:15"), (T.a, "2007-11-03 21:38:02"), (T.b, "2007-10-30 18:05:59"),
        (T.c, "2007-10-10 07:00:00"), (T.a, "2007-09-01 12:34:56"), (T.d, "2007-08-19 23:59:58"),
        (T.b, "2007-08-19 23:58:01"), (T.e, "2007-05-05 10:20:30")]


def newest_first():
    """The base case."""
    p = Paste("tamsin-clean", "As the console says it", ["newest-first", "empty slots", "prompts"],
              "tamsin", "newest-first", books=["tamsin"], rows=[1, 21, 25])
    p.order(1, sequence(405, 10000))
    p.say("? log", tamsin.HEADER)
    for r in log(412, SHED):
        p.entry(r.text(), Ev(r))
    p.empty(*(tamsin.unused(s) for s in range(404, 399, -1)))
    p.say("? ")
    return p


def check_letters():
    """Slips that the check letters confirm, one they can't."""
    p = Paste("check-letters", "Slips, with check letters", ["guesses confirmed by the check field", "guesses"],
              "tamsin", "newest-first", rows=[23, 24])
    p.order(1, sequence(1200, 10000))
    p.say("wrote this down by ear and by eye, my sister read it out to me. shed console.", tamsin.HEADER)
    rows = log(1211, SHED + [(T.c, "2006-12-24 16:00:00"), (T.a, "2006-11-11 11:00:00"), (T.f, "2006-10-05 19:30:00"),
                             (T.b, "2006-10-01 08:08:08")])
    s = noise.swap

    def slip(r, at, old, new, field, show=True):
        """A legal slip that only one mend cures."""
        parts = list(r.parts())
        true = tuple(parts)
        parts[at] = s(parts[at], old, new)
        assert slips.tamsin_line(tuple(parts)) == [true], (parts, slips.tamsin_line(tuple(parts)))
        g = guess(field, parts[at], true[at], "check") if show else guess(field, by="check")
        p.entry(tamsin.line(*parts), Ev(r, guesses=[g]))

    r = rows[0]
    p.entry(r.text(), Ev(r))
    r = rows[1]
    p.entry(s(r.text(), T.a[0], T.a_slip), Ev(r, guesses=[guess("group", T.a_slip, T.a[0], "check")]))
    r = rows[2]
    p.entry(s(r.text(), "entry 1209", "entry I2O9"), Ev(r, guesses=[guess("seq", "I2O9", "1209", "check")]))
    slip(rows[3], 2, *T.number_slip, "number")
    slip(rows[4], 3, "12:34:56", "12:43:56", "time", False)
    r = rows[5]
    p.entry(s(r.text(), "on 19", "on l9"), Ev(r, guesses=[guess("time", by="check")]))
    r = rows[6]
    wrong = list(r.parts())
    wrong[4] = T.no_mend
    assert slips.tamsin_line(tuple(wrong)) == [], slips.tamsin_line(tuple(wrong))
    p.entry(tamsin.line(*wrong), Ev(r, fields=r.fields(check_ok=False)))
    for r in rows[7:]:
        p.entry(r.text(), Ev(r))
    return p


def serial_wrap():
    """9999 to 0000, listed backwards, with an unset clock in between."""
    p = Paste("tamsin-wrap", "Numbers go round, clock unset in between",
              ["newest-first", "wrapping sequence", "clock reset midway", "clock never set"],
              "tamsin", "newest-first", rows=[25, 26, 29, 30])
    p.order(1, sequence(9995, 10000))
    rows = log(3, [(T.a, "2009-04-12 14:00:00"), (T.a, "2009-04-12 13:58:40"), (T.b, "1996-01-01 00:03:20"),
                   (T.c, "1996-01-01 00:00:41"), (T.c, None), (T.d, "2009-01-30 08:15:00"),
                   (T.d, "2009-01-29 08:15:00"), (T.a, "2008-12-24 22:22:22"), (T.e, "2008-12-01 06:00:00")])
    p.say("It counts 9998, 9999 and then from nothing again, so which end is up? Also it thinks it is 1996 in the middle.")
    p.blank()
    p.say(tamsin.HEADER)
    for r in rows:
        p.entry(r.text(), Ev(r))
    p.blank()
    p.say("I pulled the cell for an hour, that may be it.")
    return p


def trimmed():
    """No header and lines cut out; codes in talk."""
    p = Paste("tamsin-trimmed", "Trimmed by the poster", ["newest-first", "a trimmed log", "codes in prose"],
              "tamsin", "newest-first", rows=[25, 34, 35])
    p.order(1, sequence(405, 10000))
    rows = log(412, SHED)
    p.say("Left out the ones about the lid switch, they are not interesting:")
    p.blank()
    for r in (rows[0], rows[1], rows[4], rows[5], rows[7]):
        p.entry(r.text(), Ev(r))
    p.say("...", "(entries 0400 and below: the same again)")
    p.blank()
    p.say(f"The page says «{T.a[0]} {T.a[1]:02d}» is about the 12 V, but the supply is new.")
    return p


def phone_and_tongues():
    """Phone quotes, long dashes, several languages, full-width and other scripts."""
    p = Paste("tamsin-phone", "A phone, three languages", ["smart quotes", "full-width", "NBSP", "comments in other languages",
              "look-alike letters of other scripts", "chat stamps"], "tamsin", "newest-first", rows=[3, 6, 7, 9, 10, 36])
    p.order(1, sequence(405, 10000))
    rows = log(412, SHED)
    pre = "[21.10.2021 19:0{}] lunchbox: ".format
    p.say(pre(0) + "Cześć, konsola z szopy znowu nie startuje", pre(0) + "\u201c" + tamsin.HEADER + "\u201d")
    p.entry(pre(1) + "\u201c" + rows[0].text() + "\u201d", Ev(rows[0]))
    p.entry(pre(1) + noise.full_width(rows[1].text()), Ev(rows[1]))
    p.entry(pre(2) + rows[2].text().replace(" ", noise.NBSP), Ev(rows[2]))
    p.say(pre(2) + "tu zgasła lampka, 4,5 V na baterii")
    p.entry(pre(3) + "\u2014 " + noise.twins(rows[3].text()) + " \u2014", Ev(rows[3]))
    p.entry(pre(4) + rows[4].text().replace(", ", " \u2013 "), Ev(rows[4]))
    p.say(pre(4) + "それは電池ではないですか？")
    p.entry(pre(5) + noise.sprinkle(rows[5].text(), noise.ZWJ, 7), Ev(rows[5]))
    p.entry(pre(6) + "\u00ab" + rows[6].text().upper() + "\u00bb", Ev(rows[6]))
    p.say(pre(7) + "¿y la pila? 3,02 V")
    return p


def table_and_run_on():
    """HTML cells, two entries on a line, Markdown bullets."""
    p = Paste("tamsin-cells", "Cells, bullets and two on a line", ["HTML", "table cells", "Markdown", "run-on lines", "list numbers"],
              "tamsin", "newest-first", rows=[11, 37])
    p.order(1, sequence(405, 10000))
    rows = log(412, SHED)
    p.say("## shed console, second try")
    p.blank()
    p.say("**" + tamsin.HEADER + "**")
    p.entry("1. " + rows[0].text(), Ev(rows[0]))
    p.entry("2. *" + rows[1].text() + "*", Ev(rows[1]))
    p.say("<table><tbody>")
    a, b, c, d, e = rows[2].parts()
    p.entry(f"<tr><td>entry {a}:</td><td>group {b} number {c},</td><td>on {d},</td><td>check {e}</td></tr>", Ev(rows[2]))
    a, b, c, d, e = rows[3].parts()
    p.entry(f"<tr><td>entry {a}:</td><td>group {b} number {c},</td><td>on {d},</td><td>check {e}</td></tr>", Ev(rows[3]))
    p.say("</tbody></table>")
    p.entry(rows[4].text() + " " + rows[5].text(), Ev(rows[4]), Ev(rows[5]))
    p.entry("- " + rows[6].text() + ". " + rows[7].text(), Ev(rows[6]), Ev(rows[7]))
    return p


def oldest_on_top():
    """Somebody turned the list round and cut the last line."""
    p = Paste("tamsin-turned", "Turned round and cut off", ["quotes at any depth", "truncated lines", "the same entry again"],
              "tamsin", "oldest-first", last_eol=False, rows=[2, 25, 32])
    p.order(1, sequence(405, 10000))
    rows = log(412, SHED)[::-1]
    p.say("sorted so that one can read it from top to bottom")
    for r in rows[:4]:
        p.entry("> " + r.text(), Ev(r))
    p.dup("> > " + rows[1].text())
    p.say("> > that was the evening with the storm")
    for r in rows[4:7]:
        p.entry(r.text(), Ev(r))
    last = rows[7]
    f = last.fields()
    del f["clock"], f["check_ok"]
    for k in ("time_utc", "time_local", "time_rel_s"):
        f[k] = None
    text = last.text()
    p.entry(text[:text.index(", on ") + 5], Ev(last, complete=False, fields=f))
    return p


CASES = [newest_first, check_letters, serial_wrap, trimmed, phone_and_tongues, table_and_run_on, oldest_on_top]
