"""What shuts a spot and what makes the edges of a window, in words.

Every gate has its four wordings here, by its class.
"""

from typing import NamedTuple

from windows.conditions.clock_gates import OutOfSeason, OutsideHours, Past
from windows.forecast.edges import Edge, EdgeKind
from windows.render.words.going import going_of
from windows.render.words.phrases import Words
from windows.shoreline.gates import (
    Gate,
    GreatestChop,
    GreatestDepth,
    GreatestLevel,
    GreatestSpeed,
    GreatestWind,
    LeastDepth,
    LeastLevel,
    LeastSpeed,
    Limit,
    Measure,
    SunDown,
    ThunderFrom,
)
from windows.shoreline.spots import Factor, WantedWater


class GateWords(NamedTuple):
    """Wordings of one gate.

    Attributes:
        shut: why nothing can be fished: a clause after "while".
        opens, closes: what happens at its edges.
        limit: where it shuts, with {} for the limit.
    """

    shut: str
    opens: str
    closes: str
    limit: str


WORDS: dict[type[Gate], GateWords] = {
    Past: GateWords("you can't be there yet", "you can be there", "you can no longer be there", ""),
    OutOfSeason: GateWords(
        "it is not the season of the fish", "the season of the fish begins", "the season of the fish ends", ""
    ),
    OutsideHours: GateWords("it is outside your hours", "your hours begin", "your hours end", ""),
    SunDown: GateWords("the sun is down", "the sun rises", "the sun sets", "while the sun is down"),
    LeastLevel: GateWords(
        "the water is below the spot's least level",
        "the water reaches the spot's least level",
        "the water falls below the spot's least level",
        "below a level of {}",
    ),
    GreatestLevel: GateWords(
        "the water is above the spot's greatest level",
        "the water falls to the spot's greatest level",
        "the water rises above the spot's greatest level",
        "above a level of {}",
    ),
    LeastDepth: GateWords(
        "there is less water than the spot's least depth",
        "the water reaches the spot's least depth",
        "the water falls below the spot's least depth",
        "in less than {} of water",
    ),
    GreatestDepth: GateWords(
        "there is more water than the spot's greatest depth",
        "the water falls to the spot's greatest depth",
        "the water rises above the spot's greatest depth",
        "in more than {} of water",
    ),
    LeastSpeed: GateWords(
        "the current is below the spot's least speed",
        "the current reaches the spot's least speed",
        "the current falls below the spot's least speed",
        "in a current below {}",
    ),
    GreatestSpeed: GateWords(
        "the current is above the spot's greatest speed",
        "the current eases to the spot's greatest speed",
        "the current passes the spot's greatest speed",
        "in a current above {}",
    ),
    GreatestWind: GateWords(
        "the wind is above the greatest wind",
        "the wind eases to the greatest wind",
        "the wind passes the greatest wind",
        "in wind above {}",
    ),
    GreatestChop: GateWords(
        "the chop is above the spot's greatest chop",
        "the chop falls to the spot's greatest chop",
        "the chop passes the spot's greatest chop",
        "in chop above {}",
    ),
    ThunderFrom: GateWords(
        "thunder is likely",
        "thunder is no longer likely",
        "thunder becomes likely",
        "at {} chance of thunder",
    ),
}

_TOO_STRONG = ("the current eases enough", "the current grows too strong")
_FACTORS = {
    Factor.FLOW: ("the flow has built", "the flow eases off"),
    Factor.LIGHT: ("the light turns right", "the light is no longer right"),
    Factor.MOON: ("a solunar period begins", "a solunar period ends"),
}
"""Opening and closing words of the factor that changes most over the edge."""


def edge_words(edge: Edge, opening: bool, water: WantedWater) -> str:
    """What opens or closes a window."""
    if edge.gate is not None:
        words = WORDS[edge.gate]
        return words.opens if opening else words.closes
    if edge.factor is not None:
        return _FACTORS[edge.factor][0 if opening else 1]
    if edge.kind is EdgeKind.TURN:
        way = going_of(water)
        return f"the water begins to {way.go}" if opening else f"the water stops {way.going}"
    return _TOO_STRONG[0 if opening else 1]


def limit_value(gate: Limit, words: Words) -> str:
    """The limit with its unit."""
    if gate.measure in {Measure.SPEED, Measure.WIND}:
        return words.movement(gate.value, True)
    return f"{gate.value:.0%}" if gate.measure is Measure.THUNDER else words.height(gate.value)


def limit_name(gate: Limit) -> str:
    """The limit's name, as "least level"."""
    return gate.key.replace("_", " ")


def shut_words(gate: Gate, words: Words) -> str:
    """Where a gate shuts the spot, as "below a level of 0.5 ft"."""
    if isinstance(gate, LeastDepth) and gate.value == 0.0:
        return "while it is dry"
    value = limit_value(gate, words) if isinstance(gate, Limit) else ""
    return WORDS[type(gate)].limit.format(value)
