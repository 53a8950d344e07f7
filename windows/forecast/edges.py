"""What opens and closes a window, in kind; renderers put it in words."""

from enum import StrEnum, unique
from typing import NamedTuple

from windows.conditions.scoring import ScoreCurve
from windows.shoreline.gates import Gate
from windows.shoreline.spots import Factor

LEAST_FLOW_FACTOR = 0.5
"""Water must move at least this well whatever the light: light alone never makes a window."""


@unique
class EdgeKind(StrEnum):
    """What kind of thing makes an edge."""

    GATE = "gate"
    TURN = "turn"
    TOO_STRONG = "too strong"
    FACTOR = "factor"


class Edge(NamedTuple):
    """What opens or closes a window.

    Attributes:
        kind: of the reason.
        gate: the class of the one that opens or shuts; with EdgeKind.GATE.
        factor: whose points change most; with EdgeKind.FACTOR.
    """

    kind: EdgeKind
    gate: type[Gate] | None = None
    factor: Factor | None = None


def edge_between(curve: ScoreCurve, outside: int, inside: int) -> Edge:
    """What differs between a step outside a window and the next one inside."""
    for gate, flags in curve.shut.items():
        if flags[outside]:
            return Edge(EdgeKind.GATE, gate=type(gate))
    if curve.going[outside] <= 0:
        return Edge(EdgeKind.TURN)
    gains = curve.shares[:, inside] - curve.shares[:, outside]
    weak = curve.flow_factor[outside] < LEAST_FLOW_FACTOR
    factor = Factor.FLOW if weak else tuple(Factor)[int(gains.argmax())]
    if factor is Factor.FLOW and curve.going[outside] > curve.going[inside]:
        return Edge(EdgeKind.TOO_STRONG)
    return Edge(EdgeKind.FACTOR, factor=factor)
