"""Computations on readings of volts and amperes between battery and lamp: what is lost, and what stands in the way."""

import math

from engine.physics import battery, feed, filament, fuse, load, pwm
from engine.physics._check import within
from engine.physics.computed import Computed, Figures, given_value
from engine.physics.parts import percent
from engine.physics.units import show

_REFERENCE = 10.0  # V: an open reading or a battery under this is itself faulty, and nothing to compare with
_WORTH_WORDS = 0.1  # V: a smaller loss is not worth a sentence on light


def as_read(reading: float, given: Figures) -> Computed:
    """The reading itself, in the question's unit."""
    return Computed(reading, "", ())


def lost_from_battery(reading: float, given: Figures) -> Computed:
    """Volts lost on the way from the battery: battery-volts less the reading (V)."""
    supply = given_value(given, "battery-volts")
    lost = supply - reading
    line = f"battery {show(supply, 'V')}, here {show(reading, 'V')}: {show(lost, 'V', 2)} lost"
    return Computed(lost, "V", (line,), lost)


def share_of_light(reading: float, given: Figures) -> Computed:
    """Light of a filament at the volts read, as a share of its light at battery-volts."""
    supply = given_value(given, "battery-volts")
    share = filament.light_share(reading, supply)
    lines = [f"{show(reading, 'V')} instead of {show(supply, 'V')} leaves {percent(share)} of a filament's light"]
    if not filament.handbook_range(reading, supply):
        lines.append("more than 10 % off: an estimate of order only")
    return Computed(share, "", tuple(lines))


def feed_resistance(reading: float, given: Figures) -> Computed:
    """Ohm of feed and earth together, from the loaded volts read and open-volts."""
    supply = given_value(given, "open-volts")
    ohms, amps, lines = load.in_the_way(given, supply, reading)
    lost = max(supply - reading, 0)
    working = f"open {show(supply, 'V')}, loaded {show(reading, 'V')}: {show(lost, 'V', 2)} lost"
    return Computed(ohms, "ohm", (working, *lines), lost, amps)


def _reference(reading: float, given: Figures) -> tuple[float, str]:
    """The volts that a loaded reading is set against, and how they are known."""
    known = (("running-volts", "battery, engine running,"), ("open-volts", "open, at the same place,"))
    for name, words in known:
        volts = given.get(name, 0.0)
        if volts >= max(reading - feed.METER_STEP, _REFERENCE):
            return volts, f"{words} {show(volts, 'V')}"
    usual = given_value({}, "running-volts")
    return usual, f"battery, engine running, taken as {show(usual, 'V')}"


def loss_at_the_lamp(reading: float, given: Figures) -> Computed:
    """Share of the supply's volts lost before a lit lamp, from the volts read between its pins (0 to 32 V).

    Set against running-volts, else open-volts, else the usual; one that is below the reading was taken in another
    state of the engine, and is passed over.
    """
    within("The voltage at the light source", reading, 0, 32, "V")
    supply, how = _reference(reading, given)
    lost = max(supply - reading, 0.0)
    share = lost / supply
    expected = supply - load.amps(given, supply)[0] * load.wire_ohms(given)
    line = f"{how}; expected here about {show(expected, 'V')}; measured {show(reading, 'V')}"
    lines = [f"{line}: {show(lost, 'V', 2)} or {percent(share)} lost"]
    amps, cost = math.nan, ""
    if lost > _WORTH_WORDS and reading >= 2:
        _, amps, more = load.in_the_way(given, supply, reading)
        lines.extend(more)
        cost = more[-1]
    return Computed(share, "", tuple(lines), lost, amps, cost)


def foretell_lamp(given: Figures) -> str:
    """What arrives at the pins of a lit lamp."""
    supply, how = _reference(0.0, given)
    drawn, words = load.amps(given, supply)
    lost = drawn * load.wire_ohms(given)
    wire = f"{load.wire_words(given)} loses {_lost(lost)}"
    return f"{how}: {words}, and {wire}; about {show(supply - lost, 'V')} should arrive"


def share_arriving(reading: float, given: Figures) -> Computed:
    """Volts read with nothing drawn (0 to 32 V), as a share of battery-volts."""
    within("The voltage", reading, 0, 32, "V")
    supply = given_value(given, "battery-volts")
    share = reading / within("The battery's voltage", supply, 1, 32, "V")
    lines = [f"battery {show(supply, 'V')}; measured {show(reading, 'V')}: {percent(share)} of it"]
    if reading >= _REFERENCE:
        lines.append("nothing is drawn now, so a bad joint would show the same: it proves a path, not a good one")
        lines.extend(filter(None, [load.strike(given, reading)]))
    return Computed(share, "", tuple(lines))


def foretell_open(given: Figures) -> str:
    """What a sound path shows without load."""
    supply = within("The battery's voltage", given_value(given, "battery-volts"), 1, 32, "V")
    shown = f"nearly the battery's {show(supply, 'V')}, with a good joint and with a bad one"
    return "; ".join(filter(None, [shown, load.strike(given, supply)]))


def _lost(volts: float) -> str:
    return show(volts, "V", 2) if volts >= 1 else show(volts, "mV", 2)


def _beyond(reading: float, given: Figures, sound_ohms: float, what: str) -> Computed:
    """Ohm above what is sound, from a drop read (V) over `what` with the lamp lit."""
    within("The voltage lost", reading, 0, 32, "V")
    amps, how = load.amps(given, max(given_value(given, "battery-volts") - reading, 0.0))
    expected = amps * sound_ohms
    ohms = max(reading - expected, 0.0) / within("The current", amps, 0.001, 10_000, "A")
    lines = [f"{how}; {what} loses {_lost(expected)} when sound; measured {_lost(reading)}"]
    if ohms:
        lines.append(f"so {show(reading / amps, 'mohm', 2)} there, {show(ohms, 'mohm', 2)} of it too much")
    return Computed(ohms, "ohm", tuple(lines), reading, amps)


def _sound_drop(given: Figures, sound_ohms: float, what: str) -> str:
    amps, how = load.amps(given, given_value(given, "battery-volts"))
    return f"{how}; {what} then loses about {_lost(amps * sound_ohms)}"


def drop_beyond_wire(reading: float, given: Figures) -> Computed:
    """Ohm in joints, from the drop read (V) along a wire, less what the sound wire itself would lose."""
    return _beyond(reading, given, load.wire_ohms(given), load.wire_words(given))


def foretell_wire(given: Figures) -> str:
    """What the sound wire loses."""
    return _sound_drop(given, load.wire_ohms(given), load.wire_words(given))


def drop_beyond_contact(reading: float, given: Figures) -> Computed:
    """Ohm too much in a contact, from the drop read over it (V), less that of a sound one."""
    return _beyond(reading, given, given_value(given, "contact-ohms"), "a contact")


def foretell_contact(given: Figures) -> str:
    """What a sound contact loses."""
    return _sound_drop(given, given_value(given, "contact-ohms"), "a sound contact")


def drop_beyond_fuse(reading: float, given: Figures) -> Computed:
    """Ohm too much in a fuse and its clips, from the drop read over both (V), less that of the fuse itself."""
    return _beyond(reading, given, given_value(given, "fuse-ohms"), "the fuse itself")


def foretell_fuse(given: Figures) -> str:
    """What a sound fuse loses."""
    return _sound_drop(given, given_value(given, "fuse-ohms"), "a sound fuse in good clips")


def fuse_current(reading: float, given: Figures) -> Computed:
    """Current (A) through a fuse from the volts read over it and fuse-ohms."""
    ohms = given_value(given, "fuse-ohms")
    amps = fuse.current_from_drop(reading, ohms)
    line = f"{show(reading, 'mV')} over a fuse of {show(ohms, 'mohm')}: about {show(amps, 'A', 2)}"
    return Computed(amps, "A", (line,), reading, amps)


def fuse_load(reading: float, given: Figures) -> Computed:
    """Current read (A) as a share of fuse-rating."""
    rating = given_value(given, "fuse-rating")
    share = fuse.load_share(rating, reading)
    carried = fuse.carries(rating, reading)
    line = f"{show(reading, 'A')} is {percent(share)} of {rating:g} A; it carries that: {carried}"
    return Computed(share, "", (line,))


def battery_charge(reading: float, given: Figures) -> Computed:
    """State of charge (share) of a 12 V battery, from its volts at rest (0 to 32 V)."""
    within("The battery's voltage", reading, 0, 32, "V")
    share = battery.charge_at_rest(min(max(reading, 8.0), 13.5))
    line = f"a full battery shows 12.6 to 12.8 V at rest; {show(reading, 'V')} is about {percent(share)} charged"
    if reading > 13.5:
        line = f"{show(reading, 'V')} is more than a battery holds at rest: it is being charged, or just was"
    return Computed(share, "", (line,))


def foretell_battery(given: Figures) -> str:
    """What a charged battery shows at rest."""
    return "12.6 to 12.8 V when full, 12.2 V half full, 11.9 V when empty, hours after charging or driving"


def volts_at_strike(reading: float, given: Figures) -> Computed:
    """The lowest volts read (0 to 32 V) at a ballast's input while it strikes, with what its feed should leave."""
    within("The lowest voltage", reading, 0, 32, "V")
    supply = max(given_value(given, "battery-volts"), reading)
    lines = [f"battery {show(supply, 'V')}; {load.strike(given, supply) or 'no strike to reckon with'}"]
    watts = given_value(given, "strike-watts")
    lost = supply - reading
    amps = math.nan
    if reading >= 2 and not math.isnan(watts):
        amps = watts / reading
        ohms = lost / amps
        lines.append(
            f"measured {show(reading, 'V')}: {show(lost, 'V', 2)} lost at about {show(amps, 'A', 2)}, "
            f"{show(ohms, 'ohm', 2)} in the way where {show(load.wire_ohms(given), 'ohm', 2)} would be sound"
        )
    floor = given_value(given, "floor-volts")
    cost = f"under about {show(floor, 'V')} a ballast gives up, so it fails at its strike" if reading < floor else ""
    return Computed(reading, "V", tuple(lines), lost, amps, cost)


def foretell_strike(given: Figures) -> str:
    """What a sound feed leaves at the strike."""
    return load.strike(given, max(given_value(given, "battery-volts"), 1.0)) or "nothing strikes in this lamp"


def effective_volts(reading: float, given: Figures) -> Computed:
    """Volts that do the work on a pulsed feed, from an averaging meter's reading (V) and battery-volts as on-level."""
    supply = given_value(given, "battery-volts")
    volts = pwm.effective_from_average(reading, supply)
    average = f"a meter shows the average, {show(reading, 'V')}"
    line = f"{average}; pulses of {show(supply, 'V')} work like {show(volts, 'V')}"
    return Computed(volts, "V", (line,))
