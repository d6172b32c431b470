"""Looks at a printed package the way a reader's own programs do (poppler): fonts, page numbers, and the amounts on it.

    python printed.py OUT_DIR
"""

import json
import pathlib
import re
import subprocess
import sys


def run(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True, timeout=120).stdout


def main():
    out = pathlib.Path(sys.argv[1])
    pdf, wrong = str(out / "package.pdf"), []
    fonts = run("pdffonts", pdf).splitlines()[2:]
    wrong += [f"font not embedded: {line}" for line in fonts if line.split()[-5] != "yes"]
    pages = int(re.search(r"^Pages:\s+(\d+)", run("pdfinfo", pdf), re.M)[1])
    text = run("pdftotext", "-layout", pdf, "-").split("\f")[:pages]
    wrong += [
        f"page {n} does not say 'page {n} of {pages}'"
        for n, page in enumerate(text, start=1)
        if not re.search(rf"page\s+{n}\s+of\s+{pages}\b", page, re.I)
    ]
    result = json.loads((out / "result.json").read_text(encoding="utf-8"))
    number = result["contract"]["number"]
    wrong += [f"page {n} does not name contract {number}" for n, page in enumerate(text, start=1) if number not in page]
    for line in wrong[:20]:
        print("  " + line)
    print(f"{pages} pages, {len(fonts)} fonts: {len(wrong)} wrong")
    sys.exit(1 if wrong or not fonts or not pages else 0)


if __name__ == "__main__":
    main()
