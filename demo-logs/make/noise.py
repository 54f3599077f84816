"""What happens to a line on its way into a post."""

TWINS = {"A": "А", "B": "В", "C": "С", "E": "Е", "H": "Н", "K": "К", "M": "М", "O": "О",
         "P": "Р", "T": "Т", "X": "Х", "a": "а", "c": "с", "e": "е", "o": "о", "p": "р", "x": "х"}
GREEK = {"A": "Α", "B": "Β", "E": "Ε", "Z": "Ζ", "H": "Η", "K": "Κ", "M": "Μ", "N": "Ν", "O": "Ο",
         "P": "Ρ", "T": "Τ", "X": "Χ", "Y": "Υ", "o": "ο"}
NBSP, IDEOGRAPHIC, ZWSP, ZWJ, LRM, RLM, SHY, WJ = (
    "\u00a0", "\u3000", "\u200b", "\u200d", "\u200e", "\u200f", "\u00ad", "\u2060")


def quote(text, depth=1):
    """`> > text`"""
    return "> " * depth + text


def full_width(text):
    """ASCII letters, digits and signs in their full-width forms."""
    return "".join(chr(ord(c) + 0xFEE0) if 33 <= ord(c) < 127 else c for c in text)


def twins(text, table=None):
    """Letters of another script that look the same."""
    table = TWINS if table is None else table
    return "".join(table.get(c, c) for c in text)


def swap(text, old, new, count=1):
    """Replaces, and fails if there was nothing to replace."""
    assert old in text, (text, old)
    return text.replace(old, new, count)


def sprinkle(text, mark, every=5):
    """Puts a mark without width after every so many characters."""
    return "".join(c + (mark if i % every == every - 1 else "") for i, c in enumerate(text))


def wrap(text, width):
    """Hard line breaks at a column."""
    return [text[i:i + width] for i in range(0, len(text), width)]


def html(text):
    """Entities as in a page's source."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace("  ", "&nbsp; ")


def color(text, value="#c0392b"):
    """BBCode colour."""
    return f"[color={value}]{text}[/color]"


def mixed_case(text):
    """Every other letter in lower case."""
    return "".join(c.lower() if i % 2 else c for i, c in enumerate(text))
