"""Hostile fields, and forms around them as bytes: as a browser sends them, and as none does."""

import re
from collections.abc import Sequence
from random import Random
from urllib.parse import quote_from_bytes

from tests.hostile.mutations import BYTES, NUMBERS, TIMES, VALUES, mutated
from tests.hostile.seeds import VALUES as WRITTEN

SIGN = "hostile7"
"""In the name of every tag and attribute that is sent: none of that name may ever come back."""
MARKUP = (
    f"<{SIGN}>",
    f"</title><{SIGN} x=1>",
    f'"><{SIGN}>',
    f"'><{SIGN}>",
    f'" {SIGN}="1',
    f"' {SIGN}='1",
    f"x {SIGN}=1 ",
    f"</textarea><{SIGN}>",
    f"</option></select><{SIGN}>",
    f"</script></style><{SIGN}>",
    f"--><{SIGN}/>",
    f"]]><{SIGN}>",
    f"<svg><{SIGN} onload=x>",
    "{{ 7 * 7 }}{% raw %}",
    f"&lt;{SIGN}&gt;&amp;&#0;&quot",
    f"\uff1c{SIGN}\uff1e",
    f"javascript:{SIGN}",
)
STEERING = ("\u202eevil\u202c", "\u2066x", "x\u2069\u2069", "\u200f", "a\u2028b", "شاطئ", "\u05d0 1")
UNSEEN = ("a\u200bb", "\ufeffa", "\u115f", "\U000e0041\U000e007f", "a\0b", "\x1b[31m", "\x7f", "\x85")
BROKEN = ("e" + "\u0301" * 50, "\U0001f3f4\u200d\u2620", "\ud800", "\udfff\ud83d", "\ufffe", "\u0661")
BLANK = ("\r\n", "\n\n\n", "\t", " ", "\u00a0", "\u2800", "a\u2029b")
TOML = ('"\n[[spots]]\nid = "x', "'''", '"""', "\\", "a = 1", "# x", "[[", "x]\ny = [", "{ a = 1 }", "1 # x")
WORDS = (
    "[{from=1}] ['a',\"b\"] [1,2] \\u0000 a.b ../x ../../../x.toml /tmp/x C:\\x x/y.csv table.csv trips.db "
    "shore.toml . .. con %2e%2e%2f - -- =cmd() @x true false yes any night feet metres none Greenwich local "
    "Europe/London 0 -1 1 12 90 180.1 -0.0 1e3 359.999999999999 999999999999999.9 1/2"
).split()
ODD = (*STEERING, *UNSEEN, *BROKEN, *BLANK, *TOML, *WORDS)
NAMES = (
    *"id path constituents log log.path file table token revision seen deed __class__ flow flow.".split(),
    *".flow flow.x.y points.flow a.b.c.d name spots 0 ticket cleared nothing measured later latitude".split(),
    *("", "x" * 5000, f"<{SIGN}>", "\u202e", "\0"),
)
CHARSETS = (
    *"utf-8 utf-8 latin-1 utf-16 utf-7 utf-32 cp037 idna punycode undefined hex unicode_escape".split(),
    *"raw_unicode_escape rot13 base64 mbcs utf-8-sig shift_jis".split(),
    *("x" * 300, ""),
)
KINDS = (
    *("", "text/plain", "application/json", "multipart/form-data; boundary=", "x", "multipart/form-data"),
    *("multipart/form-data; boundary=" + "x" * 300, "application/x-www-form-urlencoded; charset=utf-16"),
    *("multipart/mixed; boundary=x", "APPLICATION/X-WWW-FORM-URLENCODED", 'multipart/form-data; boundary="x'),
    *("multipart/form-data; boundary=\xe9", "multipart/form-data, application/x-www-form-urlencoded", ";;=;"),
)
FILE_NAMES = (
    *("table.txt", "trips.csv", "../../x.csv", "/etc/passwd", "con.csv", "é.csv", "# x", "x, from y", ""),
    *(f"<{SIGN}>.csv", f'a" {SIGN}="', "\u202egnp.csv", "x" * 3000, "a\0b", "a\nb", "\ud800", "a\x1b[31m"),
)
Fields = list[tuple[str, str]]


def text(random: Random) -> str:
    """A value that no field expects."""
    chosen = random.random()
    if chosen < 0.25:
        return random.choice(MARKUP)
    if chosen < 0.55:
        return random.choice(ODD)
    if chosen < 0.75:
        found = random.choice((*NUMBERS, *VALUES, *TIMES))
        return found.decode("utf-8", "replace")
    if chosen < 0.9:
        return mutated(WRITTEN, random)[:3000].decode("utf-8", "replace")
    if chosen < 0.95:
        return random.choice(("x", "9", "[", "\u202e", "é\u0301", "<", " ")) * random.choice((50, 300, 5000))
    return random.choice(MARKUP) + random.choice(ODD) + random.choice(MARKUP)


def changed(fields: Fields, random: Random) -> Fields:
    """The fields with some of them hostile, gone, doubled, or of another name."""
    found = list(fields)
    for _ in range(random.choice((0, 1, 1, 1, 2, 2, 3, 6, 20))):
        place = random.randrange(len(found) + 1)
        key, value = found[place] if place < len(found) else (random.choice(NAMES), "")
        if key in {"token", "revision", "seen"} and random.random() < 0.8:
            continue
        chosen = random.random()
        if chosen < 0.6:
            new = [(key, text(random))]
        elif chosen < 0.7:
            new = [(key, near(value, random))]
        elif chosen < 0.78:
            new = [(key, random.choice(found)[1] if found else "")]
        elif chosen < 0.86:
            new = []
        elif chosen < 0.94:
            new = [(key, value), (key, text(random))][:: random.choice((1, -1))]
        else:
            new = [(key, value), (random.choice(NAMES), text(random))]
        found[place : place + 1] = new
    if random.random() < 0.01:
        found += [(random.choice(NAMES), "x")] * 500
    if random.random() < 0.05:
        random.shuffle(found)
    return found


def near(value: str, random: Random) -> str:
    """A value a little other than it was."""
    return mutated((value.encode("utf-8", "surrogatepass") or b"1",), random)[:5000].decode(
        "utf-8", "replace"
    )


def as_bytes(value: str, random: Random) -> bytes:
    """A text in UTF-8, or in what is none."""
    if random.random() < 0.97:
        return value.encode("utf-8", "surrogatepass")
    return value.encode(random.choice(("utf-16", "cp1252", "cp037", "utf-7")), "replace") + random.choice(
        BYTES
    )


def encoded(fields: Fields, random: Random) -> tuple[str, bytes]:
    """A form in one line: its type and its bytes."""
    kind = "application/x-www-form-urlencoded"
    made = []
    for pair in fields:
        key, value = (as_bytes(item, random) for item in pair)
        made.append(b"=".join(quote_from_bytes(item, safe="").encode() for item in (key, value)))
    return kind, b"&".join(made)


def in_parts(
    fields: Fields, random: Random, files: Sequence[tuple[str, str, bytes]] = ()
) -> tuple[str, bytes]:
    """A form in parts: its type and its bytes.

    Args:
        fields: of text.
        random: what is drawn from.
        files: name of the field, of the file, and what it holds.
    """
    charset = random.choice(CHARSETS) if random.random() < 0.15 else ""
    mark = random.choice(("x", "----WebKitFormBoundary7MA4YWxkTrZu0gW", "-", "a b", "'")).encode()
    made = []
    for pair in fields:
        key, value = (_in_charset(item, charset, random) for item in pair)
        made.append(_part(mark, key, None, value, random))
    for key, name, data in files:
        inner = _in_charset(key, charset, random)
        made.insert(random.randrange(len(made) + 1), _part(mark, inner, as_bytes(name, random), data, random))
    end = (
        b"--"
        + mark
        + random.choice((b"--\r\n", b"--\r\n", b"--\r\n", b"--", b"", b"\r\n", b"--\r\nepilogue"))
    )
    quoted = mark.decode() if re.fullmatch(rb"[\w-]+", mark) else f'"{mark.decode()}"'
    kind = f"multipart/form-data; boundary={quoted}" + (f"; charset={charset}" if charset else "")
    return kind, b"".join(made) + end


def _in_charset(value: str, charset: str, random: Random) -> bytes:
    if charset and random.random() < 0.5:
        try:
            return value.encode(charset, "surrogatepass" if charset.startswith("utf") else "replace")
        except (LookupError, UnicodeError, ValueError):
            return b"+2AA-\\ud800xn--" + value.encode("utf-8", "surrogatepass")
    return as_bytes(value, random)


def _part(mark: bytes, key: bytes, name: bytes | None, value: bytes, random: Random) -> bytes:
    def quoted(item: bytes) -> bytes:
        return item if random.random() < 0.02 else re.sub(rb'["\r\n]', lambda m: b"%%%02X" % m[0][0], item)

    lines = [b'Content-Disposition: form-data; name="' + quoted(key) + b'"']
    if name is not None:
        lines[0] += b'; filename="' + quoted(name) + b'"'
        lines.append(b"Content-Type: " + random.choice((b"text/csv", b"application/octet-stream", b"x")))
    if random.random() < 0.01:
        lines.append(
            random.choice((b"Content-Transfer-Encoding: base64", b"X", b"X: " + b"y" * 9000, b"\0: x"))
        )
    if random.random() < 0.01:
        lines[0] = random.choice(
            (b"Content-Disposition: form-data", b"X: y", b"Content-Disposition:", lines[0] * 2)
        )
    end = b"\n" if random.random() < 0.005 else b"\r\n"
    return b"--" + mark + end + end.join(lines) + end + end + value + end


def body(fields: Fields, random: Random, files: Sequence[tuple[str, str, bytes]] = ()) -> tuple[str, bytes]:
    """A form as it is sent: its type and its bytes, now and then broken."""
    if files or random.random() < 0.4:
        kind, data = in_parts(fields, random, files)
    else:
        kind, data = encoded(fields, random)
    chosen = random.random()
    if chosen < 0.04:
        data = mutated((data or b"x",), random)
    elif chosen < 0.06:
        kind = random.choice(KINDS)
    elif chosen < 0.062:
        data += b"x" * (6 * 2**20)
    return kind, data
