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
