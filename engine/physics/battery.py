"""State of charge of a 12 V lead battery from its volts at rest."""

from engine.physics._check import within
from engine.physics._solve import between

# Volts at rest (27 C, hours after charging or driving) and charge; published table (read).
# Glass-mat types sit 0.15 to 0.2 V higher (from memory).
_REST = ((11.89, 0.0), (12.06, 0.25), (12.24, 0.5), (12.45, 0.75), (12.65, 1.0))


def charge_at_rest(volts: float) -> float:
    """Share of full charge (0 to 1) of a flooded 12 V battery at rest at `volts` (8 to 13.5 V).

    Above 13.5 V something is charging it, and the reading says nothing of the charge: ValueError.
    """
    within("The volts of a 12 V battery at rest", volts, 8, 13.5, "V")
    return between(_REST, volts)
