"""Sources are honest: what is recalled says so, what is invented backs no rule, and much of the base was read."""

from __future__ import annotations

import pytest

from tests.shipped import loaded, shipped_base

BASE = loaded()
SOURCES = sorted(BASE.sources) if BASE else []


@pytest.mark.parametrize("name", SOURCES)
def test_what_is_recalled_says_so(name: str) -> None:
    """A source recalled and not seen says "from memory" to whoever asks why; one that was seen does not rest on it."""
    source = shipped_base().sources[name]
    if source.status == "memory":
        assert "from memory" in source.title
    if source.status == "read":
        assert not source.title.rstrip(".").endswith("from memory")


def test_no_rule_rests_on_invention() -> None:
    """Invented sources are for prices and cases; what is said of lamps is not invented."""
    base = shipped_base()
    invented = {name for name, source in base.sources.items() if source.status == "invented"}
    assert not [name for name, rule in base.rules.items() if invented & set(rule.source)]


def test_no_source_lies_idle() -> None:
    """Each source is the source of something."""
    base = shipped_base()
    entries = (*base.rules.values(), *base.cautions.values(), *base.cases.values())
    used = {name for entry in entries for name in entry.source}
    assert set(base.sources) - used == set()


def test_a_fair_share_of_rules_was_read_or_follows_from_circuit_law() -> None:
    """At least one rule in three has more behind it than common practice."""
    base = shipped_base()
    backed = [name for name, rule in base.rules.items() if set(rule.source) - {"common-practice"}]
    assert len(backed) >= len(base.rules) / 3
