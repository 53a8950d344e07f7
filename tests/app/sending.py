"""Files of readings sent to the pages of a made shore, as a person sends them."""

import re

AT = "/at/made.toml"
RECORD, READINGS = f"{AT}/files/record/0", f"{AT}/files/readings/0"
PAST, WEATHER = f"{AT}/files/past-weather/0", f"{AT}/files/weather"
GAUGE = {"zone": "UTC", "units": "metres"}
CSV = b"time_utc,level_m\n2026-08-10T08:00,2.4\n2026-08-10T09:00,2.4\n"


def contents(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def taken(site, page, fields, name, data):
    """A file sent that is taken, and the page that it leads to."""
    answer = site.send(page, fields, name, data)
    assert answer.status == 303, answer.words
    return site.get(answer.headers["location"])


def undone(site, page) -> None:
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    assert "Undone." in site.posted("/undo", {"ticket": ticket}).words


def beside(answer, key: str) -> str:
    """What stands as wrong beside a field."""
    return answer.text.partition(f'id="p-{key}"')[2].partition("</div>")[0]
