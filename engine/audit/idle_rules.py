"""A rule must do something: conclude, exclude, prove, raise, lower, advise, bar or stop.

Likely mend: write the effect, or take the rule out.

Fails:

    rules:
      pink-light:
        when: {tube-look: pink}
        because: It is pink.
        source: common-practice
      worn-tube:
        when: {tube-look: pink}
        proves: tube-worn
        because: It is pink.
        source: common-practice

Passes:

    rules:
      pink-light:
        when: {tube-look: pink}
        proves: tube-worn
        because: It is pink.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import WARNING, Survey
from engine.problems import Problem

CODE = "idle-rules"
RAW = True
EFFECTS = ("concludes", "excludes", "proves", "raises", "lowers", "advises", "bars", "stops")


def check(survey: Survey) -> Iterator[Problem]:
    """Rules without any effect."""
    for name, rule in survey.base.rules.items():
        if not any(getattr(rule, effect) for effect in EFFECTS):
            message = f'"{name}" does nothing; give it an effect ({", ".join(EFFECTS)}), or take it out'
            yield Problem(survey.base.place("rules", name), WARNING, CODE, message)
