"""What the search holds possible is compared with what the rules do when they are run."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from engine._experta import Leaf
from engine.audit.survey import Survey
from engine.base import Base
from engine.expectations import expectations
from engine.grounding import GroundRule, ground
from engine.loading import Reader, finish
from engine.reasoning import reason
from engine.yamltree import read_text
from tests.audit.example import TEXT
from tests.small import small_base


@cache
def survey() -> Survey:
    """The example base laid out."""
    reader = Reader()
    reader.add(read_text(TEXT, "base.yaml"))
    return Survey(finish(reader), reader.trees)


@st.composite
def told(draw: st.DrawFn) -> dict[str, str]:
    """Answers to some questions that suit the technology, with which they start."""
    base = survey().base
    technology = draw(st.sampled_from(sorted(base.technologies)))
    names = draw(st.sets(st.sampled_from(sorted(survey().askable[technology] - {base.roles.technology}))))
    answers = {name: draw(st.sampled_from(list(base.questions[name].outcomes))) for name in sorted(names)}
    return {base.roles.technology: technology, **answers}


@given(told())
def test_a_rule_that_fires_was_held_possible(answers: dict[str, str]) -> None:
    """No rule fires on fitting answers that the search says can never fire."""
    technology = answers[survey().base.roles.technology]
    fired = {firing.rule.id for firing in reason(survey().circuits[technology], answers).firings}
    assert fired <= {rule.id for rule in survey().live[technology]}


@given(told())
def test_a_finding_sets_off_what_was_seen(answers: dict[str, str]) -> None:
    """The rules that rest on one finding alone are those of its sight in the same circumstances."""
    base, technology = survey().base, answers[survey().base.roles.technology]
    context = {name: value for name, value in answers.items() if name in base.circumstances}
    for sight in survey().sights[technology]:
        if all(context.get(name) == value for name, value in sight.context):
            support = frozenset({sight.question})
            rested = reason(survey().circuits[technology], {**context, sight.question: sight.outcome}).rested
            assert {rule.id for rule, sets in rested if support in sets} == {rule.id for rule in sight.rules}


def leaf(base: Base, name: str, *values: str) -> Leaf:
    """A condition on a question of the base, or on a conclusion."""
    assert name in base.questions or name in base.conclusions
    return Leaf(name, frozenset(values))


def test_what_excludes_itself_is_impossible() -> None:
    """Two outcomes of one question, a question that does not suit, an outcome that `unless` takes away."""
    base, world = survey().base, survey().worlds["halogen"]
    fuse = leaf(base, "fuse-look", "open")
    assert world.holds([fuse, leaf(base, "fuse-look", "open", "whole")])
    assert not world.holds([fuse, leaf(base, "fuse-look", "whole")])
    assert not world.asks("hum") and survey().worlds["discharge"].asks("hum")
    own = leaf(base, "fuse-arrangement", "own")
    assert not world.holds([own], unless=[own]) and world.holds([fuse], unless=[own])


def test_a_conclusion_needs_a_rule_that_can_fire() -> None:
    """A conclusion holds where its maker does, and not where it only follows from itself."""
    base, world = survey().base, survey().worlds["halogen"]
    weak = leaf(base, "supply", "weak")
    assert world.holds([weak]) and not world.holds([weak, leaf(base, "battery-rest", "sound")])
    ring = GroundRule("ring", (Leaf("moon", frozenset({"full"})),), (), (("moon", "full"),), ())
    assert not type(world)(base, [ring], {}).fires(ring)


def test_tables_agree_with_the_expectations() -> None:
    """Summed to one, the tables of the inspection are those that the odds are reckoned with."""
    base = small_base()
    small = Survey(base, {})
    for technology, tables in small.tables.items():
        table = expectations(ground(base, technology))
        for question, context, joint in tables:
            expected = table.table(question, dict(context))
            assert abs(joint / joint.sum(axis=0) - expected).max() < 1e-12
