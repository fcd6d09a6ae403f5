"""The process that sets pages: what it gives, what it refuses, and that it outlives neither a fault nor its bench."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bench.printing.paper import can_set, pdf
from bench.printing.setter import TOO_MUCH, Setter
from bench.science.refusal import Refusal

ROOT = Path(__file__).parents[2]


@pytest.fixture
def setter() -> Iterator[Setter]:
    """A process of the test's own, which may take half a minute for a call: others may load the computer."""
    made = Setter(most_s=30)
    yield made
    made.close()


def refuse() -> None:
    """A page that cannot be set."""
    raise Refusal("This name has no room.")


def test_it_gives_what_the_function_gives_from_another_process(setter: Setter) -> None:
    assert setter.call(os.getpid) != os.getpid()
    assert setter.call(sorted, [3, 1, 2]) == [1, 2, 3]
    if can_set():
        assert setter.call(pdf, "<p>Zinc iron tan").startswith(b"%PDF-")


@pytest.mark.skipif(sys.platform == "win32", reason="memory is bounded by the system's own means elsewhere")
def test_what_wants_too_much_memory_is_refused_and_the_next_is_served(setter: Setter) -> None:
    with pytest.raises(Refusal, match="too much memory"):
        setter.call(bytes, 3 << 30)
    assert setter.call(len, "abc") == 3


def test_what_takes_too_long_is_ended_and_the_next_is_served() -> None:
    setter = Setter(most_s=0.5)
    with pytest.raises(Refusal) as refused:
        setter.call(time.sleep, 600)
    assert refused.value.say == TOO_MUCH
    setter._most_s = 30
    assert setter.call(len, "abc") == 3
    setter.close()


def test_a_process_that_dies_is_replaced(setter: Setter) -> None:
    with pytest.raises(Refusal):
        setter.call(os._exit, 3)
    assert setter.call(len, "abc") == 3


def die_soon() -> None:
    """A call that ends its process while another one waits."""
    time.sleep(0.3)
    os._exit(3)


def refused(setter: Setter, function: Callable[[], None]) -> None:
    """A call that comes to nothing."""
    with pytest.raises(Refusal):
        setter.call(function)


def test_who_waits_does_not_pay_for_the_call_before(setter: Setter) -> None:
    assert setter.call(len, "ab") == 2  # the process is there
    before = threading.Thread(target=refused, args=(setter, die_soon))
    before.start()
    while not setter._turn.locked():
        time.sleep(0.01)
    assert setter.call(len, "abc") == 3
    before.join()


def test_who_waits_too_long_is_told_to_come_again(setter: Setter) -> None:
    setter._most_s = 0.05
    with setter._turn, pytest.raises(Refusal, match="busy with another page"):
        setter.call(len, "abc")


def test_a_refusal_comes_through_in_its_words(setter: Setter) -> None:
    with pytest.raises(Refusal, match="has no room"):
        setter.call(refuse)


@pytest.mark.skipif(sys.platform == "win32", reason="there a process does not learn that its parent is gone")
def test_it_ends_by_itself_when_the_bench_is_killed() -> None:
    code = (
        "import os, sys, time\nfrom bench.printing.setter import SETTER\n"
        "if __name__ == '__main__':\n    print(SETTER.call(os.getpid), flush=True)\n    time.sleep(60)\n"
    )
    bench = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=ROOT)
    assert bench.stdout is not None
    worker = int(bench.stdout.readline())
    os.kill(worker, 0)
    bench.send_signal(signal.SIGKILL)
    bench.wait()
    bench.stdout.close()
    for _ in range(200):
        if not Path(f"/proc/{worker}").exists() and gone(worker):
            return
        threading.Event().wait(0.05)
    raise AssertionError("it is still there ten seconds after its bench")


def gone(process: int) -> bool:
    """Whether there is no such process any more."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False
