"""Figures on cut sheets against the plan: every cut and every size to hold, as a machinist reads it.

    python cut_sheets.py BINARY

`plan --json` and `sheet` of every example with a plan, metric first and inch first.
Each figure is rounded here, in exact decimals, and must stand in the text of the sheet's PDF with
the other system's figure right behind it and its own row's name before it. Limits are rounded into
the tolerance.
"""

import json
import subprocess
import sys
import tempfile
from fractions import Fraction
from pathlib import Path

from pdf import text_of
from units import amount, inside, in_words, size

ROOT = Path(__file__).resolve().parents[2]


def exact(number):
    return Fraction(str(number))


def held(name, rows):
    """Rows of a size at three tips: one of its own for each, or one for all where they are alike."""
    if len(set(rows)) == 1:
        yield f"{name} {rows[0]}", 3
    else:
        for tip, row in enumerate(rows, 1):
            yield f"{name}, tip {tip} {row}", 1


def wanted(rotor, first):
    """Rows of a rotor's sheet: name and figures in the order of their columns; how many tips' they are."""
    for face in ("gear", "plain"):
        for key, area in (("land_cut_mm", "land"), ("tip_cut_mm", "outside the land")):
            cuts = [exact(cut) for cut in rotor[face][key]]
            figures = [amount(cut, first) if cut > 0 else "as it is" for cut in cuts]
            yield f"{face} face, {area} {' '.join(figures)}", 3
    hold = rotor["hold"]
    lands = [rotor[face]["land_height_mm"] for face in ("gear", "plain")]
    widths = [exact(gear) + exact(plain) for gear, plain in zip(*lands)]
    limits = inside(*map(exact, hold["land_width_mm"]), size, first)
    if limits:
        yield from held("land width", [f"{size(width, first)} {limits}" for width in widths])
    low, high = map(exact, hold["step_mm"])
    limits = inside(low, high, amount, first) if low < high else None
    if limits:
        for face in ("gear", "plain"):
            steps = [amount(exact(step), first) for step in rotor[face]["step_mm"]]
            yield from held(f"{face}-face step", [f"{step} {limits}" for step in steps])
    yield f"nder {in_words(exact(hold['step_never_under_mm']), first)}", 1


def cuts(rotor):
    return any(cut > 0 for face in ("gear", "plain") for key in ("land_cut_mm", "tip_cut_mm") for cut in rotor[face][key])


def check(binary):
    sheets = figures = 0
    missing = []
    with tempfile.TemporaryDirectory() as work:
        for file in sorted((ROOT / "examples").glob("*.toml")):
            plan = json.loads(subprocess.run([binary, "plan", str(file), "--json"], capture_output=True, text=True).stdout)
            for first in ("metric", "inch"):
                out = Path(work) / f"{file.stem}-{first}"
                words = [binary, "sheet", str(file), "--out", str(out)] + (["--inch"] if first == "inch" else [])
                done = subprocess.run(words, capture_output=True, text=True)
                if not plan["feasible"]:
                    assert done.returncode == 1 and not out.exists(), f"{file.name}: sheets without a plan"
                    continue
                assert done.returncode == 0, f"{file.name}: {done.stderr}"
                for number, rotor in enumerate(plan["rotors"], 1):
                    found = list(out.glob(f"cut-{number}-*.pdf"))
                    assert len(found) == 1, f"{file.name}: {rotor['serial']}: {found}"
                    text = text_of(found[0])
                    sheets += 1
                    if not cuts(rotor):
                        assert "nothing is cut" in text.lower() and "Set-up 1" not in text, found[0].name
                        continue
                    for row, count in wanted(rotor, first):
                        figures += count
                        if row not in text:
                            missing.append(f"{found[0].parent.name}/{found[0].name}: {row!r} is not there")
    if missing:
        sys.exit("\n".join(missing[:20]))
    assert sheets >= 8, f"{sheets} sheets"
    return sheets, figures


if __name__ == "__main__":
    sheets, figures = check(sys.argv[1])
    print(f"{figures} figures of {sheets} cut sheets are those of the plans")
