"""The guide's page of public names, made from their docstrings: `python -m tests.api_page` writes it anew."""

import dataclasses
import inspect
import re
from enum import Enum
from importlib import import_module
from pathlib import Path
from types import ModuleType

PAGE = Path(__file__).parents[1] / "windows" / "guide" / "api.md"
PACKAGES = ("windows", "harmonics")
HEAD = """# Public names

Every name that `windows` and `harmonics` offer, from their docstrings.

Values don't change. `dataclasses.replace(value, name=other)` makes another one, `value._replace(name=other)`
where the class is called a named tuple here.
"""
SECTION = re.compile(r"^(Args|Attributes|Returns|Raises):$")
ITEM = re.compile(r"^ {4}(\S[^:]*): (.*)$")


def api_page() -> str:
    """The whole page."""
    parts = [HEAD]
    for package in PACKAGES:
        module = import_module(package)
        names = [name for name in getattr(module, "__all__", ()) if not name.startswith("_")]
        if names:
            parts.append(f"## {package}\n\n{plain(inspect.getdoc(module) or '')}\n")
            parts += [entry(module, name) for name in sorted(names, key=str.lower)]
    return "\n".join(parts)


def entry(module: ModuleType, name: str) -> str:
    """A name with its signature, docstring, and public methods."""
    found = getattr(module, name)
    lines = [f"### {name}", ""]
    if inspect.isclass(found):
        mark = ", a named tuple" if issubclass(found, tuple) else ""
        lines += [f"`class {module.__name__}.{name}{fields(found)}`{mark}", ""]
        lines += [plain(inspect.getdoc(found) or "")]
        lines += methods(found)
    elif callable(found):
        lines += [f"`{module.__name__}.{name}{signature(found)}`", "", plain(inspect.getdoc(found) or "")]
    else:
        lines += [f"`{module.__name__}.{name}`", "", f"`{found!r}`"]
    return "\n".join(lines).rstrip() + "\n"


def fields(kind: type) -> str:
    """What makes an instance, by name: types stand in the docstring."""
    if issubclass(kind, Enum):
        return ": " + ", ".join(member.name for member in kind)
    if dataclasses.is_dataclass(kind):
        return f"({', '.join(field.name for field in dataclasses.fields(kind) if field.init)})"
    if issubclass(kind, Exception):
        return f"({kind.__mro__[1].__name__})"
    return f"({', '.join(list(inspect.signature(kind).parameters))})"


def signature(function: object) -> str:
    """Arguments by name, with `=` where there is a default."""
    assert callable(function)
    shown = []
    keyword_only = False
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind is inspect.Parameter.KEYWORD_ONLY and not keyword_only:
            shown.append("*")
            keyword_only = True
        mark = "*" if parameter.kind is inspect.Parameter.VAR_POSITIONAL else ""
        default = "" if parameter.default is inspect.Parameter.empty else "=..."
        shown.append(f"{mark}{name}{default}")
    return f"({', '.join(shown)})"


def methods(kind: type) -> list[str]:
    """Public methods and properties that the class itself documents, a line each."""
    lines = []
    for name, member in vars(kind).items():
        wrapped = member.__func__ if isinstance(member, classmethod | staticmethod) else member
        is_member = inspect.isfunction(wrapped) or hasattr(wrapped, "fget") or hasattr(wrapped, "func")
        text = inspect.getdoc(wrapped) if is_member and not name.startswith("_") else None
        if text:
            shown = f"{name}{signature(wrapped)}" if inspect.isfunction(wrapped) else name
            lines.append(f"- `.{shown.replace('(self, ', '(').replace('(self)', '()')}`: {first_line(text)}")
    return ["", "Members:\n", *lines] if lines else []


def first_line(text: str) -> str:
    """The first paragraph on one line."""
    return " ".join(text.partition("\n\n")[0].split())


def plain(text: str) -> str:
    """A docstring as Markdown: its sections as lists."""
    out: list[str] = []
    inside = False
    for line in text.splitlines():
        section, item = SECTION.match(line), ITEM.match(line)
        if section:
            out.append(f"{section[1]}:\n")
            inside = True
        elif inside and item:
            out.append(f"- `{item[1]}`: {item[2]}")
        elif inside and line.startswith("    "):
            indent = "  " if out and out[-1].startswith(("- ", "  ")) else ""
            out.append(f"{indent}{line.strip()}")
        else:
            inside = inside and not line.strip()
            out.append(line)
    return "\n".join(out).rstrip()


if __name__ == "__main__":
    PAGE.write_text(api_page(), encoding="utf-8")
