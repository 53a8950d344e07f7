"""Long runs of the local pages: kills while saving, slow connections, and what pages cost beside forecasts.

python -m tests.app.long_run kills --times 1000
python -m tests.app.long_run silent --times 10000
python -m tests.app.long_run costs
"""

import os
import re
import resource
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

import click

from tests.app.asking import AT, Site

REPOSITORY = Path(__file__).parents[2]
NAME = "pellaway_sound.toml"


def begun(folder: Path) -> tuple[subprocess.Popen, Site]:
    """The command on the folder's file."""
    environment = {**os.environ, "XDG_DATA_HOME": str(folder / "data")}
    command = [sys.executable, "-m", "windows.cli", "serve", str(folder / NAME)]
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=environment
    )
    return process, Site(int(re.search(r":([0-9]+)/", process.stdout.readline())[1]))


class Saver:
    """A server that is killed while it saves; begun anew each time."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / NAME
        self.process, self.site = begun(folder)

    def killed(self, number: int, delay: float) -> str:
        """Send a change and kill the server so many seconds later: what the file then is."""
        page = f"{AT}/shore/spots/0"
        before = self.path.read_bytes()
        revision, token = self.site.hidden(page, "revision"), self.site.hidden(page, "token")
        fields = {"token": token, "revision": revision, "deed": "save", "slack_lag": str(number % 300)}
        body = urlencode(fields).encode()
        head = (
            f"POST {page} HTTP/1.1\r\nHost: 127.0.0.1:{self.site.port}\r\nContent-Length: {len(body)}\r\n"
            "Content-Type: application/x-www-form-urlencoded\r\n\r\n"
        )
        with socket.create_connection(("127.0.0.1", self.site.port), timeout=20) as connection:
            connection.sendall(head.encode() + body)
            time.sleep(delay)
            self.process.kill()
            self.process.communicate()
        after = self.path.read_bytes()
        new = re.sub(rb"slack_lag = [0-9]+", f"slack_lag = {number % 300}".encode(), before, count=1)
        self.process, self.site = begun(self.folder)
        return "old" if after == before else "new" if after == new else "torn"

    def end(self) -> None:
        self.process.kill()
        self.process.communicate()


def killed_while_saving(coast: Path, delay: float) -> str:
    """One kill on the folder's file."""
    saver = Saver(coast)
    try:
        return saver.killed(int(delay * 1000) + 100, delay)
    finally:
        saver.end()


def kills(times: int) -> bool:
    """The kills, spread over the time that a change takes; whether no file was torn."""
    with tempfile.TemporaryDirectory() as passing:
        folder = Path(passing) / "coast"
        shutil.copytree(REPOSITORY / "demo_stations", folder)
        saver = Saver(folder)
        found: Counter[str] = Counter()
        for number in range(times):
            found[saver.killed(number, 0.2 * (number % 60) / 60)] += 1
        saver.end()
        left = sum(path.suffix == ".part" for path in folder.iterdir())
    counted = f"{found['old']} old, {found['new']} new, {found['torn']} torn"
    click.echo(f"{times} kills: {counted}; {left} hidden files of theirs left")
    return not found["torn"]


def silent(times: int) -> bool:
    """Connections that say nothing, while pages are asked for; whether each of these came in time."""
    _, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (min(hard, times + 500), hard))
    with tempfile.TemporaryDirectory() as passing:
        folder = Path(passing) / "coast"
        shutil.copytree(REPOSITORY / "demo_stations", folder)
        process, site = begun(folder)
        held: list[socket.socket] = []
        ended = threading.Event()

        def flood() -> None:
            for _ in range(times):
                with suppress(OSError):
                    held.append(socket.create_connection(("127.0.0.1", site.port), timeout=20))
            ended.set()

        thread = threading.Thread(target=flood)
        begin = time.monotonic()
        thread.start()
        slowest, asked = 0.0, 0
        while not ended.is_set() or asked < 5:
            start = time.monotonic()
            assert site.get("/guide").status == 200
            slowest, asked = max(slowest, time.monotonic() - start), asked + 1
        memory, files = memory_of(process.pid), len(os.listdir(f"/proc/{process.pid}/fd"))
        took = time.monotonic() - begin
        for item in held:
            item.close()
        process.kill()
        process.communicate()
    click.echo(
        f"{len(held)} silent connections in {took:.1f} s, {files} files open at the end, {memory:.0f} MiB; "
        f"{asked} pages meanwhile, the slowest after {slowest:.2f} s"
    )
    return slowest < 5.0 and files < 900


def memory_of(pid: int) -> float:
    """Most that a process held, MiB."""
    text = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(re.search(r"VmHWM:\s+([0-9]+) kB", text)[1]) / 1024


def costs() -> bool:
    """A page beside the forecast it shows, a hundred requests at once, and the memory of it all."""
    from windows.conditions.outlook import Outlook
    from windows.forecast.making import make_forecast
    from windows.shoreline.shore import read_shore

    shore = read_shore(REPOSITORY / "demo_stations" / NAME)
    with tempfile.TemporaryDirectory() as passing:
        folder = Path(passing) / "coast"
        shutil.copytree(REPOSITORY / "demo_stations", folder)
        process, site = begun(folder)
        site.get(f"{AT}/compare?start=2026-07-01")
        make_forecast(shore, shore.spots, date(2026, 7, 1), 7, Outlook(0.0))
        pages, forecasts = [], []
        for day in range(1, 25):
            start = time.perf_counter()
            assert site.get(f"{AT}/compare?start=2026-08-{day:02}").status == 200
            pages.append(time.perf_counter() - start)
            start = time.perf_counter()
            make_forecast(shore, shore.spots, date(2026, 8, day), 7, Outlook(0.0))
            forecasts.append(time.perf_counter() - start)
        asked = [f"{AT}/week?start=2026-09-{1 + n % 30:02}&days={1 + n // 30}" for n in range(100)]
        start = time.perf_counter()
        with ThreadPoolExecutor(100) as pool:
            statuses = Counter(
                answer.status for answer in pool.map(lambda path: site.ask("GET", path), asked)
            )
        took, memory = time.perf_counter() - start, memory_of(process.pid)
        process.kill()
        process.communicate()
    page, forecast = sorted(pages)[12], sorted(forecasts)[12]
    beside = f"page {page * 1e3:.0f} ms, its forecast {forecast * 1e3:.0f} ms, x{page / forecast:.2f}"
    click.echo(f"a week at four spots: {beside}")
    click.echo(
        f"100 pages asked for at once: {took:.1f} s, answers {dict(statuses)}, {memory:.0f} MiB at most"
    )
    return page < 1.5 * forecast and memory < 300 and set(statuses) <= {200, 202}


RUNS = {"kills": kills, "silent": silent, "costs": lambda times: costs()}


@click.command(help=__doc__)
@click.argument("what", type=click.Choice(list(RUNS)))
@click.option("--times", default=100, show_default=True)
def main(what: str, times: int) -> None:
    raise SystemExit(0 if RUNS[what](times) else 1)


if __name__ == "__main__":
    main()
