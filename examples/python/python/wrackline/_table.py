"""Tables that have travelled to another process."""

from typing import Any

from ._native import VisibilityTable

_OPEN: dict[str, VisibilityTable] = {}


def reopen(fingerprint: str, arguments: dict[str, Any]) -> VisibilityTable:
    """The table of a request. A worker reads the texts of one request once, however many parts of
    it come.
    """
    table = _OPEN.get(fingerprint)
    if table is None:
        table = VisibilityTable(**arguments)
        if table.fingerprint != fingerprint:
            raise ValueError(
                f"the request {fingerprint} is {table.fingerprint} here: use the same version of "
                "wrackline everywhere"
            )
        # One at a time, so that a worker that serves many requests does not grow.
        _OPEN.clear()
        _OPEN[fingerprint] = table
    return table
