"""Halyard: records of 12 bytes with a CRC-8, shown as a hex dump."""

import clock

LENGTH = 12
FLAGS = {0: "standby", 1: "fan turning", 2: "warm start", 7: "retried"}
UNUSED = b"\xff" * LENGTH


def crc8(data):
    """CRC-8/AUTOSAR, bit by bit: poly 2F, init FF, xorout FF, not reflected."""
    reg = 0xFF
    for byte in data:
        reg ^= byte
        for _ in range(8):
            reg = ((reg << 1) ^ 0x2F) & 0xFF if reg & 0x80 else reg << 1
    return reg ^ 0xFF


assert crc8(b"123456789") == 0xDF, "check value of CRC-8/AUTOSAR"


class Rec:
    """One record of a Halyard ring. `temp` is in half degrees."""

    layout = "halyard-record"

    def __init__(self, seq, step, code, when, temp=60, flags=0):
        assert 0 <= seq < 65536 and -128 <= temp < 128 and flags & ~0x87 == 0
        self.seq, self.step, self.code, self.temp, self.flags = seq, step, code, temp, flags
        self.time = clock.number(when)

    def raw(self):
        """The 12 bytes."""
        body = (self.seq.to_bytes(2, "little") + bytes.fromhex(self.step)
                + bytes.fromhex(self.code) + self.time.to_bytes(4, "little")
                + self.temp.to_bytes(1, "little", signed=True) + bytes([self.flags]))
        return body + bytes([crc8(body)])

    def fields(self, check_ok=True):
        """The fields of the reading."""
        names = [name for bit, name in FLAGS.items() if self.flags >> bit & 1]
        half = self.temp / 2
        temp = int(half) if half == int(half) else half
        return {"seq": self.seq, "step": self.step, "code": self.code,
                **clock.fields(self.time), "temp": temp, "flags": names, "check_ok": check_ok}


def header(head):
    """The text line above a dump; `head` is the place of the record written next."""
    return f"halyard ring: 64 records of 12 bytes, head {head:02X}"


class Item:
    """A stretch of a dump: a record with its class, or an unused one."""

    def __init__(self, data, cls, ev=None, choices=()):
        self.data, self.cls, self.ev, self.choices = data, cls, ev, choices


def items(evs):
    """Items of whole entries."""
    return [Item(e.rec.raw(), "entry", e) for e in evs]


def unused(n):
    """Items of `n` unused records."""
    return [Item(UNUSED, "empty") for _ in range(n)]


RANK = ("entry", "unreadable", "duplicate", "empty", "continuation")


def rows(things, width):
    """Cuts the items into rows: offset, bytes, class, entries and doubts that begin there."""
    blob = b"".join(t.data for t in things)
    starts, at = [], 0
    for t in things:
        starts.append((at, at + len(t.data), t))
        at += len(t.data)
    out = []
    for off in range(0, len(blob), width):
        end = min(off + width, len(blob))
        begins = [t for a, _, t in starts if off <= a < end]
        found = {t.cls for t in begins}
        for a, b, t in starts:
            if a < off < b:
                found.add("empty" if t.cls == "empty" else "continuation")
        cls = next(c for c in RANK if c in found)
        out.append((off, blob[off:end], cls, begins))
    return out


def dump(paste, things, width, show, base=0, edit=None, wrap=str):
    """Adds the rows to the paste. `show(offset, bytes)` writes one, `edit` mends some by row."""
    for i, (off, data, cls, begins) in enumerate(rows(things, width)):
        text = show(base + off, data)
        if edit and i in edit:
            new = edit[i](text)
            assert new != text, (paste.name, text)
            text = new
        n = paste.add(wrap(text), cls)
        for t in begins:
            if t.ev is not None and t.cls == "entry":
                t.ev.line = n
                paste.evs.append(t.ev)
            if t.cls == "unreadable":
                paste.bad_list.append({"line": n, "choices": list(t.choices)})


# -- ways to show a row -------------------------------------------------------

def spaced(_, data):
    """`1A 4D 00`"""
    return data.hex(" ").upper()


def offset_spaced(off, data):
    """`0010: 1A 4D 00`"""
    return f"{off:04X}: {data.hex(' ').upper()}"


def gutter(off, data):
    """`00000010  1a 4d ..  .. |.M..|`, with a gap after 8 bytes and the text of the bytes."""
    left = data[:8].hex(" ").ljust(23)
    right = data[8:].hex(" ").ljust(23)
    text = "".join(chr(b) if 32 <= b < 127 else "." for b in data)
    return f"{off:08x}  {left}  {right}  |{text}|"


def colons(off, data):
    """`0010:1A:4D:00`, the offset glued on with the same colon."""
    return f"{off:04X}:" + data.hex(":").upper()


def words(size, swapped, offset=False):
    """Words of `size` bytes, each with its bytes reversed if `swapped`."""
    def show(off, data):
        parts = [data[i:i + size] for i in range(0, len(data), size)]
        parts = [p[::-1] if swapped else p for p in parts]
        row = " ".join(p.hex().upper() for p in parts)
        return f"{off:04X}: {row}" if offset else row
    return show
