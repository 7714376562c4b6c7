"""Published diagnoses of supply, wiring, relays, fuses and modules, retold: the program concludes what the text does.

Every text was read in a stored public copy in November 2026 unless its source says "from memory". Shares are asked
for loosely: the texts name causes, not probabilities.
"""

from __future__ import annotations

import pytest

from tests.retold import heard, tell

TABLE = "symptom table for headlamps in a public workshop manual (read)"
NOTES = "notes on exterior lighting in another public workshop manual (read)"
DROPS = "public training page on voltage drop: feed under 0.5 V, earth under 0.2 V, lamps lit (read)"
WALK = "public article on tracing voltage drops: full battery, about 11 V at the lug of the dim beam (read in part)"
RUSTY = "public case study of a dim low beam: 7.5 V lost to a corroded earth point, cleaned and cured (read)"
CLUB = "club magazine: one headlamp dim, new lamp just as dim, the other side bright; rust under the earth (read)"
RELAY = "public how-to on checking a headlamp relay (read)"
FUSE = "public training page: a lamp in place of the blown fuse (read)"
BLOWN = "public training page on the looks of a blown fuse (read)"
SHUT_OFF = "service text on protected outputs of a control module, headlamps named (read)"
COUNTED = "service text of another maker on short circuits at a lighting module (read)"
ROUGH = "public page on headlamps that flicker while driving (read)"
SHARED = "public page: low beam dim with full high beam (read)"
MELTED = "public trade pages on melted lamp plugs (read)"
GLASS = "public page of a light source maker on failed halogen bulbs (read)"
HALOGEN = "light-source=halogen beam=low showing-now=yes"


@pytest.mark.outside(TABLE)
def test_dim_at_idle_and_brighter_with_revs_is_the_charging() -> None:
    """Both dim with the engine idling: the table's causes are charging, wires included, and battery, not the lamps."""
    told = tell(HALOGEN, "complaint=dim side=both revs-brighten=brighter battery-running=12.3V")
    assert told.kind == "elsewhere"
    assert told.share("charging-low", "charge-path-resistive", "battery-weak") > 0.9


@pytest.mark.outside(TABLE)
def test_bulbs_that_burn_out_often_are_overcharged() -> None:
    """Bulbs burn out frequently, charging output too high: proved, and referred to whoever mends the charging."""
    told = tell("light-source=halogen beam=low complaint=fails-again side=both battery-running=15.6V")
    assert (told.kind, told.first) == ("elsewhere", "charging-high")
    assert "charging-high" in told.session.reasoning.proofs
    assert "over-voltage" in told.advice


@pytest.mark.outside(TABLE)
def test_bulbs_that_burn_out_on_one_side_have_a_bad_terminal() -> None:
    """The table's other cause, loose or corroded terminals, where the charging is sound."""
    story = "light-source=halogen beam=low complaint=fails-again side=left bulbs-last=months-one plug-look=burnt"
    told = tell(story, "battery-running=14.2V")
    assert "charging-high" in told.out
    assert told.share("plug-burnt", "plug-corroded", "plug-loose", "plug-burnt-and-filament") > 0.9


@pytest.mark.outside(TABLE)
def test_dim_above_idle_with_sound_charging_is_resistance_in_the_circuit() -> None:
    """Both dim and orange at speed: charging is cleared, resistance in circuit or earth is left."""
    told = tell(HALOGEN, "complaint=dim side=both battery-running=14.2V revs-brighten=same light-colour=orange")
    assert {"charging-low", "charging-high"} <= told.out
    base = told.session.base
    lossy = [one for one, _ in told.session.belief.ranking() if base.faults[one].mode in ("resistive", "worn")]
    assert told.share(*lossy) > 0.6


@pytest.mark.outside(TABLE)
def test_flashing_at_random_with_a_poor_earth() -> None:
    """A lamp that flashes at random and reacts at its earth has its fault there."""
    told = tell(HALOGEN, "complaint=unsteady side=left wiggle-test=reacts-at-earth light.turn-this=unsteady")
    assert told.section("earth") > 0.8


@pytest.mark.outside(NOTES)
def test_several_lights_of_a_lamp_together_are_its_earth() -> None:
    """Several symptoms in one lamp can often be traced to a loose, corroded or open earth."""
    before, after = heard(f"{HALOGEN} complaint=dim side=left", "light.turn-this=dim light.position-this=dim")
    assert after.section("earth") > 0.5 > before.section("earth")


@pytest.mark.outside(NOTES)
@pytest.mark.parametrize(("volts", "fault"), [("15.6V", "charging-high"), ("12.2V", "charging-low")])
def test_charging_explains_bulbs_that_die_or_flicker(volts: str, fault: str) -> None:
    """High output burns bulbs out again and again; low output makes them dim or flicker."""
    complaint = "fails-again" if fault == "charging-high" else "dim"
    told = tell(f"light-source=halogen beam=low side=both complaint={complaint} battery-running={volts}")
    assert told.first == fault
    assert told.kind == "elsewhere"


@pytest.mark.outside(DROPS)
@pytest.mark.parametrize("volts", ["0.5V", "1.0V", "1.8V"])
def test_half_a_volt_on_the_earth_is_a_bad_earth(volts: str) -> None:
    """0.5 V or more on the earth side: the earth is bad, and no lamp is bought."""
    told = tell(HALOGEN, f"complaint=dim side=left earth-drop={volts}")
    assert told.section("earth") > 0.8
    assert told.share("bulb-aged", "wrong-bulb") < 0.03


@pytest.mark.outside(DROPS)
@pytest.mark.parametrize("volts", ["1.0V", "2.0V"])
def test_a_volt_on_the_feed_is_lost_in_wire_or_contacts(volts: str) -> None:
    """1.0 V or more on the way out, and a good earth: volts are lost in wire, contacts or switch."""
    told = tell(HALOGEN, f"complaint=dim side=left feed-drop={volts} earth-drop=0.02V")
    assert told.section("feed", "switching", "supply") > 0.8
    assert {"earth-resistive", "earth-point-corroded", "earth-open"} <= told.out


@pytest.mark.outside(WALK)
def test_eleven_volts_at_the_lug_accuses_the_way_there_not_the_lamp() -> None:
    """A full battery and 11 V at the dim beam's lug: go upstream, the lamp is not the fault."""
    told = tell(HALOGEN, "complaint=dim side=left battery-rest=12.7V lamp-volts-loaded=11.0V")
    assert told.section("feed", "earth", "switching", "supply") > 0.85
    assert told.section("source", "optics") < 0.08


@pytest.mark.outside(WALK)
def test_upstream_the_loss_may_be_the_relay() -> None:
    """The same volts, and nearly all of the loss found across the relay: its contacts."""
    told = tell(HALOGEN, "complaint=dim side=both switched-by=relay lamp-volts-loaded=11.0V relay-loss=1.1V")
    assert told.first == "relay-contacts"
    assert told.kind in ("likely", "proved")


@pytest.mark.outside(RUSTY)
def test_seven_and_a_half_volts_on_the_earth_and_rust() -> None:
    """7.5 V between the earth pin and the battery, rust at its point: clean the earth point."""
    story = f"{HALOGEN} complaint=dim side=right feed-drop=0.1V earth-drop=7.5V earth-look=rusty"
    assert tell(story).first == "earth-point-corroded"
    told = tell(story, "segment-walk=at-earth-point")
    assert (told.kind, told.first) == ("proved", "earth-point-corroded")


@pytest.mark.outside(f"{RUSTY}: one strand of sixty passes a test in ohms and fails under load")
def test_a_wire_that_measures_well_is_not_cleared() -> None:
    """Ohms from end to end clear a break, never a bad joint; a load does clear it."""
    by_ohms = tell(HALOGEN, "complaint=dead side=left feed-wire-ohms=0.2ohm")
    assert "feed-open" in by_ohms.out
    assert "feed-resistive" not in by_ohms.out
    assert "feed-resistive" in tell(HALOGEN, "complaint=dead side=left substitute-load=bright").out


@pytest.mark.outside(f"{RUSTY}: an open circuit shows battery volts through a bad joint")
def test_volts_without_load_are_no_proof_of_a_good_feed() -> None:
    """12.4 V at the open plug leave every bad joint possible; the same plug under load accuses them."""
    before, after = heard(f"{HALOGEN} complaint=dead side=left lamp-volts-open=12.4V", "substitute-load=dim")
    assert not {"feed-resistive", "earth-resistive", "plug-burnt"} & before.out
    assert before.first == "filament-open"
    assert after.section("feed", "earth") > 2 * before.section("feed", "earth")


@pytest.mark.outside(CLUB)
def test_one_dim_side_that_a_new_lamp_did_not_cure() -> None:
    """The other side clears what both share, the new lamp clears the source; the rusty earth is left."""
    story = f"{HALOGEN} complaint=dim side=left light.same-other=works fitted-already=source new-bulb=same"
    told = tell(story, "earth-look=rusty")
    assert told.section("earth") > 0.6
    assert {"battery-weak", "charging-low", "switch-worn", "main-fuse-open"} <= told.out


@pytest.mark.outside(f"{RELAY}: if only one headlamp comes on, the relay is all right")
def test_one_lit_side_clears_the_common_relay() -> None:
    """Where one relay feeds both sides, one dark side excludes it."""
    told = tell(HALOGEN, "complaint=dead side=left switched-by=relay")
    assert {"relay-coil", "relay-contacts", "relay-socket-burnt"} <= told.out


@pytest.mark.outside(f"{RELAY}: a click shows that the coil works; you do not know about the contacts")
def test_a_click_clears_the_coil_and_not_the_contacts() -> None:
    """Both dark, the relay clicks: the coil is out, the contacts are more suspect than before."""
    before, after = heard(f"{HALOGEN} complaint=dead side=both switched-by=relay", "relay-click=clicks")
    assert "relay-coil" in after.out
    assert "relay-contacts" not in after.out
    assert after.share("relay-contacts") > before.share("relay-contacts")


@pytest.mark.outside(f"{RELAY}: without a click the relay, or its command, is probably bad")
def test_silence_accuses_coil_and_command() -> None:
    """Both dark and no click: coil, switch or mode; not fuse, wire or bulbs."""
    told = tell(HALOGEN, "complaint=dead side=both switched-by=relay relay-click=silent")
    assert told.share("relay-coil", "switch-worn", "wrong-mode", "light-sensor-blind") > 0.9


@pytest.mark.outside(f"{RELAY}: if a known good relay fixes it, the old one was bad")
def test_a_good_relay_settles_it() -> None:
    """The fault went with the relay: the relay, and neither bulb."""
    told = tell(HALOGEN, "complaint=dead side=both switched-by=relay relay-click=clicks relay-swap=moved")
    assert told.first == "relay-contacts"
    assert "both-bulbs-failed" in told.out


@pytest.mark.outside(f"{FUSE}: it goes out when a load is unplugged, so that load; it stays lit, so the loom")
@pytest.mark.parametrize(
    ("seen", "fault"), [("loom", "feed-shorted"), ("flex", "feed-shorted"), ("neighbour", "neighbour-short")]
)
def test_a_lamp_in_place_of_the_fuse_finds_the_short(seen: str, fault: str) -> None:
    """Each of the page's three findings names what it names."""
    told = tell(f"light-source=halogen beam=low side=left complaint=blows-fuse short-hunt={seen}")
    assert told.first == fault
    assert told.share(fault) > 0.9


@pytest.mark.outside(f"{BLOWN}: blown clean by a short; melted by an overload or a poor connection beside it")
@pytest.mark.parametrize(
    ("when", "faults"),
    [("at-once", ("feed-shorted",)), ("after-minutes", ("fuse-holder-resistive", "wrong-bulb", "neighbour-short"))],
)
def test_when_the_fuse_blows_tells_short_from_overload(when: str, faults: tuple[str, ...]) -> None:
    """At once is a dead short; after minutes it is heat."""
    before, after = heard("light-source=halogen beam=low side=left complaint=blows-fuse", f"blows-when={when}")
    assert after.share(*faults) > before.share(*faults)
    assert after.first in faults


@pytest.mark.outside("public manual on lighting faults: try what shares the fuse (read)")
def test_what_shares_the_fuse_tells_of_the_fuse() -> None:
    """If the others on the fuse work it is whole; if they fail too, look at the fuse."""
    assert "fuse-open" in tell(HALOGEN, "complaint=dead side=left fuse-mates=works").out
    before, after = heard(f"{HALOGEN} complaint=dead side=both fuse-arrangement=shared", "fuse-mates=dead")
    assert after.first == "fuse-open"
    assert after.share("fuse-open") > 2 * before.share("fuse-open")


@pytest.mark.outside(f"{SHUT_OFF}: a short switches the output off until the ignition has been off and on")
def test_an_output_that_had_switched_off() -> None:
    """A stored short, and alive after a rest: the output had switched off; the reason is still to be found."""
    told = tell("light-source=halogen beam=low side=left complaint=dead switched-by=module codes=short",
                "reset-cycle=alive")  # fmt: skip
    assert told.first == "module-latched"
    assert told.share("module-latched", "module-latched-and-filament") > 0.9
    assert "fuse-had-a-reason" in told.advice


@pytest.mark.outside(f"{SHUT_OFF}: after several shorts it stays off until repaired and the code is cleared")
def test_a_rest_without_clearing_the_code_excludes_no_lock() -> None:
    """Still dead after a rest: without a tester the lock stays possible; with the code cleared it is out."""
    story = (
        "light-source=halogen beam=low side=left complaint=dead switched-by=module codes=short reset-cycle=still-dead"
    )
    assert "module-latched" not in tell(story, "have-scan-tool=no").out
    assert "module-latched" in tell(story, "have-scan-tool=yes").out


@pytest.mark.outside(f"{COUNTED}: after many tries the output cannot be woken again and the module is replaced")
def test_a_module_used_up_by_a_short_is_replaced() -> None:
    """Nothing leaves the module, the order is there, the code is cleared, the wire is clear: the module."""
    told = tell("light-source=halogen beam=low side=left complaint=dead switched-by=module codes=short",
                "have-scan-tool=yes reset-cycle=still-dead module-output=0.1V command-seen=seen",
                "feed-body-ohms=9999ohm light.same-other=works")  # fmt: skip
    assert told.first == "module-dead"


@pytest.mark.outside(f"{ROUGH}: at random over rough roads it is a loose connector or bulb")
def test_random_flicker_on_rough_roads_is_a_loose_contact() -> None:
    """Contacts and a touching filament, not charging, switch or module."""
    told = tell("light-source=halogen beam=low side=left complaint=unsteady over-bumps=yes flicker-rhythm=ragged")
    base = told.session.base
    loose = [one for one, _ in told.session.belief.ranking() if base.faults[one].mode == "wandering"]
    assert told.share(*loose) > 0.7


@pytest.mark.outside(f"{ROUGH}: a constant, regular beat is a relay or switch")
def test_a_regular_beat_on_both_sides_is_what_switches_them() -> None:
    """Relay and switch gain by an even beat, loose plugs lose."""
    story = "light-source=halogen beam=low side=both complaint=unsteady both-together=yes switched-by=relay"
    before, after = heard(story, "flicker-rhythm=slow")
    assert after.section("switching", "command") > before.section("switching", "command")
    assert after.share("plug-loose") <= before.share("plug-loose") + 1e-9


@pytest.mark.outside(
    "public page: both headlamps and the dash flicker, so supply; one alone, so its own circuit (read)"
)
def test_flicker_of_everything_is_the_supply() -> None:
    """Dash and both lamps together point to charging, battery and thick joints; one lamp alone points away."""
    supply = ("charging-low", "battery-weak", "clamp-resistive", "strap-resistive", "charging-high")
    all_over = tell(HALOGEN, "complaint=unsteady side=both other-lamps-too=yes other-electrics=yes")
    alone = tell(HALOGEN, "complaint=unsteady side=left other-lamps-too=no")
    assert all_over.share(*supply) > 0.7
    assert alone.share(*supply) < 0.05


@pytest.mark.outside(f"{SHARED}: battery, alternator and what both beams share are good")
def test_a_full_high_beam_clears_what_both_beams_share() -> None:
    """The share of battery, charging and thick joints falls when high beam is bright."""
    shared = ("battery-weak", "charging-low", "clamp-resistive", "strap-resistive")
    before, after = heard(f"{HALOGEN} complaint=dim side=both beams-from=own", "light.opposite-this=works")
    assert after.share(*shared) < 0.7 * before.share(*shared)


@pytest.mark.outside(f"{MELTED}: slack terminals, too many watts")
def test_a_melted_plug_asks_for_plug_and_right_watts() -> None:
    """A burnt plug under too strong a bulb: plug first, and the watts are named."""
    told = tell(HALOGEN, "complaint=dim side=left plug-look=burnt marking-check=wrong-watts")
    assert told.first == "plug-burnt"
    assert {"over-watt", "hot-contact"} <= told.advice


@pytest.mark.outside(f"{GLASS}: white or cream glass means that air got in")
def test_smoky_glass_condemns_a_dead_bulb() -> None:
    """A dead bulb with smoky glass is the fault, or half of it."""
    told = tell(HALOGEN, "complaint=dead side=left bulb-look=smoked")
    assert told.first == "filament-open"
    assert told.kind == "likely"


@pytest.mark.outside(
    "public guides on testing bulbs: no reading on ohms is a broken bulb, a low one is a whole bulb (read)"
)
@pytest.mark.parametrize(("ohms", "broken"), [("9999ohm", True), ("0.3ohm", False)])
def test_ohms_of_a_bulb(ohms: str, broken: bool) -> None:
    """Open is proved, a few tenths of an ohm exclude it."""
    told = tell(HALOGEN, f"complaint=dead side=left filament-ohms={ohms}")
    assert ("filament-open" in told.session.reasoning.proofs) is broken
    assert ("filament-open" in told.out) is not broken


@pytest.mark.outside(
    "inspection steps of a public workshop manual: terminals loose, corroded or pushed back, then bulb (read)"
)
def test_a_terminal_pushed_back_in_the_plug() -> None:
    """Seen pushed back, it is the first suspect, before the bulb; with the bulb whole, more likely than all else."""
    story = f"{HALOGEN} complaint=dead side=left plug-look=pushed-back"
    assert tell(story).first == "pin-backed-out"
    assert tell(story, "filament-ohms=0.3ohm").share("pin-backed-out") > 0.5
