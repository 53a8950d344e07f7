"""Compound names taken apart: 2MK5 is M2 + M2 + K1, 2SM2 is S2 + S2 - M2, M(KS)2 is M2 + K2 - S2.

The reading of the names is common practice among hydrographic offices: the closing number is the species
(cycles a day); a digit before a letter multiplies it; where the plain sum of the parts exceeds the species,
parts count negative, beginning with the last; K is K1 or K2, whichever makes the sum come out.
"""

import re
from collections.abc import Iterable
from itertools import product

# Letters of compound names: the constituents they can stand for, with their species.
_LETTERS: dict[str, tuple[tuple[str, int], ...]] = {
    "LAMBDA": (("LAMBDA2", 2),),
    "NU": (("NU2", 2),),
    "MU": (("MU2", 2),),
    "RHO": (("RHO1", 1),),
    "OO": (("OO1", 1),),
    "M": (("M2", 2),),
    "S": (("S2", 2),),
    "N": (("N2", 2),),
    "K": (("K1", 1), ("K2", 2)),
    "L": (("L2", 2),),
    "T": (("T2", 2),),
    "R": (("R2", 2),),
    "O": (("O1", 1),),
    "P": (("P1", 1),),
    "Q": (("Q1", 1),),
    "J": (("J1", 1),),
}
_TOKEN = re.compile(r"([2-9]?)(LAMBDA|NU|MU|RHO|OO|[MSNKLTROPQJ])")
_GROUP = re.compile(r"([2-9]?)\(((?:LAMBDA|NU|MU|RHO|OO|[MSNKLTROPQJ])+)\)")
_NAME = re.compile(r"(?P<body>.*[A-Z)])(?P<species>\d{1,2})")
_OVERTIDES = "MSNK"
_MAXIMUM_TOKENS = 6
_MAXIMUM_SPECIES = 14

Parents = tuple[tuple[str, int], ...]
_Token = tuple[int, str]

# Odd species that no letters spell: M5 = M3 + M2, M7 = M6 + NO1 as the hydrographic list has it.
_ODD: dict[str, Parents] = {
    "M5": (("M3", 1), ("M2", 1)),
    "M7": (("M2", 3), ("N2", 1), ("O1", -1)),
    "S5": (("S3", 1), ("S2", 1)),
}


def parents(name: str) -> Parents | None:
    """Parents of a compound with signed multiples, or None where the name can't be read as one.

    Args:
        name: upper case, no spaces.
    """
    if name in _ODD:
        return _ODD[name]
    match = _NAME.fullmatch(name)
    if match is None:
        return None
    species = int(match["species"])
    tokens = _tokens(match["body"])
    if not tokens or not 0 < species <= _MAXIMUM_SPECIES:
        return None
    if len(tokens) == 1 and tokens[0][0] == 1:
        return _overtide(tokens[0][1], species)
    return _signed(tokens, species)


def _tokens(body: str) -> list[_Token] | None:
    tokens: list[_Token] = []
    position = 0
    while position < len(body):
        if group := _GROUP.match(body, position):
            multiple = int(group[1] or 1)
            tokens += [(multiple, inner[2]) for inner in _TOKEN.finditer(group[2])]
            position = group.end()
        elif token := _TOKEN.match(body, position):
            tokens.append((int(token[1] or 1), token[2]))
            position = token.end()
        else:
            return None
    return tokens if len(tokens) <= _MAXIMUM_TOKENS else None


def _overtide(letter: str, species: int) -> Parents | None:
    """M6 is three times M2: one letter whose species divides the name's."""
    name, own = _LETTERS[letter][-1]
    if letter not in _OVERTIDES or species % own or species < 2 * own:
        return None
    return ((name, species // own),)


def _signed(tokens: list[_Token], species: int) -> Parents | None:
    choices = [_LETTERS[letter] for _, letter in tokens]
    for negative in range(len(tokens)):
        signs = [1] * (len(tokens) - negative) + [-1] * negative
        for reading in product(*choices):
            total = sum(
                sign * multiple * own
                for sign, (multiple, _), (_, own) in zip(signs, tokens, reading, strict=True)
            )
            if total == species:
                return _merged(
                    (parent, sign * multiple)
                    for sign, (multiple, _), (parent, _) in zip(signs, tokens, reading, strict=True)
                )
    return None


def _merged(parts: Iterable[tuple[str, int]]) -> Parents:
    counts: dict[str, int] = {}
    for parent, multiple in parts:
        counts[parent] = counts.get(parent, 0) + multiple
    return tuple((parent, multiple) for parent, multiple in counts.items() if multiple)
