"""Records that `fit` must refuse, put right or doubt: plain words, and nothing half-written."""

from datetime import UTC, datetime

import numpy as np
import pytest

from tests.cli.runs import refused, utc
from tests.cli.test_fit import HONOLULU, HOUR, PLACE, lines, ran, record


def tide(count: int) -> list[str]:
    """Lines of an hourly record of one wave, from 1 January 2021."""
    t = utc("2021-01-01 00:00") + HOUR * np.arange(count)
    level = 1.5 + np.cos(2 * np.pi * t / 44714.0)
    return [
        f"{datetime.fromtimestamp(float(at), UTC):%Y-%m-%d %H:%M},{height:.3f}"
        for at, height in zip(t, level, strict=True)
    ]


def changed(line: int, text: str) -> list[str]:
    """Forty days with one line of the file (the header is line 1) replaced."""
    made = tide(960)
    made[line - 2] = text
    return made


BAD_RECORDS = {
    # name: header, lines, what the message has to say
    "columns swapped": (
        "time_utc,level_m",
        [",".join(reversed(line.split(","))) for line in tide(960)],
        ("columns 'time_utc' and 'level_m'", "numbers among the times", "other way round"),
    ),
    "a time again with another level": (
        "time_utc,level_m",
        changed(500, "2021-01-21 17:00,9.9"),
        ("line 500", "the time of line 499 again with another level", "each time once"),
    ),
    "text among the levels": (
        "time_utc,level_m",
        changed(77, "2021-01-04 03:00,high"),
        ("line 77", "'high'", "a level from -1,000 to 1,000, or an empty field"),
    ),
    "a date that is none": (
        "time_utc,level_m",
        changed(77, "2021-02-30 03:00,1.0"),
        ("line 77", "'2021-02-30 03:00'", "a time such as"),
    ),
    "a level too many": (
        "time_utc,level_m",
        changed(77, "2021-01-04 03:00,1,234"),
        ("line 77", "3 fields", "2, as in the header"),
    ),
    "decimal commas": (
        "time_utc;level_m",
        [line.replace(",", ";").replace(".", ",") for line in tide(960)],
        ("line 2", "a level from -1,000 to 1,000, or an empty field"),
    ),
    "three days": (
        "time_utc,level_m",
        tide(72),
        ("a record of 3.0 days is too short", "at least 7 days"),
    ),
    "all gaps": (
        "time_utc,level_m",
        [f"{line.split(',')[0]}," for line in tide(960)],
        ("no reading in 960 rows", "levels, with gaps left empty"),
    ),
    "one level alone": (
        "time_utc,level_m",
        [f"{line.split(',')[0]},1.2" for line in tide(960)],
        ("one level alone, 1.200 m",),
    ),
    "no unit": ("time_utc,level", tide(960), ("column 'level'", "no unit", "(--units)")),
    "no clock": ("time,level_m", tide(960), ("column 'time'", "without a zone", "(--zone)")),
    "header alone": ("time_utc,level_m", [], ("no rows under the header",)),
    "no column of levels": ("time_utc,salt", tide(960), ("columns time_utc, salt", "one column of levels")),
    "two columns of times": (
        "time_utc,level_m,time_local",
        [f"{line},2021-01-01 00:00" for line in tide(960)],
        ("columns time_utc, time_local", "one column of times"),
    ),
    "too few readings": (
        "time_utc,level_m",
        [*tide(960)[:30], *tide(960)[-30:]],
        ("readings are too few", "are needed"),
    ),
}


@pytest.mark.parametrize("name", BAD_RECORDS)
def test_a_bad_record_is_refused_in_words_and_the_old_table_stays(tmp_path, name):
    header, body, words = BAD_RECORDS[name]
    source, out = tmp_path / "gauge.csv", tmp_path / "out.csv"
    source.write_text("\n".join([header, *body]) + "\n", encoding="utf-8")
    out.write_text("old", encoding="utf-8")
    message = refused(1, "fit", source, "-o", out, *PLACE)
    assert message.startswith(f"ebblight: {source}: ")
    for word in words:
        assert word in message
    assert all(line.isprintable() for line in message.splitlines())
    assert out.read_text(encoding="utf-8") == "old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["gauge.csv", "out.csv"]


def test_a_file_that_is_none(tmp_path):
    assert "no such file" in refused(1, "fit", tmp_path / "none.csv")
    assert "a folder" in refused(1, "fit", tmp_path)
    picture = tmp_path / "p.csv"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n\0\0")
    assert "UTF-8" in refused(1, "fit", picture)


def test_rows_out_of_order_and_doubled_rows_are_put_right_and_told(tmp_path):
    straight = tmp_path / "straight.csv"
    straight.write_text("\n".join(["time_utc,level_m", *tide(960)]), encoding="utf-8")
    crooked = tmp_path / "crooked.csv"
    body = tide(960)
    body = [*body[480:], *body[:480], body[0]]
    crooked.write_text("\n".join(["time_utc,level_m", *body]), encoding="utf-8")
    assert lines(crooked) == lines(straight)
    text = " ".join(ran(crooked).out.split())
    assert "rows out of order, first at line 482 (2021-01-01 00:00 UTC)" in text
    assert "rows that repeat the time before them, dropped: 1" in text


def test_noise_makes_no_table(tmp_path):
    t = utc("2021-01-01 00:00") + HOUR * np.arange(16 * 24)
    path = record(tmp_path / "noise.csv", t, np.random.default_rng(0).normal(size=len(t)) * 0.1)
    source, out = (path, "--constituents", "M2", "--no-infer"), tmp_path / "out.csv"
    message = refused(1, "fit", *source, "-o", out)
    assert "no constituent stands clear of the noise" in message and "--all-lines" in message
    assert not out.exists()
    assert "No constituent stands clear of the noise." in ran(*source).out
    assert ran(*source, "-o", out, "--all-lines").code == 0
    assert [line.split(",")[0] for line in out.read_text(encoding="utf-8").splitlines()[2:]] == ["M2"]


@pytest.mark.parametrize(
    ("names", "word"), [("M2,ZZ9", "'ZZ9'"), ("", "''"), ("M2,,S2", "''"), ("LAMDA2", "LAMBDA2")]
)
def test_constituents_that_are_none(names, word):
    message = refused(1, "fit", HONOLULU, "--constituents", names)
    assert message.startswith("ebblight: unknown constituent")
    assert word in message


@pytest.mark.parametrize(
    "arguments", [("--node-factors", "monthly"), ("--units", "cm"), ("--format", "page"), ("--latitude", "x")]
)
def test_wrong_usage(arguments):
    assert arguments[0] in refused(2, "fit", HONOLULU, *arguments)
