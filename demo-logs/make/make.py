#!/usr/bin/env python3
"""Writes the demo logs, their expected readings, the list of examples and the README.

    python3 demo-logs/make/make.py            writes everything
    python3 demo-logs/make/make.py --check    fails if a file differs from what it would write
    python3 demo-logs/make/make.py --show 04  prints a paste with the class of each line

Standard library only. Nothing here reads a paste: the truth comes first, the
dirt after.
"""

import json
import sys
from pathlib import Path

sys.dont_write_bytecode = True

import cases_halyard
import cases_halyard_slips
import cases_mixed
import cases_orrery_clean
import cases_orrery_files
import cases_orrery_order
import cases_tamsin
import examples
import proof
import readme

OUT = Path(__file__).resolve().parent.parent
MODULES = (cases_orrery_clean, cases_orrery_order, cases_orrery_files, cases_halyard,
           cases_halyard_slips, cases_tamsin, cases_mixed)


def pretty(reading):
    """JSON with one entry a line, so that people can read it beside the paste."""
    def flat(x):
        return json.dumps(x, ensure_ascii=False)

    def block(xs):
        return "[\n" + ",\n".join("  " + flat(x) for x in xs) + "\n ]" if xs else "[]"

    out = []
    for key, value in reading.items():
        if key in ("entries", "unreadable", "mentions"):
            out.append(f' "{key}": {block(value)}')
        elif key == "line_classes":
            rows = ",\n".join(f'  "{c}": {flat(v)}' for c, v in value.items())
            out.append(f' "{key}": {{\n{rows}\n }}')
        else:
            out.append(f' "{key}": {flat(value)}')
    return "{\n" + ",\n".join(out) + "\n}\n"


def pastes():
    """All demo logs, numbered."""
    out = []
    for module in MODULES:
        for case in module.CASES:
            p = case()
            p.file = f"{len(out) + 1:02d}-{p.name}"
            out.append(p)
    return out


def files(all_pastes):
    """Everything that is written, by name."""
    out = {}
    for p in all_pastes:
        reading = p.expected()
        proof.paste(p, reading)
        out[p.file + ".txt"] = p.raw()
        out[p.file + ".expected.json"] = pretty(reading).encode()
    proof.together(all_pastes)
    out["examples.json"] = examples.text(all_pastes).encode()
    out[".gitattributes"] = b"*.txt -text\n"
    out["README.md"] = readme.text(all_pastes).encode()
    return out


def show(all_pastes, which):
    """Prints a paste with line numbers and classes."""
    for p in all_pastes:
        if which in p.file:
            print(f"== {p.file}: {p.title}")
            for n, (text, cls, eol) in enumerate(p.lines, 1):
                print(f"{n:3} {cls[:5]:5} {text!a}" if "--ascii" in sys.argv else f"{n:3} {cls[:5]:5} {text}"
                      .encode("utf-8", "replace").decode())


def main():
    """Does what the command line says."""
    all_pastes = pastes()
    if "--show" in sys.argv:
        show(all_pastes, sys.argv[sys.argv.index("--show") + 1])
        return 0
    wanted = files(all_pastes)
    have = {f.name for f in OUT.iterdir() if f.is_file()}
    if "--check" in sys.argv:
        wrong = [n for n in wanted if n not in have or (OUT / n).read_bytes() != wanted[n]]
        wrong += sorted(have - set(wanted))
        for name in wrong:
            print(f"differs from what make.py writes: {name}")
        return 1 if wrong else 0
    for name in sorted(have - set(wanted)):
        (OUT / name).unlink()
    for name, data in wanted.items():
        (OUT / name).write_bytes(data)
    print(f"{len(all_pastes)} demo logs, {sum(len(p.evs) for p in all_pastes)} entries, "
          f"{sum(len(p.lines) for p in all_pastes)} lines")
    return 0


if __name__ == "__main__":
    sys.exit(main())
