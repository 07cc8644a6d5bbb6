"""Whether a PDF is what an archive and a screen reader ask for, seen by other programs.

    python pdf.py FILE...

QPDF looks at the file's structure, Poppler at its fonts, and pikepdf (QPDF as a library) at what
ISO 19005-2 (PDF/A-2, level A) and ISO 14289-1 (PDF/UA-1) ask of what our papers use. It is no full
validator of either: what is asserted is listed in SOURCE.md. Every problem is told, with status 1.
"""

import re
import subprocess
import sys

import pikepdf
from pikepdf import Dictionary, Name

# Structure types that need no role map (ISO 32000-1, 14.8.4); those that hold others, and others.
STANDARD = set(
    "Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4"
    " H5 H6 L LI Lbl LBody Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code"
    " Link Annot Ruby RB RT RP Warichu WT WP Figure Formula Form".split()
)
# What paints, so it must lie in marked content (ISO 14289-1, 7.1).
PAINTS = set("S s f F f* B B* b b* sh Do Tj TJ ' \" EI".split())
CMYK = {"k", "K"}
BLENDS = set(
    "Normal Compatible Multiply Screen Overlay Darken Lighten ColorDodge ColorBurn HardLight"
    " SoftLight Difference Exclusion Hue Saturation Color Luminosity".split()
)
# Actions and annotations that nothing printed needs.
FORBIDDEN_KEYS = ["/AA", "/OpenAction", "/JS", "/Launch", "/ImportData", "/ResetForm", "/Movie", "/Sound"]
# Poppler 22 takes MarkInfo's own boolean (ISO 32000-1, table 321) for a fault.
POPPLERS_OWN = "Syntax Error: Suspects object is wrong type (boolean)"
DEEPEST_STATES = 28


def run(*words):
    done = subprocess.run(words, capture_output=True, text=True, errors="replace")
    said = [line for line in done.stderr.splitlines() if line and line != POPPLERS_OWN]
    return done.returncode, done.stdout, said


def text_of(path, how="-raw"):
    """The text of a PDF, blanks of every kind as one, in the order it is written."""
    code, text, said = run("pdftotext", how, "-enc", "UTF-8", str(path), "-")
    if code != 0 or said:
        raise SystemExit(f"{path}: pdftotext: {said}")
    return " ".join(text.replace("\u00a0", " ").split())


def fonts(path, problems):
    code, out, said = run("pdffonts", str(path))
    rows = out.splitlines()[2:]
    if code or said or not rows:
        problems.append(f"pdffonts: {said or 'no fonts'}")
    for row in rows:
        embedded, subset, unicode = row.split()[-5:-2]
        name = row.split()[0]
        if (embedded, subset, unicode) != ("yes", "yes", "yes"):
            problems.append(f"font {name}: embedded {embedded}, subset {subset}, ToUnicode {unicode}")
        if not re.match(r"[A-Z]{6}\+", name):
            problems.append(f"font {name}: no tag of a subset")


def info(path, problems):
    code, out, said = run("pdfinfo", str(path))
    if code or said:
        problems.append(f"pdfinfo: {said}")
    told = dict(line.split(":", 1) for line in out.splitlines() if ":" in line)
    for key, wanted in [("Tagged", "yes"), ("Encrypted", "no"), ("JavaScript", "no"), ("Form", "none")]:
        if told.get(key, "").strip() != wanted:
            problems.append(f"pdfinfo: {key} is {told.get(key)!r}, not {wanted}")
    return told.get("Title", "").strip(), int(told.get("Pages", "0"))


def metadata(pdf, title, problems):
    root = pdf.Root
    stream = root.get("/Metadata")
    if stream is None:
        problems.append("no XMP")
        return
    if "/Filter" in stream:
        problems.append("XMP is compressed")
    with pdf.open_metadata() as meta:
        for key, wanted in [("pdfaid:part", "2"), ("pdfaid:conformance", "A"), ("pdfuaid:part", "1")]:
            found = meta.get(key)
            if found != wanted:
                problems.append(f"XMP: {key} is {found!r}, not {wanted}")
        if str(meta.get("dc:title")) != title or not title:
            problems.append(f"XMP: title {meta.get('dc:title')!r}, document {title!r}")
        for key in ["xmp:CreateDate", "xmp:CreatorTool"]:
            if not meta.get(key):
                problems.append(f"XMP: no {key}")
    if not str(root.get("/Lang", "")).startswith("en"):
        problems.append(f"language is {root.get('/Lang')!r}")
    if not root.get("/MarkInfo", {}).get("/Marked", False):
        problems.append("not marked as tagged")
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False):
        problems.append("a viewer would show the file's name, not its title")
    if "/ID" not in pdf.trailer:
        problems.append("no ID")
    if "/Encrypt" in pdf.trailer:
        problems.append("encrypted")
    intents = [i for i in root.get("/OutputIntents", []) if i.get("/S") == Name.GTS_PDFA1]
    if len(intents) != 1 or "/DestOutputProfile" not in intents[0]:
        problems.append("no one output intent of PDF/A with its profile")
    elif intents[0].DestOutputProfile.get("/N") != 3:
        problems.append("the output intent's profile has not three colours")
    names = root.get("/Names", {})
    for key in ["/JavaScript", "/EmbeddedFiles"]:
        if key in names:
            problems.append(f"names have {key}")


def unicode_map(font, problems):
    name = font.get("/BaseFont")
    if "/ToUnicode" not in font:
        problems.append(f"font {name}: no ToUnicode")
        return
    text = font.ToUnicode.read_bytes().decode("latin-1")
    for target in re.findall(r"<[0-9A-Fa-f]+>\s*<([0-9A-Fa-f]+)>", text):
        letters = [target[i : i + 4].upper() for i in range(0, len(target), 4)]
        bad = [c for c in letters if c in ("0000", "FEFF", "FFFE", "FFFD") or "E000" <= c <= "F8FF"]
        if bad:
            problems.append(f"font {name}: a letter maps to {bad}")


def objects(pdf, problems):
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Stream):
            for key in ["/F", "/FFilter", "/FDecodeParms"]:
                if key in thing:
                    problems.append(f"a stream is outside the file: {key}")
            filters = thing.get("/Filter", [])
            filters = [filters] if isinstance(filters, Name) else list(filters)
            if Name.LZWDecode in filters or Name.Crypt in filters:
                problems.append(f"filter {filters}")
            if thing.get("/Subtype") == Name.PS or "/PS" in thing or "/Ref" in thing or "/OPI" in thing:
                problems.append("PostScript, a reference or OPI in a stream")
            if thing.get("/Subtype") == Name.Image and (thing.get("/Interpolate") or "/Alternates" in thing):
                problems.append("an image is interpolated or has alternates")
            if thing.get("/ColorSpace") == Name.DeviceCMYK:
                problems.append("DeviceCMYK without an output intent for it")
        if not isinstance(thing, (Dictionary, pikepdf.Stream)):
            continue
        for key in FORBIDDEN_KEYS:
            if key in thing:
                problems.append(f"{key} in an object")
        kind = thing.get("/Type")
        if kind == Name.Font and thing.get("/Subtype") != Name.CIDFontType2:
            unicode_map(thing, problems)
        if kind == Name.Font and thing.get("/Subtype") in (Name.CIDFontType0, Name.CIDFontType2):
            descriptor = thing.get("/FontDescriptor", {})
            if not any(k in descriptor for k in ["/FontFile2", "/FontFile3"]):
                problems.append(f"font {thing.get('/BaseFont')} is not in the file")
            if thing.Subtype == Name.CIDFontType2 and "/CIDToGIDMap" not in thing:
                problems.append(f"font {thing.get('/BaseFont')}: no CIDToGIDMap")
        if kind == Name.ExtGState:
            for key in ["/TR", "/HTP"]:
                if key in thing:
                    problems.append(f"graphics state with {key}")
            if "/BM" in thing and str(thing.BM).lstrip("/") not in BLENDS:
                problems.append(f"blend mode {thing.BM}")
        if "/Annots" in thing and kind == Name.Page and len(thing.Annots) and thing.get("/Tabs") != Name.S:
            problems.append("annotations without the order of the structure")


def content(stream, problems, where, marked_outside=False):
    """Operators of a page or of a form. Gives the numbers of marked content in it."""
    numbers, depth, states = set(), 0, 0
    forms = stream.get("/Resources", {}).get("/XObject", {})
    for operands, operator in pikepdf.parse_content_stream(stream):
        word = str(operator)
        if word in ("BDC", "BMC"):
            depth += 1
            if word == "BDC" and isinstance(operands[1], Dictionary) and "/MCID" in operands[1]:
                numbers.add(int(operands[1].MCID))
        elif word == "EMC":
            depth -= 1
        elif word in ("q", "Q"):
            states += 1 if word == "q" else -1
            if states > DEEPEST_STATES or states < 0:
                problems.append(f"{where}: graphics states {states} deep")
        elif word in CMYK:
            problems.append(f"{where}: a colour of four inks")
        elif word in PAINTS and depth == 0 and not marked_outside:
            problems.append(f"{where}: {word} outside marked content")
            break
        if word == "Do" and str(operands[0]) in forms:
            form = forms[str(operands[0])]
            if form.get("/Subtype") == Name.Form:
                content(form, problems, f"{where}, a form", marked_outside or depth > 0)
    if depth or states:
        problems.append(f"{where}: marked content or states left open")
    return numbers


def structure(pdf, numbers, problems):
    """The tree of tags: known types, words for figures, tables whole, every mark in it once."""
    tree = pdf.Root.get("/StructTreeRoot")
    if tree is None:
        problems.append("no structure tree")
        return []
    roles = {str(k)[1:]: str(v)[1:] for k, v in tree.get("/RoleMap", {}).items()}
    if "/ParentTree" not in tree:
        problems.append("no parent tree")
    pages = {page.objgen: i for i, page in enumerate(pdf.pages)}
    seen, tags = set(), []

    def kids(node):
        inside = node.get("/K", [])
        return list(inside) if isinstance(inside, pikepdf.Array) else [inside]

    def walk(node, page, parents):
        role = str(node.get("/S", ""))[1:]
        role = roles.get(role, role)
        page = pages.get(node.Pg.objgen, page) if "/Pg" in node else page
        tags.append(role)
        if role not in STANDARD:
            problems.append(f"tag {role} is not a standard one")
        if role in ("Figure", "Formula") and not str(node.get("/Alt", "")).strip():
            problems.append(f"a {role} without words in its place")
        needs = {"TR": {"Table", "THead", "TBody", "TFoot"}, "TH": {"TR"}, "TD": {"TR"}, "LI": {"L"}}
        if role in needs and parents and parents[-1] not in needs[role]:
            problems.append(f"a {role} in a {parents[-1]}")
        if role == "TH":
            attributes = node.get("/A", [])
            attributes = attributes if isinstance(attributes, pikepdf.Array) else [attributes]
            if not any(isinstance(a, Dictionary) and "/Scope" in a for a in attributes):
                problems.append("a head of a table without its scope")
        for kid in kids(node):
            if isinstance(kid, Dictionary):
                if kid.get("/Type") == Name.MCR:
                    seen.add((pages.get(kid.Pg.objgen, page) if "/Pg" in kid else page, int(kid.MCID)))
                elif kid.get("/Type") != Name.OBJR:
                    walk(kid, page, parents + [role])
            else:
                seen.add((page, int(kid)))

    for kid in kids(tree):
        walk(kid, None, [])
    for page, number in sorted(numbers - seen):
        problems.append(f"page {page + 1}: marked content {number} is in no tag")
    levels = [int(tag[1]) for tag in tags if re.fullmatch("H[1-6]", tag)]
    for before, after in zip([0] + levels, levels):
        if after > before + 1:
            problems.append(f"a heading of level {after} after one of {before}")
    return tags


def inner(pdf, title, problems):
    """What pikepdf sees; gives the tags."""
    if pdf.pdf_version != "1.7":
        problems.append(f"version {pdf.pdf_version}")
    metadata(pdf, title, problems)
    objects(pdf, problems)
    numbers = set()
    for i, page in enumerate(pdf.pages):
        found = content(page.obj, problems, f"page {i + 1}")
        if found and "/StructParents" not in page.obj:
            problems.append(f"page {i + 1}: no way from its marks to its tags")
        numbers |= {(i, number) for number in found}
    return structure(pdf, numbers, problems)


def check(path):
    """Everything that is wrong with a PDF; with its title, pages, and how often each tag is there."""
    problems = []
    code, _, said = run("qpdf", "--check", str(path))
    if code or said:
        problems.append(f"qpdf: status {code}, {said}")
    fonts(path, problems)
    title, pages = info(path, problems)
    tags = []
    try:
        with pikepdf.open(path) as pdf:
            tags = inner(pdf, title, problems)
    except (pikepdf.PdfError, TypeError, ValueError) as error:
        problems.append(f"pikepdf: {error}")
    if code == 0 and "\ufffd" in text_of(path):
        problems.append("a letter that no text has")
    return problems, title, pages, {tag: tags.count(tag) for tag in sorted(set(tags))}


if __name__ == "__main__":
    wrong = 0
    for path in sys.argv[1:]:
        problems, title, pages, tags = check(path)
        wrong += len(problems)
        print(f"{path}: {title!r}, {pages} pages, {tags}")
        for problem in problems:
            print(f"  {problem}")
    sys.exit(1 if wrong else 0)
