"""Orrery pastes: clocks, order, several consoles and several pulls."""

import orrery
from codes import O
from paste import Ev, Paste, ring

R = orrery.Rec


def clock_never_set():
    """A full ring; only the head tells the order."""
    p = Paste("clock-never-set", "A full ring whose clock was never set",
              ["ring order", "clock never set"], "orrery", rows=[22, 25, 29])
    head = 7
    p.order(1, ring(head))
    p.say("blue stripe, clock cell flat since forever. log is full. no dates anywhere so which is the newest?")
    p.say(orrery.header(head))
    codes = [("0A", O.core), ("0A", O.gfx), ("0B", O.mem), ("12", O.fan)]
    for slot in range(24):
        age = (slot - head) % 24
        step, code = codes[age % 4]
        when = 0x40 + (age * 977) % 5000
        seen = 1
        if slot == 3:
            code, seen = "FFFE", 0xFF
        if slot == 15:
            when = None
        r = R(slot, step, code, when, seen)
        p.entry(r.text(), Ev(r))
    p.say(orrery.FOOTER)
    return p


def clock_reset():
    """Dates, then tiny numbers, then dates again."""
    p = Paste("clock-reset-midway", "The clock was lost midway", ["clock reset midway", "codes in prose"],
              "orrery", "oldest-first", rows=[30, 31, 34, 35])
    p.order(1, ring(11))
    p.say("So my tool sorted this by date and says the last fault was in 2021. But it died last week??",
          "Unsorted, as it came out:", orrery.header(11))
    log = [R(0, "0A", O.gfx, "2021-01-10 12:01:02"), R(1, "0A", O.gfx, "2021-02-28 23:59:59", 4),
           R(2, "0A", O.core, "2021-03-01 00:00:00"), R(3, "00", O.sby, "2021-08-15 16:20:30"),
           R(4, "01", O.clk, 0x3), R(5, "0A", O.core, 0x5D), R(6, "0A", O.core, 0x11A0, 6),
           R(7, "0A", O.core, 0x2), R(8, "12", O.fan, "2020-06-05 18:00:00"),
           R(9, "0A", O.core, "2020-06-07 09:30:00"), R(10, "0A", O.core, "2044-06-07 09:31:00", 2)]
    for r in log:
        p.entry(r.text(), Ev(r))
    p.say("(slots 11 to 23 empty)", "end of log")
    p.blank()
    p.say("The cell was flat, I put a new one in between, and somebody set the year wrong. Twice.",
          f"«{O.clk}» must be the moment the cell gave up.")
    return p


def markdown_table():
    """A helper program's table, newest first, of a ring that went round."""
    p = Paste("markdown-table", "A tidy table, newest first", ["table cells", "Markdown", "newest-first", "ring order"],
              "orrery", "newest-first", rows=[11, 25, 34])
    head = 3
    p.order(1, ring(head))
    p.say("### Log of the swap-meet one")
    p.blank()
    p.say(f"`{orrery.header(head)}`")
    p.blank()
    p.say("| where | when it stopped | what | clock | how often |", "|---|:---:|---|---|--:|")
    log = [R(2, "0A", O.core, "2017-10-09 08:00:00"), R(1, "0A", O.core, "2017-10-08 21:14:09"),
           R(0, "0A", O.core, "2017-10-08 21:10:00", 2), R(23, "0A", O.gfx, "2017-09-30 11:45:50"),
           R(22, "12", O.fan, "2017-09-12 15:05:05", 0x0B), R(21, "12", O.hot, "2017-08-27 14:00:01"),
           R(20, "0A", O.core, "2017-07-01 05:30:00"), R(19, "02", O.psu, None)]
    for r in log:
        v = dict(r.words())
        p.entry(f"| slot {v['slot']} | step {v['step']} | code `{v['code']}` | clock `{v['clock']}` | seen {v['seen']} |",
                Ev(r))
    p.blank()
    p.say("*older ones left out, they are all the same \\_to me\\_*")
    p.say("- [ ] measure the core rail", "- [x] swap the supply")
    return p


def two_consoles():
    """One poster, two units, and one line that both have."""
    p = Paste("two-consoles", "Two consoles in one post", ["two consoles in one post"],
              "orrery", "oldest-first", rows=[28])
    p.order(1, ring(5))
    p.order(2, ring(4))
    same = ("0A", O.core, None)
    one = [R(0, "00", O.sby, "2016-01-05 10:00:00"), R(1, "0A", O.gfx, "2016-02-06 11:30:15"), R(2, *same),
           R(3, "0A", O.gfx, "2016-02-09 20:21:22", 7), R(4, "0A", O.gfx, "2016-02-10 20:21:22")]
    two = [R(0, "0A", O.core, 0x51), R(1, "0A", O.core, 0x77), R(2, *same), R(3, "0B", O.mem, 0x1003)]
    p.say("Two of them on the bench. Are these the same fault?")
    p.blank()
    p.say("Console 1, attic find, LW-41:", orrery.header(5))
    for r in one:
        p.entry(r.text(), Ev(r, 1))
    p.empty(*(orrery.unused(s) for s in range(5, 8)))
    p.say("(and so on, rest empty)", "end of log")
    p.blank()
    p.say("Console 2, blue stripe, LW-47:", orrery.header(4))
    for r in two:
        p.entry(r.text(), Ev(r, 2))
    p.empty(*(orrery.unused(s) for s in range(4, 8)))
    p.say("(rest empty too)", "end of log")
    return p


def second_pull():
    """The same ring pulled again a week later."""
    p = Paste("second-pull", "Pulled again after a week", ["the same dump twice or overlapping"],
              "orrery", "oldest-first", rows=[27])
    p.order(1, ring(9))
    log = [R(0, "00", O.sby, "2020-02-02 09:00:00"), R(1, "0A", O.core, "2020-02-02 09:04:10"),
           R(2, "0A", O.core, "2020-02-02 09:09:40", 2), R(3, "0B", O.mem, "2020-02-05 18:18:18"),
           R(4, "0B", O.mem, "2020-02-05 18:20:00"), R(5, "0B", O.mem, "2020-02-05 18:22:22"),
           R(6, "0F", O.vid, "2020-02-11 07:45:00"), R(7, "0F", O.vid, "2020-02-11 07:47:30", 3),
           R(8, "0F", O.vid, "2020-02-12 19:00:00")]
    p.say("Log when it came in (kettle-top console):", orrery.header(6))
    for r in log[:6]:
        p.entry(r.text(), Ev(r))
    p.say("end of log")
    p.blank()
    p.say("Same console a week later, after I cleaned the flux off. What is new?", orrery.header(9))
    for r in log[:6]:
        p.dup(r.text())
    for r in log[6:]:
        p.entry(r.text(), Ev(r))
    p.say("end of log")
    p.blank()
    p.say("It gets further than before, that is progress, right?")
    return p


def same_dump_twice():
    """Pasted twice by mistake, the second time inside a quote."""
    p = Paste("same-dump-twice", "Pasted twice by mistake", ["the same dump twice or overlapping", "quotes at any depth"],
              "orrery", "oldest-first", rows=[2, 27])
    p.order(1, ring(4))
    log = [R(0, "0A", O.gfx, "2015-05-05 05:05:05"), R(1, "0A", O.gfx, "2015-05-05 05:06:05"),
           R(2, "0A", O.gfx, "2015-06-01 22:00:00", 9), R(3, "0A", O.core, "2015-06-02 22:00:00")]
    p.say(orrery.header(4))
    for r in log:
        p.entry(r.text(), Ev(r))
    p.say("end of log")
    p.blank()
    p.say("> moth box wrote:")
    p.say("> " + orrery.header(4))
    for r in log:
        p.dup("> " + r.text())
    p.say("> end of log")
    p.say("> > tin roof wrote:")
    p.dup("> > > " + log[2].text())
    p.say("> > nine times in one evening, ouch", "Yes, that was the warm evening.")
    return p


def logger_stamps():
    """A laptop's logger writes its own clock in front, once in the middle of a record."""
    p = Paste("logger-stamps", "A logger adds its own clock", ["logger stamps", "wrapped lines"],
              "orrery", "oldest-first", rows=[3, 4])
    p.order(1, ring(6))
    log = [R(0, "00", O.sby, "2022-09-01 07:00:00"), R(1, "0A", O.core, "2022-09-01 07:00:09"),
           R(2, "0A", O.core, "2022-09-03 18:40:00"), R(3, "0A", O.core, "2022-09-03 18:41:00", 2),
           R(4, "0B", O.mem, "2022-09-20 12:12:12"), R(5, "0A", O.core, "2022-10-01 08:30:00")]
    p.say("[10:02:08.101] == capture started ==", "[10:02:08.133] " + orrery.header(6))
    stamps = ["10:02:08.148", "10:02:08.160", "10:02:08.171", "10:02:08.190", "10:02:08.202", "10:02:08.214"]
    for stamp, r in zip(stamps, log):
        text = r.text()
        if r.slot == 2:
            cut = text.index("code") + 2
            p.entry(f"[{stamp}] {text[:cut]}", Ev(r))
            p.cont(f"[10:02:08.179] {text[cut:]}")
        elif r.slot == 4:
            cut = text.index("clock")
            p.entry(f"[{stamp}] {text[:cut].rstrip()}", Ev(r))
            p.cont(f"[10:02:08.207] {text[cut:]}")
        else:
            p.entry(f"[{stamp}] {text}", Ev(r))
    p.empty(f"[10:02:08.220] {orrery.unused(6)}", f"[10:02:08.229] {orrery.unused(7)}")
    p.say("[10:02:08.231] -- cable came off --")
    return p


def no_head():
    """No header, no times, slots apart: the order can't be known."""
    p = Paste("order-unknown", "Three lines and no way to tell the order", ["ring order", "a trimmed log"],
              "orrery", "unknown", rows=[22, 25])
    log = [R(20, "0A", O.core, None), R(2, "0A", O.gfx, None, 5), R(11, "0A", O.core, None, 0x10)]
    p.say("Only wrote these down, the rest of the paper got wet. Which one came last?")
    p.blank()
    for r in log:
        p.entry(r.text(), Ev(r))
    p.blank()
    p.say("No clock on this one, it always says FFFFFFFF. Pulling the log again is not easy,",
          "the wires came off and I have to borrow the iron again.", "The board is an early one, supply and fan are fine.",
          "Any idea from the slots alone?")
    return p


CASES = [clock_never_set, clock_reset, markdown_table, two_consoles, second_pull, same_dump_twice,
         logger_stamps, no_head]
