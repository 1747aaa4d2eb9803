"""One operator and several like machines: what a method's own minutes allow."""

from pricelab.errors import PricelabError
from pricelab.month import Tending, tend
from pricelab.shop import Level, Method, Operation, Rates

_EACH = (Level.PIECE, Level.BATCH)


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
