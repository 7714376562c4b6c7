"""What a knowledge file says of a repair: what to buy, what to do step by step with its dangers, and the proof."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, ConfigDict, Field, model_validator

from engine.fields import Amount, Entry, Id, Names, Words, as_list


class Part(Entry):
    """What to buy for a repair."""

    ask_for: Words = Field(description="What to ask for at the counter, and which number to read off the old part.")
    new: tuple[Amount, Amount] | None = Field(None, description="Price band, new, original quality.")
    used: tuple[Amount, Amount] | None = Field(None, description="Price band, used.")
    aftermarket: tuple[Amount, Amount] | None = Field(None, description="Price band, aftermarket.")
    pair: Words | None = Field(None, description="Whether to fit one or a pair, and why.")
    never: Words | None = Field(None, description="What must not be fitted instead.")


def _or_text(made: dict[str, Any]) -> None:
    """Say in the schema of a step that its text may stand alone."""
    text = {"type": "string", "minLength": 2, "maxLength": 1200}
    whole = {**made}
    made.clear()
    made.update(description=whole.pop("description"), anyOf=[text, whole])


class RepairStep(Entry):
    """One thing to do in a repair. A text alone stands for `do` alone."""

    model_config = ConfigDict(json_schema_extra=_or_text)

    do: Words = Field(description="What to do.")
    cautions: Names = Field((), description="The cautions to give just before it; serious ones are acknowledged then.")
    tools: Names = Field((), description="The tools it needs.")

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, value: object) -> object:
        return {"do": value} if isinstance(value, str) else value


Steps: TypeAlias = Annotated[tuple[RepairStep, ...], BeforeValidator(as_list), Field(min_length=1)]


class Repair(Entry):
    """What cures a fault."""

    name: Words = Field(description="The repair in a few words, as an instruction: `fit a new bulb`.")
    part: Part | None = Field(None, description="What to buy, if anything.")
    minutes: Amount = Field(description="Working minutes, access not included.")
    access: Id | None = Field(None, description="The state of access it needs.")
    tools: Names = Field((), description="The tools it needs.")
    cautions: Names = Field(
        (), description="Its cautions: those that a step names come before that step, the others before all."
    )
    steps: Steps = Field(description="What to do, in order.")
    proof: Steps = Field(description="How to prove it before everything is bolted back.")
    stale: Names = Field((), description="Questions whose answers no longer hold after it.")
    touches: Literal["source", "lamp"] | None = Field(
        None, description="What it moves that the beam depends on, so that the aim is set after it: source or lamp."
    )

    @property
    def dangers(self) -> Names:
        """Every caution of the repair, those of its steps included."""
        at_steps = (name for step in (*self.steps, *self.proof) for name in step.cautions)
        return tuple(dict.fromkeys((*self.cautions, *at_steps)))
