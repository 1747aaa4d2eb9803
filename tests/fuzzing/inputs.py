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
from pathlib import Path
from random import Random

from xlsxwriter import Workbook

HOSTILE = json.loads(Path(__file__).with_name("hostile.json").read_text("utf-8"))
SHEETS = sorted((Path(__file__).parents[1] / "sheets").glob("*.[tc][xs][tv]"))

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
    if kind < 0.8:  # letters of any plane, lone surrogates too
        tops = dice.choices((0x7F, 0x7F, 0xFF, 0x7FF, 0xFFFF, 0x10FFFF), k=dice.randint(0, 30))
        return "".join(chr(dice.randint(0, top)) for top in tops)
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


def table(dice: Random, sound: str, separator: str = ",") -> str:
    """A CSV text with some of its cells or rows spoiled."""
    rows = list(csv.reader(io.StringIO(sound), delimiter=separator))
    at = dice.randrange(len(rows))

    def cell() -> str:
        return dice.choice((text(dice), text(dice), figure(dice), *dice.choice(rows)))

    if dice.random() < 0.75:
        rows[at] = spoiled(dice, rows[at], cell)
    else:
        rows = spoiled(dice, rows, lambda: [cell() for _ in range(dice.randint(0, 5))])
    out = io.StringIO()
    sign = dice.choice((separator,) * 6 + (",", ";", "\t"))
    end = dice.choice(("\n", "\r\n", "\r"))
    csv.writer(out, delimiter=sign, lineterminator=end).writerows(rows)
    return out.getvalue()


def csv_file(dice: Random, sound: str) -> bytes:
    """A CSV file, spoiled by cell or by byte, very long, or something else altogether."""
    kind = dice.random()
    if kind < 0.65:
        return encoded(dice, table(dice, sound))
    if kind < 0.85:
        return damaged(dice, sound.encode())
    if kind < 0.97:
        return encoded(dice, "\n".join(text(dice) for _ in range(dice.randint(0, 6))))
    long = (",", "\n", '"\n', '"' + "x" * MANY, "# note ", sound.splitlines()[-1] + "\n")
    sign = dice.choice(long)
    return encoded(dice, sound + sign * (MANY // len(sign)))


def sheet(dice: Random) -> str:
    """A supplier's sheet as it may be pasted: one that was spoiled, or many texts."""
    sound, kind = dice.choice(SHEETS).read_text("utf-8"), dice.random()
    if kind < 0.5:
        return table(dice, sound, dice.choice(",\t; "))
    if kind < 0.8:
        return damaged(dice, sound.encode()).decode("utf-8", "replace")
    sign = dice.choice(("\t", ",", "  ", " ", "|", "\n"))
    row = sign.join(text(dice) for _ in range(dice.randint(1, 6))) + "\n"
    return row * min(dice.choice((1, 12, 300, 3000)), 300_000 // len(row) + 1)


def sheet_file(dice: Random) -> tuple[str, bytes]:
    """A supplier's file by name and content: a spreadsheet, or text."""
    make, suffix = dice.choice(((xlsx_file, ".xlsx"), (csv_file, ".csv"), (csv_file, "")))
    return text(dice) + suffix, make(dice, dice.choice(SHEETS).read_text("utf-8"))


@cache
def parts_of(sound: str) -> dict[str, bytes]:
    """The parts of an XLSX file of a CSV text, figures as numbers."""
    out = io.BytesIO()
    with Workbook(out, {"in_memory": True, "strings_to_numbers": True}) as book:
        sheet = book.add_worksheet()
        for number, row in enumerate(csv.reader(io.StringIO(sound))):
            sheet.write_row(number, 0, row)
    with zipfile.ZipFile(out) as archive:
        return {part.filename: archive.read(part) for part in archive.infolist()}


def xlsx_file(dice: Random, sound: str) -> bytes:
    """An XLSX file damaged as an archive, or in its parts."""
    kind, parts, out = dice.random(), dict(parts_of(sound)), io.BytesIO()
    usual = (f"xl/{name}.xml" for name in ("sharedStrings", "workbook", "styles"))
    name = dice.choice(("xl/worksheets/sheet1.xml",) * 2 + (*usual, *parts))
    if kind < 0.15:
        parts[name] = damaged(dice, parts[name])
    elif kind < 0.7:
        parts[name] = _xml(dice, parts[name].decode()).encode("utf-8", "replace")
    elif kind < 0.8:
        names = (f"../{name}", f"/{name}", name.upper(), f"{name}\\x")
        parts[dice.choice(names)] = parts.pop(name)
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return damaged(dice, out.getvalue()) if kind > 0.8 else out.getvalue()


def _xml(dice: Random, sound: str) -> str:
    """XML with a value in it that is another, or an element."""

    def new() -> str:
        said = text(dice).replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
        return dice.choice(HOSTILE["fragments"]).replace("TEXT", said)

    if dice.random() < 0.4:
        return "".join(spoiled(dice, re.findall(r"<[^>]*>|[^<]+", sound), new))
    value = dice.choice(list(re.finditer(r'(?<=")[^"]*(?=")|(?<=>)[^<]+', sound)))
    said = word(dice, "spreadsheets") if dice.random() < 0.5 else new()
    return sound[: value.start()] + said + sound[value.end() :]


def json_file(dice: Random, sound: bytes) -> bytes:
    """A JSON file with values of other kinds or other keys, or no JSON any more."""
    kinds = ("null", "true", "[]", "{}", "[[]]", '{"a": 1}', "NaN", "-Infinity", "1e999", "-0.0")
    deep = dice.choice(("[", '{"a":')) * dice.choice((50, 1000, 100_000))

    def new() -> str:
        return dice.choice((*kinds, "9" * 5000, json.dumps(text(dice)), deep))

    if dice.random() < 0.2:
        return damaged(dice, sound)
    parts = re.findall(r'"(?:[^"\\]|\\.)*"|[-+.\w]+|\s+|.', sound.decode())
    values = [at for at, part in enumerate(parts) if not part.isspace() and part not in "[]{},:"]
    for at in dice.sample(values, k=dice.choice((1, 1, 2, 4))):
        parts[at] = new()
    return "".join(parts).encode()
