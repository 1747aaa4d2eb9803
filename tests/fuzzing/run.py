"""Feed hostile input to every reader and every panel: ``python tests/fuzzing/run.py``.

``--count 100000`` inputs in all, spread over the targets; ``--only panel`` the targets whose
names begin so; ``--seed 7`` other inputs. Each target has a process of its own. It fails where
anything but a sentence comes out, where one input takes over a second or over 200 MB more, and
where something is opened, written or run that has no business to be. It prints what it counted.
"""

import argparse
import multiprocessing
import sys
import tempfile
import time
import traceback
from collections import Counter
from contextlib import suppress
from pathlib import Path
from random import Random

HERE = Path(__file__).parents[2]
sys.path[:0] = [str(HERE), str(HERE / "tests")]

from fuzzing.guard import MEGABYTES, SECONDS, BrokenOffError, Guard, Spent  # noqa: E402
from fuzzing.targets import REFUSED, Target, targets, write_shop  # noqa: E402

_ANEW = 250
"""Inputs after which the shop's folder is written anew."""

_SILENT = 60.0
"""Seconds without a new input after which a process is taken for hung."""


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
    jobs = {
        target.name: range(
            options.start, options.start + -(-options.count * target.share // shares)
        )
        for target in chosen
    }
    found = 0
    total: Counter = Counter()
    for name, counted, failures in _all(chosen, jobs, options.seed, options.processes):
        total += counted
        told = ", ".join(f"{counted[what]:,} {what}" for what in ("inputs", "taken", "refused"))
        worst = f"{counted['ms']:,} ms, {counted['MB']:,} MB at most"
        print(f"{name}: {told}; {worst}; {len(failures)} kinds of failure", flush=True)
        for what, (times, at, trace) in failures.items():
            print(f"  {times} times {what}\n  first at input {at}:\n{trace}", flush=True)
        found += len(failures)
    print(f"{total['inputs']:,} inputs in all, seed {options.seed}: {found} kinds of failure")
    return bool(found)


def _all(chosen, jobs, seed, most):
    """The results of every target, as they end; `most` run at once."""
    ready, running = list(chosen), []
    while ready or running:
        while ready and len(running) < most:
            running.append(_Child(target := ready.pop(0), jobs[target.name], seed))
        time.sleep(0.05)
        for child in [child for child in running if child.ended()]:
            running.remove(child)
            yield child.target.name, child.counted, child.failures


class _Child:
    """A process that feeds one target; one that dies or hangs is followed by another."""

    def __init__(self, target: Target, numbers: range, seed: str):
        self.target, self.numbers, self.seed = target, numbers, seed
        self.counted: Counter = Counter()
        self.failures: dict[str, tuple] = {}
        self._start(numbers.start)

    def _start(self, at: int) -> None:
        context = multiprocessing.get_context("fork")
        self.pipe, there = context.Pipe()
        numbers = range(at, self.numbers.stop)
        self.process = context.Process(target=_feed, args=(self.target, numbers, self.seed, there))
        self.process.start()
        there.close()
        self.at, self.heard = at, time.monotonic()

    def ended(self) -> bool:
        """Whether all is done; takes in what the process tells."""
        try:
            while self.pipe.poll():
                self._take(*self.pipe.recv())
        except EOFError:
            self.process.join()
            if self.process.exitcode == 0:
                return True
            return self._died(f"the process died, exit code {self.process.exitcode}")
        if time.monotonic() - self.heard > _SILENT:
            self.process.kill()
            self.process.join()
            return self._died(f"the process hung for {_SILENT:g} s")
        return False

    def _take(self, at, outcome, spent, failure) -> None:
        self.heard, self.at = time.monotonic(), at + 1
        self.counted["inputs"] += 1
        self.counted[outcome] += 1
        for what, amount in zip(("ms", "MB"), spent, strict=True):
            self.counted[what] = max(self.counted[what], round(amount))
        if failure:
            what, trace = failure
            times, first, told = self.failures.get(what, (0, at, trace))
            self.failures[what] = (times + 1, first, told)

    def _died(self, how: str) -> bool:
        self._take(self.at, "failed", (0, 0), (how, ""))
        if self.at >= self.numbers.stop:
            return True
        self._start(self.at)
        return False


def _feed(target: Target, numbers: range, seed: str, pipe) -> None:
    """Make and feed each input; tell what came of it."""
    with tempfile.TemporaryDirectory() as folder:
        guard = Guard(Path(folder) / "home")
        tempfile.tempdir = str(guard.scratch)
        write_shop(guard.shop)
        _warm_up(target, guard)
        for number in numbers:
            if number % _ANEW == 0:
                write_shop(guard.shop)
            given = target.make(Random(f"{seed} {target.name} {number}"))
            outcome, spent, failure = _fed(target, guard, given)
            large = max(1.0, _megabytes(guard.shop, given))
            if failure is None and spent.seconds > large * SECONDS:  # the machine may be busy
                outcome, again, failure = _fed(target, guard, given)
                spent = min(spent, again, key=lambda one: one.seconds)
            if failure is None:
                failure = _too_much(spent, given, large)
            pipe.send((number, outcome, (1000 * spent.seconds, spent.megabytes), failure))
        tempfile.tempdir = None


def _warm_up(target: Target, guard: Guard) -> None:
    """Feed a few inputs unwatched: what is imported late is imported now."""
    for number in range(3):
        with suppress(BaseException):
            target.ready(guard.shop, target.make(Random(f"warm {number}")))()


def _fed(target: Target, guard: Guard, given):
    spent, failure = Spent(), None
    feed = target.ready(guard.shop, given)
    try:
        with spent, guard.watching():
            feed()
        outcome = "taken"
    except REFUSED as refused:
        outcome = "refused"
        if not str(refused).strip():
            failure = "a refusal without a sentence", ""
    except (Exception, BrokenOffError) as error:
        outcome = "failed"
        failure = _told(error, given)
    if failure is None:
        try:
            guard.look_round()
        except AssertionError as error:
            failure = str(error)[:300], f"    input: {_shortened(repr(given), 1500)}"
    return outcome, spent, failure


def _megabytes(shop: Path, given) -> float:
    """How large an input is, alone or as a file that it was made to."""
    files = (path.stat().st_size for path in shop.rglob("*.[cx][sl][vs]*") if path.is_file())
    parts = [given] if isinstance(given, str | bytes) else []
    return max(*files, *map(len, parts), 0) / 1e6


def _too_much(spent: Spent, given, large: float):
    """Where an input took more than it may: of what is larger than a megabyte, for each."""
    told = (
        f"    {spent.seconds:.2f} s, {spent.megabytes:.0f} MB\n    {_shortened(repr(given), 800)}"
    )
    if spent.seconds > large * SECONDS:
        return f"over {SECONDS:g} s", told
    if spent.megabytes > large * MEGABYTES:
        return f"over {MEGABYTES:g} MB", told
    return None


def _told(error: BaseException, given) -> tuple[str, str]:
    """A failure by what it is and where in the package it came up; its trace and its input."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "/pricelab/" in frame.filename]
    at = f"{Path(ours[-1].filename).name}, {ours[-1].name}" if ours else "no line of the package"
    trace = "".join(traceback.format_exception(error, limit=-6))
    what = f"{type(error).__name__} at {at}"
    return what, f"{_shortened(trace, 4000)}\n    input: {_shortened(repr(given), 1500)}"


def _shortened(said: str, most: int) -> str:
    return said if len(said) <= most else f"{said[: most // 2]} … {said[-most // 2 :]}"


if __name__ == "__main__":
    sys.exit(main())
