"""The figures a person can ask for by hand: each puts the physics together and says in words what it means."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from engine.physics import aim, cable, dew, feed, filament, fuse, runup
from engine.physics._check import within
from engine.physics.ballast import Ballast, largest_resistance, strike_outlook
from engine.physics.filament import Filament
from engine.physics.parts import in_parts
from engine.physics.units import preferred, show, show_time


@dataclass(frozen=True)
class Item:
    """One number of a figure: a key for machines, a label for people, the value in the program's own unit."""

    key: str
    label: str
    value: float
    unit: str


@dataclass(frozen=True)
class Figure:
    """A computed figure: its numbers, what they mean in sentences, and what to mind."""

    name: str
    items: tuple[Item, ...]
    says: tuple[str, ...]
    mind: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wire:
    """A wire: ohm per metre at 20 C, length one way (m), temperature (C), and whether the return is a wire alike."""

    per_metre: float
    length: float
    temperature: float = 20.0
    both_ways: bool = True

    @property
    def ohms(self) -> float:
        """Resistance of the whole wire, return included if it is one."""
        return cable.resistance(self.per_metre, self.length, self.temperature) * (2 if self.both_ways else 1)


@dataclass(frozen=True)
class FeedReadings:
    """What was read at a lamp's plug, all with the lamp lit except `open_volts`; volts, A.

    `battery` is read at its posts; without it, its own sag counts as lost on the way. `current` is computed from the
    `load` unless read. `points` run from battery to lamp, `earth_points` from lamp to battery negative, in volts to
    battery negative.
    """

    open_volts: float
    loaded_volts: float
    load: Filament | Ballast
    battery: float | None = None
    current: float | None = None
    earth_drop: float | None = None
    points: tuple[feed.Point, ...] = ()
    earth_points: tuple[feed.Point, ...] = ()
    wire: Wire | None = None

    @property
    def supply(self) -> float:
        """Volts that the circuit starts from under load, V."""
        return self.open_volts if self.battery is None else min(self.battery, self.open_volts)

    @property
    def amps(self) -> float:
        """Current that flows: as read, or what the load draws at its volts, A."""
        if self.current is not None:
            return self.current
        if isinstance(self.load, Ballast):
            return self.load.steady_watts / within("The loaded voltage", self.loaded_volts, 1, 32, "V")
        return filament.current(self.load, self.loaded_volts)


_NO_LOSS = (
    "Nothing is lost, as far as a meter can tell. Make sure that current flows: a dead lamp or ballast draws none, "
    "and then this proves nothing."
)


def feed_figure(read: FeedReadings) -> Figure:
    """Resistance in a lamp's feed and earth, where it sits, and what it costs. ValueError if readings clash."""
    ohms = feed.series_resistance(read.supply, read.loaded_volts, read.amps)
    lost = max(read.supply - read.loaded_volts, 0.0)
    items = [
        Item("current", "current that flows", read.amps, "A"),
        Item("lost", "lost on the way", lost, "V"),
        Item("resistance", "resistance in the way", ohms, "ohm"),
    ]
    if lost <= feed.METER_STEP:
        return Figure("feed", tuple(items), (_NO_LOSS,))
    where = f"{show(ohms, 'ohm', 2)} between battery and lamp plug, on the way there or back"
    says = [f"{show(lost, 'V', 2)} is lost at {show(read.amps, 'A')}: {where}. It is not in the lamp."]
    mind = ["Open volts prove nothing: with no current a bad joint shows battery volts too."]
    _cost(read, ohms, items, says, mind)
    if read.battery is not None:
        sag = show(read.open_volts - read.supply, "V", 2)
        says.append(f"The battery itself sags by {sag}; that is not counted here.")
    if read.wire is not None:
        items.append(Item("wire", "of that, the sound wire itself", read.wire.ohms, "ohm"))
        says.append(_against_wire(ohms, read.wire))
    _place(read, items, says)
    return Figure("feed", tuple(items), tuple(says), tuple(mind))


def _cost(read: FeedReadings, ohms: float, items: list[Item], says: list[str], mind: list[str]) -> None:
    """What the loss does to the light: a filament dims, a ballast holds its light until it cannot strike."""
    if isinstance(read.load, Ballast):
        allowed = largest_resistance(read.supply, read.load.strike_watts, read.load.floor_volts)
        items.append(Item("allowed", "most a ballast can bear on strike", allowed, "ohm"))
        enough = "bears" if ohms <= allowed else "does not bear"
        most = f"{show(allowed, 'ohm', 2)} at most"
        says.append(f"A ballast keeps its light while it can; its strike {enough} this ({most}).")
        return
    light = filament.light_lost(read.supply, min(read.loaded_volts, read.supply))
    items.append(Item("light_lost", "light lost by it", light, "%"))
    says.append(f"A filament then gives {show(1 - light, '%', 2)} of its light: {in_parts(light)} is gone.")
    if not filament.handbook_range(read.loaded_volts, read.supply):
        mind.append("More than a tenth of the volts is lost: take the light as an estimate.")


def _place(read: FeedReadings, items: list[Item], says: list[str]) -> None:
    """Where along the chain the loss sits, as far as the readings tell."""
    if read.earth_drop is not None:
        parted = feed.split(read.supply, read.loaded_volts, read.earth_drop, read.amps)
        items.append(Item("feed_side", "on the feed side", parted.feed_resistance, "ohm"))
        items.append(Item("earth_side", "on the earth side", parted.earth_resistance, "ohm"))
        says.append(_side(parted))
    if read.points or read.earth_points:
        says += _along([feed.segments(side, read.amps) for side in (read.points, read.earth_points) if side], items)
    elif read.earth_drop is None and read.supply - read.loaded_volts > feed.FEED_LIMIT:
        says.append("To tell the two sides apart, lamp lit, read from the lamp's earth pin to battery negative.")


def _against_wire(ohms: float, wire: Wire) -> str:
    sound = f"{show(wire.ohms, 'ohm', 2)} is the wire itself"
    if ohms <= 1.3 * wire.ohms:
        return f"{sound}: no bad joint is needed to explain it. If too much is lost, the wire is too thin or too long."
    return f"{sound}; the other {show(ohms - wire.ohms, 'ohm', 2)} is one joint, contact or broken strands."


def _side(parted: feed.Split) -> str:
    feed_bad = feed.too_much(parted.feed_drop, feed.FEED_LIMIT)
    earth_bad = feed.too_much(parted.earth_drop, feed.EARTH_LIMIT)
    sides = f"Feed {show(parted.feed_drop, 'V', 2)}, earth {show(parted.earth_drop, 'V', 2)}: "
    if feed_bad and earth_bad:
        return sides + "both sides lose too much."
    if feed_bad or earth_bad:
        return sides + f"the {'feed' if feed_bad else 'earth'} side loses too much, the other is sound."
    return sides + "both are within what is usual."


def _along(sides: Sequence[Sequence[feed.Segment]], items: list[Item]) -> list[str]:
    found = [segment for side in sides for segment in side]
    for segment in found:
        key = f"{segment.start}_to_{segment.end}".replace(" ", "_")
        items.append(Item(key, f"{segment.start} to {segment.end}", segment.drop, "V"))
    most = feed.worst(found)
    if most is None:
        return ["No stretch between these points loses more than is usual."]
    if any(most in side and feed.spread_evenly(side) for side in sides):
        return ["The loss is spread over all stretches: thin or long wire rather than one joint."]
    return [
        f"Most is lost between {most.start} and {most.end}: {show(most.drop, 'V', 2)}, "
        f"{show(most.resistance, 'ohm', 2)}. Look there first."
    ]


def fuse_figure(
    rating: float, current: float, gates: Sequence[fuse.Gate], cold_ohms: float | None = None, build: str = "standard"
) -> Figure:
    """Does a blade fuse of `rating` (A) carry `current` (A), and if not, how soon does it open?"""
    band = fuse.opening_time(rating, current, gates)
    verdict = fuse.carries(rating, current)
    items = [
        Item("share", "load, of the rating", fuse.load_share(rating, current), "%"),
        Item("soonest", "opens no sooner than", band.shortest, "s"),
        Item("latest", "opens no later than", band.longest, "s"),
    ]
    if cold_ohms is not None:
        items.append(Item("drop", "volts over it, about", current * cold_ohms, "mV"))
    means = {
        "yes": "It carries this without end.",
        "barely": "It holds, but so near its rating it runs hot and ages. Keep to three quarters of the rating.",
        "no": f"It opens, after {show_time(band.shortest)} to {show_time(band.longest)}.",
    }
    if verdict == "no" and math.isinf(band.longest):
        means["no"] = f"It may hold for {show_time(band.shortest)} or far longer: too much, yet no sure protection."
    says = (f"{show(current, 'A')} through a {rating:g} A {build} fuse: {means[verdict]}",)
    mind = ("A fuse that opened has a cause: find it first, and never fit a larger one.",)
    return Figure("fuse", tuple(items), says, mind)


def filament_figure(source: Filament, volts: float, flux: float | None = None) -> Figure:
    """A filament at `volts`: current, power, light, life, resistance hot and cold, first rush of current."""
    light, life = filament.light_share(volts, source.volts), filament.life_share(volts, source.volts)
    low, high = filament.cold_resistance(source)
    items = [
        Item("current", "current", filament.current(source, volts), "A"),
        Item("power", "power", filament.power(source, volts), "W"),
        Item("light", f"light, against {show(source.volts, 'V')}", light, "%"),
        Item("life", f"life, against {show(source.volts, 'V')}", life, "%"),
        Item("hot", "resistance, lit", filament.resistance(source, volts), "ohm"),
        Item("cold_low", "resistance, cold, from", low, "ohm"),
        Item("cold_high", "resistance, cold, to", high, "ohm"),
        Item("inrush", "first rush of current, at most", filament.inrush(source, volts), "A"),
    ]
    if flux is not None:
        items.insert(3, Item("flux", "light", flux * light, "lm"))
    change = f"{in_parts(1 - light)} of the light is gone" if light < 1 else f"{show(light - 1, '%', 2)} more light"
    lasts = f"{life:.1f} times" if life > 1 else f"only {show(life, '%', 2)}"
    says = [f"At {show(volts, 'V')} {change}; the filament lasts {lasts} as long."]
    if abs(light - 1) < 0.02:
        says = [f"At {show(volts, 'V')} it burns as it was tested."]
    mind = ["Near zero ohm on a cold filament is healthy, not a short."]
    if not filament.handbook_range(volts, source.volts):
        mind.append("More than 10 % from the test voltage: an estimate. Far below it, halogen lamps blacken.")
    return Figure("filament", tuple(items), tuple(says), tuple(mind))


def ballast_figure(kind: Ballast, supply: float, wire: Wire, joint: float = 0.0) -> Figure:
    """Does a ballast strike, run up and burn behind this wire and `joint` (ohm) on `supply` (V)?"""
    ohms = wire.ohms + joint
    worst = max(watts for _, watts in kind.phases())
    allowed = largest_resistance(supply, worst, kind.floor_volts)
    items = [
        Item("at_rest", "meter at its plug, nothing drawn", supply, "V"),
        Item("resistance", "feed and earth together", ohms, "ohm"),
        Item("allowed", "most it can bear", allowed, "ohm"),
    ]
    says: list[str] = []
    for name, point in strike_outlook(kind, supply, ohms):
        key = name.split()[0].replace("-", "")
        if point.holds:
            items.append(Item(f"{key}_volts", f"{name}: volts at it", point.volts, "V"))
            items.append(Item(f"{key}_amps", f"{name}: current", point.current, "A"))
            items.append(Item(f"{key}_other", f"{name}: second, unstable point", point.other_volts, "V"))
        else:
            items.append(Item(f"{key}_volts", f"{name}: volts sink to, or below", point.volts, "V"))
            says.append(f"It collapses on {name}: {point.why}.")
    if supply <= kind.floor_volts:
        says = [f"The supply is not above the {kind.floor_volts:g} V a ballast needs: charge the battery first."]
    elif says:
        says.insert(0, f"At rest a meter shows {show(supply, 'V')}, as if all were well.")
        says.append(f"Bring feed and earth down to {show(allowed, 'ohm', 2)} or less before you blame ballast or lamp.")
    else:
        says.append(f"It strikes, runs up and burns, with {show(allowed - ohms, 'ohm', 2)} to spare.")
    mind = ("Measure on the 12 V side only. Never between ballast and lamp: over 20 000 V at the strike.",)
    return Figure("ballast", tuple(items), tuple(says), mind)


def runup_figure(full_after: float, objective_flux: float = 3200.0) -> Figure:
    """A discharge source that looks full after `full_after` (s) against the regulation's run-up limits."""
    found = runup.judge(full_after, objective_flux)
    items = []
    for judged in found:
        after = f"{judged.limit.after:g}"
        items.append(Item(f"share_{after}s", f"light after {after} s, estimated", judged.share, "%"))
        items.append(Item(f"limit_{after}s", f"asked for after {after} s", judged.limit.share, "%"))
    slowest = min(runup.slowest_full(judged.limit) for judged in found)
    items.append(Item("slowest", "longest run-up that still passes", slowest, "s"))
    passed = all(judged.met for judged in found)
    verdict = "fast enough" if passed else "too slow: a tired source, low volts at the ballast, or the ballast itself"
    says = (f"Full light after {show_time(full_after)} is {verdict}.",)
    mind = (
        "The shares are modelled from one time told by eye; a light meter against a clock is better.",
        "Cold start, 30 min off. Off for 10 s after 15 min burning, it must relight at once, 80 % within 1 s.",
    )
    return Figure("runup", tuple(items), says, mind)


def aim_figure(
    mounting: float,
    distance: float,
    step: aim.Step,
    cutoff: float | None = None,
    target: float | None = None,
    system: str = "metric",
) -> Figure:
    """Where the cut-off belongs on a wall (m), the band that passes, and how far off a read `cutoff` (m) is."""
    height, far = preferred("height", system), preferred("distance", system)
    slope = aim.middle(step.initial) if target is None else target
    belongs = aim.cutoff_height(mounting, distance, slope)
    items = [
        Item("target", "setting", slope, "%"),
        Item("belongs", "cut-off belongs at", belongs, height),
        Item("highest", "highest that passes", aim.cutoff_height(mounting, distance, step.limits[1]), height),
        Item("lowest", "lowest that passes", aim.cutoff_height(mounting, distance, step.limits[0]), height),
    ]
    says = [
        f"Lamp at {show(mounting, height)}, wall at {show(distance, far)}: "
        f"the cut-off belongs at {show(belongs, height)}, {show(slope, '%')}."
    ]
    if cutoff is not None:
        offset = aim.judge(aim.inclination(mounting, distance, cutoff), slope, step.limits, distance)
        items += [
            Item("inclination", "setting found", offset.inclination, "%"),
            Item("off", "off by", offset.slope, "%"),
            Item("off_height", "off by, on the wall", offset.height, height),
        ]
        says.append(_aimed(offset, height))
    mind = [
        "Level ground, right tyre pressures, levelling control at 0, driver's weight in the seat, lamp warm.",
        "The plate near the lamp or the handbook goes before this rule; local rules may differ.",
    ]
    if not step.limits[0] <= slope <= step.limits[1]:
        mind.insert(0, "This setting lies outside the limits of the rule: check the plate, and which rule holds.")
    return Figure("aim", tuple(items), tuple(says), tuple(mind))


def _aimed(offset: aim.Offset, height: str) -> str:
    passes = "It is within the limits" if offset.inside else "It is outside the limits"
    if offset.way == "on":
        return f"{passes}, and on the setting."
    far = f"{show(abs(offset.height), height, 2)} ({show(abs(offset.slope), '%', 2)})"
    return f"{passes}, {far} too {'high: lower it' if offset.way == 'up' else 'low: raise it'} by that much."


def dew_figure(
    air: float,
    humidity: float,
    night: float,
    clear_sky: bool = True,
    lens_area: float = 0.1,
    flow: float = dew.VENT_FLOW,
    system: str = "metric",
) -> Figure:
    """Will a sound lamp's lens mist tonight, and how long until it clears, lamps off and lamps on?"""
    degrees = preferred("temperature", system)
    outlook = dew.outlook(air, humidity, night, clear_sky)
    water = dew.water_on_lens(lens_area)
    outside = min(1.0, humidity * dew.saturation_pressure(air) / dew.saturation_pressure(night))
    lit = dew.clearing_time(water, night + dew.LAMP_WARMING, night, outside, flow)
    unlit = dew.clearing_time(water, air, air, humidity, flow)
    items = (
        Item("dew_point", "the air in the lamp mists below", outlook.dew_point, degrees),
        Item("lens", "lens in the night", outlook.lens, degrees),
        Item("clears_lit", "fine mist clears, lamps on, in about", lit, "s"),
        Item("clears_unlit", "clears by day, lamps off, in about", unlit, "s"),
    )
    if outlook.mist:
        says = [f"Mist is to be expected on a sound lamp: the lens falls to {show(outlook.lens, degrees)}."]
    else:
        says = ["A sound lamp should stay clear tonight. If it mists even so, it holds more water than air brings."]
    says.append(f"Fine mist gone in {show_time(lit)} with the lamps on is normal; drops, runs or a puddle mean a leak.")
    mind = ("A simple model, good for the order of size: vents open, air changed once by day, heat no limit.",)
    return Figure("dew", items, tuple(says), mind)
