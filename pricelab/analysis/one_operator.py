"""One operator and several like machines: what a method's own minutes allow."""

from dataclasses import dataclass

from pricelab.shop.charges import Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.work import Operation, Rates

_EACH = (Level.PIECE, Level.BATCH)


@dataclass(frozen=True)
class Tending:
    """One operator tending `machines`: minutes a cycle, who waits, what a piece costs."""

    machines: int
    cycle: float
    operator_idle: float
    machine_idle: float
    pieces_an_hour: float
    cost_a_piece: float


def tend(
    machines: int,
    attended: float,
    alone: float,
    *,
    walk: float = 0.0,
    pieces: int = 1,
    operator_rate: float = 0.0,
    machine_rate: float = 0.0,
) -> Tending:
    """One operator and several like machines (Niebel, *Methods, Standards, and Work Design*).

    `attended` minutes keep operator and machine busy each cycle, `alone` the machine only,
    `walk` the operator only; a cycle makes `pieces` on each machine; rates are an hour's.

    >>> tend(2, attended=1.0, alone=3.0).cycle, tend(6, attended=1.0, alone=3.0).cycle
    (4.0, 6.0)
    """
    if machines < 1 or min(attended, alone, walk) < 0 or attended + alone <= 0:
        raise PricelabError("expected at least one machine, and minutes of 0 or more.")
    busy = machines * (attended + walk)
    cycle = max(attended + alone, busy)
    made = machines * pieces
    rate = (operator_rate + machines * machine_rate) / 60
    return Tending(
        machines,
        cycle,
        cycle - busy,
        cycle - attended - alone,
        made * 60 / cycle,
        cycle * rate / made,
    )


def station_with_dwell(method: Method) -> str | None:
    """The machine of a method that works alone longest while the operator is free, or None."""
    alone = [work for work in method.operations if not work.attended and work.per in _EACH]
    return max(alone, key=_a_piece).station if alone else None


def tend_method(method: Method, machines: int, rates: Rates) -> Tending:
    """One operator making a method's pieces on `machines` like stations, piece after piece.

    Minutes at the station keep both busy, dwell the machine alone, other attended minutes
    the operator alone; what is due once an order is left out.
    """
    station = station_with_dwell(method)
    if station is None:
        raise PricelabError(
            f"no machine of {method.name} works alone: the operator is busy all the time, so a "
            "second machine would stand still. Choose a method with dwell."
        )
    each = [work for work in method.operations if work.per in _EACH]
    return tend(
        machines,
        attended=_minutes(w for w in each if w.attended and w.station == station),
        alone=_minutes(w for w in each if not w.attended and w.station == station),
        walk=_minutes(w for w in each if w.attended and w.station != station),
        operator_rate=rates.labour,
    )


def _minutes(works) -> float:
    return sum(map(_a_piece, works))


def _a_piece(work: Operation) -> float:
    return work.minutes / (work.batch if work.per is Level.BATCH else 1)


def saved_by_second(method: Method, rates: Rates) -> float:
    """What the operator's pay for a piece falls by when there are two machines instead of one."""
    one, two = (tend_method(method, machines, rates).cost_a_piece for machines in (1, 2))
    return one - two
