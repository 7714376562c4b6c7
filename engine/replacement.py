"""May one light source stand in for another? Answered from the rows of the table, with the reasons."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.tables import LightSource


@dataclass(frozen=True)
class Verdict:
    """Whether the offered source may be fitted, and why or why not."""

    may: bool
    reasons: tuple[str, ...]


def may_replace(fitted: str, offered: str, sources: Mapping[str, LightSource]) -> Verdict:
    """May `offered` go where `fitted` belongs? Both are categories of the table, else ValueError."""
    for name in (fitted, offered):
        if name not in sources:
            raise ValueError(f"{name} is not in the table of light sources")
    want, have = sources[fitted], sources[offered]
    if fitted == offered:
        return Verdict(True, ("the same category",))
    if offered in want.also_fits:
        return Verdict(True, (have.note or "made to stand in for it",))
    reasons = list(_differences(want, have))
    if offered in want.never:
        reasons.insert(0, want.never[offered])
    return Verdict(False, tuple(reasons) or ("a lamp is approved with its own category only",))


def _differences(want: LightSource, have: LightSource) -> list[str]:
    if want.kind != have.kind:
        return [f"one is a {want.kind} source, the other a {have.kind} source; the lamp is approved for one kind only"]
    found = []
    if want.rated_volts != have.rated_volts:
        found.append(f"made for {have.rated_volts:g} V, not {want.rated_volts:g} V")
    if want.lamp_volts != have.lamp_volts and want.lamp_volts and have.lamp_volts:
        found.append(f"its arc runs at {have.lamp_volts:g} V, and the ballast is made for {want.lamp_volts:g} V")
    if want.starter_in_base != have.starter_in_base:
        found.append("the starter is in the base of one and not of the other")
    if want.ballast_in_base != have.ballast_in_base:
        found.append("the ballast is in the base of one and not of the other")
    if want.stripes != have.stripes:
        found.append("one carries the stripes a reflector needs, the other is for a projector")
    if want.outputs.keys() != have.outputs.keys():
        found.append("they do not make the same beams")
    elif any(want.outputs[beam].watts != have.outputs[beam].watts for beam in want.outputs):
        found.append("the power differs")
    if want.cap != have.cap:
        found.append(f"the cap is {have.cap}, not {want.cap}")
    return found
