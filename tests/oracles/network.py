"""The odds as a Bayesian network in pgmpy (https://pgmpy.org): one parent, the fault, and a child a question."""

from __future__ import annotations

from collections.abc import Mapping

from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-untyped]  # pgmpy ships no type hints
from pgmpy.inference import VariableElimination  # type: ignore[import-untyped]  # likewise
from pgmpy.models import DiscreteBayesianNetwork  # type: ignore[import-untyped]  # likewise

from engine.belief import Finding
from engine.grounding import Circuit
from tests.oracles import odds


def posterior(
    circuit: Circuit, told: Mapping[str, str], findings: Mapping[str, Finding], complaint: str | None
) -> dict[str, float]:
    """The odds after all answers, by variable elimination; rules that need several findings are one more child."""
    faults = [*circuit.faults, odds.UNKNOWN]
    circumstances = {name: value for name, value in told.items() if name not in findings}
    prior, weights = odds.prior(circuit, complaint), odds.together(circuit, told, findings)
    most = max(weights.values())
    network = DiscreteBayesianNetwork([("fault", name) for name in (*findings, "together")])
    columns = {"evidence": ["fault"], "evidence_card": [len(faults)]}
    tables = [TabularCPD("fault", len(faults), [[prior[fault]] for fault in faults])]
    for name, found in findings.items():
        rows = odds.slipping(circuit, name, circumstances, found.slip).values()
        tables.append(TabularCPD(name, len(rows), [[row[fault] for fault in faults] for row in rows], **columns))
    shown = [weights[fault] / most for fault in faults]
    tables.append(TabularCPD("together", 2, [shown, [1 - share for share in shown]], **columns))
    network.add_cpds(*tables)
    seen = {name: list(circuit.base.questions[name].outcomes).index(one.outcome) for name, one in findings.items()}
    result = VariableElimination(network).query(["fault"], evidence={**seen, "together": 0}, show_progress=False)
    return dict(zip(faults, map(float, result.values), strict=True))
