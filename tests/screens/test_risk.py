"""Long work beside a panel: it runs, moves its bar, is stopped, and says what came of it."""

from threading import Event

from pricelab.screens.controls import UNFORESEEN
from pricelab.screens.risk import LongRun
from pricelab.shop.errors import PricelabError


def test_it_runs_to_its_end_and_says_so():
    run = LongRun("Go", 3, lambda watch: f"{sum(watch(done) for done in (1, 2, 3))} parts")
    run.press()
    run.wait()
    assert run.bar.value == 3
    assert "3 parts" in run.said.value
    assert not run.button.disabled
    assert run.stopper.disabled


def test_it_is_stopped_at_the_next_part_and_hands_in_what_it_has():
    reached, go = Event(), Event()

    def work(watch):
        watch(1)
        reached.set()
        go.wait(10)
        return "went on" if watch(2) else "stopped at 2"

    run = LongRun("Go", 9, work)
    run.press()
    assert reached.wait(10)
    assert run.button.disabled
    run.press()  # under way: nothing happens
    run.stop()
    go.set()
    run.wait()
    assert "stopped at 2" in run.said.value
    assert run.bar.value == 2


def test_a_refusal_is_said_beside_it():
    def refuse(watch):
        raise PricelabError("not <today>")

    run = LongRun("Go", 1, refuse)
    run.press()
    run.wait()
    assert "not &lt;today&gt;" in run.said.value
    assert not run.button.disabled


def test_a_mistake_of_the_program_is_a_sentence_too():
    """And the button can be pressed again."""
    run = LongRun("Go", 1, lambda watch: str(1 // 0))
    run.press()
    run.wait()
    assert UNFORESEEN in run.said.value
    assert not run.button.disabled
