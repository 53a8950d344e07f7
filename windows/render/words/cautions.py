"""What every output says of its own limits and of the water's dangers."""

INVENTED = "INVENTED COAST, never use on the water"

SHORT = "Not for navigation; weather moves the water; wear a lifejacket; check local rules."

FULL = (
    "Not for navigation. Astronomical prediction only: wind, pressure and river flow move the real water, "
    "often by more than the tide on a microtidal coast.",
    "Check the marine forecast; at thunder leave the water and wait 30 minutes after the last.",
    "Wear a lifejacket. Soft mud, rising water behind you, slippery walls, strong ebb against wind, "
    "darkness: carry a light and tell someone ashore.",
    "Licences, seasons, sizes, bag limits and bait rules are local: check them.",
)

KNOWN = (
    "Not for navigation. Tide, and weather from the file made {}: forecasts miss, wind shifts, and river "
    "flow moves the real water as well, often by more than the tide on a microtidal coast."
)
"""The first of them where the weather is known; {} is when its file was made."""


def full(made: str | None) -> tuple[str, ...]:
    """Every caution; `made` is when the weather's file was made, None where no weather is known."""
    return FULL if made is None else (KNOWN.format(made), *FULL[1:])


def unseen(made: str | None) -> str:
    """What is not considered, or how far the weather is."""
    return UNSEEN if made is None else f"wind and waves from the file made {made}, where it knows them"


SOLUNAR = (
    "Solunar periods are a tradition: published moon effects on catch are small or absent, so they count "
    "for little here."
)
EVIDENCE = (
    "That outgoing water and low light fish best is practice with a mechanism behind it, not a law; "
    "it differs by species."
)
UNSEEN = "wind and waves are not considered"
FALL_ONLY = (
    "A spot scored by its fall alone knows no upper limit of the current: its points do not compare with "
    "those of a spot whose current is measured."
)
