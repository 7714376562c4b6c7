"""Names: what a person types finds the one thing meant, or says what it could be."""

from shell.names import Refusal, pick

FAULTS = {"bulb-open": "broken filament", "bulb-worn": "tired bulb", "earth-open": "broken earth wire"}


def test_an_id_its_start_and_words_of_the_name_all_find_it() -> None:
    """The id, its start, and starts of words of the name mean the same thing, whatever the case."""
    for said in ("earth-open", "EARTH", "earth w", "wire earth", "broken earth wire"):
        assert pick(said, FAULTS, "a fault") == "earth-open"


def test_what_could_be_several_is_refused_with_their_names() -> None:
    """Nothing is guessed when two would fit; both are named."""
    found = pick("bulb", FAULTS, "a fault")
    assert isinstance(found, Refusal)
    assert "bulb-open (broken filament)" in found.message and "bulb-worn" in found.message


def test_a_whole_name_wins_over_longer_ones_that_hold_it() -> None:
    """`open` is the one called just that, even where others have the word too."""
    assert pick("flap", {"a": "flap", "b": "flap coil"}, "a fault") == "a"


def test_a_slip_of_the_finger_is_answered_with_the_nearest() -> None:
    """A typing mistake is met with what was probably meant."""
    found = pick("bulb-opne", FAULTS, "a fault")
    assert isinstance(found, Refusal) and 'Did you mean "bulb-open"?' in found.message


def test_nothing_said_is_refused_and_shows_examples() -> None:
    """An empty word finds nothing, not everything."""
    found = pick("", FAULTS, "a fault")
    assert isinstance(found, Refusal) and "bulb-open" in found.message
