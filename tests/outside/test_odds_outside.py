"""The odds on worked examples of Bayes' rule from outside, and the words for evidence beside published scales."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from engine import Base
from engine.expectations import expectations
from tests.shipped import shipped_base
from tests.textbook import evidence, textbook

TUNNY = "General Report on Tunny, p. 39: a coin and 20 heads, prior odds 1:10,000, 2 a toss, 20 decibans (read)"
WELL = "university solutions to a decision exercise on a test for oil: Pr(P) .48, Pr(O|P) .56, Pr(-O|-P) .94 (read)"
SURVEY = "university exercise on offshore drilling: P(P) .15, P(N) .74, P(I) .11 worked out (read)"
SPRINKLER = "textbook sprinkler network; P(S|W,R) = .1945 on a public page (read), .430, .708 and .320 (from memory)"
CAR = "Jensen and Nielsen 2007, car start problem: tables and answers in public code that tests a library (read)"
RATIOS = {"weak": 2.0, "moderate": 4.0, "strong": 12.0, "proof": 1000.0}


@pytest.mark.outside(TUNNY)
def test_twenty_heads() -> None:
    """2 to the 20th over 10,000: odds of 104.86, or 20.2 decibans, that the coin has two heads."""
    tosses = {f"toss{number}": {"heads": 0.5, "tails": 0.5} for number in range(20)}
    rules = [{"when": {toss: "tails"}, "excludes": "double"} for toss in tosses]
    belief = evidence(textbook({"double": 1 / 10_001}, tosses, rules, RATIOS), **dict.fromkeys(tosses, "heads")).belief
    odds = belief.share("double") / belief.unknown
    assert odds == pytest.approx(2**20 / 10_000, rel=1e-6)
    assert 10 * math.log10(odds) == pytest.approx(20, abs=0.3)


@pytest.mark.outside(f"{TUNNY}: 3 decibans a toss")
def test_each_head_is_worth_three_decibans() -> None:
    """The weight of evidence adds up toss by toss."""
    tosses = {f"toss{number}": {"heads": 0.5, "tails": 0.5} for number in range(5)}
    rules = [{"when": {toss: "tails"}, "excludes": "double"} for toss in tosses]
    base = textbook({"double": 1 / 10_001}, tosses, rules, RATIOS)
    weights = []
    for thrown in range(6):
        belief = evidence(base, **dict.fromkeys(list(tosses)[:thrown], "heads")).belief
        weights.append(10 * math.log10(belief.share("double") / belief.unknown))
    assert [b - a for a, b in itertools.pairwise(weights)] == pytest.approx([3.0103] * 5, abs=1e-3)


def predicted(base: Base, question: str) -> dict[str, float]:
    """How likely each answer is before it is given."""
    session = evidence(base)
    table = expectations(session.circuit).likelihood(question, {}, 0.0)
    return dict(zip(base.questions[question].outcomes, map(float, table @ session.belief.shares), strict=True))


@pytest.mark.outside(WELL)
def test_a_test_for_oil() -> None:
    """Oil .3; positive .9 with oil and .3 without: P(positive) .48, oil after it .56, none after a negative .94."""
    questions = {"sounding": {"positive": 0.3, "negative": 0.7}}
    rules: list[dict[str, Any]] = [
        {"when": {"sounding": "positive"}, "raises": {"moderate": "oil"}},
        {"when": {"sounding": "negative"}, "lowers": {"strong": "oil"}},
    ]
    base = textbook({"oil": 0.3}, questions, rules, {**RATIOS, "moderate": 3, "strong": 7})
    assert predicted(base, "sounding")["positive"] == pytest.approx(0.48, abs=1e-6)
    assert evidence(base, sounding="positive").belief.share("oil") == pytest.approx(0.56, abs=0.005)
    assert evidence(base, sounding="negative").belief.unknown == pytest.approx(0.94, abs=0.005)


@pytest.mark.outside(SURVEY)
def test_a_survey_with_three_answers() -> None:
    """Large deposits .1; experts say P, N or I .6/.2/.2 with them, .1/.8/.1 without."""
    questions = {"survey": {"likely": 0.1, "unlikely": 0.8, "unclear": 0.1}}
    rules: list[dict[str, Any]] = [
        {"when": {"survey": "likely"}, "raises": {"strong": "large"}},
        {"when": {"survey": "unlikely"}, "lowers": {"moderate": "large"}},
        {"when": {"survey": "unclear"}, "raises": {"weak": "large"}},
    ]
    base = textbook({"large": 0.1}, questions, rules, {**RATIOS, "weak": 2, "moderate": 4, "strong": 6})
    found = predicted(base, "survey")
    assert found == pytest.approx({"likely": 0.15, "unlikely": 0.74, "unclear": 0.11}, abs=1e-6)
    assert evidence(base, survey="likely").belief.share("large") == pytest.approx(0.06 / 0.15, abs=1e-6)


def sprinkler() -> Base:
    """Sprinkler alone, rain alone, both, neither, with the priors that the clouds leave them, and the wet grass."""
    priors = {"sprinkler": 0.21, "rain": 0.41, "both": 0.09, "neither": 0.29 - 1e-9}
    questions = {
        "grass": {"wet": 0.9, "dry": 0.1},
        "running": {"yes": 0.5, "no": 0.5},
        "raining": {"yes": 0.5, "no": 0.5},
    }
    rules: list[dict[str, Any]] = [
        {"when": {"grass": "wet"}, "raises": {"strong": "both"}, "excludes": "neither"},  # 0.99 where one alone has 0.9
        {"when": {"running": "yes"}, "excludes": ["rain", "neither"]},
        {"when": {"running": "no"}, "excludes": ["sprinkler", "both"]},
        {"when": {"raining": "yes"}, "excludes": ["sprinkler", "neither"]},
        {"when": {"raining": "no"}, "excludes": ["rain", "both"]},
    ]
    return textbook(priors, questions, rules, {**RATIOS, "strong": 11})


@pytest.mark.outside(SPRINKLER)
@pytest.mark.parametrize(
    ("seen", "faults", "published"),
    [
        ({"grass": "wet"}, ("sprinkler", "both"), 0.4298),
        ({"grass": "wet"}, ("rain", "both"), 0.7079),
        ({"grass": "wet", "raining": "yes"}, ("sprinkler", "both"), 0.1945),
        ({"grass": "wet", "running": "yes"}, ("rain", "both"), 0.3204),
    ],
)
def test_explaining_away(seen: dict[str, str], faults: tuple[str, ...], published: float) -> None:
    """Wet grass accuses both; once it rains, the sprinkler is suspected less."""
    belief = evidence(sprinkler(), **seen).belief
    assert sum(map(belief.share, faults)) == pytest.approx(published, abs=5e-5)


def car() -> Base:
    """No fuel, dirty plugs, both, or something else: does the car start, and what does the fuel meter say?"""
    priors = {"fuel": 0.02 * 0.96, "plugs": 0.98 * 0.04, "both": 0.02 * 0.04, "sound": 0.98 * 0.96 - 1e-9}
    questions = {"start": {"yes": 0.99, "no": 0.01}, "meter": {"full": 0.39, "half": 0.60, "empty": 0.01}}
    dry = ["fuel", "both"]
    rules: list[dict[str, Any]] = [
        {"when": {"start": "no"}, "proves": "plugs"},
        {"when": {"start": "yes"}, "excludes": dry},
        {"when": {"meter": "full"}, "lowers": {"weak": dry}},
        {"when": {"meter": "half"}, "lowers": {"moderate": dry}},
        {"when": {"meter": "empty"}, "raises": {"strong": dry}},
    ]
    return textbook(priors, questions, rules, {"weak": 390, "moderate": 600, "strong": 99.8, "proof": 99**2})


@pytest.mark.outside(CAR)
def test_a_car_that_does_not_start() -> None:
    """No fuel .29, dirty plugs .58; with the meter at half the plugs .804, and fuel there is."""
    dead, half = evidence(car(), start="no").belief, evidence(car(), start="no", meter="half").belief
    assert dead.share("fuel") + dead.share("both") == pytest.approx(0.29, abs=0.005)
    assert dead.share("plugs") + dead.share("both") == pytest.approx(0.58, abs=0.005)
    assert half.share("plugs") + half.share("both") == pytest.approx(0.804, abs=0.001)
    assert half.share("fuel") + half.share("both") == pytest.approx(0.001, abs=0.0005)


@pytest.mark.outside(f"{CAR}; pgmpy, variable elimination")
@pytest.mark.parametrize("meter", [None, "full", "half", "empty"])
def test_the_car_against_a_library(meter: str | None) -> None:
    """Fuel and plugs after "it does not start", and after the fuel meter was read, as a library has them."""
    models = pytest.importorskip("pgmpy.models")
    from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-untyped]  # ships no type hints
    from pgmpy.inference import VariableElimination  # type: ignore[import-untyped]  # likewise

    network = models.DiscreteBayesianNetwork([("fuel", "meter"), ("fuel", "start"), ("plugs", "start")])
    network.add_cpds(  # states: 0 sound, 1 faulty; start 0 yes, 1 no; meter 0 full, 1 half, 2 empty
        TabularCPD("fuel", 2, [[0.98], [0.02]]),
        TabularCPD("plugs", 2, [[0.96], [0.04]]),
        TabularCPD("meter", 3, [[0.39, 0.001], [0.60, 0.001], [0.01, 0.998]], ["fuel"], [2]),
        TabularCPD("start", 2, [[0.99, 0.01, 0, 0], [0.01, 0.99, 1, 1]], ["fuel", "plugs"], [2, 2]),
    )
    seen = {"start": 1} | ({"meter": ["full", "half", "empty"].index(meter)} if meter else {})
    belief = evidence(car(), start="no", **({"meter": meter} if meter else {})).belief
    for fault in ("fuel", "plugs"):
        published = VariableElimination(network).query([fault], evidence=seen, show_progress=False).values[1]
        assert belief.share(fault) + belief.share("both") == pytest.approx(float(published), abs=1e-6)


# ---- words for evidence


@pytest.mark.outside(
    "verbal scale of forensic reporting: 1 to 10 limited, 10 to 100 moderate, 100 to 1,000 next (read)"
)
def test_our_words_never_claim_more_than_the_forensic_scale() -> None:
    """Weak and moderate of the workshop are limited there, strong is moderate, and a proof is where strong begins."""
    base = shipped_base()
    assert 1 < base.setting("weak") < base.setting("moderate") < 10
    assert 10 <= base.setting("strong") < 100
    assert base.setting("proof") >= 1000


@pytest.mark.outside(
    "scale of Bayes factors after Jeffreys: lg K to 0.5 bare mention, to 1, to 2 strong, decisive (read)"
)
def test_our_words_agree_with_the_scale_of_bayes_factors() -> None:
    """Weak is hardly worth mentioning, moderate substantial, strong strong, a proof decisive."""
    base = shipped_base()
    steps = {"weak": (0, 0.5), "moderate": (0.5, 1), "strong": (1, 2), "proof": (2, 4)}
    for word, (low, high) in steps.items():
        assert low < math.log10(base.setting(word)) <= high, word
