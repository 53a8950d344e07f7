"""What a change of datum means for a station's file, in sentences."""

from harmonics.units import METRES_PER_FOOT


def change_of_datum(old: str, new: str, zero: float, mean_level: float) -> tuple[str, str]:
    """What to write, and what becomes of heights already written.

    Args:
        old, new: names of the datums.
        zero: the new one above the old, metres.
        mean_level: mean sea level above the new one, metres.
    """
    return (
        f'For the file: datum = "{new}", and mean_level = {mean_level:.4f} where length_unit is "metres", '
        f'{mean_level / METRES_PER_FOOT:.4f} where it is "feet".',
        f"Heights above {old} (limits of spots, banks) become heights above {new} by adding "
        f"{0.0 - zero:+.4f} m or {0.0 - zero / METRES_PER_FOOT:+.4f} ft.",
    )
