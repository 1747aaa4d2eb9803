"""Hostile and broken inputs, each made by seeded dice: texts, tables, archives, JSON.

`dice` is a `random.Random`; the same seed makes the same input. What has broken programs is in
hostile.json; all that is broken here is broken by `spoiled`.
"""

import csv
import io
import json
import re
import zipfile
from collections.abc import Callable
from functools import cache
from itertools import zip_longest
from pathlib import Path
from random import Random

from xlsxwriter import Workbook

HOSTILE = json.loads(Path(__file__).with_name("hostile.json").read_text("utf-8"))

MANY = 5_000_000
"""Signs of the longest files that are made."""


def spoiled(dice: Random, sound, new: Callable[[], object]) -> list:
    """A few items of a sequence replaced, put in, taken out, doubled, swapped or cut off."""
    items = list(sound)
    for _ in range(dice.choice((1, 1, 1, 2, 5))):
        at, count = dice.randint(0, len(items)), dice.choice((1, 1, 2, 10, 1000))
        change = dice.random()
        if change < 0.5:
            items[at : at + 1] = [new()]
        elif change < 0.65:
            items.insert(at, new())
        elif change < 0.75:
            del items[at : at + count]
        elif change < 0.85:
            items[at:at] = items[max(0, at - count) : at] * dice.choice((1, 1, 30))
        elif change < 0.95:
            items[at : at + 2] = items[at : at + 2][::-1]
        else:
            del items[at:]
    return items


def word(dice: Random, *kinds: str) -> str:
    """A word of hostile.json."""
    return dice.choice(
        HOSTILE[dice.choice(kinds or ("numbers", "days", "names", "signs", "words"))]
    )


def text(dice: Random) -> str:
    """Anything a person, a spreadsheet or an enemy may put into a cell or a box."""
    kind = dice.random()
    if kind < 0.35:
        return word(dice)
    if kind < 0.5:
        return figure(dice)
    if kind < 0.65:
        sign = dice.choice(("", " ", ",", "\n", "\t", "-", "=", ";"))
        return sign.join(word(dice) for _ in range(dice.randint(2, 4)))
    if kind < 0.8:
        return letters(dice, dice.randint(0, 30))
    if kind < 0.88:
        return (word(dice) * dice.choice((10, 400, 5000, 30_000)))[:200_000]
    return garbled(dice, word(dice))


def figure(dice: Random) -> str:
    """A figure near to a sound one, of one of many kinds of digits."""
    digits = dice.choice(HOSTILE["digits"]) if dice.random() < 0.2 else "0123456789"
    whole = "".join(dice.choices(digits, k=dice.randint(1, dice.choice((2, 4, 12, 400)))))
    part = "".join(dice.choices(digits, k=dice.randint(0, 4)))
    before = dice.choice(("", "", "", "-", "$", "€", "up to ", "≤", " "))
    after = dice.choice(("", "", "", "%", " %", " in", " mm", '"', "+", " or more", "*", "\u00a0"))
    return before + whole + dice.choice(("", *"..,, '٫/-–+e")) + part + after


def letters(dice: Random, count: int) -> str:
    """Letters of any plane, lone surrogates too."""
    tops = (0x7F, 0x7F, 0xFF, 0x7FF, 0xFFFF, 0x10FFFF)
    return "".join(chr(dice.randint(0, dice.choice(tops))) for _ in range(count))


def garbled(dice: Random, sound: str) -> str:
    """A text in which some signs are others."""
    return "".join(spoiled(dice, sound, lambda: dice.choice(("O", "l", word(dice, "signs")))))


def damaged(dice: Random, sound: bytes) -> bytes:
    """Bytes of which some are others."""
    return bytes(spoiled(dice, sound, lambda: dice.randrange(256)))


def encoded(dice: Random, said: str) -> bytes:
    """A text as bytes, mostly in UTF-8."""
    encodings = ("utf-16", "utf-16-be", "utf-32", "latin-1", "cp1252", "utf-8-sig", "utf-7")
    encoding = "utf-8" if dice.random() < 0.9 else dice.choice(encodings)
    errors = "surrogatepass" if encoding == "utf-8" and dice.random() < 0.5 else "replace"
    return said.encode(encoding, errors)


# ---- tables ---------------------------------------------------------------------------


def table(dice: Random, sound: str, separator: str = ",") -> str:
    """A CSV text with some of its cells, rows or columns spoiled."""
    rows = list(csv.reader(io.StringIO(sound), delimiter=separator))
    kind, at = dice.random(), dice.randrange(len(rows))

    def cell() -> str:
        return dice.choice((text(dice), text(dice), figure(dice), *dice.choice(rows)))

    def row() -> list[str]:
        return [cell() for _ in range(dice.randint(0, 5))]

    if kind < 0.7:
        rows[at] = spoiled(dice, rows[at], cell)
    elif kind < 0.9:
        rows = spoiled(dice, rows, row)
    else:
        columns = list(zip_longest(*rows, fillvalue=""))
        columns = spoiled(dice, columns, lambda: [text(dice)] * len(rows))
        rows = zip(*columns, strict=True)
    out = io.StringIO()
    sign = dice.choice((separator,) * 6 + (",", ";", "\t"))
    end = dice.choice(("\n", "\r\n", "\r"))
    csv.writer(out, delimiter=sign, lineterminator=end).writerows(rows)
    return out.getvalue()


def csv_file(dice: Random, sound: str, separator: str = ",") -> bytes:
    """A CSV file, spoiled by cell or by byte, very long, or something else altogether."""
    kind = dice.random()
    if kind < 0.65:
        return encoded(dice, table(dice, sound, separator))
    if kind < 0.85:
        return damaged(dice, sound.encode())
    if kind < 0.9:
        return dice.randbytes(dice.choice((0, 1, 3, 60, 4000)))
    if kind < 0.97:
        return encoded(dice, "\n".join(text(dice) for _ in range(dice.randint(0, 6))))
    sign = dice.choice(
        (",", "\n", '"\n', '"' + "x" * MANY, "# note ", sound.splitlines()[-1] + "\n")
    )
    return encoded(dice, sound + sign * (MANY // len(sign)))


# ---- suppliers' sheets ----------------------------------------------------------------

SHEETS = sorted((Path(__file__).parents[1] / "sheets").glob("*.[tc][xs][tv]"))


def sheet(dice: Random) -> str:
    """A sheet as it may be pasted: one that was spoiled, or many texts."""
    sound, kind = dice.choice(SHEETS).read_text("utf-8"), dice.random()
    if kind < 0.5:
        return table(dice, sound, dice.choice(",\t; "))
    if kind < 0.8:
        return damaged(dice, sound.encode()).decode("utf-8", "replace")
    if kind < 0.95:
        sign = dice.choice(("\t", ",", "  ", " ", "|"))
        rows = range(dice.randint(1, 12))
        return "\n".join(sign.join(text(dice) for _ in range(dice.randint(1, 6))) for _ in rows)
    said = text(dice) + dice.choice((" ", "\t", "\n", ","))
    return said * min(dice.choice((300, 3000)), 300_000 // len(said) + 1)


def sheet_file(dice: Random) -> tuple[str, bytes]:
    """A supplier's file by name and content: a spreadsheet, or text."""
    sound, name = dice.choice(SHEETS).read_text("utf-8"), text(dice)
    if dice.random() < 0.6:
        return dice.choice(("sheet.xlsx", "SHEET.XLSX", f"{name}.xlsx")), xlsx_file(dice, sound)
    return dice.choice(("sheet.csv", "sheet.txt", name)), csv_file(dice, sound)


# ---- spreadsheets ---------------------------------------------------------------------


@cache
def parts_of(sound: str) -> dict[str, bytes]:
    """The parts of an XLSX file of a CSV text, figures as numbers."""
    out = io.BytesIO()
    with Workbook(out, {"in_memory": True, "strings_to_numbers": True}) as book:
        percent, sheet = book.add_format({"num_format": "0.00%"}), book.add_worksheet()
        for number, row in enumerate(csv.reader(io.StringIO(sound))):
            for at, cell in enumerate(row):
                share = re.fullmatch(r"([0-9.]+) %", cell)
                value = (float(share[1]) / 100, percent) if share else (cell,)
                sheet.write(number, at, *value)
    with zipfile.ZipFile(out) as archive:
        return {part.filename: archive.read(part) for part in archive.infolist()}


def packed(parts: dict[str, bytes]) -> bytes:
    """An archive of `parts`."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


def xlsx_file(dice: Random, sound: str) -> bytes:
    """An XLSX file: damaged as an archive, or in its parts, or made to swell."""
    kind, parts = dice.random(), dict(parts_of(sound))
    if kind < 0.2:
        return damaged(dice, packed(parts))
    if kind < 0.25:
        return dice.choice((dice.randbytes(100), sound.encode()))
    if kind < 0.27:
        return bomb(sound, dice.randrange(len(_BOMBS)))
    name = dice.choice((_SHEET, _SHEET, _STRINGS, _BOOK, _STYLES, *parts))
    if kind < 0.4:
        parts[name] = damaged(dice, parts[name])
    elif kind < 0.9:
        parts[name] = _xml(dice, parts[name].decode()).encode("utf-8", "replace")
    else:
        content = parts.pop(name)
        if kind < 0.96:
            parts[dice.choice((f"../{name}", f"/{name}", name.upper(), f"{name}\\x"))] = content
    return packed(parts)


def _xml(dice: Random, sound: str) -> str:
    """XML with a value in it that is another, or an element."""

    def new() -> str:
        said = text(dice).replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
        return dice.choice(HOSTILE["fragments"]).replace("TEXT", said)

    if dice.random() < 0.4:
        return "".join(spoiled(dice, re.findall(r"<[^>]*>|[^<]+", sound), new))
    values = list(re.finditer(r'(?<=")[^"]*(?=")|(?<=>)[^<]+', sound))
    value = dice.choice(values)
    said = word(dice, "spreadsheets") if dice.random() < 0.5 else new()
    return sound[: value.start()] + said + sound[value.end() :]


_SHEET, _STRINGS = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
_BOOK, _STYLES = "xl/workbook.xml", "xl/styles.xml"
_ENTITIES = b"".join(b'<!ENTITY e%d "%s">' % (at + 1, b"&e%d;" % at * 10) for at in range(9))
_BOMBS = (
    (_SHEET, b"</sheetData>", 2_000_000, b"<row><c><v>7</v></c></row>"),
    (_SHEET, b"</sheetData>", 300_000_000, b" "),
    (_SHEET, b"</sheetData>", 3_000_000, b"<row><c t='inlineStr'><is><t>x"),
    (_SHEET, b"</sheetData>", 1_000_000, b"<row>"),
    (_STRINGS, b"</sst>", 5_000_000, b"<si><t>x</t></si>"),
    (_STRINGS, b"<sst", 1, b'<!DOCTYPE x [<!ENTITY e0 "ha">' + _ENTITIES + b"]>"),
    (_STYLES, b"<cellXfs", 10_000_000, b"<x/>"),
    (_BOOK, b"<workbookPr", 50_000_000, b"<x/>"),
    ("xl/media/image.png", b"", 150_000_000, b"\0"),
)
"""Before what something is put in, how often, and what."""


@cache
def bomb(sound: str, kind: int) -> bytes:
    """A small archive that unpacks to a great deal, or expands when it is read."""
    name, at, times, put_in = _BOMBS[kind]
    content = parts_of(sound).get(name, b"").replace(at, put_in * times + at, 1)
    return packed(parts_of(sound) | {name: content})


# ---- JSON -----------------------------------------------------------------------------


def json_file(dice: Random, sound: bytes) -> bytes:
    """A JSON file with values of other kinds, other keys, or no JSON any more."""
    kind = dice.random()
    if kind < 0.2:
        return damaged(dice, sound)
    if kind < 0.25:
        return dice.choice((b"[", b'{"a":')) * dice.choice((50, 1000, 100_000))
    if kind < 0.3:
        return sound.replace(b"1", dice.choice((b"1e999", b"NaN", b"-Infinity", b"9" * 5000)))
    said = json.loads(sound)
    for _ in range(dice.choice((1, 1, 2, 4))):
        said = _other(dice, said)
    return json.dumps(said).encode()


def _other(dice: Random, said: object) -> object:
    """A JSON value with something in it that is another."""
    if not said or not isinstance(said, dict | list) or dice.random() < 0.1:
        return json_value(dice)
    if dice.random() < 0.3:
        if isinstance(said, list):
            return spoiled(dice, said, lambda: json_value(dice))
        return dict(spoiled(dice, said.items(), lambda: (text(dice), json_value(dice))))
    key = dice.choice(list(said) if isinstance(said, dict) else range(len(said)))
    said[key] = _other(dice, said[key])
    return said


def json_value(dice: Random) -> object:
    """A value of any kind that JSON has."""
    figures = (0, 1, -1, 24, 10**30, 0.5, -0.0, 1e308, float("nan"), float("inf"))
    return dice.choice((None, True, False, "", [], {}, [[]], {"a": 1}, text(dice), *figures))
