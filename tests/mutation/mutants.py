"""Small changes of the code, one at a time: mutmut's operators on every line of a module that runs."""

from bisect import bisect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from random import Random

import libcst as cst
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation.mutators import mutation_operators


@dataclass(frozen=True)
class Mutant:
    """One change of one file."""

    path: str
    """From the root of the repository."""
    number: int
    """Its place among the changes of this file."""
    room: str
    """The function or method it lies in, or nothing at the module's level."""
    first: int
    last: int
    """Lines of what is changed."""
    room_lines: tuple[int, int]
    """Lines of the outermost function or method, or of the statement at the module's level."""
    code: str
    """The whole file, changed."""
    change: str
    """The lines that differ, as they were and as they are."""

    @property
    def name(self) -> str:
        """The same as long as these lines stand in this function, wherever that is in the file."""
        return f"{self.path} {self.room or 'module'}: {self.change}"


@dataclass(frozen=True)
class _Found:
    original: cst.CSTNode
    changed: cst.CSTNode
    room: str
    lines: tuple[int, int]
    room_lines: tuple[int, int]


class _Finder(cst.CSTVisitor):
    """All changes of a module but those of annotations, decorators and imports, which run nothing."""

    METADATA_DEPENDENCIES = (PositionProvider,)

    def __init__(self) -> None:
        super().__init__()
        self.found: list[_Found] = []
        self._rooms: list[str] = []
        self._functions: list[tuple[int, int]] = []

    def on_visit(self, node: cst.CSTNode) -> bool:
        """Changes of this node, and whether to look at those below it."""
        if isinstance(node, cst.Annotation | cst.Decorator | cst.Import | cst.ImportFrom) or _is_of_types(
            node
        ):
            return False
        if isinstance(node, cst.FunctionDef | cst.ClassDef):
            self._rooms.append(node.name.value)
        if isinstance(node, cst.FunctionDef):
            self._functions.append(self._lines(node))
        for kind, operator in mutation_operators:
            if isinstance(node, kind):
                self.found += [self._change(node, changed) for changed in operator(node)]
        return True

    def on_leave(self, original_node: cst.CSTNode) -> None:
        """Out of a function or class."""
        if isinstance(original_node, cst.FunctionDef | cst.ClassDef):
            self._rooms.pop()
        if isinstance(original_node, cst.FunctionDef):
            self._functions.pop()

    def _lines(self, node: cst.CSTNode) -> tuple[int, int]:
        place = self.get_metadata(PositionProvider, node)
        return place.start.line, place.end.line

    def _change(self, node: cst.CSTNode, changed: cst.CSTNode) -> _Found:
        lines = self._lines(node)
        room_lines = self._functions[0] if self._functions else lines
        return _Found(node, changed, ".".join(self._rooms), lines, room_lines)


def _is_of_types(node: cst.CSTNode) -> bool:
    """Names of types alone: `Kind = Literal["high", "low"]`, `__all__`, `if TYPE_CHECKING:`."""
    match node:
        case cst.Assign(value=cst.Subscript(value=cst.Name(value="Literal"))):
            return True
        case cst.Assign(targets=[cst.AssignTarget(target=cst.Name(value="__all__"))]):
            return True
        case cst.If(test=cst.Name(value="TYPE_CHECKING")):
            return True
    return False


def changes_of(source: str) -> tuple[cst.Module, list[_Found]]:
    """A module and its changes, in the order of its text."""
    wrapper = MetadataWrapper(cst.parse_module(source))
    finder = _Finder()
    wrapper.visit(finder)
    return wrapper.module, finder.found


def sample(root: Path, paths: Iterable[str], size: int, seed: int) -> Iterator[Mutant]:
    """So many changes of all files, each file with its share of them: one of every so many, by chance.

    Files follow each other on a line as long as their changes are many; it is cut into `size` equal pieces,
    and one change drawn from each. They come in any order, so the first of them are a sample too.
    """
    modules = {path: changes_of((root / path).read_text(encoding="utf-8")) for path in sorted(paths)}
    ends, total = [], 0
    for _, found in modules.values():
        total += len(found)
        ends.append(total)
    random = Random(seed)
    size = min(size, total)
    places = [random.randrange(piece * total // size, (piece + 1) * total // size) for piece in range(size)]
    random.shuffle(places)
    names = list(modules)
    for place in places:
        which = bisect(ends, place)
        number = place - (ends[which - 1] if which else 0)
        yield _mutant(names[which], number, *modules[names[which]])


def named(root: Path, names: Iterable[str]) -> Iterator[Mutant]:
    """The changes of these names, as far as the code still has them."""
    wanted: dict[str, set[str]] = {}
    for name in names:
        wanted.setdefault(name.partition(" ")[0], set()).add(name)
    for path in sorted(path for path in wanted if (root / path).exists()):
        source = (root / path).read_text(encoding="utf-8")
        module, found = changes_of(source)
        lines = [line.strip() for line in source.splitlines()]
        for number, one in enumerate(found):
            begins = f"{path} {one.room or 'module'}: "
            held = [name for name in wanted[path] if name.startswith(begins)]
            touched = [line for line in lines[one.lines[0] - 1 : one.lines[1]] if line]
            if any(line in name for line in touched for name in held):
                mutant = _mutant(path, number, module, found)
                if mutant.name in wanted[path]:
                    wanted[path].remove(mutant.name)
                    yield mutant


def _mutant(path: str, number: int, module: cst.Module, found: list[_Found]) -> Mutant:
    one = found[number]
    changed = module.deep_replace(one.original, one.changed)
    code = cst.ensure_type(changed, cst.Module).code
    return Mutant(path, number, one.room, *one.lines, one.room_lines, code, _difference(module.code, code))


def _difference(before: str, after: str) -> str:
    old, new = before.splitlines(), after.splitlines()
    pieces = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    changed = [piece for piece in pieces if piece[0] != "equal"]
    if not changed:
        return "nothing"
    lines_old = old[changed[0][1] : changed[-1][2]]
    lines_new = new[changed[0][3] : changed[-1][4]]
    return " => ".join(" ".join(line.strip() for line in lines) for lines in (lines_old, lines_new))
