"""Feed hostile input to every reader and every panel: ``python tests/fuzzing/run.py``.

``--count 100000`` inputs in all, spread over the targets; ``--only panel`` the targets whose
names begin so; ``--seed 7`` other inputs. It fails where anything but a sentence comes out, where
one input takes over a second or over 200 MB more (a file larger than a megabyte as much for
each), and where something is opened, written or run that has no business to be. It prints what
it counted; where the process hangs or dies, the traces of where it was.
"""

import argparse
import faulthandler
import sys
import tempfile
import traceback
from collections import Counter
from contextlib import suppress
from functools import partial
from pathlib import Path
from random import Random

HERE = Path(__file__).parents[2]
sys.path[:0] = [str(HERE), str(HERE / "tests")]

from fuzzing.guard import MEGABYTES, SECONDS, BrokenOffError, Guard  # noqa: E402
from fuzzing.targets import REFUSED, Target, targets, write_shop  # noqa: E402

_SILENT = 60.0
"""Seconds without an end after which the process is taken for hung, and ends itself."""


def main() -> int:
    """Run what the words say; 1 if anything was found."""
    words = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    words.add_argument("--count", type=int, default=100_000, help="inputs in all")
    words.add_argument("--only", default="", help="targets whose names begin so")
    words.add_argument("--seed", default="1", help="other seeds, other inputs")
    options = words.parse_args()
    chosen = [target for target in targets() if target.name.startswith(options.only)]
    shares, found = sum(target.share for target in chosen), 0
    with tempfile.TemporaryDirectory() as folder:
        guard = Guard(Path(folder) / "home")
        tempfile.tempdir = str(guard.scratch)
        for target in chosen:
            count = -(-options.count * target.share // shares)
            found += _feed(guard, target, count, options.seed)
        tempfile.tempdir = None
    print(f"seed {options.seed}: {found} kinds of failure")
    return bool(found)


def _feed(guard: Guard, target: Target, count: int, seed: str) -> int:
    """Make and feed each input, and print what came of them; how many kinds of failure."""
    counted, most, failures = Counter(), (0.0, 0.0), {}
    write_shop(guard.shop)
    for number in range(3):  # unwatched: what is imported late is imported now
        with suppress(BaseException):
            target.ready(guard.shop, Random(f"warm {number}"))()
    for number in range(count):
        faulthandler.dump_traceback_later(_SILENT, exit=True)
        for _ in range(2):  # the machine may be busy: what took too long is fed once more
            feed = target.ready(guard.shop, Random(f"{seed} {target.name} {number}"))
            outcome, failure = _fed(guard, feed)
            if not failure.startswith("over"):
                break
        counted[outcome] += 1
        most = tuple(map(max, most, (guard.seconds, guard.megabytes)))
        if failure:
            kind, _, trace = failure.partition("\n")
            failures.setdefault(kind, f"first at input {number}: {feed!r:.1500}\n{trace:.4000}")
    faulthandler.cancel_dump_traceback_later()
    told = ", ".join(f"{counted[what]:,} {what}" for what in ("taken", "refused", "failed"))
    print(f"{target.name}: {told}; {1000 * most[0]:,.0f} ms, {most[1]:,.0f} MB at most", flush=True)
    for kind, where in failures.items():
        print(f"  {kind}\n  {where}", flush=True)
    return len(failures)


def _fed(guard: Guard, feed: partial) -> tuple[str, str]:
    """What came of one input; the kind of failure, with its trace under it, or nothing."""
    outcome, failure = "taken", ""
    try:
        with guard.watching():
            feed()
    except REFUSED as refused:
        outcome, failure = "refused", "" if str(refused).strip() else "a refusal without a sentence"
    except (Exception, BrokenOffError) as error:
        frames = traceback.extract_tb(error.__traceback__)
        at = [f"{Path(f.filename).name}, {f.name}" for f in frames if "/pricelab/" in f.filename]
        trace = "".join(traceback.format_exception(error, limit=-6))
        outcome, failure = "failed", f"{type(error).__name__} at {(at or ['no line'])[-1]}\n{trace}"
    files = [path.stat().st_size for path in guard.shop.rglob("*") if path.is_file()]
    parts = [len(part) for part in feed.args if isinstance(part, str | bytes)]
    large = max(1.0, max([0, *files, *parts]) / 1e6)
    for limit, took, unit in ((SECONDS, guard.seconds, "s"), (MEGABYTES, guard.megabytes, "MB")):
        if not failure and took > large * limit:
            failure = f"over {limit:g} {unit}\n{took:.2f} {unit}"
    return outcome, failure


if __name__ == "__main__":
    sys.exit(main())
