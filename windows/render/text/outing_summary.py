"""What a file says of days out, in words: landings, boat, ways and wishes."""

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.forecast.summary import LandingSummary, ShoreSummary
from windows.render.text.layout import paragraph
from windows.render.words.phrases import Words
from windows.render.words.plans import duration
from windows.shoreline.outings import DETOUR, WALKING_SPEED, BaitWish, Boat, Sill, Way
from windows.shoreline.shore import Shore


def outing_parts(told: ShoreSummary, words: Words, width: int) -> list[str]:
    """Paragraphs on days out; none where the file has no landing."""
    if not told.landings:
        return []
    shore = told.shore
    landings = [_landing(landing, told.year, words, width) for landing in told.landings]
    lines = ["Days out", paragraph(_boat(shore.boat, words), width, hanging=2)]
    lines += [paragraph(_way(way, words), width, hanging=2) for way in shore.ways]
    lines.append(paragraph(_wishes(shore), width, hanging=2))
    return ["\n".join(["Landings", *landings]), "\n".join(lines)]


def _landing(told: LandingSummary, year: int, words: Words, width: int) -> str:
    landing, share = told.landing, told.open_share
    place = f"{landing.id}: {landing.name} at {landing.latitude:.4f}, {landing.longitude:.4f}"
    parts = [place, f"{duration(landing.launch)} there"] if landing.launch else [place]
    if landing.sill is not None and share is not None:
        open_ = f"open {share:.0%} of {year}" if share else f"never open in {year}"
        parts.append(f"{_water(landing.sill, words)}, tide of {landing.sill.station.id}: {open_}")
    return paragraph("; ".join(parts) + ".", width, hanging=2)


def _water(sill: Sill, words: Words) -> str:
    limits = []
    if sill.least_level is not None:
        limits.append(f"from a level of {words.height(sill.least_level)}")
    if sill.greatest_level is not None:
        limits.append(f"up to a level of {words.height(sill.greatest_level)}")
    return " ".join(limits)


def _boat(boat: Boat | None, words: Words) -> str:
    way = f"ways not given are straight lines x {DETOUR:g}"
    if boat is None:
        return f"On foot: {way} at {WALKING_SPEED * 3.6:g} km/h."
    speed = boat.speed / METRES_PER_SECOND_PER_KNOT
    return f"By boat, {speed:g} kn, draft {words.height(boat.draft)}: {way} at that speed."


def _way(way: Way, words: Words) -> str:
    text = " - ".join(sorted(way.ends))
    if way.seconds is not None:
        text += f": {duration(way.seconds)}"
    return text + ("." if way.sill is None else f", {_water(way.sill, words)}.")


def _wishes(shore: Shore) -> str:
    outing = shore.outing
    bait = {
        BaitWish.NEEDED: "bait is needed",
        BaitWish.IF_POSSIBLE: "with bait if possible",
        BaitWish.NONE: "no bait is gathered",
    }[outing.bait]
    sills = (*(item.sill for item in shore.landings), *(way.sill for way in shore.ways))
    margin = f"{duration(outing.margin)} of margin where the water shuts a landing or way; "
    return (
        f"Out from {outing.start} after {outing.leave_after.text}, home by {outing.home_by.text}, "
        f"{duration(outing.longest)} at most, {duration(outing.from_home)} from home; at each spot "
        f"{duration(outing.move)} to set up and {duration(outing.settle)} to settle; "
        f"{margin if any(sills) else ''}{bait}; at most {outing.most_moves} moves at "
        f"{outing.move_cost:g} point-hours each; worth going from {outing.keep:g} point-hours."
    )
