"""Pictures of the guide, by the commands that its pages print: `python -m tests.guide_pictures`."""

import os
import tempfile
from pathlib import Path

from tests.cli.runs import REPOSITORY, run
from tests.documents import lay_out, shell_lines
from windows.guide import PICTURES, TOPICS, page

FOLDER = REPOSITORY / "windows" / "guide" / "pictures"


def commands() -> dict[str, tuple[str, list[str]]]:
    """The page and the command that make each picture."""
    found = {}
    for topic in TOPICS:
        for line in shell_lines(page(topic).text):
            if "-o" in line and line[line.index("-o") + 1] in PICTURES:
                found[line[line.index("-o") + 1]] = topic, line
    return {name: made for name, made in found.items() if f"(pictures/{name})" in page(made[0]).text}


if __name__ == "__main__":
    for name, (topic, line) in commands().items():
        with tempfile.TemporaryDirectory() as folder:
            lay_out(Path(folder), topic)
            os.chdir(folder)
            assert run(*line[1:]).code == 0
            (FOLDER / name).write_bytes(Path(name).read_bytes())
