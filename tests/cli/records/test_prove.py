"""`prove` through the real command."""

import json

from tests.cli.records.coast import NOW, rows
from tests.cli.runs import refused, run


class TestProve:
    """`prove` through the real command."""

    def proof(self, path, *more):
        found = run("prove", path, "--from", "2026-07-01", *more, now=NOW)
        assert found.code == 0, found.err
        return found.out

    def fault(self, *arguments):
        return refused(1, "prove", *arguments, now=NOW)

    def test_one_sentence_first_and_the_same_numbers_in_every_format(self, shore):
        path = shore(weather=False)
        found = rows(self.proof(path, "--format", "csv"))
        came = sum(int(row["came"]) for row in found)
        sentence = f"Of {len(found)} sessions forecast here from 1 Jul 2026 to 3 Aug 2026, {came} came true"
        told = json.loads(self.proof(path, "--format", "json"))
        assert told["sentence"].startswith(sentence)
        assert [row["session_start_utc"] for row in found] == [
            row["session_start_utc"] for row in told["rows"]
        ]
        assert [float(row["chance"]) for row in found] == [row["chance"] for row in told["rows"]]
        assert sum(tenth["count"] for tenth in told["sessions"]["reliability"]) == len(found)
        text = " ".join(self.proof(path).split())
        assert sentence in text
        assert text.index(sentence) < 80
        assert "Brier score of the chances of sessions, 0 being perfect" in text
        drawing = self.proof(path, "--format", "svg")
        assert sentence in drawing
        assert drawing.count("<circle") > 4
        assert "Not for navigation" in text
        assert "Not for navigation" in drawing

    def test_constants_may_come_from_the_record(self, shore):
        told = json.loads(self.proof(shore(weather=False), "--refit", "--spot", "ledge", "--format", "json"))
        assert told["constants"] == "first part"
        assert {row["spot"] for row in told["rows"]} == {"ledge"}

    def test_what_can_t_be_proved_is_said(self, shore):
        path = shore(record=False, weather=False)
        assert "which station? Name one with --station; those with a record: none" in self.fault(path)
        assert "station 'pier' names no record" in self.fault(path, "--station", "pier")
        path = shore(weather=False)
        assert "expected a part before 2026-08-02 and 14 days" in self.fault(path, "--from", "2026-08-02")
        learned = "days of readings before 2026-05-20, from which is learned; expected at least 60"
        assert learned in self.fault(path, "--from", "2026-05-20")
        assert "no spot 'nowhere'" in self.fault(path, "--spot", "nowhere")
