"""What a record is called in a history."""

from bench.steps import BY_VERB


def test_a_history_says_what_was_done_not_what_to_do() -> None:
    orders = [step.verb for step in BY_VERB.values() if str(step.kind_words or "").startswith("Record ")]
    assert BY_VERB and not orders
