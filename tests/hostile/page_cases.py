"""Cases of the local pages: forms, uploads, addresses."""

from pathlib import Path
from random import Random
from urllib.parse import quote

from tests.hostile.grounds import LISTS, READINGS, SINGLES, said
from tests.hostile.kept import Kept
from tests.hostile.mutations import mutated
from tests.hostile.pages import HOST, PORT, Answer, Site, served
from tests.hostile.seeds import CONSTITUENT_TABLES, IMPORTS, RECORDS, TRIPS, WEATHERS
from tests.hostile.sent_forms import FILE_NAMES, NAMES, Fields, body, changed, text

LONG_TABLES = IMPORTS[9:11]
"""Published tables of currents."""
MONTH = b"time_utc,level_m\n" + b"".join(
    b"2026-08-%02d %02d:00,%.2f\n" % (1 + hour // 24, hour % 24, hour % 12.42 / 6) for hour in range(225)
)
"""Readings up to shortly before the pages' clock."""
ROOMS = ("week", "best", "compare", "plan")


def form_case(random: Random, folder: Path) -> None:
    """A form filled in by somebody hostile, and what comes of it."""
    with served(random, folder) as site:
        target, kind = _form_of(site, random)
        page = site.get(target)
        if page.status != 200:
            return
        fields = _filled(page.fields(target), said(site.ground, kind, random), random)
        fields += [("deed", _deed(random, target))]
        if kind in {"new", "stations", "currents"} and target.endswith("new"):
            fields = [(key, value if key != "table" else _table(kind, random)) for key, value in fields]
        if not any(key == "token" for key, _ in fields):
            fields.append(("token", site.app.state.pages.token))
        send(site, target, changed(fields, random), random)


def _form_of(site: Site, random: Random) -> tuple[str, str]:
    """Address of a form, and what it is of."""
    chosen = random.random()
    if chosen < 0.25:
        number = random.choice(("new", "new", "new?planned=yes", "1", "2", "4"))
        return f"{site.at}/log/{number}", "trip" if "new" in number else ""
    if chosen < 0.35:
        return "/new", "new"
    if chosen < 0.5:
        return f"{site.at}/shore/{random.choice(SINGLES)}", ""
    kind = random.choice(LISTS)
    count = site.ground.counts.get(kind, 0)
    if count and random.random() < 0.55:
        return f"{site.at}/shore/{kind}/{random.randrange(count)}", ""
    return f"{site.at}/shore/{kind}/new", kind


def _filled(fields: Fields, known: dict[str, str], random: Random) -> Fields:
    """The fields of a form as it stands, with what is known for them."""
    names = {key for key, _ in fields}
    ticked = [(key, value) for key, value in known.items() if key not in names]
    return [(key, known.get(key) or value) for key, value in fields] + ticked


def _deed(random: Random, target: str) -> str:
    usual = (
        ("keep", "keep", "plan", "remove", "restore", "compute")
        if "/log/" in target
        else ("save",) * 5 + ("delete",)
    )
    return random.choice(usual) if random.random() < 0.95 else text(random)


def _table(kind: str, random: Random) -> str:
    seeds = LONG_TABLES if kind == "currents" else (*IMPORTS, *CONSTITUENT_TABLES[:3])
    data = random.choice(seeds) if random.random() < 0.6 else mutated(seeds, random)
    return data.decode("utf-8", "replace")


def send(
    site: Site, target: str, fields: Fields, random: Random, files: tuple[tuple[str, str, bytes], ...] = ()
) -> None:
    """A form sent, and everything that must hold then."""
    before = Kept(site.folder, site.ground.log)
    sent = body(fields, random, files)
    answer = site.post(target, sent, random)
    if answer.status != 303:
        before.same_after(f"an answer of {answer.status}")
        return
    after = before.sound_after()
    shown = site.get(answer.headers["location"])
    assert shown.status in {200, 422}, f"{answer.headers['location']} has status {shown.status}"
    look_around(site, target, random)
    chosen = random.random()
    if chosen < 0.1:
        again = site.post(target, sent, random)
        if again.status != 303:
            after.same_after("the same form again")
        else:
            after.sound_after()
    elif chosen < 0.5:
        undo(site, shown, before, after, random)


def look_around(site: Site, target: str, random: Random) -> None:
    """Pages that show what was written."""
    pages = [
        "/shore",
        "/log",
        "/log/new",
        "/log/report",
        "/log/learn",
        "/log.csv",
        "/shore/spots/new",
        "/shore/ways/new",
    ]
    if random.random() < 0.1:
        pages = [f"/{room}?days=1&start=2026-08-1{random.randrange(10)}" for room in ROOMS] + ["/now"]
    found = site.get(site.at + random.choice(pages))
    assert found.status in {200, 422}, f"status {found.status}"
    if target.startswith(site.at) and "new" not in target and random.random() < 0.3:
        site.get(target)


def undo(site: Site, shown: Answer, before: Kept, after: Kept, random: Random) -> None:
    """Take it back: station files and tables are then as they were."""
    ticket = shown.hidden("ticket")
    if not ticket:
        return
    token = site.app.state.pages.token
    answer = site.post("/undo", body([("token", token), ("ticket", ticket)], Random(1)), Random(1))
    assert answer.status in {303, 409}, f"undo has status {answer.status}"
    now = after.sound_after()
    if answer.status == 303:
        assert now.files == before.files, "undone, and files are not as they were"


def upload_case(random: Random, folder: Path) -> None:
    """A table or a log sent as a file."""
    with served(random, folder) as site:
        token = site.app.state.pages.token
        chosen = random.random()
        if chosen < 0.45:
            target, field, kind = f"{site.at}/log/import", "table", "log"
            data = random.choice(TRIPS) if random.random() < 0.2 else mutated(TRIPS, random)
            if site.ground.spot:
                data = data.replace(b"ledge", site.ground.spot.encode())
        elif chosen < 0.65:
            kind, field = random.choice(READINGS), "file"
            target = f"{site.at}/files/{kind}" + f"/{random.choice((0, 0, 0, 1, 7))}" * (kind != "weather")
            seeds = WEATHERS if "weather" in kind else (*RECORDS, MONTH)
            data = random.choice(seeds) if random.random() < 0.3 else mutated(seeds, random)
        else:
            kind = random.choice(("new", "stations", "stations", "currents"))
            target = "/new" if kind == "new" else f"{site.at}/shore/{kind}/new"
            field = "file"
            seeds = LONG_TABLES if kind == "currents" else IMPORTS
            data = random.choice(seeds) if random.random() < 0.3 else mutated(seeds, random)
        page = site.get(site.at + "/log" if kind == "log" else target)
        if page.status != 200:
            return
        known = [] if kind == "log" else _filled(page.fields(target), said(site.ground, kind, random), random)
        fields = [("token", token), *((key, value) for key, value in known if key != "token")]
        name = random.choice(FILE_NAMES) if random.random() < 0.6 else "table.txt"
        files = ((field if random.random() < 0.97 else random.choice(NAMES), name, data),)
        if random.random() < 0.03:
            files *= random.choice((2, 3))
        if random.random() < 0.5:
            fields = changed(fields, random)
        if kind in READINGS and random.random() < 0.2:
            fields.append(("deed", random.choice(("save", "stop"))))
        send(site, target, fields, random, files)


def address_case(random: Random, folder: Path) -> None:
    """Paths, queries and headers that no page of the site leads to."""
    with served(random, folder) as site:
        before = Kept(site.folder, site.ground.log)
        for _ in range(random.choice((1, 1, 2, 3))):
            target = _address(site, random)
            method = (
                "GET"
                if random.random() < 0.96
                else random.choice(("HEAD", "PUT", "OPTIONS", "get", "POST", "X"))
            )
            answer = site.ask(method, target, headers=_headers(random))
            if answer.status == 303:
                site.get(answer.headers["location"])
        before.same_after("asking")


def _address(site: Site, random: Random) -> str:
    parts = random.choice(
        (
            *(["at", site.ground.name, room] for room in ("now", "shore", "log", "log.csv", "week")),
            *(["at", site.ground.name, "shore", kind] for kind in (*LISTS, *SINGLES, "log", "weather")),
            *(
                ["at", site.ground.name, "shore", kind, number]
                for kind in LISTS
                for number in ("0", "new", "7")
            ),
            *(
                ["at", site.ground.name, "log", item]
                for item in ("new", "report", "learn", "import", "1", "9")
            ),
            *(["at", site.ground.name, room] for room in ROOMS),
            *(["at", site.ground.name, "files", kind, *place] for kind in READINGS for place in ([], ["0"])),
            *(
                [""],
                ["files"],
                ["new"],
                ["undo"],
                ["guide"],
                ["guide", "keys"],
                ["guide", "pictures", "x.svg"],
            ),
            *(["at", "linked.toml", "week"], ["at", "outside.toml", "week"], ["favicon.ico"]),
        )
    )
    parts = list(parts)
    if random.random() < 0.45:
        place = random.randrange(len(parts) + 1)
        parts[place : place + random.choice((0, 1))] = [text(random)]
    path = "/" + "/".join(_quoted(part, random) for part in parts)
    return path + (f"?{_query(site, random)}" if random.random() < 0.7 else "")


def _query(site: Site, random: Random) -> str:
    plain = {
        "days": "1", "start": "2026-08-10", "spot": site.ground.spot, "fish": site.ground.fish,
        "hours": "any", "keep": "csv", "reading": "1.9", "done": "x", "later": "yes", "planned": "yes",
        "name": "x", "end": "20:10", "landing": "ramp", "leave_after": "sunrise", "home_by": "02:00 next day",
        "longest": "5h", "margin": "20min",
    }  # fmt: skip
    keys = random.sample([*plain], random.randrange(1, 5))
    pairs = [("days", "1"), *((key, plain[key] if random.random() < 0.4 else text(random)) for key in keys)]
    if "keep" in keys:
        pairs.append(("keep", random.choice(("page", "ics", "png", "csv", "text"))))
    if random.random() < 0.2:
        pairs.append((random.choice(NAMES)[:300], text(random)))
    return "&".join(f"{_quoted(key, random)}={_quoted(value, random)}" for key, value in pairs)[:5000]


def _quoted(value: str, random: Random) -> str:
    data = value.encode("utf-8", "surrogatepass")[:4000]
    if random.random() < 0.05:
        data += random.choice((b"\xff", b"\0", b"\xed\xa0\x80", b"/", b"%", b";", b"&"))
    return quote(data, safe=random.choice(("", "", "/.;=+,~!$'()*:@")))


def _headers(random: Random) -> list[tuple[str, str]]:
    if random.random() < 0.9:
        return []
    return [
        random.choice(
            (
                (
                    "host",
                    random.choice((f"localhost:{PORT}", "evil.example", "", f"{HOST}.x", f"{HOST}\xe9")),
                ),
                ("origin", random.choice((f"http://{HOST}", "null", "http://evil.example", ""))),
                ("sec-fetch-site", random.choice(("same-origin", "none", "cross-site", "\xb2"))),
                ("content-length", random.choice(("0", "-1", "\xb2", "9" * 30, "9" * 5000, "x", "1e3"))),
                ("cookie", text(random).encode("ascii", "replace").decode().replace("\n", "")),
                ("range", "bytes=0-1,5-"),
                ("accept-encoding", "gzip"),
            )
        )
    ]
