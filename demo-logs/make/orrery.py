"""Orrery: text lines, a ring of 24 slots, no check field."""

import clock

SLOTS = 24


class Rec:
    """One record of an Orrery log."""

    layout = "orrery-line"

    def __init__(self, slot, step, code, when, seen=1):
        assert 0 <= slot < SLOTS and len(step) == 2 and len(code) == 4 and 0 <= seen <= 255
        self.slot, self.step, self.code, self.seen = slot, step, code, seen
        self.time = clock.number(when)

    def words(self):
        """Label and value of each field, as the console writes them."""
        return [("slot", f"{self.slot:02d}"), ("step", self.step), ("code", self.code),
                ("clock", f"{self.time:08X}"), ("seen", f"{self.seen:02X}")]

    def text(self, between="  ", colon=" ", label=str, value=str):
        """The line; the styles of tools and people are made by the arguments."""
        return between.join(label(a) + colon + value(b) for a, b in self.words())

    def fields(self):
        """The fields of the reading."""
        return {"slot": self.slot, "step": self.step, "code": self.code,
                **clock.fields(self.time), "count": self.seen}


def unused(slot, between="  "):
    """The line of an unused slot."""
    return f"slot {slot:02d}{between}empty"


def header(head):
    """The line that starts a dump; `head` is the slot written next."""
    return f"fault log: 24 slots, next slot {head:02d}"


FOOTER = "end of log"
