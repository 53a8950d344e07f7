"""`ebblight serve`: one line, this machine alone, an end, and what it says where it can't begin."""

import os
import re
import signal
import socket
import subprocess
import sys
import webbrowser
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.app.asking import AT, Site
from tests.cli.runs import run

SERVE = (sys.executable, "-m", "windows.cli", "serve")


@pytest.fixture
def begun(coast, tmp_path):
    """The command in a process of its own, and the line it printed."""
    made: list[subprocess.Popen] = []

    def begin(*options: str) -> tuple[subprocess.Popen, str]:
        environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path / "data")}
        # A shell that is told to go on without its terminal hands on that this signal is ignored.
        before = signal.signal(signal.SIGHUP, signal.SIG_DFL)
        process = subprocess.Popen(
            [*SERVE, str(coast / "pellaway_sound.toml"), *options],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment,
        )  # fmt: skip
        signal.signal(signal.SIGHUP, before)
        made.append(process)
        return process, process.stdout.readline()

    yield begin
    for process in made:
        process.kill()
        process.communicate()


def port_of(line: str) -> int:
    return int(re.search(r"http://127\.0\.0\.1:([0-9]+)/", line)[1])


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_one_line_with_the_address_then_pages_then_an_end(begun, ending):
    with socket.create_server(("127.0.0.1", 0)) as place:
        port = place.getsockname()[1]  # one that no other server here takes once it is free again
    process, line = begun("--port", str(port))
    assert port_of(line) == port
    assert re.fullmatch(
        r"Ebblight's pages for .*pellaway_sound\.toml: http://127\.0\.0\.1:[0-9]+/ \(.*\)\n", line
    )
    assert Site(port_of(line)).get(f"{AT}/week").status == 200
    process.send_signal(ending)
    out, err = process.communicate(timeout=20)
    assert out == ""
    assert "Traceback" not in err
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", port_of(line)), timeout=5)


@pytest.mark.parametrize(
    ("terminal", "options", "opened"),
    [(True, [], True), (True, ["--no-browser"], False), (False, ["--browser"], False), (False, [], False)],
)
def test_it_opens_a_browser_at_a_terminal_alone(coast, monkeypatch, terminal, options, opened):
    """A desktop's browser; the pages are not begun here."""
    addresses: list[str] = []
    desktop = SimpleNamespace(open=addresses.append)
    monkeypatch.setattr(webbrowser, "get", lambda: desktop)
    monkeypatch.setattr("windows.app.serving.serve", lambda _folder, _clock, place: place.close())
    screen = SimpleNamespace(isatty=lambda: terminal, flush=lambda: None)
    monkeypatch.setattr("windows.cli.serve.sys", SimpleNamespace(stdout=screen))
    found = run("serve", coast / "pellaway_sound.toml", *options)
    assert (found.code, found.err) == (0, "")
    assert addresses == [f"http://127.0.0.1:{port_of(found.out)}/"] * opened


def test_a_form_broken_off_leaves_no_word_on_the_terminal(begun):
    process, line = begun()
    site = Site(port_of(line))
    body = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\nB\0d: 1\r\n\r\n'
    sent = site.ask("POST", f"{AT}/files/weather", body, content_type="multipart/form-data; boundary=x")
    assert 400 <= sent.status < 500
    process.send_signal(signal.SIGTERM)
    assert process.communicate(timeout=20) == ("", "")


def test_it_answers_on_the_machine_s_own_address_alone(begun):
    _, line = begun()
    listening = [row.split() for row in Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()][1:]
    mine = [
        row[1] for row in listening if row[3] == "0A" and int(row[1].rpartition(":")[2], 16) == port_of(line)
    ]
    assert mine == [f"0100007F:{port_of(line):04X}"]


def test_a_second_one_takes_the_next_port_and_a_named_one_is_refused_if_taken(begun):
    _, first = begun()
    _, second = begun()
    assert port_of(first) != port_of(second)
    process, line = begun("--port", str(port_of(first)))
    assert line == ""
    assert process.wait(20) == 1
    assert "is taken by another program" in process.stderr.read()


def test_a_place_that_is_not_there(tmp_path):
    result = run("serve", tmp_path / "nowhere")
    assert result.code == 1
    assert "no such file or folder; expected a station file, or a folder" in result.err


@pytest.mark.parametrize("missing", ["starlette", "uvicorn", "markdown_it"])
def test_without_the_extra_it_says_what_to_install(coast, missing):
    code = (
        f"import sys; sys.modules[{missing!r}] = None\n"
        "from windows.cli import main\n"
        f"main(['serve', {str(coast)!r}])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 1
    assert "pip install 'ebblight[pages]'" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_kill_while_saving_leaves_the_old_file_or_the_new(begun, coast):
    """A few times here; `python -m tests.app.long_run kills` does it a thousand times."""
    from tests.app.long_run import killed_while_saving

    states = {killed_while_saving(coast, delay) for delay in (0.0, 0.05)}
    assert states <= {"old", "new"}
