"""Hostile and broken inputs, each made by seeded dice: texts, files that were damaged, archives.

`dice` is a `random.Random`; the same seed makes the same input.
"""

import csv
import io
import json
import zipfile
import zlib
from collections.abc import Sequence
from functools import cache
from random import Random

OUTSIDE = "../outside/secret"
"""A file beside the shop's folder that nothing may open (see `guard`), without its suffix."""

DIGITS = (
    "0123456789",
    "٠١٢٣٤٥٦٧٨٩",
    "０１２３４５６７８９",
    "①②③④⑤⑥⑦⑧⑨⓪",
    "²³¹⁴⁵",
    "Ⅷ",
    "零一二三",
)
NUMBERS = (
    "0", "-0", "1", "-1", "+1", "1e9", "1e999", "1E999999999", "-1e-999999999", "nan", "NaN", "inf",
    "-inf", "Infinity", "0x10", "1_000", "1/0", "0/0", "0/1", "1/3", "2 1/0", "2-1/4", "½", "2½",
    "٣",
    "9" * 15, "9" * 400, "9" * 5000, "0." + "0" * 400 + "1", "1." + "3" * 5000, ".5", "5.", "..",
    "1,2,3",
    "1.000.000,00", "1,000,000.00", "0.0001", "1e-320", "2147483648", "9223372036854775808",
    "1e308",
    "1000000", "1000001", "100 %", "0 %", "99.99 %", "100.0001 %", "1e3 %", "%", "12-23", "24+",
    "12–", "–12",
    "144 or more", "1 doz", "6 gross", "≤ 50 mm", "up to 2\"", "57 mm", "1e9 mm", "2″", "2 in in",
    "9999999999 in", "1/9999999999999999999999", "1" * 300 + "/" + "3" * 300,
)  # fmt: skip
DAYS = (
    "2026-11-25", "2026-13-01", "2026-02-30", "0001-01-01", "9999-12-31", "0000-00-00", "20261125",
    "2026-W01-1", "2026-11-25T00:00", "12-Jun", "٢٠٢٦-١١-٢٥", "-2026-11-25", "1900-01-01",
    "2199-12-31",
)  # fmt: skip
NAMES = (
    OUTSIDE, "../../etc/passwd", "/etc/passwd", "C:\\con", "\\\\host\\share", "con", "NUL",
    "aux.csv",
    "a/b", "a\\b", ".", "..", "...", "~", "~root", "leather ", "Leather", "link", "-rf",
    "a" * 300, "é" * 200,
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "&lt;", "]]>", "<!--", "\"'><b>",
    "#read(\"/etc/passwd\")", "*bold*", "$x$", "$\\frac{1}{0}$", "@ref", "\\", "{0}", "{x}", "%s",
    "%(x)s",
    "${HOME}", "`id`", "$(id)", "'; DROP TABLE jobs; --", "=cmd|'/c calc'!A1", "+1", "-1",
    "@SUM(1)",
    "\t=1", "\r=1", "\x1b[2J\x1b]0;x\x07", "__import__('os').system('id')", "!!python/object",
    "#", "note",
)  # fmt: skip
SIGNS = (
    "\0", "\x01", "\x1b", "\x7f", "\x85", "\u00a0", "\u2028", "\u2029", "\u200b", "\u200e",
    "\u202e", "\u2066",
    "\ufeff", "\ufffe", "\uffff", "\ufffd", "\ud800", "\udfff", "\U0001f9e2", "\U0010ffff",
    "e\u0301", "ß",
    "İ", "ﬁ", "\r", "\n", "\r\n", "\t", "\v", "\f", "\x1c", '"', '""', "'", ",", ";", "|", "–",
    "−", "٪", "€",
)  # fmt: skip
WORDS = (
    "leather", "vinyl", "flat", "twill", "mesh", "patch", "cap", "yes", "no", "first", "repeat",
    "piece",
    "any", "size", "quantity", "stitches", "in", "mm", "each", "doz", "or more", "up to",
    "and up", "USD",
    "$", "12", "24", "48", "144", "2", "2.5", "3.20", "4.10", "0", "1", "mean of sides (in)", "job",
)  # fmt: skip


def text(dice: Random) -> str:
    """Anything a person, a spreadsheet or an enemy may put into a cell or a box."""
    kind = dice.random()
    if kind < 0.35:
        return dice.choice(dice.choice((NUMBERS, NUMBERS, DAYS, NAMES, NAMES, SIGNS, WORDS)))
    if kind < 0.45:
        return figure(dice)
    if kind < 0.65:
        parts = [dice.choice(dice.choice((NUMBERS, DAYS, NAMES, SIGNS, WORDS))) for _ in range(4)]
        return dice.choice(("", " ", ",", "\n", "\t", "-", "=", ";")).join(
            parts[: dice.randint(2, 4)]
        )
    if kind < 0.8:
        return letters(dice, dice.randint(0, 30))
    if kind < 0.86:
        return (letters(dice, 3) or "x") * dice.choice((10, 100, 1000, 10_000))
    if kind < 0.88:
        return (dice.choice(NUMBERS + WORDS) * dice.choice((100, 1000, 30_000)))[:200_000]
    return garbled(dice, dice.choice(dice.choice((NUMBERS, DAYS, NAMES, WORDS))))


def figure(dice: Random) -> str:
    """A figure near to a sound one, of one of many kinds of digits."""
    digits = dice.choice(DIGITS) if dice.random() < 0.2 else DIGITS[0]
    mark, part = dice.choice("..,, '٫/-–+e"), "".join(dice.choices(digits, k=dice.randint(0, 4)))
    whole = "".join(dice.choices(digits, k=dice.randint(1, dice.choice((2, 4, 12, 40)))))
    before = dice.choice(("", "", "", "-", "$", "€", "up to ", "≤", " "))
    after = dice.choice(("", "", "", "%", " %", " in", " mm", '"', "+", " or more", "*", "\u00a0"))
    return f"{before}{whole}{mark if dice.random() < 0.7 else ''}{part}{after}"


def letters(dice: Random, count: int) -> str:
    """Letters of any plane, lone surrogates too."""
    tops = (0x7F, 0x7F, 0xFF, 0x7FF, 0xFFFF, 0x10FFFF)
    return "".join(chr(dice.randint(0, dice.choice(tops))) for _ in range(count))


def garbled(dice: Random, said: str) -> str:
    """A text with a letter put in, taken out, doubled or swapped."""
    signs = list(said)
    for _ in range(dice.randint(1, 3)):
        at = dice.randint(0, len(signs))
        change = dice.randrange(4)
        if change == 0:
            signs.insert(at, dice.choice(dice.choice((SIGNS, DIGITS[0], "OolI.,-/% "))))
        elif change == 1:
            del signs[at : at + 1]
        elif change == 2:
            signs[at:at] = signs[at : at + 3]
        else:
            signs[at : at + 2] = signs[at : at + 2][::-1]
    return "".join(signs)


def encoded(dice: Random, said: str) -> bytes:
    """A text as bytes, mostly in UTF-8."""
    if dice.random() < 0.9:
        return said.encode("utf-8", dice.choice(("surrogatepass", "replace")))
    encoding = dice.choice(
        ("utf-16", "utf-16-be", "utf-32", "latin-1", "cp1252", "utf-8-sig", "utf-7")
    )
    return said.encode(encoding, "replace")


# ---- tables ---------------------------------------------------------------------------


def table(dice: Random, sound: str, separator: str = ",") -> str:
    """A CSV text with some of its cells, rows or columns spoiled."""
    rows = list(csv.reader(io.StringIO(sound), delimiter=separator))
    for _ in range(dice.choice((1, 1, 1, 2, 5))):
        change, at = dice.random(), dice.randrange(len(rows))
        row = rows[at]
        if change < 0.6:
            if row:
                row[dice.randrange(len(row))] = text(dice)
        elif change < 0.65:
            rows[at:at] = [list(row)]
        elif change < 0.7 and len(rows) > 1:
            del rows[at]
        elif change < 0.75 and len(row) > 1:
            here, there = dice.sample(range(len(row)), 2)
            for one in rows:
                if max(here, there) < len(one):
                    one[here], one[there] = one[there], one[here]
        elif change < 0.8:
            row.insert(dice.randint(0, len(row)), text(dice))
        elif change < 0.85 and row:
            del row[dice.randrange(len(row))]
        elif change < 0.9:
            head = rows[0]
            if head:
                head[dice.randrange(len(head))] = dice.choice((text(dice), *head))
        elif change < 0.95:
            dice.shuffle(rows)
        else:
            rows.extend([list(row)] * dice.choice((3, 30, 300)))
    sign = dice.choice((separator,) * 6 + (",", ";", "\t"))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=sign, lineterminator=dice.choice(("\n", "\r\n", "\r")))
    writer.writerows(rows)
    return out.getvalue()


def damaged(dice: Random, sound: bytes) -> bytes:
    """Bytes flipped, cut out, doubled, put in."""
    content = bytearray(sound)
    for _ in range(dice.choice((1, 1, 2, 4, 16))):
        at = dice.randint(0, len(content))
        change = dice.randrange(6)
        if change == 0 and at < len(content):
            content[at] ^= 1 << dice.randrange(8)
        elif change == 1 and at < len(content):
            content[at] = dice.randrange(256)
        elif change == 2:
            del content[at : at + dice.choice((1, 2, 10, 1000))]
        elif change == 3:
            content[at:at] = content[max(0, at - dice.choice((1, 10, 1000))) : at]
        elif change == 4:
            content[at:at] = encoded(dice, dice.choice(SIGNS + NUMBERS))
        else:
            content[at:] = b""
    return bytes(content)


def csv_file(dice: Random, sound: str, separator: str = ",") -> bytes:
    """A CSV file, spoiled by cell or by byte, or something else altogether."""
    kind = dice.random()
    if kind < 0.65:
        return encoded(dice, table(dice, sound, separator))
    if kind < 0.85:
        return damaged(dice, sound.encode())
    if kind < 0.9:
        return dice.randbytes(dice.choice((0, 1, 3, 60, 4000)))
    if kind < 0.97:
        return encoded(dice, "\n".join(text(dice) for _ in range(dice.randint(0, 6))))
    return encoded(dice, dice.choice(_LONG)(sound))


_LONG = (
    lambda sound: sound + sound.splitlines(keepends=True)[-1] * 100_000,
    lambda sound: sound + "," * 1_000_000,
    lambda sound: sound + "\n" * 1_000_000,
    lambda sound: '"' + "x" * 3_000_000 + '",' + sound,
    lambda sound: sound + '"' + "\n" * 500_000,
    lambda sound: "# " + "note " * 500_000 + "\n" + sound,
    lambda sound: sound.replace(",", ",," * 3000),
)
"""Files of some megabytes: very many rows or cells, very long ones."""


# ---- spreadsheets ---------------------------------------------------------------------


@cache
def spreadsheet(sound: str) -> bytes:
    """An XLSX file of a CSV text, figures as numbers."""
    from xlsxwriter import Workbook

    out = io.BytesIO()
    with Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        money = book.add_format({"num_format": "0.00%"})
        for number, row in enumerate(csv.reader(io.StringIO(sound))):
            for at, cell in enumerate(row):
                if cell.replace(".", "", 1).isascii() and cell.replace(".", "", 1).isdigit():
                    sheet.write_number(number, at, float(cell))
                elif cell.endswith(" %") and cell[:-2].replace(".", "", 1).isdigit():
                    sheet.write_number(number, at, float(cell[:-2]) / 100, money)
                else:
                    sheet.write_string(number, at, cell)
    return out.getvalue()


def xlsx_file(dice: Random, sound: str) -> bytes:
    """An XLSX file: damaged as an archive, or in its parts, or made to swell."""
    kind, whole = dice.random(), spreadsheet(sound)
    if kind < 0.2:
        return damaged(dice, whole)
    if kind < 0.24:
        return dice.randbytes(100)
    if kind < 0.27:
        return sound.encode()
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        parts = {part.filename: archive.read(part) for part in archive.infolist()}
    if kind < 0.5:
        name = dice.choice((_SHEET, _SHEET, _STRINGS, "xl/workbook.xml", "xl/styles.xml", *parts))
        parts[name] = damaged(dice, parts[name])
    elif kind < 0.9:
        name, old, new = dice.choice(_SWAPS)
        parts[name] = parts[name].replace(
            old, new.replace(b"TEXT", _xml(text(dice))), dice.choice((1, -1))
        )
    elif kind < 0.95:
        name = dice.choice(list(parts))
        parts[dice.choice((name, "../" + name, "/" + name, name.upper(), name + "\\x"))] = (
            parts.pop(name)
        )
    elif kind < 0.98:
        del parts[dice.choice(list(parts))]
    else:
        return _bomb(sound, dice.randrange(9))
    return _packed(parts)


_SHEET, _STRINGS = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
_SWAPS = (
    (_SHEET, b"<v>", b"<v>TEXT"), (_SHEET, b"</v>", b"TEXT</v>"), (_SHEET, b'r="A', b'r="TEXT'),
    (_SHEET, b't="s"', b't="TEXT"'), (_SHEET, b't="s"', b't="d"'), (_SHEET, b't="s"', b't="e"'),
    (_SHEET, b't="s"', b't="inlineStr"'), (_SHEET, b"<c ", b'<c s="TEXT" '), (_SHEET, b"<v>",
    b"<v>1e999"),
    (_SHEET, b"<v>", b"<f>TEXT</f><v>"), (_SHEET, b"<v>", b'<f t="shared" si="0">TEXT</f><v>'),
    (_SHEET, b'<row r="2"', b'<row r="1048576"'), (_SHEET, b'<row r="2"', b'<row r="99999999999"'),
    (_SHEET, b'<row r="2"', b'<row r="-2"'), (_SHEET, b'r="B1"', b'r="XFD1"'), (_SHEET, b'r="B1"',
    b'r="ZZZZZ1"'),
    (_SHEET, b'<dimension ref="', b'<dimension ref="A1:XFD1048576" x="'),
    (_SHEET, b"<sheetData>", b"<sheetData>" + b"<row>" * 200),
    (_STRINGS, b"<t>", b"<t>TEXT"), (_STRINGS, b"<t>", b"<t>_xD800__x0000_"), (_STRINGS, b"<si>",
    b"<si><r>"),
    (_STRINGS, b"<sst", b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><sst'),
    ("xl/styles.xml", b"0.00%", b"TEXT"), ("xl/styles.xml", b'numFmtId="10"', b'numFmtId="14"'),
    ("xl/styles.xml", b'numFmtId="0"', b'numFmtId="22"'), ("xl/styles.xml", b'numFmtId="0"',
    b'numFmtId="TEXT"'),
    ("xl/workbook.xml", b"<sheets>", b"<sheets></sheets><sheets>"), ("xl/workbook.xml",
    b'sheetId="1"', b'sheetId="TEXT"'),
    ("xl/workbook.xml", b"<workbookPr", b'<workbookPr date1904="1"'),
    ("xl/_rels/workbook.xml.rels", b"worksheets/sheet1.xml", b"../../TEXT"),
    ("xl/_rels/workbook.xml.rels", b"worksheets/sheet1.xml", b"http://127.0.0.1:9/x"),
    ("[Content_Types].xml", b"worksheet+xml", b"TEXT"),
)  # fmt: skip


def _xml(said: str) -> bytes:
    clean = "".join(sign for sign in said if sign >= " " and not "\ud800" <= sign <= "\udfff")
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        clean = clean.replace(sign, name)
    return clean.encode()


def _packed(parts: dict[str, bytes], level: int = zlib.Z_BEST_SPEED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


@cache
def _bomb(sound: str, kind: int) -> bytes:
    """A small archive that unpacks to a great deal, or expands when it is read."""
    with zipfile.ZipFile(io.BytesIO(spreadsheet(sound))) as archive:
        parts = {part.filename: archive.read(part) for part in archive.infolist()}
    name, at, many, put_in = _BOMBS[kind]
    if name in parts:
        parts[name] = parts[name].replace(at, put_in * many + at, 1)
    else:
        parts[name] = put_in * many
    return _packed(parts)


_END, _STYLES, _BOOK = b"</sheetData>", b"<cellXfs", b"<workbookPr"
_ENTITIES = b"".join(b'<!ENTITY e%d "%s">' % (at + 1, b"&e%d;" % at * 10) for at in range(9))
_BOMBS = (
    (_SHEET, _END, 2_000_000, b"<row><c><v>7</v></c></row>"),
    (_SHEET, _END, 300_000_000, b" "),
    (_SHEET, _END, 3_000_000, b"<row><c t='inlineStr'><is><t>x"),
    (_SHEET, _END, 1_000_000, b"<row>"),
    (_STRINGS, b"</sst>", 5_000_000, b"<si><t>x</t></si>"),
    (_STRINGS, b"<sst", 1, b'<!DOCTYPE x [<!ENTITY e0 "ha">' + _ENTITIES + b"]>"),
    ("xl/styles.xml", _STYLES, 10_000_000, b"<x/>"),
    ("xl/media/image.png", b"", 150_000_000, b"\0"),
    ("xl/workbook.xml", _BOOK, 50_000_000, b"<x/>"),
)
"""Where something is put in, how often, and what."""


# ---- JSON -----------------------------------------------------------------------------


def json_file(dice: Random, sound: bytes) -> bytes:
    """A JSON file with values of other kinds, other keys, or no JSON any more."""
    kind = dice.random()
    if kind < 0.2:
        return damaged(dice, sound)
    if kind < 0.25:
        depth = dice.choice((50, 1000, 100_000))
        return dice.choice((b"[" * depth, b'{"a":' * depth, b"[" * depth + b"]" * depth))
    if kind < 0.3:
        return sound.replace(b"1", dice.choice((b"1e999", b"NaN", b"-Infinity", b"9" * 5000)))
    said = json.loads(sound)
    for _ in range(dice.choice((1, 1, 2, 4))):
        spot = said
        while True:
            keys: Sequence = list(spot) if isinstance(spot, dict) else range(len(spot))
            if not keys:
                break
            key = dice.choice(keys)
            if isinstance(spot[key], dict | list) and dice.random() < 0.75:
                spot = spot[key]
                continue
            change = dice.random()
            if change < 0.75:
                spot[key] = json_value(dice)
            elif change < 0.85:
                del spot[key]
            elif isinstance(spot, dict):
                spot[text(dice)] = json_value(dice)
            else:
                spot.extend(spot)
            break
    return json.dumps(said).encode()


def json_value(dice: Random) -> object:
    """A value of any kind that JSON has."""
    return dice.choice(
        (None, True, False, 0, 1, -1, 12, 24, 10**30, 0.5, -0.0, 1e308, float("nan"), float("inf"),
         "", [], {}, [[]], [1], {"a": 1}, text(dice), text(dice), figure(dice))
    )  # fmt: skip
