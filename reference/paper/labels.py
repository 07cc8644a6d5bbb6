"""Codes of labels, read back by another library from pictures as printers make them.

    python labels.py BINARY

Every label of every example, and of builds with names that are hard on a code: drawings by resvg,
pages by Poppler, at the dots of a common printer of labels and of an office's, read by ZXing, and by ZBar as well. The
quiet zone is looked at dot by dot, and a code with a blot on it must still be read.
"""

import io
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import resvg_py
import zxingcpp
from PIL import Image, ImageDraw

from pdf import text_of

ROOT = Path(__file__).resolve().parents[2]
DOTS = (203, 300, 600)  # to the inch
MM = {"bag": (50, 30), "tag": (25, 25)}
LEAST_MODULE_MM = 0.33
# A name beyond ASCII, a quote, letters that look like kanji where bytes are read as such.
HARD = {"R-114": 'L\u00e4ufer "7"', "R-97": "\u03a9-97", "Merganser, boat 7": '\u6771\u4eac \u2116 7 "Ost"'}


def expected(text):
    """What each label of a build file should say, by the start of its file's name."""
    build = tomllib.loads(text)
    quoted = lambda name: '"' + name.replace('"', '""') + '"'
    together, cards = build.get("assembled", {}), build.get("inspected", {})
    of_kinds = [("rotor", build.get("rotor")), ("rotor housing", build.get("housing")),
                ("side housing", build.get("side_housing")), ("shaft", together.get("shaft", cards.get("shaft"))),
                ("seals set", together.get("seals", cards.get("seals"))),
                ("stationary gear", cards.get("stationary_gear")), ("bearing", cards.get("bearing"))]
    for kind, parts in of_kinds:
        for part in parts or []:
            yield (kind, part["serial"],
                   f"LOBEWRIGHT {kind} {quoted(part['serial'])} build {quoted(build['build']['name'])}")


def drawn(path, dots):
    if path.suffix == ".svg":
        png = bytes(resvg_py.svg_to_bytes(svg_string=path.read_text(), dpi=float(dots)))
    else:
        png = subprocess.run(["pdftoppm", "-r", str(dots), "-png", str(path)], capture_output=True, check=True).stdout
    return Image.open(io.BytesIO(png)).convert("L")


def read(image):
    found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    return found[0] if len(found) == 1 else None


def read_again(image, work):
    """What ZBar makes of the same picture."""
    picture = work / "code.png"
    image.save(picture)
    told = subprocess.run(["zbarimg", "-q", "--raw", "--oneshot", str(picture)], capture_output=True, check=True)
    return told.stdout.decode().removesuffix("\n")


def quiet(image, code, modules):
    """Whether four modules around the code are white."""
    at = code.position
    xs = [p.x for p in (at.top_left, at.top_right, at.bottom_left, at.bottom_right)]
    ys = [p.y for p in (at.top_left, at.top_right, at.bottom_left, at.bottom_right)]
    left, top, right, bottom = min(xs), min(ys), max(xs), max(ys)
    module = (right - left) / modules
    far = 3.9 * module
    area = (left - far, top - far, right + far, bottom + far)
    if area[0] < 0 or area[1] < 0 or area[2] > image.width or area[3] > image.height:
        return False
    ring = image.copy()
    ImageDraw.Draw(ring).rectangle((left - 0.4 * module, top - 0.4 * module, right + 0.4 * module, bottom + 0.4 * module), fill=255)
    return ring.crop(tuple(int(edge) for edge in area)).getextrema()[0] > 200


def blotted(image, code, modules, share):
    """The code with a black blot over so much of its area, in its middle."""
    at = code.position
    side = at.top_right.x - at.top_left.x
    edge = side * share**0.5 / 2
    x, y = at.top_left.x + side / 2, at.top_left.y + side / 2
    copy = image.copy()
    ImageDraw.Draw(copy).rectangle((x - edge, y - edge, x + edge, y + edge), fill=0)
    return copy


def check(binary):
    pictures = labels = 0
    with tempfile.TemporaryDirectory() as work:
        work = Path(work)
        files = sorted((ROOT / "examples").glob("*.toml"))
        hard = work / "hard.toml"
        text = files[[f.stem for f in files].index("sprint-boat")].read_text()
        for name, other in HARD.items():
            text = text.replace(f'"{name}"', "'" + other + "'")
        hard.write_text(text)
        for file in [*files, hard]:
            out = work / file.stem
            subprocess.run([binary, "label", str(file), "--out", str(out)], check=True, capture_output=True)
            wanted = list(expected(file.read_text()))
            assert len(list(out.iterdir())) == 4 * len(wanted), f"{file.name}: {len(list(out.iterdir()))} files"
            left = {(size, form): sorted(text for _, _, text in wanted) for size in MM for form in (".svg", ".pdf")}
            serials = sorted(2 * [serial.replace(" ", "") for _, serial, _ in wanted])
            for path in sorted(out.glob("*.pdf")):
                # In letters too, all of them on the page.
                letters = "".join(text_of(path).split())
                there = [serial for serial in serials if serial in letters]
                assert there, f"{path.name}: {letters}"
                serials.remove(max(there, key=len))
            assert not serials, f"{file.name}: {serials}"
            for path in sorted(out.iterdir()):
                size = path.stem.rsplit("-", 1)[1]
                for dots in DOTS:
                    image = drawn(path, dots)
                    wide, high = (mm * dots / 25.4 for mm in MM[size])
                    assert abs(image.width - wide) <= 1.01 and abs(image.height - high) <= 1.01, f"{path.name}: {image.size}"
                    code = read(image)
                    assert code is not None, f"{path.name} at {dots}: no code"
                    if dots == DOTS[0]:
                        left[size, path.suffix].remove(code.text)
                        once = code.text
                    assert code.text == once, f"{path.name} at {dots}: {code.text}"
                    assert code.ec_level in ("M", "Q", "H"), f"{path.name}: correction {code.ec_level}"
                    pictures += 1
                zbar = read_again(image, work)
                assert zbar == once, f"{path.name}: ZBar reads {zbar!r}"
                # At the finest: sizes, surroundings, and what may be lost.
                version = int(code.extra["Version"]) if isinstance(code.extra, dict) else None
                modules = 17 + 4 * version if version else None
                modules = modules or count(image, code)
                module_mm = (code.position.top_right.x - code.position.top_left.x) / modules * 25.4 / dots
                assert module_mm >= LEAST_MODULE_MM - 0.01, f"{path.name}: modules of {module_mm:.3f} mm"
                assert quiet(image, code, modules), f"{path.name}: no quiet zone of four modules"
                again = read(blotted(image, code, modules, 0.05))
                assert again is not None and again.text == once, f"{path.name}: not read with a blot on it"
                labels += 1
            assert not any(left.values()), f"{file.name}: {left}"
    return labels, pictures


def count(image, code):
    """Modules to a side, from the eye in the corner: it is seven wide."""
    at = code.position
    y = int(at.top_left.y + 0.5 * (at.top_right.x - at.top_left.x) / 177) + 2
    row = [image.getpixel((x, y)) < 128 for x in range(int(at.top_left.x), int(at.top_right.x))]
    start = row.index(True)
    eye = row[start:].index(False)
    return 17 + 4 * round(((at.top_right.x - at.top_left.x) / (eye / 7) - 17) / 4)


if __name__ == "__main__":
    labels, pictures = check(sys.argv[1])
    print(f"{labels} labels, {pictures} pictures of them read back")
