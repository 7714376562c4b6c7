"""What others say before the same kind of work must not be left out.

A hazard is declared by the cautions that questions and repairs carry. Of those that share a tool, mend the same stretch
of the chain or get at the lamp the same way, at least four others, and nine in ten of them (of a serious caution more
than four in five), carry a certain one: then the odd one out has probably forgotten it. Where the work differs, say so
with `# kb: allow cautions - ` and the reason.

Likely mend: add the caution named in the message.

Fails:

    questions:
      volts-one: {kind: test, title: one, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
      volts-two: {kind: test, title: two, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
      volts-three: {kind: test, title: three, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
      volts-four: {kind: test, title: four, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
      volts-five: {kind: test, title: five, ask: "Volts?", tools: meter,
        outcomes: {full: {say: Full.}, none: {say: None.}}}

Passes:

    questions:
      volts-one: {kind: test, title: one, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
      volts-two: {kind: test, title: two, ask: "Volts?", tools: meter, cautions: live-12-volts,
        outcomes: {full: {say: Full.}, none: {say: None.}}}
    rules:
      full-volts:
        when: {volts-one: full, volts-two: full}
        raises: {weak: plug-corroded}
        because: All arrives.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine import schema
from engine.audit.survey import ADVICE, WARNING, Survey
from engine.problems import Problem

CODE = "cautions"
RAW = True
FEWEST, SHARE, SHARE_SERIOUS = 4, 0.9, 0.81  # judgement, no source
Step = schema.Question | schema.Repair
Kind = tuple[str, str, str]


def check(survey: Survey) -> Iterator[Problem]:
    """Questions and repairs that lack a caution which nearly all of their kind carry."""
    kinds: dict[Kind, list[tuple[str, str, Step]]] = {}
    for section, name, step in _steps(survey):
        for kind in _kinds(survey, section, name, step):
            kinds.setdefault(kind, []).append((section, name, step))
    told: set[tuple[str, str, str]] = set()
    for (_, what, thing), members in kinds.items():
        for caution in dict.fromkeys(one for _, _, step in members for one in step.cautions):
            carry = sum(1 for _, _, step in members if caution in step.cautions)
            serious = caution in survey.base.cautions and survey.base.cautions[caution].serious
            if carry < FEWEST or carry / (len(members) - 1 or 1) < (SHARE_SERIOUS if serious else SHARE):
                continue
            for section, name, step in members:
                if caution not in step.cautions and (section, name, caution) not in told:
                    told.add((section, name, caution))
                    of = f"{carry} of {len(members)} {what} {thing}"
                    message = f'"{name}" lacks the caution "{caution}", which {of} carry; add it if it holds here'
                    place = survey.key(section, name, "cautions")
                    yield Problem(place, WARNING if serious else ADVICE, CODE, message)


def _steps(survey: Survey) -> Iterator[tuple[str, str, Step]]:
    for name, question in survey.base.questions.items():
        if question.kind in ("test", "reading"):
            yield "questions", name, question
    for name, repair in survey.base.repairs.items():
        yield "repairs", name, repair


def _kinds(survey: Survey, section: str, name: str, step: Step) -> Iterator[Kind]:
    for tool in step.tools:
        yield section, f"{section} with the tool", tool
    if step.access:
        yield section, f"{section} done with", step.access
    if section == "repairs":
        for stretch in sorted(_stretches(survey, name)):
            yield section, "repairs in the stretch", stretch


def _stretches(survey: Survey, repair: str) -> set[str]:
    base = survey.base
    nodes = {fault.node for fault in base.faults.values() if repair in fault.repair and fault.node in base.nodes}
    return {base.nodes[node].section for node in nodes if node}
