"""Means that no water has, as a published table or an option says them, are refused with their bounds."""

from pathlib import Path

import pytest

from harmonics.bounds import HEIGHT, MEAN_FLOW
from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, read_published
from harmonics.files.published.units import PhaseKind
from harmonics.units import LengthUnit
from tests.cli.runs import run

TIDE = "name,amplitude_m,phase_g\nM2,1.0,100\nS2,0.5,120\nK1,0.2,20\nO1,0.2,20\n"


@pytest.mark.parametrize("unit", ["m", "ft"])
def test_a_mean_level_of_a_published_table_has_the_bounds_of_a_height(tmp_path: Path, unit: str):
    path = tmp_path / "table.csv"
    whole = LengthUnit.FEET if unit == "ft" else LengthUnit.METRES
    text = TIDE.replace("_m,", f"_{unit},")
    path.write_text(f"{text}Z0,100,0\n")
    table = read_published(path, TableOptions(phase=PhaseKind.GREENWICH))
    assert table.mean_level == pytest.approx(100 * whole.metres)
    path.write_text(f"{text}Z0,1e300,0\n")
    with pytest.raises(
        FileProblemsError, match=rf"mean level: found 1e\+300; expected from {HEIGHT} {whole.value}"
    ):
        read_published(path, TableOptions(phase=PhaseKind.GREENWICH))


def test_a_mean_flow_of_a_published_table_has_bounds(tmp_path: Path):
    path = tmp_path / "table.csv"
    path.write_text(f"Mean flow: 900 knots\n{TIDE.replace('_m,', '_kn,')}")
    with pytest.raises(
        FileProblemsError, match=f"mean flow: found 900 knots; expected from {MEAN_FLOW} knots"
    ):
        read_published(path, TableOptions(phase=PhaseKind.GREENWICH))


@pytest.mark.parametrize(
    ("option", "bound"), [("--mean-level", "-100.0<=x<=100.0"), ("--mean-flow", "-20.0<=x<=20.0")]
)
def test_import_refuses_a_mean_that_no_water_has_and_writes_nothing(tmp_path: Path, option: str, bound: str):
    source, target = tmp_path / "table.csv", tmp_path / "out.csv"
    source.write_text(TIDE)
    found = run("import", source, "--phase", "greenwich", option, "1e300", "-o", target)
    assert found.code == 2
    assert option in found.err and bound in found.err
    assert not target.exists()
