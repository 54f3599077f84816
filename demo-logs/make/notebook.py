#!/usr/bin/env python3
"""Writes the records of the demonstration notebook, which is all invented.

    python3 demo-logs/make/notebook.py | cargo run -q -p notebook --example demo > public/demo-notebook.json

The second program reads the pastes as the app does and adds what the app would
keep of them. A test fails when the file differs from what it would write.
Standard library only, and a fixed seed.
"""

import json
import random
import sys
from datetime import datetime, timedelta, timezone

sys.dont_write_bytecode = True

import halyard
import orrery
import tamsin

RANDOM = random.Random(20261125)
INVENTED = "Invented: this console belongs to the demonstration."
BY = "demo.1"


def ms(day, minute):
    """Milliseconds since 1970 of a time in the evening of that day."""
    t = datetime.strptime(day, "%Y-%m-%d").replace(tzinfo=timezone.utc, hour=18)
    return int((t + timedelta(minutes=minute)).timestamp() * 1000)


class Notebook:
    """Records, with ids that begin with `demo-`."""

    def __init__(self):
        self.records, self.minute = [], 0

    def add(self, kind, written, **data):
        """A new record, written on that day. Gives its id."""
        self.minute = (self.minute + 7) % 180
        at = ms(written, self.minute)
        record = {"id": f"demo-{kind}-{len(self.records) + 1:02d}", "kind": kind, "created": at,
                  "versions": [{"rev": 1, "by": BY, "at": at, "data": data}]}
        self.records.append(record)
        return record["id"]

    def edit(self, id, written, **data):
        """A later version of a record, with these fields changed."""
        versions = next(r for r in self.records if r["id"] == id)["versions"]
        last = versions[-1]
        self.minute = (self.minute + 7) % 180
        versions.append({"rev": last["rev"] + 1, "by": BY, "at": ms(written, self.minute),
                         "seen": [[last["rev"], BY, 0]], "data": {**last["data"], **data}})


def times(first, last, n):
    """That many times of day between two days, in order."""
    a, b = (datetime.strptime(d, "%Y-%m-%d") for d in (first, last))
    seconds = sorted(RANDOM.sample(range(int((b - a).total_seconds())), n))
    return [(a + timedelta(seconds=s)).strftime("%Y-%m-%d %H:%M:%S") for s in seconds]


def ring(events):
    """The dump of an Orrery ring after these events: (step, code, time, seen)."""
    recs = [orrery.Rec(i % orrery.SLOTS, *e) for i, e in enumerate(events)]
    by_slot = {r.slot: r.text() for r in recs}
    lines = [by_slot.get(s, orrery.unused(s)) for s in range(orrery.SLOTS)]
    return "\n".join([orrery.header(len(recs) % orrery.SLOTS), *lines, orrery.FOOTER]) + "\n"


def orrery_events(first, last, codes):
    """Events of an Orrery with these (step, code, seen), spread over the days."""
    return [(step, code, t, seen)
            for (step, code, seen), t in zip(codes, times(first, last, len(codes)))]


def attic_find(book):
    """Finished: two readings that overlap, and it holds."""
    c = book.add("console", "2026-02-14", name="attic find", book="larkfield-orrery", board="LW-41",
                 region="suffix E", got="2026-02-14", price="25", **{"from": "a neighbour's attic"},
                 note=INVENTED + " Seal was intact, thick dust on the cooler.")
    j = book.add("job", "2026-02-15", console=c, name="stops after three seconds", day="2026-02-15",
                 stage="open")
    on = {"console": c, "job": j}
    book.add("symptom", "2026-02-15", **on, day="2026-02-15", symptoms=["stops-3s", "third-try", "warm-start"],
             lamp="green, then three short red", beeps="three", seconds="3",
             note="Starts at once after an hour in a warm room.")
    low, link = ("0A", "44D0", 1), ("0A", "5E91", 1)
    before = orrery_events("2025-09-20", "2026-02-15", [
        ("00", "0040", 1), ("12", "E250", 2), ("12", "E250", 1), ("12", "E250", 4), low, ("12", "E250", 1),
        ("00", "0040", 1), low, low, ("0F", "B110", 1), low, link, low, ("0A", "44D0", 2), ("00", "0040", 1),
        low, link, low, ("0A", "44D0", 3), low, ("01", "F470", 1), ("00", "0040", 1), low, ("0A", "44D0", 2),
        link, low])
    book.add("reading", "2026-02-15", **on, day="2026-02-15", text=ring(before),
             note="Adapter at 57600, three tries until it was whole.")
    book.add("measurement", "2026-02-17", **on, day="2026-02-17", quantity="resistance",
             place="V_GFX, coil L26 to ground", value="0.42", percent="0.8", counts="3",
             meter="bench meter, 400 ohm range", condition="off", note="Leads shorted: 0.11.")
    book.add("measurement", "2026-02-17", **on, day="2026-02-17", quantity="esr", place="C211, lifted",
             value="38m", condition="off", note="The three others: 31m, 44m, 29m.")
    book.add("check", "2026-02-18", **on, day="2026-02-18", what="warm the bank capacitors a little",
             result="bad", note="Warmed to 50 degrees: starts each time. Cold again: stops.")
    book.add("repair", "2026-03-08", **on, day="2026-03-08", what="replace the bank capacitors",
             parts="C211 to C214: 12 polymer capacitors 470 uF 2.5 V, spare parts shop\nL26: cleaned",
             cost="14", note="Board preheated from below to 100 degrees. Joints short and thick.")
    after = orrery_events("2026-03-08", "2026-03-12",
                          [("00", "0040", 1), ("0F", "B110", 1), ("00", "0040", 1)])
    book.add("reading", "2026-03-12", **on, day="2026-03-12", text=ring(before + after),
             note="After the repair and four evenings of play.")
    book.edit(j, "2026-03-12", stage="closed", outcome="repaired", closed="2026-03-12",
              cause="worn bank capacitors at the graphics chip")
    for day, done in (("2026-03-19", "2026-03-19"), ("2026-04-12", "2026-04-14"),
                      ("2026-06-12", "2026-06-12"), ("2026-09-12", "2026-09-13")):
        book.add("follow-up", "2026-03-12", **on, day=day, done=done, found="holds")
    book.add("follow-up", "2026-03-12", **on, day="2027-03-12")


def blue_stripe(book):
    """Came back: the same fault after some weeks."""
    c = book.add("console", "2026-05-02", name="blue stripe", book="larkfield-orrery", board="LW-47",
                 got="2026-05-02", note=INVENTED + " Blue stripe of paint on the lid.")
    first = book.add("job", "2026-05-03", console=c, name="clicks and stops", day="2026-05-03", stage="closed",
                     outcome="repaired", closed="2026-06-20", cause="taken for worn bank capacitors")
    on = {"console": c, "job": first}
    book.add("symptom", "2026-05-03", **on, day="2026-05-03", symptoms=["stops-3s"], seconds="2.5")
    book.add("check", "2026-05-10", **on, day="2026-05-10", what="look over the board with a lens",
             result="unclear", note="Old flux under the graphics chip: somebody was here before.")
    book.add("repair", "2026-06-18", **on, day="2026-06-18", what="replace the bank capacitors",
             parts="C211, C212: polymer capacitors 470 uF", cost="8")
    book.add("follow-up", "2026-06-20", **on, day="2026-06-27", done="2026-06-27", found="holds")
    book.add("follow-up", "2026-06-20", **on, day="2026-08-02", done="2026-08-01", found="same-fault",
             note="Six weeks. Stopped in a heavy scene, and then at each start.")
    again = book.add("job", "2026-08-03", console=c, name="the same fault is back", day="2026-08-03",
                     stage="open", note="So it was not the capacitors alone. Chip next?")
    on = {"console": c, "job": again}
    events = orrery_events("2026-06-21", "2026-08-03", [
        ("00", "0060", 1), ("12", "E250", 1), ("12", "E250", 3), ("0A", "5E91", 1), ("0A", "50A2", 1),
        ("0A", "5E91", 2), ("0A", "44D0", 1), ("0A", "5E91", 1)])
    book.add("reading", "2026-08-03", **on, day="2026-08-03", text=ring(events),
             note="I had emptied the log in June.")
    book.add("measurement", "2026-08-04", **on, day="2026-08-04", quantity="voltage",
             place="V_GFX, coil L26 to ground", value="1.094", percent="0.5", counts="2", condition="running",
             note="Steady until it stops.")


def swap_meet_one(book):
    """In the middle: in pieces, waiting for parts."""
    c = book.add("console", "2026-10-18", name="the swap-meet one", book="larkfield-halyard", board="HB-3",
                 got="2026-10-18", price="12", note=INVENTED + " Sold as dead, with its brick.")
    j = book.add("job", "2026-10-19", console=c, name="red lamp after some seconds", day="2026-10-19",
                 stage="apart")
    on = {"console": c, "job": j}
    book.add("symptom", "2026-10-19", **on, day="2026-10-19", symptoms=["lamp-late", "cold-bad"], seconds="6",
             lamp="white, then red")
    codes = [("01", "2001", 44, 0), ("0A", "3264", 62, 130), ("11", "3A40", 126, 2), ("0A", "3264", 58, 130),
             ("0A", "9264", 55, 0), ("01", "2001", 40, 0), ("0A", "9264", 47, 0), ("0A", "3264", 66, 134),
             ("0A", "9264", 49, 0), ("0A", "9400", 52, 0), ("0A", "9264", 45, 0)]
    recs = [halyard.Rec(320 + i, step, code, t, temp, flags)
            for i, ((step, code, temp, flags), t) in enumerate(zip(codes, times("2026-07-02", "2026-10-19", len(codes))))]
    rows = [halyard.offset_spaced(i * halyard.LENGTH, r.raw()) for i, r in enumerate(recs)]
    book.add("reading", "2026-10-20", **on, day="2026-10-20",
             text="\n".join([halyard.header(len(recs)), *rows]) + "\n",
             note="1.8 V adapter. The rest of the ring was all FF.")
    book.add("check", "2026-10-21", **on, day="2026-10-21", what="two cold starts, an hour apart", result="bad",
             note="First one fails, second one runs for a minute.")
    book.add("measurement", "2026-10-24", **on, day="2026-10-24", quantity="capacitance", place="C61, lifted",
             value="61u", percent="2.5", counts="5", condition="off", note="330 uF is printed on it.")
    book.add("measurement", "2026-10-24", **on, day="2026-10-24", quantity="resistance",
             place="V_CORE, coil L6 to ground", value="2.8", percent="0.8", counts="3", condition="off")
    book.edit(j, "2026-10-25", stage="parts",
              note="C61 and C62 are off, pads clean. Two flat capacitors ordered on 25 October.")


def quiet_one(book):
    """Fresh, without a job."""
    c = book.add("console", "2026-11-15", name="the quiet one", book="larkfield-tamsin", board="TM-1",
                 got="2026-11-15", note=INVENTED + " Runs, but the drive is slow. Not looked into yet.")
    codes = [("heath", 41), ("fern", 17), ("fern", 17), ("amber", 40), ("fern", 15), ("heath", 41), ("fern", 17)]
    recs = [tamsin.Rec(412 + i, group, number, t)
            for i, ((group, number), t) in enumerate(zip(codes, times("2026-11-15", "2026-11-17", len(codes))))]
    lines = [r.text() for r in reversed(recs)]
    book.add("reading", "2026-11-17", console=c, day="2026-11-17",
             text="\n".join([tamsin.HEADER, *lines]) + "\n")


def main():
    book = Notebook()
    for console in (attic_find, blue_stripe, swap_meet_one, quiet_one):
        console(book)
    json.dump(book.records, sys.stdout, ensure_ascii=False)


main()
