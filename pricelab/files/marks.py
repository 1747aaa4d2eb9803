"""The mark on rows that are to be replaced: in their note, for a reader's eye and for counting."""

import re

NOTE = "note"
"""A column every table may have, in which nothing but the mark is read."""

TO_REPLACE = "to be replaced"


def marked(note: str) -> bool:
    """Whether a note, or a remark after its #, says that the figures are to be replaced."""
    return note.lstrip("# ").lower().startswith(TO_REPLACE)


def with_mark(note: str) -> str:
    """The note with the mark before it.

    >>> with_mark("an hour"), with_mark("")
    ('to be replaced: an hour', 'to be replaced')
    """
    return f"{TO_REPLACE}: {note}" if note else TO_REPLACE


def without_mark(note: str) -> str:
    """The note without its mark.

    >>> without_mark("To be replaced: an hour"), without_mark("the new one")
    ('an hour', 'the new one')
    """
    return re.sub(f"^{TO_REPLACE}[\\s:;,.]*", "", note, flags=re.IGNORECASE)
