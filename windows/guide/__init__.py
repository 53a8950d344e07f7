"""The manual: one Markdown page a topic, beside this module."""

from dataclasses import dataclass
from importlib.resources import files

from harmonics.errors import UnknownNameError

TOPICS = (
    *("start", "evening", "file", "stations", "spots", "preferences", "outing", "fish", "log"),
    *("records", "pages", "keys", "commands", "formats", "columns", "score", "algorithms"),
    *("exactness", "cautions", "python", "nomenclature", "api"),
)
"""In the order in which one would read them."""


PICTURES = ("week.svg", "plan.svg", "prove.svg")
"""In the folder `pictures`: each is what the command above it on its page writes."""


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the manual.

    Attributes:
        topic: its name.
        text: Markdown; a title, a line that says what the page is for, and the rest.
    """

    topic: str
    text: str

    @property
    def title(self) -> str:
        """The heading."""
        return self.text.partition("\n")[0].removeprefix("# ")

    @property
    def purpose(self) -> str:
        """What the page is for."""
        return self.text.split("\n\n")[1].replace("\n", " ")


def page(topic: str) -> Page:
    """The page on a topic.

    Raises:
        UnknownNameError: there is none; the message lists those there are.
    """
    if topic not in TOPICS:
        raise UnknownNameError(f"no page '{topic}'; the topics: {', '.join(TOPICS)}")
    return Page(topic, (files(__name__) / f"{topic}.md").read_text(encoding="utf-8"))


def picture(name: str) -> bytes:
    """A picture of the manual.

    Raises:
        UnknownNameError: there is none; the message lists those there are.
    """
    if name not in PICTURES:
        raise UnknownNameError(f"no picture '{name}'; there are: {', '.join(PICTURES)}")
    return (files(__name__) / "pictures" / name).read_bytes()


def pages() -> tuple[Page, ...]:
    """All pages in the order of topics."""
    return tuple(page(topic) for topic in TOPICS)
