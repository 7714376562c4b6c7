"""What is refused, asked back or never measured, typed at a prompt or written in a file of answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine import Ask
from engine.physics import sorting
from shell.commands import understand
from shell.main import main
from shell.meanings import Do
from shell.names import Refusal
from tests.readings.taken import HALOGEN, TUBE, refused, taken, understood
from tests.shipped import shipped_base


@pytest.mark.parametrize("text", ["23 kV", "85 V", "the tube voltage is 85", "strike voltage 23000 V"])
def test_the_strike_side_is_refused_with_the_reason(text: str) -> None:
    """Volts that only the lamp side has, or that speak of it, are refused, and the reason is said."""
    message = refused(taken(TUBE), "volts-at-strike", text)
    assert "strike" in message and "12 V" in message


@pytest.mark.parametrize("line", ["help strike voltage", "why tube-volts", "why arc voltage"])
def test_asking_for_the_strike_side_gets_the_reason(line: str) -> None:
    """`help` shows it, `why` refuses with it."""
    session = taken(TUBE)
    meaning = understand(session, Ask("volts-at-strike"), line)
    if isinstance(meaning, Refusal):
        assert "never measured" in meaning.message
    else:
        from shell.render_help import help_rows

        text = " ".join(part for row in help_rows(session, "strike voltage", 80) for _, part in row)
        assert "never measured" in text


def test_a_file_with_a_strike_voltage_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 2, the place, and why not."""
    path = tmp_path / "job.yaml"
    path.write_text("light-source: discharge-outside\nstrike-volts: 23 kV\n")
    assert main(["diagnose", "--answers", str(path)]) == 2
    err = capsys.readouterr().err
    assert "job.yaml:2:1" in err and "never measured" in err


def test_an_impossible_reading_is_refused_with_the_range() -> None:
    """109 V at a bulb is a slipped point."""
    assert "between 0 and 20 V" in refused(taken(HALOGEN), "lamp-volts-loaded", "109")
    assert "needs its unit" in refused(taken({**HALOGEN, "complaint": "aim"}), "aim-wall", "53")
    assert "cm" in refused(taken({**HALOGEN, "complaint": "aim"}), "aim-wall", "53 kg")


def test_a_doubtful_reading_is_asked_back() -> None:
    """13.9 V at rest: the engine runs, or it was just off charge."""
    found = understood(taken(HALOGEN), "battery-rest", "13.9")
    assert "13.9 V" in found.ask_back and "9 to 13.2 V" in found.ask_back


def test_new_figures_sort_earlier_readings_anew_at_the_prompt() -> None:
    """One line typed, two things noted: the battery, and what the lamp's volts now mean."""
    session = taken(HALOGEN, {"lamp-volts-loaded": "12.9"})
    meaning = understand(session, Ask("battery-running"), "14.6")
    assert isinstance(meaning, Do)
    assert [getattr(event, "question", "") for event in meaning.events] == ["battery-running", "lamp-volts-loaded"]


def test_a_job_of_readings_ends_in_the_right_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By `diagnose --answers`: 14.0 V at the battery, 11.6 V at the lamp, 1.9 V of it lost on the feed side.

    2.4 V at 55/13.2 * (11.6/13.2)^0.55 = 3.88 A are 0.62 ohm; the earth side has 13 mohm of it.
    """
    lines = {**HALOGEN, "battery-running": "14.0 V", "lamp-volts-loaded": "11,6 V", "feed-drop": "1900 mV"}
    lines["earth-drop"] = "50 mV"
    path = tmp_path / "job.yaml"
    path.write_text("".join(f'{name}: "{text}"\n' for name, text in lines.items()))
    assert main(["diagnose", "--answers", str(path)]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "2.4 V, about 0.62 ohm" in text
    assert main(["diagnose", "--answers", str(path), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    fault = shipped_base().faults[document["faults"][0]]
    assert shipped_base().nodes[fault.node or ""].section in ("supply", "switching", "feed")
    assert any("0.62 ohm" in line for line in document["trace"]["losses"])


def test_readings_of_a_file_may_stand_in_any_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a reading is judged with may be written below it."""
    told = []
    for order in (1, -1):
        lines = [*({**HALOGEN, "lamp-volts-loaded": "12.9", "battery-running": "14.6", "bulb-stamp": "h7"}).items()][
            ::order
        ]
        path = tmp_path / "job.yaml"
        path.write_text("".join(f'{name}: "{text}"\n' for name, text in lines))
        assert main(["diagnose", "--answers", str(path), "--json"]) == 0
        document = json.loads(capsys.readouterr().out)
        told.append({one["question"]: one["outcome"] for one in document["trace"]["told"]})
    assert told[0] == told[1] and told[0]["lamp-volts-loaded"] == "starved"


def test_at_least_fifteen_readings_are_asked_and_physics_speaks_on_most() -> None:
    """Every reading has a range, and a computation that exists where it names one."""
    readings = {name: one for name, one in shipped_base().questions.items() if one.kind == "reading"}
    computed = [name for name, one in readings.items() if one.compute]
    assert len(readings) >= 20 and len(computed) >= 15
    assert all(one.plausible for one in readings.values())
    assert all(one.trap for name, one in readings.items()), [name for name, one in readings.items() if not one.trap]
    assert {one.compute for one in readings.values() if one.compute} <= set(sorting.COMPUTATIONS)
