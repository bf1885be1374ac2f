"""Errors about the air an operator may read."""

from kilnlog.records.errors import KilnlogError


class ImpossibleAir(KilnlogError):
    """Two readings that no air can show together.

    Values: why (``wet-above-dry``, ``wet-too-low``, ``boils``, ``rh``, ``emc``,
    ``emc-temperature``, ``too-hot``, ``depression``,
    ``no-such-air``, ``temperature``) and the figures.
    """

    code = "impossible-air"
