"""A small invented base for unit tests: one lamp, five faults, a handful of questions."""
# ruff: noqa: E501 - the YAML below keeps an entry on a line, to be seen at a glance

from __future__ import annotations

from functools import cache

from engine.base import Base
from engine.loading import Reader, finish
from engine.yamltree import read_text
from tests.settings import settings_text

OWN = {
    "hour-value": 60, "asking-minutes": 0, "attempt-minutes": 10, "referral-price": 100, "stray-frequency": 0.1, "weak": 2,
}  # fmt: skip
_ENTRIES = """
roles:
  technology: kind
  complaint: complaint
  showing: {showing: ["no"]}
  opening: [kind, complaint, showing, lights]
  invented: Prices are invented.
sources:
  invented: {title: Invented for tests., status: invented}
access:
  open: {name: open, minutes: 2}
  out: {name: out, within: open, minutes: 20}
tools:
  meter: {name: a meter, at_hand: {have-meter: "yes"}}
nodes:
  battery: {name: battery, section: supply}
  fuse: {name: fuse, section: feed}
  plug: {name: plug, section: feed}
  bulb: {name: bulb, section: source}
  earth: {name: earth, section: earth}
faults:
  flat: {name: flat battery, says: It is flat., node: battery, mode: open, kind: elsewhere, repair: charge}
  blown: {name: blown fuse, says: It is blown., node: fuse, mode: open, repair: new-fuse}
  green: {name: green plug, says: It is green., node: plug, mode: resistive, repair: new-plug}
  broken: {name: broken filament, says: It is broken., node: bulb, mode: open, repair: new-bulb}
  rusty: {name: rusty earth, says: It is rusty., node: earth, mode: resistive, repair: clean-earth}
  green-and-broken: {name: plug and bulb, says: Both., both: [green, broken], repair: [new-plug, new-bulb]}
technologies:
  lamp:
    name: lamp
    says: A lamp.
    chain: [battery, fuse, plug, bulb, earth]
    paths:
      light.other: [battery, {node: fuse, when: {fuses: shared}}]
    frequencies:
      flat: {dead: 3, dim: 10}
      blown: {dead: 12}
      green: {dead: 10, dim: 30}
      broken: {dead: 60, dim: 2}
      rusty: {dead: 8, dim: 50}
      green-and-broken: {dead: 3}
  other: {name: other, says: Another lamp., chain: [battery, bulb], paths: {}, frequencies: {broken: {dead: 9}, flat: {dead: 1}}}
repairs:
  charge: {name: charge it, minutes: 60, steps: [Charge it.], proof: [Try it.]}
  new-fuse: {name: fit a fuse, minutes: 5, part: {ask_for: a fuse, new: [1, 1]}, steps: [Fit it.], proof: [Try it.]}
  new-plug: {name: fit a plug, minutes: 40, part: {ask_for: a plug, new: [8, 12]}, steps: [Fit it.], proof: [Try it.]}
  new-bulb: {name: fit a bulb, minutes: 10, part: {ask_for: a bulb, new: [8, 12]}, access: open, steps: [Fit it.], proof: [Try it.]}
  clean-earth: {name: clean the earth, minutes: 25, steps: [Clean it.], proof: [Try it.]}
cautions:
  hot: {name: hot glass, say: Let it cool., source: invented}
  spark: {name: live wires, say: Mind the wires., serious: true, source: invented}
  smoke: {name: smoke, say: Stop., serious: true, source: invented}
causes:
  shaking: {name: shaking, look: The clip., mend: The clip.}
questions:
  kind: {kind: circumstance, title: kind, ask: Which kind?, outcomes: {lamp: {say: A lamp.}, other: {say: Another.}}}
  complaint: {kind: circumstance, title: complaint, ask: What does it do?, outcomes: {dead: {say: Dead.}, dim: {say: Dim.}}}
  showing: {kind: circumstance, title: showing, ask: Does it show?, outcomes: {"yes": {say: Yes.}, "no": {say: No.}}}
  fuses: {kind: circumstance, title: fuses, ask: Shared?, minutes: 2, outcomes: {own: {say: Own.}, shared: {say: Shared., usual: 0.3}}}
  have-meter: {kind: circumstance, title: meter, ask: A meter?, outcomes: {"yes": {say: Yes.}, "no": {say: No.}}}
  light.other: {kind: symptom, title: other light, ask: Does it work?, slip: 0.03,
    outcomes: {works: {say: Works., usual: 0.95}, dead: {say: Dead.}}}
  smell: {kind: symptom, title: smell, ask: A smell?, outcomes: {"no": {say: No., usual: 0.98}, "yes": {say: Yes.}}}
  bulb-look: {kind: test, title: look at the bulb, ask: How is the filament?, minutes: 3, access: open, cautions: [hot],
    outcomes: {whole: {say: Whole., usual: 0.97}, broken: {say: Broken.}}}
  ohms: {kind: test, title: ohms, ask: What does the meter say?, minutes: 2, tools: [meter], access: open,
    outcomes: {low: {say: Low., usual: 0.98}, endless: {say: Endless.}}}
  fuse-look: {kind: test, title: look at the fuse, ask: How is it?, minutes: 2,
    outcomes: {whole: {say: Whole., usual: 0.97}, open: {say: Open.}}}
  plug-look: {kind: test, title: look at the plug, ask: How is it?, minutes: 3, access: open,
    outcomes: {clean: {say: Clean., usual: 0.9}, green: {say: Green.}}}
  volts: {kind: test, title: volts at the lamp, ask: How much?, minutes: 4, tools: [meter], cautions: [spark], showing: yes,
    doubtful: [{when: {bulb-look: broken}, because: No current flows.}],
    outcomes: {full: {say: Full., usual: 0.9}, low: {say: Low.}, none: {say: None., usual: 0.03}}}
forms:
  lights: {title: lights, ask: Which do not work?, items: [light.other], rest: works}
rules:
  smell-stops: {when: {smell: "yes"}, stops: smoke, because: It burns., source: invented}
  works-clears: {over: light-paths, when: {light: works}, excludes: {node: path, mode: open}, because: It carries., source: invented}
  whole-look: {when: {bulb-look: whole}, lowers: {moderate: broken}, because: It looks whole., source: invented}
  broken-look: {when: {bulb-look: broken}, raises: {strong: broken}, advises: shaking, because: It looks broken., source: invented}
  ohms-low: {when: {ohms: low}, excludes: broken, because: Current can pass., source: invented}
  ohms-endless: {when: {ohms: endless}, proves: broken, because: No current can pass., source: invented}
  fuse-whole: {when: {fuse-look: whole}, excludes: blown, because: It is whole., source: invented}
  fuse-open: {when: {fuse-look: open}, proves: blown, because: It is open., source: invented}
  plug-green: {when: {plug-look: green}, raises: {strong: green}, because: It is green., source: invented}
  plug-clean: {when: {plug-look: clean}, lowers: {strong: green}, because: It is clean., source: invented}
  volts-full: {when: {volts: full}, concludes: {supply: sound}, because: The volts arrive., source: invented}
  supply-sound: {when: {supply: sound}, excludes: [{section: [supply, feed, earth], mode: [open, resistive]}], because: All arrives., source: invented}
  volts-low: {when: {volts: low}, raises: {strong: [{section: [feed, earth], mode: resistive}]}, excludes: broken, because: Some is lost., source: invented}
  volts-none: {when: {volts: none}, raises: {strong: [{section: [supply, feed], mode: open}]}, because: None arrives., source: invented}
  fuse-and-light: {when: {fuse-look: open, light.other: dead}, unless: {fuses: own}, raises: {weak: flat}, because: Two hints., source: invented}
cases:
  plain: {story: A bulb., source: invented, answers: {kind: lamp, complaint: dead, ohms: endless}, verdict: proved, faults: broken}
"""
TEXT = settings_text(OWN) + _ENTRIES


def base_from(text: str, name: str = "small.yaml") -> Base:
    """The base a text holds."""
    reader = Reader()
    reader.add(read_text(text, name))
    return finish(reader)


@cache
def small_base() -> Base:
    """The small base."""
    return base_from(TEXT)


SECOND = """
  also: {kind: circumstance, title: also, ask: What else?, outcomes: {"no": {say: Nothing., usual: 0.9}, dead: {say: Dead.}, dim: {say: Dim.}}}
"""


@cache
def base_of_two() -> Base:
    """The small base, in which a second complaint is asked for and a broken filament is known for one alone."""
    text = TEXT.replace(
        "  complaint: complaint\n",
        "  complaint: complaint\n  second: also\n  beams: [light.other]\n  carried: [fuse-look]\n  anew: [showing, lights]\n",
    )
    text = text.replace("[kind, complaint, showing", "[kind, complaint, also, showing")
    text = text.replace("broken: {dead: 60, dim: 2}", "broken: {dead: 60}")
    text = text.replace("usual: 0.95}, dead: {say: Dead.}", "usual: 0.93}, dead: {say: Dead.}, dim: {say: Dim.}")
    return base_from(text.replace("\n  showing: {kind", f"{SECOND}  showing: {{kind"))
