"""Orrery pastes: terminals, forums and chats."""

import noise
import orrery
from codes import O
from paste import Ev, Paste, guess, ring

R = orrery.Rec
ATTIC = [
    R(0, "00", O.sby, "2019-03-02 17:20:11"),
    R(1, "0A", O.core, "2019-03-02 17:20:19", 3),
    R(2, "0A", O.core, "2019-03-09 19:02:44", 0x1F),
    R(3, "0A", O.gfx, "2019-04-21 08:15:00"),
    R(4, "0A", O.core, "2019-05-01 20:40:37"),
    R(5, "0A", O.core, "2019-05-01 20:40:37"),
    R(6, "12", O.fan, "2019-05-03 06:55:02", 0xFF),
    R(7, "0A", O.core, None),
    R(8, "0A", O.core, "2019-05-20 21:12:58", 2),
]


def clean_terminal():
    """The base case."""
    p = Paste("clean-terminal", "Straight out of a terminal", ["prompts", "empty slots"],
              "orrery", "oldest-first", books=["orrery"], rows=[1, 21, 22])
    p.order(1, ring(9))
    p.say("port> show log", orrery.header(9))
    for r in ATTIC:
        p.entry(r.text(), Ev(r))
    for s in range(9, 24):
        p.empty(orrery.unused(s))
    p.say(orrery.FOOTER, "port> ")
    return p


def forum_bbcode():
    """A forum post: tags, quotes, talk about codes."""
    p = Paste("forum-bbcode", "A forum post with tags and quotes",
              ["BBCode", "quotes at any depth", "the same entry again", "codes in prose"],
              "orrery", "oldest-first", rows=[2, 11, 12, 35, 38])
    p.order(1, ring(6))
    log = ATTIC[:6]
    p.say('[quote="kettle lid"]', "Post the whole log of the attic find, not just one line.", "[/quote]")
    p.blank()
    p.say("Here it is. Board LW-41, supply swapped, lamp goes red after two seconds.")
    p.say("[code]", orrery.header(6))
    p.entry(log[0].text(), Ev(log[0]))
    p.entry(log[1].text(), Ev(log[1]))
    p.entry(noise.color(log[2].text(), "#F0AD4E"), Ev(log[2]))
    p.entry("[b]" + log[3].text() + "[/b]   <- this one is new", Ev(log[3]))
    p.entry("[i]" + log[4].text() + "[/i]", Ev(log[4]))
    p.entry(log[5].text() + "[/code]", Ev(log[5]))
    p.blank()
    p.say("[quote][quote]")
    p.dup("> > " + log[3].text())
    p.say("[/quote]")
    p.say(f"Is «{O.gfx}» the graphics chip then?", "[/quote]")
    p.say(f"No. It says where the board stopped, not what broke. I would look at «{O.core}» first.")
    p.dup("> " + log[4].text())
    p.say("That one came twice in the same start.")
    return p


def chat_unicode():
    """Everything a phone and a chat do to characters."""
    p = Paste("chat-unicode", "A chat full of odd characters",
              ["chat stamps", "smart quotes", "NBSP", "zero-width", "full-width",
               "look-alike letters of other scripts"],
              "orrery", "oldest-first", rows=[3, 6, 7, 8, 9, 10, 13])
    p.order(1, ring(10))
    log = ATTIC + [R(9, "0A", O.core, "2019-05-21 07:00:00")]
    s = noise.swap
    p.say("[14/03, 21:04] moth box: ok typing it off the screen, wait")
    p.say("[14/03, 21:05] moth box: \u201c" + orrery.header(10) + "\u201d")
    p.entry("[14/03, 21:05] moth box: " + log[0].text(" " + noise.NBSP, noise.NBSP), Ev(log[0]))
    p.entry("[14/03, 21:05] moth box: " + noise.sprinkle(log[1].text(), noise.ZWSP), Ev(log[1]))
    p.entry("[14/03, 21:06] moth box: " + noise.full_width(log[2].text(" ")), Ev(log[2]))
    p.entry("[14/03, 21:06] moth box: \u201c" + log[3].text() + "\u201d", Ev(log[3]))
    p.entry("[14/03, 21:07] moth box: " + log[4].text(value=noise.twins), Ev(log[4]))
    p.entry("[14/03, 21:07] moth box: " + log[5].text(noise.IDEOGRAPHIC), Ev(log[5]))
    p.entry("[14/03, 21:08] moth box: " + noise.RLM + noise.LRM + s(log[6].text(), "code", "co" + noise.SHY + "de"),
            Ev(log[6]))
    p.entry("[14/03, 21:08] moth box: " + log[7].text(" \u2014 ", "\t"), Ev(log[7]))
    p.entry("[14/03, 21:09] moth box: " + s(log[8].text(" ", ":"), "step:0A", "step\U0001F62EA"),
            Ev(log[8], guesses=[guess("step", to="0A")]))
    p.say("[14/03, 21:09] moth box: the phone made a face of it \U0001F605")
    p.entry("[14/03, 21:10] moth box: " + noise.WJ + noise.twins(log[9].text("  "), noise.GREEK), Ev(log[9]))
    p.say("[14/03, 21:11] tin roof: thanks, looking")
    return p


def typed_from_photo():
    """Slips without a check field: guesses, legal text left alone, one that can't be told."""
    p = Paste("typed-from-photo", "Typed off a photo, with slips", ["guesses without a check field"],
              "orrery", "oldest-first", rows=[15, 23, 24])
    p.order(1, ring(13))
    s = noise.swap
    p.say("typed this off the photo of the screen, sorry for typos, the swap-meet one:")
    p.blank()
    p.say(orrery.header(13))
    a = R(0, "0A", O.core, "2018-11-02 10:00:21")
    p.entry(s(a.text(), "step 0A", "step OA"), Ev(a, guesses=[guess("step", "OA", "0A")]))
    a = R(1, "0A", O.core, "2018-11-02 10:02:30")
    p.entry(s(a.text(), "slot 01", "slot 0l"), Ev(a, guesses=[guess("slot", "0l", "01")]))
    a = R(2, "12", O.fan, "2018-11-04 18:31:00")
    p.entry(s(a.text(), "step 12", "step I2"), Ev(a, guesses=[guess("step", "I2", "12")]))
    a = R(3, "02", O.psu, "2018-11-04 18:33:09")
    p.entry(s(a.text(), "step 02", "step 0Z"), Ev(a, guesses=[guess("step", "0Z", "02")]))
    a = R(4, "0A", O.core, "2018-11-05 07:12:12", 0x15)
    p.entry(s(a.text(), "seen 15", "seen 1S"), Ev(a, guesses=[guess("count", "1S", "15")]))
    a = R(5, "08", O.b8_wrong, "2018-11-05 07:14:00")
    p.entry(a.text(), Ev(a))
    b = R(6, "09", O.g_open.replace("G", "6"), "2018-11-05 07:15:00")
    p.bad(s(b.text(), b.code, O.g_open), [O.g_open.replace("G", c) for c in "6C"])
    c = R(7, "0B", O.g_table, "2018-11-06 22:47:33")
    wrong = O.g_table_slip
    p.entry(s(c.text(), O.g_table, wrong), Ev(c, guesses=[guess("code", wrong, O.g_table)]))
    a = R(8, "0A", O.core, "2018-11-07 06:30:00", 2)
    p.entry(s(a.text(), "seen 02", "seen 2"), Ev(a, guesses=[guess("count", "2", "02")]))
    a = R(9, "0A", O.core, "2018-11-08 06:30:45")
    p.entry(s(a.text(), "code", "c0de"), Ev(a, guesses=[guess("")]))
    a = R(10, "0A", O.core, "2018-11-09 19:03:10")
    p.entry(s(a.text(), "slot 10", "slot |O"), Ev(a, guesses=[guess("slot", "|O", "10")]))
    a = R(11, "12", O.fan, "2018-11-10 19:03:11", 0x2B)
    p.entry(a.text().lower(), Ev(a))
    a = R(12, "09", O.tail0, "2018-11-12 12:00:00")
    slip = O.tail0[:-1] + "O"
    p.entry(s(a.text(), O.tail0, slip), Ev(a, guesses=[guess("code", slip, O.tail0)]))
    return p


def bare_hex():
    """A helper script's output: 0x everywhere, leading zeros nowhere."""
    p = Paste("zeros-dropped", "A script that drops leading zeros",
              ["missing leading zeros", "0x prefixes", "clock never set"],
              "orrery", "oldest-first", rows=[14, 15, 16, 29])
    p.order(1, ring(9))
    log = [R(0, "0A", O.core, 0x3A2), R(1, "0A", O.core, 0x1F4), R(2, "00", O.sby, 0x9),
           R(3, "0A", O.core, 0x40, 2), R(4, "12", O.fan, 0x12E40), R(5, "00", O.lead0, 0x7),
           R(6, "02", O.psu, 0xC, 0x10), R(7, "00", O.lead0, 0xB2), R(8, "0A", O.gfx, 0x5)]
    p.say("python script i use prints it like this, no idea about the dates, clock cell was missing")
    p.blank()
    for r in log:
        words = [f"slot {r.slot}", f"step 0x{int(r.step, 16):x}", f"code 0x{int(r.code, 16):x}",
                 f"clock 0x{r.time:x}", f"seen 0x{r.seen:x}"]
        if r.slot == 0:
            p.say("fault log: 24 slots, next slot 9")
        p.entry(" ".join(words), Ev(r))
    p.say("end of log")
    return p


def hard_wrapped():
    """A narrow terminal with a pager."""
    p = Paste("hard-wrapped", "A narrow terminal breaks every line",
              ["wrapped lines", "prompts", "empty slots"], "orrery", "oldest-first", rows=[1, 5])
    p.order(1, ring(9))
    p.say("port> show log", orrery.header(9))
    for i, r in enumerate(ATTIC):
        first, rest = noise.wrap(r.text(), 40)
        p.entry(first, Ev(r))
        if i == 3:
            p.say("--More--")
        if i == 6:
            p.blank()
        p.cont(rest)
    p.empty(*(orrery.unused(s) for s in (9, 10, 11)))
    p.say("--More--")
    p.empty(*(orrery.unused(s) for s in range(12, 24)))
    p.say("end of log", "port> exit")
    return p


def notations():
    """Three people's ways to mark hex, mixed case, commas."""
    p = Paste("hex-marks", "Dollars, aitches and mixed case", ["0x prefixes", "mixed case"],
              "orrery", "oldest-first", rows=[14, 16, 40])
    p.order(1, ring(8))
    p.say("pulled twice by different tools, I glued the halves together")
    p.say(orrery.header(8))
    for r in ATTIC[:3]:
        v = dict(r.words())
        p.entry(f"Slot {v['slot']}, Step ${v['step']}, Code ${v['code']}, Clock ${v['clock']}, Seen ${v['seen']}  ", Ev(r))
    for r in ATTIC[3:6]:
        v = dict(r.words())
        p.entry(f"SLOT {v['slot']}; STEP {v['step']}h; CODE {v['code'].lower()}h; CLOCK {v['clock']}h; SEEN {v['seen']}h\t", Ev(r))
    for r in ATTIC[6:8]:
        p.entry(noise.mixed_case(r.text(", ", "=")), Ev(r))
    p.say("END OF LOG")
    p.blank("   ")
    return p


CASES = [clean_terminal, forum_bbcode, chat_unicode, typed_from_photo, bare_hex, hard_wrapped, notations]
