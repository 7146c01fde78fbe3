"""Reads the square codes of printed labels with a decoder that is none of ours (OpenCV's QRCodeDetector).

    python3 tests/outside/labels_qr.py PROGRAM LIBRARY

PROGRAM prints the labels of a programme of LIBRARY; their pages, as pictures at 300 dots an inch (pdftoppm, or PyMuPDF where that
is missing), must hold exactly the ids that stand beneath the codes in print. The ids are taken from the library's own file names.
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile

import cv2


def pages(pdf: pathlib.Path, into: pathlib.Path) -> list[pathlib.Path]:
    """The pages as pictures."""
    if shutil.which("pdftoppm"):
        subprocess.run(["pdftoppm", "-r", "300", "-png", str(pdf), str(into / "page")], check=True)
    else:
        import fitz

        for number, page in enumerate(fitz.open(pdf)):
            page.get_pixmap(dpi=300).save(into / f"page-{number:03}.png")
    return sorted(into.glob("page-*.png"))


def read_labels(picture: pathlib.Path, sheet: dict) -> list[str]:
    """What each label of a page says; each is looked at by itself, as a person with a telephone would."""
    image = cv2.imread(str(picture), cv2.IMREAD_GRAYSCALE)
    dots = 300 / 25.4
    found = []
    detector = cv2.QRCodeDetector()
    for row in range(sheet["rows"]):
        for column in range(sheet["columns"]):
            left = sheet["left"] + column * (sheet["wide"] + sheet["gap"])
            top = sheet["top"] + row * sheet["high"]
            y, x = round(top * dots), round(left * dots)
            cell = image[y : round((top + sheet["high"]) * dots), x : round((left + sheet["wide"]) * dots)]
            if cell.min() > 128:
                continue
            text, _, _ = detector.detectAndDecode(cell)
            if not text:
                half = cv2.resize(cell, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
                text, _, _ = detector.detectAndDecode(half)
            found.append(text)
    return found


# Millimetres, as stationers print them on their boxes. The smallest labels of each paper have the smallest codes.
SHEETS = {
    ("24", "a4"): dict(columns=3, rows=8, wide=70.0, high=37.0, left=0.0, top=0.5, gap=0.0),
    ("8", "a4"): dict(columns=2, rows=4, wide=99.1, high=67.7, left=4.65, top=13.1, gap=2.5),
    ("letter-14", "letter"): dict(columns=2, rows=7, wide=101.6, high=33.87, left=3.97, top=21.17, gap=4.76),
}


def main() -> None:
    program, library = sys.argv[1:3]
    ids = {path.stem for path in pathlib.Path(library, "instruments").glob("*.ron")}
    programme = "tidelands"
    for (size, paper), sheet in SHEETS.items():
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder, "sheets")
            # Printing writes down what was printed, and is not to change the library that was given.
            copy = shutil.copytree(library, pathlib.Path(folder, "library"))
            command = [program, "sheets", str(copy), "--programme", programme, "--sheet", "labels"]
            subprocess.run([*command, "--labels", size, "--paper", paper, "--out", str(out)], check=True, stdout=subprocess.DEVNULL)
            (pdf,) = out.glob("*.pdf")
            read = [text for page in pages(pdf, out) for text in read_labels(page, sheet)]
        unread = read.count("")
        strange = {text for text in read if text} - ids
        assert read, "there were labels"
        assert not strange, f"{size}: no instrument has the id {strange}"
        assert unread == 0, f"{size}: {unread} of {len(read)} codes were not read"
        print(f"{size} on {paper}: {len(read)} codes read, {len(set(read))} instruments")


main()
