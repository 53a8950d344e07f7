"""Hostile bytes made from valid ones: cut, spliced, misread, lengthened, deepened, given odd values.

Every case is a function of a seed alone, so that a fault can be tried again.
"""

import re
from collections.abc import Callable, Sequence
from random import Random

MOST_CHANGES = 4
LARGEST = 200_000
"""Bytes of one case: parsers must be tried on many cases; the largest inputs have tests of their own."""

NUMBERS = (
    *(b"nan", b"inf", b"-inf", b"+nan", b"1e400", b"-1e400", b"1e-400", b"-0.0", b"1_000", b"1__0", b"0x10"),
    *(b"0x" + b"f" * 4000, b"9" * 5000, b"9" * 400, b"-" + b"9" * 400, b"0o17", b"0b1", b"1.", b".5", b"1,5"),
    *("٣".encode(), "−1".encode(), "½".encode(), b"0" * 300 + b"1", b"99999999999999999999", b"1e5", b"--1"),
)
VALUES = (
    *(
        b"true",
        b"false",
        b"null",
        b"None",
        b'""',
        b"''",
        b"[]",
        b"{}",
        b"[[]]",
        b"[{}]",
        b'{"a": 1}',
        b"{a = 1}",
    ),
    *(
        b"2026-08-10",
        b"2026-08-10T01:02:03Z",
        b"2026-08-10 01:02:03.5",
        b"01:02:03",
        b"9999-12-31T23:59:59-14:00",
    ),
    *(
        b"'1.0'",
        b'"1.0"',
        b'"nan"',
        b"'M2'",
        b'"any"',
        b"[1, 'a', 2.0]",
        b"[nan]",
        b'"\\ud800"',
        b'"\\u0000"',
    ),
    *(b'"\\u202e\\u001b[31m"', b"{a.b.c.d.e = 1}", b'"""' + b"x" * 500 + b'"""', b'"' + b"y" * 70000 + b'"'),
)
BYTES = (
    *(
        b"\0",
        b"\xff",
        b"\xfe\xff",
        b"\xef\xbb\xbf",
        b"\x80",
        b"\xed\xa0\x80",
        b"\xf0\x9f\x90\x9f",
        b"\r",
        b"\n",
        b"\x0b",
    ),
    *(
        b"\x0c",
        b"\x1b[31m",
        b"\x7f",
        b"\xc2\x85",
        b"\xe2\x80\xa8",
        b"\xe2\x80\xae",
        b'"',
        b"'",
        b"#",
        b"=",
        b",",
        b"\t",
    ),
    *(
        b"[",
        b"]",
        b"{",
        b"}",
        b"\\",
        b'"""',
        b"'''",
        b";",
        b"[[",
        b"]]",
        b".",
        b"-",
        b"+",
        b"e",
        b"a.b.c.d.",
        b"\xcc\x81",
    ),
)
TIMES = (
    *(
        b"0000-00-00 00:00",
        b"0001-01-01 00:00",
        b"9999-12-31 23:59",
        b"2021-02-30 00:00",
        b"2021-01-01 24:00",
    ),
    *(
        b"2021-01-01T00:00+14:00",
        b"0001-01-01T00:00+14:00",
        b"9999-12-31T23:59-14:00",
        b"2021-01-01 00:00:60",
    ),
    *(
        b"2021-03-28 01:30",
        b"2021-10-31 01:30",
        b"1677-09-21 00:12",
        b"2262-04-12 00:00",
        b"2021-01-01T00:00Z",
    ),
    *(
        b"2021-01-01T00:00+99:99",
        b"01/02/2021 00:00",
        b"2021-1-1 0:00",
        b"1883-11-18 12:00",
        b"2021-01-01 00:00:00.1234567890123",
    ),
)
ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1", "cp1252", "utf-7", "cp037", "utf-8-sig")
LINE_ENDS = (b"\r\n", b"\r", b"\n\r", b"\x0b", b"\xc2\x85", b"\xe2\x80\xa8", b"\n\n\n", b" ")
TOKEN = re.compile(rb'"[^"\n]*"|\'[^\'\n]*\'|[-+]?\d[\w.:+-]*|\b(?:true|false)\b|[A-Za-z_]\w*')
NUMBER = re.compile(rb"[-+]?\d[\w.:+-]*")
STAMP = re.compile(rb"\d{4}-\d\d-\d\d[ T]\d\d:\d\d[^,;\t\n]*")

Change = Callable[[bytes, Random, Sequence[bytes]], bytes]


def _span(data: bytes, random: Random, longest: int = 400) -> tuple[int, int]:
    start = random.randrange(len(data) + 1)
    return start, min(len(data), start + random.randrange(longest))


def _cut(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    start, _end = _span(data, random)
    return random.choice((data[:start], data[start:]))


def _delete(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    start, end = _span(data, random)
    return data[:start] + data[end:]


def _double(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    start, end = _span(data, random)
    times = random.choice((2, 2, 3, 50, 3000))
    return data[:start] + data[start:end] * times + data[end:]


def _insert(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    at = random.randrange(len(data) + 1)
    piece = random.choice((random.choice(BYTES), random.randbytes(random.randrange(1, 20))))
    return data[:at] + piece * random.choice((1, 1, 1, 2, 300)) + data[at:]


def _flip(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    changed = bytearray(data)
    for _flips in range(random.randrange(1, 6)):
        if changed:
            changed[random.randrange(len(changed))] ^= 1 << random.randrange(8)
    return bytes(changed)


def _splice(data: bytes, random: Random, seeds: Sequence[bytes]) -> bytes:
    other = random.choice(seeds)
    start, end = _span(other, random, 2000)
    at = random.randrange(len(data) + 1)
    return data[:at] + other[start:end] + data[at:]


def _replace(data: bytes, random: Random, pattern: re.Pattern[bytes], values: Sequence[bytes]) -> bytes:
    found = [match.span() for match in pattern.finditer(data[:LARGEST])]
    if not found:
        return data
    start, end = random.choice(found)
    return data[:start] + random.choice(values) + data[end:]


def _odd_number(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    return _replace(data, random, NUMBER, NUMBERS)


def _odd_value(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    return _replace(data, random, TOKEN, VALUES + NUMBERS)


def _odd_time(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    return _replace(data, random, STAMP if STAMP.search(data) else NUMBER, TIMES)


def _exchange(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    tokens = [match.group() for match in TOKEN.finditer(data[:LARGEST])]
    return _replace(data, random, TOKEN, tokens) if tokens else data


def _misread(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    return data.decode("utf-8", "replace").encode(random.choice(ENCODINGS), "replace")


def _line_ends(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    return data.replace(b"\n", random.choice(LINE_ENDS))


def _shuffle(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    lines = data.splitlines(keepends=True)
    random.shuffle(lines)
    return b"".join(lines)


def _deepen(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    depth = random.choice((2, 5, 99, 101, 150, 240, 330, 480, 490, 495, 1000, 5000))
    left, right = random.choice(
        ((b"[", b"]"), (b"{a = ", b"}"), (b'{"a":', b"}"), (b"a.", b""), (b"(", b")"))
    )
    return _replace(data, random, TOKEN, (left * depth + b"1" + right * depth,))


def _noise(data: bytes, random: Random, _: Sequence[bytes]) -> bytes:
    letters = b"\"'#=[]{}.,;:-+eE0123456789 \t\nM2naifx\\_"
    size = random.choice((0, 1, 3, 30, 300))
    return random.choice((random.randbytes(size), bytes(random.choices(letters, k=size))))


CHANGES: tuple[Change, ...] = (
    *(_cut, _delete, _double, _insert, _flip, _splice, _odd_number, _odd_number, _odd_value, _odd_value),
    *(_odd_value, _odd_time, _exchange, _exchange, _misread, _line_ends, _shuffle, _deepen, _noise),
)


def mutated(seeds: Sequence[bytes], random: Random) -> bytes:
    """One of the seeds with one to MOST_CHANGES changes."""
    data = random.choice(seeds)
    for _ in range(random.randrange(1, MOST_CHANGES + 1)):
        data = random.choice(CHANGES)(data, random, seeds)[:LARGEST]
    return data
