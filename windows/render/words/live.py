"""What a page's script says, as sentences with places in braces; without a script it is said alike."""

READING = "{when}: level {level}, {flow}, {points} points this minute"
OUT, IN, STANDING = "going out {amount}", "coming in {amount}", "standing"
LIVE = {
    "reading": READING,
    "out": OUT,
    "in": IN,
    "standing": STANDING,
    "minutes": "in {count} min",
    "hours": "in {count} h",
    "days": "in {count} days",
    "now": "now",
    "over": "over",
    "age": "This forecast is {count} day old.",
    "ages": "This forecast is {count} days old.",
}


def reading(when: str, level: str, amount: str, move: int, points: int) -> str:
    """What a chart says of one step: which way the water moves by the sign, how fast by the amount."""
    flow = STANDING if not move else (OUT if move > 0 else IN).format(amount=amount)
    return READING.format(when=when, level=level, flow=flow, points=points)
