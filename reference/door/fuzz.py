"""Asks a served shop what its OpenAPI text allows and what it does not, by Schemathesis.

    python fuzz.py BINARY

Serves a shop of its own on loopback, with the invented builds of the examples, signs its owner in,
and sends to every operation but the two of the session. Ends with status 1 where an answer is a
fault (5xx), has a status, media type or shape that the text does not name; else a line says how much
was asked. The seed is fixed and the number of cases bounded.
"""

import json
import re
import subprocess
import sys
import tempfile
import urllib.parse
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CASES = 25          # of one operation in the phase of chance
SEED = 20261128
OWNER, PASSWORD = "Ada Quill", "cold start 7"
CHECKS = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance"
# Signing out would end the run; signing in waits after a few wrong passwords, as it should.
LEFT_OUT = ["/api/session", "/api/session/end"]
# Seconds each in a debug build, and their answers are the kernel's own to test.
SLOW = ["/api/builds/{build}/speed"]


def asked(address, path, fields=None, token=None):
    request = urllib.request.Request(address + path)
    if fields is not None:
        request.data = json.dumps(fields).encode()
        request.add_header("content-type", "application/json")
    if token:
        request.add_header("authorization", f"Bearer {token}")
    with urllib.request.urlopen(request, timeout=60) as answer:
        return json.load(answer)


def begun(address):
    """The first start, and a token of the owner."""
    form = {"shop": "Quill Rotary", "name": OWNER, "password": PASSWORD, "again": PASSWORD, "units": "metric"}
    request = urllib.request.Request(address + "/first", urllib.parse.urlencode(form).encode())
    with urllib.request.urlopen(request, timeout=60):
        pass
    token = asked(address, "/api/session", {"name": OWNER, "password": PASSWORD})["token"]
    for name in ["sprint-boat", "dipper-pump"]:
        text = (ROOT / "examples" / f"{name}.toml").read_text()
        asked(address, "/api/builds/bring", {"text": text}, token)
    asked(address, "/api/customers", {"name": "Reed Racing"}, token)
    return token


def fuzzed(binary, work):
    served = subprocess.Popen(
        [binary, "serve", str(work / "shop.db"), "--port", "0"],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )
    try:
        address = None
        for line in served.stdout:
            if found := re.search(r"http://[0-9.:]+", line):
                address = found.group()
                break
        if address is None:
            sys.exit("the shop is not served")
        token = begun(address)
        words = [
            "run", str(ROOT / "docs" / "openapi.json"), "--url", address,
            "--header", f"Authorization: Bearer {token}", "--checks", CHECKS,
            "--phases", "examples,coverage,fuzzing", "--max-examples", str(CASES), "--seed", str(SEED),
            "--generation-deterministic", "--no-shrink",
            "--continue-on-failure", "--workers", "1", "--no-color", "--warnings", "off",
            "--request-timeout", "30", "--suppress-health-check", "all",
        ]
        for path in LEFT_OUT + SLOW:
            words += ["--exclude-path", path]
        program = Path(sys.executable).with_name("st")
        done = subprocess.run([program, *words], capture_output=True, text=True, cwd=work)
        if served.poll() is not None:
            sys.exit(f"the program ended: {served.returncode}")
        audit = asked(address, "/api/audit", token=token)
        return done, audit["fits"]
    finally:
        served.terminate()
        served.wait(timeout=30)


def main():
    binary = str(Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as work:
        done, fits = fuzzed(binary, Path(work))
    counted = re.search(r"([\d,]+) generated", done.stdout)
    if done.returncode != 0 or counted is None:
        sys.exit(done.stdout[-12000:] + done.stderr[-2000:])
    if not fits:
        sys.exit("the record does not fit any more")
    print(f"door: {counted.group(1)} cases, no fault, every answer as the document says, the record fits")


main()
