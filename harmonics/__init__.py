"""Water: constituents in; levels, currents and their turning points out.

Times are POSIX seconds (UTC), heights metres above a station's datum, speeds metres a second, directions and
phase lags degrees. The names in `__all__` are the package's public face; each loads its module when it is
first used, so that the import itself costs next to nothing.

- Files: `read_station_file`, `StationFile`, `import_table`, `TableOptions`, `ImportedTable`,
  `ImportedCurrent`, `PhaseKind`, `TableUnit`, `StationHead`, `station_toml`, `constituent_csv`, `LengthUnit`;
  what is wrong with one is a `FileProblemsError` of `Problem`s, like every error that is the input's fault an
  `EbblightError`.
- Constituents: `find_constituent`, `listed_constituents`, `Constituent`, `UnknownConstituentError`;
  `HarmonicConstants`, `Harmonic`, `NodePractice`.
- Tides: `Station`, `SecondaryStation` with `HeightDifference`, `HeightPairs`, `HourPairs`; `levels`, `rates`,
  `even_levels`, `even_rates`, `high_low_waters`, `HighLowWaters`, `Turns`, `difference_problem`.
- Currents: `CurrentStation`, `SecondaryCurrentStation` with `CurrentDifferences`, `TwoComponentStation`;
  `current_events`, `CurrentEvents`, `CurrentKind`, `currents_at`, `even_currents`, `set_and_drift`,
  `even_set_and_drift`, `along_direction`, `tidal_ellipses`, `TidalEllipse`, `slack_duration`,
  `current_difference_problem`.
- Inlets: `Inlet`, `solve_inlets`, `InletSeries`, `inlet_response`, `InletResponse`, `inlet_of_repletion`,
  `friction_losses`, `continuity_speeds`.
- Datums: `datums`, `Datums`, `tide_character`, `TideCharacter`, `form_number`, `regime`, `Regime`.
- Analysis: `fit`, `Analysis`, `Line`, `Inference`, `suspicions`, `Finding`, `Suspicion`.
- Observed water: `read_record`, `LevelRecord`, `departure`, `Departure`, `turn_uncertainty`,
  `crossing_uncertainty`.
- Calendar: `year_start`.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from harmonics.catalogue.constituents import Constituent as Constituent
    from harmonics.catalogue.constituents import find as find_constituent
    from harmonics.catalogue.constituents import listed as listed_constituents
    from harmonics.errors import EbblightError as EbblightError
    from harmonics.errors import FileProblemsError as FileProblemsError
    from harmonics.errors import Problem as Problem
    from harmonics.errors import UnknownConstituentError as UnknownConstituentError
    from harmonics.files.agency_tables import TableOptions as TableOptions
    from harmonics.files.agency_tables import import_table as import_table
    from harmonics.files.published.results import ImportedCurrent as ImportedCurrent
    from harmonics.files.published.results import ImportedTable as ImportedTable
    from harmonics.files.published.units import PhaseKind as PhaseKind
    from harmonics.files.published.units import TableUnit as TableUnit
    from harmonics.files.station_file import StationFile as StationFile
    from harmonics.files.station_file import read_station_file as read_station_file
    from harmonics.files.station_text import StationHead as StationHead
    from harmonics.files.station_text import constituent_csv as constituent_csv
    from harmonics.files.station_text import station_toml as station_toml
    from harmonics.fitting.analysis import Analysis as Analysis
    from harmonics.fitting.analysis import Line as Line
    from harmonics.fitting.analysis import fit as fit
    from harmonics.fitting.selection import Inference as Inference
    from harmonics.fitting.suspicions import Finding as Finding
    from harmonics.fitting.suspicions import Suspicion as Suspicion
    from harmonics.fitting.suspicions import suspicions as suspicions
    from harmonics.records.observed import Departure as Departure
    from harmonics.records.observed import crossing_uncertainty as crossing_uncertainty
    from harmonics.records.observed import departure as departure
    from harmonics.records.observed import turn_uncertainty as turn_uncertainty
    from harmonics.records.reader import LevelRecord as LevelRecord
    from harmonics.records.reader import read_record as read_record
    from harmonics.stations.components import TidalEllipse as TidalEllipse
    from harmonics.stations.components import along_direction as along_direction
    from harmonics.stations.components import even_set_and_drift as even_set_and_drift
    from harmonics.stations.components import set_and_drift as set_and_drift
    from harmonics.stations.components import tidal_ellipses as tidal_ellipses
    from harmonics.stations.currents import CurrentEvents as CurrentEvents
    from harmonics.stations.currents import CurrentKind as CurrentKind
    from harmonics.stations.currents import current_difference_problem as current_difference_problem
    from harmonics.stations.currents import current_events as current_events
    from harmonics.stations.currents import currents_at as currents_at
    from harmonics.stations.currents import even_currents_of as even_currents
    from harmonics.stations.currents import slack_duration as slack_duration
    from harmonics.stations.datums import Datums as Datums
    from harmonics.stations.datums import Regime as Regime
    from harmonics.stations.datums import TideCharacter as TideCharacter
    from harmonics.stations.datums import datums as datums
    from harmonics.stations.datums import form_number as form_number
    from harmonics.stations.datums import regime as regime
    from harmonics.stations.datums import tide_character as tide_character
    from harmonics.stations.events import HighLowWaters as HighLowWaters
    from harmonics.stations.events import Turns as Turns
    from harmonics.stations.inlet import Inlet as Inlet
    from harmonics.stations.inlet import InletResponse as InletResponse
    from harmonics.stations.inlet import InletSeries as InletSeries
    from harmonics.stations.inlet import continuity_speeds as continuity_speeds
    from harmonics.stations.inlet import friction_losses as friction_losses
    from harmonics.stations.inlet import inlet_of_repletion as inlet_of_repletion
    from harmonics.stations.inlet import inlet_response as inlet_response
    from harmonics.stations.inlet import solve_inlets as solve_inlets
    from harmonics.stations.secondary import difference_problem as difference_problem
    from harmonics.stations.tides import even_levels as even_levels
    from harmonics.stations.tides import even_rates as even_rates
    from harmonics.stations.tides import high_low_waters as high_low_waters
    from harmonics.stations.tides import levels as levels
    from harmonics.stations.tides import rates as rates
    from harmonics.stations.types import CurrentDifferences as CurrentDifferences
    from harmonics.stations.types import CurrentStation as CurrentStation
    from harmonics.stations.types import HeightDifference as HeightDifference
    from harmonics.stations.types import HeightPairs as HeightPairs
    from harmonics.stations.types import HourPairs as HourPairs
    from harmonics.stations.types import SecondaryCurrentStation as SecondaryCurrentStation
    from harmonics.stations.types import SecondaryStation as SecondaryStation
    from harmonics.stations.types import Station as Station
    from harmonics.stations.types import TwoComponentStation as TwoComponentStation
    from harmonics.sums.waves import Harmonic as Harmonic
    from harmonics.sums.waves import HarmonicConstants as HarmonicConstants
    from harmonics.sums.waves import NodePractice as NodePractice
    from harmonics.sums.waves import year_start as year_start
    from harmonics.units import LengthUnit as LengthUnit

    __version__: str

_ROOMS = {
    "catalogue.constituents": "Constituent find_constituent listed_constituents",
    "errors": "EbblightError FileProblemsError Problem UnknownConstituentError",
    "files.agency_tables": "TableOptions import_table",
    "files.published.results": "ImportedCurrent ImportedTable",
    "files.published.units": "PhaseKind TableUnit",
    "files.station_file": "StationFile read_station_file",
    "files.station_text": "StationHead constituent_csv station_toml",
    "fitting.analysis": "Analysis Line fit",
    "fitting.selection": "Inference",
    "fitting.suspicions": "Finding Suspicion suspicions",
    "records.observed": "Departure crossing_uncertainty departure turn_uncertainty",
    "records.reader": "LevelRecord read_record",
    "stations.components": "TidalEllipse along_direction even_set_and_drift set_and_drift tidal_ellipses",
    "stations.currents": (
        "CurrentEvents CurrentKind current_difference_problem current_events currents_at even_currents "
        "slack_duration"
    ),
    "stations.datums": "Datums Regime TideCharacter datums form_number regime tide_character",
    "stations.events": "HighLowWaters Turns",
    "stations.inlet": (
        "Inlet InletResponse InletSeries continuity_speeds friction_losses inlet_of_repletion "
        "inlet_response solve_inlets"
    ),
    "stations.secondary": "difference_problem",
    "stations.tides": "even_levels even_rates high_low_waters levels rates",
    "stations.types": (
        "CurrentDifferences CurrentStation HeightDifference HeightPairs HourPairs SecondaryCurrentStation "
        "SecondaryStation Station TwoComponentStation"
    ),
    "sums.waves": "Harmonic HarmonicConstants NodePractice year_start",
    "units": "LengthUnit",
}
"""Where each public name is at home."""
_AT_HOME = {
    "find_constituent": "find",
    "listed_constituents": "listed",
    "even_currents": "even_currents_of",
}
"""What a few are called there, where the module's name says the rest."""
_HOMES = {name: f"{__name__}.{room}" for room, names in _ROOMS.items() for name in names.split()}

__all__ = sorted(_HOMES)


def __getattr__(name: str) -> object:
    """A public name from its module, or the version of the installed package (PEP 562)."""
    if name == "__version__":
        from importlib.metadata import version

        return version("ebblight")
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(_HOMES[name]), _AT_HOME.get(name, name))
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Public names beside the module's own."""
    return sorted({*globals(), *_HOMES, "__version__"})
