"""A small invented base that is clean under every check, over which the examples of the manual pages are laid."""

from __future__ import annotations

from tests.settings import settings_text

_ENTRIES = """
roles:
  technology: light-source
  complaint: complaint
  showing: {showing-now: ["no"]}
  opening: [light-source, complaint, showing-now, light.other]
  invented: All prices are invented.
sources:
  common-practice: {title: "Common practice of the trade, no source.", status: practice}
access:
  bonnet-open: {name: bonnet open, minutes: 1}
  cover-off: {name: rear cover off, within: bonnet-open, minutes: 4}
tools:
  meter: {name: a multimeter, says: Shows volts., at_hand: {have-meter: "yes"}}
nodes:
  battery: {name: battery, section: supply}
  beam-fuse: {name: fuse of this beam, section: feed}
  lamp-plug: {name: plug at the lamp, section: feed}
  ballast: {name: ballast, section: electronics, says: The box that feeds a discharge lamp.}
  source: {name: light source, section: source}
faults:
  battery-weak: {name: weak battery, says: It is nearly empty., node: battery, mode: resistive, repair: charge-battery}
  fuse-open: {name: blown fuse, says: It has melted., node: beam-fuse, mode: open, repair: fit-fuse}
  plug-corroded: {name: corroded plug, says: It is green., node: lamp-plug, mode: resistive, repair: fit-plug}
  filament-open: {name: broken filament, says: The wire is broken., node: source, mode: open, repair: fit-bulb}
  ballast-dead: {name: dead ballast, says: It gives nothing., node: ballast, mode: dead, repair: fit-ballast}
  tube-worn: {name: worn tube, says: It is used up., node: source, mode: worn, repair: fit-tube}
technologies:
  halogen:
    name: halogen lamp
    says: A glass bulb with a glowing wire.
    chain: [battery, beam-fuse, lamp-plug, source]
    paths: {light.other: [battery, {node: beam-fuse, when: {fuse-arrangement: shared}}]}
    frequencies:
      battery-weak: {dead: 5, dim: 30}
      fuse-open: {dead: 20}
      plug-corroded: {dead: 15, dim: 70}
      filament-open: {dead: 60}
  discharge:
    name: discharge lamp
    says: A glass tube with an arc.
    chain: [battery, beam-fuse, lamp-plug, ballast, source]
    paths: {light.other: [battery, {node: beam-fuse, when: {fuse-arrangement: shared}}]}
    frequencies:
      battery-weak: {dead: 5, dim: 30}
      fuse-open: {dead: 10}
      plug-corroded: {dead: 10, dim: 20}
      ballast-dead: {dead: 35}
      tube-worn: {dead: 40, dim: 50}
repairs:
  charge-battery: {name: charge the battery, minutes: 60, steps: [Charge it.], proof: [Start the car.]}
  fit-fuse: {name: fit a fuse, minutes: 3, part: {ask_for: a fuse, new: [1, 2]}, steps: [Fit it.], proof: [Light it.]}
  fit-plug: {name: fit a plug, minutes: 40, part: {ask_for: a plug, new: [8, 12]}, steps: [Fit it.], proof: [Light it.]}
  fit-bulb:
    {name: fit a bulb, minutes: 10, access: cover-off, cautions: hot-glass, part: {ask_for: a bulb, new: [8, 12]},
     steps: [Fit it.], proof: [Light it.]}
  fit-ballast:
    {name: fit a ballast, minutes: 30, cautions: strike-voltage, part: {ask_for: a ballast, new: [90, 200]},
     steps: [Fit it.], proof: [Light it.]}
  fit-tube:
    {name: fit a tube, minutes: 20, cautions: strike-voltage, part: {ask_for: a tube, new: [40, 90]},
     steps: [Fit it.], proof: [Light it.]}
cautions:
  hot-glass: {name: hot glass, say: Let it cool first., source: common-practice}
  live-12-volts: {name: live wires, say: Take off rings., source: common-practice}
  strike-voltage: {name: high voltage, say: Keep away while it is on., serious: yes, source: common-practice}
causes:
  water-in-plug: {name: water in the plug, look: At the seal., mend: The seal.}
terms:
  ballast: "The box that starts the arc of a discharge lamp."
  arc: "A stream of electric light through gas."
  fuse: "A weak link that melts."
questions:
  light-source:
    {kind: circumstance, title: light source, ask: "Which kind is it?",
     outcomes: {halogen: {say: A bulb.}, discharge: {say: An arc in a tube.}}}
  complaint:
    {kind: circumstance, title: complaint, ask: "What does it do?", outcomes: {dead: {say: Dark.}, dim: {say: Dim.}}}
  showing-now:
    {kind: circumstance, title: showing now, ask: "Does it so now?", outcomes: {"yes": {say: Yes.}, "no": {say: No.}}}
  have-meter:
    {kind: circumstance, title: a meter, ask: "Have you a meter?", outcomes: {"yes": {say: Yes.}, "no": {say: No.}}}
  fuse-arrangement:
    {kind: circumstance, title: fuses, ask: "Is the fuse shared?", outcomes: {own: {say: No.}, shared: {say: Yes.}}}
  light.other:
    {kind: symptom, title: other side, ask: "Does the other side work?", slip: 0.03,
     outcomes: {works: {say: It works., usual: 0.95}, dead: {say: It is dark.}}}
  fuse-look:
    {kind: test, title: look at the fuse, ask: "How does it look?", minutes: 2, slip: 0.02,
     outcomes: {whole: {say: Whole.}, open: {say: Melted., usual: 0.01}}}
  plug-look:
    {kind: test, title: look at the plug, ask: "How does it look?", minutes: 3, access: cover-off, cautions: hot-glass,
     slip: 0.02, outcomes: {clean: {say: Bright metal.}, green: {say: Green., usual: 0.02}}}
  bulb-look:
    {kind: test, title: look at the bulb, ask: "How is the wire?", minutes: 3, access: cover-off, cautions: hot-glass,
     slip: 0.02, suits: {light-source: halogen}, outcomes: {whole: {say: Whole.}, broken: {say: Broken., usual: 0.01}}}
  tube-look:
    {kind: test, title: look of the light, ask: "What colour is it?", minutes: 1, slip: 0.02,
     suits: {light-source: discharge}, outcomes: {white: {say: White.}, pink: {say: Pink., usual: 0.01}}}
  hum:
    {kind: test, title: hum of the ballast, ask: "Does it hum?", minutes: 1, slip: 0.02,
     suits: {light-source: discharge}, outcomes: {hums: {say: It hums.}, silent: {say: Silent., usual: 0.01}}}
  battery-rest:
    {kind: reading, title: volts at rest, ask: "How many volts?", minutes: 2, tools: meter, cautions: live-12-volts,
     unit: V, plausible: [0, 16], expected: [9, 14],
     outcomes: {low: {say: Below 12 V., below: 12, usual: 0.02}, sound: {say: 12 V or more., at_least: 12}}}
rules:
  other-light-clears-its-path:
    {over: light-paths, when: {light.other: works}, lowers: {moderate: [{node: path}]}, because: It works.,
     source: common-practice}
  low-battery: {when: {battery-rest: low}, concludes: {supply: weak}, because: It is low., source: common-practice}
  weak-supply: {when: {supply: weak}, proves: battery-weak, because: Nothing else does that., source: common-practice}
  sound-battery: {when: {battery-rest: sound}, excludes: battery-weak, because: It is full., source: common-practice}
  whole-fuse: {when: {fuse-look: whole}, excludes: fuse-open, because: It can be seen., source: common-practice}
  open-fuse: {when: {fuse-look: open}, proves: fuse-open, because: It can be seen., source: common-practice}
  clean-plug: {when: {plug-look: clean}, excludes: plug-corroded, because: It is bright., source: common-practice}
  green-plug:
    {when: {plug-look: green}, proves: plug-corroded, advises: water-in-plug, because: It is green.,
     source: common-practice}
  whole-wire: {when: {bulb-look: whole}, excludes: filament-open, because: It is whole., source: common-practice}
  broken-wire: {when: {bulb-look: broken}, proves: filament-open, because: It is broken., source: common-practice}
  white-light: {when: {tube-look: white}, excludes: tube-worn, because: It is white., source: common-practice}
  pink-light: {when: {tube-look: pink}, proves: tube-worn, because: It is pink., source: common-practice}
  hum-heard: {when: {hum: hums}, excludes: ballast-dead, because: It works., source: common-practice}
  no-hum: {when: {hum: silent}, proves: ballast-dead, because: It is dead., source: common-practice}
cases:
  broken-bulb:
    {story: A bulb broke., source: common-practice,
     answers: {light-source: halogen, complaint: dead, bulb-look: broken, battery-rest: 12.6 V},
     verdict: proved, faults: filament-open}
"""
TEXT = settings_text() + _ENTRIES
