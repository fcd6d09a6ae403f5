"""Limits of exposure laid over those of the files."""

from dataclasses import replace

from bench.reference.surroundings import Gas, Limit


def with_limit(gas: Gas, limit: Limit) -> Gas:
    """The gas with this limit in the place of one by the same body for the same period, or beside the others.

    The strictest of all limits goes on deciding: a limit of the maker's own never hides a lower one by another body.
    """
    others = tuple(each for each in gas.limits if (each.body, each.period) != (limit.body, limit.period))
    return replace(gas, limits=(*others, limit))
