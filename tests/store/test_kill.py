"""Twenty of the trials that ``python -m tests.store.kill_trials`` runs by the hundred."""

from tests.store.kill_trials import run


def test_no_accepted_weight_is_lost_to_a_killed_program():
    tally = run(trials=20, seed=7)
    assert tally.trials == 20
    assert tally.accepted > 20
    assert tally.lost == []
    assert tally.unsound == []
