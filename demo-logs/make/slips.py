"""Every single slip that would make a failing check agree.

Cases with check fields assert with this that a record can be mended in exactly
the ways the case says, with a narrow and with a broad idea of what looks alike.
"""

import halyard
import tamsin

NARROW = ("8B", "0D", "56", "17", "38", "EF")
BROAD = NARROW + ("0C", "C6", "6B", "5B", "49", "4A", "35", "08", "68", "69", "7F", "27", "09",
                  "06", "CE", "DB", "14", "CF", "0B")
LETTERS = NARROW + ("CG", "DQ", "EF", "UV", "VY", "MN", "PR", "KX", "VW", "JL", "HN", "FP", "CE",
                    "GQ", "TY", "HM", "UW", "LT", "AR", "JT", "ZT", "CD", "XY", "RK", "FT", "HK")


def alike(pairs, ch):
    """What `ch` may be taken for."""
    return [b if a == ch else a for a, b in pairs if ch in (a, b)]


def one_slip(text, pairs):
    """All texts one look-alike or one swap of neighbours away."""
    out = set()
    for i, ch in enumerate(text):
        for other in alike(pairs, ch):
            out.add(text[:i] + other + text[i + 1:])
        if i + 1 < len(text) and ch != text[i + 1]:
            out.add(text[:i] + text[i + 1] + ch + text[i + 2:])
    out.discard(text)
    return out


def mends_record(hexa, broad):
    """Hex texts of a Halyard record that one slip would turn into this one."""
    good = set()
    for t in one_slip(hexa, BROAD if broad else NARROW):
        b = bytes.fromhex(t)
        if halyard.crc8(b[:11]) == b[11]:
            good.add(t)
    return sorted(good)


def mends_line(parts, broad):
    """Value lists of a Tamsin line that one slip would turn into this one."""
    good = set()
    digits = BROAD if broad else NARROW
    for i, text in enumerate(parts):
        if i == 1:
            continue
        for t in one_slip(text, LETTERS if i == 4 else digits):
            if i != 4 and any(a.isdigit() != b.isdigit() for a, b in zip(text, t)):
                continue
            p = parts[:i] + (t,) + parts[i + 1:]
            if tamsin.letters(*p[:4]) == p[4]:
                good.add(p)
    return sorted(good)


def record(hexa):
    """The mends on which both ideas of looking alike agree; fails if they differ."""
    a, b = mends_record(hexa, False), mends_record(hexa, True)
    assert a == b, (hexa, a, b)
    return a


def tamsin_line(parts):
    """The same for a Tamsin line."""
    a, b = mends_line(parts, False), mends_line(parts, True)
    assert a == b, (parts, a, b)
    return a
