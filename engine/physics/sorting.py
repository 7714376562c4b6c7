"""The computations on readings by name: the figure that a question's bands compare, and what a sound car shows."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from engine.physics import lamp_readings as lamp
from engine.physics import supply_readings as supply
from engine.physics.computed import Computation, Figures, Foretelling

COMPUTATIONS: Mapping[str, Computation] = MappingProxyType(
    {
        "as-read": supply.as_read,
        "lost-from-battery": supply.lost_from_battery,
        "loss-at-the-lamp": supply.loss_at_the_lamp,
        "share-arriving": supply.share_arriving,
        "share-of-light": supply.share_of_light,
        "feed-resistance": supply.feed_resistance,
        "drop-beyond-wire": supply.drop_beyond_wire,
        "drop-beyond-contact": supply.drop_beyond_contact,
        "drop-beyond-fuse": supply.drop_beyond_fuse,
        "fuse-current": supply.fuse_current,
        "fuse-load": supply.fuse_load,
        "battery-charge": supply.battery_charge,
        "volts-at-strike": supply.volts_at_strike,
        "effective-volts": supply.effective_volts,
        "share-of-expected-current": lamp.share_of_expected_current,
        "share-of-ballast-current": lamp.share_of_ballast_current,
        "cold-filament": lamp.cold_filament,
        "run-up-share": lamp.run_up_share,
        "aim-offset": lamp.aim_offset,
        "aim-in-band": lamp.aim_in_band,
        "mist-margin": lamp.mist_margin,
        "night-margin": lamp.night_margin,
    }
)

FORETELLINGS: Mapping[str, Foretelling] = MappingProxyType(
    {
        "loss-at-the-lamp": supply.foretell_lamp,
        "share-arriving": supply.foretell_open,
        "drop-beyond-wire": supply.foretell_wire,
        "drop-beyond-contact": supply.foretell_contact,
        "drop-beyond-fuse": supply.foretell_fuse,
        "battery-charge": supply.foretell_battery,
        "volts-at-strike": supply.foretell_strike,
        "share-of-expected-current": lamp.foretell_current,
        "share-of-ballast-current": lamp.foretell_ballast,
        "cold-filament": lamp.foretell_filament,
        "run-up-share": lamp.foretell_run_up,
        "aim-in-band": lamp.foretell_aim,
        "night-margin": lamp.foretell_night,
    }
)

# A reading given in another quantity than the question's own, and how it becomes that quantity.
CONVERSIONS: Mapping[str, Callable[[float, Figures], tuple[float, str]]] = MappingProxyType(
    {"fall-on-wall": lamp.fall_on_wall}
)
