"""What is known of a session's weather."""

from typing import NamedTuple


class SessionWeather(NamedTuple):
    """The weather of a session, each where it is worst; None where it is unknown throughout.

    Attributes:
        wind: greatest, m/s; `wind_from` that wind's direction, degrees true.
        gust: greatest, m/s.
        chop: the highest, as a range, metres; None as well where the file says nothing of the exposure.
        against_ebb: whether fresh wind blows against the ebb at some time.
        thunder: greatest probability, 0 to 1.
        air, water: mean temperatures, °C.
        whole: whether the wind is known from start to end.
    """

    wind: float | None
    wind_from: float | None
    gust: float | None
    chop: tuple[float, float] | None
    against_ebb: bool
    thunder: float | None
    air: float | None
    water: float | None
    whole: bool
