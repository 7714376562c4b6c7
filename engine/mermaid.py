"""A graph of the rule base as Mermaid text, which many places that show Markdown draw as a picture."""

from __future__ import annotations

from engine.argument import Graph

_SHAPES = {"finding": ('(["', '"])'), "rule": ('["', '"]'), "conclusion": ('{{"', '"}}'), "fault": ('[["', '"]]')}
_LINES = {
    "": "-->",
    "for": "-->|for|",
    "against": "-.->|against|",
    "rules out": "-.->|rules out|",
    "proves": "==>|proves|",
}


def mermaid(graph: Graph) -> str:
    """The graph as a flowchart from left to right."""
    ids = {node.name: f"n{number}" for number, node in enumerate(graph.nodes)}
    rows = ["flowchart LR"]
    for node in graph.nodes:
        before, after = _SHAPES[node.kind]
        rows.append(f"    {ids[node.name]}{before}{_said(node.text)}{after}")
    rows += [f"    {ids[edge.start]} {_LINES[edge.says]} {ids[edge.end]}" for edge in graph.edges]
    return "\n".join(rows)


def _said(text: str) -> str:
    """Text in which nothing is markup."""
    for sign, code in (("#", "#35;"), ('"', "#quot;"), ("<", "#lt;"), (">", "#gt;"), ("`", "#96;")):
        text = text.replace(sign, code)
    return " ".join(text.split())
