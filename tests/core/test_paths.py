"""Paths: a light that works clears what it runs through, and a shared part only where it is said to be shared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest

from engine import Answer, Base, Session, schema
from engine.grounding import ground
from engine.reasoning import reason
from tests.shipped import shipped_base
from tests.small import TEXT, base_from, small_base


def excluded(base: Base, technology: str, told: Mapping[str, str]) -> set[str]:
    """What plain logic excludes."""
    return set(reason(ground(base, technology), {base.roles.technology: technology, **told}).exclusions)


def test_a_working_light_clears_its_path() -> None:
    """The battery lies on the other light's path, so a break there is out; bulb, plug and earth do not, and stand."""
    assert excluded(small_base(), "lamp", {"light.other": "works"}) == {"flat"}


def test_a_shared_fuse_is_cleared_only_when_said_to_be_shared() -> None:
    """The fuse lies on both paths in some vehicles only."""
    works = {"light.other": "works"}
    assert "blown" in excluded(small_base(), "lamp", {**works, "fuses": "shared"})
    assert "blown" not in excluded(small_base(), "lamp", {**works, "fuses": "own"})
    assert "blown" not in excluded(small_base(), "lamp", works)


def test_a_part_leaves_a_path_where_a_circumstance_bars_it() -> None:
    """`unless` takes a part off a path in the vehicles it names, and leaves it there in all others."""
    base = base_from(TEXT.replace("when: {fuses: shared}", "when: {fuses: [shared, own]}, unless: {fuses: own}"))
    works = {"light.other": "works"}
    assert "blown" in excluded(base, "lamp", {**works, "fuses": "shared"})
    assert "blown" not in excluded(base, "lamp", {**works, "fuses": "own"})


def test_a_light_that_fails_as_well_clears_nothing() -> None:
    """Only what works clears."""
    assert excluded(small_base(), "lamp", {"light.other": "dead", "fuses": "shared"}) == set()


def test_of_two_faults_at_once_none_is_cleared_by_clearing_neither() -> None:
    """Two at once are out as soon as one of the two is."""
    assert "green-and-broken" not in excluded(small_base(), "lamp", {"light.other": "works"})
    assert "green-and-broken" in excluded(small_base(), "lamp", {"ohms": "low"})


def test_selections_upstream_and_downstream_follow_the_chain() -> None:
    """`upstream_of` and `downstream_of` mean parts before and after a part, in the order of the chain."""
    text = (
        "  before: {when: {smell: yes}, excludes: [{upstream_of: plug}], because: It was invented., source: invented}\n"
        "  after: {when: {smell: no}, excludes: [{downstream_of: plug}], because: It was invented., source: invented}\n"
    )
    base = base_from(TEXT.replace("cases:\n", f"{text}cases:\n").replace("  smell-stops:", "  smell-halts:"))
    assert excluded(base, "lamp", {"smell": "yes"}) == {"flat", "blown"}
    assert excluded(base, "lamp", {"smell": "no"}) == {"broken", "rusty", "green-and-broken"}


def clearing(base: Base) -> Iterator[tuple[str, str, schema.Rule, schema.Selection]]:
    """Technology, light, and every rule that clears the path of a light that works, with what it selects."""
    for rule in base.rules.values():
        if rule.over is None or set(rule.when) != {"light"} or rule.unless:
            continue
        for selection in rule.excludes:
            if isinstance(selection, schema.Selection) and selection.node == ("path",) and not selection.section:
                for name, technology in base.technologies.items():
                    for light in technology.paths:
                        yield name, light, rule, selection


def meant(base: Base, technology: str, selection: schema.Selection, nodes: set[str]) -> set[str]:
    """The single faults of these parts that a selection by mode means."""
    return {
        fault
        for fault in base.technologies[technology].frequencies
        if base.faults[fault].node in nodes and base.faults[fault].mode in selection.mode and fault not in selection.but
    }


def test_on_the_shipped_base_what_works_clears_what_it_runs_through() -> None:
    """For every technology and every light: parts always shared are cleared by it, parts shared at times only then."""
    base, seen = shipped_base(), 0
    for technology, light, rule, selection in clearing(base):
        told = {light: rule.when["light"][0]}
        steps = base.technologies[technology].paths[light]
        always = {step for step in steps if isinstance(step, str)}
        found = excluded(base, technology, told)
        assert meant(base, technology, selection, always) <= found
        branches = [step for step in steps if not isinstance(step, str)]
        for step in branches:
            parts = meant(base, technology, selection, {step.node} - always)
            others = excluded(base, technology, {})
            assert not parts & (found - others), (technology, light, step.node)
            said = {name: values[0] for name, values in step.when.items()}
            assert parts <= excluded(base, technology, {**told, **said})
            seen += len(parts)
    assert seen > 0


@pytest.mark.parametrize("seed", range(3))
def test_on_the_shipped_base_a_light_never_clears_what_is_off_its_path(seed: int) -> None:
    """A working light, with nothing else known, leaves every fault standing whose parts it does not run through."""
    base = shipped_base()
    for technology, light, rule, _ in list(clearing(base))[seed::3]:
        told = {light: rule.when["light"][0]}
        circuit = ground(base, technology)
        path = {step if isinstance(step, str) else step.node for step in base.technologies[technology].paths[light]}
        found = reason(circuit, {base.roles.technology: technology, **told}).exclusions
        for fault, firings in found.items():
            nodes = {base.faults[one].node for one in (fault, *base.faults[fault].both)}
            if all(firing.rule.path for firing in firings):
                assert nodes & path, (technology, light, fault)


def test_the_form_of_lights_fills_the_rest() -> None:
    """A session asks for the lights as one form, with only the items that are open."""
    session = Session(small_base()).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
    step = session.answer("showing", Answer("yes")).step
    assert getattr(step, "items", None) == ("light.other",)


def test_what_has_to_be_opened_up_brings_its_own_dangers() -> None:
    """They are read before the first question behind it, and not again once it is open."""
    text = TEXT.replace("open: {name: open, minutes: 2}", "open: {name: open, minutes: 2, cautions: spark}")
    session = Session(base_from(text)).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
    assert session.dangers("bulb-look") == ("hot", "spark") and session.dangers("fuse-look") == ()
    assert session.answer("plug-look", Answer("clean")).dangers("bulb-look") == ("hot",)
    assert not session.decline(["spark"]).fits("bulb-look")
