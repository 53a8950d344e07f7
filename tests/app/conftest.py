"""The local pages running: in a thread of the tests with a clock that stands, or as the real command."""

import shutil
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import uvicorn

from tests.app.asking import Site
from tests.cli.records import coast as made
from windows.app import work
from windows.app.connections import BoundedProtocol
from windows.app.serving import listening
from windows.app.site import folder_of, site_of

REPOSITORY = Path(__file__).parents[2]
NOW = datetime(2026, 8, 10, 9, 30, tzinfo=UTC).timestamp()


class Running:
    """A server in a thread."""

    def __init__(self, path: Path, port_of: int | None = None) -> None:
        self.socket = listening(port_of)
        self.port = self.socket.getsockname()[1]
        self.app = site_of(folder_of(path), lambda: NOW, self.port)
        config = uvicorn.Config(
            self.app, http=BoundedProtocol, ws="none", lifespan="off", log_level="critical", access_log=False
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.socket]}, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)

    def end(self) -> None:
        self.server.should_exit = True
        self.thread.join(20)
        self.app.state.pages.work.close()
        self.socket.close()


@pytest.fixture
def data_home(tmp_path, monkeypatch) -> Path:
    """The person's folder for data, which the log is kept in."""
    home = tmp_path / "data"
    monkeypatch.setenv("XDG_DATA_HOME", str(home))
    return home


@pytest.fixture
def coast(tmp_path) -> Path:
    """A folder with the demo coasts."""
    folder = tmp_path / "coast"
    shutil.copytree(REPOSITORY / "demo_stations", folder)
    return folder


@pytest.fixture(scope="session")
def sources(tmp_path_factory) -> dict[str, bytes]:
    """What a person has downloaded: a gauge's record, a later and shorter one, and weather."""
    folder = tmp_path_factory.mktemp("downloads")
    made.gauge(folder)
    made.gauge(folder, days=90, name="later.csv")
    made.forecast_weather(folder)
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """A folder with a made shore alone, in a file with the line ends of another system."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    found = tmp_path / "made"
    found.mkdir()
    text = made.HEAD + made.STATION + made.SPOT
    (found / "made.toml").write_bytes(text.replace("\n", "\r\n").encode())
    return found


@pytest.fixture
def serving(data_home, monkeypatch) -> Iterator[object]:
    """Begins to serve a path; a `Site` to ask, which waits for a page however busy the machine is."""
    monkeypatch.setattr(work, "PATIENCE", 60.0)
    monkeypatch.setattr(work, "LONGEST_WAIT", 60.0)
    made: list[Running] = []

    def begin(path: Path) -> Site:
        made.append(Running(path))
        return Site(made[-1].port)

    yield begin
    for item in made:
        item.end()


@pytest.fixture(scope="module")
def standing(tmp_path_factory) -> Iterator[Site]:
    """The demo coasts for tests that only read, with a log that is empty."""
    folder = tmp_path_factory.mktemp("standing")
    shutil.copytree(REPOSITORY / "demo_stations", folder / "coast")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder / "data"))
        running = Running(folder / "coast" / "pellaway_sound.toml")
        yield Site(running.port)
        running.end()


@pytest.fixture
def site(serving, coast) -> Site:
    """The demo coasts, opened with one of them."""
    return serving(coast / "pellaway_sound.toml")
