"""What is wrong in a shop's files: a fault is a value, and is put into words here only."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

_LONGEST = 40
"""Characters of a cell that a message repeats; a longer one is cut short."""

_MOST = 500
"""Faults that are told at once: nobody mends more before reading the shop again."""

Made = TypeVar("Made")


@dataclass(frozen=True)
class Fault:
    """One thing wrong: where, what was found, what was expected and how to mend it.

    `found` and `expected` complete the sentence "found …, expected …"; `mend` is one or
    more whole sentences. A sentence spoken by a value's own check stands in `mend` alone.
    `also` are the other places of which the same is to be said.

    >>> print(Fault(Place("blanks.csv", 4, "pack"), '"O"', "a whole number such as 24",
    ...             "Replace the letter O by a zero."))
    blanks.csv, row 4, column "pack": found "O", expected a whole number such as 24. \
Replace the letter O by a zero.
    """

    place: Place
    found: str = ""
    expected: str = ""
    mend: str = ""
    also: Sequence[Place] = ()

    def __str__(self):
        sentences = [f"found {self.found}, expected {self.expected}."] if self.found else []
        sentences += [self.mend]
        if self.also:
            rows = f"{len(self.also)} more {'rows' if len(self.also) > 1 else 'row'}"
            files = Counter(place.file for place in self.also)
            sentences.append(f"The same in {rows} of {', '.join(files)}.")
        return f"{self.place}: {' '.join(sentences)}"


class ShopFaults(PricelabError):
    """Every fault of a shop's files at once, causes first; str() lists them a line each."""

    def __init__(self, faults):
        self.faults = in_order(faults)
        super().__init__("\n".join(map(str, self.faults)))


def in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Faults by file and row, those of one row as they were found.

    Files come in the order in which they are read: what others go by, such as a method's key,
    before what goes by it.
    """
    faults = tuple(faults)
    files = list(dict.fromkeys(fault.place.file for fault in faults))
    return tuple(sorted(faults, key=lambda at: (files.index(at.place.file), at.place.row or 0)))


def one_line(text: str) -> str:
    """Text from a file as a message can hold it: on one line, cut short if long."""
    line = "".join(letter if letter.isprintable() else " " for letter in text)
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 1]}…"


def quoted(text: str) -> str:
    """A cell as a message repeats it.

    >>> quoted("3,2O"), quoted("")
    ('"3,2O"', 'an empty cell')
    """
    return f'"{one_line(text)}"' if text else "an empty cell"


class Report:
    """Gathers the faults and warnings of one reading, and what each file `held` then."""

    def __init__(self):
        self.faults: list[Fault] = []
        self.warnings: list[Fault] = []
        self.held: dict[str, bytes] = {}
        self._alike: dict[tuple, Fault] = {}

    def fault(
        self, place: Place, found: str, expected: str, mend: str, *, one_cause: bool = False
    ) -> None:
        """Note a fault and read on; raise `ShopFaults` when it is one too many.

        Of all that are told in the same words and have `one_cause` one is told, with the
        number of the others.
        """
        fault = Fault(place, found, expected, mend, [] if one_cause else ())
        alike = self._alike.setdefault((found, expected, mend), fault) if one_cause else fault
        if alike is fault:
            self._note(fault)
        else:
            alike.also.append(place)

    def warn(self, place: Place, found: str, expected: str, mend: str) -> None:
        """Note something worth a look."""
        self.warnings.append(Fault(place, found, expected, mend))

    def make(
        self, place: Place, kind: Callable[..., Made], /, *parts, mend: str = "", **fields
    ) -> Made | None:
        """``kind(*parts, **fields)``; where its own check refuses, a fault at `place` and None."""
        try:
            return kind(*parts, **fields)
        except PricelabError as error:
            self._note(Fault(place, mend=" ".join(f"{error} {mend}".split())))
            return None

    def _note(self, fault: Fault) -> None:
        self.faults.append(fault)
        if len(self.faults) == _MOST:
            stopped = f"These are {_MOST} faults; nothing after them was read. Mend them first."
            raise ShopFaults([*self.faults, Fault(fault.place, mend=stopped)])

    def raise_faults(self) -> None:
        """Raise `ShopFaults` with all that was noted, if anything was."""
        if self.faults:
            raise ShopFaults(self.faults)
