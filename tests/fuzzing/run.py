"""Feed hostile input to every reader and every panel: ``python tests/fuzzing/run.py``.

``--count 100000`` inputs in all, spread over the targets; ``--only panel`` the targets whose
names begin so; ``--seed 7`` other inputs. Each target has a process of its own. It fails where
anything but a sentence comes out, where one input takes over a second or over 200 MB more (a
file larger than a megabyte as much for each), and where something is opened, written or run
that has no business to be. It prints what it counted.
"""

import argparse
import faulthandler
import multiprocessing
import sys
import tempfile
import traceback
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import partial
from pathlib import Path
from random import Random

HERE = Path(__file__).parents[2]
sys.path[:0] = [str(HERE), str(HERE / "tests")]

from fuzzing.guard import MEGABYTES, SECONDS, BrokenOffError, Guard, Spent  # noqa: E402
from fuzzing.targets import REFUSED, targets, write_shop  # noqa: E402

_SILENT = 60.0
"""Seconds without an end after which a process is taken for hung, and ends itself."""


def main() -> int:
    """Run what the words say; 1 if anything was found."""
    words = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    words.add_argument("--count", type=int, default=100_000, help="inputs in all")
    words.add_argument("--only", default="", help="targets whose names begin so")
    words.add_argument("--seed", default="1", help="other seeds, other inputs")
    words.add_argument("--processes", type=int, default=1, help="targets at once")
    words.add_argument("--start", type=int, default=0, help="the first input of each target")
    options = words.parse_args()
    chosen = [target for target in targets() if target.name.startswith(options.only)]
    shares = sum(target.share for target in chosen)
    total, found = 0, 0
    with ThreadPoolExecutor(options.processes) as pool:
        names = [target.name for target in chosen]
        counts = [-(-options.count * target.share // shares) for target in chosen]
        runs = pool.map(partial(_run, seed=options.seed, start=options.start), names, counts)
        for name, (counted, most, failures) in zip(names, runs, strict=True):
            told = ", ".join(f"{counted[what]:,} {what}" for what in ("taken", "refused", "failed"))
            worst = f"{1000 * most[0]:,.0f} ms, {most[1]:,.0f} MB at most"
            print(f"{name}: {told}; {worst}; {len(failures)} kinds of failure", flush=True)
            for what, (at, trace) in failures.items():
                print(f"  {what}\n  first at input {at}:\n{trace}", flush=True)
            total, found = total + counted.total(), found + len(failures)
    print(f"{total:,} inputs in all, seed {options.seed}: {found} kinds of failure")
    return bool(found)


def _run(name: str, count: int, seed: str, start: int) -> tuple[Counter, tuple, dict]:
    """Feed one target in a process of its own, and in another one where that died."""
    counted, most, failures, at = Counter(), (0.0, 0.0), {}, start
    context = multiprocessing.get_context("spawn")
    while at < start + count:
        pipe, there = context.Pipe(duplex=False)
        words = (name, range(at, start + count), seed, there)
        process = context.Process(target=_feed, args=words)
        process.start()
        there.close()
        with suppress(EOFError):
            while True:
                at, outcome, spent, failure = pipe.recv()
                counted[outcome] += 1
                most = tuple(map(max, most, spent))
                if failure:
                    failures.setdefault(failure[0], (at, failure[1]))
                at += 1
        process.join()
        if process.exitcode:
            counted["failed"] += 1
            failures.setdefault(f"the process died, exit code {process.exitcode}", (at, ""))
            at += 1
    return counted, most, failures


def _feed(name: str, numbers: range, seed: str, pipe) -> None:
    """In the child: make and feed each input; tell what came of it."""
    (target,) = (one for one in targets() if one.name == name)
    with tempfile.TemporaryDirectory() as folder:
        guard = Guard(Path(folder) / "home")
        tempfile.tempdir = str(guard.scratch)
        write_shop(guard.shop)
        for number in range(3):  # unwatched: what is imported late is imported now
            with suppress(BaseException):
                target.ready(guard.shop, Random(f"warm {number}"))()
        for number in numbers:
            faulthandler.dump_traceback_later(_SILENT, exit=True)
            dice = partial(Random, f"{seed} {name} {number}")
            outcome, spent, failure = _fed(guard, target.ready(guard.shop, dice()))
            if failure and failure[0].startswith("over"):  # the machine may be busy: once more
                outcome, spent, failure = _fed(guard, target.ready(guard.shop, dice()))
            pipe.send((number, outcome, (spent.seconds, spent.megabytes), failure))
        faulthandler.cancel_dump_traceback_later()
        tempfile.tempdir = None


def _fed(guard: Guard, feed: partial) -> tuple[str, Spent, tuple[str, str] | None]:
    """What came of one input, what it took, and the kind of failure with its trace."""
    spent, failure, outcome = Spent(), None, "taken"
    try:
        with spent, guard.watching():
            feed()
    except REFUSED as refused:
        outcome = "refused"
        if not str(refused).strip():
            failure = "a refusal without a sentence", ""
    except (Exception, BrokenOffError) as error:
        outcome, failure = "failed", _told(error)
    large = max(1.0, _megabytes(guard.shop, feed))
    for limit, took, unit in ((SECONDS, spent.seconds, "s"), (MEGABYTES, spent.megabytes, "MB")):
        if failure is None and took > large * limit:
            failure = f"over {limit:g} {unit}", f"    {took:.2f} {unit}"
    if failure:
        failure = failure[0], f"{failure[1]}\n    input: {_shortened(repr(feed), 1500)}"
    return outcome, spent, failure


def _megabytes(shop: Path, feed: partial) -> float:
    """How large an input is, alone or as a file that it was made to."""
    files = [path.stat().st_size for path in shop.rglob("*") if path.is_file()]
    parts = [len(part) for part in feed.args if isinstance(part, str | bytes)]
    return max([*files, *parts]) / 1e6


def _told(error: BaseException) -> tuple[str, str]:
    """A failure by what it is and where in the package it came up; its trace."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "/pricelab/" in frame.filename]
    at = f"{Path(ours[-1].filename).name}, {ours[-1].name}" if ours else "no line of the package"
    trace = "".join(traceback.format_exception(error, limit=-6))
    return f"{type(error).__name__} at {at}", _shortened(trace, 4000)


def _shortened(said: str, most: int) -> str:
    return said if len(said) <= most else f"{said[: most // 2]} … {said[-most // 2 :]}"


if __name__ == "__main__":
    sys.exit(main())
