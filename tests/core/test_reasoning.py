"""The reasoner gives what plain code, CLIPS and the stock matcher give, alike in every process, and fails safe."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine._experta import Leaf, Network, Pattern, _engine_class
from engine.grounding import Circuit, GroundRule, ground
from engine.reasoning import MAX_SUPPORTS, Reasoning, reason
from tests.oracles import bases, brute
from tests.oracles.clips import Clips
from tests.shipped import job, shipped_base

SEEDS = st.integers(0, 2**32)


def fired(circuit: Circuit, reasoning: Reasoning) -> Counter[brute.Fired]:
    """The firings of a reasoning as the oracles give them, each with how often it came."""
    numbers = {id(rule): number for number, rule in enumerate(circuit.rules)}
    return Counter((numbers[id(firing.rule)], firing.facts) for firing in reasoning.firings)


@settings(max_examples=500, deadline=None)
@given(SEEDS)
def test_every_firing_is_right_and_comes_once(seed: int) -> None:
    """On random rules and findings the firings are those of a naive evaluator, none missing, none twice."""
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    for _ in range(3):  # again and again with one network: nothing is left of the time before
        findings = bases.findings(rng)
        expected = brute.fire(circuit.rules, findings.items())
        assert Counter(expected) == fired(circuit, reason(circuit, findings))


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_supports_are_the_smallest_sets_of_findings(seed: int) -> None:
    """What a firing rests on is what is found by trying every subset of the findings."""
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    findings = bases.findings(rng)
    numbers = {id(rule): number for number, rule in enumerate(circuit.rules)}
    expected = brute.supports(circuit.rules, findings, bases.CIRCUMSTANCES)
    for firing in reason(circuit, findings).firings:
        assert set(firing.supports) == expected[numbers[id(firing.rule)], firing.facts]


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_a_firing_is_doubtful_when_it_would_not_come_without_the_doubtful_answers(seed: int) -> None:
    """Doubt spreads to a firing exactly when every way to it leads through an answer whose conditions were not met."""
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    findings = bases.findings(rng)
    doubts = frozenset(name for name in findings if name in bases.QUESTIONS and rng.random() < 0.4)
    sure = {name: value for name, value in findings.items() if name not in doubts}
    without = brute.fire(circuit.rules, sure.items())
    numbers = {id(rule): number for number, rule in enumerate(circuit.rules)}
    for firing in reason(circuit, findings, doubts).firings:
        assert firing.doubtful == ((numbers[id(firing.rule)], firing.facts) not in without)


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_clips_fires_the_same(seed: int) -> None:
    """CLIPS, given the same rules and facts, fires the same rules on the same facts."""
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    clips = Clips(circuit.rules)
    for _ in range(3):
        findings = bases.findings(rng)
        assert clips.fire(findings.items()) == set(fired(circuit, reason(circuit, findings)))


def test_clips_fires_the_same_on_the_shipped_base() -> None:
    """The same for every technology of the shipped base, with random answers to a third of what its rules look at."""
    base, rng = shipped_base(), random.Random(1)
    for technology in (None, *base.technologies):
        circuit = ground(base, technology)
        clips = Clips(circuit.rules)
        most = 0
        for _ in range(8):
            told = job(base, technology, rng, most=rng.randint(5, 40)).told
            expected = clips.fire(told.items())
            assert expected == set(fired(circuit, reason(circuit, told)))
            assert expected == brute.fire(circuit.rules, told.items())
            most = max(most, len(expected))
        assert most > 3


@settings(max_examples=100, deadline=None)
@given(SEEDS)
def test_the_stock_matcher_fires_the_same(seed: int) -> None:
    """Experta's own network of joins, under our order of the agenda, finds what our index finds."""
    from experta.matchers.rete import ReteMatcher  # after engine._experta, which mends the import

    rng = random.Random(seed)
    rules = bases.ground_rules(rng, most=12)
    ours, stock = network(rules), network(rules)
    # reaching inside: the matcher is no choice of the program's, only of this comparison's
    stock._engine = _engine_class(stock._rules, matcher=ReteMatcher)()
    for _ in range(2):
        findings = bases.findings(rng)
        assert Counter(stock.infer(findings.items())) == Counter(ours.infer(findings.items()))


def test_the_random_rules_are_worth_trying() -> None:
    """The random rules above do fire, chain, and are barred; a generator of silent rules would prove nothing."""
    firings = chained = barred = 0
    for seed in range(200):
        rng = random.Random(seed)
        rules, findings = bases.ground_rules(rng), bases.findings(rng)
        here = brute.fire(rules, findings.items())
        firings += len(here)
        chained += sum(1 for _, facts in here if any(name in bases.CONCLUSIONS for name, _ in facts))
        free = [GroundRule(one.id, one.when, (), one.concludes, ()) for one in rules]
        barred += len(brute.fire(free, findings.items())) - len(here)
    assert firings > 1000
    assert chained > 300
    assert barred > 100


def network(rules: Sequence[GroundRule]) -> Network:
    """Rules compiled without a circuit."""
    return Network([Pattern(rule.when, rule.unless) for rule in rules], [rule.concludes for rule in rules])


def test_a_chain_is_followed_to_its_end() -> None:
    """A conclusion fifty rules deep is reached, and rests on the one finding at its start."""
    links = [rule(f"r{n}", {f"d{n}": "a"}, {f"d{n + 1}": "a"}) for n in range(50)]
    circuit = bases.circuit((*reversed(links), rule("start", {"q0": "a"}, {"d0": "a"})))
    reasoning = reason(circuit, {"q0": "a"})
    assert ("d50", "a") in reasoning.facts
    assert {firing.supports for firing in reasoning.firings} == {(frozenset({"q0"}),)}


def test_rules_that_conclude_in_a_circle_come_to_rest() -> None:
    """Two rules that conclude each other fire once each, and hold nothing up that no finding brought in."""
    circle = (rule("to", {"d0": "a"}, {"d1": "a"}), rule("fro", {"d1": "a"}, {"d0": "a"}))
    assert reason(bases.circuit(circle), {"q0": "a"}).firings == ()
    circuit = bases.circuit((*circle, rule("in", {"q0": "a"}, {"d0": "a"})))
    assert Counter(firing.rule.id for firing in reason(circuit, {"q0": "a"}).firings) == Counter(["to", "fro", "in"])


@pytest.mark.parametrize("count", range(2, 21))
def test_one_of_many_rules_on_one_finding_can_be_barred(count: int) -> None:
    """Of many rules on the same finding, only the barred one stays silent (stock experta fires it from four on)."""
    rules = [rule(f"r{n}", {"q0": "a"}, {}) for n in range(count)]
    for barred in (0, count // 2, count - 1):
        mixed = [*rules]
        mixed[barred] = rule("barred", {"q0": "a"}, {}, {"z0": "b"})
        firings = reason(bases.circuit(tuple(mixed)), {"q0": "a", "z0": "b"}).firings
        assert len(firings) == count - 1
        assert "barred" not in {firing.rule.id for firing in firings}


def test_a_rule_fires_once_where_any_of_several_values_will_do() -> None:
    """An answer that is one of the wanted values makes the rule fire once, not once for each value."""
    circuit = bases.circuit((rule("any", {"q0": "abc"}, {}),))
    assert [firing.facts for firing in reason(circuit, {"q0": "b"}).firings] == [(("q0", "b"),)]


def test_equal_rules_under_different_names_both_fire() -> None:
    """Two rules with the same conditions do not melt into one."""
    circuit = bases.circuit((rule("one", {"q0": "a"}, {}), rule("two", {"q0": "a"}, {})))
    assert [firing.rule.id for firing in reason(circuit, {"q0": "a"}).firings] == ["one", "two"]


def test_no_more_supports_are_kept_than_the_limit() -> None:
    """A conclusion with very many ways to it keeps the first smallest ones."""
    ways = [rule(f"r{n}", {f"x{n:02}": "a"}, {"d0": "a"}) for n in range(MAX_SUPPORTS + 5)]
    circuit = bases.circuit((*ways, rule("end", {"d0": "a"}, {})))
    last = reason(circuit, {f"x{n:02}": "a" for n in range(MAX_SUPPORTS + 5)}).firings[-1]
    assert last.supports == tuple(frozenset({f"x{n:02}"}) for n in range(MAX_SUPPORTS))


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_more_findings_take_no_firing_away(seed: int) -> None:
    """Rules are monotone: with the circumstances unchanged, a further answer only ever adds."""
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    findings = bases.findings(rng)
    fewer = {name: value for name, value in findings.items() if name in bases.CIRCUMSTANCES or rng.random() < 0.6}
    assert fired(circuit, reason(circuit, fewer)) <= fired(circuit, reason(circuit, findings))


def test_an_error_while_reasoning_leaves_no_wrong_answer_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    """After an exception in the middle of a run, the next reasoning is as right as in a fresh program."""
    chain = (rule("one", {"q0": "a"}, {"d0": "a"}), rule("two", {"d0": "a"}, {"d1": "a"}), rule("end", {"d1": "a"}, {}))
    circuit = bases.circuit(chain)
    for failing in ("reset", "declare", "run"):
        good = reason(circuit, {"q0": "a"}).firings
        assert len(good) == 3
        with monkeypatch.context() as patch:
            kind = type(circuit.network._engine)  # reaching inside: there is no way to make experta fail from outside
            patch.setattr(kind, failing, failing_after(2 if failing != "reset" else 0, getattr(kind, failing)))
            with pytest.raises(RuntimeError):
                reason(circuit, {"q0": "a", "q1": "b"})
        assert reason(circuit, {"q0": "a"}).firings == good


def test_an_error_while_a_firing_is_recorded_leaves_no_wrong_answer_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same when it is the record of a firing that fails, halfway through those on the agenda."""
    compiled = network([rule(f"r{n}", {"q0": "a"}, {}) for n in range(6)])
    good = compiled.infer([("q0", "a")])
    with monkeypatch.context() as patch:
        patch.setattr(compiled._rules[3], "_wrapped", broken)  # reaching inside, as above
        with pytest.raises(RuntimeError):
            compiled.infer([("q0", "a")])
    assert compiled.infer([("q0", "a")]) == good
    assert len(good) == 6


def broken(*_: Any, **__: Any) -> None:
    """A right-hand side that fails."""
    raise RuntimeError("broken on purpose")


def failing_after(calls: int, method: Callable[..., Any]) -> Callable[..., Any]:
    """A method that works so many times and then fails."""
    count = iter(range(calls))

    def failing(*arguments: Any, **named: Any) -> Any:
        if next(count, None) is None:
            raise RuntimeError("broken on purpose")
        return method(*arguments, **named)

    return failing


def rule(
    name: str, when: Mapping[str, str], concludes: Mapping[str, str], unless: Mapping[str, str] | None = None
) -> GroundRule:
    """A ground rule; each letter of a value is one of several that will do."""

    def leaves(conditions: Mapping[str, str]) -> Iterable[Leaf]:
        return (Leaf(fact, frozenset(values)) for fact, values in conditions.items())

    return GroundRule(name, tuple(leaves(when)), tuple(leaves(unless or {})), tuple(concludes.items()), ())


DUMP = """
import random
from engine.reasoning import reason
from tests.oracles import bases
for seed in range(60):
    rng = random.Random(seed)
    circuit = bases.circuit(bases.ground_rules(rng))
    for firing in reason(circuit, bases.findings(rng)).firings:
        print(firing.rule.id, firing.facts, [sorted(support) for support in firing.supports])
"""


def python(code: str, seed: int = 0, *flags: str) -> subprocess.CompletedProcess[str]:
    """A fresh interpreter with its own hash seed."""
    environment = {**os.environ, "PYTHONHASHSEED": str(seed)}
    return subprocess.run([sys.executable, *flags, "-c", code], env=environment, capture_output=True, text=True)


def test_twenty_processes_reason_alike() -> None:
    """Firings, the facts they matched, their order and supports are the same in every process."""
    with ThreadPoolExecutor(2) as pool:
        runs = list(pool.map(lambda seed: python(DUMP, seed), range(20)))
    assert [run.stderr for run in runs] == [""] * 20
    assert len({run.stdout for run in runs}) == 1
    assert runs[0].stdout.count("\n") > 40


def test_importing_the_engine_has_no_side_effects() -> None:
    """No warning, no log handler, no name lent to a standard module, nothing printed."""
    code = (
        "import collections, logging, engine, engine._experta;"
        "assert logging.getLogger().handlers == [];"
        "assert not hasattr(collections, 'Mapping')"
    )
    run = python(code, 0, "-W", "error")
    assert (run.returncode, run.stdout, run.stderr) == (0, "", "")


def test_circumstances_do_not_count_as_support() -> None:
    """What rests on circumstances alone rests on no finding at all."""
    circuit = bases.circuit((rule("told", {"c0": "a"}, {"d0": "b"}), rule("then", {"d0": "b", "q0": "a"}, {})))
    supports = {one.rule.id: one.supports for one in reason(circuit, {"c0": "a", "q0": "a"}).firings}
    assert supports == {"told": (frozenset(),), "then": (frozenset({"q0"}),)}
