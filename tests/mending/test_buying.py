"""What to buy: prices that give way to quotes, what fits, and acting set against testing."""

from dataclasses import replace
from pathlib import Path

import pytest

from engine.buying import fitting, offers, ways
from engine.costs import Prices
from engine.events import Answered, Priced
from engine.session import Session
from engine.tables import load_tables
from shell.tables_at_hand import shipped_tables, tables
from tests.mending.base import BROKEN, TOLD, after, mending_base
from tests.shell.jobs import hold


def test_a_quote_takes_the_place_of_the_bands() -> None:
    """What was quoted is said, and counts in the price of the repair."""
    base = mending_base()
    (plain,) = offers(base, Prices(), ["new-bulb", "charge"])
    assert plain.quote is None and [(band.kind, band.low, band.high) for band in plain.bands] == [("new", 8, 12)]
    (quoted,) = offers(base, Prices(parts={"new-bulb": 19}), ["new-bulb"])
    assert quoted.quote == 19
    held = hold(["price new-bulb 19", "buy"], after(BROKEN))
    assert "19 u, as you were quoted" in held.text
    dearer = held.session.verdict.actions[0].cost
    assert dearer == pytest.approx(after(BROKEN).verdict.actions[0].cost + 9)


def test_what_fits_and_what_must_not_comes_from_the_table() -> None:
    """The category itself fits; look-alikes of another family do not, with reasons; nothing is on both lists."""
    for category, row in shipped_tables().light_sources.items():
        found = fitting(category, shipped_tables().light_sources)
        fits, never = {name for name, _ in found.fits}, {name for name, _ in found.never}
        assert category in fits and not fits & never and set(row.never) <= never | fits
        assert set(row.also_fits) <= fits and all(why for _, why in found.never)


def test_tables_laid_over_the_base_are_those_that_a_stamp_is_looked_up_in(tmp_path: Path) -> None:
    """A row of one's own is found beside the shipped ones, which it may name; a base without tables has the shipped."""
    row = "kind: filament, use: road, rated_volts: 12, test_volts: 13.2, cap: X1x, outputs: {single: {watts: 55}}"
    text = f"light_sources:\n  X1: {{{row}, never: {{H7: another cap}}, status: practice, source: invented}}\n"
    (tmp_path / "own.yaml").write_text(text, encoding="utf-8")
    own = replace(mending_base(), tables=load_tables(tmp_path, shipped_tables()))
    assert hold(["stamp x1"], Session(own)).session.mending.category == "X1"
    assert hold(["stamp h7"], Session(own)).session.mending.category == "H7"
    assert tables(mending_base()) is shipped_tables()


def test_an_unknown_category_is_an_error_in_words() -> None:
    """A stamp that is not in the table raises what to say."""
    with pytest.raises(ValueError, match="not in the table"):
        fitting("Q99", shipped_tables().light_sources)


def test_the_stamp_is_asked_for_where_the_source_is_renewed_and_only_there() -> None:
    """`buy` for the bulb asks for the stamp, and lists what fits once it is known; for the plug it does not."""
    end = after(BROKEN)
    assert "stamp H7" in hold(["buy"], end).text
    known = hold(["stamp H7", "buy"], end)
    assert known.text.count("In place of H7") == 2 and "Must not" in known.text
    assert "stamp H7" not in hold(["buy new-plug"], end).text


def test_the_three_ways_are_what_the_planner_reckons() -> None:
    """In order is the plan's own cost, testing that of the best test, and the likeliest part alone costs its price."""
    session = after([*TOLD, Answered("volts", "none")])
    found = ways(session)
    assert found is not None
    assert found.in_order == session.plan.act_now and found.testing == session.plan.choices[0].value < found.in_order
    likeliest = max(session.verdict.actions, key=lambda action: action.share)
    assert found.chance == likeliest.share and found.now >= likeliest.cost
    end = ways(after(BROKEN))
    assert end is not None and end.testing is None


def test_before_the_lamp_is_known_there_is_nothing_to_compare() -> None:
    """No suspects, no ways."""
    assert ways(after(())) is None


def test_a_price_of_the_part_moves_the_comparison() -> None:
    """Dearer parts make acting dearer by no more than the price."""
    cheap, dear = after(TOLD), after([*TOLD, Priced("parts", "new-bulb", 60)])
    one, two = ways(cheap), ways(dear)
    assert one is not None and two is not None and one.in_order < two.in_order <= one.in_order + 50
