"""The settings that every base declares, as the section of a knowledge file, with figures fit for a test."""

from __future__ import annotations

from collections.abc import Mapping

FIGURES = {
    "hour-value": 40.0,
    "asking-minutes": 0.5,
    "looking-share": 1.0,
    "attempt-minutes": 25.0,
    "referral-price": 150.0,
    "referral-covered": 15.0,
    "dud-share": 0.04,
    "unknown-share": 0.03,
    "stray-frequency": 0.03,
    "weak": 1.75,
    "moderate": 4.0,
    "strong": 12.0,
    "proof": 1000.0,
    "slip-circumstance": 0.01,
    "slip-symptom": 0.1,
    "slip-test": 0.04,
    "slip-reading": 0.02,
    "slip-doubtful": 0.6,
    "proved-share": 0.95,
    "likely-share": 0.6,
    "unknown-verdict": 0.4,
    "recheck-share": 0.4,
    "recheck-at-once": 0.5,
    "recheck-lost": 0.15,
}


def settings_text(own: Mapping[str, float] | None = None) -> str:
    """The section `settings`, with figures of one's own in place of these."""
    rows = (f"  {name}: {{value: {figure:g}, says: For tests.}}" for name, figure in {**FIGURES, **(own or {})}.items())
    return "\n".join(["settings:", *rows, ""])
