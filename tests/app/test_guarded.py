"""What the pages refuse: other hosts and sites, forms that are not theirs, paths, and too much."""

import http.client
import socket
import time
from contextlib import suppress

import pytest

from tests.app.asking import AT
from windows.app import connections, guard
from windows.app.refusals import Refusal

WEEK = f"{AT}/week?start=2026-08-10&days=1"
CARRIED = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""Fetch and HTML of the WHATWG, RFC 7034, RFC 9111, Referrer Policy of the W3C."""
TRIP = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"}


def test_this_machine_by_either_name_is_answered(site):
    for host in (f"127.0.0.1:{site.port}", f"localhost:{site.port}"):
        assert site.get(WEEK, Host=host, Origin=f"http://{host}").status == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", "127.0.0.1:{port}.x", ""],
)
def test_another_host_is_refused(site, host):
    answer = site.get(WEEK, Host=host.format(port=site.port))
    assert answer.status == 421
    assert answer.text == f"{Refusal.HOST.sentence}\n"


def test_two_hosts_are_none(site):
    connection = http.client.HTTPConnection("127.0.0.1", site.port, timeout=20)
    connection.putrequest("GET", WEEK, skip_host=True)
    for host in (f"127.0.0.1:{site.port}", "evil.example"):
        connection.putheader("Host", host)
    connection.endheaders()
    assert connection.getresponse().status in {400, 421}
    connection.close()


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1:{port}"},
        {"Origin": "http://127.0.0.1:1"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
)
def test_another_site_is_refused(site, data_home, headers):
    sent = {key: value.format(port=site.port) for key, value in headers.items()}
    assert site.get(WEEK, **sent).status == 403
    assert site.post(f"{AT}/log/new", TRIP, **sent).status == 403
    assert not data_home.exists()


@pytest.mark.parametrize("token", ["", "x" * 43, "é"])
def test_a_form_without_the_token_writes_nothing(site, data_home, token):
    answer = site.post(f"{AT}/log/new", TRIP, token=token)
    assert answer.status == 403
    assert Refusal.TOKEN.sentence in answer.words
    assert not data_home.exists()


def test_every_form_that_writes_has_the_token(site):
    for path in (f"{AT}/log", f"{AT}/log/new"):
        text = site.get(path).text
        assert text.count('method="post"') == text.count('name="token"') > 0, path


@pytest.mark.parametrize(
    "path",
    [
        "/at/..%2Fpellaway_sound.toml/week",
        "/at/../coast/pellaway_sound.toml/week",
        "/at/%2e%2e/week",
        "/at/gannet_bar.csv/week",
        "/at/.hidden.toml/week",
        "/at/linked.toml/week",
        "/at/pellaway_sound.toml%00/week",
        "/at/PELLAWAY_SOUND.TOML/week",
        "//etc/passwd",
        "/guide/..%2Fstart",
        "/guide/__init__",
        "/guide/pictures/..%2F__init__.py",
        "/guide/pictures/none.svg",
        f"{AT}/week?keep=../x",
        f"{AT}/nothing",
        f"{AT}/log/99999999999999999999",
    ],
)
def test_no_path_leads_out_of_the_folder(site, coast, tmp_path, path):
    outside = tmp_path / "outside.toml"
    outside.write_text((coast / "pellaway_sound.toml").read_text(encoding="utf-8"), encoding="utf-8")
    (coast / "linked.toml").symlink_to(outside)
    (coast / ".hidden.toml").write_text(outside.read_text(encoding="utf-8"), encoding="utf-8")
    answer = site.get(path)
    assert answer.status == 404, answer.words
    assert "Traceback" not in answer.text


def test_a_link_within_the_folder_is_a_file_of_it(site, coast):
    (coast / "linked.toml").symlink_to(coast / "pellaway_sound.toml")
    assert site.get("/at/linked.toml/week?days=1&start=2026-08-10").status == 200


def test_an_upload_that_is_too_large_is_refused_unread(site, data_home):
    connection = http.client.HTTPConnection("127.0.0.1", site.port, timeout=20)
    connection.putrequest("POST", f"{AT}/log/import")
    connection.putheader("Content-Length", str(100 * 2**20))
    connection.putheader("Content-Type", "multipart/form-data; boundary=x")
    connection.endheaders()
    answer = connection.getresponse()
    assert answer.status == 413
    assert b"4 MiB" in answer.read()
    connection.close()
    assert not data_home.exists()


def test_an_upload_without_an_end_is_cut_off(site, monkeypatch, data_home):
    monkeypatch.setattr(connections, "REQUEST_SECONDS", 0.7)
    begun = time.monotonic()
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(
            f"POST {AT}/log/import HTTP/1.1\r\nHost: 127.0.0.1:{site.port}\r\n"
            "Transfer-Encoding: chunked\r\nContent-Type: multipart/form-data; boundary=x\r\n\r\n".encode()
        )
        chunk = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
        with suppress(BrokenPipeError, ConnectionResetError):
            while time.monotonic() - begun < 15:
                connection.sendall(chunk)
    assert time.monotonic() - begun < 6
    assert site.get(WEEK).status == 200
    assert not data_home.exists()


def test_a_file_that_tells_no_length_is_bounded(site):
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(
            f"POST {AT}/log/import HTTP/1.1\r\nHost: 127.0.0.1:{site.port}\r\nTransfer-Encoding: chunked\r\n"
            "Content-Type: multipart/form-data; boundary=x\r\n\r\n".encode()
        )
        part = b'--x\r\nContent-Disposition: form-data; name="table"; filename="t"\r\n\r\n'
        connection.sendall(b"%x\r\n%s\r\n" % (len(part), part))
        for _ in range(guard.MOST_BYTES // 0x10000 + 2):
            connection.sendall(b"10000\r\n" + b"x" * 0x10000 + b"\r\n")
        assert connection.recv(100).startswith(b"HTTP/1.1 413")


@pytest.mark.parametrize(("length", "status"), [(4096, 404), (4097, 414)])
def test_path_and_query_have_so_many_bytes_at_most(site, length, status):
    path, query = "/nowhere", "q="
    assert site.get(f"{path}?{query}{'x' * (length - len(path) - len(query))}").status == status


@pytest.mark.parametrize(
    ("path", "kind", "most"),
    [
        (f"{AT}/log/new", "application/x-www-form-urlencoded", 5 * 2**20),
        (f"{AT}/log/import", "multipart/form-data; boundary=x", 5 * 2**20),
        (f"{AT}/files/record/0", "application/x-www-form-urlencoded", 5 * 2**20),
        (f"{AT}/files/record/0", "multipart/form-data; boundary=x", 65 * 2**20),
        (f"{AT}/files/", "multipart/form-data; boundary=x", 5 * 2**20),
    ],
)
def test_a_body_may_be_so_long_and_no_longer(site, path, kind, most):
    """4 MiB of a table, 64 MiB of readings, and a form around them; told before it is sent."""
    for length, refused in ((most, False), (most + 1, True)):
        with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
            connection.sendall(
                f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{site.port}\r\nContent-Type: {kind}\r\n"
                f"Content-Length: {length}\r\nExpect: 100-continue\r\nConnection: close\r\n\r\n".encode()
            )
            assert (b" 413 " in connection.recv(100).splitlines()[0]) == refused, length


@pytest.mark.parametrize(
    ("method", "path"), [("PUT", WEEK), ("DELETE", WEEK), ("GET", "/undo"), ("POST", WEEK)]
)
def test_other_methods(site, method, path):
    assert site.ask(method, path).status == 405


def test_what_every_answer_carries(site):
    for path, status in ((WEEK, 200), ("/nothing", 404), (f"{AT}/week?keep=csv", 200), ("/", 303)):
        answer = site.get(path)
        assert answer.status == status, path
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "*" not in policy
        assert {name: answer.headers.get(name) for name in CARRIED} == CARRIED, path


def closed(connection: socket.socket, seconds: float) -> bool:
    """Whether the other side ends the connection within so many seconds."""
    connection.settimeout(seconds)
    try:
        while connection.recv(65536):
            pass
    except TimeoutError:
        return False
    except ConnectionResetError:
        return True
    return True


@pytest.mark.parametrize(
    "begun",
    [
        b"",
        b"GET / HT",
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nX-Slow: 1\r\n",
        b"POST /undo HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 1000\r\n\r\ntoken=",
    ],
)
def test_a_client_that_sends_no_whole_request_is_closed(site, monkeypatch, begun):
    monkeypatch.setattr(connections, "REQUEST_SECONDS", 0.4)
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(begun.replace(b"{port}", str(site.port).encode()))
        assert closed(connection, 5)


def test_dribbling_wins_no_time(site, monkeypatch):
    monkeypatch.setattr(connections, "REQUEST_SECONDS", 0.6)
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(b"GET / HTTP/1.1\r\n")
        begun = time.monotonic()
        with suppress(BrokenPipeError, ConnectionResetError):
            while time.monotonic() - begun < 10:
                connection.sendall(b"X: y\r\n")
                time.sleep(0.05)
    assert time.monotonic() - begun < 5


def test_a_client_that_takes_no_answer_is_closed(site, monkeypatch):
    """More pages are asked for at once than the buffers between hold, and none is read for a while."""
    asked = 60
    head = f"GET {AT}/best?start=2026-08-10 HTTP/1.1\r\nHost: 127.0.0.1:{site.port}\r\n\r\n"
    assert site.get(f"{AT}/best?start=2026-08-10").status == 200
    monkeypatch.setattr(connections, "ANSWER_SECONDS", 0.5)
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(head.encode() * asked)
        time.sleep(2.0)
        taken = b""
        connection.settimeout(5)
        with suppress(ConnectionResetError):
            while part := connection.recv(1 << 20):
                taken += part
    assert 0 < taken.count(b"</html>") < asked


def test_silent_connections_keep_nobody_out(site, monkeypatch):
    """With more of them than are held, the oldest make room, and a page comes at once."""
    monkeypatch.setattr(connections, "MOST_CONNECTIONS", 200)
    held = [
        socket.create_connection(("127.0.0.1", site.port), timeout=20)
        for _ in range(connections.MOST_CONNECTIONS + 60)
    ]
    try:
        begun = time.monotonic()
        assert site.get("/guide").status == 200
        assert time.monotonic() - begun < connections.REQUEST_SECONDS / 2
        assert closed(held[0], 2)
    finally:
        for item in held:
            item.close()
