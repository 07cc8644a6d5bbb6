"""That the checker of PDFs finds what is wrong: one file, damaged in one way at a time.

    python wrong.py FILE
"""

import sys
import tempfile
from pathlib import Path

import pikepdf
from pikepdf import Dictionary, Name

from pdf import check


def first(pdf, wanted):
    return next(thing for thing in pdf.objects if isinstance(thing, (Dictionary, pikepdf.Stream)) and wanted(thing))


def drop(key):
    def damage(pdf):
        del pdf.Root[key]
    return damage


def no_alt(pdf):
    del first(pdf, lambda o: o.get("/S") == Name.Figure)["/Alt"]


def other_tag(pdf):
    first(pdf, lambda o: o.get("/S") == Name.Figure)["/S"] = Name.Picture


def no_scope(pdf):
    del first(pdf, lambda o: o.get("/S") == Name.TH)["/A"]


def no_to_unicode(pdf):
    del first(pdf, lambda o: o.get("/Type") == Name.Font and "/ToUnicode" in o)["/ToUnicode"]


def no_font(pdf):
    descriptor = first(pdf, lambda o: o.get("/Type") == Name.FontDescriptor)
    for key in ["/FontFile2", "/FontFile3"]:
        if key in descriptor:
            del descriptor[key]


def script(pdf):
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=pikepdf.String("app.alert('here')"))


def unmarked(pdf):
    page = pdf.pages[0]
    page.contents_add(b"0 0 10 10 re f\n")


def inks(pdf):
    pdf.pages[0].contents_add(b"/Artifact BMC 0 0 0 1 k EMC\n")


def lost_mark(pdf):
    pdf.pages[0].contents_add(b"/P <</MCID 4711>> BDC EMC\n")


def blend(pdf):
    state = pdf.make_indirect(Dictionary(Type=Name.ExtGState, BM=Name.Brighten))
    pdf.Root.Extra = state


def not_archive(pdf):
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as meta:
        del meta["pdfaid:part"]


def other_title(pdf):
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as meta:
        meta["dc:title"] = "Another"


def outside(pdf):
    thing = first(pdf, lambda o: isinstance(o, pikepdf.Stream) and o.get("/Type") != Name.Metadata)
    thing["/F"] = pikepdf.String("elsewhere")


DAMAGES = {
    "no language": (drop("/Lang"), "language"),
    "no mark of tags": (drop("/MarkInfo"), "tag"),
    "no tree of tags": (drop("/StructTreeRoot"), "no structure tree"),
    "no output intent": (drop("/OutputIntents"), "output intent"),
    "no XMP": (drop("/Metadata"), "no XMP"),
    "title not shown": (drop("/ViewerPreferences"), "not its title"),
    "a figure without words": (no_alt, "without words"),
    "an unknown tag": (other_tag, "not a standard one"),
    "a head without scope": (no_scope, "without its scope"),
    "a font without Unicode": (no_to_unicode, "ToUnicode"),
    "a font outside": (no_font, "is not in the file"),
    "a script": (script, "/OpenAction"),
    "paint without a mark": (unmarked, "outside marked content"),
    "four inks": (inks, "four inks"),
    "a mark in no tag": (lost_mark, "is in no tag"),
    "a blend mode of nobody": (blend, "blend mode"),
    "no part of PDF/A": (not_archive, "pdfaid:part"),
    "another title": (other_title, "XMP: title"),
    "a stream elsewhere": (outside, "outside the file"),
}


def main(good):
    assert check(good)[0] == [], check(good)[0]
    missed = []
    with tempfile.TemporaryDirectory() as work:
        for called, (damage, said) in DAMAGES.items():
            damaged = Path(work) / "damaged.pdf"
            with pikepdf.open(good) as pdf:
                damage(pdf)
                pdf.save(damaged, fix_metadata_version=False)
            if not any(said in problem for problem in check(damaged)[0]):
                missed.append(f"{called}: {check(damaged)[0]}")
        encrypted = Path(work) / "encrypted.pdf"
        with pikepdf.open(good) as pdf:
            pdf.save(encrypted, encryption=pikepdf.Encryption(owner="o", user="", metadata=False))
        if not any("ncrypted" in problem for problem in check(encrypted)[0]):
            missed.append("encrypted")
        cut = Path(work) / "cut.pdf"
        data = Path(good).read_bytes()
        # One byte of a compressed stream.
        at = data.index(b"stream\n", len(data) // 2) + 40
        cut.write_bytes(data[:at] + bytes([data[at] ^ 0x55]) + data[at + 1 :])
        if not check(cut)[0]:
            missed.append("a changed byte")
    if missed:
        sys.exit("\n".join(missed))
    return len(DAMAGES) + 2


if __name__ == "__main__":
    print(f"{main(sys.argv[1])} damaged files, each found")
