"""Every outside check of labels, tables and papers.

    python check.py BINARY

Ends with status 1 at the first that does not hold; else a line for each says how much was held.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import book
import cut_sheets
import labels
import tables
import wrong
from pdf import check as check_pdf

ROOT = Path(__file__).resolve().parents[2]
PROGRAMS = {"qpdf": "qpdf", "pdffonts": "poppler-utils", "pdfinfo": "poppler-utils",
            "pdftotext": "poppler-utils", "pdftoppm": "poppler-utils", "zbarimg": "zbar-tools"}


# Builds of the demonstration that are signed: of one, two and three rotors, and one amended.
SIGNED = (3, 4, 5)


def every_pdf(binary, work):
    """A PDF of every kind that the program writes, of every example and of a shop's builds."""
    def run(*words, status=(0,)):
        done = subprocess.run([binary, *map(str, words)], capture_output=True, text=True)
        if done.returncode not in status:
            sys.exit(f"{words}: {done.returncode} {done.stderr}")

    for file in sorted((ROOT / "examples").glob("*.toml")):
        run("label", file, "--out", work / "label" / file.stem)
        # Without a plan for the set there is no sheet.
        run("sheet", file, "--out", work / "sheet" / file.stem, status=(0, 1))
        run("book", file, "--out", work / "book" / file.stem, status=(0, 1))
    run("sheet", work / "demo" / "shop.db", "--build", 5, "--out", work / "sheet" / "5")
    for build in SIGNED:
        run("book", work / "demo" / "shop.db", "--build", build, "--out", work / "book" / str(build))
    return sorted(work.rglob("*.pdf"))


def papers(binary):
    with tempfile.TemporaryDirectory() as work:
        demo = Path(work) / "demo"
        subprocess.run([binary, "demo", "--once", str(demo)], check=True, capture_output=True)
        readings = book.check(binary, demo / "shop.db", SIGNED)
        files = every_pdf(binary, Path(work))
        problems, pages, kinds = [], 0, {}
        for file in files:
            found, title, count, _ = check_pdf(file)
            problems += [f"{file.relative_to(work)}: {problem}" for problem in found]
            pages += count
            kind = title.split(",")[0].split(":")[0]
            kinds[kind] = kinds.get(kind, 0) + 1
        if problems:
            sys.exit("\n".join(problems[:30]))
        richest = max(files, key=lambda file: file.stat().st_size)
        damages = wrong.main(richest)
    return readings, kinds, pages, damages


def main(binary):
    lacking = sorted({package for program, package in PROGRAMS.items() if not shutil.which(program)})
    if lacking:
        sys.exit(f"reference/paper needs {', '.join(lacking)}: Debian has packages of those names")
    count, pictures = labels.check(binary)
    print(f"{count} labels, {pictures} pictures of them read back")
    cells, readings, figures = tables.check(binary)
    print(f"{cells} cells alike in workbook and CSV, {readings} readings those of their files, {figures} figures those of the plans")
    sheets, figures = cut_sheets.check(binary)
    print(f"{figures} figures of {sheets} cut sheets are those of the plans")
    readings, kinds, pages, damages = papers(binary)
    print(f"{readings} readings of rotors stand in their books")
    told = ", ".join(f"{count} {kind.lower()}" for kind, count in sorted(kinds.items()))
    print(f"{pages} pages of PDF hold ({told}), {damages} damaged files are each found out")


if __name__ == "__main__":
    main(sys.argv[1])
