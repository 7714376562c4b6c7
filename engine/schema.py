"""What may stand in a knowledge file: one frozen model per kind of entry, every field described."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, StringConstraints

from engine.fields import ID_PATTERN as ID_PATTERN
from engine.fields import Amount, Id, Names, Share, Texts, Values, Words, as_list
from engine.fields import Conditions as Conditions
from engine.fields import Entry as Entry
from engine.repairs import Part as Part
from engine.repairs import Repair as Repair
from engine.repairs import RepairStep as RepairStep

Strength: TypeAlias = Literal["weak", "moderate", "strong"]
UNSURE = "unsure"  # what may be said to every question beside its outcomes
VerdictKind: TypeAlias = Literal["proved", "likely", "open", "normal", "elsewhere", "unknown", "clash", "stopped"]


class Outcome(Entry):
    """One of the mutually exclusive answers of a question."""

    say: Words = Field(description="What the person sees or measures, in plain words: the answer to pick.")
    usual: Share | None = Field(
        None,
        description="How often it is seen when the fault lies elsewhere; outcomes without it share the rest.",
    )
    at_least: float | None = Field(None, description="For a reading: the lowest figure that counts as this outcome.")
    below: float | None = Field(
        None, description="For a reading: the figure from which it no longer counts as this outcome."
    )
    figures: dict[Id, str] = Field(
        default_factory=dict,
        description="For a circumstance: figures, with units, that computations are given once this is known.",
    )
    labels: dict[Id, Words] = Field(
        default_factory=dict, description="Words that wordings such as `{this}` use once this outcome is known."
    )


class Table(Entry):
    """A table whose rows serve as answers: the row's figures are given to computations."""

    name: Literal["light_sources"] = Field(description="The table.")
    kinds: Names = Field(description="The kinds of row that fit here, as the table names them.", min_length=1)


class Doubt(Entry):
    """A condition under which the answer to a question says little, whatever it is."""

    when: Conditions = Field(description="Findings (one must name each) under which the answer is doubtful.")
    because: Words = Field(description="Why the answer then says little, one sentence.")


class Question(Entry):
    """Something a person can answer."""

    kind: Literal["circumstance", "symptom", "test", "reading"] = Field(
        description="circumstance: no evidence; symptom: seen or told; test: done; reading: a number."
    )
    title: Words = Field(description="A few words that name the question in a list or a trace.")
    ask: Words = Field(description="The question itself, as said to the person at the car.")
    do: Texts = Field((), description="What to do, step by step.")
    trap: Words | None = Field(None, description="How this question misleads, one sentence.")
    minutes: Amount = Field(1, description="Working minutes, access not included.")
    access: Id | None = Field(None, description="The state of access it needs, see `access`.")
    tools: Names = Field((), description="The tools it needs, see `tools`.")
    cautions: Names = Field((), description="The cautions to give before it, see `cautions`.")
    price: Amount = Field(0, description="Money it costs each time, beside the minutes.")
    slip: Share | None = Field(None, description="How often its answer is wrong; by default that of its kind.")
    showing: Annotated[
        bool, Field(description="Yes when the answer says little unless the fault shows during the test.")
    ] = False
    suits: Conditions = Field(
        default_factory=dict, description="Circumstances under which it makes sense; none: always."
    )
    after: Conditions = Field(default_factory=dict, description="Facts that must hold before it is asked.")
    moot: Conditions = Field(
        default_factory=dict, description="Facts that tell its answer already: once one holds it is not asked."
    )
    doubtful: tuple[Doubt, ...] = Field((), description="Conditions under which its answer says little.")
    unit: Words | None = Field(
        None, description="For a reading: the unit, as V, A, ohm, s, %, m, degC, mV.", min_length=1
    )
    plausible: tuple[float, float] | None = Field(
        None, description="For a reading: the lowest and highest figure that can be true."
    )
    expected: tuple[float, float] | None = Field(
        None, description="For a reading: outside this range it is asked back once."
    )
    compute: Id | None = Field(
        None, description="For a reading: the named computation that turns it into the figure the outcomes compare."
    )
    given: dict[Id, str] = Field(
        default_factory=dict,
        description="For a reading: what the computation is given: a figure with its unit, or the id of a reading.",
    )
    also: dict[Id, Id] = Field(
        default_factory=dict,
        description="For a reading: a unit of another quantity it may be typed in, and the named conversion for it.",
    )
    first: Names = Field((), description="For a reading: questions worth asking before it, as it is judged with them.")
    across: Names = Field((), description="For a reading: the parts over which it tells the volts lost.")
    refusal: Words | None = Field(
        None, description="For a reading: what is said of a figure that cannot be true, where more is to be said."
    )
    table: Table | None = Field(
        None, description="For a circumstance with a unit: the table in which what is typed is looked up first."
    )
    outcomes: dict[Id, Outcome] = Field(description="The answers, mutually exclusive.", min_length=2)


class Never(Entry):
    """Something that must not be measured: asked about or given all the same, it is refused with the reason."""

    name: Words = Field(description="What it is called.")
    say: Words = Field(description="Why it must not be measured, and what tells the same.")
    known_as: Texts = Field((), description="Other words for it, as people type them.")
    source: Names = Field(description="Where it comes from, see `sources`.", min_length=1)


class Form(Entry):
    """Several questions answered together, as a small table."""

    title: Words = Field(description="A few words that name the form.")
    ask: Words = Field(description="What the person is asked to fill in.")
    items: Names = Field(description="The questions, in order.")
    rest: Id | None = Field(
        None, description="The outcome of every item that the person does not name; left out, each item's first."
    )


class Node(Entry):
    """A part of the path from battery to road."""

    name: Words = Field(description="What the part is called.")
    section: Id = Field(
        description="The stretch of the chain it belongs to, such as `supply`, `feed`, `source`, `earth`, `optics`."
    )
    says: Words | None = Field(None, description="What it is, for someone who has never seen one.")


class Fault(Entry):
    """One thing that, put right, cures the complaint."""

    name: Words = Field(description="The fault in a few words, as in `broken filament`.")
    says: Words = Field(description="What is wrong, for someone who has never seen it, one or two sentences.")
    node: Id | None = Field(None, description="The part of the chain it sits in; none for two faults at once.")
    mode: Id | None = Field(
        None, description="How it shows, such as open, resistive, wandering, short, worn, wet, misplaced, setting."
    )
    kind: Literal["part", "setting", "elsewhere", "normal"] = Field(
        "part",
        description="part: repair it; setting: set it right; elsewhere: referred; normal: nothing is wrong.",
    )
    both: Names = Field((), description="For two faults at once: the two.")
    frequencies: dict[Id, dict[Id, Amount]] = Field(
        default_factory=dict,
        description="By technology: how often it is behind a complaint, out of a hundred; adds to that table.",
    )
    repair: Names = Field(description="The repair, or the repairs in order.")
    causes: Names = Field((), description="Root causes that bring it about, likeliest first, see `causes`.")


class Branch(Entry):
    """A part that lies on a path only in some vehicles."""

    node: Id = Field(description="The part.")
    when: Conditions = Field(description="The circumstances in which it lies on this path.")
    unless: Conditions = Field(default_factory=dict, description="Circumstances none of which may hold for it.")


PathStep: TypeAlias = Id | Branch


class Technology(Entry):
    """What a kind of lamp is made of, from battery to road, and what goes wrong with it how often."""

    name: Words = Field(description="The technology in a few words.")
    says: Words = Field(description="How to recognise it.")
    chain: Names = Field(
        description="Every part the failed lamp depends on, in order from battery to road and back to earth."
    )
    paths: dict[Id, tuple[PathStep, ...]] = Field(
        description="For each question about another light: the parts of the chain that it runs through as well."
    )
    frequencies: dict[Id, dict[Id, Amount]] = Field(
        description="For each fault: how often, out of a hundred of a complaint, by complaint; `any` for the others."
    )


class Selection(Entry):
    """Faults chosen by what they have in common; all that is given must hold."""

    node: Names = Field((), description="Faults in these parts.")
    section: Names = Field((), description="Faults in these stretches of the chain.")
    mode: Names = Field((), description="Faults that show in these ways.")
    kind: Names = Field((), description="Faults of these kinds.")
    upstream_of: Id | None = Field(None, description="Faults in parts that come before this part in the chain.")
    downstream_of: Id | None = Field(None, description="Faults in parts that come after this part in the chain.")
    but: Names = Field((), description="Faults left out. Alone: every fault but these.")


Selectors: TypeAlias = Annotated[tuple[Id | Selection, ...], BeforeValidator(as_list)]


class Rule(Entry):
    """When these facts hold, then these effects, because of this, says this source."""

    when: Conditions = Field(description="Facts that must all hold; a list of values means any of them.", min_length=1)
    unless: Conditions = Field(default_factory=dict, description="Circumstances none of which may hold.")
    over: Literal["light-paths"] | None = Field(
        None,
        description="light-paths: said for each light; `light` names it, `path` the parts it runs through.",
    )
    concludes: dict[Id, Id] = Field(default_factory=dict, description="Facts that follow.")
    excludes: Selectors = Field((), description="Faults that cannot be.")
    proves: Selectors = Field((), description="Faults that are shown to be there.")
    raises: dict[Strength, Selectors] = Field(default_factory=dict, description="Faults made likelier, by strength.")
    lowers: dict[Strength, Selectors] = Field(default_factory=dict, description="Faults made less likely, by strength.")
    advises: Names = Field((), description="Causes and cautions to bring up.")
    bars: Names = Field((), description="Cautions whose questions are no longer asked.")
    stops: Names = Field((), description="Cautions that end the search.")
    because: Words = Field(description="The reason, one plain sentence.")
    source: Names = Field(description="Where it comes from, see `sources`.", min_length=1)


class Caution(Entry):
    """Something that can hurt, and what to do about it."""

    name: Words = Field(description="The danger in a few words.")
    say: Words = Field(description="What to do and not to do, plainly.")
    serious: bool = Field(False, description="Yes when it must be acknowledged before the step.")
    source: Names = Field(description="Where it comes from, see `sources`.", min_length=1)


class Cause(Entry):
    """A root cause: why the fault came, and what to mend so that the new part lives."""

    name: Words = Field(description="The cause in a few words.")
    look: Words = Field(description="Where to look for it.")
    mend: Words = Field(description="What to mend.")
    cleared: Conditions = Field(
        default_factory=dict, description="Answers that show that it is not so; any one will do."
    )
    repair: Names = Field(
        default=(), description="Repairs that mend it: none is called needless once it is brought up."
    )


class Source(Entry):
    """Where knowledge comes from."""

    title: Words = Field(description="The source in words.")
    status: Literal["read", "memory", "practice", "invented"] = Field(
        description="read: seen; memory: recalled; practice: common practice, no source; invented."
    )


class Access(Entry):
    """A state of access, opened once and then free."""

    name: Words = Field(description="The state in a few words: `bonnet open`.")
    within: Id | None = Field(None, description="The state that must be reached first.")
    minutes: Amount = Field(description="Minutes to get there from the state before.")
    says: Words | None = Field(None, description="What to do to get there.")
    cautions: Names = Field((), description="The cautions to give before it is opened up.")
    varies: bool = Field(False, description="Yes when it differs from vehicle to vehicle, so that it is asked once.")


class Tool(Entry):
    """A tool."""

    name: Words = Field(description="What it is called.")
    says: Words | None = Field(None, description="What it is for, and what serves instead.")
    at_hand: Conditions = Field(
        default_factory=dict, description="The answer that says the person has it; none: everybody has it."
    )


class Setting(Entry):
    """A figure the user may set."""

    value: float = Field(description="The figure.", ge=0, allow_inf_nan=False)
    says: Words = Field(description="What it means, with its unit.")


class Roles(Entry):
    """Which questions and settings the program itself relies on."""

    technology: Id = Field(description="The circumstance whose outcomes are the technologies.")
    complaint: Id = Field(
        description="The circumstance whose outcomes are the complaints that frequencies are given for."
    )
    second: Id | None = Field(
        None,
        description="The circumstance that tells a second complaint; one outcome is no complaint.",
    )
    beams: Names = Field((), description="Other lights that can have a complaint of their own.")
    anew: Names = Field((), description="Opening questions and forms asked again of the second complaint.")
    carried: Names = Field((), description="Findings of the whole vehicle, which hold for the second complaint too.")
    showing: dict[Id, Values] = Field(description="The answer that says the fault is not showing now.")
    covered: dict[Id, Values] = Field(
        default_factory=dict, description="The answer that says somebody else has to mend the lamp at no charge."
    )
    opening: Names = Field(description="The questions and forms asked first, in order.")
    invented: Words = Field(description="What is said about prices and the value of an hour.")


class Case(Entry):
    """A worked case: answers in, conclusion out."""

    story: Words = Field(description="What happened, in a sentence or two.")
    source: Names = Field(description="Where it comes from; `invented` when made up.", min_length=1)
    answers: dict[Id, Annotated[str, StringConstraints(min_length=1, max_length=60)]] = Field(
        description="The answers: outcomes, or readings with their unit, or `unsure`."
    )
    verdict: VerdictKind = Field(description="How it ends.")
    faults: Names = Field((), description="The faults it may name first, any of them.")
    never: Names = Field((), description="Faults that must not be named with confidence.")
    most: int | None = Field(None, description="The most questions it may take when played.", ge=1, le=60)


class File(Entry):
    """A knowledge file: any of these sections, each a mapping from id to entry."""

    questions: dict[Id, Question] = Field(default_factory=dict)
    never: dict[Id, Never] = Field(default_factory=dict)
    forms: dict[Id, Form] = Field(default_factory=dict)
    nodes: dict[Id, Node] = Field(default_factory=dict)
    faults: dict[Id, Fault] = Field(default_factory=dict)
    technologies: dict[Id, Technology] = Field(default_factory=dict)
    rules: dict[Id, Rule] = Field(default_factory=dict)
    repairs: dict[Id, Repair] = Field(default_factory=dict)
    cautions: dict[Id, Caution] = Field(default_factory=dict)
    causes: dict[Id, Cause] = Field(default_factory=dict)
    sources: dict[Id, Source] = Field(default_factory=dict)
    access: dict[Id, Access] = Field(default_factory=dict)
    tools: dict[Id, Tool] = Field(default_factory=dict)
    terms: dict[Id, Words] = Field(default_factory=dict)
    settings: dict[Id, Setting] = Field(default_factory=dict)
    cases: dict[Id, Case] = Field(default_factory=dict)
    roles: Roles | None = None


SECTIONS = tuple(name for name in File.model_fields if name != "roles")
