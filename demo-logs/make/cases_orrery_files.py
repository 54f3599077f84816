"""Orrery pastes: page sources, mail, lists, and what files do to bytes."""

import noise
import orrery
from codes import O
from paste import Ev, Paste, ring

R = orrery.Rec
LS, PS = "\u2028", "\u2029"


def partial(rec, *there):
    """Fields of an entry of which only some are there; the clock is left open."""
    f = rec.fields()
    del f["clock"]
    return {k: (v if k in there else None) for k, v in f.items()}


def html_source():
    """Copied from a page's source."""
    p = Paste("html-source", "Copied from a page's source", ["HTML", "run-on lines", "NBSP"],
              "orrery", "oldest-first", rows=[7, 11, 38, 39])
    p.order(1, ring(8))
    log = [R(0, "0A", O.core, "2014-04-01 09:10:11"), R(1, "0A", O.core, "2014-04-01 09:12:13"),
           R(2, "0A", O.gfx, "2014-04-04 20:00:00", 2), R(3, "0A", O.gfx, "2014-04-05 20:00:00"),
           R(4, "0B", O.mem, "2014-05-09 06:07:08"), R(5, "12", O.hot, "2014-07-19 16:30:00", 0x3C),
           R(6, "12", O.hot, "2014-07-19 17:30:00"), R(7, "0A", O.core, "2014-08-01 00:00:01")]
    h = noise.html
    p.say('<div class="post" id="p88412" style="border:1px solid #C0FFEE">',
          "<p>Dump of the attic find &amp; some colours, because why not:</p>", '<pre class="log">')
    p.say("<b>" + orrery.header(8) + "</b><br>")
    p.entry(h(log[0].text()) + "<br>" + h(log[1].text()) + "<br/>", Ev(log[0]), Ev(log[1]))
    p.entry('<span style="color:#F0AD4E">' + h(log[2].text()) + "</span><br>", Ev(log[2]))
    p.entry("<b>slot</b>&nbsp;03&#32;&#32;step 0A&emsp;" + f"code <i>{log[3].code}</i>&nbsp;&nbsp;"
            + f"clock&#x20;{log[3].time:08X} seen 01<br>", Ev(log[3]))
    p.entry(h(log[4].text()) + "<br>", Ev(log[4]))
    p.say("<script>document.title = 'hello'</script>")
    p.entry("<li>" + h(log[5].text()) + "</li><li>" + h(log[6].text()) + "</li>", Ev(log[5]), Ev(log[6]))
    p.entry("<td>slot 07</td><td>step 0A</td><td>" + f"code {log[7].code}</td><td>clock {log[7].time:08X}"
            + "</td><td>seen 01</td>", Ev(log[7]))
    p.empty(h(orrery.unused(8)) + "<br>")
    p.say("</pre>", "<p>=HYPERLINK(&quot;do not click&quot;) {{ user.name }}</p>", "</div>")
    return p


def run_on():
    """A chat that ate the line breaks."""
    p = Paste("run-on", "The chat ate the line breaks", ["run-on lines", "chat stamps", "empty slots"],
              "orrery", "oldest-first")
    p.order(1, ring(10))
    log = [R(i, "0A" if i % 3 else "0A", O.core if i % 3 else O.gfx, f"2013-10-{i + 1:02d} 19:0{i}:00", i + 1)
           for i in range(10)]
    p.say("21:44 <tin roof> paste it as one block?", "21:45 <moth box> it always becomes one line, like this")
    p.say("21:45 <moth box> " + orrery.header(10))
    t = [r.text(" ") for r in log]
    p.entry("21:46 <moth box> " + " ".join(t[0:3]), *(Ev(r) for r in log[0:3]))
    p.entry("21:46 <moth box> " + "  ".join(t[3:5]), *(Ev(r) for r in log[3:5]))
    p.entry("21:46 <moth box> " + " / ".join(t[5:8]), *(Ev(r) for r in log[5:8]))
    p.entry("21:47 <moth box> " + "; ".join(t[8:10]), *(Ev(r) for r in log[8:10]))
    p.empty("21:47 <moth box> " + "  ".join(orrery.unused(s, " ") for s in range(10, 14)))
    p.say("21:47 <moth box> end of log", "21:48 <tin roof> readable enough")
    return p


def cut_off():
    """The post was too long; the last line lost its tail."""
    p = Paste("cut-off", "Cut off by the length of a post", ["truncated lines", "CRLF"],
              "orrery", "oldest-first", eol="\r\n", last_eol=False, rows=[32, 40])
    p.order(1, ring(12))
    p.say("message 1 of 2, it would not let me post more", orrery.header(12))
    log = [R(i, "0A", O.core if i != 3 else O.gfx, f"2016-0{i + 1}-11 08:0{i}:30", 1 + i * 7) for i in range(9)]
    for r in log[:8]:
        p.entry(r.text(), Ev(r))
    r = log[8]
    text = r.text()
    p.entry(text[:text.index("clock") + 3], Ev(r, complete=False, fields=partial(r, "slot", "step", "code")))
    return p


def cut_in_code():
    """Cut in the middle of a code: not an entry."""
    p = Paste("cut-in-code", "Cut off in the middle of a code", ["truncated lines"],
              "orrery", "oldest-first", last_eol=False, rows=[32])
    p.order(1, ring(9))
    p.say("here you go (phone, sorry)", orrery.header(9))
    log = [R(i, "0B", O.mem, f"2017-03-0{i + 1} 22:15:0{i}", 2) for i in range(9)]
    for r in log[:8]:
        p.entry(r.text(), Ev(r))
    text = log[8].text()
    p.bad(text[:text.index("code") + 7])
    return p


def utf16():
    """Saved by a text editor as 16-bit characters."""
    p = Paste("utf-16", "Saved with 16-bit characters", ["BOM", "UTF-16", "CRLF"],
              "orrery", "oldest-first", eol="\r\n", encoding="utf-16-le", bom=True, rows=[40])
    p.order(1, ring(5))
    p.say("Protokoll vom Dachbodenfund, gespeichert mit dem Editor, Größe 1 kB", orrery.header(5))
    for i in range(5):
        r = R(i, "0F", O.vid, f"2012-12-2{i} 17:4{i}:00", 1 if i else 4)
        p.entry(r.text(), Ev(r))
    p.empty(*(orrery.unused(s) for s in range(5, 12)))
    p.say(orrery.FOOTER)
    return p


def broken_bytes():
    """An old code page: bytes that are no UTF-8, in talk and inside a line's white space."""
    p = Paste("invalid-utf-8", "An old code page", ["invalid UTF-8", "comments in other languages"],
              "orrery", "oldest-first", rows=[7, 36])
    p.order(1, ring(6))
    nb = "\udca0"
    p.say("Salut, voici le journal de la console trouv\udce9e au grenier, \udce0 22,5 \udcb0C dans la pi\udce8ce :")
    p.blank()
    p.say(orrery.header(6))
    for i in range(6):
        r = R(i, "0A", O.gfx, f"2018-0{i + 2}-14 20:30:0{i}", 1)
        text = r.text()
        if i == 2:
            text += "   \udcab toujours pareil \udcbb"
        if i == 4:
            text = text + nb + nb
        p.entry(text, Ev(r))
    p.say("end of log", "Merci d'avance, \udc93bonne soir\udce9e\udc94")
    return p


def line_ends():
    """Every kind of line end in one file."""
    p = Paste("line-ends", "Every kind of line end", ["CRLF", "line ends of all kinds"],
              "orrery", "oldest-first", rows=[40])
    p.order(1, ring(8))
    p.say("glued together from four machines", eol="\r\n")
    p.blank(eol="\r\n")
    p.say(orrery.header(8), eol="\r")
    ends = ["\r", "\r", "\n", "\r\n", LS, LS, PS, "\n"]
    for i, eol in enumerate(ends):
        r = R(i, "0A", O.core, f"2011-11-{i + 10} 11:11:11", i + 1)
        p.entry(r.text() + ("   " if i == 3 else ""), Ev(r), eol=eol)
    p.blank(" \t ", eol=PS)
    p.empty(orrery.unused(8), eol="\r")
    p.empty(orrery.unused(9), eol="\r\n")
    p.say("end of log", eol="\n")
    return p


def mail_reply():
    """A mail program quotes and wraps."""
    p = Paste("mail-reply", "A mail program quotes and wraps", ["quotes at any depth", "wrapped lines", "the same entry again"],
              "orrery", "oldest-first", rows=[2, 5])
    p.order(1, ring(5))
    log = [R(0, "02", O.psu, "2019-08-08 08:08:08"), R(1, "02", O.psu, "2019-08-08 08:10:08"),
           R(2, "0A", O.core, "2019-09-01 13:00:00", 3), R(3, "02", O.psu, "2019-09-02 14:00:00"),
           R(4, "02", O.psu, "2019-09-03 15:00:00", 0x0A)]
    p.say("Hello, answers below.")
    p.blank()
    p.say("> On Tuesday tin roof wrote:", "> > This is all it gave me:", "> > " + orrery.header(5))
    for r in log:
        text = r.text()
        cut = text.index("clock")
        p.entry("> > " + text[:cut].rstrip(), Ev(r))
        p.cont("> > " + text[cut:])
    p.say("> > end of log", "> And it only happens on cold mornings.")
    p.blank()
    p.say("Four of five say the same thing, so start with the supply:")
    p.blank()
    p.dup(log[4].text())
    p.blank()
    p.say("Ten times. Measure the standby rail cold, then warm.")
    return p


def foreign_list():
    """A numbered list with comments in several languages."""
    p = Paste("translated-list", "A numbered list in three languages",
              ["comments in other languages", "list numbers", "codes in prose"], "orrery", "oldest-first", rows=[35, 36, 37])
    p.order(1, ring(7))
    log = [R(0, "0A", O.core, "2020-10-10 10:10:10"), R(1, "0A", O.core, "2020-10-11 10:10:10"),
           R(2, "12", O.fan, "2020-10-12 10:10:10", 2), R(3, "0A", O.gfx, "2020-11-01 01:01:01"),
           R(4, "0A", O.core, "2020-11-02 02:02:02"), R(5, "12", O.hot, "2020-11-03 03:03:03"),
           R(6, "0A", O.core, "2020-11-05 05:05:05", 0x11)]
    p.say("Konsole vom Dachboden, Netzteil getauscht, 3,3 V gemessen: 3,28 V. " + f"Was heißt «{O.core}»?")
    p.say(orrery.header(7))
    p.entry("1. " + log[0].text(), Ev(log[0]))
    p.entry("2. " + log[1].text() + "  (noch einmal)", Ev(log[1]))
    p.say("   Lüfter war hier ab")
    p.entry("3) " + log[2].text(), Ev(log[2]))
    p.say("   aquí se paró con la pantalla en negro, 41,5 grados")
    p.entry("- " + log[3].text(), Ev(log[3]))
    p.entry("* " + log[4].text(), Ev(log[4]))
    p.say("   ここで電源が切れました")
    p.entry("• " + log[5].text(), Ev(log[5]))
    p.entry("   7: " + log[6].text(), Ev(log[6]))
    p.say("Danke, gracias, ありがとう")
    return p


CASES = [html_source, run_on, cut_off, cut_in_code, utf16, broken_bytes, line_ends, mail_reply, foreign_list]
