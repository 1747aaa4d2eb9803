"""Tables of text for a terminal: the first column to the left, the others to the right."""

from collections.abc import Sequence


def text_table(rows: Sequence[Sequence[str]]) -> list[str]:
    """`rows` as aligned lines, two spaces between columns; the first row is the heading.

    >>> text_table([("size", "12", "24"), ("up to 2 in", "31.25", "9.00")])
    ['size           12    24', 'up to 2 in  31.25  9.00']
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if at else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
