#!/usr/bin/env python3
"""The workbook that `backrow tables` writes, read back by openpyxl (https://openpyxl.readthedocs.io), a reader not made here.

    python3 tests/outside/xlsx_openpyxl.py target/debug/backrow demo-library

Checks sheets, headings, bold and frozen first rows, widths, and that numbers, days and yes/no are such and not words.
Needs openpyxl; without it, it says so and ends with 0.
"""
import datetime
import os
import subprocess
import sys
import tempfile

try:
    import openpyxl
except ImportError:
    print("skipped: openpyxl is not installed")
    sys.exit(0)

program, library = sys.argv[1], sys.argv[2]
with tempfile.TemporaryDirectory() as folder:
    out = os.path.join(folder, "tables.xlsx")
    subprocess.run([program, "tables", library, "--programme", "tidelands", "--out", out], check=True, stdout=subprocess.DEVNULL)
    book = openpyxl.load_workbook(out)

names = ["Collection", "Beaters", "Players", "Places", "Lines", "Assignments", "Load store to stage", "Load stage to truck", "Load back to store"]
names += ["Services", "Moves", "Hires", "Season"]
assert book.sheetnames == names, book.sheetnames
kinds = {
    "Collection": {"name": str, "mass kg": (int, float), "weighed": bool, "width m": (int, float), "A Hz": (int, float)},
    "Lines": {"work": str, "passages": int, "seconds": (int, float), "octave semitones": int},
    # One number is a figure, several are words: "5, 17".
    "Assignments": {"player": str, "number": (int, str), "locked": bool},
    "Load store to stage": {"order": int, "count": int, "kg": (int, float), "people": int, "carried": str},
    "Services": {"begins": datetime.datetime, "what": str},
    "Moves": {"player": str, "metres": (int, float), "have s": (int, float), "need s": (int, float)},
    "Hires": {"what": str, "lender": str, "cost": (int, float)},
    "Season": {"first service": datetime.datetime, "players needed": int, "players now": int},
}
for sheet in book:
    heads = [cell.value for cell in sheet[1]]
    assert sheet.freeze_panes == "A2", (sheet.title, sheet.freeze_panes)
    assert all(cell.font.bold for cell in sheet[1]), sheet.title
    for column in range(1, len(heads) + 1):
        width = sheet.column_dimensions[openpyxl.utils.get_column_letter(column)].width
        assert 6 <= width <= 52, (sheet.title, heads[column - 1], width)
    for head, kind in kinds.get(sheet.title, {}).items():
        at = heads.index(head)
        values = [row[at] for row in sheet.iter_rows(min_row=2, values_only=True) if row[at] is not None]
        assert values, (sheet.title, head)
        for value in values:
            assert isinstance(value, kind), (sheet.title, head, value)
collection = book["Collection"]
instruments = len([f for f in os.listdir(os.path.join(library, "instruments")) if f.endswith(".ron")])
assert collection.max_row - 1 == instruments, (collection.max_row, instruments)
print(f"openpyxl {openpyxl.__version__}: {len(names)} sheets, {instruments} instruments, types, widths and headers as they should be")
